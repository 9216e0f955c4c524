"""The notes folder: which files are read, and what becomes of those that cannot be."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from compiler.collection import Given, Other
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.filenames import is_note, is_passing, is_skipped, is_table, shown, sort_of
from compiler.notes import Note, Table, damages, read_csv, read_note
from compiler.output import MANIFEST
from compiler.shape import Value, replace
from compiler.source import LARGEST_TEXT, Source, Span, plain_text, read_source

UNREADABLE = Rule(
    "N130",
    "file-unreadable",
    Grade.ERROR,
    "The file is there but could not be read, so nobody knows what it says.",
    "a note that this user may not open",
)
TOO_BIG = Rule(
    "N131",
    "file-too-big",
    Grade.ERROR,
    "No note is this long. The file is probably something else with the ending of a note.",
    "a recording of 20 MB called `2026-04-19.txt`",
)
LINKED = Rule(
    "N132",
    "link-not-followed",
    Grade.ERROR,
    "A link to another place is not followed: what stands there could be read twice, be lost on another machine, or be "
    "something that nobody meant to put into the book.",
    "events/2025, a link to /mnt/old/2025",
)
FOLDER_NAME = Rule(
    "N133",
    "folder-named-like-note",
    Grade.WARNING,
    "A folder has the ending of a note. The notes in it are read, but the folder itself is none.",
    "2026-04-19 remark.md (a folder)",
)
CHANGING = Rule(
    "N134",
    "notes-changing",
    Grade.ERROR,
    "The notes were being changed all the while that they were read, so the book may hold some of them from before and "
    "some from after the change.",
    "a folder that is being synchronised",
)
LONELY = Rule(
    "N135",
    "table-without-note",
    Grade.WARNING,
    "A table belongs to the note that has its name; without the note nobody knows what its figures are.",
    "2026-08-14 weighing.csv with no `2026-08-14 weighing.md` beside it",
)
RULES = (UNREADABLE, TOO_BIG, LINKED, FOLDER_NAME, CHANGING, LONELY)

LARGEST = 10_000_000  # bytes of one file (our own limit)
TRIES = 3  # times that a folder which changes during the reading is read
CHUNK = 1_000_000  # bytes read at a time beyond the size that a file says it has
# A link is not followed at the last moment either, and a pipe does not make the program wait.
_OPENING = os.O_RDONLY | sum(getattr(os, name, 0) for name in ("O_NONBLOCK", "O_NOFOLLOW", "O_CLOEXEC", "O_BINARY"))
NAMED = "the settings name it"
_ASIDE = {"skipped": "the settings say to skip it", "hidden": "the name of its folder makes it a hidden file"}
# Hidden folders that a tool fills with thousands of files: only what lies in them itself is looked at.
OF_TOOLS = frozenset({".git", ".hg", ".svn", ".venv", ".tox", ".cache", ".mypy_cache", ".ruff_cache", ".pytest_cache"})
_BESIDE = "write a note with the same name, ending in `.md`, that says what it is"
_NOT_FOLLOWED = "put the files themselves here, or list the link under `skip` in the settings"


class Found(Value):
    """A file to be read: its path in the notes (`/`, composed characters), its place on disk, last change and size."""

    path: str
    place: str
    stamp: tuple[int, int]


Read = Callable[[Found, Found | None], Given]  # a note in its file, with the table beside it


class Aside(Value):
    """A file that is not read as a note: of what sort it is, and why."""

    found: Found
    sort: str
    why: str


@dataclass(slots=True)
class Listing:
    """What stands in a notes folder: notes, tables, other files and places, and what is wrong."""

    notes: list[Found] = field(default_factory=list)
    tables: list[Found] = field(default_factory=list)
    asides: list[Aside] = field(default_factory=list)
    others: list[Other] = field(default_factory=list)
    holes: list[Diagnostic] = field(default_factory=list)
    told: list[Diagnostic] = field(default_factory=list)


class Contents(Value):
    """Everything read from a notes folder."""

    given: tuple[Given, ...]
    others: tuple[Other, ...]
    told: tuple[Diagnostic, ...]


def require(folder: Path) -> None:
    """Raise OSError, in words, if this is no folder."""
    if not folder.is_dir():
        raise NotADirectoryError(f"{folder} is not a folder" if folder.exists() else f"there is no folder {folder}")


def read_settings_file(folder: Path, name: str) -> tuple[Source | None, tuple[Diagnostic, ...]]:
    """The settings file, or None if there is none or it cannot be read (then a message says so)."""
    place = folder / name
    if not os.path.lexists(place):
        return None, ()
    data = _read(Found(name, str(place), (0, 0)))
    return (read_source(name, data), ()) if isinstance(data, bytes) else (None, (data,))


def read_folder(
    folder: Path, skip: Sequence[str], leave_out: Path | None = None, named: Sequence[str] = (), how: Read | None = None
) -> Contents:
    """Every note below a folder. A folder that changes meanwhile is read again. Never raises for a single file.

    `skip` are globs of paths or names; `leave_out` is the book's own folder; `named` are files that the settings name,
    no notes; `how` gives a note as it stands in its file. Raises OSError if the folder cannot be listed.
    """
    for _ in range(TRIES):
        listing = list_folder(folder, skip, leave_out)
        contents = _contents(_without(listing, named), how or given_of)
        if list_folder(folder, skip, leave_out) == listing:
            return contents
    cure = "wait until nothing changes and compile again"
    told = CHANGING.at(Span("."), "the notes changed while they were read", cure)
    return replace(contents, told=(*contents.told, told))


def list_folder(folder: Path, skip: Sequence[str] = (), leave_out: Path | None = None) -> Listing:
    """What stands in a notes folder, in the order of file names. Raises OSError if it cannot be listed."""
    walk = _Walk(folder.resolve(), tuple(skip), leave_out.resolve() if leave_out else None)
    walk.go(os.fspath(folder), "")
    return walk.found


class _Walk:
    """A walk through the notes folder."""

    def __init__(self, root: Path, skip: tuple[str, ...], leave_out: Path | None) -> None:
        self.root, self.skip, self.leave_out = root, skip, leave_out
        self.found = Listing()

    def go(self, place: str, path: str, aside: str = "") -> None:
        """`aside` is the sort of all files here, where they are not read as notes."""
        for entry in sorted(os.scandir(place), key=lambda item: item.name):
            inner = f"{path}{shown(entry.name)}"
            self.entry(entry, inner, aside or ("skipped" if is_skipped(inner, self.skip) else ""))

    def entry(self, entry: os.DirEntry[str], path: str, aside: str) -> None:
        if entry.is_symlink():
            self.link(entry, path, aside)
        elif entry.is_dir(follow_symlinks=False):
            self.folder(entry, path, aside)
        else:
            self.file(entry, path, aside)

    def link(self, entry: os.DirEntry[str], path: str, aside: str) -> None:
        """A link is not followed; one that could hold notes is a hole, unless they are read in their own place."""
        target = Path(os.path.realpath(entry.path))
        likely = os.path.isdir(target) or (os.path.isfile(target) and sort_of(entry.name)[0] != "picture")
        likely = likely or is_note(entry.name) or is_table(entry.name)
        if aside or is_passing(entry.name) or not likely:
            self.found.others.append(Other(path, "it is a link, which is not followed", sort="link"))
            return
        message = LINKED.at(Span(path), f"this is a link to {shown(os.fspath(target))}", _NOT_FOLLOWED)
        if self.reads(target):
            self.found.told.append(message.graded(Grade.WARNING))
            self.found.others.append(Other(path, "it is a link to notes that are read in their own place", sort="link"))
        else:
            self.found.holes.append(message)

    def reads(self, target: Path) -> bool:
        """Whether what a link leads to is read in its own place: not outside, and in no hidden folder."""
        if not target.exists() or not target.is_relative_to(self.root):
            return False
        return not any(is_passing(part) for part in target.relative_to(self.root).parts)

    def folder(self, entry: os.DirEntry[str], path: str, aside: str) -> None:
        if self.leave_out and Path(os.path.realpath(entry.path)) == self.leave_out:
            return
        if os.path.isfile(os.path.join(entry.path, MANIFEST)):
            self.found.others.append(Other(path, "it is a book that a compile made", sort="book"))
            return
        if entry.name.startswith("."):
            self.found.others.append(Other(path, "it is a hidden folder", sort="hidden"))
            self.hidden(entry.path, path, entry.name not in OF_TOOLS)
            return
        if is_note(entry.name) and not aside:
            self.found.told.append(
                FOLDER_NAME.at(Span(path), "this is a folder, not a note", "give the folder another name")
            )
        try:
            self.go(entry.path, f"{path}/", aside or ("hidden" if is_passing(entry.name) else ""))
        except OSError as error:
            self.found.holes.append(_unreadable(path, error))

    def hidden(self, place: str, path: str, deep: bool) -> None:
        """What has the ending of a note in a hidden folder, and in those within it unless a tool keeps it."""
        try:
            entries = sorted(os.scandir(place), key=lambda item: item.name)
        except OSError:
            return
        for entry in entries:
            inner = f"{path}/{shown(entry.name)}"
            if entry.is_symlink():
                continue
            if not entry.is_dir(follow_symlinks=False):
                if is_note(entry.name):
                    self.file(entry, inner, "hidden")
            elif deep:
                self.hidden(entry.path, inner, deep)

    def file(self, entry: os.DirEntry[str], path: str, aside: str) -> None:
        try:
            status = entry.stat(follow_symlinks=False)
        except OSError:
            status = None
        found = Found(path, entry.path, (status.st_mtime_ns, status.st_size) if status else (0, 0))
        if aside:
            self.found.asides.append(Aside(found, aside, _ASIDE[aside]))
        elif is_passing(entry.name) or not (is_note(entry.name) or is_table(entry.name)):
            self.found.asides.append(Aside(found, *sort_of(entry.name)))
        else:
            (self.found.notes if is_note(entry.name) else self.found.tables).append(found)


def hole(path: str, message: Diagnostic) -> Note:
    """A note of which nothing is known but its name, and why."""
    return replace(read_note(Source(path, "", "")), fenced=True, told=(message,))


def lines_of(folder: Path) -> Callable[[Span], str]:
    """A function that gives the line of a note at a place, for quoting it in a message; "" where it cannot be read."""
    read: dict[str, list[str]] = {}

    def line_of(span: Span) -> str:
        if span.path not in read:
            data = _read(Found(span.path, os.path.join(folder, span.path), (0, 0))) if span.path else b""
            read[span.path] = read_source(span.path, data).text.split("\n") if isinstance(data, bytes) else []
        lines = read[span.path]
        return lines[span.line - 1] if 0 < span.line <= len(lines) else ""

    return line_of


def _without(listing: Listing, named: Sequence[str]) -> Listing:
    """A listing in which the files that the settings name are no notes' tables, and nothing else. Notes, and tables
    beside a note of their own name, are always read: naming one in the settings must not take it out of the book.
    """
    stems = {_stem(found.path) for found in listing.notes}
    apart = [found for found in listing.tables if found.path in named and _stem(found.path) not in stems]
    tables = [found for found in listing.tables if found not in apart]
    asides = [Aside(item.found, "named", NAMED) if item.found.path in named else item for item in listing.asides]
    asides += [Aside(found, "named", NAMED) for found in apart]
    return Listing(listing.notes, tables, asides, listing.others, listing.holes, listing.told)


def _contents(listing: Listing, read: Read) -> Contents:
    tables = {_stem(found.path): found for found in listing.tables}
    given = [read(found, tables.pop(_stem(found.path), None)) for found in listing.notes]
    given += [Given(hole(message.span.path, message)) for message in listing.holes]
    lonely = [
        LONELY.at(Span(found.path), "this table has no note of the same name beside it", _BESIDE)
        for found in tables.values()
    ]
    alone = [Aside(found, "table", "no note of the same name stands beside this table") for found in tables.values()]
    others = [_other(aside) for aside in (*listing.asides, *alone)]
    return Contents(tuple(given), (*listing.others, *others), (*listing.told, *lonely))


def _other(aside: Aside) -> Other:
    """A file that is not read as a note, with its text where it has one of bearable length."""
    size = aside.found.stamp[1]
    data = _read(aside.found) if aside.sort != "picture" and size <= LARGEST_TEXT else b""
    if not isinstance(data, bytes):
        return Other(aside.found.path, f"{aside.why}; {data.message}", "", aside.sort)
    return Other(aside.found.path, aside.why, plain_text(data) if len(data) <= LARGEST_TEXT else "", aside.sort)


def _stem(path: str) -> str:
    return path.rpartition(".")[0]


def given_of(found: Found, table: Found | None) -> Given:
    """A note as it stands in its file, with the table beside it."""
    data = _read(found)
    note = read_note(read_source(found.path, data)) if isinstance(data, bytes) else hole(found.path, data)
    if table is None:
        return Given(note)
    rows = _read(table)
    if not isinstance(rows, bytes):
        return Given(replace(note, told=(*note.told, rows)), Table((), (), path=table.path))
    source = read_source(table.path, rows)
    return Given(replace(note, told=(*note.told, *damages(source))), read_csv(source))


def _read(found: Found) -> bytes | Diagnostic:
    """The bytes of a plain file of bearable size, or what is wrong with it."""
    try:
        handle = os.open(found.place, _OPENING)
        try:
            status = os.fstat(handle)
            if not stat.S_ISREG(status.st_mode):
                return UNREADABLE.at(Span(found.path), "this is not a plain file", "move it out of the notes folder")
            data = _whole(handle, min(status.st_size, LARGEST))
        finally:
            os.close(handle)
    except OSError as error:
        return _unreadable(found.path, error)
    if len(data) > LARGEST:
        return TOO_BIG.at(Span(found.path), f"this file is larger than {LARGEST // 1_000_000} MB", _cut(found.path))
    return data


def _whole(handle: int, size: int) -> bytes:
    """All bytes of an open file that should hold `size`, or a little more than the limit of them."""
    data = os.read(handle, size + 1)
    while len(data) <= LARGEST and (more := os.read(handle, CHUNK)):
        data += more
    return data


def _cut(path: str) -> str:
    return f"cut it into shorter notes, or list `{path}` under `skip` in the settings if it is none"


def _unreadable(path: str, error: OSError) -> Diagnostic:
    why = error.strerror or "it cannot be opened"
    return UNREADABLE.at(Span(path), f"this cannot be read: {why.lower()}", "mend it, then compile again")
