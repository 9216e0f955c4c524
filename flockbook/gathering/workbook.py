"""The sheets of a spreadsheet's workbook, with what its reader leaves out: errors, formulas without a value, noughts in
front of numbers.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Mapping
from datetime import date, datetime, time
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree

from flockbook.gathering.sheets import (
    CELL_DAY,
    CELL_ERROR,
    CELL_FORMULA,
    CELL_NUMBER,
    HOW_SAVED,
    MOST_SHEET_ROWS,
    RowSheet,
    SheetCell,
    SheetRow,
    SheetsRead,
    column_place,
    refused_file,
)

if TYPE_CHECKING:
    from python_calamine import CalamineWorkbook

LARGEST_PART = 400_000_000  # bytes of one sheet when unpacked (our own limit)
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"  # ECMA-376 Part 1, the names of its elements
RELATION_ID = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
CELL_NAME = re.compile(r"([A-Z]{1,3})(\d{1,7})")
NOUGHTS = re.compile(r"0{2,15}")  # a number format such as `0000`, which shows 412 as 0412
EXACT_WHOLE = 2**53  # numbers of a spreadsheet are doubles: whole ones are exact up to here (IEEE 754)

CellMarks = Mapping[tuple[int, int], SheetCell]  # (row from 1, column from 0) → what its reader does not tell


class WorkbookFault(Exception):
    """A workbook that cannot be read, and what is wrong with it."""


def read_workbook(file: str, data: bytes) -> SheetsRead:
    """Every sheet of a workbook, hidden ones too, in their order."""
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        marks = marks_of(data)
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        return tuple(sheet_of(file, name, book, marks.get(name, {})) for name in book.sheet_names), ()
    except (CalamineError, WorkbookFault, zipfile.BadZipFile, KeyError, ValueError, ElementTree.ParseError) as fault:
        return refused_file(file, f"it is no workbook that can be read ({fault})", HOW_SAVED)


def sheet_of(file: str, name: str, book: CalamineWorkbook, marks: CellMarks) -> RowSheet:
    """One sheet; its rows keep their numbers, empty ones in front too."""
    sheet = book.get_sheet_by_name(name)
    if sheet.total_height > MOST_SHEET_ROWS:
        raise WorkbookFault(f"sheet {name} has more than {MOST_SHEET_ROWS:,} rows")
    rows = sheet.to_python(skip_empty_area=False)
    width = max((place + 1 for _, place in marks), default=0)
    last = max((row for row, _ in marks), default=0)
    rows += [[] for _ in range(last - len(rows))]
    return RowSheet(file, name, tuple(row_from(number, row, marks, width) for number, row in enumerate(rows, 1)))


def row_from(number: int, values: list[Any], marks: CellMarks, width: int) -> SheetRow:
    """One row, a marked cell as its mark says."""
    values = values + [""] * (width - len(values))
    cells = [marked_cell(value, marks.get((number, place))) for place, value in enumerate(values)]
    return SheetRow(number, tuple(cells))


def marked_cell(value: Any, mark: SheetCell | None) -> SheetCell:
    """A cell with its mark: an error, a formula without a value, or the noughts that its format shows."""
    cell = cell_from(value)
    if mark is None:
        return cell
    if mark.sort == CELL_NUMBER:
        return SheetCell(cell.text.zfill(len(mark.text)), CELL_NUMBER) if cell.text.isdecimal() else cell
    return mark


def cell_from(value: Any) -> SheetCell:
    """A cell's value as text: numbers to the fifteen figures that spreadsheets show, days in ISO form."""
    if isinstance(value, bool):
        return SheetCell("yes" if value else "no")
    if isinstance(value, float | int):
        whole = float(value).is_integer() and abs(value) < EXACT_WHOLE
        return SheetCell(str(int(value)) if whole else f"{value:.15g}", CELL_NUMBER)
    if isinstance(value, datetime):
        midnight = value.time() == time()
        return SheetCell(f"{value:%Y-%m-%d}" if midnight else f"{value:%Y-%m-%d %H:%M}", CELL_DAY)
    if isinstance(value, date):
        return SheetCell(value.isoformat(), CELL_DAY)
    if isinstance(value, time):
        return SheetCell(f"{value:%H:%M}")
    return SheetCell(str(value).strip())


# What the reader leaves out, from the parts of the file itself (ECMA-376)


def marks_of(data: bytes) -> dict[str, CellMarks]:
    """By sheet the cells that have an error, a formula without a value, or a format of noughts."""
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        if "xl/workbook.xml" not in parts.namelist():
            return {}  # another sort of workbook, which has nothing of this
        targets = {one.get("Id"): one.get("Target", "") for one in book_part(parts, "xl/_rels/workbook.xml.rels")}
        formats = noughts_by_style(parts)
        sheets = book_part(parts, "xl/workbook.xml").iter(f"{MAIN}sheet")
        paths = {one.get("name", ""): part_path(targets.get(one.get(RELATION_ID), "") or "") for one in sheets}
        return {name: sheet_marks(parts, path, formats) for name, path in paths.items() if path in parts.namelist()}


def part_path(target: str) -> str:
    """The path of a part that the workbook names."""
    return target.lstrip("/") if target.startswith("/") else posixpath.normpath(f"xl/{target}")


def book_part(parts: zipfile.ZipFile, path: str) -> ElementTree.Element:
    """One part of the file, taken apart; one that declares entities, or is far too large, is refused."""
    if parts.getinfo(path).file_size > LARGEST_PART:
        raise WorkbookFault(f"{path} is too large")
    data = parts.read(path)
    if b"<!DOCTYPE" in data[:2000] or b"<!ENTITY" in data:
        raise WorkbookFault(f"{path} declares entities")
    return ElementTree.fromstring(data)


def noughts_by_style(parts: zipfile.ZipFile) -> dict[str, str]:
    """The number of each style that shows a number with noughts in front → its format, `0000`."""
    if "xl/styles.xml" not in parts.namelist():
        return {}
    styles = book_part(parts, "xl/styles.xml")
    codes = {one.get("numFmtId"): one.get("formatCode", "") for one in styles.iter(f"{MAIN}numFmt")}
    of_cells = styles.find(f"{MAIN}cellXfs")
    found = {str(place): codes.get(one.get("numFmtId"), "") for place, one in enumerate(of_cells or ())}
    return {style: code for style, code in found.items() if NOUGHTS.fullmatch(code)}


def sheet_marks(parts: zipfile.ZipFile, path: str, formats: Mapping[str, str]) -> CellMarks:
    """The marked cells of one sheet."""
    found = {}
    for cell in book_part(parts, path).iter(f"{MAIN}c"):
        name, mark = CELL_NAME.fullmatch(cell.get("r", "")), mark_of(cell, formats)
        if name and mark:
            found[int(name[2]), column_place(name[1])] = mark
    return found


def mark_of(cell: ElementTree.Element, formats: Mapping[str, str]) -> SheetCell | None:
    """What is to be known of one cell."""
    said, formula = cell.find(f"{MAIN}v"), cell.find(f"{MAIN}f")
    value = "" if said is None else said.text or ""
    if cell.get("t") == "e":
        return SheetCell(value or "#N/A", CELL_ERROR)
    if formula is not None and (said is None or (not value and cell.get("t") != "str")):
        return SheetCell(f"={formula.text or ''}", CELL_FORMULA)
    shown = formats.get(cell.get("s", ""))
    return SheetCell(shown, CELL_NUMBER) if shown else None
