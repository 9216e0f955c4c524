"""One note as read, before anybody knows what its kind allows: head, data lines, tables, body."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from collections.abc import Sequence as Listing

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.frontmatter import Mapping, read_front
from compiler.nearness import clipped
from compiler.quotes import BLANKS
from compiler.schema import Cell
from compiler.shape import Value, replace
from compiler.source import Source, Span

DAMAGED = Rule(
    "N110",
    "bytes-unreadable",
    Grade.ERROR,
    "Notes are plain text in UTF-8. Bytes that are not may have been figures or names, so nothing in such a note is "
    "trusted.",
    "---\nnote: remark\n---\nFound her by the f\\xe4nce.\n",
)
CONFLICT = Rule(
    "N111",
    "two-versions",
    Grade.ERROR,
    "Git could not decide between two versions of this note and left both in it. Only a person can say which is right.",
    "<<<<<<< ours\ndose: 2 ml\n=======\ndose: 3 ml\n>>>>>>> theirs\n",
)
NOT_CSV = Rule(
    "N112",
    "table-unreadable",
    Grade.ERROR,
    "The table beside the note is not CSV, so its rows below that place are not known.",
    '731,"27.5\n732,29\n',
)
UNLIKE = Rule(
    "N113",
    "table-separators",
    Grade.ERROR,
    "In a table one sign stands between the cells, the same in each row: a comma, a semicolon or a tab. Where there "
    "are two nobody can tell which figure stands under which heading.",
    "sheep;kg\n731,27.5\n",
)
RULES = (DAMAGED, CONFLICT, NOT_CSV, UNLIKE)

SIGNS = {",": "commas", ";": "semicolons", "\t": "tabs"}
UNLIKE_ROW = "the headings are separated by {}, this row is not"
ONE_SIGN = "put the same sign between all cells; a cell that holds it stands in quotation marks"

MARKERS = re.compile(r"^(?:<{7}|={7}|>{7}|\|{7})(?: .*)?$", re.M)
DASH = re.compile(r"( {0,3})(?:[-*+•–—][ \t]+(?=\S)|[-–](?=[^\W_]))")
NESTED = re.compile(r"[ \t]+[-*+•–—](?:\s|$)")
MORE = re.compile(r"(?: {2,}|\t)\S")
DELIMITERS = re.compile(r" {0,3}(?=[^|]*\|)\|?\s*+:?-++:?\s*+(?:\|\s*+:?-++:?\s*+)*\|?\s*+")
CODE_FENCE = re.compile(r" {0,3}(`{3,}|~{3,})")
LONE_ROW = re.compile(r" {0,3}\|[^|]*\w")
MARKUP = re.compile(r" {4}|\t| {0,3}[#>|<]")


class Item(Value):
    """A line that may be data: its text and place, and the body lines (from 0) that it covers.

    `dash` is False for a bare line, `inner` True for one that Markdown takes for code or for a part of the list item
    above it, `row` for one that looks like a row and stands in no table. Only the text on its first line has a place.
    """

    cell: Cell
    first: int
    last: int
    dash: bool = True
    inner: bool = False
    row: bool = False


class Table(Value):
    """A table of data: the headings in lower case, and rows of cells.

    `line` is where its headings stand, in the CSV file at `path` or, without one, in the note; there it covers the body
    lines (from 0) `first` to `last`. Of a CSV file, `heading` are the headings as typed and `lost` the lines that could
    not be taken apart.
    """

    header: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    first: int = 0
    last: int = -1
    path: str = ""
    line: int = 1
    told: tuple[Diagnostic, ...] = ()
    heading: tuple[Cell, ...] = ()
    lost: tuple[Cell, ...] = ()


class Note(Value):
    """A file as a note. `fields` is None when it has no head or a damaged one."""

    path: str
    digest: str
    fields: Mapping | None
    fenced: bool
    body: tuple[str, ...]
    body_line: int
    items: tuple[Item, ...]
    tables: tuple[Table, ...]
    told: tuple[Diagnostic, ...] = ()
    text: str = ""

    @property
    def sound(self) -> bool:
        """Whether head and bytes could be read whole."""
        return not any(item.grade is Grade.ERROR for item in self.told)

    @property
    def empty(self) -> bool:
        """Whether there is nothing in it at all."""
        return not self.fenced and not any(line.strip() for line in self.body)


def read_note(source: Source) -> Note:
    """A note from its text. Never raises."""
    told = [*damages(source), *conflicts(source)]
    front = read_front(source)
    body = tuple(source.text.split("\n")[front.body_line - 1 :])
    found = tuple(find_data(body, front.body_line))
    return Note(
        source.path,
        source.digest,
        front.fields,
        front.fenced,
        body,
        front.body_line,
        tuple(item for item in found if isinstance(item, Item)),
        tuple(item for item in found if isinstance(item, Table)),
        (*told, *front.told),
        source.text,
    )


def damages(source: Source) -> list[Diagnostic]:
    """A message for each damaged place."""
    cure = "save the file again as UTF-8 text, and look at the words near this place"
    return [
        DAMAGED.at(Span(source.path, item.line, item.column, 1), f"here is {item.what}", cure) for item in source.damage
    ]


def conflicts(source: Source) -> list[Diagnostic]:
    """A message when git's conflict markers stand in the note."""
    found = MARKERS.finditer(source.text) if "<<<<<<<" in source.text or ">>>>>>>" in source.text else ()
    places = [Span(source.path, source.text.count("\n", 0, match.start()) + 1, 1, 7) for match in found]
    if not places:
        return []
    lines = ", ".join(str(place.line) for place in places)
    message = f"git left two versions in this note (lines {lines})"
    return [CONFLICT.at(places[0], message, "keep the right lines and take the marks out", also=tuple(places[1:]))]


def find_data(body: Listing[str], first_line: int) -> Iterator[Item | Table]:
    """The lines of a body that may be data, and its tables, in order; none in code or inside a list item."""
    place, inner = 0, 99  # `inner`: how far in a line must begin to belong to the list item above it
    while place < len(body):
        line = straight(body[place])
        fence = CODE_FENCE.match(line)
        if fence:
            place = end_of_code(body, place, fence[1])
            continue
        dash = DASH.match(line)
        indent = len(line) - len(line.lstrip())
        if line.strip() and indent < inner:
            inner = dash.end() if dash else 99
            found = read_table(body, place, first_line) or read_item(body, place, first_line)
            yield from (found,) if isinstance(found, Table) or found.dash else bare(found, line)
            place = found.last
        elif line.strip():
            yield inner_item(line, place, first_line)
        place += 1


def bare(item: Item, line: str) -> Iterator[Item]:
    """A line without a dash; headings, quotations and HTML are no data."""
    markup = MARKUP.match(line)
    if markup is None:
        yield item
    elif LONE_ROW.match(line):
        yield replace(item, row=True)
    elif not markup[0].strip():
        yield replace(item, inner=True)


def inner_item(line: str, place: int, first_line: int) -> Item:
    """A line that belongs to a list item above it, without its own dash."""
    sign = NESTED.match(line)
    start = sign.end() if sign else 0
    start += len(line[start:]) - len(line[start:].lstrip())
    return Item(Cell(line[start:].rstrip(), first_line + place, start + 1), place, place, dash=False, inner=True)


def end_of_code(body: Listing[str], place: int, fence: str) -> int:
    """The line after code that begins with this fence (CommonMark 0.31, 4.5)."""
    for later in range(place + 1, len(body)):
        close = CODE_FENCE.match(body[later])
        if close and close[1].startswith(fence) and not body[later][close.end() :].strip():
            return later + 1
    return len(body)


def read_item(body: Listing[str], place: int, first_line: int) -> Item:
    """A dash line with the lines that run on from it, or a bare line."""
    line = straight(body[place])
    match = DASH.match(line)
    if match is None:
        start = len(line) - len(line.lstrip())
        return Item(Cell(line.strip(), first_line + place, start + 1), place, place, dash=False)
    last, parts = place, [line[match.end() :].rstrip()]
    while last + 1 < len(body) and MORE.match(more := straight(body[last + 1])) and not NESTED.match(more):
        last += 1
        parts.append(more.strip())
    return Item(Cell(" ".join(parts), first_line + place, match.end() + 1), place, last)


def read_table(body: Listing[str], place: int, first_line: int) -> Table | None:
    """A Markdown table (GitHub Flavored Markdown, 4.10), if one begins here."""
    if "|" not in body[place] or place + 1 == len(body) or not DELIMITERS.fullmatch(body[place + 1]):
        return None
    header = tuple(cell.text.lower() for cell in row_cells(body[place], first_line + place))
    if len(row_cells(body[place + 1], 0)) != len(header):
        return None
    last, rows = place + 1, []
    while last + 1 < len(body) and "|" in body[last + 1]:
        last += 1
        rows.append(row_cells(body[last], first_line + last))
    rows = [row for row in rows if any(cell.text for cell in row)]
    return Table(header, tuple(rows), place, last, line=first_line + place)


def row_cells(line: str, number: int) -> tuple[Cell, ...]:
    """The cells of one table row, with their columns."""
    line = straight(line)
    start = len(line) - len(line.lstrip())
    start += line.startswith("|", start)
    cells = []
    for part in re.split(r"(?<!\\)\|", line[start:].rstrip()):
        shift = len(part) - len(part.lstrip())
        cells.append(Cell(part.strip().replace("\\|", "|"), number, start + shift + 1))
        start += len(part) + 1
    return tuple(cells[:-1] if not cells[-1].text else cells)


def read_csv(source: Source) -> Table:
    """A CSV file beside a note (RFC 4180; semicolons and tabs are taken as separators too). Never raises."""
    told = conflicts(source)
    sign = separator(source.text.split("\n", 1)[0])
    if not sign:
        told.append(UNLIKE.at(Span(source.path), "the headings are separated by different signs", ONE_SIGN))
        return Table((), (), path=source.path, told=tuple(told), lost=tuple(lines_from(source, 1)))
    rows: list[tuple[Cell, ...]] = []
    reader = csv.reader(io.StringIO(source.text), delimiter=sign, strict=True)
    begin, lost = 1, 0
    try:
        for row in reader:
            rows.append(tuple(Cell(straight(cell).strip(), begin, 1) for cell in row))
            begin = reader.line_num + 1
    except csv.Error as error:
        message = f"the table cannot be read from here on ({error})"
        told.append(NOT_CSV.at(Span(source.path, begin), message, "close the quotation marks of this row"))
        lost = begin
    heading = rows[0] if rows else ()
    full = [row for row in rows[1:] if any(cell.text for cell in row)]
    unlike = [row for row in full if is_unlike(row, heading, sign)]
    told += [
        UNLIKE.at(Span(source.path, row[0].line), UNLIKE_ROW.format(SIGNS[sign]), rewritten(row, sign))
        for row in unlike
    ]
    left = (*(row_line(row, source.path) for row in unlike), *(lines_from(source, lost) if lost else ()))
    header = tuple(cell.text.lower() for cell in heading)
    rest = tuple(row for row in full if row not in unlike) if unlike else tuple(full)
    return Table(header, rest, path=source.path, told=tuple(told), heading=heading, lost=left)


def separator(first: str) -> str:
    """The sign that separates the cells of a table, from its first line; "" where it could be either of two."""
    bare = re.sub(r'"[^"]*"', "", first)
    most = max(map(bare.count, SIGNS))
    found = [sign for sign in SIGNS if bare.count(sign) == most]
    return "" if most and len(found) > 1 else found[0]


def rewritten(row: tuple[Cell, ...], sign: str) -> str:
    """The cure for a row whose cells are separated by another sign: the row as it should be."""
    text = row[0].text
    other = max((one for one in SIGNS if one != sign), key=text.count)
    return f"write `{clipped(text.replace(other, sign))}`; {ONE_SIGN}"


def is_unlike(row: tuple[Cell, ...], heading: tuple[Cell, ...], sign: str) -> bool:
    """Whether a row is one cell only because its cells are separated by another sign than the headings."""
    return len(row) == 1 < len(heading) and any(other in row[0].text for other in SIGNS if other != sign)


def lines_from(source: Source, first: int) -> Iterator[Cell]:
    """The lines of a table from one line on, each as it stands there."""
    for number, line in enumerate(source.text.split("\n")[first - 1 :], first):
        if line.strip():
            yield Cell(straight(line).strip(), number, 1, "row", source.path)


def row_lines(table: Table) -> tuple[Cell, ...]:
    """Every row of a CSV file as a line, its headings first, and what could not be taken apart."""
    rows = (table.heading, *table.rows)
    return (*(row_line(row, table.path) for row in rows if any(cell.text for cell in row)), *table.lost)


def row_line(row: tuple[Cell, ...], path: str) -> Cell:
    """A row of a CSV file as a line, with a bar between its cells."""
    return Cell(" | ".join(cell.text for cell in row), row[0].line, row[0].column, "row", path)


def straight(line: str) -> str:
    """A line whose odd blanks are plain ones; every character keeps its place."""
    return line if line.isascii() else line.translate(BLANKS)
