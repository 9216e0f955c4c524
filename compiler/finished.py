"""A finished book as it was left: whether all that it follows from is still as it was, asked before anything is loaded.

What stands in a folder is told by the names, sizes and times of its files. A file that was changed just before it was
looked at is told by its bytes as well, because a second change may leave its time as it was; so is one whose time lies
in the future. Whatever is in doubt is "no": then the book is made.
"""

from __future__ import annotations

import hashlib
import os
import stat
import sys
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from compiler import codestore
from compiler.history import head_state
from compiler.home import home_of

SECONDS = 1_000_000_000  # in nanoseconds, as files have their times
RECENT = 3 * SECONDS  # a file changed so shortly before it was looked at is read (FAT keeps times to two seconds)
FINE = SECONDS // 10  # the same where times are kept finer
IN_WORK = frozenset({".book-lock", ".book-part"})  # files of a book that come and go
LISTS = ".book-files"  # the list of a book's files: a folder that has one is a book


class Asked(NamedTuple):
    """What is asked for: a book of these notes, in this folder ("" where the settings say), with this theme ("" for
    the book's own), on a moment in words ("" for now). `code` are the folders of the program.
    """

    notes: Path
    to: str
    theme: str
    on: str
    code: tuple[Path, ...]
    program: str


class Finished(NamedTuple):
    """A book that stands: what it was made from, and what was said when it was made.

    `begun` to `until` are the times between which it would come out the same; `clock` is the day on which it was made.
    `taken` is when the notes were looked at, in nanoseconds.
    """

    on: str
    zone: str
    begun: str
    until: str
    clock: str
    taken: int
    notes: str
    theme: str
    place: str
    book: str
    said: str
    summary: str
    files: int
    status: int
    commits: str = ""  # how the repository of the notes stood, "" where the book does not tell of it

    def speaks_of(self, on: str, now: datetime) -> bool:
        """Whether it is the book of the moment asked for, at the time `now`."""
        if self.on != on:
            return False
        return self.clock == now.date().isoformat() if on else self.begun <= now.isoformat() < self.until

    @property
    def made(self) -> datetime:
        """The moment that it speaks of."""
        return datetime.fromisoformat(self.begun)


class Look(NamedTuple):
    """How the notes and the theme stood before a book was made of them."""

    taken: int
    notes: str
    theme: str


def recall(asked: Asked) -> Finished | None:
    """The book that was made last of what is asked for by this very program, or None."""
    try:
        return Finished(*codestore.recall(_home(asked), _name(asked), program_digest(asked.code)))
    except TypeError:  # nothing, or something else
        return None


def stands(asked: Asked, kept: Finished) -> bool:
    """Whether notes, theme and book are as they were when it was finished."""
    try:
        if kept.commits and kept.commits != head_state(asked.notes):
            return False
        look = looked(asked, Path(kept.place), kept.taken)
        return look[1:] == (kept.notes, kept.theme) and book_digest(Path(kept.place)) == kept.book
    except OSError:
        return False


def looked(asked: Asked, place: Path, taken: int) -> Look:
    """How the notes stand now, seen as at the time `taken`. Raises OSError."""
    notes = folder_digest(asked.notes, place, taken - RECENT)
    return Look(taken, notes, folder_digest(Path(asked.theme), None, taken - RECENT) if asked.theme else "")


def remember(asked: Asked, finished: Finished) -> None:
    """Keep what was finished."""
    codestore.remember(_home(asked), _name(asked), program_digest(asked.code), tuple(finished))


def _home(asked: Asked) -> Path | None:
    return home_of(asked.notes, asked.program)


def _name(asked: Asked) -> str:
    to = os.path.realpath(asked.to) if asked.to else ""
    words = "\0".join((os.path.realpath(asked.notes), to, os.path.realpath(asked.theme) if asked.theme else ""))
    return f"book-{hashlib.sha256(words.encode('utf-8', 'surrogateescape')).hexdigest()[:16]}"


def program_digest(code: Iterable[Path]) -> str:
    """How the program stands: its files, the language, and what else is installed beside it."""
    whole = hashlib.sha256(sys.version.encode())
    for folder in code:
        whole.update(folder_digest(folder, None, sys.maxsize).encode())
    for place in sys.path:
        if place.endswith("-packages") and os.path.isdir(place):
            whole.update(f"{place}\0{os.stat(place).st_mtime_ns}\0".encode("utf-8", "surrogateescape"))
    return whole.hexdigest()


def book_digest(place: Path) -> str:
    """How a finished book stands on the disk."""
    made = os.stat(place / LISTS).st_mtime_ns
    coarse = made % 1_000_000 == 0  # this disk keeps no finer times
    return folder_digest(place, None, made - (RECENT if coarse else -FINE))


def folder_digest(root: Path, leave_out: Path | None, since: int) -> str:
    """All that stands in a folder but hidden folders, other books and one folder left out; files changed after `since`
    (in nanoseconds) by their bytes as well. Raises OSError.
    """
    whole = hashlib.blake2b(digest_size=24)
    apart = _identity(leave_out) if leave_out else None
    for line in _lines(os.fspath(root), "", apart, since):
        whole.update(line.encode("utf-8", "surrogateescape"))
    return whole.hexdigest()


def _lines(place: str, path: str, apart: tuple[int, int] | None, since: int) -> Iterator[str]:
    for entry in sorted(os.scandir(place), key=lambda item: item.name):
        if entry.name in IN_WORK or entry.name == "__pycache__":
            continue
        found = entry.stat(follow_symlinks=False)
        inner = f"{path}/{entry.name}"
        if (found.st_dev, found.st_ino) == apart:
            continue
        if stat.S_ISDIR(found.st_mode):
            closed = entry.name.startswith(".") or os.path.lexists(os.path.join(entry.path, LISTS))
            yield f"{inner}/\n"
            yield from () if closed else _lines(entry.path, inner, apart, since)
        else:
            yield f"{inner}\0{_state(entry.path, found, since)}\n"


def _state(place: str, found: os.stat_result, since: int) -> str:
    """How one file stands."""
    state = f"{found.st_mode} {found.st_size} {found.st_mtime_ns} {found.st_ctime_ns} {found.st_ino}"
    if stat.S_ISLNK(found.st_mode):
        return f"{state} {os.readlink(place)} {os.path.exists(place)} {os.path.isdir(place)}"
    if max(found.st_mtime_ns, found.st_ctime_ns) < since or not stat.S_ISREG(found.st_mode):
        return state
    with open(place, "rb") as file:
        return f"{state} {hashlib.file_digest(file, 'blake2b').hexdigest()}"


def _identity(folder: Path) -> tuple[int, int] | None:
    try:
        found = os.stat(folder)
    except OSError:
        return None
    return found.st_dev, found.st_ino
