"""One cell as it is to stand in a note: read by what its column was declared to be, or refused with the reason."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from compiler.dates import PartialDate, When, order_typed
from compiler.nearness import clipped
from compiler.schema import Context, Fault, Habits
from compiler.shape import Value, replace
from compiler.values import DATES, WHEN
from flockbook.derive.farm.official_identity import NumberFault, read_eid
from flockbook.gathering.mappings import MEANS_NOTHING, ORDERS, ColumnUse, SheetMapping
from flockbook.gathering.sheets import CELL_ERROR, CELL_FORMULA, CELL_NUMBER, SheetCell, on_one_line
from flockbook.gathering.targets import DAY_ALONE, IN_REMARK, MOMENT, OPEN, Target
from flockbook.handover.tables import FORMULA
from flockbook.saying.identity import number_cure, number_fault_words

FIGURE_AND_UNIT = re.compile(r"(?P<figure>-?\d[\d.,]*)(?P<rest>\s*[^\d.,].*)?", re.S)
WITH_POINT = re.compile(r"-?\d+(?:\.\d+)?")
ERROR_CELL = re.compile(r"#(?:N/A|REF!|VALUE!|DIV/0!|NAME\?|NUM!|NULL!|SPILL!|CALC!|GETTING_DATA)", re.I)
BEHIND_QUOTE = re.compile("'(?=[" + re.escape("".join(FORMULA)) + "])")
NEXT_DAY = re.compile(r", ?(?=\d{4}-)")
HOW_MENDED = "mend the cell in the file"
NO_VALUE = "open the file in the spreadsheet, save it with its values, and gather it again"


class CellReader(Value):
    """What cells are read by: how the sheet is mapped, and how this flock writes values."""

    how: SheetMapping
    context: Context

    def written(self, cell: SheetCell, use: ColumnUse, target: Target) -> str | Fault:
        """The text of a cell as it stands in a note; "" where nothing does."""
        text = BEHIND_QUOTE.sub("", cell.text, count=1)
        if amiss := self.amiss(replace(cell, text=text), target):
            return amiss
        means = self.meant(on_one_line(text), use)
        if not means or target.part == IN_REMARK:
            return means if target.part != IN_REMARK else text.strip()
        if target.is_day:
            return self.day(SheetCell(means, cell.sort), target)
        return self.figure(SheetCell(means, cell.sort), use, target) if target.figured else self.words(means, target)

    def amiss(self, cell: SheetCell, target: Target) -> Fault | None:
        """Why a cell holds no value at all."""
        if cell.sort == CELL_ERROR or ERROR_CELL.fullmatch(cell.text):
            return Fault(f"`{clipped(cell.text)}` is an error of the spreadsheet, no value", HOW_MENDED)
        if cell.sort == CELL_FORMULA:
            return Fault(f"the formula `{clipped(cell.text)}` has no value in the file", NO_VALUE)
        if cell.text.startswith("="):
            return Fault(f"`{clipped(cell.text)}` is a formula, no value", HOW_MENDED)
        if "\n" in cell.text and target.part != IN_REMARK:
            return Fault("the cell has several lines", "make it one line, or map its column to `remark`")
        if not all(sign.isprintable() or sign.isspace() for sign in cell.text):
            return Fault(f"`{clipped(ascii(cell.text))}` holds signs that no note may have", HOW_MENDED)
        return None

    def meant(self, text: str, use: ColumnUse) -> str:
        """A text, or what the mapping says that it means."""
        for word in self.how.words:
            if word.heading == use.heading and word.word.casefold() == text.casefold():
                return "" if word.means == MEANS_NOTHING else word.means
        return text

    def words(self, text: str, target: Target) -> str | Fault:
        """A tag, a name, a time or other words."""
        if target.name == "eid" or (target.name == "sheep" and re.fullmatch(r"[\d ]{15,}|\d[.,]\d+[eE].*", text)):
            return electronic_written(text)
        return self.checked(text, target)

    def checked(self, text: str, target: Target) -> str | Fault:
        """A text that the field can read."""
        outcome = target.reader.read(text, self.context)
        return outcome if isinstance(outcome, Fault) else text

    def day(self, cell: SheetCell, target: Target) -> str | Fault:
        """A day in ISO form, by the order that the mapping declares; nothing is read in an order that it excludes."""
        if target.reader == DATES and len(each := NEXT_DAY.split(cell.text)) > 1:
            return self.days([SheetCell(text) for text in each], target)
        if cell.sort == CELL_NUMBER and len(cell.text) == 5:
            return Fault(f"`{cell.text}` is a number, no day", "give its column the form of a date in the spreadsheet")
        order, declared = order_typed(cell.text), self.how.dates
        if order and declared in ORDERS[:2] and order != declared:
            return Fault(f"`{clipped(cell.text)}` cannot be {declared}, as the mapping says", HOW_MENDED)
        habits = Habits(dates=declared if declared in ORDERS[:2] else "")
        reader: Any = WHEN if target.name in (MOMENT, DAY_ALONE) else target.reader
        if order and not habits.dates:
            return two_ways(cell.text)
        value = reader.read(cell.text, Context(habits))
        if isinstance(value, Fault):
            return two_ways(cell.text) if "two ways" in value.message else value
        return day_said(value, target)

    def days(self, cells: Sequence[SheetCell], target: Target) -> str | Fault:
        """Several days of one cell, each read by itself; the first fault where one cannot be."""
        read = [self.day(cell, target) for cell in cells]
        fault = next((one for one in read if isinstance(one, Fault)), None)
        return fault or ", ".join(map(str, read))

    def figure(self, cell: SheetCell, use: ColumnUse, target: Target) -> str | Fault:
        """A figure with the unit that the mapping declares for its column, in the flock's own decimal mark."""
        match = FIGURE_AND_UNIT.fullmatch(cell.text)
        if match is None:
            return self.checked(cell.text, target)
        figure = self.with_point(SheetCell(match["figure"], cell.sort))
        if isinstance(figure, Fault):
            return figure
        unit = (match["rest"] or "").strip() or use.unit
        if target.units and unit in ("", OPEN):
            cure = " or ".join(f"`{use.target} in {one}`" for one in target.units)
            return Fault(f"`{clipped(cell.text)}` has no unit", f"write {cure} for the column in the mapping")
        own = figure.replace(".", ",") if self.context.habits.decimal_comma else figure
        return self.checked(f"{own} {unit}".strip(), target)

    def with_point(self, cell: SheetCell) -> str | Fault:
        """A figure with a point, from one with the decimal mark that the mapping declares."""
        comma = self.how.decimal == "comma" and cell.sort != CELL_NUMBER
        figure = cell.text.replace(",", ".") if comma and "." not in cell.text else cell.text
        if WITH_POINT.fullmatch(figure) and not (comma and "." in cell.text):
            return figure
        return Fault(f"`{clipped(cell.text)}` has another decimal mark than the mapping says", HOW_MENDED)


def two_ways(text: str) -> Fault:
    """A day in figures of which nobody said the order."""
    cure = "write `dates: day-month` or `dates: month-day` in the mapping"
    return Fault(f"`{clipped(text)}` is a day in figures, and the mapping does not say their order", cure)


def day_said(value: Any, target: Target) -> str | Fault:
    """A day as it stands in a note."""
    if isinstance(value, When):
        clock = f" {value.time:%H:%M}" if value.time else ""
        return value.date.isoformat() + ("" if target.name == DAY_ALONE else clock)
    if isinstance(value, PartialDate):
        parts = [f"{value.year:04}", *(f"{part:02}" for part in (value.month, value.day) if part)]
        return ("about " if value.about else "") + "-".join(parts)
    days = value if isinstance(value, tuple) else (value,)
    return ", ".join(str(day_said(day, target)) if isinstance(day, When) else day.isoformat() for day in days)


def electronic_written(text: str) -> str | Fault:
    """An electronic number that was not rounded and can be one."""
    value = read_eid(text)
    if isinstance(value, NumberFault):
        return Fault(number_fault_words(value), number_cure(value))
    return text
