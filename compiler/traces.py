"""What can still be read in a note that is damaged, and what betrays one that has lost its head."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import Any

from compiler.frontmatter import DASHES, FENCE, as_text
from compiler.names import DATE_LIKE, KIND_KEY, KindWords, Name
from compiler.nearness import near, plain
from compiler.notes import CODE_FENCE, DAMAGED, Note, end_of_code
from compiler.schema import Kind
from compiler.shape import Value
from compiler.source import Span

FIELD = re.compile(r"[^\w\n]{0,6}([^\W\d_][\w -]{1,24}?)[ \t]*[:：](?:[ \t]+(.*))?$", re.M)
BEGINNING = re.compile(rf"\s*[{DASHES}*nN]")  # what a second head can begin with: a fence, or `note:`
SAYING = re.compile(r"\s*[^\W\d_]{2,6}[ \t]*[:：]")
MOST_LINES = 200  # of a second head (our own limit)
LOOKED_AT = 60  # lines in which a lost head is looked for (our own limit)
FENCES = "put a line of three dashes above and below its fields, or list the file under `skip` in the settings"


class Trace(Value):
    """Why a file without a head may yet be a note: the place, what is to be said, and what to do."""

    place: Span
    message: str
    cure: str


def traced(note: Note, name: Name, words: KindWords) -> Trace | None:
    """The trace of a lost head in a file that has none, if there is one.

    It is a line like a fence, a `note:` line, or two lines with known fields. An undated file is not passed over either
    when it holds no words at all, no text, or something like a date at the beginning of its name.
    """
    here = Span(note.path)
    if not name.dated and not re.search(r"\w", note.text):
        return Trace(here, "this file holds no words", "write the note into it, or delete it")
    if not name.dated and any(item.code == DAMAGED.code for item in note.told):
        return Trace(here, "this file is not all text, and may be a note", FENCES)
    if not name.dated and (DATE_LIKE.match(name.words) or (name.day and name.words.startswith(name.day))):
        cure = "begin the name with a date such as `2026-04-19`, or list the file under `skip` in the settings"
        return Trace(here, "the name begins with something like a date", cure)
    line = line_of_lost_head(shown_lines(note), name, words)
    if line is None:
        return None
    return Trace(Span(note.path, line), "this file looks like a note whose head is damaged", FENCES)


def holds_lines(note: Note, name: Name, folder: str, words: KindWords) -> bool:
    """Whether a file is no note but a list of lines: it lies in the folder for such, and has neither head nor kind."""
    inside = note.path.startswith(f"{folder}/")
    hinted = words.find(name.hint) if name.hint else None
    named = name.kind or (hinted is not None and hinted.guarded)
    return inside and not named and not note.fenced and note.sound and bool(note.text.strip())


def shown_lines(note: Note) -> list[str]:
    """The first lines of a file, without what stands in code: there an example may be shown."""
    lines = note.text.split("\n")[:LOOKED_AT]
    place = 0
    while place < len(lines):
        fence = CODE_FENCE.match(lines[place])
        end = end_of_code(lines, place, fence[1]) if fence else place + 1
        if fence:
            lines[place:end] = [""] * (end - place)
        place = end
    return lines


def line_of_lost_head(lines: list[str], name: Name, words: KindWords) -> int | None:
    """The line (from 1) that looks as if it belonged to a head."""
    first = next((number for number, line in enumerate(lines, 1) if line.strip()), 0)
    if first and is_like_a_fence(lines[first - 1].strip()):
        return first
    named = words.find(name.kind) if name.kind else None
    known = frozenset(field_names(named)) if named else words.fields
    hits = []
    for number, line in enumerate(lines, 1):
        match = FIELD.match(line)
        if match and says_kind(match, words):
            return number
        if match and is_known(plain(match[1]), known):
            hits.append(number)
    return hits[0] if len(hits) > 1 else None


def second_head(note: Note, words: KindWords) -> tuple[int, int] | None:
    """The body lines (from 0) of a second head, from its first line to its last, if there is one.

    It begins with a fence, or with a line that says the kind of a note. A rule between paragraphs is none, nor are
    words with colons between two rules unless two of them are fields.
    """
    for place in uncoded(note.body):
        line = note.body[place]
        fenced = bool(FENCE.fullmatch(line))
        if not fenced and not (SAYING.match(line) and says_kind_line(line, words)):
            continue
        first = place + fenced
        last = end_of_fields(note.body, first)
        closed = last < len(note.body) and bool(FENCE.fullmatch(note.body[last]))
        fields = [match for line in note.body[first:last] if (match := FIELD.match(line))]
        hits = sum(is_known(plain(match[1]), words.fields) for match in fields[:LOOKED_AT])
        said = any(says_kind(match, words) for match in fields[:LOOKED_AT])
        if (said and (fenced or closed or hits)) or (fenced and closed and hits > 1):
            return place, last if closed else last - 1
    return None


def uncoded(body: Sequence[str]) -> Iterator[int]:
    """The lines (from 0) that could begin a head and stand in no code."""
    place = 0
    while place < len(body):
        fence = CODE_FENCE.match(body[place])
        if not fence and BEGINNING.match(body[place]):
            yield place
        place = end_of_code(body, place, fence[1]) if fence else place + 1


def end_of_fields(body: Sequence[str], first: int) -> int:
    """The line (from 0) after those that can be fields, or parts of their values, from one line on."""
    place = first
    while place < len(body) and place - first < MOST_LINES and is_of_a_head(body[place], place == first):
        place += 1
    return place


def is_of_a_head(line: str, begins: bool) -> bool:
    """Whether a line can stand in a head; the first one must be a field."""
    if FENCE.fullmatch(line):
        return False
    return bool(FIELD.match(line)) or (not begins and line[:1] in (" ", "\t", "-", "#"))


def says_kind_line(line: str, words: KindWords) -> bool:
    """Whether a line is a field that says the kind of a note."""
    match = FIELD.match(line)
    return bool(match and says_kind(match, words))


def says_kind(field: re.Match[str], words: KindWords) -> bool:
    """Whether a field says the kind of a note, but for a slip in either word."""
    typed = plain(field[2] or "")
    return bool(near(plain(field[1]), (KIND_KEY,))) and bool(near(typed, words.by_word))


def is_like_a_fence(line: str) -> bool:
    """Whether a line is all dashes, but perhaps for one sign."""
    others = len(line) - dashes(line)
    return 0 < len(line) <= 5 and (others == 0 or (others == 1 and len(line) > 2))


def dashes(line: str) -> int:
    """How many dashes a line has."""
    return sum(sign in DASHES for sign in line)


def is_known(word: str, known: Collection[str]) -> bool:
    """Whether a word is a field's name, or a long one but for a slip."""
    return word in known or (len(word) > 3 and bool(near(word, known)))


def field_names(kind: Kind[Any]) -> Iterable[str]:
    """The names of a kind's fields, as they are looked up."""
    return map(plain, kind.keys())


def legible_in_both(note: Note, second: tuple[int, int]) -> dict[str, str]:
    """Field → text of both heads of a file; where they differ, both texts with a comma between them."""
    typed = legible(note)
    for line in note.body[second[0] : second[1] + 1]:
        match = FIELD.match(line)
        if match and match[2]:
            name, text = plain(match[1]), match[2].strip()
            typed[name] = text if typed.get(name, text) == text else f"{typed[name]}, {text}"
    return typed


def legible(note: Note) -> dict[str, str]:
    """Field → text of whatever looks like a field, even in a damaged head."""
    if note.fields is not None:
        return {plain(entry.key.text): as_text(entry.value) for entry in note.fields.entries}
    typed: dict[str, str] = {}
    for match in fields_in(note.text.split("\n")[:LOOKED_AT]):
        if match[2]:
            typed.setdefault(plain(match[1]), match[2].strip())
    return typed


def fields_in(lines: Iterable[str]) -> Iterator[re.Match[str]]:
    """Whatever looks like a field in some lines."""
    for line in lines:
        if ":" in line or "：" in line:
            yield from FIELD.finditer(line)


def kind_in_doubt(note: Note, name: Name, words: KindWords, second: tuple[int, int] | None = None) -> Kind[Any] | None:
    """The kind of a damaged note: a guarded one if its name or a head of it says so, None if that is not known."""
    head = note.text.split("\n")[: note.body_line if note.fenced else LOOKED_AT]
    head += note.body[second[0] : second[1] + 1] if second else ()
    said = [match for match in fields_in(head) if plain(match[1]) == KIND_KEY or says_kind(match, words)]
    found = [nearest_kind(match[2] or "", words) for match in said]
    found += [words.find(name.kind)] if name.kind else []
    hint = words.find(name.hint) if name.hint and not name.kind else None
    found += [hint] if hint and (hint.guarded or name.day) else []
    guarded = next((kind for kind in found if kind and kind.guarded), None)
    return guarded or (found[0] if found and all(found) else None)


def nearest_kind(typed: str, words: KindWords) -> Kind[Any] | None:
    """The kind typed, but for a slip."""
    guesses = near(plain(typed), words.by_word)
    return words.by_word[guesses[0]] if guesses else None


def plainly_other(typed: Iterable[str], kinds: Iterable[Kind[Any]]) -> bool:
    """Whether a note of unknown kind can be of no guarded kind.

    At least two of its fields belong only to unguarded kinds, and none is, or is nearly, one of a guarded kind alone.
    """
    guarded = {word for kind in kinds if kind.guarded for word in field_names(kind)}
    unguarded = {word for kind in kinds if not kind.guarded for word in field_names(kind)}
    hits = [word for word in typed if word in unguarded - guarded and not near(word, guarded - unguarded)]
    return len(hits) >= 2 and not any(near(word, guarded - unguarded) for word in typed)
