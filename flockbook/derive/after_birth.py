"""What is still owed after each birth: navel, colostrum, tag, afterbirth, and another look after help."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from compiler.book import Moment
from flockbook.derive.labour_limits import afterbirth_clock
from flockbook.derive.lambings import LambingFact
from flockbook.derive.newborns import Newborn
from flockbook.flock import Animal, Flock, gone, happened
from flockbook.records.event import Event
from flockbook.records.handling import Job

# Scotland's Farm Advisory Service 2018: dip the whole navel at once and again after six hours.
NAVEL_HOURS = (0, 6)
# After help: look again after 1, 6 and 24 hours (common practice).
RECHECK_HOURS = (1, 6, 24)
FIRST_DAYS = timedelta(days=2)  # after that an open item is no longer about the birth


@dataclass(frozen=True, slots=True)
class OpenItem:
    """One thing owed to a ewe or a lamb, and by when (None: no time of birth is written)."""

    sheep: str
    what: str
    by: datetime | None
    note: str


def open_items(
    flock: Flock, births: tuple[LambingFact, ...], young: tuple[Newborn, ...], today: Moment
) -> tuple[OpenItem, ...]:
    """Everything owed after the births of the last two days, the soonest first."""
    needs = {item.lamb.id: item for item in young}
    found: list[OpenItem] = []
    for birth in births:
        born = born_at(birth)
        if today.at - (born or end_of_day(birth)) <= FIRST_DAYS:
            later = looks_after(flock, birth, today)
            found += ewe_items(birth, born, later)
            for lamb in birth.lambs:
                if lamb.birth and lamb.birth.line.alive and gone(lamb, today) is None:
                    found += lamb_items(birth, lamb, needs.get(lamb.id), dips(flock, birth, lamb, today))
    return tuple(sorted(found, key=lambda item: (item.by or datetime.max, item.sheep, item.what)))


def born_at(birth: LambingFact) -> datetime | None:
    """When the first lamb was born, where a time is written."""
    clock = birth.event.born or birth.event.time
    return datetime.combine(birth.event.date, clock) if birth.event.date and clock else None


def end_of_day(birth: LambingFact) -> datetime:
    """The end of the day of birth."""
    return datetime.combine(birth.event.date, time.max) if birth.event.date else datetime.min


def ewe_items(birth: LambingFact, born: datetime | None, looked: int) -> Iterator[OpenItem]:
    """Afterbirth not written as seen, and the looks owed after help."""
    ewe = birth.ewe or ""
    if birth.event.afterbirth is None:
        by = afterbirth_clock(born).amber if born else None
        yield OpenItem(ewe, "afterbirth not written as seen", by, birth.note)
    for hours in RECHECK_HOURS[looked:] if birth.helped else ():
        by = born + timedelta(hours=hours) if born else None
        yield OpenItem(ewe, f"look at her again, {hours} h after help", by, birth.note)


def lamb_items(birth: LambingFact, lamb: Animal, need: Newborn | None, dipped: int) -> Iterator[OpenItem]:
    """Navel, weight and tag of one lamb; colostrum where the ewe has no milk."""
    born = born_at(birth)
    for hours in NAVEL_HOURS[dipped:]:
        yield OpenItem(
            lamb.id, f"navel dip {'at once' if not hours else f'after {hours} h'}", after(born, hours), birth.note
        )
    if not lamb.tag and not lamb.number:
        yield OpenItem(lamb.id, "neither tagged nor numbered", None, birth.note)
    if lamb.birth and lamb.birth.line.weight is None:
        yield OpenItem(lamb.id, "not weighed", None, birth.note)
    if need and need.need and birth.event.milk in ("short", "none") and need.recorded_ml < need.need.feed_ml:
        owed = need.need.feed_ml - need.recorded_ml
        yield OpenItem(
            lamb.id, f"{owed:.0f} mL of colostrum, the ewe's milk is {birth.event.milk}", after(born, 2), birth.note
        )


def after(born: datetime | None, hours: int) -> datetime | None:
    """So many hours after birth."""
    return born + timedelta(hours=hours) if born else None


def since(flock: Flock, sheep: str, birth: LambingFact, today: Moment) -> list[Event]:
    """The notes on a sheep after a birth."""
    start = born_at(birth) or datetime.combine(birth.event.date, time.min) if birth.event.date else datetime.max
    notes = flock.by_animal.get(sheep, ())
    return [
        note for note in notes if note is not birth.event and happened(note, today) and (note.moment or start) >= start
    ]


def looks_after(flock: Flock, birth: LambingFact, today: Moment) -> int:
    """How many notes on the ewe were written after the birth: each is a look."""
    return min(len(since(flock, birth.ewe or "", birth, today)), len(RECHECK_HOURS))


def dips(flock: Flock, birth: LambingFact, lamb: Animal, today: Moment) -> int:
    """How many navel dips are written for a lamb (or for its dam's whole litter)."""
    notes = [*since(flock, lamb.id, birth, today), *since(flock, birth.ewe or "", birth, today)]
    jobs = [note for note in notes if isinstance(note, Job) and "navel" in (note.did or "").lower()]
    written = "navel" in birth.event.origin.written.lower()
    return min(len(jobs) + written, len(NAVEL_HOURS))
