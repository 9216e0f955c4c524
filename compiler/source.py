"""Places in notes: where a piece of text stands, so that every message can point at it."""

from __future__ import annotations

import codecs
import hashlib
import re
from dataclasses import dataclass
from itertools import islice


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


NOT_TEXT = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\x7f\ufffe\uffff]")
MOST_PLACES = 5  # damaged places listed for one file
LINE_ENDS = re.compile("\r\n?|\x85|\u2028|\u2029")


def read_source(path: str, data: bytes) -> Source:
    """The text in a file's bytes: UTF-8, with or without a byte-order mark, any line ends. Never raises; damage is listed."""
    digest = hashlib.blake2b(data, digest_size=16).hexdigest()
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        text = data.decode("utf-16", "replace").removeprefix("\ufeff")
        return Source(path, LINE_ENDS.sub("\n", text), digest, (Damage("text in UTF-16, not UTF-8", 1, 1),))
    try:
        text, bad = data.decode("utf-8").removeprefix("\ufeff"), False
    except UnicodeDecodeError:
        text, bad = data.decode("utf-8", "replace").removeprefix("\ufeff"), True
    text = LINE_ENDS.sub("\n", text)
    damage = [*found_damage(text, re.compile("\ufffd"), "a byte that is no UTF-8 text")] if bad else []
    damage += found_damage(text, NOT_TEXT, "a control character")
    return Source(path, text, digest, tuple(damage[:MOST_PLACES]))


def found_damage(text: str, pattern: re.Pattern[str], what: str) -> list[Damage]:
    """The first places where a pattern stands."""
    places = []
    for match in islice(pattern.finditer(text), MOST_PLACES):
        start = text.rfind("\n", 0, match.start()) + 1
        places.append(Damage(what, text.count("\n", 0, match.start()) + 1, match.start() - start + 1))
    return places
