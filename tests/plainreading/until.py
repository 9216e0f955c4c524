"""Until when a dose holds: W1 to W10, word for word, one dose and one use at a time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo, available_timezones

from tests.plainreading.paper import Note, When, at, read_when

NEVER = datetime.max  # not known, so held without an end
NOT_AT_ALL = datetime.min  # no hold


@dataclass(frozen=True, order=True)
class Release:
    """From when an animal is free again; `whole` when only a day is known; NEVER when nobody can say."""

    moment: datetime
    whole: bool = False

    @property
    def text(self) -> str:
        """As the facts file writes it."""
        return f"{self.moment:%Y-%m-%d}" if self.whole else f"{self.moment:%Y-%m-%dT%H:%M}"


def length(text: str) -> timedelta | None:
    """`28 days`, `72 h`, `none`, `0`; None for what has no end (blank: W6; not for milk: W7)."""
    if text in ("none", "0"):
        return timedelta()
    count, _, unit = text.partition(" ")
    if unit in ("days", "day"):
        return timedelta(days=int(count))
    return timedelta(hours=int(count)) if unit == "h" else None


def released(last: When, period: timedelta, zone: ZoneInfo | None) -> Release:
    """W1: so many hours after the time. W2: a day without a time counts to its end, and what ends within a day ends
    with it. W3: nought holds nobody.
    """
    if not period:
        return Release(NOT_AT_ALL)
    if last.clock is not None:
        return Release(later(at(last), period, zone))
    end = later(at(last) + timedelta(days=1), period, zone)
    return Release(end if end.time() == time() else midnight_after(end), whole=True)


def midnight_after(moment: datetime) -> datetime:
    """The beginning of the next day."""
    return datetime.combine(moment.date() + timedelta(days=1), time())


def later(start: datetime, period: timedelta, zone: ZoneInfo | None) -> datetime:
    """W10: by the clock on the wall and by the hours gone by, whichever is later. Where nobody knows the zone, an hour
    more if clocks go forward anywhere on a day of it.
    """
    if zone is None:
        day, skipped = start.date(), False
        while datetime.combine(day, time()) < start + period:
            skipped, day = skipped or day in days_skipping(day.year), day + timedelta(days=1)
        return start + period + timedelta(hours=skipped)
    gone = (start.replace(tzinfo=zone).astimezone(UTC) + period).astimezone(zone).replace(tzinfo=None)
    return max(start + period, gone)


@cache
def days_skipping(year: int) -> frozenset[date]:
    """The days of a year that have fewer hours than 24 in any zone that this machine knows."""
    days = [date(year, 1, 1) + timedelta(days=number) for number in range(366)]
    zones = [ZoneInfo(name) for name in sorted(available_timezones())]
    return frozenset(day for day in days for zone in zones if skips(day, zone))


def skips(day: date, zone: ZoneInfo) -> bool:
    """Whether clocks of a zone go forward on a day."""
    midnight = datetime.combine(day, time(), zone)
    before, after = midnight.utcoffset(), (midnight + timedelta(days=1)).utcoffset()
    return before is not None and after is not None and after > before


def doses(note: Note) -> list[When]:
    """Every dose written as given: `given`, `finished`, else the note's own day (W5)."""
    given = [read_when(text) for text in note.listed("given")]
    finished = [read_when(note.head["finished"])] if "finished" in note.head else []
    told = [when for when in (*given, *finished) if when is not None]
    return told or ([note.when] if note.when else [])


def last_dose(note: Note) -> When:
    """The last one. On one day, one without a time counts to the day's end and so is later."""
    return max(doses(note), key=lambda when: when.order)


def course_open(note: Note) -> bool:
    """W5: a planned course with fewer doses than days, and not finished."""
    days = int(note.head.get("days", "0"))
    return (
        "finished" not in note.head
        and days > 0
        and len({when.day for when in doses(note)} if "given" in note.head else ()) < days
    )


def days_in_doubt(note: Note) -> bool:
    """V9: a dose more than 60 days before its note; finished before the first dose or before the days are full."""
    if note.head.get("dates sure") == "yes" or note.when is None:
        return False
    early = any((note.when.day - when.day).days > 60 for when in doses(note))
    return early or finished_early(note)


def finished_early(note: Note) -> bool:
    """`finished` before the first dose, or before so many days have gone by."""
    end = read_when(note.head.get("finished", ""))
    if end is None or note.when is None:
        return False
    given = [when.day for text in note.listed("given") if (when := read_when(text))]
    first = min(given, default=note.when.day)
    return end.day < first + timedelta(days=max(int(note.head.get("days", "1")), 1) - 1)


def ends(note: Note, bottles: list[Note], use: str, zone: ZoneInfo | None) -> Release:
    """When the hold of one treatment ends for one use, `meat` or `milk`."""
    if course_open(note) or days_in_doubt(note):
        return Release(NEVER)
    periods = waiting(note, bottles, f"{use} withdrawal")
    if periods is None:
        return Release(NEVER)
    return max(released(last_dose(note), period, zone) for period in periods)


def waiting(note: Note, bottles: list[Note], field: str) -> list[timedelta] | None:
    """The periods that count, of which the longest holds; None when there is none to count (W6, W7, W9)."""
    typed, vet = length(note.head.get(field, "")), "vet" in note.head
    if not bottles:
        return None
    if against_label(note, bottles) or (vet and typed is not None):
        return [typed] if vet and typed is not None else None
    words = [word for each in (note, *bottles) if (word := each.head.get(field, ""))]
    blank = any(not bottle.head.get(field) for bottle in bottles)
    if "not for milk" in words or not words or (blank and typed is None):
        return None  # with a period typed in the treatment somebody has read one, so W6 does not say "unknown"
    return [period for word in words if (period := length(word)) is not None]


def against_label(note: Note, bottles: list[Note]) -> bool:
    """W9: said to be off label, or given by another way than the label's."""
    routes = {bottle.head["route"] for bottle in bottles if "route" in bottle.head}
    return note.head.get("off label") == "yes" or any(note.head.get("route", route) != route for route in routes)
