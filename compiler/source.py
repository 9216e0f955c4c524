"""Places in notes: where a piece of text stands, so that every message can point at it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of one line of one file. Lines and columns count from 1, in characters; `length` 0 means a point."""

    path: str
    line: int = 1
    column: int = 1
    length: int = 0

    def shifted(self, start: int, length: int) -> Span:
        """The stretch that begins `start` characters further on."""
        return Span(self.path, self.line, self.column + start, length)


@dataclass(frozen=True, slots=True)
class Damage:
    """Something in a file's bytes that is not text: what, and where."""

    what: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Source:
    """The text of one file: `path` is relative to the notes folder with forward slashes, lines end in a bare newline."""

    path: str
    text: str
    digest: str
    damage: tuple[Damage, ...] = ()
