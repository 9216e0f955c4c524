"""Labours under way: since when, when to look again, when to step in, by the shepherd's own limits."""

from __future__ import annotations

import re
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from compiler.book import Moment
from compiler.shape import Value, field_names, replace
from flockbook.derive.lambing.labour_limits import (
    DEFAULT,
    CountedFrom,
    LabourClock,
    LabourLimits,
    LabourState,
    helped_clock,
    labour_clock,
    labour_state,
    last_at,
    start_of_labour,
)
from flockbook.flock import Flock, happened, there
from flockbook.records.breeding import Lambing
from flockbook.records.event import Event
from flockbook.records.pregnancy import Abortion, Labour
from flockbook.settings import Settings, zone_of

# A labour note that no lambing closes is taken to have ended after two days: it was a false start or was never written
# up.
FORGOTTEN = timedelta(days=2)

# So long after the hour of a note what happened later may be added to it (our own choice).
ADDED_LATER = timedelta(hours=6)

# A lamb that comes as it should shows a nose on two feet; for anything else help is sought early (NADIS and the vet
# colleges alike, from memory).
HEAD_FIRST = re.compile(r"\b(?:nose|head|muzzle|mouth|tongue)\b", re.I)
TWO_FEET = re.compile(r"\b(?:two|2|both|and) (?:front |fore ?)?(?:feet|legs|hooves)\b|\bforefeet\b|\bfeet\b", re.I)
WANTING = re.compile(
    r"\b(?:no|not|without|only|one|1|back|backwards?|hind|tail|breech|turned|swollen|blue|upside|dead|red|dry)\b", re.I
)
NO_LAMB_YET = re.compile(
    r"(?:nothing|(?:the |a |clear )*(?:water ?bag|waters?|bag|slime|mucus|string))(?: yet| showing| out)*\.?", re.I
)


class OpenLabour(Value):
    """One ewe in labour at the moment asked about. `basis` None: only the note's own time is known. `standing`: what
    the clock asked for then, None where no time of day was asked about.
    """

    ewe: str
    note: str
    clock: LabourClock
    basis: CountedFrom | None
    shows: str
    last_looked: datetime
    standing: LabourState | None = None

    @property
    def amiss(self) -> bool:
        """Whether what shows is neither a nose with two feet nor nothing of a lamb yet."""
        shows = self.shows.strip()
        if not shows or NO_LAMB_YET.fullmatch(shows):
            return False
        return bool(WANTING.search(shows)) or not (HEAD_FIRST.search(shows) and TWO_FEET.search(shows))


def limits_of(settings: Settings) -> LabourLimits:
    """The shepherd's own limits where they are set, else the published ones."""
    hours = {name: timedelta(hours=settings.figure(name)) for name in ("look_again", "step_in", "call_vet")}
    return LabourLimits(**{**{name: getattr(DEFAULT, name) for name in field_names(LabourLimits)}, **hours})


def open_labours(flock: Flock, settings: Settings, today: Moment) -> tuple[OpenLabour, ...]:
    """The labours that no lambing or loss has closed, the longest first. They count only where a time of day was asked
    for.
    """
    timing = Timing(limits_of(settings), zone_of(settings), today.at)
    found: dict[str, OpenLabour] = {}
    for event in sorted(flock.events, key=lambda event: by_the_clock(event, timing.zone)):
        if isinstance(event, Labour) and event.date and happened(event, today):
            noted = datetime.combine(event.date, event.time or event.waters or event.seen or time.min)
            for ewe in flock.who(event):
                earlier = running(found.get(ewe), noted)
                item = looked_again(earlier, event, noted) if earlier else begun(ewe, event, noted, timing)
                found[ewe] = with_hands(item, event, noted, timing)
        elif isinstance(event, Lambing | Abortion) and happened(event, today):
            for ewe in flock.who(event):
                found.pop(ewe, None)
    still = [
        asking(item, timing, today)
        for item in found.values()
        if today.at - item.last_looked < FORGOTTEN and there(flock.animals[item.ewe], today)
    ]
    return tuple(sorted(still, key=lambda item: (item.clock.since, item.ewe)))


class Timing(Value):
    """How labours are timed: the hours each stage may take, the time zone they pass in, and the moment asked about."""

    limits: LabourLimits
    zone: ZoneInfo | None
    now: datetime = datetime.max


def running(earlier: OpenLabour | None, noted: datetime) -> OpenLabour | None:
    """The labour that a note goes on with; None where it begins a new one."""
    return earlier if earlier and noted - earlier.last_looked < FORGOTTEN else None


def asking(item: OpenLabour, timing: Timing, today: Moment) -> OpenLabour:
    """A labour with what its clock asks for at the moment asked about."""
    if not today.timed:
        return item
    now = labour_state(item.clock.since, today.at, timing.limits, timing.zone, item.clock.helped)
    return replace(item, standing=now)


def by_the_clock(event: Event, zone: ZoneInfo | None) -> tuple[datetime, bool]:
    """Sort key: as time passes, a birth after a labour of the same minute."""
    ends = isinstance(event, Lambing | Abortion)
    return (as_it_passed(event.moment, zone, ends) if event.moment else datetime.max, ends)


def as_it_passed(at: datetime, zone: ZoneInfo | None, ends: bool) -> datetime:
    """A local time in universal time, so that a night of changing clocks keeps its order; in an hour that comes twice
    or is left out a labour is read as early as can be, and what `ends` one as late.
    """
    if zone is None or at.date() in (datetime.min.date(), datetime.max.date()):
        return at
    readings = [at.replace(tzinfo=zone, fold=fold).astimezone(UTC).replace(tzinfo=None) for fold in (0, 1)]
    return max(readings) if ends else min(readings)


def begun(ewe: str, event: Labour, noted: datetime, timing: Timing) -> OpenLabour:
    """A labour counted from the water bag, else the first signs, else the note's own time; hours after midnight look
    back, but for those of the same night that were added to the note later on.
    """
    waters = night_hour(event.waters, noted, timing) if event.waters else None
    seen = night_hour(event.seen, noted, timing) if event.seen else None
    start = start_of_labour(waters, seen)
    clock = labour_clock(start[0] if start else noted, timing.limits, timing.zone)
    return OpenLabour(ewe, event.origin.path, clock, start[1] if start else None, event.shows or "", noted)


def night_hour(hour: time, noted: datetime, timing: Timing) -> datetime:
    """An hour in a note: the last such before it, or one soon after it that has passed."""
    before = last_at(hour, noted)
    added = before + timedelta(days=1)
    return added if before < noted and added - noted <= ADDED_LATER and added <= timing.now else before


def with_hands(item: OpenLabour, event: Labour, noted: datetime, timing: Timing) -> OpenLabour:
    """A labour in which a note says when hands went in; the first such moment counts."""
    if event.helped is None or item.clock.helped:
        return item
    helped = last_at(event.helped, noted)
    if helped < item.clock.since:  # an hour added to the note later on
        added = helped + timedelta(days=1)
        helped = added if added - noted <= ADDED_LATER else item.clock.since
    return replace(item, clock=helped_clock(item.clock, helped, timing.limits, timing.zone))


def looked_again(earlier: OpenLabour, event: Labour, noted: datetime) -> OpenLabour:
    """A second note on the same labour: what shows now; the clock goes on from its first start."""
    return OpenLabour(earlier.ewe, event.origin.path, earlier.clock, earlier.basis, event.shows or earlier.shows, noted)
