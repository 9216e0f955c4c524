"""The flock's manner of speech, and the one place where days and hours become words in it.

What is printed follows the settings: `words`, else the units, and `dates` where it says an order. Every stage that
words anything is begun by `speak_as`, so that a book is in one manner from its first message to its last page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime, time, tzinfo
from typing import TypeVar

from compiler.dates import When
from compiler.shape import Value

R = TypeVar("R")

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LONG_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
UK, US = "uk", "us"
NOON = 12


class Manner(Value):
    """Whose words are printed, whether days are said month first, with a clock of twice twelve hours, and whose law
    may be named: the country as it was typed.
    """

    words: str = UK
    month_first: bool = False
    country: str = ""


BRITISH = Manner()
_NOW: ContextVar[Manner] = ContextVar("manner", default=BRITISH)


def speak_as(wanted: Manner) -> None:
    """From here on, words are said in this manner."""
    _NOW.set(wanted)


def manner() -> Manner:
    """The manner in which words are said now."""
    return _NOW.get()


@contextmanager
def speaking(wanted: Manner) -> Iterator[None]:
    """Words said in this manner, and then again as before."""
    before = _NOW.set(wanted)
    try:
        yield
    finally:
        _NOW.reset(before)


def in_manner(wanted: Manner, make: Callable[[], R]) -> R:
    """What is made while words are said in this manner."""
    with speaking(wanted):
        return make()


def day_words(value: date) -> str:
    """25 Jun 2026, or Jun 25, 2026."""
    if manner().month_first:
        return f"{MONTHS[value.month - 1]} {value.day}, {value.year}"
    return f"{value.day} {MONTHS[value.month - 1]} {value.year}"


def short_day_words(value: date) -> str:
    """25 Jun, or Jun 25: where the year stands beside it."""
    month = MONTHS[value.month - 1]
    return f"{month}\u00a0{value.day}" if manner().month_first else f"{value.day}\u00a0{month}"


def long_day_words(value: date) -> str:
    """Sunday 1 March 2026, or Sunday, March 1, 2026."""
    weekday, month = WEEKDAYS[value.weekday()], LONG_MONTHS[value.month - 1]
    if manner().month_first:
        return f"{weekday}, {month} {value.day}, {value.year}"
    return f"{weekday} {value.day} {month} {value.year}"


def clock_words(value: datetime | time) -> str:
    """03:40, or 3:40 a.m.; 01:20 BST where the time has its zone."""
    name = value.tzname() if isinstance(value, datetime) else None
    which = f"\u00a0{name if name.isalpha() else f'UTC{name}'}" if name else ""
    if not manner().month_first:
        return f"{value:%H:%M}{which}"
    half = "a.m." if value.hour < NOON else "p.m."
    return f"{value.hour % NOON or NOON}:{value:%M}\u00a0{half}{which}"


def by_its_clock(at: datetime, zone: tzinfo | None) -> datetime:
    """The same local time, with its zone where the clocks change on that day: then its words say by which it is."""
    first, last = (at.replace(hour=hour, minute=minute, fold=0, tzinfo=zone) for hour, minute in ((0, 0), (23, 59)))
    return at if first.utcoffset() == last.utcoffset() else at.replace(tzinfo=zone)


def moment_words(value: datetime) -> str:
    """25 Jun 2026 08:00, or Jun 25, 2026, 8:00 a.m."""
    between = ", " if manner().month_first else " "
    return f"{day_words(value.date())}{between}{clock_words(value)}"


def short_moment_words(value: datetime) -> str:
    """25 Jun, 08:00, or Jun 25, 8:00 a.m."""
    return f"{short_day_words(value.date())}, {clock_words(value)}"


def day_span_words(first: date, last: date) -> str:
    """9 to 24 Apr 2027, or Apr 9 to 24, 2027; 28 Mar to 2 Apr 2027; 28 Dec 2026 to 3 Jan 2027."""
    if first == last:
        return day_words(first)
    if first.year != last.year:
        return f"{day_words(first)} to {day_words(last)}"
    same = first.month == last.month
    if manner().month_first:
        until = f"{last.day}, {last.year}" if same else day_words(last)
        return f"{MONTHS[first.month - 1]} {first.day} to {until}"
    return f"{first.day if same else f'{first.day} {MONTHS[first.month - 1]}'} to {day_words(last)}"


def short_days_words(first: date, last: date) -> str:
    """18–22 Apr, or Apr 18–22; 28 Apr – 3 May."""
    if first == last:
        return short_day_words(first)
    if (first.year, first.month) != (last.year, last.month):
        return f"{short_day_words(first)} – {short_day_words(last)}"
    if manner().month_first:
        return f"{short_day_words(first)}–\u2060{last.day}"
    return f"{first.day}–\u2060{short_day_words(last)}"


def month_words(value: date) -> str:
    """Jun 2026."""
    return f"{MONTHS[value.month - 1]} {value.year}"


def when_words(value: When) -> str:
    """A day as it was written down, with its hour where it has one."""
    return moment_words(value.moment) if value.time else day_words(value.date)
