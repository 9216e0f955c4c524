"""Dates that cannot be."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

from compiler.book import Check
from compiler.dates import FIGURED, order_typed
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.schema import Record
from compiler.shape import Value
from compiler.source import Span
from flockbook.derive.plain.days import day_words
from flockbook.derive.plain.numbers import days_words
from flockbook.flock import happened
from flockbook.manner import clock_words
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.health import Treatment
from flockbook.records.pregnancy import Labour
from flockbook.records.rearing import Feeding
from flockbook.records.trade import Sale
from flockbook.regional import local
from flockbook.seen import Seen
from flockbook.settings import zone_of

FUTURE = Rule(
    "D101", "date-in-future", Grade.ERROR, "A note tells what has happened; a date still to come is a slip of the "
        "pen, mostly in the year.",
    "---\nnote: death\nsheep: 744\ndate: 2062-05-03\n---\n",
)  # fmt: skip
DOSE_BEFORE_NOTE = Rule(
    "D102", "dose-before-note", Grade.ASK,
    "A dose dated well before its own note may have the wrong year, and an older dose makes a waiting period look "
    "shorter.",
    "2026-06-02 treatment foot.md with `given: 2 Jun 2025`",
)  # fmt: skip
OTHER_ORDER = Rule(
    "D103", "day-in-another-order", Grade.WARNING,
    "A day in figures stands in another order than in the settings, or than in the other notes: whoever wrote it may "
    "have written other days so, where nobody can tell.",
    "`14/3` in a flock with `dates: month-day`",
)  # fmt: skip
EITHER_ORDER = Rule(
    "D104", "day-in-either-order", Grade.ASK,
    "Days in figures stand in both orders in this folder, so one that could be either is perhaps read the wrong way.",
    "`3/4` in a flock with `dates: month-day`, where another note has `14/3`",
)  # fmt: skip
NO_SUCH_HOUR = Rule(
    "D105", "hour-that-was-not", Grade.ASK,
    "On the night on which the clocks go forward an hour is left out: a time within it is a slip, or of a clock not "
    "put on yet, and every limit counted from it may be an hour off.",
    "waters: 01:30 on 29 March 2026, in a flock with `timezone: Europe/London`",
)  # fmt: skip
HOUR_TWICE = Rule(
    "D106", "hour-that-was-twice", Grade.WARNING,
    "On the night on which the clocks go back an hour is there twice. A birth, a labour or a feed within it may be an "
    "hour later than it is taken for.",
    "waters: 01:30 on 25 October 2026, in a flock with `timezone: Europe/London`",
)  # fmt: skip
RULES = (FUTURE, DOSE_BEFORE_NOTE, OTHER_ORDER, EITHER_ORDER, NO_SUCH_HOUR, HOUR_TWICE)
CLOCKED = (Lambing, Labour, Feeding)
CLOCK_FIELDS = ("time", "seen", "waters", "helped", "born", "afterbirth")
MOST_OTHERS = 3  # places of the other order that a question names
PLANNED = "correct the date; `sure: yes` if the {} is planned for that day"
LATE_WRITTEN_DAYS = 60  # a treatment written down later than this is asked about (our own choice)


def future(seen: Seen) -> Iterator[Diagnostic]:
    """Notes and doses dated after both the day asked about and the day on which the program runs; a sale or
    a joining may be planned, if its note says so with `sure: yes`.
    """
    last = max(seen.today.day, seen.today.clock or seen.today.day)
    for event in seen.linked.events:
        days = [event.date] if event.date else []
        if isinstance(event, Treatment):
            days += [when.date for when in event.doses]
        late = [day for day in days if day > last]
        if late and not (isinstance(event, Sale | Joining) and event.sure):
            where = event.origin.span("date" if event.date and event.date > last else "given")
            meanwhile = (
                "nobody in this note is shown as clear to sell"
                if isinstance(event, Treatment)
                else "the note counts for nothing until that day"
            )
            cure = PLANNED.format(event.origin.kind) if isinstance(event, Sale | Joining) else "correct the date"
            yield FUTURE.at(where, f"{day_words(max(late))} is still to come", cure, meanwhile)


def early_dose_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Doses long before the note that tells of them."""
    for event in seen.linked.of(Treatment):
        if event.date is None or event.sure:
            continue
        for place, when in enumerate(event.given):
            days = (event.date - when.date).days
            if days > LATE_WRITTEN_DAYS:
                here, text = event.origin.span(f"given[{place}]"), f"this dose lies {days_words(days)} before the note"
                yield DOSE_BEFORE_NOTE.at(here, text, "correct the year, or add `sure: yes`")


class Figured(Value):
    """A day typed in figures, in its note, with the order that it can only have ("" for either)."""

    note: Record
    place: Span
    text: str
    order: str


def days_in_figures(seen: Seen) -> Iterator[Figured]:
    """Every day of a field that was typed in figures with its year last, or without one."""
    for note in seen.linked.collection.records:
        for cell in note.origin.figured:
            place = Span(note.origin.path, cell.line, cell.column, len(cell.text))
            yield Figured(note, place, cell.text, order_typed(cell.text))


def orders(seen: Seen) -> Iterator[Diagnostic]:
    """Days in another order than the usual one, and with them every day that could be in either."""
    typed = tuple(days_in_figures(seen))
    plain = Counter(one.order for one in typed if one.order)
    usual = seen.settings.habits.dates or max(plain, key=lambda order: plain[order], default="")
    others = tuple(one for one in typed if one.order not in ("", usual))
    by = "the settings say" if seen.settings.habits.dates else "most days stand in"
    for one in others:
        told = f"`{one.text}` is in the order {one.order}, and {by} {usual}"
        cure = local("write the month as a word, as in `19 Apr`; then look at the other days in figures")
        yield OTHER_ORDER.at(one.place, told, cure)
    for one in typed if others else ():
        if not one.order and not twin_figures(one.text) and not getattr(one.note, "sure", False):
            also = tuple(other.place for other in others[:MOST_OTHERS])
            told = f"`{one.text}` is read in the order {usual}, and some days here are in the other"
            yield EITHER_ORDER.at(one.place, told, "write the month as a word, or add `sure: yes`", also=also)


def twin_figures(text: str) -> bool:
    """Whether day and month are one figure: `4/4` is that day in either order."""
    match = FIGURED.match(text)
    return match is not None and int(match[1]) == int(match[2])


def hours_of_the_clock(seen: Seen) -> Iterator[Diagnostic]:
    """Times of births, labours and feeds in an hour that the change of the clocks left out, or brought twice."""
    zone = zone_of(seen.settings)
    for event in seen.linked.events if zone else ():
        if zone and isinstance(event, CLOCKED) and not event.sure and happened(event, seen.today):
            for place, at in clock_times(event):
                yield from changed_hour(place, at, zone)


def clock_times(event: Lambing | Labour | Feeding) -> Iterator[tuple[Span, datetime]]:
    """Every time of day that a note names, on the note's day."""
    for name in CLOCK_FIELDS if event.date else ():
        at = getattr(event, name, None)
        if event.date and isinstance(at, time):
            yield event.origin.span(name), datetime.combine(event.date, at)


def changed_hour(place: Span, at: datetime, zone: ZoneInfo) -> Iterator[Diagnostic]:
    """What is to be said of one time by the clock."""
    here, night = at.replace(tzinfo=zone), f"on the night of {day_words(at.date())}"
    if here.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != at:
        told = f"{clock_words(at)} was not: {night} the clocks went forward over it"
        meant = "it is taken as the time of a clock that was not put on yet"
        yield NO_SUCH_HOUR.at(place, told, "correct it, or add `sure: yes` to the note", meant)
    elif here.utcoffset() != here.replace(fold=1).utcoffset():
        told, cure = f"{clock_words(at)} was there twice {night}", "say in the remark which it was; or add `sure: yes`"
        yield HOUR_TWICE.at(place, told, cure, "the earlier is taken, so that every limit comes in time")


CHECKS = (
    Check("dates in the future", future), Check("doses before their note", early_dose_faults),
    Check("orders of dates", orders), Check("hours of the change of clocks", hours_of_the_clock),
)  # fmt: skip
