"""What was worked out before, remembered between runs by all that decides it: records by the bytes of their notes, dear
facts by what went into them. Never wrong: whatever does not come back the same to the last byte is not kept, and
whatever is damaged, foreign or of another state of the program is as if it were not there.
"""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, cached_property
from importlib.util import find_spec
from pathlib import Path
from typing import Any, TypeVar

from compiler import codestore
from compiler.collection import Given, Outcome, Sorting, place
from compiler.diagnostics import Diagnostic
from compiler.home import home_of
from compiler.names import Name
from compiler.pages import Html
from compiler.schema import Record
from compiler.shape import UNPACKABLE, Value, packed, packed_alike, replace, unpacked
from compiler.store import code_digest

T = TypeVar("T")
U = TypeVar("U")
LIBRARIES = ("msgspec", "markdown_it")  # whose version decides what a record is
VERSIONS = ("__init__.py", "version.py", "_version.py")  # files of a library of which one says its version


class Shelf(Value):
    """Where things are remembered, for which folder of notes, and by which state of the program."""

    place: Path
    folder: str
    program: str


class Kept(Value):
    """A record as it is kept: its class, its bytes, and what was said of its note."""

    made_of: str
    record: bytes
    told: tuple[Diagnostic, ...]


Keeping = dict[bytes, Kept]
_SHELF: ContextVar[Shelf | None] = ContextVar("_SHELF", default=None)


@contextmanager
def recollecting(notes: Path, book: str, code: tuple[str, ...], cache: Path | None) -> Iterator[None]:
    """Remember in `cache` or the user's own folder, as long as `code`, the folders of the program, stays the same."""
    home, program = home_of(notes, book, cache), _program(code)
    folder = hashlib.sha256(str(notes.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:16]
    token = _SHELF.set(Shelf(home, folder, program) if home and program else None)
    try:
        yield
    finally:
        _SHELF.reset(token)


@cache
def _program(code: tuple[str, ...]) -> str:
    """A digest of the program, "" where its files are not at hand."""
    files = [file for folder in code for file in Path(folder).rglob("*.py")]
    try:
        return code_digest(files, sys.version, *map(library_state, LIBRARIES)) if files else ""
    except OSError:
        return ""


@cache
def library_state(name: str) -> str:
    """A digest of what says the version of a library, which is not loaded for that."""
    spec = find_spec(name)
    files = [Path(spec.origin).with_name(file) for file in VERSIONS] if spec and spec.origin else []
    return code_digest(file for file in files if file.is_file())


def worked_out(name: str, kind: type[T], inputs: tuple[object, ...], make: Callable[[], T | U]) -> T | U:
    """What `make` gives of these inputs, or gave before; anything but a `kind` is not remembered."""
    shelf = _SHELF.get()
    try:
        whole = packed_alike((shelf.program if shelf else "", inputs))
    except UNPACKABLE:
        shelf = None
    if shelf is None:
        return make()
    digest, where = hashlib.blake2b(whole, digest_size=32).hexdigest(), f"{name}-{shelf.folder}"
    known = _unpacked(codestore.recall(shelf.place, where, digest), kind)
    if known is not None:
        return known
    made = make()
    if isinstance(made, kind) and (data := _faithful(made)):
        codestore.remember(shelf.place, where, digest, data)
    return made


class Records:
    """The records that were made of notes, by the bytes and the path of each note and how values are typed."""

    def __init__(self, shelf: Shelf | None, how: Sorting) -> None:
        """What is remembered is read when it is first asked for."""
        self.shelf, self.classes = shelf, {kind.record.__name__: kind.record for kind in how.kinds}
        self.digest = hashlib.sha256(f"{shelf.program if shelf else ''}\0{how.habits!r}".encode()).hexdigest()
        self.used: Keeping = {}
        self.fresh: dict[bytes, Outcome] = {}

    @cached_property
    def known(self) -> Mapping[bytes, Kept]:
        """All that is remembered."""
        data = codestore.recall(self.shelf.place, self.name, self.digest) if self.shelf else None
        return _unpacked(data, Keeping) or {}

    @property
    def name(self) -> str:
        """What they are kept under."""
        return f"records-{self.shelf.folder if self.shelf else ''}"

    def place(self, given: Given, name: Name, original: Given | None, how: Sorting) -> Outcome:
        """What becomes of a note; one with a table beside it, or that is a copy, is always read anew."""
        alone = self.shelf and given.note.digest and original is None and given.companion is None
        key = _key(given) if alone else b""
        kept = self.known.get(key) if key else None
        record = _unpacked(kept.record, self.classes[kept.made_of]) if kept and kept.made_of in self.classes else None
        if kept and record is not None:
            self.used[key] = kept
            origin = replace(record.origin, html=Html(record.origin.html))
            return replace(record, origin=origin), list(kept.told)
        outcome = place(given, name, original, how)
        if key and isinstance(outcome[0], Record):
            self.fresh[key] = outcome
        return outcome

    def save(self) -> None:
        """Keep what is new, and of what was known that which the notes still say."""
        made = {key: kept for key, (record, told) in self.fresh.items() if (kept := _kept(record, told))}
        if self.shelf and made:
            codestore.remember(self.shelf.place, self.name, self.digest, packed({**self.used, **made}))


@contextmanager
def records(how: Sorting) -> Iterator[Records]:
    """The records remembered of the notes at hand; kept if nothing failed."""
    known = Records(_SHELF.get(), how)
    yield known
    known.save()


def _key(given: Given) -> bytes:
    path = given.note.path.encode("utf-8", "surrogatepass")
    return hashlib.blake2b(given.note.digest.encode() + b"\0" + path, digest_size=16).digest()


def _kept(record: object, told: list[Diagnostic]) -> Kept | None:
    data = _faithful(record)
    kept = Kept(type(record).__name__, data, tuple(told)) if data else None
    return kept if kept and _faithful(kept) else None


def _faithful(value: object) -> bytes:
    """A value as bytes, if it comes back from them the same; else none."""
    try:
        data = packed(value)
        return data if packed(unpacked(data, type(value))) == data else b""
    except UNPACKABLE:
        return b""


def _unpacked(data: Any, kind: type[T]) -> T | None:
    try:
        return unpacked(data, kind) if isinstance(data, bytes) else None
    except UNPACKABLE:
        return None
