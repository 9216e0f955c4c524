"""All notes of a folder, decoded: records, holes, and files that are no notes. Nothing that was read is missing."""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from compiler.copies import COPY, copied, copy_told, is_same, same_told
from compiler.copies import Given as Given
from compiler.decode import DIFFERS, Render, decode
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.filenames import is_note
from compiler.frontmatter import FENCE, WORDS_LOST, as_text
from compiler.leftovers import all_lines
from compiler.misnamed import NAMED_ALIKE as NAMED_ALIKE
from compiler.misnamed import named_alike, unread_told
from compiler.names import DAY, KIND_KEY, YEARLESS, KindWords, Name, named_parts, read_name
from compiler.nearness import clipped, did_you_mean, plain
from compiler.notes import CONFLICT, Note, read_note
from compiler.schema import Cell, Habits, Kind, Record
from compiler.shape import Value, field, replace
from compiler.source import LARGEST_TEXT, Source, Span
from compiler.traces import holds_lines, kind_in_doubt, legible, legible_in_both, plainly_other, second_head, traced

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
TWO_HEADS = Rule(
    "N126",
    "two-heads",
    Grade.ERROR,
    "A file is one note. Where a second head stands in it two notes were put into one file, or one was pasted twice, "
    "and nothing of either is used until they are apart.",
    "---\nnote: remark\n---\nDry day.\n---\nnote: remark\n---\nWet day.\n",
)
RULES = (KIND_MISSING, KIND_UNKNOWN, COPY, EMPTY_GUARDED, TRACES, NAMED_ALIKE, TWO_HEADS)

R = TypeVar("R", bound=Record)


class Hole(Value):
    """A note that could not be decoded.

    `kind` is the kind's name when it could be read, else ""; `guarded` says that it is, or might be, of a guarded kind.
    `typed` holds whatever text of the head could still be read (key in lower case → text), the file name's parts
    included under "date", "time", "kind", "subject" where the head lacks them; `whole` is False when the head itself is
    damaged or missing, so that even what was read of it may be incomplete. `lines` are all its lines, and the rows of
    the table beside it. `original` is the path of the note that it is a copy of, or "".
    """

    path: str
    kind: str
    guarded: bool
    typed: Mapping[str, str]
    whole: bool
    reason: Diagnostic
    text: str = ""
    lines: tuple[Cell, ...] = ()
    original: str = ""


class Other(Value):
    """A file that is not a note, and why it was taken for none.

    `text` is what stands in it, "" where that is no text or too much. `sort` is one of "no head", "ending", "no
    ending", "hidden" (a folder too), "editor copy", "copy", "skipped", "picture", "table", "named" (in the settings),
    "link", "settings" (its comments), "book" (a folder) and "lines" (each line for itself). `original` is the path of
    the note that it is a copy of, or "".
    """

    path: str
    why: str
    text: str = ""
    sort: str = ""
    original: str = ""

    @property
    def of_no_concern(self) -> bool:
        """Whether it is a picture, or what a tool hid: no note by its name nor by what stands in it."""
        hidden = self.sort == "hidden" and not is_note(self.path) and not DAY.search(self.path)
        return self.sort == "picture" or (hidden and not FENCE.match(self.text))


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
        others = sum(other.sort != "settings" for other in self.others)  # these are counted on their own
        return len(self.records) + len(self.holes) + others + len(self.companions)

    def of(self, record: type[R]) -> tuple[R, ...]:
        """The records of one class, in order of path."""
        return tuple(item for item in self.records if isinstance(item, record))


class Sorting(Value):
    """What is needed to sort files into records and holes."""

    kinds: tuple[Kind[Any], ...]
    words: KindWords
    habits: Habits
    render: Render
    meanwhile: Callable[[str], str]
    lines_in: str = ""


def sorting(kinds: tuple[Kind[Any], ...], habits: Habits, render: Render, meanwhile: Callable[[str], str]) -> Sorting:
    """A sorting for these kinds of note."""
    return Sorting(kinds, KindWords(kinds, habits.dates), habits, render, meanwhile)


def collect(
    files: Iterable[Given], how: Sorting, asides: Iterable[Other] = (), placing: Placing | None = None
) -> tuple[Collection, tuple[Diagnostic, ...]]:
    """Every file as a record, a hole or an other file, in order of path, and all that is to be said about them.

    `asides` are files that were not read as notes; one that differs from a guarded note whose copy it is, is a hole.
    `placing` is `place`, or something that remembers what it gave.
    """
    put = placing or place
    given = sorted(files, key=lambda item: item.note.path)
    names = {item.note.path: name_of(item.note, how) for item in given}
    copies = copied(given, names)
    outcomes = [put(item, names[item.note.path], copies.get(item.note.path), how) for item in given]
    outcomes += beside(tuple(asides), [item.note for item in given], how)
    placed = [outcome for outcome, _ in outcomes]
    found = Collection(
        tuple(item for item in placed if isinstance(item, Record)),
        tuple(sorted((item for item in placed if isinstance(item, Hole)), key=lambda item: item.path)),
        tuple(sorted((item for item in placed if isinstance(item, Other)), key=lambda item: item.path)),
        tuple(item.companion.path for item in given if item.companion),
    )
    return found, tuple(message for _, messages in outcomes for message in messages)


Placed = Record | Hole | Other
Outcome = tuple[Placed, list[Diagnostic]]
Placing = Callable[[Given, Name, Given | None, Sorting], Outcome]


def beside(asides: Iterable[Other], notes: Iterable[Note], how: Sorting) -> list[Outcome]:
    """Files that were not read as notes, each with its original where it is a copy of one that was."""
    by_path = {note.path: note for note in notes}
    by_stem = {posixpath.splitext(path)[0]: note for path, note in by_path.items()}
    found = []
    for other in asides:
        name = read_name(other.path, how.words)
        original = by_path.get(name.copy_of) or by_stem.get(name.copy_of)
        found.append(compared(other, name, original, how) if original else (other, unread_told(other, name, how.words)))
    return found


def compared(other: Other, name: Name, original: Note, how: Sorting) -> Outcome:
    """A copy that was not read as a note: a hole if it differs and much hangs on it."""
    known = replace(other, original=original.path)
    if not other.text.strip() or other.sort == "skipped":
        return known, []
    if other.text == original.text:
        return replace(known, why=f"it is the same, letter for letter, as {original.path}"), []
    note = read_note(Source(other.path, other.text, ""))
    kinds = [kind_in_doubt(item, name, how.words) for item in (note, original)]
    kind = next((kind for kind in kinds if kind and kind.guarded), kinds[0])
    found, told = hole(note, name, kind, how, copy_told(other.path, original.path))
    if not found.guarded:
        return known, []
    return replace(found, lines=all_lines(note), original=original.path), told


def place(given: Given, name: Name, original: Given | None, how: Sorting) -> Outcome:
    """One file: a record, a hole or no note, and what is to be said of it. `original` is the note it is a copy of."""
    note = given.note
    trace = None if note.fenced else traced(note, name, how.words)
    if trace is None and how.lines_in and holds_lines(note, name, how.lines_in, how.words):
        return Other(note.path, "its lines are read one by one", note.text, "lines"), list(note.told)
    if not note.fenced and not name.dated and trace is None:
        return without_head(given, name, how)
    second = second_head(note, how.words) if note.fenced else None
    readable = note.sound and trace is None and second is None
    kind, trouble = kind_of(note, name, how) if readable else (kind_in_doubt(note, name, how.words, second), None)
    if not note.sound:
        trouble = next(item for item in note.told if item.grade is Grade.ERROR)
    elif trace is not None:
        trouble = TRACES.at(trace.place, trace.message, trace.cure)
    elif second is not None:
        trouble = two_heads(note, second)
    elif trouble is None and original is not None:
        if is_same(given, original):
            return same_copy(note, original.note, name)
        trouble = copy_told(note.path, original.note.path)
    elif trouble is None and kind is not None and kind.guarded and note.empty and given.companion is None:
        cure = "write at least the fields it cannot do without"
        trouble = EMPTY_GUARDED.at(Span(note.path), f"this {kind.name} note is empty", cure)
    if trouble is None and kind is not None:
        return decoded(given, name, kind, how)
    assert trouble is not None
    found, told = hole(note, name, kind, how, trouble)
    typed = {**found.typed, **legible_in_both(note, second)} if second else found.typed
    path = original.note.path if original else ""
    return replace(found, typed=typed, lines=all_lines(note, given.companion, second), original=path), told


def name_of(note: Note, how: Sorting) -> Name:
    """What a note's file name says. Behind a day no word is the kind of an undated thing: such a name tells what was
    done that day, unless the head says that it is a note on that thing.
    """
    name = read_name(note.path, how.words)
    kind = how.words.find(name.kind) if name.date and name.kind else None
    headed = any(plain(entry.key.text) == KIND_KEY for entry in (note.fields.entries if note.fields else ()))
    if kind is None or kind.dated or headed:
        return name
    return replace(name, kind="", subject=f"{name.kind} {name.subject}".strip())


def same_copy(note: Note, original: Note, name: Name) -> Outcome:
    """A copy that is the same as its original to the last letter."""
    why = f"it is the same, letter for letter, as {original.path}"
    return Other(note.path, why, note.text, "copy", original.path), same_told(note, original, name)


def two_heads(note: Note, second: tuple[int, int]) -> Diagnostic:
    """What is said of a file that holds two notes."""
    here = Span(note.path, note.body_line + second[0], 1, len(note.body[second[0]]))
    cure = "put what begins here into a file of its own, or take it out if it was pasted twice"
    return TWO_HEADS.at(here, "a second head begins here, so this file holds two notes", cure)


def without_head(given: Given, name: Name, how: Sorting) -> Outcome:
    """A file with neither a head nor a dated name: a hole if its name speaks of a guarded kind, else no note."""
    note = given.note
    told = [message for message in note.told if message.code == CONFLICT.code]
    text = note.text if len(note.text) <= LARGEST_TEXT else ""
    other = Other(note.path, "it has neither a head nor a dated name", text, "no head")
    kind = how.words.find(name.hint) if name.hint else None
    likely = bool(name.day) or plain(name.words).startswith(plain(name.hint))
    half = kind is not None and kind.dated and YEARLESS.match(name.words) is not None
    if kind is None or not (likely or half or kind.guarded):
        return other, told
    message = named_alike(note, name, kind)
    if not (likely and kind.guarded):
        return other, [*told, message if half else message.graded(Grade.WARNING)]
    found, told = hole(note, name, kind, how, message)
    return replace(found, lines=all_lines(note, given.companion), whole=False), told


def decoded(given: Given, name: Name, kind: Kind[Any], how: Sorting) -> tuple[Record, list[Diagnostic]]:
    """A sound note of a known kind. Lost words are the decoder's to tell where they are errors."""
    record, messages = decode(given.note, name, kind, how.habits, how.render, given.companion)
    raised = WORDS_LOST.code if kind.guarded else ""
    told = (*(message for message in given.note.told if message.code != raised), *messages)
    return record, [said(message, kind, how) for message in told]


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
    own_words = not (name.dated or found.dated or found.guarded) and len(found.named) == 1
    if own_words and named is not None and not (named.dated or named.guarded):
        return found, None
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
    for part, text in named_parts(name):
        if text:
            typed.setdefault(part, text)
    guarded = kind.guarded if kind else not plainly_other(typed, how.kinds)
    reason = said(reason, kind, how) if guarded else reason
    others = [message for message in note.told if (message.code, message.span) != (reason.code, reason.span)]
    found = Hole(note.path, kind.name if kind else "", guarded, typed, note.sound, reason, note.text)
    return found, [reason, *others]
