"""What is still owed after each birth: another lamb that the scan saw, the ewe up and minding them, navel, colostrum,
tag, afterbirth, and another look after help.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import datetime, time, timedelta, tzinfo
from enum import Enum, auto

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.breeding.pregnancies import Evidence, carried, read_together
from flockbook.derive.lambing.labour_limits import DEFAULT, HOUR, LabourLimits, afterbirth_clock, later, next_lamb_by
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.newborn import FIRST_FEED, LambState
from flockbook.derive.lambing.newborns import FIRST_DAY, FIRST_DAYS, ByHand, Newborn
from flockbook.derive.plain.because import Reason
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
    f"(Anexa Vets NZ: {DEFAULT.afterbirth_amber // HOUR} to {DEFAULT.afterbirth_red // HOUR} hours), colostrum where a "
    "lamb is fed by hand."
)
UP = re.compile(r"\b(?:(?:is|was|got|ewe|both|all|straight|well) up|up (?:and|at once|in|by|within)|on her feet)\b")
SUCKED = re.compile(r"\b(?:sucked|sucking|suckled|suckling)\b")
# A clause of the note of a birth that tells that the afterbirth came, and what makes of it a clause that does not.
AFTERBIRTH = re.compile(r"\b(?:after ?birth|placenta|cleansings?)\b")
CAME_AWAY = re.compile(r"\b(?:away|out|off|down|passed|dropped|shed|came|come|seen|gone|whole|complete|clean|clear)\b")
NOT_AWAY = re.compile(
    r"\b(?:no|not|still|yet|hang\w*|part\w*|half|piece\w*|torn|retain\w*|held|wait\w*|if|when|until|look)\b|n't|\?"
)
CLAUSES_OF_BIRTH = re.compile(r"[.;!\n]+")
# A chilled lamb is looked at again every two to four hours (common practice, no source).
CHILLED_HOURS = 2
# First colostrum within two hours (Vet Times 2018); the last feed of the first day, six hours before its end (four
# feeds: Drummonds Ireland).
FIRST_FEED_HOURS, LAST_FEED_HOURS = FIRST_FEED // HOUR, 18

# Less than this of a lamb's first day is no task: nobody measures a tube so finely (our own choice).
LEAST_OWED_ML, LEAST_OWED = 10.0, 0.05  # mL, and part of the day's need


class BirthPoint(Enum):
    """What can be owed after a birth, in the order in which it is told where the time is one."""

    FIRST_FEED = auto()
    COLOSTRUM = auto()
    AFTERBIRTH = auto()
    WARMTH = auto()
    LOOK_AGAIN = auto()
    NAVEL = auto()
    NUMBER = auto()
    WEIGHT = auto()
    UP = auto()
    ANOTHER_LAMB = auto()
    UNFED = auto()


class StillOwed(Reason):
    """One thing owed, as far as it has its figures: hours after the birth or the help, lambs scanned and written,
    colostrum in mL and at one feed, why by hand, the state of a lamb that was measured; `late` is for how long an
    afterbirth has not been seen when that is too long; `limp` and `cold` where a lamb to be fed is so.
    """

    what: BirthPoint
    hours: int = 0
    scanned: int = 0
    born: int = 0
    ml: float = 0.0
    feed_ml: float = 0.0
    by_hand: ByHand | None = None
    state: LambState = LambState.NORMAL
    late: timedelta | None = None
    limp: bool = False
    cold: bool = False


class OpenItem(Value):
    """One thing owed to a ewe or a lamb, and by when (None: no time of birth is written)."""

    sheep: str
    what: StillOwed
    by: datetime | None
    note: str


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
    return tuple(
        sorted(found, key=lambda item: (item.by or datetime.max, item.sheep, item.what.what.value, item.what.hours))
    )


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
        yield OpenItem(ewe, StillOwed(BirthPoint.ANOTHER_LAMB, scanned=scan.lambs, born=birth.born), by, birth.note)


def ewe_items(here: Ward, birth: LambingFact, looked: int) -> Iterator[OpenItem]:
    """Afterbirth not written as seen, whether she is up, and the looks owed after help."""
    ewe, born = birth.ewe or "", born_at(birth)
    if not afterbirth_seen(birth.event):
        clock = afterbirth_clock(born, here.limits, here.zone) if born else None
        late = here.limits.afterbirth_red if clock and here.today.at >= clock.red else None
        yield OpenItem(ewe, StillOwed(BirthPoint.AFTERBIRTH, late=late), clock.amber if clock else None, birth.note)
    # After help the looks below ask for it.
    if fresh(here, birth) and not (birth.helped or looked or minding(birth.event)):
        yield OpenItem(ewe, StillOwed(BirthPoint.UP), hours_after(here, birth, UP_HOURS), birth.note)
    for hours in RECHECK_HOURS[looked:] if birth.helped else ():
        yield OpenItem(ewe, StillOwed(BirthPoint.LOOK_AGAIN, hours), hours_after(here, birth, hours), birth.note)


def fresh(here: Ward, birth: LambingFact) -> bool:
    """Whether a birth is of the last day: later a navel has dried, and a ewe that is down is an illness."""
    return here.today.at - (born_at(birth) or end_of_day(birth)) <= FIRST_DAY


def afterbirth_seen(birth: Lambing) -> bool:
    """Whether the note of a birth says that the afterbirth came: by its hour, or in plain words."""
    clauses = CLAUSES_OF_BIRTH.split(birth.origin.written.lower())
    told = (one for one in clauses if AFTERBIRTH.search(one) and CAME_AWAY.search(one) and not NOT_AWAY.search(one))
    return birth.afterbirth is not None or any(told)


def minding(birth: Lambing) -> bool:
    """Whether the note of a birth says that the ewe was up: in words, by a mothering score, or since they sucked."""
    words = birth.origin.written.lower()
    return birth.mothering is not None or bool(UP.search(words) or SUCKED.search(words))


def lamb_items(here: Ward, birth: LambingFact, lamb: Animal, need: Newborn | None) -> Iterator[OpenItem]:
    """Navel, weight and tag of one lamb; colostrum where it cannot be left to suck."""
    for hours in NAVEL_HOURS[dips(here.flock, birth, lamb, here.today) :] if fresh(here, birth) else ():
        yield OpenItem(lamb.id, StillOwed(BirthPoint.NAVEL, hours), hours_after(here, birth, hours), birth.note)
    if not lamb.tag and not lamb.number:
        yield OpenItem(lamb.id, StillOwed(BirthPoint.NUMBER), None, birth.note)
    if lamb.birth and lamb.birth.line.weight is None:
        yield OpenItem(lamb.id, StillOwed(BirthPoint.WEIGHT), None, birth.note)
    if need and need.by_hand:
        yield from colostrum_items(here, birth, need)
    state = need.warmth.advice.state if need and need.warmth and need.warmth.advice else LambState.NORMAL
    if need and need.warmth and need.warmth.amiss:
        by = later(need.warmth.at, timedelta(hours=CHILLED_HOURS), here.zone) if need.warmth.at else None
        yield OpenItem(lamb.id, StillOwed(BirthPoint.WARMTH, state=state, limp=need.limp), by, birth.note)


def colostrum_items(here: Ward, birth: LambingFact, need: Newborn) -> Iterator[OpenItem]:
    """The first feed, then what is left of the first day's need, of a lamb that is fed by hand. Past its first day
    colostrum no longer does it: a lamb of which no whole feed is written may be starving.
    """
    if need.need is None:
        return
    missing, owed = need.need.left_of_first_feed(need.recorded_ml), need.owed_ml or 0.0
    if missing:
        point, ml = (BirthPoint.UNFED, need.recorded_ml) if need.day_over else (BirthPoint.FIRST_FEED, missing)
        due = StillOwed(point, ml=ml, by_hand=need.by_hand, limp=need.limp, cold=need.cold)
        yield OpenItem(need.lamb.id, due, hours_after(here, birth, FIRST_FEED_HOURS), birth.note)
    elif owed >= max(LEAST_OWED_ML, LEAST_OWED * need.need.day_ml) and not need.day_over:
        due = StillOwed(
            BirthPoint.COLOSTRUM, ml=owed, feed_ml=need.need.feed_ml, by_hand=need.by_hand, limp=need.limp,
            cold=need.cold,
        )  # fmt: skip
        yield OpenItem(need.lamb.id, due, hours_after(here, birth, LAST_FEED_HOURS), birth.note)


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
