"""Worms: scores over time, who is drenched again and again, who never was, and how much of a mob is left untreated.

Published lines stand in `TREAT_LINES` as ranges that contradict each other; the shepherd's own rule stands beside them.
Whether to treat is for the shepherd and the vet.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from enum import Enum, auto
from statistics import median_low
from typing import TypeVar

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.health.egg_counts import left_untreated
from flockbook.derive.health.reduction_tests import EggCounts, egg_counts
from flockbook.derive.medicine.medicines import medicines_called
from flockbook.derive.plain.ages import is_surely_lamb
from flockbook.derive.plain.intervals import Share, wilson
from flockbook.derive.season.season_days import SeasonDays
from flockbook.flock import Animal, Flock, happened, there
from flockbook.records.check_line import CheckLine
from flockbook.records.handling import Check
from flockbook.records.health import Treatment
from flockbook.roll import key_of

# Five-point check: eyelid 4-5, bottle jaw, condition 2 or less, scouring, discharge at the nose (Cornell CCE 2020;
# Maryland
# small-ruminant pages). It tells of blood-feeding worms only.
PALE, LEAN, SOILED = 4, 2.0, 3
UNTOUCHED_PER_CENT = (10, 20)  # share of a mob to leave undrenched and marked: sheep vet, Vet Times, 13 Jan 2025
MOB_SIZE = 10  # sheep in one drench from which it counts as a mob's (our own choice)
# Between two looks at eyelids in warm wet months: American Consortium for Small Ruminant Parasite Control, wormx.info.
LOOK_AGAIN_AFTER = (timedelta(weeks=1), timedelta(weeks=3))
OFTEN = 2  # times in a season from which a sheep can stand out (our own choice)


Scored = TypeVar("Scored", int, float)


class Worm(Enum):
    """Of which worms a published line speaks."""

    BARBERS_POLE = auto()
    SCOUR = auto()
    ANY_IN_SUMMER = auto()
    BARBERS_POLE_OF_GOATS = auto()


class Published(Enum):
    """Who published a line, and for where: WormBoss for the Australian tablelands, by sheep and pasture (and the same
    again); ParaBoss, South Australia 2012; the University of Maryland 2015.
    """

    TABLELANDS = auto()
    TABLELANDS_AGAIN = auto()
    SOUTH_AUSTRALIA = auto()
    MARYLAND = auto()


class TreatLine(Value):
    """What one publication says of eggs per gram; `low` to `high` over its own conditions."""

    worm: Worm
    low: int
    high: int
    where: Published


# Published, and a tenfold apart: shown beside the shepherd's own rule, never as an instruction.
TREAT_LINES = (
    TreatLine(Worm.BARBERS_POLE, 600, 1200, Published.TABLELANDS),
    TreatLine(Worm.SCOUR, 300, 700, Published.TABLELANDS_AGAIN),
    TreatLine(Worm.ANY_IN_SUMMER, 100, 100, Published.SOUTH_AUSTRALIA),
    TreatLine(Worm.BARBERS_POLE_OF_GOATS, 2000, 2000, Published.MARYLAND),
)


class Score(Value):
    """What a check found on one sheep, with the change since its last score of each kind (None: none before)."""

    sheep: str
    date: date
    note: str
    line: CheckLine
    condition_change: float | None
    eyelid_change: int | None

    @property
    def points(self) -> tuple[str, ...]:
        """Which of the five points call for a second look."""
        return tuple(points(self.line))


class WormCheck(Value):
    """One check read back. `attention` is the share, of those whose eyelid, dags or signs are written, with any of
    the five points.
    """

    note: str
    date: date
    purpose: str
    scores: tuple[Score, ...]
    eyelids: Mapping[int, int]
    conditions: Mapping[float, int]
    attention: Share

    @property
    def mean_condition(self) -> float | None:
        """Mean condition score."""
        head = sum(self.conditions.values())
        return sum(score * count for score, count in self.conditions.items()) / head if head else None

    @property
    def mean_eyelid(self) -> float | None:
        """Mean eyelid score."""
        head = sum(self.eyelids.values())
        return sum(score * count for score, count in self.eyelids.items()) / head if head else None


class Drenched(Value):
    """How often a living sheep was drenched this season; `usual` is the middle of its own kind. `offender` stands
    out.
    """

    sheep: str
    times: int
    days: tuple[date, ...]
    ever: int
    usual: int

    @property
    def offender(self) -> bool:
        """Drenched twice or more, and more often than the middle sheep of its kind."""
        return self.times >= OFTEN and self.times > self.usual


class GroupDrench(Value):
    """One drench of a mob: who was treated, who was left, and how many published advice (10 to 20 %) would leave."""

    note: str
    date: date
    medicine: str
    mob: str
    treated: tuple[str, ...]
    left: tuple[str, ...]
    share_left: Share
    advised: tuple[int, int]


class NextLook(Value):
    """When eyelids were last looked at, and the published days for the next look in warm wet months."""

    last: date
    earliest: date
    latest: date


class Worms(Value):
    """Everything on worms at the moment asked about. `season` is the season that `drenched` counts in."""

    season: int = 0
    sessions: tuple[WormCheck, ...] = ()
    scores: Mapping[str, tuple[Score, ...]] = field(default_factory=dict)
    drenched: tuple[Drenched, ...] = ()
    group_drenches: tuple[GroupDrench, ...] = ()
    eggs: EggCounts = field(default_factory=EggCounts)

    @property
    def next_look(self) -> NextLook | None:
        """When eyelids are looked at again; None where no check has any."""
        last = max((item.date for item in self.sessions if item.eyelids), default=None)
        return NextLook(last, last + LOOK_AGAIN_AFTER[0], last + LOOK_AGAIN_AFTER[1]) if last else None

    @property
    def offenders(self) -> tuple[Drenched, ...]:
        """Sheep that stand out, the most drenched first."""
        return tuple(sorted((row for row in self.drenched if row.offender), key=lambda row: (-row.times, row.sheep)))

    @property
    def untreated(self) -> tuple[Drenched, ...]:
        """Living sheep not drenched this season."""
        return tuple(row for row in self.drenched if not row.times)

    @property
    def never(self) -> tuple[Drenched, ...]:
        """Living sheep that no note says were ever drenched."""
        return tuple(row for row in self.drenched if not row.ever)


def worms(flock: Flock, days: SeasonDays, today: Moment) -> Worms:
    """All of it."""
    season = days.of(today.day)
    sessions, scores = check_sessions(flock, today)
    given = tuple(drenches(flock, today))
    return Worms(
        season, sessions, scores, tuple(times_drenched(flock, given, days.start(season), today)),
        tuple(group_drench(flock, event, given) for event in given if is_group(flock, event)), egg_counts(flock, today),
    )  # fmt: skip


# Scores


def check_sessions(flock: Flock, today: Moment) -> tuple[tuple[WormCheck, ...], dict[str, tuple[Score, ...]]]:
    """Every check that scored anything, and each sheep's scores in order of time."""
    by_sheep: dict[str, list[Score]] = {}
    sessions = []
    for event in flock.events:
        if isinstance(event, Check) and event.date and happened(event, today):
            found = list(scores_of(flock, event, by_sheep))
            sessions += [session(event, found)] if found else []
    return tuple(sessions), {sheep: tuple(items) for sheep, items in by_sheep.items()}


def scores_of(flock: Flock, event: Check, by_sheep: dict[str, list[Score]]) -> Iterator[Score]:
    """The scores of one check, each put behind those the sheep had before."""
    assert event.date is not None
    for line in event.lines:
        if sheep := flock.named(event, line.sheep):
            before = by_sheep.setdefault(sheep, [])
            fatter, paler = less(line.condition, last_condition(before)), less(line.eyelid, last_eyelid(before))
            before.append(Score(sheep, event.date, event.origin.path, line, fatter, paler))
            yield before[-1]


def last_condition(scores: Sequence[Score]) -> float | None:
    """The last condition written; None before the first."""
    return next((score.line.condition for score in reversed(scores) if score.line.condition is not None), None)


def last_eyelid(scores: Sequence[Score]) -> int | None:
    """The last eyelid score written; None before the first."""
    return next((score.line.eyelid for score in reversed(scores) if score.line.eyelid is not None), None)


def session(event: Check, found: Sequence[Score]) -> WormCheck:
    """One check read back."""
    assert event.date is not None
    looked = [
        score for score in found if score.line.eyelid is not None or score.line.dag is not None or score.line.signs
    ]
    eyelids = Counter(score.line.eyelid for score in found if score.line.eyelid is not None)
    conditions = Counter(score.line.condition for score in found if score.line.condition is not None)
    attention = wilson(sum(bool(score.points) for score in looked), len(looked))
    return WormCheck(
        event.origin.path, event.date, event.for_ or event.subject or "", tuple(found), dict(sorted(eyelids.items())),
        dict(sorted(conditions.items())), attention,
    )  # fmt: skip


def points(line: CheckLine) -> Iterator[str]:
    """The five points of one sheep: eye, jaw, back, tail, nose."""
    if line.eyelid is not None and line.eyelid >= PALE:
        yield "eye"
    if "jaw" in line.signs:
        yield "jaw"
    if "back" in line.signs or (line.condition is not None and line.condition <= LEAN):
        yield "back"
    if "tail" in line.signs or (line.dag is not None and line.dag >= SOILED):
        yield "tail"
    if "nose" in line.signs:
        yield "nose"


def less(now: Scored | None, before: Scored | None) -> Scored | None:
    """The change of a score, whole or not, where both are known."""
    return None if now is None or before is None else now - before


# Drenching


def is_drench(flock: Flock, event: Treatment) -> bool:
    """Whether a treatment was for worms: by the medicine's kind or drench family, or by what it was given for."""
    for medicine in medicines_called(flock, event.medicine):
        if medicine.group or "worm" in (medicine.kind or "").casefold():
            return True
    return "worm" in (event.for_ or "").casefold()


def drenches(flock: Flock, today: Moment) -> Iterator[Treatment]:
    """The drenches for worms up to the moment asked about."""
    for event in flock.events:
        if isinstance(event, Treatment) and event.date and happened(event, today) and is_drench(flock, event):
            yield event


def times_drenched(flock: Flock, given: Sequence[Treatment], start: date, today: Moment) -> Iterator[Drenched]:
    """How often each living sheep was drenched since the season began: days, not notes, are counted."""
    days: dict[str, set[date]] = {}
    for event in given:
        for sheep in flock.who(event):
            days.setdefault(sheep, set()).update(when.date for when in event.doses if when.date <= today.day)
    living = [animal for animal in flock.animals.values() if there(animal, today)]
    recent = {animal.id: sorted(day for day in days.get(animal.id, ()) if day >= start) for animal in living}
    usual: dict[bool, int] = {}
    for young in (True, False):
        counts = [len(recent[animal.id]) for animal in living if is_surely_lamb(animal, today.day) == young]
        usual[young] = median_low(counts) if counts else 0
    for animal in living:
        mine = recent[animal.id]
        yield Drenched(
            animal.id, len(mine), tuple(mine), len(days.get(animal.id, ())), usual[is_surely_lamb(animal, today.day)]
        )


def is_group(flock: Flock, event: Treatment) -> bool:
    """Whether a drench was given to a mob, or to so many that it might as well have been."""
    return bool(event.mob) or len(flock.who(event)) >= MOB_SIZE


def group_drench(flock: Flock, event: Treatment, given: Sequence[Treatment]) -> GroupDrench:
    """Who of the mob was left untreated that day."""
    assert event.date is not None
    mob = event.mob or common_mob(flock, event)
    members = mob_of(flock, event, mob)
    done = {sheep for other in given if other.date == event.date for sheep in flock.who(other)}
    left = tuple(sorted(members - done))
    treated = flock.who(event)
    head = len(treated) + len(left)
    low, high = (left_untreated(head, share) for share in UNTOUCHED_PER_CENT)
    share = wilson(len(left), head)
    return GroupDrench(event.origin.path, event.date, event.medicine or "", mob, treated, left, share, (low, high))


def common_mob(flock: Flock, event: Treatment) -> str:
    """The mob that most of the sheep treated belonged to, "" when fewer than half share one."""
    assert event.date is not None
    mobs = Counter(mob for sheep in flock.who(event) if (mob := flock.animals[sheep].mob_on(event.date)))
    mob, head = next(iter(mobs.most_common(1)), ("", 0))
    return mob if 2 * head > len(flock.who(event)) else ""


def mob_of(flock: Flock, event: Treatment, mob: str) -> set[str]:
    """The members of a mob on the day of a drench, with those it names as left out."""
    assert event.date is not None
    word, spared = mob.casefold(), {key_of(text) for text in event.except_}
    present = [animal for animal in flock.animals.values() if animal.present(event.date)]
    here = {one.id for one in present if mob and (one.mob_on(event.date) or "").casefold() == word}
    here |= {one.id for one in present if spared & words_for(one, event.date)}
    return here | set(flock.who(event))


def words_for(animal: Animal, day: date) -> set[str]:
    """Whatever `except` may call an animal by: tag, name or mob."""
    return {key_of(word) for word in (*animal.tags, animal.name or "", animal.mob_on(day) or "") if word}
