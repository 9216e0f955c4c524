"""All notes of a folder, decoded: records by kind, holes, and files that are not notes. Nothing that was read is missing here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from compiler.diagnostics import Diagnostic
from compiler.schema import Record
from compiler.source import Span

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
