"""The year that follows from each joining, planned or begun: one row for each thing and the days it falls on.

These are the facts of the year wheel, and of the page of the year ahead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from enum import StrEnum

from compiler.shape import Value
from flockbook.derive.breeding.joining_dates import JoiningDates
from flockbook.derive.plain.because import Reason
from flockbook.derive.year.deeds import Deed
from flockbook.derive.year.reminder import Reminder

OF_PLANS = ("plan", "booster")  # kinds of reminder that hang on a joining's days


class WheelPart(StrEnum):
    """What falls on the days of a row."""

    RAM_IN = "ram in"
    CRAYON = "crayon"
    RAM_OUT = "ram out"
    SCAN = "scan"
    PLAN = "plan"
    WATCH = "watch"
    LAMBS = "lambs"


class WheelRow(Value):
    """One thing of one season: its days, the joining's note it rests on, and what a plan asks for."""

    part: WheelPart
    first: date
    last: date
    season: int
    note: str
    planned: bool
    what: Deed | Reason | None = None


def year_wheel(joinings: Iterable[JoiningDates], reminders: Iterable[Reminder], today: date) -> tuple[WheelRow, ...]:
    """Every row of the joinings whose lambs are still to come, and the plans of the year round, in order of time."""
    coming = [item for item in joinings if item.lambs.last >= today]
    rows = [row for item in coming for row in of_joining(item)]
    season = max((item.season for item in coming), default=today.year)
    rows += [
        WheelRow(WheelPart.PLAN, item.date, item.date, season, item.because[0].note if item.because else "", False,
                 item.what)
        for item in reminders
        if item.kind in OF_PLANS and not item.done and item.date >= today
    ]  # fmt: skip
    return tuple(sorted(set(rows), key=lambda row: (row.first, row.last, row.part, row.note)))


def of_joining(item: JoiningDates) -> Iterator[WheelRow]:
    """The rows of one joining."""
    parts: list[tuple[WheelPart, date, date]] = [(WheelPart.RAM_IN, item.ram_in, item.ram_in)]
    parts += [(WheelPart.CRAYON, day, day) for day in item.crayons]
    parts += [(WheelPart.RAM_OUT, item.ram_out, item.ram_out)] if item.ram_out else []
    parts += [(WheelPart.SCAN, item.scan.first, item.scan.last)] if item.scan else []
    parts += [(WheelPart.WATCH, item.watch_from, item.lambs.last), (WheelPart.LAMBS, item.lambs.first, item.lambs.last)]
    for part, first, last in parts:
        yield WheelRow(part, first, last, item.season, item.note, item.planned)
