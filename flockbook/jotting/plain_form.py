"""A note in its plain form: the same words on the same lines, typed as all notes are.

Line ends, a mark at the beginning, fences, the keys and blanks of the head, odd blanks and curly quotes around a value,
and the dashes of data lines are put right. No line is added or taken away, so every message and fact keeps its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from compiler.frontmatter import DASHES
from compiler.quotes import straightened
from compiler.schema import Record
from flockbook.records import KINDS

FENCE_LINE = re.compile(rf"[{DASHES}]{{1,8}}\s*")
FIELD_LINE = re.compile(r"([^\W\d_][\w -]*?)[ \t]*:[ \t]+(\S.*?)\s*|([^\W\d_][\w -]*?)[ \t]*:\s*")
DATA_MARK = re.compile(r"\s*(?:[-*+•–—]\s+)?(?=\S)")
WORDS_KEPT = re.compile(r"[^\W_]+(?:[.,:/][^\W_]+)*")
BARE_KINDS = frozenset(kind.name for kind in KINDS if kind.lines is None or kind.lines.bare)


def plain_form(data: bytes, record: Record, lines_too: bool = True) -> str:
    """A note's text in its plain form; `lines_too` says whether data lines get their dash."""
    text = data.decode("utf-8").removeprefix("\ufeff")
    if not text.strip():
        return text
    lines = re.split(r"\r\n?|\n", text)
    end = end_of_head(lines)
    plain = [*head_lines(lines[:end]), *(line if line.strip() else "" for line in lines[end:])]
    if lines_too and record.origin.kind not in BARE_KINDS:
        for cell in record.origin.data:
            plain = with_dash(plain, cell.line - 1, cell.text) if not cell.path else plain
    while len(plain) > 1 and not plain[-1]:
        plain.pop()
    return "\n".join(plain) + "\n"


def end_of_head(lines: list[str]) -> int:
    """How many lines belong to the head, its fences among them."""
    if not lines or not FENCE_LINE.fullmatch(lines[0]):
        return 0
    return next((place + 1 for place, line in enumerate(lines) if place and FENCE_LINE.fullmatch(line)), 0)


def head_lines(lines: list[str]) -> Iterator[str]:
    """The lines of a head: fences of three hyphens, keys in small letters, one blank behind the colon."""
    for line in straightened(lines):
        field = FIELD_LINE.fullmatch(line)
        if FENCE_LINE.fullmatch(line):
            yield "---"
        elif field:
            yield f"{field[1].lower()}: {field[2]}" if field[1] else f"{field[3].lower()}:"
        else:
            yield line.rstrip()


def with_dash(lines: list[str], place: int, text: str) -> list[str]:
    """Lines of which one, if it is all data, begins with a dash and has single blanks."""
    said = DATA_MARK.sub("", lines[place], count=1) if 0 <= place < len(lines) else ""
    if not said or said.split() != text.split():
        return lines
    return [*lines[:place], f"- {' '.join(said.split())}", *lines[place + 1 :]]


def words_of_note(text: str) -> list[str]:
    """The words and figures of a text, in order, as they were typed; the letters of keys count without case."""
    return [word.casefold() for word in WORDS_KEPT.findall(text)]
