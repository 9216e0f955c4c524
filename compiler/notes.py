"""One note as read, before anybody knows what its kind allows: head, name, data lines, table, body."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence as Listing
from dataclasses import dataclass, field
from typing import Any

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.frontmatter import Entry, Mapping, Node, Scalar, Sequence, read_front
from compiler.schema import Cell
from compiler.source import Source, Span

DAMAGED = Rule(
    "N110", "bytes-unreadable", Grade.ERROR,
    "Notes are plain text in UTF-8. Bytes that are not may have been figures or names, so nothing in such a note is trusted.",
    "---\nnote: remark\n---\nFound her by the f\\xe4nce.\n",
)  # fmt: skip
CONFLICT = Rule(
    "N111", "two-versions", Grade.ERROR,
    "Git could not decide between two versions of this note and left both in it. Only a person can say which is right.",
    "<<<<<<< ours\ndose: 2 ml\n=======\ndose: 3 ml\n>>>>>>> theirs\n",
)  # fmt: skip
RULES = (DAMAGED, CONFLICT)

MARKERS = re.compile(r"^(?:<{7}|={7}|>{7}|\|{7})(?: .*)?$", re.M)
DASH = re.compile(r"( {0,3})([-*+•–—])([ \t\u00a0]+)(?=\S)")
RULE_LINE = re.compile(r" {0,3}\|?[ :|-]*-[ :|-]*\|?\s*$")
CODE_FENCE = re.compile(r" {0,3}(```|~~~)")


@dataclass(frozen=True, slots=True)
class Item:
    """A line that may be data: its text and place, and the body lines (from 0) that it covers. `dash` is False for a bare line."""

    cell: Cell
    first: int
    last: int
    dash: bool = True


@dataclass(frozen=True, slots=True)
class Table:
    """A table of data: the headings in lower case, and rows of cells. `path` is the CSV file it stands in, or ""."""

    header: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    first: int = 0
    last: int = -1
    path: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """A file as a note. `fields` is None when there is no head or it is damaged; `sound` says that all of it could be read."""

    path: str
    digest: str
    fields: Mapping | None
    fenced: bool
    body: tuple[str, ...]
    body_line: int
    items: tuple[Item, ...]
    table: Table | None
    told: tuple[Diagnostic, ...] = ()
    text: str = field(default="", repr=False)

    @property
    def sound(self) -> bool:
        """Whether head and bytes could be read whole."""
        return not any(item.grade is Grade.ERROR for item in self.told)

    @property
    def empty(self) -> bool:
        """Whether there is nothing in it at all."""
        return not self.fenced and not any(line.strip() for line in self.body) and self.table is None


def read_note(source: Source) -> Note:
    """A note from its text. Never raises."""
    told = [*damages(source), *conflicts(source)]
    front = read_front(source)
    body = tuple(source.text.split("\n")[front.body_line - 1 :])
    items, table = find_data(body, front.body_line)
    return Note(
        source.path, source.digest, front.fields, front.fenced, body, front.body_line, items, table,
        (*told, *front.told), source.text,
    )  # fmt: skip


def damages(source: Source) -> list[Diagnostic]:
    """A message for each damaged place."""
    cure = "save the file again as UTF-8 text, and look at the words near this place"
    return [DAMAGED.at(Span(source.path, item.line, item.column), f"here is {item.what}", cure) for item in source.damage]


def conflicts(source: Source) -> list[Diagnostic]:
    """A message when git's conflict markers stand in the note."""
    found = list(MARKERS.finditer(source.text)) if "<<<<<<<" in source.text or ">>>>>>>" in source.text else []
    places = [Span(source.path, source.text.count("\n", 0, match.start()) + 1, 1, 7) for match in found]
    if not places:
        return []
    lines = ", ".join(str(place.line) for place in places)
    return [CONFLICT.at(places[0], f"git left two versions in this note (lines {lines})", "keep the right lines and take the marks out", also=tuple(places[1:]))]


def find_data(body: Listing[str], first_line: int) -> tuple[tuple[Item, ...], Table | None]:
    """The lines of a body that may be data, and the first table whose first heading is `sheep` (or another single word)."""
    items: list[Item] = []
    table, place, fenced = None, 0, False
    while place < len(body):
        line = body[place]
        if CODE_FENCE.match(line):
            fenced = not fenced
        if fenced or not line.strip():
            place += 1
            continue
        if table is None and "|" in line and place + 1 < len(body) and RULE_LINE.match(body[place + 1]):
            table = read_table(body, place, first_line)
            place = table.last + 1
            continue
        item = read_item(body, place, first_line)
        items.append(item)
        place = item.last + 1
    return tuple(items), table


def read_item(body: Listing[str], place: int, first_line: int) -> Item:
    """A dash line with its continuation, or a bare line."""
    line = body[place]
    match = DASH.match(line)
    if match is None:
        start = len(line) - len(line.lstrip())
        return Item(Cell(line.strip(), first_line + place, start + 1), place, place, dash=False)
    last, text = place, line[match.end() :].rstrip()
    while last + 1 < len(body) and re.match(r" {2,}\S", body[last + 1]) and not DASH.match(body[last + 1]):
        last += 1
        text = f"{text} {body[last].strip()}"
    return Item(Cell(text, first_line + place, match.end() + 1), place, last)


def read_table(body: Listing[str], place: int, first_line: int) -> Table:
    """A Markdown table (GitHub Flavored Markdown, 4.10)."""
    header = tuple(cell.text.lower() for cell in row_cells(body[place], first_line + place))
    last, rows = place + 1, []
    while last + 1 < len(body) and "|" in body[last + 1]:
        last += 1
        rows.append(row_cells(body[last], first_line + last))
    return Table(header, tuple(rows), place, last)


def row_cells(line: str, number: int) -> tuple[Cell, ...]:
    """The cells of one table row, with their columns."""
    cells, start = [], 0
    for part in re.split(r"(?<!\\)\|", line):
        shift = len(part) - len(part.lstrip())
        cells.append(Cell(part.strip(), number, start + shift + 1))
        start += len(part) + 1
    if cells and not cells[0].text:
        cells = cells[1:]
    return tuple(cells[:-1] if cells and not cells[-1].text else cells)


def read_csv(source: Source) -> Table:
    """A CSV file beside a note (RFC 4180; `;` and tabs are taken as separators too)."""
    lines = source.text.split("\n")
    first = lines[0] if lines else ""
    separator = max(",;\t", key=first.count)
    rows: list[tuple[Cell, ...]] = []
    reader = csv.reader(io.StringIO(source.text), delimiter=separator)
    try:
        for number, row in enumerate(reader, 1):
            rows.append(tuple(Cell(cell.strip(), min(reader.line_num, number), 1) for cell in row))
    except csv.Error:
        rows.append((Cell(lines[-1][:200], len(lines), 1),))
    header = tuple(cell.text.lower() for cell in rows[0]) if rows else ()
    return Table(header, tuple(row for row in rows[1:] if any(cell.text for cell in row)), path=source.path)


def to_plain(note: Note) -> Any:
    """A clean note as lists and text, for the store."""
    table = note.table
    return [
        node_to_plain(note.fields) if note.fields else None, note.fenced, note.body_line, list(note.body),
        [[item.cell.text, item.cell.line, item.cell.column, item.first, item.last, item.dash] for item in note.items],
        [list(table.header), [[[c.text, c.line, c.column] for c in row] for row in table.rows], table.first, table.last] if table else None,
    ]  # fmt: skip


def from_plain(path: str, digest: str, text: str, plain: Any) -> Note:
    """The note that `to_plain` came from, at whatever path it now has."""
    fields, fenced, body_line, body, items, table = plain
    return Note(
        path, digest, node_from_plain(fields) if fields else None, fenced, tuple(body), body_line,  # type: ignore[arg-type]
        tuple(Item(Cell(words, line, column), first, last, dash) for words, line, column, first, last, dash in items),
        Table(tuple(table[0]), tuple(tuple(Cell(*cell) for cell in row) for row in table[1]), table[2], table[3]) if table else None,
        (), text,
    )  # fmt: skip


def node_to_plain(node: Node) -> Any:
    """A head as lists: a scalar is [0, …], a sequence [1, …], a mapping [2, …]."""
    if isinstance(node, Scalar):
        return [0, node.text, node.line, node.column]
    if isinstance(node, Sequence):
        return [1, [node_to_plain(item) for item in node.items], node.line, node.column]
    return [2, [[node_to_plain(entry.key), node_to_plain(entry.value)] for entry in node.entries], node.line, node.column]


def node_from_plain(plain: Any) -> Node:
    """The head that `node_to_plain` came from."""
    sort, value, line, column = plain
    if sort == 0:
        return Scalar(value, line, column)
    if sort == 1:
        return Sequence(tuple(node_from_plain(item) for item in value), line, column)
    entries = tuple(Entry(Scalar(*key[1:]), node_from_plain(item)) for key, item in value)
    return Mapping(entries, line, column)
