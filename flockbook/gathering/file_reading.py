"""A file as sheets of rows, its mapping proposed, and whether a mapping fits the file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compiler.diagnostics import Diagnostic
from compiler.shape import replace
from flockbook.gathering.doses_told import product_key
from flockbook.gathering.mappings import ONE_FILE, FileMapping, SheetMapping
from flockbook.gathering.proposals import Proposing, sheet_proposed
from flockbook.gathering.sheets import (
    DELIMITERS_SAID,
    HOW_SAVED,
    LARGEST_FILE,
    RowSheet,
    SheetsRead,
    column_letters,
    delimiter_proposed,
    encoding_proposed,
    read_delimited,
    refused_file,
)
from flockbook.gathering.undecided import cells_undecided, days_mixed
from flockbook.gathering.workbook import read_workbook

TEXT_ENDINGS, BOOK_ENDINGS = (".csv", ".tsv", ".txt", ".tab", ".dat"), (".xlsx", ".xlsm")
HOW_ANEW = "mend the mapping; or take it away, and the command proposes another"


def read_file(file: str, data: bytes, mapping: FileMapping | None) -> SheetsRead:
    """The sheets of a file, by its ending; text as the mapping declares, or as the bytes themselves suggest."""
    ending = "." + file.rpartition(".")[2].lower()
    if len(data) > LARGEST_FILE:
        return refused_file(file, f"it has more than {LARGEST_FILE:,} bytes", "part it into several files")
    if not data.strip():
        return refused_file(file, "there is nothing in it", HOW_SAVED)
    if ending in BOOK_ENDINGS:
        return read_workbook(file, data)
    if ending not in TEXT_ENDINGS:
        return refused_file(file, f"files ending in `{ending}` are not read", HOW_SAVED)
    encoding, delimiter = declared_form(data, mapping)
    return read_delimited(file, data, encoding, delimiter)


def declared_form(data: bytes, mapping: FileMapping | None) -> tuple[str, str]:
    """The encoding of a file of text and the word for the sign between its cells."""
    said = mapping.sheets[0] if mapping and mapping.sheets else SheetMapping("")
    encoding = said.encoding or encoding_proposed(data)
    start = data[:100_000].decode(encoding, "replace") if encoding in ("utf-8", "utf-16", "cp1252") else ""
    return encoding, said.delimiter if said.delimiter in DELIMITERS_SAID else delimiter_proposed(start)


def mapping_proposed(path: str, sheets: Sequence[RowSheet], data: bytes, by: Proposing) -> FileMapping:
    """A mapping for a file that has none; nothing is made of it before somebody has read it."""
    found = [sheet_proposed(sheet, by) for sheet in sheets]
    named = frozenset(name for sheet, one in zip(sheets, found, strict=True) for name in medicines_named(sheet, one))
    if named:
        more = replace(by, ear=replace(by.ear, noted=by.ear.noted | named))
        found = [sheet_proposed(sheet, more) for sheet in sheets]
    if len(sheets) == 1 and not sheets[0].name:
        encoding, delimiter = declared_form(data, None)
        found = [replace(one, encoding=encoding, delimiter=delimiter) for one in found]
    return FileMapping(path, tuple(found))


def medicines_named(sheet: RowSheet, how: SheetMapping) -> Iterator[str]:
    """The products that a sheet of medicines names, as they are looked up."""
    for use in how.columns if how.kind == "medicine" else ():
        if use.target == "name":
            yield from (product_key(row.cell(use.place).text) for row in sheet.rows if row.number > how.headings)


def misfits(mapping: FileMapping, sheets: Sequence[RowSheet]) -> Iterator[Diagnostic]:
    """Where a mapping does not fit the file: sheets and columns that are not there, or that it does not know."""
    for one in mapping.sheets:
        if one.sheet not in {sheet.name for sheet in sheets}:
            yield mapping.told(one.line, f"the file has no sheet `{one.sheet or ONE_FILE}`", HOW_ANEW)
    for sheet in sheets:
        how = mapping.of(sheet.name)
        if how is None:
            yield mapping.told(1, f"the mapping does not know the sheet `{sheet.name or ONE_FILE}`", HOW_ANEW)
        elif how.used:
            yield from columns_unfit(mapping, how, sheet)


def columns_unfit(mapping: FileMapping, how: SheetMapping, sheet: RowSheet) -> Iterator[Diagnostic]:
    """The columns of a sheet whose headings are not those of the mapping, and days that nobody can tell."""
    row = next((row for row in sheet.rows if row.number == how.headings), None)
    headings = {place: text for place, text in enumerate(row.texts) if text} if row else {}
    known = {use.place: use.heading for use in how.columns}
    for place in sorted({*headings, *known}):
        if headings.get(place, "") != known.get(place, ""):
            said = f"row {how.headings} has `{headings.get(place, '')}` there"
            told = f"column {column_letters(place)} is `{known.get(place, '')}` in the mapping, and {said}"
            yield mapping.told(how.line, told, HOW_ANEW)
    for day, use in days_mixed(sheet, how):
        told = f"{use.called} holds days that the spreadsheet knows and, in row {day.number}, "
        told += f"`{day.cell(use.place).text}`, which it does not: the others may have been turned round"
        yield mapping.told(how.line, told, "type that column anew, as 2024-04-19")
    for why in cells_undecided(sheet, how):
        yield mapping.told(how.line, why.message, why.help)


def proposed_anew(mapping: FileMapping, sheets: Sequence[RowSheet], by: Proposing) -> FileMapping:
    """A mapping in which the columns of every outdated section are proposed for what it says now."""
    named = {sheet.name: sheet for sheet in sheets}
    return replace(mapping, sheets=tuple(
        replace(sheet_proposed(named[one.sheet], replace(by, said=one)), encoding=one.encoding, delimiter=one.delimiter)
        if one.outdated and one.sheet in named else one for one in mapping.sheets
    ))  # fmt: skip
