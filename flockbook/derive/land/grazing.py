"""Who is on which ground, how long each paddock was grazed and how long it has rested.

Days are nights: the day in counts, the day out does not. A sheep is where the last note put it: a move; a joining that
names its paddock; a purchase or a draft into a mob (it goes where that mob stands); its birth (it lies where its dam
does). Every sheep is one head, sucking lambs too. No paddock is ever called clean.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date
from itertools import pairwise

from compiler.book import Moment
from compiler.nearness import plain
from compiler.shape import Value, field, replace
from flockbook.derive.land.forage import (
    Grazers,
    leave_by,
    nights_grazed,
    paddock_rest_ends,
    stock_days,
    stock_days_per_area,
    stock_density,
)
from flockbook.derive.land.weeks_grazed import week_grid
from flockbook.derive.land.whereabouts import StandingAt, Stint, place_named, tracked
from flockbook.derive.plain.because import Because, Reason
from flockbook.derive.plain.days import YEAR
from flockbook.flock import Animal, Flock, happened, there
from flockbook.records.event import Event
from flockbook.records.places import Move, Paddock

LOOSE = "no mob"  # what sheep without a mob are called here


class NoteOf(Reason):
    """A note by its kind and day."""

    kind: str
    day: date


class Period(Value):
    """An unbroken time with sheep on one ground. `head` is the most at once; `rested` the nights of rest before it."""

    entered: date
    left: date | None
    nights: int
    head: int
    sheep_days: float
    mobs: tuple[str, ...]
    notes: tuple[Event, ...]
    rested: int | None = None

    @property
    def swards(self) -> tuple[str, ...]:
        """What was written of cover and height."""
        return tuple(note.sward for note in self.notes if isinstance(note, Move) and note.sward)


class Ground(Value):
    """A paddock (or a pen that has no note) on the day asked about; lengths in nights, area in hectares."""

    name: str
    note: Paddock | None
    periods: tuple[Period, ...] = ()
    standing: tuple[tuple[str, int], ...] = ()
    last_left: date | None = None
    rested: int | None = None
    return_from: date | None = None
    leave_by: date | None = None
    over: int = 0
    sheep_days: float = 0.0
    per_hectare: float | None = None
    because: tuple[Because, ...] = ()

    @property
    def now(self) -> Period | None:
        """The time of grazing that is running, if sheep are on it."""
        return self.periods[-1] if self.periods and self.periods[-1].left is None else None

    @property
    def rest_days(self) -> int | None:
        """How long it should rest, as its note says."""
        return whole_days(self.note.rest.hours) if self.note and self.note.rest else None

    @property
    def limit_days(self) -> int | None:
        """The longest it should be grazed at a time."""
        return whole_days(self.note.limit.hours) if self.note and self.note.limit else None

    @property
    def head(self) -> int:
        """Sheep that stand on it."""
        return sum(head for _, head in self.standing)

    @property
    def density(self) -> float | None:
        """Head for each hectare at this moment; None where nobody stands, or no area is written."""
        return stock_density(self.head, self.area) if self.head and self.area else None

    @property
    def area(self) -> float | None:
        """Hectares."""
        return self.note.hectares if self.note and self.note.hectares > 0 else None


class Grazing(Value):
    """All ground by key, all sheep that stand somewhere, and the living ones of which no note says where."""

    ground: Mapping[str, Ground] = field(default_factory=dict)
    places: Mapping[str, StandingAt] = field(default_factory=dict)
    nowhere: tuple[str, ...] = ()
    stints: tuple[Stint, ...] = ()
    weeks: tuple[date, ...] = ()
    grid: Mapping[tuple[str, date], float] = field(default_factory=dict)

    def rests(self, ground: Ground, day: date) -> tuple[int, ...]:
        """The nights of rest that a ground had each time it was grazed again in the last year, oldest first."""
        since = day - YEAR
        return tuple(one.rested for one in ground.periods if one.rested is not None and one.entered > since)

    def place_of(self, sheep: str) -> str | None:
        """The ground that a sheep stands on, by name."""
        at = self.places.get(sheep)
        return self.ground[at.place].name if at else None


def grazing(flock: Flock, today: Moment) -> Grazing:
    """Where everyone is and was, as far as the notes tell it."""
    stints, places = tracked(flock, today)
    known = paddock_notes(flock)
    told = [note for note in flock.events if note.date is not None and happened(note, today)]
    names = {plain(typed): typed for note in reversed(told) if (typed := place_named(note))}
    names |= {key: note.name or "" for key, note in known.items()}
    by_place: dict[str, list[Stint]] = {key: [] for key in names}
    for stint in stints:
        by_place[stint.place].append(stint)
    mobs = mob_counts(flock, places, today.day)
    ground = {
        key: grazed(Ground(names[key], known.get(key), standing=mobs_on(mobs, key)), by_place[key], flock, today.day)
        for key in sorted(names)
    }
    nowhere = tuple(sorted(item.id for item in flock.animals.values() if there(item, today) and item.id not in places))
    weeks, grid = week_grid(by_place, today.day)
    return Grazing(ground, places, nowhere, tuple(stints), weeks, grid)


def paddock_notes(flock: Flock) -> dict[str, Paddock]:
    """The paddock notes by the key of their name; of two with one name the first."""
    found: dict[str, Paddock] = {}
    for note in flock.collection.of(Paddock):
        found.setdefault(plain(note.name or ""), note)
    return found


def mob_counts(flock: Flock, places: Mapping[str, StandingAt], day: date) -> dict[str, Counter[str]]:
    """How many of each mob stand on each ground."""
    found: dict[str, Counter[str]] = {}
    for sheep, at in places.items():
        found.setdefault(at.place, Counter())[flock.animals[sheep].mob_on(day) or LOOSE] += 1
    return found


# One ground


def mobs_on(mobs: Mapping[str, Counter[str]], key: str) -> tuple[tuple[str, int], ...]:
    """The mobs on one ground with their heads, the largest first."""
    return tuple(mobs[key].most_common()) if key in mobs else ()


def grazed(bare: Ground, stints: list[Stint], flock: Flock, day: date) -> Ground:
    """A ground with all its times of grazing, and what they ask for on a day: to be left, or to rest."""
    periods = with_rests([period(run, flock.animals, day) for run in runs_of(stints)])
    year = [Grazers(1, nights) for stint in stints if (nights := nights_within(stint, day - YEAR, day))]
    ground = replace(
        bare, periods=periods, last_left=max((one.left for one in periods if one.left), default=None),
        sheep_days=stock_days(year), per_hectare=stock_days_per_area(year, bare.area) if bare.area else None,
        because=last_grazing(periods),
    )  # fmt: skip
    return at_rest(ground, day) if ground.now is None else occupied(ground, ground.now.entered, day)


def at_rest(ground: Ground, day: date) -> Ground:
    """An empty ground: how long it has rested, and when it may be grazed again."""
    since, rest = ground.last_left, ground.rest_days
    if since is None:
        return ground
    back = None if rest is None else paddock_rest_ends(since, rest)
    return replace(ground, rested=(day - since).days, return_from=back)


def occupied(ground: Ground, since: date, day: date) -> Ground:
    """A ground with sheep on it: when they must leave, and by how much that is past."""
    if ground.limit_days is None:
        return ground
    leave = leave_by(since, ground.limit_days)
    return replace(ground, leave_by=leave, over=max((day - leave).days, 0))


def runs_of(stints: list[Stint]) -> list[list[Stint]]:
    """Stays that overlap or follow each other on the same day, gathered into unbroken times."""
    runs: list[list[Stint]] = []
    until: date | None = None
    for stint in sorted(stints, key=lambda item: (item.entered, item.sheep)):
        if not runs or (until is not None and stint.entered > until):
            runs.append([])
            until = stint.entered
        runs[-1].append(stint)
        until = None if until is None or stint.left is None else max(until, stint.left)
    return runs


def period(run: list[Stint], animals: Mapping[str, Animal], day: date) -> Period:
    """One unbroken time: its days, its most head, its sheep-days, whose it was."""
    entered = min(stint.entered for stint in run)
    left = None if any(stint.left is None for stint in run) else max(stint.left for stint in run if stint.left)
    mobs = Counter(animals[stint.sheep].mob_on(stint.entered) or LOOSE for stint in run)
    notes = {stint.note.origin.path: stint.note for stint in run}
    days = sum(nights_grazed(stint.entered, stint.left or max(day, stint.entered)) for stint in run)
    nights = nights_grazed(entered, left or max(day, entered))
    return Period(
        entered, left, nights, most_head(run), days, tuple(mob for mob, _ in mobs.most_common()), tuple(notes.values())
    )


def most_head(run: list[Stint]) -> int:
    """The most sheep at one time."""
    changes: Counter[date] = Counter()
    for stint in run:
        changes[stint.entered] += 1
        if stint.left:
            changes[stint.left] -= 1
    head = most = 0
    for day in sorted(changes):
        head += changes[day]
        most = max(most, head)
    return most


def with_rests(periods: list[Period]) -> tuple[Period, ...]:
    """Times of grazing, each with the nights of rest that went before it."""
    rests = [(after.entered - before.left).days if before.left else None for before, after in pairwise(periods)]
    return (*periods[:1], *(replace(one, rested=rested) for one, rested in zip(periods[1:], rests, strict=True)))


def last_grazing(periods: tuple[Period, ...]) -> tuple[Because, ...]:
    """The notes of the last time of grazing."""
    notes = periods[-1].notes if periods else ()
    return tuple(
        Because(note.origin.path, note.origin.span("to").line or None, "grazing", reason=NoteOf(note.origin.kind, day))
        for note in notes
        if (day := note.date)
    )


def nights_within(stint: Stint, start: date, end: date) -> int:
    """Nights of a stay that fall between two days."""
    return max((min(stint.left or end, end) - max(stint.entered, start)).days, 0)


def whole_days(hours: float) -> int:
    """A length of time in whole days, begun ones counted."""
    return -int(-hours // 24)
