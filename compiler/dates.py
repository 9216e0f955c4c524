"""Readers of dates and times of day."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date, datetime, time

from compiler.nearness import clipped
from compiler.schema import Context, Fault
from compiler.shape import Value
from compiler.written import Written, moved

MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
SHORTEST_MONTH = 28  # days that every month has
MONTH_OF = {name[:3]: place for place, name in enumerate(MONTHS, 1)} | {"sept": 9}
MONTH_OF |= {name: place for place, name in enumerate(MONTHS, 1)}
SPAN_OF_DAYS = re.compile(r"(\d[\w/.]*) ?(?:[-–]|to|until|till) ?(\d[\w/.]*)", re.A | re.I)  # `5/25 - 5/29`
ISO = re.compile(r"(\d{4,6})-(\d{1,2})-(\d{1,2})", re.A)
DAY_FIRST = re.compile(
    r"(?P<day>\d{1,2})(?:st|nd|rd|th)?\.?[ -]?(?P<month>[a-z]{3,9})\.?,?(?:[ -](?P<year>\d{2,6}))?", re.I | re.A
)
MONTH_FIRST = re.compile(
    r"(?P<month>[a-z]{3,9})\.? (?P<day>\d{1,2})(?:st|nd|rd|th)?,?(?: (?P<year>\d{4,6}))?", re.I | re.A
)
SLASHED = re.compile(r"(\d{1,2})[/.](\d{1,2})(?:\.?[/.](\d{2,4})|\.)?", re.A)
HYPHENED = re.compile(r"(\d{1,2})-(\d{1,2})-(\d{4}|\d{2})", re.A)
FIGURED = re.compile(r"(\d{1,2})[/.-](\d{1,2})(?![\d:h]| ?[ap]\.?m\b)(?:[/.-](\d{2,4}))?(?![\d/-])", re.A | re.I)
YEARLESS = re.compile(r"\d{1,2}/\d{2}", re.A)
_ABOUT = r"(about |around |abt\.? |approx\.? |~ ?|c\.? ?|circa )?"
YEAR_MONTH = re.compile(rf"{_ABOUT}(\d{{4,6}})(?:-(\d{{1,2}}))?", re.I | re.A)
MONTH_YEAR = re.compile(rf"{_ABOUT}([a-z]{{3,9}})\.? (\d{{4,6}})", re.I | re.A)
FIGURE_YEAR = re.compile(rf"{_ABOUT}(\d{{1,2}})[/-](\d{{4}})", re.I | re.A)  # `6/2027`
_HALF = r"[ap]\.?m\b\.?"  # of the day: `am`, `p.m.`
CLOCK = re.compile(
    rf"(?:(\d{{1,2}})[:.h](\d{{2}})(?::(\d{{2}}))?|(\d{{2}})(\d{{2}})) ?({_HALF})?|(\d{{1,2}}) ?({_HALF})"
    rf"|(\d)(\d{{2}}) ?({_HALF})",
    re.I | re.A,
)
DAY_AND_CLOCK = re.compile(
    rf"(?P<day>.+?)(?:T|,? at |,? )(?P<clock>(?:12 )?noon|midday|(?:12 )?midnight"
    rf"|\d{{1,2}}[:.h]\d{{2}}(?::\d{{2}})?(?: ?{_HALF})?|\d{{1,4}} ?{_HALF}"
    r"|\d{4})",
    re.I | re.A,
)
NOON, MIDNIGHT = ("noon", "12 noon", "midday"), ("midnight", "12 midnight")
LAST_MONTH = 12
FIRST_YEAR, LAST_YEAR = 1900, 2200  # a year outside is a slip (our own limit)
LATEST_SHORT = 2069  # a year of two figures after this is one of the last century, and is typed whole (our own limit)
NEAR = 183  # days: a date without a year that lies within half a year of the note, in the note's own year, is that one
SEASON = 92  # days: one that lies so near in the year before or after is that one; anything else needs its year
HOW = "write it as `2026-04-19` or `19 Apr`"
HOW_PART = "write `2023-04-19`, `2023-04`, `2023` or `about 2021`"
HOW_CLOCK = "write it as `03:40`, `0340` or `5.40 am`"


class PartialDate(Value):
    """A date of which month or day may be unknown; `about` when even the year is a guess."""

    year: int
    month: int | None = None
    day: int | None = None
    about: bool = False
    text: str = ""

    @property
    def earliest(self) -> date:
        """The first day it can mean; a guessed year reaches one year back."""
        year, month, day = self.year - self.about, self.month or 1, self.day or 1
        return date(year, month, day if day <= SHORTEST_MONTH else min(day, monthrange(year, month)[1]))

    @property
    def latest(self) -> date:
        """The last day it can mean; a guessed year reaches one year on."""
        year, month = self.year + self.about, self.month or 12
        last = monthrange(year, month)[1]
        return date(year, month, min(self.day or last, last))

    @property
    def exact(self) -> date | None:
        """The day itself, when it is known."""
        return date(self.year, self.month, self.day) if self.month and self.day and not self.about else None

    @property
    def shown(self) -> str:
        """As much of the ISO date as is known."""
        parts = [f"{self.year:04}"] + [f"{part:02}" for part in (self.month, self.day) if part]
        return ("about " if self.about else "") + "-".join(parts)


class When(Value):
    """A day, with the local time of day where it was written down."""

    date: date
    time: time | None = None
    text: str = ""

    @property
    def moment(self) -> datetime:
        """The moment, taking the end of the day where no time is known."""
        return datetime.combine(self.date, self.time or time.max)


def read_date(text: str, context: Context) -> date | Fault:
    """`2026-04-19`, `19 Apr`, `Apr 19`, `19 April 2026`; `19/4`, `19-4-2026` where it is plain, or the settings tell
    its order.

    A date without a year is completed from the note's own date: see `completed`.
    """
    if match := ISO.fullmatch(text):
        return dated(int(match[1]), int(match[2]), int(match[3]), text)
    if match := DAY_FIRST.fullmatch(text) or MONTH_FIRST.fullmatch(text):
        return worded(match, context)
    if match := SLASHED.fullmatch(text) or HYPHENED.fullmatch(text):
        return slashed(match, context)
    if match := SPAN_OF_DAYS.fullmatch(text):
        return Fault(f"`{clipped(text)}` is a span of days", f"write every day: `{match[1]}, …, {match[2]}`")
    return Fault(f"`{clipped(text)}` is not a date", HOW)


def read_partial_date(text: str, context: Context) -> PartialDate | Fault:
    """`2023-04-19`, `2023-04`, `2023`, `April 2023`, `4/2023`, `about 2021`."""
    if match := YEAR_MONTH.fullmatch(text):
        return partial(int(match[2]), int(match[3]) if match[3] else None, bool(match[1]), text)
    if (match := MONTH_YEAR.fullmatch(text)) and (month := MONTH_OF.get(match[2].lower())):
        return partial(int(match[3]), month, bool(match[1]), text)
    if match := FIGURE_YEAR.fullmatch(text):
        return partial(int(match[3]), int(match[2]), bool(match[1]), text)
    if YEARLESS.fullmatch(text):
        cure = "write the year in four figures, as in `6/2027` or `19 June 2027`"
        return Fault(f"`{text}` can be a day, or a month and its year", cure)
    whole = read_date(text, context)
    if isinstance(whole, Fault):
        return Fault(whole.message, HOW_PART, whole.start, whole.length)
    return PartialDate(whole.year, whole.month, whole.day, text=text)


def read_time(text: str, context: Context) -> time | Fault:
    """`03:40`, `3:40`, `0340`, `5.40 am`, `5 a.m.`, `340am`, `noon`."""
    del context
    if text.lower() in NOON:
        return time(12)
    if text.lower() in MIDNIGHT:
        cure = "write `00:00` where the day begins, or `23:59` where it ends"
        return Fault(f"`{text}` is the beginning of a day or its end", cure)
    match = CLOCK.fullmatch(text)
    if short := re.fullmatch(r"([1-9])([0-5]\d)", text, re.A):
        cure = f"write `0{text}`, or `{short[1]}.{short[2]} pm` if it was in the afternoon"
        return Fault(f"`{text}` lacks a figure", cure)
    if match is None:
        return Fault(f"`{clipped(text)}` is not a time of day", HOW_CLOCK)
    hour = int(match[1] or match[4] or match[7] or match[9])
    minute, second = int(match[2] or match[5] or match[10] or 0), int(match[3] or 0)
    half = (match[6] or match[8] or match[11] or "").lower().replace(".", "")
    if half and not 1 <= hour <= 12:
        return Fault(f"`{clipped(text)}` has an hour that no clock shows with `{half}`", HOW_CLOCK)
    hour = hour % 12 + (12 if half == "pm" else 0) if half else hour
    if hour > 23 or minute > 59 or second > 59:
        return Fault(f"`{clipped(text)}` is not a time of day: the day ends at 23:59", HOW_CLOCK)
    return time(hour, minute, second)


def read_when(text: str, context: Context) -> When | Fault:
    """`2 Jun`, `2026-06-02 18:00`, `2 Jun 18:00`."""
    whole = read_date(text, context)
    match = DAY_AND_CLOCK.fullmatch(text)
    if not isinstance(whole, Fault):
        return unclear_year(whole, match, context) or When(whole, None, text)
    if match is None:
        return whole
    day, clock = read_date(match["day"], context), read_time(match["clock"], context)
    if isinstance(day, Fault):
        return day
    return moved(clock, match.start("clock")) if isinstance(clock, Fault) else When(day, clock, text)


def unclear_year(day: date, match: re.Match[str] | None, context: Context) -> Fault | None:
    """`2 Jun 2015` may be a year or a quarter past eight: a year far from the note's own is not guessed at."""
    if match is None or not re.fullmatch(r"\d{4}", match["clock"], re.A) or context.date is None:
        return None
    if abs(day.year - context.date.year) <= 1 or isinstance(read_time(match["clock"], context), Fault):
        return None
    clock = f"{match['clock'][:2]}:{match['clock'][2:]}"
    cure = f"write `{match['day']} {clock}` or `{day.isoformat()}`"
    return Fault(f"`{match['clock']}` can be a year or a time of day", cure, match.start("clock"), 4)


class Typed(Value):
    """A day as typed, its month as a number; `year` is None where it was left out."""

    day: int
    month: int
    year: str | None
    text: str


def worded(match: re.Match[str], context: Context) -> date | Fault:
    """A day whose month is a word."""
    number = MONTH_OF.get(match["month"].lower())
    if number is None:
        return Fault(f"`{match['month']}` is not a month", HOW, match.start("month"), len(match["month"]))
    return completed(Typed(int(match["day"]), number, match["year"], match[0]), context)


def slashed(match: re.Match[str], context: Context) -> date | Fault:
    """`19/4`, which is plain where one of its figures can be no month; else only the settings can tell its order."""
    order, first, second = context.habits.dates, int(match[1]), int(match[2])
    if min(first, second) <= LAST_MONTH < max(first, second):
        order = "day-month" if first > LAST_MONTH else "month-day"
    if not order:
        cure = "write `19 Apr`, or say `dates: day-month` or `dates: month-day` in the settings"
        return Fault(f"`{match[0]}` can be read two ways", cure)
    day, month = (first, second) if order == "day-month" else (second, first)
    if not 1 <= month <= 12:
        return Fault(f"`{match[0]}` has no such month (the settings say {order})", HOW)
    if match[3] and len(match[3]) == 2:
        return of_two_figures(match, Typed(day, month, f"20{match[3]}", match[0]), order, context)
    return completed(Typed(day, month, match[3], match[0]), context)


def order_typed(text: str) -> str:
    """The order in which a day in figures is typed, where one of them can be no month; "" where either could be."""
    match = FIGURED.match(text)
    first, second = (int(match[1]), int(match[2])) if match else (0, 0)
    if min(first, second) > LAST_MONTH or max(first, second) <= LAST_MONTH:
        return ""
    return "day-month" if first > LAST_MONTH else "month-day"


def of_two_figures(match: re.Match[str], typed: Typed, order: str, context: Context) -> date | Fault:
    """A day whose year has two figures, in the order that the settings name. Where its first figure could be the year,
    and that day is nearer to the note's own, nobody can tell.
    """
    year, whole = int(typed.year or ""), "write all four figures of the year, as in `19 April 2026`"
    if context.habits.dates != order or year > LATEST_SHORT:
        return Fault(f"`{match[3]}` is not a whole year", whole)
    turned = dated(2000 + int(match[1]), int(match[2]), int(match[3]), match[0])
    read = dated(year, typed.month, typed.day, match[0])
    if isinstance(read, Fault) or isinstance(turned, Fault) or context.date is None:
        return read
    nearer = abs(turned - context.date) < abs(read - context.date)
    return Fault(f"`{match[0]}` can be read two ways", whole) if nearer else read


def completed(typed: Typed, context: Context) -> date | Fault:
    """A day whose year may have been left out.

    Then it is the note's own year, when that brings it within half a year of the note. `2 Jan` in a note of 30 December
    is the next year's: the nearest one counts when it is less than a season away. Whatever is further off needs its
    year, because nothing must ever come out a year too old.
    """
    day, month, year, text = typed.day, typed.month, typed.year, typed.text
    if year is not None:
        if len(year) != 4:
            return Fault(f"`{year}` is not a whole year", "write all four figures, as in `19 April 2026`")
        return dated(int(year), month, day, text)
    if context.date is None:
        return Fault(f"`{clipped(text)}` lacks a year", "add the year, as in `19 April 2026`")
    found = [dated(context.date.year + step, month, day, text) for step in (0, 1, -1)]
    for item, limit in zip(found, (NEAR, SEASON, SEASON), strict=True):
        if isinstance(item, date) and abs((item - context.date).days) <= limit:
            return item
    known = [item for item in found if isinstance(item, date)]
    if not known:
        return found[0]
    return Fault(f"`{clipped(text)}` could be in two years", f"add the year, as in `{known[0].isoformat()}`")


def dated(year: int, month: int, day: int, text: str) -> date | Fault:
    """A day of the calendar, or why there is none."""
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return Fault(f"the year {year:04} cannot be meant", HOW)
    try:
        return date(year, month, day)
    except ValueError:
        return Fault(f"there is no such day as `{clipped(text)}`", "look at the day and the month again")


def partial(year: int, month: int | None, about: bool, text: str) -> PartialDate | Fault:
    """A partial date, checked."""
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return Fault(f"the year {year:04} cannot be meant", "write a year such as `2023`")
    if month is not None and not 1 <= month <= 12:
        return Fault(f"there is no month {month}", "months run from 01 to 12")
    return PartialDate(year, month, None, about, text)


DATE = Written("a date", ("2026-04-19", "19 Apr", "19 April 2026"), read_date)
PARTIAL_DATE = Written("a date, or part of one", ("2023-04", "2023-04-19", "2023", "about 2021"), read_partial_date)
TIME = Written("a time of day", ("03:40", "0340", "5.40 am", "340am"), read_time)
WHEN = Written("a date, with or without a time", ("2026-06-02 18:00", "2 Jun", "2 Jun 18:00"), read_when)
DATES = WHEN  # the name for a field that takes several
