"""What a slow stage gave, remembered between runs: digest of what went in → text that came out. Never wrong.

One SQLite file in the user's cache folder for each notes folder and each state of the code. It is disposable: whatever
goes wrong with it (damaged, locked, read-only, another version's), it is as if it were empty; the work is done anew and
nobody is told. Every entry carries a seal, so that a damaged byte in the file can never change what a note says.
"""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterable
from contextlib import suppress
from functools import cached_property
from pathlib import Path

from compiler.home import home_of

WAIT = 1.0  # seconds to wait for another process that is writing
SLACK = 1000  # entries of notes no longer there that are kept, beside as many as there are notes
# A damaged file makes the library raise all of these (its own message may be no text); a full memory is the same to us.
_TROUBLE = (sqlite3.Error, OSError, ValueError, TypeError, AttributeError, RecursionError, MemoryError, SystemError)
_PASSING = ("SQLITE_BUSY", "SQLITE_LOCKED", "SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_FULL", "SQLITE_IOERR")
_TABLE = "CREATE TABLE IF NOT EXISTS note (digest TEXT PRIMARY KEY, text TEXT NOT NULL, seal BLOB NOT NULL)"


class Store:
    """Texts by digest. `get`, `put`, and `save` at the end; none of them ever raises."""

    def __init__(self, path: Path | None) -> None:
        """A store in the file at `path`, or one that remembers nothing."""
        self._fresh: dict[str, str] = {}
        self._used: set[str] = set()
        self._path = path
        self._base = _connected(path) if path else None

    def get(self, digest: str) -> str | None:
        """The text put under this digest, or None."""
        text, seal = self._held.get(digest, ("", b""))
        if seal != _seal(digest, text):
            return None
        self._used.add(digest)
        return text

    def put(self, digest: str, text: str) -> None:
        """Remember a text."""
        if self._base is not None:
            self._fresh[digest] = text
            self._used.add(digest)

    def save(self) -> None:
        """Write what is new, at one stroke, and close the file."""
        if self._base is None:
            return
        try:
            if self._fresh:
                self._write(self._base)
            self._base.close()
        except _TROUBLE as error:
            self._give_up(error)
        self._base = None

    @cached_property
    def _held(self) -> dict[str, tuple[str, bytes]]:
        """All entries; reading them at once takes a tenth of the time of asking for each."""
        if self._base is None:
            return {}
        try:
            rows = self._base.execute("SELECT digest, text, seal FROM note").fetchall()
            return {str(digest): (str(text), bytes(seal)) for digest, text, seal in rows}
        except _TROUBLE as error:
            self._give_up(error)
            return {}

    def _write(self, base: sqlite3.Connection) -> None:
        rows = [(digest, text, _seal(digest, text)) for digest, text in self._fresh.items()]
        with base:
            base.execute("BEGIN IMMEDIATE")
            base.executemany("INSERT OR REPLACE INTO note VALUES (?, ?, ?)", rows)
            (count,) = base.execute("SELECT count(*) FROM note").fetchone()
            if count > 2 * len(self._used) + SLACK:
                old = [(digest,) for digest in self._held.keys() - self._used]
                base.executemany("DELETE FROM note WHERE digest = ?", old)

    def _give_up(self, error: Exception) -> None:
        """Go on without the file; a damaged one is removed so that the next run starts afresh."""
        if self._base is not None:
            with suppress(*_TROUBLE):
                self._base.close()
            self._base = None
            if self._path and not _will_pass(error):
                _discard(self._path)


def for_folder(notes: Path, program: str, code: str, place: Path | None = None) -> Store:
    """The store of a notes folder, in `place` or the user's cache folder: never inside the notes.

    `code` is the digest of everything but the input that decides what the stage gives: see `code_digest`.
    """
    home = home_of(notes, program, place)
    if home is None:
        return Store(None)
    key = hashlib.sha256(str(notes.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:16]
    _discard_older(home, key, code[:16])
    return Store(home / f"{key}-{code[:16]}.sqlite")


def code_digest(files: Iterable[Path], *words: str) -> str:
    """A digest of source files and of words (versions of libraries)."""
    whole = hashlib.sha256()
    for file in sorted(files):
        whole.update(file.read_bytes())
    whole.update("\0".join(words).encode())
    return whole.hexdigest()


def _connected(path: Path) -> sqlite3.Connection | None:
    for _ in range(2):  # a second time after a damaged file was put out of the way
        try:
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            base = sqlite3.connect(path, timeout=WAIT, isolation_level=None)
            base.execute("PRAGMA synchronous = OFF")
            base.execute("PRAGMA trusted_schema = OFF")
            base.execute(_TABLE)
        except _TROUBLE as error:
            if _will_pass(error):
                return _readable(path)
            _discard(path)
        else:
            return base
    return None


def _will_pass(error: BaseException) -> bool:
    """Whether the file itself is sound: somebody else is writing it, or it may not be written."""
    return getattr(error, "sqlite_errorname", "").startswith(_PASSING)


def _readable(path: Path) -> sqlite3.Connection | None:
    """A file that cannot be written may still be read."""
    with suppress(*_TROUBLE):
        base = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, timeout=WAIT, isolation_level=None)
        base.execute("SELECT digest, text, seal FROM note LIMIT 1")
        return base
    return None


def _seal(digest: str, text: str) -> bytes:
    return hashlib.blake2b(f"{digest}\0{text}".encode("utf-8", "surrogatepass"), digest_size=12).digest()


def _discard(path: Path) -> None:
    for name in (path, path.with_name(f"{path.name}-journal")):
        with suppress(OSError):
            name.unlink()


def _discard_older(home: Path, key: str, code: str) -> None:
    """Remove what other states of the code remembered of the same folder."""
    with suppress(OSError):
        for path in home.glob(f"{key}-*.sqlite"):
            if path.name != f"{key}-{code}.sqlite":
                _discard(path)
