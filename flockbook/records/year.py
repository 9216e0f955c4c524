"""Plans that come round every year, tasks, and free pages of the book."""

from __future__ import annotations

import re
from datetime import date
from typing import Any, ClassVar

from compiler.schema import Context, Fault, Kind, Record, key
from compiler.values import DATE, SPAN_OF_TIME, TEXT, Duration
from compiler.written import Written
from flockbook.records.event import Event

YEAR_BEHIND = re.compile(r"[ ,/-]+\d{4}$", re.A)
LEAP_YEAR = 2024  # in which every day of a year is one


def day_of_year(text: str, context: Context, year: int = LEAP_YEAR) -> date | Fault:
    """`1 Oct`, `October 1` or `10/1` in a year; a year typed behind it counts for nothing."""
    bare = YEAR_BEHIND.sub("", text)
    return DATE.read(f"{bare}/{year}" if bare[-1:].isdigit() and "/" in bare else f"{bare} {year}", context)


def read_yearly(text: str, context: Context) -> str | Fault:
    """A day of the year as it was typed, where it is one."""
    day = day_of_year(text, context)
    return Fault(day.message, "write the day and its month, as in `1 Oct`") if isinstance(day, Fault) else text


YEARLY = Written("a day of the year", ("1 Oct",), read_yearly)


class Plan(Record):
    """Something to be done at a set distance from a day that comes round."""

    what: str | None = key("what is to be done", TEXT, required=True)
    before_first_due: Duration | None = key("so long before the first ewe is due", SPAN_OF_TIME)
    after_ram_in: Duration | None = key("so long after ram in", SPAN_OF_TIME)
    after_ram_out: Duration | None = key("so long after ram out", SPAN_OF_TIME)
    after_lambing: Duration | None = key("so long after each ewe's lambing", SPAN_OF_TIME)
    after_birth: Duration | None = key("so long after each lamb's birth", SPAN_OF_TIME)
    every_year: str | None = key("the day of the year, such as `1 Oct`", YEARLY)
    for_: str | None = key("ewes, lambs, rams, or a mob", TEXT, instead=("who", "sheep"))
    done_by: str | None = key("the kind of note, or of medicine, that ticks it off", TEXT)


class Task(Event):
    """One thing to do; `done` ticks it off."""

    of_the_living: ClassVar[bool] = False
    what: str | None = key("what is to be done", TEXT, required=True)
    due: date | None = key("by when", DATE, instead=("when", "before", "until"))
    done: date | None = key("the day it was done", DATE)


class FreePage(Record):
    """A page of the book in the shepherd's own words."""

    title: str | None = key("the page's heading", TEXT, required=True)


KINDS: tuple[Kind[Any], ...] = (
    Kind("plan", Plan, "something to be done every year", dated=False, named=("what",)),
    Kind("task", Task, "one thing to do", subject="what"),
    Kind("page", FreePage, "a free page in the book", dated=False, named=("title",)),
)
