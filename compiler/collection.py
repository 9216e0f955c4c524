"""All notes of a folder, decoded: records by kind, holes, and files that are not notes. Nothing that was read is missing here."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from compiler.decode import DATA_TWICE, DIFFERS, Render, decode
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.frontmatter import Scalar, Sequence
from compiler.names import KindWords, Name, plain, read_name
from compiler.nearness import near
from compiler.notes import CONFLICT, DAMAGED, Note, Table
from compiler.schema import Habits, Kind, Record
from compiler.source import Span

KIND_MISSING = Rule(
    "N120", "kind-missing", Grade.ERROR,
    "A note says what it is: in its head (`note: lambing`) or in its file name (`2026-04-19 lambing Bramble.md`).", "---\newe: Bramble\n---\n",
)  # fmt: skip
KIND_UNKNOWN = Rule(
    "N121", "kind-unknown", Grade.ERROR, "The word after `note:` is no kind of note that this book knows.", "---\nnote: lambign\n---\n"
)  # fmt: skip
COPY = Rule(
    "N122", "copied-note", Grade.ERROR,
    "Two files that are copies of one note would count everything twice. Telephones and shared folders make such copies by themselves.",
    "2026-04-19 lambing Bramble (1).md",
)  # fmt: skip
EMPTY_GUARDED = Rule(
    "N123", "guarded-note-empty", Grade.ERROR, "A note of this kind may not stand empty, because too much hangs on what it should say.", ""
)  # fmt: skip
TRACES = Rule(
    "N124", "head-damaged", Grade.ERROR,
    "The file has no readable head, yet lines in it look like fields of a note. It is not passed over, in case it says something that matters.",
    "--\nnote: treatment\nsheep: Bramble\n",
)  # fmt: skip
RULES = (KIND_MISSING, KIND_UNKNOWN, COPY, EMPTY_GUARDED, TRACES)

R = TypeVar("R", bound=Record)


@dataclass(frozen=True, slots=True)
class Hole:
    """A note that could not be decoded.

    `kind` is the kind's name when it could be read, else ""; `guarded` says that it is, or might be, a note of a guarded kind.
    `typed` holds whatever front-matter text could still be read (key in lower case → text), the file name's parts included
    under "date", "time", "kind", "subject" where the front matter lacks them; `whole` is False when the front matter itself
    is damaged, so that even what was read of it may be incomplete.
    """

    path: str
    kind: str
    guarded: bool
    typed: Mapping[str, str]
    whole: bool
    reason: Diagnostic
    text: str = ""


@dataclass(frozen=True, slots=True)
class Other:
    """A file that is not a note, and why it was taken for none."""

    path: str
    why: str


@dataclass(frozen=True, slots=True)
class Collection:
    """What was read. `read` files = records + holes + others + `companions` (CSV tables that belong to a note)."""

    records: tuple[Record, ...] = ()
    holes: tuple[Hole, ...] = ()
    others: tuple[Other, ...] = ()
    companions: tuple[str, ...] = ()
    settings: Span | None = None
    extra: Mapping[str, str] = field(default_factory=dict)

    @property
    def read(self) -> int:
        """How many files were read as notes or beside them."""
        return len(self.records) + len(self.holes) + len(self.others) + len(self.companions)

    def of(self, record: type[R]) -> tuple[R, ...]:
        """The records of one class, in order of path."""
        return tuple(item for item in self.records if isinstance(item, record))


@dataclass(frozen=True, slots=True)
class Given:
    """One file as it came: its source, already read as a note if that is known, and the CSV table beside it."""

    note: Note
    companion: Table | None = None


@dataclass(frozen=True, slots=True)
class Sorting:
    """What is needed to sort files into records and holes."""

    kinds: tuple[Kind[Any], ...]
    words: KindWords
    habits: Habits
    render: Render
    meanwhile: Callable[[str], str]


def sorting(kinds: tuple[Kind[Any], ...], habits: Habits, render: Render, meanwhile: Callable[[str], str]) -> Sorting:
    """A sorting for these kinds of note."""
    return Sorting(kinds, KindWords(kinds), habits, render, meanwhile)


def collect(files: Iterable[Given], how: Sorting) -> tuple[Collection, tuple[Diagnostic, ...]]:
    """Every file as a record, a hole or an other file, in order of path, and all that is to be said about them."""
    records: list[Record] = []
    holes: list[Hole] = []
    others: list[Other] = []
    companions: list[str] = []
    told: list[Diagnostic] = []
    given = sorted(files, key=lambda item: item.note.path)
    paths = {item.note.path for item in given}
    for item in given:
        outcome, messages = place(item, how, paths)
        told += messages
        if isinstance(outcome, Record):
            records.append(outcome)
        elif isinstance(outcome, Hole):
            holes.append(outcome)
        else:
            others.append(outcome)
        if item.companion:
            companions.append(item.companion.path)
    return Collection(tuple(records), tuple(holes), tuple(others), tuple(companions)), tuple(told)


Placed = Record | Hole | Other


def place(given: Given, how: Sorting, paths: set[str]) -> tuple[Placed, list[Diagnostic]]:
    """One file."""
    note = replace(given.note, table=given.companion) if given.companion and given.note.table is None else given.note
    name = read_name(note.path, how.words)
    if not note.fenced and not name.dated:
        return undated(note, name, how)
    kind, trouble = kind_of(note, name, how)
    if trouble is not None:
        return hole(note, name, kind, how, trouble)
    assert kind is not None
    if name.copy_of in paths:
        there = Span(name.copy_of)
        message = COPY.at(Span(note.path), f"this looks like a copy of {name.copy_of}", "keep the right one of the two files and delete the other", also=(there,))
        return hole(note, name, kind, how, message)
    if not note.sound:
        return hole(note, name, kind, how, next(item for item in note.told if item.grade is Grade.ERROR))
    if kind.guarded and note.empty:
        message = EMPTY_GUARDED.at(Span(note.path), f"this {kind.name} note is empty", "write at least the fields it cannot do without")
        return hole(note, name, kind, how, message)
    record, messages = decode(note, name, kind, how.habits, how.render)
    if given.companion and given.note.table is not None:
        messages = (*messages, DATA_TWICE.at(Span(note.path), "this note has a table and a CSV file beside it", "keep one of them"))
    return record, [said(message, kind.name if kind.guarded else "", how) for message in (*note.told, *messages) if not replaced(message, messages)]


def replaced(message: Diagnostic, messages: tuple[Diagnostic, ...]) -> bool:
    """Whether a message was raised to a graver grade by the decoder."""
    return message.grade is Grade.WARNING and any(other.code == message.code and other.span == message.span and other.grade is Grade.ERROR for other in messages)


def said(message: Diagnostic, guarded_kind: str, how: Sorting) -> Diagnostic:
    """An error with what the book does meanwhile, where the kind is guarded."""
    if message.grade is Grade.ERROR and guarded_kind and not message.meanwhile:
        return replace(message, meanwhile=how.meanwhile(guarded_kind))
    return message


def kind_of(note: Note, name: Name, how: Sorting) -> tuple[Kind[Any] | None, Diagnostic | None]:
    """The note's kind from head and file name, or what is wrong with it."""
    typed = next((entry for entry in note.fields.entries if plain(entry.key.text) == "note"), None) if note.fields else None
    named = how.words.by_word.get(name.kind) if name.kind else None
    if typed is None:
        if named is None:
            words = ", ".join(kind.name for kind in how.kinds)
            where = Span(note.path, 1, 1)
            return None, KIND_MISSING.at(where, "nothing says what kind of note this is", f"add a line `note: …` with one of: {words}")
        return named, None
    text = typed.value.text if isinstance(typed.value, Scalar) else ""
    here = Span(note.path, typed.value.line, typed.value.column, len(text))
    found = how.words.find(text)
    if found is None:
        guesses = near(text.strip().lower(), how.words.by_word, slips=2)
        hint = f"did you mean `{guesses[0]}`? " if guesses else ""
        return named, KIND_UNKNOWN.at(here, f"there is no kind of note called `{text.strip()[:40]}`", f"{hint}the kinds are {', '.join(kind.name for kind in how.kinds)}")
    if named is not None and named.record is not found.record:
        message = f"the file name says {name.kind}, the note says {found.name}"
        return (found if found.guarded else named), DIFFERS.at(here, message, "make them the same")
    return found, None


def undated(note: Note, name: Name, how: Sorting) -> tuple[Placed, list[Diagnostic]]:
    """A file with neither head nor dated name: no note, unless it bears the traces of one."""
    trace = traced(note, how)
    if trace is None:
        told = [message for message in note.told if message.code == CONFLICT.code]
        return Other(note.path, "it has neither a head nor a dated name"), told
    message = TRACES.at(trace, "this file looks like a note whose head is damaged", "put a line of three dashes above and below its fields, or list the file under `skip` in the settings")
    kind = how.words.by_word.get(name.kind) if name.kind else None
    return hole(note, name, kind, how, message)


def traced(note: Note, how: Sorting) -> Span | None:
    """Where a headless file looks like a damaged note: no words, bytes that are no text, a fence-like line, a `note:` line, or two
    lines with known fields."""
    if not re.search(r"\w", note.text) or any(item.code == DAMAGED.code for item in note.told):
        return Span(note.path)
    known = {word for kind in how.kinds for word in kind.keys()}
    hits = []
    for number, line in enumerate(note.text.split("\n")[:40], 1):
        if number <= 3 and re.fullmatch(r"\W{2,5}", line.strip()) and set(line) & set("-—–"):
            return Span(note.path, number)
        match = re.match(r"\W{0,3}([A-Za-z][\w -]{1,24}?)\s*:(?:\s|$)", line)
        if match and near(plain(match[1]), ("note",)):
            return Span(note.path, number)
        if match and (plain(match[1]) in known or near(plain(match[1]), known)):
            hits.append(Span(note.path, number))
    return hits[0] if len(hits) > 1 else None


def hole(note: Note, name: Name, kind: Kind[Any] | None, how: Sorting, reason: Diagnostic) -> tuple[Hole, list[Diagnostic]]:
    """A note that cannot be used, with whatever of it can still be read."""
    typed = legible(note)
    for part, text in (("date", name.date), ("time", name.time), ("kind", name.kind), ("subject", name.subject)):
        if text:
            typed.setdefault(part, text)
    guarded = (kind.guarded if kind else True) and not plainly_other(typed, kind, how)
    kind_name = kind.name if kind else ""
    reason = said(reason, kind_name if kind_name else " ", how) if guarded else reason
    others = [message for message in note.told if message.code != reason.code or message.span != reason.span]
    return Hole(note.path, kind_name, guarded, typed, note.sound, reason, note.text), [reason, *others]


def plainly_other(typed: Mapping[str, str], kind: Kind[Any] | None, how: Sorting) -> bool:
    """Whether a note of unknown kind can be no guarded one: two of its fields belong only to others, and none to a guarded kind alone."""
    if kind is not None:
        return False
    guarded = {word for item in how.kinds if item.guarded for word in item.keys()}
    unguarded = {word for item in how.kinds if not item.guarded for word in item.keys()}
    hits = [word for word in typed if word in unguarded - guarded and not near(word, guarded - unguarded)]
    return len(hits) >= 2 and not any(near(word, guarded - unguarded) for word in typed)


def legible(note: Note) -> dict[str, str]:
    """Field → text of whatever looks like a field, even in a damaged head."""
    typed: dict[str, str] = {}
    for entry in note.fields.entries if note.fields else ():
        if isinstance(entry.value, Scalar):
            typed[plain(entry.key.text)] = entry.value.text
        elif isinstance(entry.value, Sequence):
            typed[plain(entry.key.text)] = ", ".join(item.text for item in entry.value.items if isinstance(item, Scalar))
    if note.fields is None:
        for line in note.text.split("\n")[:60]:
            if match := re.match(r"\s*([A-Za-z][\w -]{0,24}?)\s*:\s+(\S.*)", line):
                typed.setdefault(plain(match[1]), match[2].strip())
    return typed
