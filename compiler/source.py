"""Places in notes: where a piece of text stands, so that every message can point at it."""

from __future__ import annotations

import codecs
import hashlib
import re
from itertools import islice

from compiler.shape import Value


class Span(Value):
    """A stretch of one line of one file. Lines and columns count from 1, in characters; `length` 0 means a point."""

    path: str
    line: int = 1
    column: int = 1
    length: int = 0

    def shifted(self, start: int, length: int) -> Span:
        """The stretch that begins `start` characters further on."""
        return Span(self.path, self.line, self.column + start, length)


class Damage(Value):
    """Something in a file's bytes that is not text: what, and where."""

    what: str
    line: int
    column: int


class Source(Value):
    """The text of one file: `path` is relative to the notes folder, with `/`; lines end in a bare newline."""

    path: str
    text: str
    digest: str
    damage: tuple[Damage, ...] = ()


# Control characters (ISO/IEC 6429, C0 and C1, but for tab and line ends), noncharacters, and the sign that programs put
# in place of a letter they could not read.
NOT_TEXT = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufffd-\uffff]")
MOST_PLACES = 5  # damaged places listed for one file (our own limit)
LINE_ENDS = re.compile("\r\n?|\x85|\u2028|\u2029")
OF_NO_TEXT = re.compile(b"[\0-\x08\x0e-\x1a\x1c-\x1f]")
LOST = "\ufffd"
LARGEST_TEXT = 1_000_000  # bytes of a file that is no note, up to which its text is kept (our own limit)
UTF_16 = "text in UTF-16, not UTF-8"


def read_source(path: str, data: bytes) -> Source:
    """The text in a file's bytes: UTF-8, with or without a mark, any line ends. Never raises; damage is listed."""
    digest = hashlib.blake2b(data, digest_size=16).hexdigest()
    coding = utf_16(data)
    if coding:
        return Source(path, one_line_end(data.decode(coding, "replace")), digest, (Damage(UTF_16, 1, 1),))
    text = one_line_end(data.decode("utf-8", "replace"))
    return Source(path, text, digest, tuple(found_damage(text)))


def plain_text(data: bytes) -> str:
    """The text in the bytes of any file, "" where they are none. Letters that are no UTF-8 are taken for Latin ones."""
    if utf_16(data):
        return read_source("", data).text
    if OF_NO_TEXT.search(data):
        return ""
    try:
        return one_line_end(data.decode("utf-8"))
    except UnicodeDecodeError:
        return one_line_end(data.decode("latin-1"))


def one_line_end(text: str) -> str:
    """Text without a byte-order mark, whose lines end in a bare newline."""
    return LINE_ENDS.sub("\n", text.removeprefix("\ufeff"))


def utf_16(data: bytes) -> str:
    """The name of the UTF-16 coding that bytes are in, or "": by their mark, or by a NUL in every second place."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    start = data[:400]
    first, second = start[::2].count(0), start[1::2].count(0)
    if min(first, second) > 0 or max(first, second) < max(4, len(start) // 3):
        return ""
    return "utf-16-le" if second else "utf-16-be"


def found_damage(text: str) -> list[Damage]:
    """The first places where something stands that is no text."""
    places = []
    for match in islice(NOT_TEXT.finditer(text), MOST_PLACES):
        start = text.rfind("\n", 0, match.start()) + 1
        what = "a letter that is lost: its bytes are no UTF-8 text" if match[0] == LOST else "a control character"
        places.append(Damage(what, text.count("\n", 0, match.start()) + 1, match.start() - start + 1))
    return places
