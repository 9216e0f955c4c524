"""All notes of a folder, decoded: records, holes, and files that are no notes. Nothing that was read is missing."""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from compiler.decode import DIFFERS, Render, decode
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.frontmatter import WORDS_LOST, as_text
from compiler.names import KIND_KEY, KindWords, Name, read_name
from compiler.nearness import clipped, did_you_mean, plain
from compiler.notes import CONFLICT, Note, Table
from compiler.schema import Habits, Kind, Record
from compiler.shape import Value, field, replace
from compiler.source import Span
from compiler.traces import kind_in_doubt, legible, plainly_other, traced

KIND_MISSING = Rule(
    "N120",
    "kind-missing",
    Grade.ERROR,
    "A note says what it is: in its head (`note: remark`) or in its file name (`2026-04-19 remark.md`).",
    "---\nplace: shed\n---\n",
)
KIND_UNKNOWN = Rule(
    "N121",
    "kind-unknown",
    Grade.ERROR,
    "The word after `note:` is no kind of note that this book knows.",
    "---\nnote: remrak\n---\n",
)
COPY = Rule(
    "N122",
    "copied-note",
    Grade.ERROR,
    "Two files that are copies of one note would count everything twice. Telephones and shared folders make such "
    "copies by themselves.",
    "2026-04-19 remark (1).md beside 2026-04-19 remark.md",
)
EMPTY_GUARDED = Rule(
    "N123",
    "guarded-note-empty",
    Grade.ERROR,
    "A note of this kind may not stand empty, because too much hangs on what it should say.",
    "2026-06-02 treatment.md, an empty file",
)
TRACES = Rule(
    "N124",
    "head-damaged",
    Grade.ERROR,
    "The file has no readable head, yet something in it looks like a note. It is not passed over, in case it says "
    "something that matters.",
    "--\nnote: remark\nplace: shed\n",
)
RULES = (KIND_MISSING, KIND_UNKNOWN, COPY, EMPTY_GUARDED, TRACES)

R = TypeVar("R", bound=Record)


class Hole(Value):
    """A note that could not be decoded.

    `kind` is the kind's name when it could be read, else ""; `guarded` says that it is, or might be, of a guarded kind.
    `typed` holds whatever text of the head could still be read (key in lower case → text), the file name's parts
    included under "date", "time", "kind", "subject" where the head lacks them; `whole` is False when the head itself is
    damaged, so that even what was read of it may be incomplete.
    """

    path: str
    kind: str
    guarded: bool
    typed: Mapping[str, str]
    whole: bool
    reason: Diagnostic
    text: str = ""


class Other(Value):
    """A file that is not a note, and why it was taken for none."""

    path: str
    why: str


class Collection(Value):
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


class Given(Value):
    """One file as it came: its source, already read as a note if that is known, and the CSV table beside it."""

    note: Note
    companion: Table | None = None


class Sorting(Value):
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
    given = sorted(files, key=lambda item: item.note.path)
    names = {item.note.path: read_name(item.note.path, how.words) for item in given}
    copies = copied(given, names)
    outcomes = [place(item, names[item.note.path], copies.get(item.note.path), how) for item in given]
    placed = [outcome for outcome, _ in outcomes]
    found = Collection(
        tuple(item for item in placed if isinstance(item, Record)),
        tuple(item for item in placed if isinstance(item, Hole)),
        tuple(item for item in placed if isinstance(item, Other)),
        tuple(item.companion.path for item in given if item.companion),
    )
    return found, tuple(message for _, messages in outcomes for message in messages)


Placed = Record | Hole | Other


def copied(given: Iterable[Given], names: Mapping[str, Name]) -> dict[str, Given]:
    """The path of each copy → its original: by what a copier put behind its name, or the same in name and bytes."""
    by_path = {item.note.path: item for item in given}
    first: dict[tuple[str, str], Given] = {}
    copies: dict[str, Given] = {}
    for path, item in by_path.items():
        name = names[path]
        same = (posixpath.basename(path), item.note.digest)
        original = by_path.get(name.copy_of) or first.get((name.copy_of, ""))
        original = original or (first.get(same) if item.note.digest else None)
        if original is not None:
            copies[path] = original
        first.setdefault(same, item)
        if name.copy_of:
            first.setdefault((name.copy_of, ""), item)
    return copies


def place(given: Given, name: Name, original: Given | None, how: Sorting) -> tuple[Placed, list[Diagnostic]]:
    """One file: a record, a hole or no note, and what is to be said of it. `original` is the note it is a copy of."""
    note = given.note
    trace = None if note.fenced else traced(note, name, how.words)
    if not note.fenced and not name.dated and trace is None:
        told = [message for message in note.told if message.code == CONFLICT.code]
        return Other(note.path, "it has neither a head nor a dated name"), told
    kind, trouble = (
        kind_of(note, name, how) if note.sound and trace is None else (kind_in_doubt(note, name, how.words), None)
    )
    if not note.sound:
        trouble = next(item for item in note.told if item.grade is Grade.ERROR)
    elif trace is not None:
        trouble = TRACES.at(trace.place, trace.message, trace.cure)
    elif trouble is None and original is not None:
        trouble = copy_told(note, original.note)
    elif trouble is None and kind is not None and kind.guarded and note.empty and given.companion is None:
        cure = "write at least the fields it cannot do without"
        trouble = EMPTY_GUARDED.at(Span(note.path), f"this {kind.name} note is empty", cure)
    if trouble is not None or kind is None:
        assert trouble is not None
        harmless = trouble.code == COPY.code and original is not None and original.note.digest == note.digest
        return hole(note, name, None if harmless else kind, how, trouble)
    return decoded(given, name, kind, how)


def decoded(given: Given, name: Name, kind: Kind[Any], how: Sorting) -> tuple[Record, list[Diagnostic]]:
    """A sound note of a known kind. Lost words are the decoder's to tell where they are errors."""
    record, messages = decode(given.note, name, kind, how.habits, how.render, given.companion)
    raised = WORDS_LOST.code if kind.guarded else ""
    told = (*(message for message in given.note.told if message.code != raised), *messages)
    return record, [said(message, kind, how) for message in told]


def copy_told(note: Note, original: Note) -> Diagnostic:
    """What is said of a copy."""
    message = f"this looks like a copy of {original.path}"
    cure = "keep the right one of the two files and delete the other"
    return COPY.at(Span(note.path), message, cure, also=(Span(original.path),))


def said(message: Diagnostic, kind: Kind[Any] | None, how: Sorting) -> Diagnostic:
    """An error with what the book does meanwhile, where the note is, or may be, of a guarded kind."""
    if message.grade is not Grade.ERROR or message.meanwhile or not (kind is None or kind.guarded):
        return message
    return replace(message, meanwhile=how.meanwhile(kind.name if kind else ""))


def kind_of(note: Note, name: Name, how: Sorting) -> tuple[Kind[Any] | None, Diagnostic | None]:
    """The kind of a sound note from its head and its file name, or what is wrong with it."""
    entries = note.fields.entries if note.fields else ()
    typed = next((entry.value for entry in entries if plain(entry.key.text) == KIND_KEY), None)
    named = how.words.find(name.kind) if name.kind else None
    kinds = ", ".join(kind.name for kind in how.kinds)
    if typed is None:
        message = "nothing says what kind of note this is"
        cure = f"add a line `note: …` with one of: {kinds}"
        return named, None if named else KIND_MISSING.at(Span(note.path), message, cure)
    text = as_text(typed)
    here = Span(note.path, typed.line, typed.column, len(text))
    found = how.words.find(text)
    if found is None:
        cure = f"{did_you_mean(plain(text), how.words.by_word, slips=2)}the kinds are {kinds}"
        return None, KIND_UNKNOWN.at(here, f"there is no kind of note called `{clipped(text)}`", cure)
    if named is not None and named.record is not found.record:
        message = f"the file name says {name.kind}, the note says {found.name}"
        told = DIFFERS.at(here, message, "make them the same", also=(Span(note.path),))
        return (named if named.guarded else found), told
    return found, None


def hole(
    note: Note, name: Name, kind: Kind[Any] | None, how: Sorting, reason: Diagnostic
) -> tuple[Hole, list[Diagnostic]]:
    """A note that cannot be used, with whatever of it can still be read."""
    typed = legible(note)
    for part, text in (("date", name.date), ("time", name.time), ("kind", name.kind), ("subject", name.subject)):
        if text:
            typed.setdefault(part, text)
    guarded = kind.guarded if kind else reason.code != COPY.code and not plainly_other(typed, how.kinds)
    reason = said(reason, kind, how) if guarded else reason
    others = [message for message in note.told if (message.code, message.span) != (reason.code, reason.span)]
    found = Hole(note.path, kind.name if kind else "", guarded, typed, note.sound, reason, note.text)
    return found, [reason, *others]
