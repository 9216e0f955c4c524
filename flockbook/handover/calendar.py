"""What is to be done, as a calendar that a telephone can show: RFC 5545, one all-day event for each reminder.

The same notes and the same day give the same bytes, and a reminder keeps its UID for as long as its rule and its sheep
stay, so that a calendar that reads the file again replaces an event and never doubles it.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.year.owings import OwedRow
from flockbook.derive.year.reminder import Reminder
from flockbook.manner import speaking
from flockbook.saying.owed import Told, names_words, point_words
from flockbook.saying.year import deed_words, ticks_words
from flockbook.seen import Seen

if TYPE_CHECKING:
    from icalendar import Event


PRODUCT = "-//flockbook//calendar 1//EN"
HOST = "flockbook.invalid"  # RFC 2606: a name that is nobody's
CALENDAR_CAUTION = "The label, the vet and the law come before anything that stands here."


def calendar(seen: Seen) -> bytes:
    """What is owed now, one event for each ewe, then every other reminder that is not done, in order of its day."""
    from icalendar import Calendar

    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("x-wr-calname", seen.settings.flock)
    with speaking(seen.settings.manner):
        for row in seen.facts.year.owed.rows:
            made.add_component(owed_event(seen, row))
        for item in seen.facts.year.reminders:
            if not item.done and item.id not in seen.facts.year.owed.stands_for:
                made.add_component(event(seen, item))
    return bytes(made.to_ical())


class CalendarDay(Value):
    """What an all-day event says."""

    id: str
    day: date
    summary: str
    description: str
    category: str


def event(seen: Seen, item: Reminder) -> Event:
    """One reminder on its day."""
    told = CalendarDay(item.id, item.date, deed_words(item.what), description(seen, item), item.kind)
    return all_day(seen, told)


def owed_event(seen: Seen, row: OwedRow) -> Event:
    """What is owed to one ewe, on the day by which it is owed, or today where that is over."""
    told, by = Told(seen.linked, seen.settings.units), row.items[0].by
    lines = [point_words(told, item, row) for item in row.items]
    who = names_words(seen.linked, row.sheep)
    notes = dict.fromkeys(item.note for item in row.items if item.note)
    text = "\n".join((*lines, *notes, CALENDAR_CAUTION))
    summary = f"{who}: {lines[0]}" if who else lines[0]
    on = max(by.date(), seen.today.day) if by else seen.today.day
    return all_day(seen, CalendarDay(row.id, on, summary, text, "now"))


def all_day(seen: Seen, told: CalendarDay) -> Event:
    """One event of a whole day."""
    from icalendar import Event

    made = Event()
    fields: dict[str, Any] = {
        "uid": f"{told.id}@{HOST}",
        "dtstamp": stamp(seen.today),
        "dtstart": told.day,
        "dtend": told.day + timedelta(days=1),
        "summary": told.summary,
        "description": told.description,
        "categories": [told.category],
        "transp": "TRANSPARENT",
    }
    for name, value in fields.items():
        made.add(name, value)
    return made


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
