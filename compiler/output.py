"""The book's folder on disk: writes only what differs, deletes only what this program wrote, is whole at any moment.

A list of the files made (`.book-files`, in the format of `sha256sum`) stands in the folder. Before the first change the
list names everything that is about to be written, so that even a killed run leaves nothing that a later cannot tidy.
"""

from __future__ import annotations

import errno
import hashlib
import os
import re
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from dataclasses import field as own
from functools import lru_cache
from pathlib import Path

from compiler.lock import Busy, locked
from compiler.pages import folders_of, path_fault, unfit_paths
from compiler.shape import Value, field

MANIFEST = ".book-files"
LOCK = ".book-lock"
CHIEF = "index.html"  # the page that every book has
PART = ".book-part"  # the one file that is half-written at any moment; it takes its page's place when it is whole
HEADING = (
    "# Files that a compile made in this folder; everything else here is left alone. Check: sha256sum -c .book-files\n"
)
PENDING = "0" * 64  # digest of a file that was about to be written
PATIENCE = 10.0  # seconds to wait for another compile of the same book
REMAINS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini", LOCK, PART})  # what file browsers leave in empty folders

_ENTRY = re.compile(r"([0-9a-f]{64})  (\S+)")
_HELP = {
    errno.ENOSPC: ("the disk is full", "make room and compile again; the pages on disk are whole"),
    errno.EDQUOT: ("the disk is full for this user", "make room and compile again; the pages on disk are whole"),
    errno.EROFS: ("the disk can only be read", "name another folder for the book with --to"),
    errno.EACCES: (
        "this user may not write there",
        "name another folder with --to, or close the page where it is open",
    ),
    errno.EPERM: ("this user may not write there", "name another folder with --to, or close the page where it is open"),
}

Draw = Callable[[Sequence[str]], Iterable[bytes]]


class OutputRefused(Exception):
    """The book cannot be written there: why, and what to do."""

    def __init__(self, message: str, help: str) -> None:
        super().__init__(message)
        self.message = message
        self.help = help


class Written(Value):
    """What a compile did on disk, as paths below the book's folder.

    `left` are files that are no longer made but that somebody has changed since: they stay.
    """

    made: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    left: tuple[str, ...] = ()


class Seals(Value):
    """Files that speak for all others, with what stands in their place while anything is being written; and the pages
    that are wanted `first`.
    """

    meanwhile: Mapping[str, bytes] = field(default_factory=dict)
    first: tuple[str, ...] = ()

    def turn(self, path: str) -> tuple[bool, bool, bool, str]:
        """Sort key: what is wanted first, then the rest, the front page behind it, and the seals last of all."""
        return path in self.meanwhile, path not in self.first, path == CHIEF, path


NO_SEALS = Seals()


@contextmanager
def opened(to: Path, notes: Path, patience: float = PATIENCE, chief: str = "") -> Iterator[Output]:
    """The book's folder, ready to be written and closed to other compiles until the end of the block.

    `chief` is a file that every set of its sort has, if any is. Raises OutputRefused when the folder holds anything but
    a set of that sort, or cannot be written.
    """
    folder = _admitted(to, notes)
    with explained(folder), locked(folder / LOCK, patience):
        (folder / PART).unlink(missing_ok=True)
        files = _read_manifest(folder)
        if files and chief and chief not in files:
            raise OutputRefused(f"{to} holds something else that this program wrote", "name another folder with --to")
        yield Output(folder, files)


@dataclass(slots=True)
class Output:
    """An open book folder and the files in it that this program wrote: path → SHA-256 in hexadecimal."""

    folder: Path
    files: dict[str, str] = own(default_factory=dict)

    def write(self, paths: Iterable[str], draw: Draw, seals: Seals = NO_SEALS) -> Written:
        """Make the book hold exactly `paths`; `draw` gives their bytes in the order that it is handed.

        Files that speak for all others are written last, so that a run that is killed leaves none that speaks for pages
        of another time. Raises OutputRefused before anything is changed if a path is not a safe one or is taken by
        somebody else's file.
        """
        order = sorted(set(paths), key=seals.turn)
        with explained(self.folder):
            self._refuse(order)
            run = _Run(self, order, seals.meanwhile)
            written = run.whole(draw)
        self.files = run.after
        return written

    def _refuse(self, order: Sequence[str]) -> None:
        for path, reason in unfit_paths(order).items():
            raise OutputRefused(f"`{path}` cannot be a file of the book", reason)
        _refuse_symlinks(self.folder, order)
        foreign = [path for path in order if path not in self.files and os.path.lexists(self.folder / path)]
        if foreign:
            raise OutputRefused(
                f"{self.folder / foreign[0]} is not a file that a compile made, and the book needs its name"
                + (f" ({len(foreign)} such files)" if len(foreign) > 1 else ""),
                "move it away, or name another folder for the book with --to",
            )


class _Run:
    """One writing of the book."""

    def __init__(self, output: Output, order: Sequence[str], seals: Mapping[str, bytes]) -> None:
        self.folder, self.before, self.order, self.seals = output.folder, output.files, order, seals
        self.after: dict[str, str] = {}
        self.announced = False
        self.spoke: dict[str, bytes | None] = {}  # what the files that speak for all others said before
        self.made: list[str] = []
        self.changed: list[str] = []
        self.kept: list[str] = []

    def whole(self, draw: Draw) -> Written:
        last = []
        for path, data in zip(self.order, draw(self.order), strict=True):
            if path in self.seals:
                last.append((path, data))
            else:
                self._one(path, data)
        removed, left = self._tidy()
        for path, data in last:
            self._seal(path, data)
        if self.announced or self.after != self.before:
            _replace(self.folder, MANIFEST, _manifest(self.after))
        return Written(tuple(self.made), tuple(self.changed), tuple(self.kept), removed, left)

    def _one(self, path: str, data: bytes) -> None:
        there = _bytes(self.folder / path)
        if there == data:
            known = self.before.get(path, PENDING)
            self.after[path] = _digest(data) if known == PENDING else known
            self.kept.append(path)
            return
        self._announce()
        _replace(self.folder, path, data)
        self.after[path] = _digest(data)
        (self.made if there is None else self.changed).append(path)

    def _announce(self) -> None:
        """Before the first change: list everything that is about to be written beside what was there, and let the
        files that speak for all others say that the book is being written.
        """
        if not self.announced:
            pending = dict.fromkeys(self.order, PENDING)
            _replace(self.folder, MANIFEST, _manifest({**self.before, **pending}))
            self.announced = True
            for path, meanwhile in self.seals.items():
                self.spoke[path] = _bytes(self.folder / path)
                _replace(self.folder, path, meanwhile)

    def _seal(self, path: str, data: bytes) -> None:
        """A file that speaks for all others, now that they stand."""
        if not self.announced:
            self._one(path, data)
            return
        _replace(self.folder, path, data)
        self.after[path] = _digest(data)
        spoke = self.spoke[path]
        (self.made if spoke is None else self.kept if spoke == data else self.changed).append(path)

    def _tidy(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Remove what earlier runs made and this one did not; gives the paths removed and those left alone."""
        wanted = {path.casefold() for path in self.order}
        gone = [path for path in sorted(self.before) if path.casefold() not in wanted]
        removed, left = [], []
        for path in gone:
            if _is_ours(self.folder, path, self.before[path]):
                self._announce()
                (self.folder / path).unlink()
                removed.append(path)
            elif os.path.lexists(self.folder / path):
                left.append(path)
        _remove_empty_folders(self.folder, removed)
        return tuple(removed), tuple(left)


def _admitted(to: Path, notes: Path) -> Path:
    """The folder to write to, made if need be. Raises OutputRefused if it is no place for a book."""
    with explained(to):
        folder, source = to.resolve(), notes.resolve()
        if folder == source or folder in source.parents:
            raise OutputRefused(f"{to} holds the notes themselves", "name another folder for the book with --to")
        if folder.exists() and not folder.is_dir():
            raise OutputRefused(f"{to} is a file, not a folder", "name another folder for the book with --to")
        folder.mkdir(parents=True, exist_ok=True)
        strangers = sorted({entry.name for entry in os.scandir(folder)} - REMAINS)
    if strangers and MANIFEST not in strangers:
        raise OutputRefused(
            f"{to} holds files that no compile made (`{strangers[0]}`{' and others' if len(strangers) > 1 else ''})",
            "name an empty or a new folder for the book with --to",
        )
    return folder


def listed_files(folder: Path) -> Mapping[str, str]:
    """The files of a book by its own list, with their digests. Raises OSError, OutputRefused."""
    found = os.stat(folder / MANIFEST)
    return _listed(folder, found.st_mtime_ns, found.st_ino)


@lru_cache(maxsize=2)
def _listed(folder: Path, changed: int, inode: int) -> dict[str, str]:
    del changed, inode
    return _read_manifest(folder)


def _read_manifest(folder: Path) -> dict[str, str]:
    data = _bytes(folder / MANIFEST)
    lines = [] if data is None else data.decode("utf-8", "replace").splitlines()
    entries = [_ENTRY.fullmatch(line) for line in lines if not line.startswith("#")]
    if any(entry is None or path_fault(entry[2]) for entry in entries):
        raise OutputRefused(
            f"{folder / MANIFEST}, the list of the book's own files, is damaged",
            "move the folder away, or name another one with --to; the book is then made anew",
        )
    return {entry[2]: entry[1] for entry in entries if entry}


def _manifest(files: dict[str, str]) -> bytes:
    return (HEADING + "".join(f"{files[path]}  {path}\n" for path in sorted(files))).encode()


def _replace(folder: Path, path: str, data: bytes) -> None:
    """Put a whole file in place at one stroke."""
    target, part = folder / path, folder / PART
    try:
        part.write_bytes(data)
        try:
            os.replace(part, target)
        except FileNotFoundError:
            target.parent.mkdir(parents=True, exist_ok=True)
            os.replace(part, target)
    except OSError:
        with suppress(OSError):
            part.unlink(missing_ok=True)
        raise


def _bytes(path: Path) -> bytes | None:
    """What a file holds, or None if there is none."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _is_ours(folder: Path, path: str, digest: str) -> bool:
    """Whether a file is still what this program wrote: plain, reached through plain folders, with the same bytes."""
    if any((folder / part).is_symlink() for part in (*folders_of(path), path)) or not (folder / path).is_file():
        return False
    return digest == PENDING or digest == _digest((folder / path).read_bytes())


def _remove_empty_folders(folder: Path, removed: Iterable[str]) -> None:
    inner = {step for path in removed for step in folders_of(path)}
    for step in sorted(inner, key=len, reverse=True):
        with suppress(OSError):
            (folder / step).rmdir()


def _refuse_symlinks(folder: Path, order: Sequence[str]) -> None:
    """Nothing is written through a link, nor over a thing that is no plain file."""
    steps = {step for path in order for step in (*folders_of(path), path)}
    pages = set(order)
    for step in sorted(steps):
        with suppress(FileNotFoundError, NotADirectoryError):
            mode = os.lstat(folder / step).st_mode
            if stat.S_ISLNK(mode) or not (stat.S_ISREG(mode) if step in pages else stat.S_ISDIR(mode)):
                raise OutputRefused(
                    f"{folder / step} is not a plain {'file' if step in pages else 'folder'}",
                    "move it away, or name another folder for the book with --to",
                )


@contextmanager
def explained(place: Path) -> Iterator[None]:
    """Errors of the file system in words that say what to do, as OutputRefused."""
    try:
        yield
    except Busy as busy:
        raise OutputRefused(f"another compile is writing {place}", "wait until it is done and try again") from busy
    except OSError as error:
        why, help = _HELP.get(
            error.errno or 0, (error.strerror or str(error), "name another folder for the book with --to")
        )
        raise OutputRefused(f"cannot write {error.filename or place}: {why}", help) from error
