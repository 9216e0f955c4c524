"""The data lines of a note: dash lines, a table, or a CSV file beside it, as the note's kind reads them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.nearness import clipped
from compiler.notes import Item, Note, Table, row_line, row_lines
from compiler.schema import Cell, Context, Fault, LineReading, LineSyntax
from compiler.shape import Value, replace
from compiler.source import Span

LINE_UNREADABLE = Rule(
    "F106",
    "line-unreadable",
    Grade.ERROR,
    "A data line of this note could not be read, so it is not counted.",
    "- 731 .25\n",
)
LINE_IS_REMARK = Rule(
    "F107",
    "line-is-remark",
    Grade.WARNING,
    "A dash line, or a row of a table, that does not look like data for this kind of note is kept as a remark and "
    "shown as written.",
    "- cold night\n",
)
DATA_TWICE = Rule(
    "F108",
    "data-twice",
    Grade.ERROR,
    "Dash lines, a table, and a CSV file are three ways to write the same thing; a note has one of them.",
    "- 731 27.5\n\n| tag | kg |\n|---|---|\n| 731 | 27.5 |\n",
)
LINE_ASKED = Rule(
    "F109",
    "line-doubtful",
    Grade.ASK,
    "A line could be read in more than one way, or its figure is unusual.",
    "- 731 2750\n",
)
NO_LINES = Rule(
    "F110",
    "table-without-use",
    Grade.WARNING,
    "This kind of note takes no table, or none with these headings, so its rows count for nothing.",
    "| when | what |\n|---|---|\n",
)
RULES = (LINE_UNREADABLE, LINE_IS_REMARK, DATA_TWICE, LINE_ASKED, NO_LINES)

LONGEST_LINE = 1_000  # characters of a data line (our own limit)
LONG_WORD = re.compile(r"\S{101}")  # no word of a data line has more than 100 characters (our own limit)
TOO_LONG = "write it on several lines; if it is a remark, leave out the dash"
UNFIT = LineReading(faults=(Fault("this line, or a word in it, is longer than any data line", TOO_LONG),))
PROSE = LineReading(remark=True)
NUMBERED = re.compile(r"\d{1,3}[.)][ \t]+(?=\S)", re.A)
ROW_CURE = "take out the empty line above it, or write headings and a line of dashes above it"


class Data(Value):
    """What the data lines of a note gave.

    `used` are the body lines (from 0) that are no part of the remark, `taken` those that became data (rows of a table
    may be both data and part of the remark), `left` the rows and cells of tables that gave nothing and stand in no line
    of the body that is not taken. `said` is what became data, as it was typed, with the headings that the kind does not
    know.
    """

    values: tuple[Any, ...] = ()
    told: tuple[Diagnostic, ...] = ()
    used: frozenset[int] = frozenset()
    taken: frozenset[int] = frozenset()
    left: tuple[Cell, ...] = ()
    said: tuple[Cell, ...] = ()

    @property
    def broken(self) -> bool:
        """Whether some line could not be read."""
        return any(item.grade is Grade.ERROR for item in self.told)


def read_data(note: Note, syntax: LineSyntax | None, companion: Table | None, context: Context) -> Data:
    """All data of a note, each value with its place; every line that gives none is told of."""
    if syntax is None:
        return table_aside(companion) if companion else Data()
    offered = [one for item in note.items if (one := offer(item, syntax, context))]
    parts = [*(read_line(note, item, syntax, context) for item in offered), *lone_rows(note, syntax)]
    tables = [table for table in (*note.tables, companion) if table]
    lines = joined(parts)
    ways = [lines, *(read_table(note.path, table, syntax, context) for table in tables)]
    if sum(bool(way.values) for way in ways) > 1 and not all_in_body(ways, lines, companion):
        ways.append(Data((), (twice(note, companion),)))
    return joined(ways)


def offer(item: Item, syntax: LineSyntax, context: Context) -> Item | None:
    """The line as this kind reads it, without the number of a list; None for one that is no data here."""
    if item.dash or item.row:
        return None if item.row else item
    for one in (without_number(item), item):
        if one and syntax.is_plain and is_fit(one.cell.text) and syntax.is_plain(one.cell.text, context):
            return one
    return item if syntax.bare and not item.inner else None


def without_number(item: Item) -> Item | None:
    """A line of a numbered list without its number; None for any other."""
    match = NUMBERED.match(item.cell.text)
    if match is None:
        return None
    cell = replace(item.cell, text=item.cell.text[match.end() :], column=item.cell.column + match.end())
    return replace(item, cell=cell)


def lone_rows(note: Note, syntax: LineSyntax) -> Iterator[Data]:
    """A warning for each row that stands in no table: it counts for nothing."""
    for item in note.items if syntax.read_row else ():
        if item.row:
            place = Span(note.path, item.cell.line, item.cell.column, len(item.cell.text))
            told = LINE_IS_REMARK.at(place, "this row stands in no table, so it counts for nothing", ROW_CURE)
            yield Data((), (told,))


def table_aside(table: Table) -> Data:
    """A table beside a note of a kind that has no data."""
    return Data((), (*table.told, *unused(table)), left=row_lines(table))


def all_in_body(ways: list[Data], lines: Data, companion: Table | None) -> bool:
    """Whether all data stand in tables of the body: there may be several, one after the other."""
    return not lines.values and (companion is None or not ways[-1].values)


def joined(parts: list[Data]) -> Data:
    """Several pieces of data as one."""
    return Data(
        tuple(value for part in parts for value in part.values),
        tuple(message for part in parts for message in part.told),
        frozenset().union(*(part.used for part in parts)),
        frozenset().union(*(part.taken for part in parts)),
        tuple(cell for part in parts for cell in part.left),
        tuple(cell for part in parts for cell in part.said),
    )


def twice(note: Note, companion: Table | None) -> Diagnostic:
    """Data written in two ways."""
    also = (Span(companion.path),) if companion else ()
    where = "in a CSV file beside it" if companion else "in lines and in a table"
    message = f"this note has its data more than once, {'also ' if companion else ''}{where}"
    return DATA_TWICE.at(Span(note.path, note.body_line), message, "keep one of them", also=also)


def read_line(note: Note, item: Item, syntax: LineSyntax, context: Context) -> Data:
    """One dash line, or a bare one where the kind allows it."""
    reading = syntax.read(item.cell.text, context) if is_fit(item.cell.text) else UNFIT if item.dash else PROSE
    first_line = len(note.body[item.first]) - item.cell.column + 1
    place = Span(note.path, item.cell.line, item.cell.column, min(len(item.cell.text), first_line))
    told = [fault_told(fault, place) for fault in reading.faults]
    if reading.remark or (reading.value is None and not reading.faults):
        if item.dash and not told:
            cure = "leave out the dash, or write it as this kind's lines are written: " + syntax.help
            told.append(LINE_IS_REMARK.at(place, "this line is kept as a remark", cure))
        return Data((), tuple(told))
    used = frozenset(range(item.first, item.last + 1)) if reading.value is not None else frozenset()
    return Data(placed(reading, place), tuple(told), used, used, said=(item.cell,) if used else ())


def is_fit(text: str) -> bool:
    """Whether a line, and each word of it, is short enough to be data: no grammar is let loose on anything longer."""
    return len(text) <= LONGEST_LINE and not LONG_WORD.search(text)


def placed(reading: LineReading, place: Span) -> tuple[Any, ...]:
    """The value of a line with its place, if there is one."""
    return () if reading.value is None else (replace(reading.value, span=place),)


def fault_told(fault: Fault, place: Span) -> Diagnostic:
    """A fault in a line, at its place."""
    rule = LINE_ASKED if fault.grade is Grade.ASK else LINE_UNREADABLE
    start = min(fault.start, place.length)
    length = place.length - start if fault.length is None else min(fault.length, place.length - start)
    return rule.at(place.shifted(start, length), fault.message, fault.help).graded(fault.grade)


def read_table(path: str, table: Table, syntax: LineSyntax, context: Context) -> Data:
    """The rows of a table. It stays part of the remark unless every cell of it was used."""
    fit = syntax.read_row is not None and bool(table.header) and table.header[0] in syntax.columns
    trouble = list(twice_headed(path, table)) if fit else list(unused(table, path, syntax))
    if trouble or not fit:
        return Data((), (*table.told, *trouble), left=row_lines(table) if table.path else ())
    parts = [read_row(path, table, row, syntax, context) for row in table.rows]
    whole = joined(parts)
    used = len(whole.values) == len(table.rows) and set(table.header) <= set(syntax.columns)
    lines = frozenset(range(table.first, table.last + 1))
    silent = {row[0].line for row, part in zip(table.rows, parts, strict=True) if not part.values}
    taken = frozenset(place for place in lines if table.line + place - table.first not in silent)
    left = (*whole.left, *table.lost)
    return Data(whole.values, (*table.told, *whole.told), lines if used else frozenset(), taken, left, whole.said)


def read_row(path: str, table: Table, row: tuple[Cell, ...], syntax: LineSyntax, context: Context) -> Data:
    """One row of a table."""
    assert syntax.read_row is not None
    place = row_place(table.path or path, row)
    left: tuple[Cell, ...] = (row_line(row, table.path),) if table.path else ()
    if len(row) > len(table.header) and any(cell.text for cell in row[len(table.header) :]):
        cure = "put cells that hold a separator in quotes, or add a heading"
        told = [LINE_UNREADABLE.at(place, "this row has more cells than there are headings", cure)]
        return Data((), tuple(told), left=left)
    cells = dict.fromkeys(table.header, "") | {name: cell.text for name, cell in zip(table.header, row, strict=False)}
    reading = syntax.read_row(cells, context) if all(map(is_fit, cells.values())) else UNFIT
    told = [fault_told(replace(fault, start=0, length=None), place) for fault in reading.faults]
    if reading.value is None and not told:
        shown = clipped(" | ".join(cell.text for cell in row))
        cure = f"the headings are {', '.join(syntax.columns)}"
        told = [LINE_IS_REMARK.at(place, f"nothing could be taken from the row `{shown}`", cure)]
    if reading.value is not None:
        left = tuple(unasked(table, row, syntax))
    return Data(placed(reading, place), tuple(told), left=left, said=(row_said(table, row, syntax),))


def row_said(table: Table, row: tuple[Cell, ...], syntax: LineSyntax) -> Cell:
    """A row as it was typed; where the kind does not know a heading, it stands before its cell."""
    named = zip(table.header, row, strict=False)
    texts = [cell.text if name in syntax.columns else f"{name} {cell.text}" for name, cell in named if cell.text]
    return replace(row[0], text=", ".join(texts), path=table.path)


def twice_headed(path: str, table: Table) -> Iterator[Diagnostic]:
    """An error where two columns have one heading: either could be meant."""
    again = [name for place, name in enumerate(table.header) if name and name in table.header[:place]]
    if again:
        message = f"the heading `{clipped(again[0])}` stands over two columns"
        yield LINE_UNREADABLE.at(Span(table.path or path, table.line), message, "give each column its own heading")


def unasked(table: Table, row: tuple[Cell, ...], syntax: LineSyntax) -> Iterator[Cell]:
    """The cells of a used row under headings that the kind does not know."""
    for name, cell in zip(table.header, row, strict=False):
        if name not in syntax.columns and cell.text:
            yield replace(cell, sort="cell", path=table.path)


def row_place(path: str, row: tuple[Cell, ...]) -> Span:
    """The place of a row: from its first to its last cell."""
    first, last = row[0], row[-1]
    return Span(path, first.line, first.column, max(last.column + len(last.text) - first.column, 0))


def unused(table: Table, path: str = "", syntax: LineSyntax | None = None) -> Iterator[Diagnostic]:
    """A warning that a table counts for nothing, where it looks as if it were meant to count."""
    if not table.path and (syntax is None or syntax.read_row is None):
        return  # a table in a remark
    if table.path and not table.header and table.told:
        return  # why nothing of it is known was said
    place = Span(table.path or path, table.line)
    columns = syntax.columns if syntax and syntax.read_row else ()
    cure = f"its first heading must be one of: {', '.join(columns)}" if columns else "put what it says into the note"
    yield NO_LINES.at(place, "this table counts for nothing in this kind of note", cure)
