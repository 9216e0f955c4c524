"""What is still owed after each birth: another lamb that the scan saw, the ewe up and minding them, navel, colostrum,
tag, afterbirth, and another look after help.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import datetime, time, timedelta, tzinfo
from enum import IntEnum, auto

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.breeding.pregnancies import Evidence, carried, read_together
from flockbook.derive.lambing.labour_limits import LabourLimits, afterbirth_clock, later, next_lamb_by
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.newborn import LambState
from flockbook.derive.lambing.newborns import FIRST_DAY, FIRST_DAYS, Newborn, Warmth
from flockbook.derive.plain.numbers import plural
from flockbook.flock import Animal, Flock, gone, happened
from flockbook.records.breeding import Lambing
from flockbook.records.event import Event
from flockbook.records.handling import Job

# Scotland's Farm Advisory Service 2018: dip the whole navel at once and again after six hours.
NAVEL_HOURS = (0, 6)
# After help: look again after 1, 6 and 24 hours (common practice).
RECHECK_HOURS = (1, 6, 24)
# A ewe is up, licking and letting them suck within the hour (common practice, no source; ask your vet if she is not).
UP_HOURS = 1
# What the page of workings prints of what is owed after a birth.
AFTER_BIRTH_RULE = (
    f"Owed for {FIRST_DAYS.days} days, until a note tells of it: the ewe up within {plural(UP_HOURS, 'hour')} and "
    f"looked at {RECHECK_HOURS[0]}, {RECHECK_HOURS[1]} and {RECHECK_HOURS[2]} hours after help (common practice), the "
    f"navel dipped at once and after {NAVEL_HOURS[-1]} hours (Farm Advisory Service, Scotland, 2018), the afterbirth "
    "(Anexa Vets NZ: 12 to 24 hours), colostrum where a lamb is fed by hand."
)
UP = re.compile(r"\b(?:(?:is|was|got|ewe|both|all|straight|well) up|up (?:and|at once|in|by|within)|on her feet)\b")
SUCKED = re.compile(r"\b(?:sucked|sucking|suckled|suckling)\b")
# A chilled lamb is looked at again every two to four hours (common practice, no source).
CHILLED_HOURS = 2
WARMTH = {
    LambState.SEVERE: "badly chilled when last measured, the card has the steps",
    LambState.MILD: "chilled when last measured, the card has the steps",
    LambState.FEVER: "feverish when last measured, ask your vet",
}
# First colostrum within two hours (Vet Times 2018); the last feed of the first day, six hours before its end (four
# feeds: Drummonds Ireland).
FIRST_FEED_HOURS, LAST_FEED_HOURS = 2, 18


class BirthPoint(IntEnum):
    """Of what sort an open point after a birth is; what harms soonest comes first."""

    CHILLED = auto()
    ANOTHER_LAMB = auto()
    HELPED = auto()
    COLOSTRUM = auto()
    AFTERBIRTH = auto()
    MINDING = auto()
    NAVEL = auto()
    TAG = auto()
    WEIGHT = auto()


class OpenItem(Value):
    """One thing owed to a ewe or a lamb, and by when (None: no time of birth is written)."""

    sheep: str
    what: str
    by: datetime | None
    note: str
    point: BirthPoint


class Ward(Value):
    """What open items are worked out from: the limits in force and the flock's time zone among it."""

    flock: Flock
    found: Matings
    seen: Evidence
    limits: LabourLimits
    zone: tzinfo | None
    today: Moment


def open_items(here: Ward, births: tuple[LambingFact, ...], young: tuple[Newborn, ...]) -> tuple[OpenItem, ...]:
    """Everything owed after the births of the last two days, the soonest first."""
    needs = {item.lamb.id: item for item in young}
    late = [birth for birth in births if here.today.at - (born_at(birth) or end_of_day(birth)) <= FIRST_DAYS]
    found = [item for birth in late for item in owed_after(here, birth, needs)]
    return tuple(sorted(found, key=lambda item: (item.by or datetime.max, item.sheep, item.what)))


def owed_after(here: Ward, birth: LambingFact, needs: Mapping[str, Newborn]) -> Iterator[OpenItem]:
    """What is owed after one birth: another lamb, the ewe while she is here, and each lamb that lives."""
    yield from another_lamb(here, birth)
    ewe = here.flock.animals.get(birth.ewe or "")
    if ewe is None or gone(ewe, here.today) is None:
        yield from ewe_items(here, birth, looks_after(here.flock, birth, here.today))
    for lamb in birth.lambs:
        if lamb.birth and lamb.birth.line.alive and gone(lamb, here.today) is None:
            yield from lamb_items(here, birth, lamb, needs.get(lamb.id))


def born_at(birth: LambingFact) -> datetime | None:
    """When the first lamb was born, where a time is written."""
    clock = birth.event.born or birth.event.time
    return datetime.combine(birth.event.date, clock) if birth.event.date and clock else None


def end_of_day(birth: LambingFact) -> datetime:
    """The end of the day of birth."""
    return datetime.combine(birth.event.date, time.max) if birth.event.date else datetime.min


def another_lamb(here: Ward, birth: LambingFact) -> Iterator[OpenItem]:
    """A lamb that the scan saw and that is not yet written; by when to look for it."""
    ewe = birth.ewe or ""
    mating = here.found.by_ewe.get((ewe, birth.season))
    scans = here.seen.scans_of(ewe, mating.first_in) if mating else here.seen.scans.get(ewe, ())
    day = birth.event.date
    scan = read_together([item for item in scans if day and carried(item.scan.day, day)])
    if scan and scan.lambs and scan.lambs > birth.born and not birth.event.sure:
        born = born_at(birth)
        by = next_lamb_by(born, here.limits, here.zone) if born else None
        yield OpenItem(
            ewe, f"the scan saw {scan.lambs} lambs, {birth.born} {is_or_are(birth.born)} written: look for another", by,
            birth.note, BirthPoint.ANOTHER_LAMB,
        )  # fmt: skip


def is_or_are(count: int) -> str:
    """1 is, 2 are."""
    return "is" if count == 1 else "are"


def ewe_items(here: Ward, birth: LambingFact, looked: int) -> Iterator[OpenItem]:
    """Afterbirth not written as seen, whether she is up, and the looks owed after help."""
    ewe, born = birth.ewe or "", born_at(birth)
    if birth.event.afterbirth is None:
        clock = afterbirth_clock(born, here.limits, here.zone) if born else None
        late = clock is not None and here.today.at >= clock.red
        words = ", a whole day on: ring the vet" if late else ""
        yield OpenItem(
            ewe,
            f"afterbirth not written as seen{words}",
            clock.amber if clock else None,
            birth.note,
            BirthPoint.AFTERBIRTH,
        )
    # After help the looks below ask for it.
    if fresh(here, birth) and not (birth.helped or looked or minding(birth.event)):
        yield OpenItem(
            ewe,
            "not written as up and minding them",
            hours_after(here, birth, UP_HOURS),
            birth.note,
            BirthPoint.MINDING,
        )
    for hours in RECHECK_HOURS[looked:] if birth.helped else ():
        by = hours_after(here, birth, hours)
        yield OpenItem(ewe, f"look at her again, {hours} h after help", by, birth.note, BirthPoint.HELPED)


def fresh(here: Ward, birth: LambingFact) -> bool:
    """Whether a birth is of the last day: later a navel has dried, and a ewe that is down is an illness."""
    return here.today.at - (born_at(birth) or end_of_day(birth)) <= FIRST_DAY


def minding(birth: Lambing) -> bool:
    """Whether the note of a birth says that the ewe was up: in words, by a mothering score, or since they sucked."""
    words = birth.origin.written.lower()
    return birth.mothering is not None or bool(UP.search(words) or SUCKED.search(words))


def lamb_items(here: Ward, birth: LambingFact, lamb: Animal, need: Newborn | None) -> Iterator[OpenItem]:
    """Navel, weight and tag of one lamb; colostrum where it cannot be left to suck."""
    for hours in NAVEL_HOURS[dips(here.flock, birth, lamb, here.today) :] if fresh(here, birth) else ():
        words = f"navel dip {'at once' if not hours else f'after {hours} h'}"
        yield OpenItem(lamb.id, words, hours_after(here, birth, hours), birth.note, BirthPoint.NAVEL)
    if not lamb.tag and not lamb.number:
        yield OpenItem(lamb.id, "neither tagged nor numbered", None, birth.note, BirthPoint.TAG)
    if lamb.birth and lamb.birth.line.weight is None:
        yield OpenItem(lamb.id, "not weighed", None, birth.note, BirthPoint.WEIGHT)
    if need and need.by_hand:
        yield from colostrum_items(here, birth, need)
    if need and need.warmth and need.warmth.advice and need.warmth.advice.state is not LambState.NORMAL:
        yield chilled_item(here, need, need.warmth, birth.note)


def chilled_item(here: Ward, need: Newborn, warm: Warmth, note: str) -> OpenItem:
    """Another look at a lamb that was cold or feverish when its temperature was last written."""
    by = later(warm.at, timedelta(hours=CHILLED_HOURS), here.zone) if warm.at else None
    words = f"{WARMTH[warm.advice.state]}: look again" if warm.advice else ""
    return OpenItem(need.lamb.id, words, by, note, BirthPoint.CHILLED)


def colostrum_items(here: Ward, birth: LambingFact, need: Newborn) -> Iterator[OpenItem]:
    """The first feed, then what is left of the first day's need, of a lamb that is fed by hand."""
    if need.need is None:
        return
    first, owed = need.need.short_of_first_feed(need.recorded_ml), need.owed_ml or 0.0
    day_over = need.born is not None and here.today.at - need.born > FIRST_DAY
    if first:
        missing = need.need.feed_ml - need.recorded_ml
        words = f"{missing:.0f} mL of colostrum for its first feed: {need.by_hand}"
        yield OpenItem(
            need.lamb.id, words, hours_after(here, birth, FIRST_FEED_HOURS), birth.note, BirthPoint.COLOSTRUM
        )
    elif owed and not day_over:
        words = f"{owed:.0f} mL of colostrum left for its first day, {need.need.feed_ml:.0f} mL a feed: {need.by_hand}"
        yield OpenItem(need.lamb.id, words, hours_after(here, birth, LAST_FEED_HOURS), birth.note, BirthPoint.COLOSTRUM)


def hours_after(here: Ward, birth: LambingFact, hours: int) -> datetime | None:
    """So many hours after birth, as time passes."""
    born = born_at(birth)
    return later(born, timedelta(hours=hours), here.zone) if born else None


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
