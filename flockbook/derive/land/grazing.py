"""Who is on which ground, how long each paddock was grazed and how long it has rested.

Days are nights: the day in counts, the day out does not. A sheep is where the last note put it: a move; a joining that
names its paddock; a purchase or a draft into a mob (it goes where that mob stands); its birth (it lies where its dam
does). Every sheep is one head, sucking lambs too. No paddock is ever called clean.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from itertools import pairwise

from compiler.book import Moment
from compiler.nearness import plain
from compiler.shape import Value, field
from flockbook.derive.land.forage import (
    Stay,
    leave_by,
    nights_grazed,
    paddock_rest_ends,
    stock_days,
    stock_days_per_area,
)
from flockbook.derive.plain.because import Because
from flockbook.flock import Animal, Flock, gone, happened, there
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.event import Event
from flockbook.records.places import Draft, Move, Paddock
from flockbook.records.trade import Purchase

YEAR = 365  # nights over which sheep-days are summed (our own choice: a whole round of the seasons)
WEEK = 7
WEEKS = 53  # the weeks charted: a year and the week that is running
LOOSE = "no mob"  # what sheep without a mob are called here


class Whereabouts(Value):
    """Where a sheep stands: `place` is a key of `Grazing.ground`; `note` put it there on `since`."""

    place: str
    since: date
    note: Event


class Stint(Value):
    """One sheep on one ground from a day to a day (None: it is there still)."""

    sheep: str
    place: str
    entered: date
    left: date | None
    note: Event


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
        return days_of(self.note.rest.hours) if self.note and self.note.rest else None

    @property
    def limit_days(self) -> int | None:
        """The longest it should be grazed at a time."""
        return days_of(self.note.limit.hours) if self.note and self.note.limit else None

    @property
    def area(self) -> float | None:
        """Hectares."""
        return self.note.area.amount if self.note and self.note.area and self.note.area.amount > 0 else None


class Grazing(Value):
    """All ground by key, all sheep that stand somewhere, and the living ones of which no note says where."""

    ground: Mapping[str, Ground] = field(default_factory=dict)
    places: Mapping[str, Whereabouts] = field(default_factory=dict)
    nowhere: tuple[str, ...] = ()
    stints: tuple[Stint, ...] = ()
    weeks: tuple[date, ...] = ()
    grid: Mapping[tuple[str, date], float] = field(default_factory=dict)

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
        key: ground_of((names[key], known.get(key)), by_place[key], (flock, today), mobs.get(key, Counter()))
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


# Following the sheep


class Track:
    """The work of following every sheep from note to note."""

    def __init__(self, flock: Flock) -> None:
        """Nobody is anywhere yet."""
        self.flock = flock
        self.places: dict[str, Whereabouts] = {}
        self.stints: list[Stint] = []
        self.moved: dict[str, tuple[str, ...]] = {}

    def put(self, sheep: str, place: str, note: Event) -> None:
        """A sheep goes to a place, unless it stands there already."""
        assert note.date is not None
        old = self.places.get(sheep)
        if old is not None and old.place == place:
            return
        self.close(sheep, note.date)
        self.places[sheep] = Whereabouts(place, note.date, note)

    def close(self, sheep: str, day: date) -> None:
        """A sheep leaves the place where it stands; a stay without a night is none."""
        old = self.places.pop(sheep, None)
        left = self.flock.animals[sheep].left
        end = min(day, left.date) if left else day
        if old is not None and end > old.since:
            self.stints.append(Stint(sheep, old.place, old.since, end, old.note))

    def take(self, note: Event) -> None:
        """One note: whom it puts where."""
        place, who = place_named(note), self.flock.who(note)
        if isinstance(note, Lambing) and who:
            self.follow(
                (lamb.id for lamb in self.flock.litters.get(note.origin.path, ())), self.places.get(who[0]), note
            )
        elif place:
            for sheep in who:
                self.put(sheep, plain(place), note)
            if note.mob:
                self.moved[plain(note.mob)] = who
        elif isinstance(note, Draft | Purchase) and note.into:
            self.follow(who, self.mob_place(plain(note.into), note, frozenset(who)), note)

    def follow(self, sheep: Iterable[str], at: Whereabouts | None, note: Event) -> None:
        """Sheep join others where they stand."""
        for one in sheep if at else ():
            assert at is not None
            self.put(one, at.place, note)

    def mob_place(self, mob: str, note: Event, newcomers: frozenset[str]) -> Whereabouts | None:
        """Where a mob stands: where those of its members are that last moved with it and belong to it still."""
        assert note.date is not None
        for sheep in self.moved.get(mob, ()):
            at = self.places.get(sheep)
            if at and sheep not in newcomers and plain(self.flock.animals[sheep].mob_on(note.date) or "") == mob:
                return at
        return None


def tracked(flock: Flock, today: Moment) -> tuple[list[Stint], dict[str, Whereabouts]]:
    """Every stay of every sheep up to the moment asked about, and where the living stand then."""
    track = Track(flock)
    for note in flock.events:
        if note.date is not None and happened(note, today):
            track.take(note)
    for sheep in list(track.places):
        left = gone(flock.animals[sheep], today)
        if left is not None:
            track.close(sheep, left.date)
    running = [Stint(sheep, at.place, at.since, None, at.note) for sheep, at in track.places.items()]
    return [*track.stints, *running], track.places


def place_named(note: Event) -> str | None:
    """The ground that a note puts its sheep on."""
    if isinstance(note, Move):
        return note.to
    if isinstance(note, Joining):
        return note.paddock
    return note.place if isinstance(note, Purchase) else None


def mob_counts(flock: Flock, places: Mapping[str, Whereabouts], day: date) -> dict[str, Counter[str]]:
    """How many of each mob stand on each ground."""
    found: dict[str, Counter[str]] = {}
    for sheep, at in places.items():
        found.setdefault(at.place, Counter())[flock.animals[sheep].mob_on(day) or LOOSE] += 1
    return found


# One ground


def ground_of(
    called: tuple[str, Paddock | None], stints: list[Stint], at: tuple[Flock, Moment], standing: Counter[str]
) -> Ground:
    """One ground with all its times of grazing."""
    flock, day = at[0], at[1].day
    bare = Ground(*called)
    runs = runs_of(stints)
    periods = [period(run, flock.animals, day) for run in runs]
    rested = [
        None,
        *((after.entered - before.left).days if before.left else None for before, after in pairwise(periods)),
    ]
    told = tuple(with_rest(one, before) for one, before in zip(periods, rested, strict=False))
    now = told[-1] if told and told[-1].left is None else None
    last = max((one.left for one in told if one.left), default=None)
    empty_since = last if now is None else None
    leave = leave_by(now.entered, bare.limit_days) if now and bare.limit_days is not None else None
    year = [Stay(1, nights) for stint in stints if (nights := nights_within(stint, day - timedelta(YEAR), day))]
    return Ground(
        bare.name, bare.note, told, tuple(standing.most_common()), last,
        (day - empty_since).days if empty_since else None,
        paddock_rest_ends(empty_since, bare.rest_days) if empty_since and bare.rest_days is not None else None,
        leave, max((day - leave).days, 0) if leave else 0, stock_days(year),
        stock_days_per_area(year, bare.area) if bare.area else None, because(told),
    )  # fmt: skip


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


def with_rest(one: Period, rested: int | None) -> Period:
    """The same time of grazing with the rest that went before."""
    return Period(one.entered, one.left, one.nights, one.head, one.sheep_days, one.mobs, one.notes, rested)


def because(periods: tuple[Period, ...]) -> tuple[Because, ...]:
    """The notes of the last time of grazing."""
    notes = periods[-1].notes if periods else ()
    return tuple(
        Because(
            note.origin.path, note.origin.span("to").line or None, "grazing", f"{note.origin.kind} note of {note.date}"
        )
        for note in notes
        if note.date
    )


def nights_within(stint: Stint, start: date, end: date) -> int:
    """Nights of a stay that fall between two days."""
    return max((min(stint.left or end, end) - max(stint.entered, start)).days, 0)


def days_of(hours: float) -> int:
    """A length of time in whole days, begun ones counted."""
    return -int(-hours // 24)


# Paddocks × weeks


def week_grid(
    by_place: Mapping[str, list[Stint]], today: date
) -> tuple[tuple[date, ...], dict[tuple[str, date], float]]:
    """The Mondays of the last year, and the sheep-nights on each ground in each of those weeks where there were any."""
    monday = today - timedelta(today.weekday())
    weeks = tuple(monday - timedelta(WEEK * back) for back in reversed(range(WEEKS)))
    grid: Counter[tuple[str, date]] = Counter()
    for key, stints in by_place.items():
        for stint in stints:
            for week, nights in by_week(stint, weeks[0], today):
                grid[(key, week)] += nights
    return weeks, {cell: float(nights) for cell, nights in grid.items()}


def by_week(stint: Stint, first: date, today: date) -> Iterator[tuple[date, int]]:
    """The nights of one stay week by week, from a Monday on."""
    start, end = max(stint.entered, first), min(stint.left or today, today)
    week = start - timedelta(start.weekday())
    while week < end:
        after = week + timedelta(WEEK)
        yield week, (min(after, end) - max(week, start)).days
        week = after
