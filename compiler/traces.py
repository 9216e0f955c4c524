"""What can still be read in a note that is damaged, and what betrays one that has lost its head."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from typing import Any

from compiler.frontmatter import DASHES, as_text
from compiler.names import DATE_LIKE, KIND_KEY, KindWords, Name
from compiler.nearness import near, plain
from compiler.notes import CODE_FENCE, DAMAGED, Note, end_of_code
from compiler.schema import Kind
from compiler.shape import Value
from compiler.source import Span

FIELD = re.compile(r"[^\w\n]{0,6}([^\W\d_][\w -]{1,24}?)[ \t]*[:：](?:[ \t]+(.*))?$", re.M)
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
    if not name.dated and DATE_LIKE.match(name.words):
        cure = "begin the name with a date such as `2026-04-19`, or list the file under `skip` in the settings"
        return Trace(here, "the name begins with something like a date", cure)
    line = line_of_lost_head(shown_lines(note), name, words)
    if line is None:
        return None
    return Trace(Span(note.path, line), "this file looks like a note whose head is damaged", FENCES)


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
    known = {field for kind in ([named] if named else words.by_word.values()) for field in field_names(kind)}
    hits = []
    for number, line in enumerate(lines, 1):
        match = FIELD.match(line)
        if match and says_kind(match, words):
            return number
        if match and is_known(plain(match[1]), known):
            hits.append(number)
    return hits[0] if len(hits) > 1 else None


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


def legible(note: Note) -> dict[str, str]:
    """Field → text of whatever looks like a field, even in a damaged head."""
    if note.fields is not None:
        return {plain(entry.key.text): as_text(entry.value) for entry in note.fields.entries}
    typed: dict[str, str] = {}
    for match in FIELD.finditer("\n".join(note.text.split("\n")[:LOOKED_AT])):
        if match[2]:
            typed.setdefault(plain(match[1]), match[2].strip())
    return typed


def kind_in_doubt(note: Note, name: Name, words: KindWords) -> Kind[Any] | None:
    """The kind of a damaged note: a guarded one if its name or its head says so, None if that is not known."""
    head = "\n".join(note.text.split("\n")[: note.body_line if note.fenced else LOOKED_AT])
    said = [match for match in FIELD.finditer(head) if plain(match[1]) == KIND_KEY or says_kind(match, words)]
    found = [nearest_kind(match[2] or "", words) for match in said]
    found += [words.find(name.kind)] if name.kind else []
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
