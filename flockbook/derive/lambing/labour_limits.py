"""How long a labour may run before someone looks again, steps in, or rings the vet.

Every time here is real time that passes, so a labour on the night the clocks change is not an hour out. Wall-clock
times come in and go out as plain local datetimes; give the flock's time zone and the change is allowed for.
The flock's own limits, agreed with its vet, always replace these; the limits are a reminder, never a reason to wait.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import Enum, StrEnum, auto

from compiler.shape import Value, replace
from flockbook.derive.plain.days import DAY
from flockbook.figures import CALL_VET, LOOK_AGAIN, STEP_IN, UTAH
from flockbook.manner import by_its_clock

MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)


class LabourLimits(Value):
    """The limits in force; each counts from what its row in `PUBLISHED` says. Times that pass, not wall-clock times."""

    look_again: timedelta = LOOK_AGAIN.value * HOUR
    step_in: timedelta = STEP_IN.value * HOUR  # 45 min where the shepherd prefers: common practice
    call_vet: timedelta = CALL_VET.value * HOUR
    between_lambs: timedelta = 30 * MINUTE
    afterbirth_amber: timedelta = 12 * HOUR
    afterbirth_red: timedelta = 24 * HOUR


class CountsFrom(Enum):
    """What a published limit counts from."""

    WATERS_OR_STRAINING = auto()
    HELPING = auto()
    LAST_LAMB_OF_MORE = auto()
    LAST_LAMB = auto()


class PublishedLimit(Value):
    """One limit as published: the field of `Limits`, what it counts from, its band and who says so."""

    field: str
    counts_from: CountsFrom
    low: timedelta
    high: timedelta
    source: str


DEFAULT = LabourLimits()
_ANEXA = "Anexa Vets NZ, stages of calving and lambing"
_GASCOIGNE = "E. Gascoigne in Farmers Weekly (UK)"
# Who says each limit, and what they say where it is not the whole band.
LIMIT_SOURCES = {
    "look_again": f"{UTAH}: half an hour to an hour",
    "step_in": (
        f"{UTAH}: half an hour to an hour; {_ANEXA} and CHB Vets NZ (2015): in an hour; 45–60 min: common practice"
    ),
    "call_vet": (
        f"{_GASCOIGNE}: progress within 10 min; university guide, publisher not seen: 30 min of skilled effort"
    ),
    "between_lambs": f"{_GASCOIGNE}: 30 min; {_ANEXA}: an hour at most",
    "afterbirth_amber": f"{_ANEXA}: 12–24 h",
    "afterbirth_red": f"{_ANEXA}: 12–24 h",
}
_BANDS = (
    ("look_again", CountsFrom.WATERS_OR_STRAINING, 30 * MINUTE, 60 * MINUTE),
    ("step_in", CountsFrom.WATERS_OR_STRAINING, 30 * MINUTE, 60 * MINUTE),
    ("call_vet", CountsFrom.HELPING, 10 * MINUTE, 30 * MINUTE),
    ("between_lambs", CountsFrom.LAST_LAMB_OF_MORE, 30 * MINUTE, 60 * MINUTE),
    ("afterbirth_amber", CountsFrom.LAST_LAMB, 12 * HOUR, 24 * HOUR),
    ("afterbirth_red", CountsFrom.LAST_LAMB, 12 * HOUR, 24 * HOUR),
)
PUBLISHED = tuple(PublishedLimit(*band, LIMIT_SOURCES[band[0]]) for band in _BANDS)


class CountedFrom(StrEnum):
    """What a labour is counted from."""

    WATER_BAG = "water bag"
    STRAINING = "first straining"


class LabourState(StrEnum):
    """What an open labour asks for now."""

    WAIT = "wait"
    LOOK_AGAIN = "look again"
    STEP_IN = "step in"
    HELPED = "helped"
    RING_VET = "ring the vet"


class LabourClock(Value):
    """Local times of an open labour; `clocks_change` when the hands will not show the time that really passes.

    `ring_vet` is for a ewe who is helped from `step_in` and gets no further; `helped`: when hands really went in, from
    where it then counts; `zone`: the flock's, where it is known.
    """

    since: datetime
    look_again: datetime
    step_in: datetime
    ring_vet: datetime
    clocks_change: bool
    helped: datetime | None = None
    zone: tzinfo | None = None

    def said(self, at: datetime) -> datetime:
        """One of these times as its words want it: with its zone on a night of changing clocks."""
        return by_its_clock(at, self.zone)


class AfterbirthClock(Value):
    """Local times after which an afterbirth not yet seen is amber (watch, ask) and red (ring the vet)."""

    amber: datetime
    red: datetime


def start_of_labour(waters: datetime | None, straining: datetime | None) -> tuple[datetime, CountedFrom] | None:
    """What the labour counts from: the water bag where it was seen, else the first straining, else None."""
    if waters is not None:
        return waters, CountedFrom.WATER_BAG
    return (straining, CountedFrom.STRAINING) if straining is not None else None


def labour_clock(start: datetime, limits: LabourLimits = DEFAULT, zone: tzinfo | None = None) -> LabourClock:
    """When to look again and when to step in, for a labour counted from `start` (local time, without a zone).

    Looking again never comes after stepping in, whatever the limits say. Raises ValueError if `start` has a zone.
    """
    step_in = later(start, limits.step_in, zone)
    look_again = later(start, min(limits.look_again, limits.step_in), zone)
    ring_vet = later(start, limits.step_in + limits.call_vet, zone)
    changed = ring_vet - start != limits.step_in + limits.call_vet
    return LabourClock(start, look_again, step_in, ring_vet, changed, zone=zone)


def helped_clock(
    clock: LabourClock, helped: datetime, limits: LabourLimits = DEFAULT, zone: tzinfo | None = None
) -> LabourClock:
    """The clock of a labour in which hands went in: the vet is rung so long after that moment, or when the labour's own
    time is over, whichever comes first.
    """
    by_hand = later(helped, limits.call_vet, zone)
    changed = clock.clocks_change or by_hand - helped != limits.call_vet
    sooner = min(clock.ring_vet, by_hand, key=lambda at: instant(at, zone))
    return replace(clock, ring_vet=sooner, clocks_change=changed, helped=helped)


def labour_state(
    start: datetime,
    now: datetime,
    limits: LabourLimits = DEFAULT,
    zone: tzinfo | None = None,
    helped: datetime | None = None,
) -> LabourState:
    """What a labour counted from `start` asks for at `now`; a limit is reached at its very minute. Where hands went in
    nobody is told to step in again.
    """
    gone = elapsed(start, now, zone)
    if gone >= limits.step_in + limits.call_vet:
        return LabourState.RING_VET
    if helped is not None:
        over = elapsed(helped, now, zone) >= limits.call_vet
        return LabourState.RING_VET if over else LabourState.HELPED
    if gone >= limits.step_in:
        return LabourState.STEP_IN
    return LabourState.LOOK_AGAIN if gone >= limits.look_again else LabourState.WAIT


def next_lamb_by(last_born: datetime, limits: LabourLimits = DEFAULT, zone: tzinfo | None = None) -> datetime:
    """When to check the ewe if another lamb is expected after the one born at `last_born`."""
    return later(last_born, limits.between_lambs, zone)


def afterbirth_clock(
    last_born: datetime, limits: LabourLimits = DEFAULT, zone: tzinfo | None = None
) -> AfterbirthClock:
    """When an afterbirth not yet seen turns amber, then red, counted from the last lamb."""
    amber = min(limits.afterbirth_amber, limits.afterbirth_red)
    return AfterbirthClock(later(last_born, amber, zone), later(last_born, limits.afterbirth_red, zone))


def longer_than_published(limits: LabourLimits) -> tuple[PublishedLimit, ...]:
    """The published rows that these limits run past: a flock may do so on its vet's word, and the book says it does."""
    return tuple(row for row in PUBLISHED if getattr(limits, row.field) > row.high)


def last_at(clock: time, by: datetime) -> datetime:
    """The last moment at or before `by` when the hands stood at `clock`: waters at 23:50 for a lamb born at 00:40."""
    at = datetime.combine(by.date(), clock)
    return at if at <= by else at - DAY


def later(start: datetime, delay: timedelta, zone: tzinfo | None = None) -> datetime:
    """The local time when `delay` has really passed since `start`, across a change of clocks if `zone` has one.

    An hour that comes twice is read as its first pass, which makes every limit fall sooner, unless `start.fold` is 1.
    A time that the change leaves out is read as by a watch not yet put forward. Times at the very ends of the calendar
    are added as they stand. Raises ValueError if `start` has a zone, OverflowError past the year 9999.
    """
    _require_local(start)
    if zone is None:
        return start + delay
    try:
        passed = start.replace(tzinfo=zone).astimezone(UTC) + delay
        return passed.astimezone(zone).replace(tzinfo=None)
    except OverflowError:
        return start + delay


def elapsed(start: datetime, now: datetime, zone: tzinfo | None = None) -> timedelta:
    """How much time has really passed from `start` to `now`; the longest reading where a local time comes twice.

    Raises ValueError if either has a zone.
    """
    _require_local(start)
    _require_local(now)
    if zone is None:
        return now - start
    began = start.replace(tzinfo=zone).astimezone(UTC)
    return max(now.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1)) - began


def instant(at: datetime, zone: tzinfo | None) -> datetime:
    """A local time as it passes, without a zone: 01:20 after the clocks went back comes later than 01:50 before."""
    if zone is None or at.date() in (date.min, date.max):
        return at
    return at.replace(tzinfo=zone).astimezone(UTC).replace(tzinfo=None)


def _require_local(moment: datetime) -> None:
    if moment.tzinfo is not None:
        raise ValueError(f"{moment} has a time zone; a local time without one is wanted")
