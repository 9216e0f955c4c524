"""What can still be read in a note that is damaged, and what betrays one that has lost its head."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from compiler.frontmatter import DASHES, as_text
from compiler.names import DATE_LIKE, KindWords, Name
from compiler.nearness import near, plain
from compiler.notes import DAMAGED, Note
from compiler.schema import Kind
from compiler.source import Span

FIELD = re.compile(r"[^\w\n]{0,6}([^\W\d_][\w -]{1,24}?)[ \t]*[:：](?:[ \t]+(.*))?$", re.M)
LOOKED_AT = 60  # lines in which a lost head is looked for (our own limit)
FENCES = "put a line of three dashes above and below its fields, or list the file under `skip` in the settings"


@dataclass(frozen=True, slots=True)
class Trace:
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
    line = line_of_lost_head(note.text.split("\n")[:LOOKED_AT], known_fields(words))
    if line is None:
        return None
    return Trace(Span(note.path, line), "this file looks like a note whose head is damaged", FENCES)


def line_of_lost_head(lines: list[str], known: Collection[str]) -> int | None:
    """The line (from 1) that looks as if it belonged to a head."""
    first = next((number for number, line in enumerate(lines, 1) if line.strip()), 0)
    if first and is_like_a_fence(lines[first - 1].strip()):
        return first
    hits = []
    for number, line in enumerate(lines, 1):
        match = FIELD.match(line)
        if match and near(plain(match[1]), ("note",)):
            return number
        if match and is_known(plain(match[1]), known):
            hits.append(number)
    return hits[0] if len(hits) > 1 else None


def is_like_a_fence(line: str) -> bool:
    """Whether a line is all dashes and little else."""
    return (
        bool(line)
        and len(line) <= 5
        and not set(line) & set("#>|`*_")
        and len(line) - dashes(line) <= 1 <= dashes(line)
    )


def dashes(line: str) -> int:
    """How many dashes a line has."""
    return sum(sign in DASHES for sign in line)


def is_known(word: str, known: Collection[str]) -> bool:
    """Whether a word is a field's name, or a long one but for a slip."""
    return word in known or (len(word) > 3 and bool(near(word, known)))


@cache
def known_fields(words: KindWords) -> set[str]:
    """The names of all fields of all kinds, as they are looked up."""
    return {name for kind in words.by_word.values() for name in field_names(kind)}


def field_names(kind: Kind[Any]) -> Iterator[str]:
    """The names of a kind's fields, as they are looked up."""
    yield from map(plain, kind.keys())


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
    """The kind of a damaged note: a guarded one if its name or any line says so, None if that is not known."""
    typed = [match[2] or "" for match in FIELD.finditer(note.text) if near(plain(match[1]), ("note",))]
    found = [words.find(text) for text in (*typed, *([name.kind] if name.kind else []))]
    guarded = next((kind for kind in found if kind and kind.guarded), None)
    return guarded or (found[0] if found and all(found) else None)


def plainly_other(typed: Iterable[str], kinds: Iterable[Kind[Any]]) -> bool:
    """Whether a note of unknown kind can be of no guarded kind.

    At least two of its fields belong only to unguarded kinds, and none is, or is nearly, one of a guarded kind alone.
    """
    guarded = {word for kind in kinds if kind.guarded for word in field_names(kind)}
    unguarded = {word for kind in kinds if not kind.guarded for word in field_names(kind)}
    hits = [word for word in typed if word in unguarded - guarded and not near(word, guarded - unguarded)]
    return len(hits) >= 2 and not any(near(word, guarded - unguarded) for word in typed)
