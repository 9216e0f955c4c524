"""Every line of a note that is no field and became no data, with its place: nothing that was typed is lost."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from compiler.datalines import Data
from compiler.frontmatter import FENCE, WORDS_LOST
from compiler.notes import CODE_FENCE, Note, Table, end_of_code, row_lines, straight
from compiler.schema import Cell

MARKS = re.compile(r"(?:[ \t]*(?:>[ \t]?|[-*+•–—][ \t]+(?=\S)|[-–](?=[^\W_])))*")
NUMBERED = re.compile(r"\d{1,9}[.)][ \t]", re.A)
COMMENT = re.compile(r"\s*#+\s*([^\s:].*)")
OFFERED = re.compile(r"[^:]{1,60}:(?:\s|$)")  # a comment that only offers a field, as a blank note has them


def leftovers(note: Note, data: Data) -> tuple[Cell, ...]:
    """What of a readable note became neither field nor data, in order; what stands in a table beside it comes last."""
    lines = [*comments(note), *body_lines(note, data.taken), *data.left]
    return tuple(sorted(lines, key=place_of)) if len(lines) > 1 else tuple(lines)


def all_lines(note: Note, companion: Table | None = None, second: tuple[int, int] | None = None) -> tuple[Cell, ...]:
    """Every line of a note that cannot be used, its head included, and every row of the table beside it.

    `second` is where in the body (from 0) a second head stands, from its first line to its last.
    """
    rows = row_lines(companion) if companion else ()
    span = range(second[0], second[1] + 1) if second else range(0)
    again = [cell_of(note.body[place], note.body_line + place, "head") for place in span if is_told(note.body[place])]
    return (*head_lines(note), *sorted((*body_lines(note, span), *again), key=place_of), *rows)


def is_told(line: str) -> bool:
    """Whether a line of a head says something."""
    return bool(line.strip()) and not FENCE.fullmatch(line)


def place_of(cell: Cell) -> tuple[str, int, int]:
    """Where a piece of text stands: the order of writing."""
    return cell.path, cell.line, cell.column


def head_lines(note: Note) -> Iterator[Cell]:
    """The lines of a head, as they were typed."""
    if note.fenced:
        for number, line in enumerate(note.text.split("\n")[: note.body_line - 1], 1):
            if is_told(line):
                yield cell_of(line, number, "head")


def comments(note: Note) -> Iterator[Cell]:
    """What stands in a head as a comment: words lost behind a value, and whole lines that offer no field."""
    if not note.fenced or "#" not in note.text:
        return
    lines = note.text.split("\n")[: note.body_line - 1]
    lost = {message.span.line: message.span.column for message in note.told if message.code == WORDS_LOST.code}
    for number, line in enumerate(lines, 1):
        match = COMMENT.match(line, lost.get(number, 1) - 1)
        if match and (number in lost or not OFFERED.match(match[1])):
            yield Cell(match[1].rstrip(), number, match.start(1) + 1, "comment")


def body_lines(note: Note, taken: Iterable[int] = ()) -> Iterator[Cell]:
    """The lines of a body that are not blank, but for those `taken` (from 0), each with what it looks like."""
    rows = {place for table in note.tables for place in range(table.first, table.last + 1)}
    taken, place, end = frozenset(taken), 0, 0  # `end`: where the code ends that a line stands in
    for place, line in enumerate(note.body):
        fence = None if place < end or place in rows else CODE_FENCE.match(line)
        end = end_of_code(note.body, place, fence[1]) if fence else end
        if place not in taken and line and not line.isspace():
            sort = "fenced" if place < end else "row" if place in rows else ""
            yield cell_of(straight(line), note.body_line + place, sort)


def cell_of(line: str, number: int, sort: str) -> Cell:
    """A line without its outer blanks and, outside heads and tables, the signs of a list or a quotation."""
    marks = MARKS.match(line) if sort not in ("head", "row") else None
    start = marks.end() if marks else 0
    signs = line[:start].strip()
    text = line[start:].strip()
    start += len(line) - start - len(line[start:].lstrip())
    if not sort:
        sort = "quoted" if ">" in signs else "dash" if signs else unmarked(line, text)
    return Cell(text, number, start + 1, sort)


def unmarked(line: str, text: str) -> str:
    """What a line is that begins with no sign. Its number is left to it: it may be the name of something."""
    if NUMBERED.match(text):
        return "numbered"
    return "indented" if line[:1] == "\t" or line.startswith("  ") else "bare"
