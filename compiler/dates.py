"""Readers of dates and times of day."""

from __future__ import annotations

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from compiler.schema import Context, Fault

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})", re.A)
WORDED = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?\.?\s+([a-z]{3,9})\.?,?(?:\s+(\d{2,4}))?", re.I | re.A)
SLASHED = re.compile(r"(\d{1,2})[/.](\d{1,2})(?:[/.](\d{2,4}))?", re.A)
CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2}))?(?::\d{2})?\s*(am|pm)?|(\d{2})(\d{2})", re.I | re.A)
FIRST_YEAR, LAST_YEAR = 1900, 2200  # a year outside is a slip (our own limit)
HOW = "write it as `2026-04-19` or `19 Apr`"


@dataclass(frozen=True, slots=True)
class PartialDate:
    """A date of which month or day may be unknown; `about` when even the year is a guess."""

    year: int
    month: int | None = None
    day: int | None = None
    about: bool = False
    text: str = ""

    @property
    def earliest(self) -> date:
        """The first day it can mean; a guessed year reaches one year back."""
        return date(self.year - self.about, self.month or 1, self.day or 1)

    @property
    def latest(self) -> date:
        """The last day it can mean; a guessed year reaches one year on."""
        year, month = self.year + self.about, self.month or 12
        return date(year, month, self.day or monthrange(year, month)[1])

    @property
    def exact(self) -> date | None:
        """The day itself, when it is known."""
        return date(self.year, self.month, self.day) if self.month and self.day and not self.about else None

    @property
    def shown(self) -> str:
        """As much of the ISO date as is known."""
        parts = [f"{self.year:04}"] + [f"{part:02}" for part in (self.month, self.day) if part]
        return ("about " if self.about else "") + "-".join(parts)


@dataclass(frozen=True, slots=True)
class When:
    """A day, with the local time of day where it was written down."""

    date: date
    time: time | None = None
    text: str = ""

    @property
    def moment(self) -> datetime:
        """The moment, taking the end of the day where no time is known."""
        return datetime.combine(self.date, self.time or time.max)


@dataclass(frozen=True, slots=True)
class DateReader:
    """A whole date; a year left out is the year that brings it nearest to the note's own date."""

    name: str = "a date"
    example: str = "2026-04-19"

    def read(self, text: str, context: Context) -> date | Fault:
        """The date."""
        plain = squeezed(text)
        if match := ISO.fullmatch(plain):
            return dated(int(match[1]), int(match[2]), int(match[3]), text)
        if match := WORDED.fullmatch(plain):
            month = month_of(match[2])
            if month is None:
                return Fault(f"`{match[2]}` is not a month", HOW)
            return completed(int(match[1]), month, match[3], context, text)
        if match := SLASHED.fullmatch(plain):
            return slashed(match, context, text)
        return Fault(f"`{plain[:40]}` is not a date", HOW)

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["2026-04-19", "19 Apr", "19 April 2026"]}


@dataclass(frozen=True, slots=True)
class PartialDateReader:
    """A date that may lack day or month, or be a guess."""

    name: str = "a date, or part of one"
    example: str = "2023-04"

    def read(self, text: str, context: Context) -> PartialDate | Fault:
        """`2023-04-19`, `2023-04`, `2023`, `April 2023` or `about 2021`."""
        plain = squeezed(text)
        match = re.fullmatch(r"(about |c\.? ?|circa )?(\d{4})(?:-(\d{1,2}))?", plain, re.I | re.A)
        if match:
            return partial(int(match[2]), int(match[3]) if match[3] else None, bool(match[1]), text)
        worded = re.fullmatch(r"([a-z]{3,9}) (\d{4})", plain, re.I | re.A)
        if worded and month_of(worded[1]):
            return partial(int(worded[2]), month_of(worded[1]), False, text)
        whole = DATE.read(text, context)
        if isinstance(whole, Fault):
            return Fault(whole.message, "write `2023-04-19`, `2023-04`, `2023` or `about 2021`")
        return PartialDate(whole.year, whole.month, whole.day, text=text)

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["2023-04-19", "2023-04", "about 2021"]}


@dataclass(frozen=True, slots=True)
class TimeReader:
    """A local time of day."""

    name: str = "a time of day"
    example: str = "03:40"

    def read(self, text: str, context: Context) -> time | Fault:
        """`03:40`, `3:40`, `0340`, `5.40 am`."""
        del context
        plain = squeezed(text)
        match = CLOCK.fullmatch(plain)
        how = "write it as `03:40`, `0340` or `5.40 am`"
        if match is None or (match[1] and not match[2] and not match[3]):
            return Fault(f"`{plain[:40]}` is not a time of day", how)
        hour, minute = (int(match[4]), int(match[5])) if match[4] else (int(match[1]), int(match[2] or 0))
        half = (match[3] or "").lower()
        if half and not 1 <= hour <= 12:
            return Fault(f"`{plain[:40]}` is not a time of day", how)
        hour = hour % 12 + (12 if half == "pm" else 0) if half else hour
        if hour > 23 or minute > 59:
            return Fault(f"`{plain[:40]}` is not a time of day: the day ends at 23:59", how)
        return time(hour, minute)

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["03:40", "0340", "5.40 am"]}


@dataclass(frozen=True, slots=True)
class WhenReader:
    """A date, with the time of day if it is known."""

    name: str = "a date, with or without a time"
    example: str = "2026-06-02 18:00"

    def read(self, text: str, context: Context) -> When | Fault:
        """`2 Jun`, `2026-06-02 18:00`, `2 Jun 18:00`."""
        plain = squeezed(text)
        whole = DATE.read(plain, context)
        if not isinstance(whole, Fault):
            return When(whole, None, text)
        match = re.fullmatch(r"(.+?)(?:[T ]|,? at )(\d{1,2}[:.h]\d{2}(?::\d{2})?(?: ?[ap]m)?|\d{1,2} ?[ap]m|\d{4})", plain, re.I | re.A)
        if match is None:
            return whole
        day, clock = DATE.read(match[1], context), TIME.read(match[2], context)
        if isinstance(day, Fault):
            return day
        return clock if isinstance(clock, Fault) else When(day, clock, text)

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["2 Jun", "2026-06-02 18:00"]}


def squeezed(text: str) -> str:
    """Text with its blanks, non-breaking ones too, made single."""
    return " ".join(text.split())


def month_of(word: str) -> int | None:
    """1 to 12 for a month's name or its first three letters."""
    full = ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december")
    lower = word.lower()
    for place, name in enumerate(full, 1):
        if lower in (name, MONTHS[place - 1]) or (lower == "sept" and place == 9):
            return place
    return None


def dated(year: int, month: int, day: int, text: str) -> date | Fault:
    """A day of the calendar, or why there is none."""
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return Fault(f"the year {year} cannot be meant", HOW)
    try:
        return date(year, month, day)
    except ValueError:
        return Fault(f"there is no such day as `{squeezed(text)[:40]}`", "look at the day and the month again")


def completed(day: int, month: int, year: str | None, context: Context, text: str) -> date | Fault:
    """A day whose year may have been left out: then the year that brings it nearest to the note's date, the later at a tie.

    Nearest, and never simply the note's year: `2 Jan` in a note of 30 December must not become a dose eleven months old.
    """
    if year is not None:
        if len(year) != 4:
            return Fault(f"`{year}` is not a whole year", "write all four figures, as in `19 April 2026`")
        return dated(int(year), month, day, text)
    if context.date is None:
        return Fault(f"`{squeezed(text)[:40]}` lacks a year", "add the year, as in `19 April 2026`")
    middle = context.date
    tries = [dated(middle.year + step, month, day, text) for step in (-1, 0, 1)]
    known = [item for item in tries if isinstance(item, date)]
    if not known:
        return tries[1]
    return min(known, key=lambda item: (abs((item - middle).days), -item.toordinal()))


def slashed(match: re.Match[str], context: Context, text: str) -> date | Fault:
    """`19/4`, whose order only the settings can tell."""
    order = context.habits.dates
    if not order:
        return Fault(
            f"`{squeezed(text)[:40]}` can be read two ways",
            "write `19 Apr`, or say `dates: day-month` or `dates: month-day` in the settings",
        )
    first, second = int(match[1]), int(match[2])
    day, month = (first, second) if order == "day-month" else (second, first)
    if not 1 <= month <= 12:
        return Fault(f"`{squeezed(text)[:40]}` has no such month (the settings say {order})", HOW)
    return completed(day, month, match[3], context, text)


def partial(year: int, month: int | None, about: bool, text: str) -> PartialDate | Fault:
    """A partial date, checked."""
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return Fault(f"the year {year} cannot be meant", "write a year such as `2023`")
    if month is not None and not 1 <= month <= 12:
        return Fault(f"there is no month {month}", "months run from 01 to 12")
    return PartialDate(year, month, None, about, text)


DATE = DateReader()
PARTIAL_DATE = PartialDateReader()
TIME = TimeReader()
DATES = WhenReader()
