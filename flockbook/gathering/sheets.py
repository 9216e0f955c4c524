"""A file of rows as it was typed: every cell is text with the sort of thing that it was."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from compiler.diagnostics import Diagnostic
from compiler.shape import Value
from compiler.source import Span
from flockbook.gathering.rules import FILE_UNREADABLE
from flockbook.records.gathered import rows_said

# The sorts of a cell.
CELL_TYPED, CELL_NUMBER, CELL_DAY, CELL_FORMULA, CELL_ERROR = "", "number", "day", "formula", "error"
DELIMITERS_SAID = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
LARGEST_FILE = 50_000_000  # bytes (our own limit)
MOST_SHEET_ROWS = 100_000  # rows of one file (our own limit)
ROWS_LOOKED_AT = 50  # rows by which the sign between cells is proposed
SPILL = 2  # signs between cells on a later line of one cell that make it look like a lost quote (our own choice)
HOW_SAVED = "save it as .csv or .xlsx in the spreadsheet, and gather that"


class SheetCell(Value):
    """One cell: its text, and whether it was typed, a number, a real day, a formula without a value, or an error."""

    text: str = ""
    sort: str = CELL_TYPED


class SheetRow(Value):
    """One row under the number that it has in its file."""

    number: int
    cells: tuple[SheetCell, ...]

    @property
    def blank(self) -> bool:
        """Whether nothing stands in it."""
        return not any(cell.text or cell.sort for cell in self.cells)

    def cell(self, place: int) -> SheetCell:
        """The cell of a column, counted from 0; an empty one where the row is shorter."""
        return self.cells[place] if place < len(self.cells) else SheetCell()

    @property
    def texts(self) -> tuple[str, ...]:
        """The cells as text on one line each."""
        return tuple(on_one_line(cell.text) for cell in self.cells)


class RowSheet(Value):
    """The rows of one sheet; `name` is "" where the file has only one, as a CSV file has."""

    file: str
    name: str
    rows: tuple[SheetRow, ...]

    @property
    def path(self) -> str:
        """What messages call it."""
        return f"{self.file} [{self.name}]" if self.name else self.file

    def span(self, row: int, place: int = 0) -> Span:
        """The place of a row, and of its column counted from 0."""
        return Span(self.path, row, place + 1)


SheetsRead = tuple[tuple[RowSheet, ...], tuple[Diagnostic, ...]]


def on_one_line(text: str) -> str:
    """A text with every run of blanks and line ends made one blank."""
    return " ".join(text.split())


def refused_file(file: str, message: str, help: str, line: int = 1) -> SheetsRead:
    """Nothing read, and why."""
    return (), (FILE_UNREADABLE.at(Span(file, line), message, help, "nothing was taken from this file"),)


def encoding_proposed(data: bytes) -> str:
    """The encoding in which the bytes can be read; the first of those that we know."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def delimiter_proposed(text: str) -> str:
    """The word for the sign that parts most rows into the same number of cells; "?" where none does."""
    lines = text.splitlines()[:ROWS_LOOKED_AT]
    counts = {word: [line.count(sign) for line in lines if line.strip()] for word, sign in DELIMITERS_SAID.items()}
    fit = {word: max(map(found.count, found)) * min(max(found), 2) for word, found in counts.items() if any(found)}
    return max(fit, key=lambda word: fit[word]) if fit else "comma"


def read_delimited(file: str, data: bytes, encoding: str, delimiter: str) -> SheetsRead:
    """The rows of a file of text, by the encoding and the sign that were declared."""
    try:
        text = data.decode("utf-8-sig" if encoding == "utf-8" else encoding)
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        told = f"byte {fault.start + 1} is no text in {encoding}"
        return refused_file(file, told, "say another `encoding:` in the mapping, such as utf-8 or cp1252", line)
    except LookupError:
        return refused_file(file, f"no encoding is called `{encoding}`", "write utf-8, utf-16 or cp1252")
    if "\0" in text:
        return refused_file(file, "it holds signs that no text has", HOW_SAVED)
    return rows_parted(file, text, DELIMITERS_SAID[delimiter])


def rows_parted(file: str, text: str, sign: str) -> SheetsRead:
    """The rows of a text; a quote that is never closed is an error, and nothing behind it is swallowed."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign, strict=True)
    rows, begins = [], 1
    try:
        for cells in reader:
            rows.append(SheetRow(begins, tuple(SheetCell(cell.strip()) for cell in cells)))
            begins = reader.line_num + 1
    except csv.Error as fault:
        cure = 'close the quote that begins there, or write a quote that is part of the text twice: ""'
        return refused_file(file, f"the row that begins here cannot be taken apart ({fault})", cure, begins)
    if len(rows) > MOST_SHEET_ROWS:
        return refused_file(file, f"it has more than {MOST_SHEET_ROWS:,} rows", "part it into several files")
    spilt = next((row for row in rows if any(is_spilt(cell.text, sign) for cell in row.cells)), None)
    if spilt:
        told = "one cell of the row that begins here runs over several lines that look like rows"
        return refused_file(file, told, "close the quote that begins there", spilt.number)
    return (RowSheet(file, "", tuple(rows)),), ()


def is_spilt(text: str, sign: str) -> bool:
    """Whether a cell has swallowed rows: one of its later lines has several signs between cells."""
    return any(line.count(sign) >= SPILL for line in text.splitlines()[1:])


def column_letters(place: int) -> str:
    """`A`, `B` … `AA`: a column as spreadsheets call it, counted from 0."""
    letters = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def column_place(letters: str) -> int:
    """The place of a column, counted from 0."""
    place = 0
    for letter in letters:
        place = place * 26 + ord(letter) - ord("A") + 1
    return place - 1


def cells_said(found: Sequence[tuple[int, str]]) -> Iterator[str]:
    """Every cell of a column that is not used, equal ones together: "`red` in rows 2, 5-9"."""
    rows: dict[str, list[int]] = {}
    for number, text in found:
        rows.setdefault(text, []).append(number)
    for text, numbers in rows.items():
        yield f"`{text}` in row{'s' if len(numbers) > 1 else ''} {rows_said(numbers)}"
