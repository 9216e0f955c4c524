"""What is to be done, as a calendar that a telephone can show: RFC 5545, one all-day event for each reminder.

The same notes and the same day give the same bytes, and a reminder keeps its UID for as long as its rule and its sheep
stay, so that a calendar that reads the file again replaces an event and never doubles it.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from compiler.book import Moment
from flockbook.derive.year.reminder import Reminder
from flockbook.seen import Seen

if TYPE_CHECKING:
    from icalendar import Event


PRODUCT = "-//flockbook//calendar 1//EN"
HOST = "flockbook.invalid"  # RFC 2606: a name that is nobody's
CALENDAR_CAUTION = "The label, the vet and the law come before anything that stands here."


def calendar(seen: Seen) -> bytes:
    """Every reminder that is not done, in order of its day."""
    from icalendar import Calendar

    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("x-wr-calname", seen.settings.flock)
    for item in seen.facts.year.reminders:
        if not item.done:
            made.add_component(event(seen, item))
    return bytes(made.to_ical())


def event(seen: Seen, item: Reminder) -> Event:
    """One reminder on its day."""
    from icalendar import Event

    made = Event()
    fields: dict[str, Any] = {
        "uid": f"{item.id}@{HOST}",
        "dtstamp": stamp(seen.today),
        "dtstart": item.date,
        "dtend": item.date + timedelta(days=1),
        "summary": item.what,
        "description": description(seen, item),
        "categories": [item.kind],
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
        lines.append(f"Done when written: {item.ticked_by}")
    lines += [reason.note for reason in item.because if reason.note]
    return "\n".join((*dict.fromkeys(lines), CALENDAR_CAUTION))
