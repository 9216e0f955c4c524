"""What is to be done, as a calendar that a telephone can show: RFC 5545, an all-day event for each reminder, which
rings in the morning; what has an hour stands at it, and rings then.

The same notes and the same day give the same bytes, and a reminder keeps its UID for as long as its rule and its sheep
stay, so that a calendar that reads the file again replaces an event and never doubles it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.lambing.labour_limits import elapsed
from flockbook.derive.plain.days import day_words
from flockbook.derive.year.owings import InLabour, OwedRow
from flockbook.derive.year.reminder import Reminder
from flockbook.manner import by_its_clock, clock_words, speaking
from flockbook.regional import local
from flockbook.saying.owed import Told, names_words, point_words
from flockbook.saying.spelling import quoted
from flockbook.saying.year import deed_words, ticks_words
from flockbook.seen import Seen
from flockbook.settings import zone_of

if TYPE_CHECKING:
    from icalendar import Alarm, Event


PRODUCT = "-//flockbook//calendar 1//EN"
NAMED_IN_SUMMARY = 3  # sheep named in one line of a telephone; all stand in the description
AN_HOUR = timedelta(hours=1)
MORNING = timedelta(hours=7)  # when what is of a whole day rings (our own choice)
HOST = "flockbook.invalid"  # RFC 2606: a name that is nobody's
CALENDAR_CAUTION = "The label, the vet and the law come before anything that stands here."


def calendar(seen: Seen) -> bytes:
    """What is owed now, one event for each ewe, then every other reminder that is not done, in order of its day; what
    is late stands on its own day and on today's.
    """
    from icalendar import Calendar

    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("x-wr-calname", seen.settings.flock)
    with speaking(seen.settings.manner):
        for told in all_entries(seen):
            made.add_component(event_of(seen, told))
    return bytes(made.to_ical())


def all_entries(seen: Seen) -> Iterator[CalendarEntry]:
    """All that the calendar says."""
    for row in seen.facts.year.owed.rows:
        yield from owed_entries(seen, row)
    for item in seen.facts.year.reminders:
        if not item.done and item.id not in seen.facts.year.owed.stands_for:
            yield from reminder_entries(seen, item)


class CalendarEntry(Value):
    """What an event says: of a whole day, or at an hour (`at`), when the telephone rings."""

    id: str
    day: date
    summary: str
    description: str
    category: str
    at: datetime | None = None


def reminder_entries(seen: Seen, item: Reminder) -> Iterator[CalendarEntry]:
    """One reminder on its day; where that is over, on today's day too."""
    summary = f"{deed_words(item.what)}{who_words(seen, item.sheep)}"
    told = CalendarEntry(item.id, item.date, summary, description(seen, item), item.kind)
    yield told
    if item.date < seen.today.day:
        late = f"late since {day_words(item.date)}: {summary}"
        yield replace(told, id=f"{item.id}-late", day=seen.today.day, summary=late)


def who_words(seen: Seen, sheep: tuple[str, ...]) -> str:
    """: Bramble (C214), Curlew (C015) and 3 more; "" for nobody."""
    if not sheep:
        return ""
    more = f" and {len(sheep) - NAMED_IN_SUMMARY} more" if len(sheep) > NAMED_IN_SUMMARY else ""
    return f": {names_words(seen.linked, sheep[:NAMED_IN_SUMMARY])}{more}"


def owed_entries(seen: Seen, row: OwedRow) -> Iterator[CalendarEntry]:
    """What is owed to one ewe, at the hour or on the day by which it is owed, or today where that is over; the hours of
    a labour that come after it each by themselves.
    """
    told, first = Told(seen.linked, seen.settings.units), row.items[0]
    lines = [point_words(told, item, row) for item in row.items]
    who = names_words(seen.linked, row.sheep[:NAMED_IN_SUMMARY])
    notes = dict.fromkeys(item.note for item in row.items if item.note)
    text = "\n".join((*lines, *notes, CALENDAR_CAUTION))
    summary = f"{who}: {lines[0]}" if who else lines[0]
    at = first.by if first.by and not first.whole_day and is_ahead(first.by, seen) else None
    on = max(first.by.date(), seen.today.day) if first.by else seen.today.day
    entry = CalendarEntry(row.id, on, summary, text, "now", at)
    yield entry
    for word, hour in labour_hours(row):
        if is_ahead(hour, seen) and hour != at:
            key, shown = f"{row.id}-{word.replace(' ', '-')}", clock_words(by_its_clock(hour, zone_of(seen.settings)))
            said = f"{who}: {local(word)} by {shown}"
            yield replace(entry, id=key, day=hour.date(), summary=said, at=hour)


def is_ahead(at: datetime, seen: Seen) -> bool:
    """Whether a time is not over yet, also where the clock shows it twice."""
    return elapsed(at, seen.today.at, zone_of(seen.settings)) <= timedelta(0)


def labour_hours(row: OwedRow) -> Iterator[tuple[str, datetime]]:
    """By when to step in, and to ring the vet, where the row is of a ewe in labour."""
    for item in row.items:
        if isinstance(item.what, InLabour):
            yield from (("step in", item.what.clock.step_in), ("ring the vet", item.what.clock.ring_vet))


def event_of(seen: Seen, told: CalendarEntry) -> Event:
    """One event: of a whole day, or of an hour; it rings unless its day is over."""
    from icalendar import Event

    made = Event()
    zone = zone_of(seen.settings)
    start: date | datetime = told.at.replace(second=0, microsecond=0, tzinfo=zone) if told.at else told.day
    if isinstance(start, datetime) and zone:
        start = start.astimezone(UTC)
    fields: dict[str, Any] = {
        "uid": f"{told.id}@{HOST}",
        "dtstamp": stamp(seen.today),
        "dtstart": start,
        "dtend": start + (AN_HOUR if told.at else timedelta(days=1)),
        "summary": quoted(told.summary),
        "description": quoted(told.description),
        "categories": [told.category],
        "transp": "TRANSPARENT",
    }
    for name, value in fields.items():
        made.add(name, value)
    if told.day >= seen.today.day:
        made.add_component(alarm_of(told))
    return made


def alarm_of(told: CalendarEntry) -> Alarm:
    """It rings at its hour, or in the morning of its day."""
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", quoted(told.summary))
    alarm.add("trigger", timedelta(0) if told.at else MORNING)
    return alarm


def stamp(today: Moment) -> datetime:
    """The moment that the book speaks of; never the clock, so that a rebuild changes nothing."""
    return today.at.replace(microsecond=0, tzinfo=UTC)


def description(seen: Seen, item: Reminder) -> str:
    """Whom it concerns, what ticks it off, the notes behind it, and the caution."""
    lines = []
    if item.sheep:
        lines.append(", ".join(seen.linked.animals[sheep].called_in_full for sheep in item.sheep))
    if item.ticked_by:
        lines.append(f"Done when written: {ticks_words(item.ticked_by)}")
    lines += [reason.note for reason in item.because if reason.note]
    return "\n".join((*dict.fromkeys(lines), CALENDAR_CAUTION))
