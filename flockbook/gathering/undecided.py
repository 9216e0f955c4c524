"""Cells of a sheet that its mapping does not say how to read: days that may be turned round, figures without a unit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from compiler.dates import order_typed
from compiler.nearness import clipped
from compiler.schema import Fault
from flockbook.gathering.fates import fate_in
from flockbook.gathering.mappings import ColumnUse, SheetMapping
from flockbook.gathering.sheets import CELL_DAY, RowSheet, SheetCell, SheetRow
from flockbook.gathering.targets import IN_FATE, OPEN, Target, targets_of
from flockbook.records.gathered import rows_said

BARE_FIGURE = re.compile(r"-?\d[\d.,]*")
FIGURED_DAY = re.compile(r"\d{1,2}[/.-]\d{1,2}(?:[/.-]\d{2,4})?(?:\s|$)")
LAST_MONTH = 12


def days_mixed(sheet: RowSheet, how: SheetMapping) -> Iterator[tuple[SheetRow, ColumnUse]]:
    """The first day in figures of each column that also holds real days which may have been turned round on the way.

    A spreadsheet that does not know `13/4/2024` reads days in the other order: then every day it knows has a month and
    a day of at most twelve. A real day with a later day of the month speaks against that, but not in a treatment.
    """
    known = targets_of(how.kind)
    for use in how.columns:
        cells = [(row, row.cell(use.place)) for row in sheet.rows if row.number > how.headings and use.target in known]
        real = [cell.text for _, cell in cells if cell.sort == CELL_DAY]
        sure = how.kind != "treatment" and any(int(text[8:10]) > LAST_MONTH for text in real)
        typed = (row for row, cell in cells if FIGURED_DAY.match(cell.text) and turns(cell.text, how.kind))
        first = next(typed, None)
        if real and first and known[use.target].is_day and not sure:
            yield first, use


def turns(text: str, kind: str) -> bool:
    """Whether a typed day beside real ones shows that those may be turned: it proves an order, or is of a dose."""
    return kind == "treatment" or bool(order_typed(text))


def cells_undecided(sheet: RowSheet, how: SheetMapping) -> Iterator[Fault]:
    """Each column with cells that the mapping does not say how to read: without a unit, or days without an order."""
    known = targets_of(how.kind)
    for use in how.columns:
        target = known.get(use.target)
        rows = [row for row in sheet.rows if row.number > how.headings and row.number not in how.left_out]
        bare = [row for row in rows if BARE_FIGURE.fullmatch(row.cell(use.place).text)] if target else []
        if target and bare and target.units and use.unit in ("", OPEN):
            cure = f"write {' or '.join(f'`{use.target} in {one}`' for one in target.units)} for the column"
            yield Fault(f"{cells_told(bare, use)} no unit", cure)
        typed = [row for row in rows if target and two_figures(row.cell(use.place), target)]
        if typed and how.dates == OPEN:
            cure = "write `dates: day-month` or `dates: month-day`"
            yield Fault(f"{cells_told(typed, use)} days in figures, and the mapping does not say their order", cure)


def two_figures(cell: SheetCell, target: Target) -> bool:
    """Whether a cell is a day in figures, or a fate with one, that can be read in two ways."""
    told = fate_in(cell.text) if target.part == IN_FATE else None
    text = told.day if told else cell.text if target.is_day and cell.sort != CELL_DAY else ""
    return bool(FIGURED_DAY.match(text)) and not order_typed(text)


def cells_told(rows: Sequence[SheetRow], use: ColumnUse) -> str:
    """`column C `Wt`: `8.1` and 188 more cells (rows 3-191) have`."""
    more = f" and {len(rows) - 1} more cell{'s' if len(rows) > 2 else ''}" if rows[1:] else ""
    said = f"rows {rows_said([row.number for row in rows])}" if rows[1:] else f"row {rows[0].number}"
    many = "have" if rows[1:] else "has"
    return f"{use.called}: `{clipped(rows[0].cell(use.place).text)}`{more} ({said}) {many}"
