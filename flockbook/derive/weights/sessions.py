"""Weigh sessions read back: how many, how heavy, who was not weighed, what was gained, and slips of the unit. In kg."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from statistics import fmean

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.weights.gains import Growth, Weighed, growth
from flockbook.flock import Animal, Flock, happened
from flockbook.records.growth import Weighing
from flockbook.records.rearing import Weaning

# A pound scale read as kilograms makes everything 2.2 times heavier (1 kg = 2.20462262 lb, NIST Special Publication
# 811). What is expected goes on from the last weight by 0.29 kg a day (Ontario, Predicting lamb finishing dates) for a
# lamb of up to 150 days, and stays for an older sheep; how far from it is asked about is our own choice, so that
# neither lambs that do well nor lambs that stand still are.
SLIP_UP, SLIP_DOWN = (1.6, 3.2), (1.8, 3.2)
LAMB_GAIN, LAMB_GAIN_DAYS = 0.29, 150
SLIP_DAYS = 63
# Gut fill is 10-22 % of live weight (OMAFRA 19-009): a change of more than that is one of the sheep.
GUT_FILL = 0.22
FALL_DAYS = 90  # within so many days; over a winter ewes lose a good deal (our own choice)
# Published mean 0.29 kg a day at 50-100 days (Ontario, Predicting lamb finishing dates); over three times that is asked
# about (our own choice).
FASTEST_KG = 0.9
# What the page of workings prints of weights that are asked about.
ASKED_RULE = (
    f"Everybody {SLIP_UP[0]} to {SLIP_UP[1]} times as heavy, or {SLIP_DOWN[0]} to {SLIP_DOWN[1]} times as light, as "
    f"the weight of at most {SLIP_DAYS // 7} weeks before leads to expect, with {LAMB_GAIN} kg a day for lambs up to "
    f"{LAMB_GAIN_DAYS} days (Ontario): pounds or kilograms; they take no part in gains until confirmed. One sheep more "
    f"than {GUT_FILL * 100:.0f} % lighter within {FALL_DAYS} days, or heavier and by more than {FASTEST_KG} kg a day "
    "(gut fill is 10 to 22 % of live weight, OMAFRA 19-009; the rest our own choice)."
)
SLIP_SHEEP = 3  # a slip of the unit shows in all; from so many sheep weighed in both sessions on it is asked about
SESSION_DAYS = 7  # a session is missing those of its groups not weighed within so many days of it (our own choice)
FEW_OF_GROUP = 0.5  # a group of which no more than this were weighed was not meant to be weighed whole (our own choice)

Fellows = tuple[int | None, str | None]  # birth year and mob
Years = Mapping[int, Sequence[Animal]]


class Placed(Value):
    """One weight in a session, with the gain in kg a day since the weight before (or since birth)."""

    sheep: str
    weighed: Weighed


class Session(Value):
    """One weighing read back. Mean, lowest and highest are over the weights that are not in doubt.

    `gain` is the mean gain in kg a day since the session before, of the `regained` sheep weighed in both. `slip` is how
    many times heavier (or, under 1, lighter) the same sheep are than last time, where that looks like a slip of the
    unit and was not confirmed; None else. `missing` are sheep of the same crop and mob that were there and not weighed.
    """

    note: str
    day: date
    stage: str
    weights: tuple[Placed, ...]
    mean: float | None
    lowest: float | None
    highest: float | None
    missing: tuple[str, ...] = ()
    since: date | None = None
    gain: float | None = None
    regained: int = 0
    slip: float | None = None

    @property
    def count(self) -> int:
        """How many were weighed."""
        return len({item.sheep for item in self.weights})


def growth_and_sessions(flock: Flock, today: Moment) -> tuple[dict[str, Growth], tuple[Session, ...]]:
    """What every sheep gained, and every session. A session whose unit is asked about takes no part in gains."""
    grew = growth(flock, today)
    found = weigh_sessions(flock, grew, today)
    doubtful = slipped_notes(found)
    return (growth(flock, today, doubtful) if doubtful else grew), found


def slipped_notes(sessions: Iterable[Session]) -> frozenset[str]:
    """The notes whose unit is asked about."""
    return frozenset(item.note for item in sessions if item.slip is not None)


def weigh_sessions(flock: Flock, grew: Mapping[str, Growth], today: Moment) -> tuple[Session, ...]:
    """Every weighing and every weaning with weights, in order of time."""
    by_note: dict[str, list[Placed]] = {}
    for sheep, item in grew.items():
        for weighed in item.weights:
            by_note.setdefault(weighed.note, []).append(Placed(sheep, weighed))
    events = [
        event
        for event in flock.events
        if isinstance(event, Weighing | Weaning) and event.origin.path in by_note and happened(event, today)
    ]
    years = birth_years(flock)
    done: list[Session] = []
    for event in events:
        placed = sorted(by_note[event.origin.path], key=lambda item: item.weighed.line)
        there = [flock.animals[item.sheep] for item in placed]
        assert event.date is not None
        missed = tuple(not_weighed(years, grew, event.date, there))
        slip = unit_slip(flock, grew, event, placed)
        done.append(replace(read_back(grew, event, placed), missing=missed, slip=slip))
        if slip is not None:
            grew = {**grew, **{item.sheep: with_doubts(grew[item.sheep], event) for item in placed}}
    return tuple(done)


def with_doubts(item: Growth, event: Weighing | Weaning) -> Growth:
    """A sheep's growth in which the weights of one note are in doubt."""
    weights = tuple(replace(one, sure=one.sure and one.note != event.origin.path) for one in item.weights)
    return replace(item, weights=weights)


def read_back(grew: Mapping[str, Growth], event: Weighing | Weaning, placed: list[Placed]) -> Session:
    """One session; who is missing and its unit are left open."""
    assert event.date is not None
    sure = [item.weighed.kg for item in placed if item.weighed.sure]
    stage = event.stage if isinstance(event, Weighing) else "weaning"
    first, gain, shared = since_last(grew, event.date, placed)
    return Session(
        event.origin.path, event.date, stage or "", tuple(placed),
        fmean(sure) if sure else None, min(sure, default=None), max(sure, default=None), (),
        first, gain, shared,
    )  # fmt: skip


def weight_before(grew: Mapping[str, Growth], day: date, sheep: str) -> Weighed | None:
    """A sheep's last weight before a day that is not in doubt (its birth weight does not count)."""
    return next((item for item in reversed(grew[sheep].weights) if item.sure and item.date < day), None)


def since_last(
    grew: Mapping[str, Growth], day: date, placed: Sequence[Placed]
) -> tuple[date | None, float | None, int]:
    """The day of the session before, and the mean gain since of the sheep weighed in both, with their number.

    The session before is the day on which most of these sheep were weighed last (of equals, the later).
    """
    last = [
        (item.weighed, old) for item in placed if item.weighed.sure and (old := weight_before(grew, day, item.sheep))
    ]
    days = Counter(old.date for _, old in last)
    first = max(days, key=lambda one: (days[one], one), default=None)
    gains = [(now.kg - old.kg) / (day - old.date).days for now, old in last if old.date == first]
    return first, fmean(gains) if gains else None, len(gains)


def unit_slip(
    flock: Flock, grew: Mapping[str, Growth], event: Weighing | Weaning, placed: Sequence[Placed]
) -> float | None:
    """How many times as heavy the sheep are as was to be expected, where that looks like pounds for kilograms or the
    other way about; doubtful weights count here, since a slip makes them doubtful. None where the note confirms them.
    """
    ratios = [
        item.weighed.kg / kg for item in placed if (kg := expected(flock.animals[item.sheep], grew, item.weighed.date))
    ]
    if len(ratios) < SLIP_SHEEP or event.sure:
        return None
    middle = sorted(ratios)[len(ratios) // 2]
    looks = SLIP_UP[0] <= middle <= SLIP_UP[1] or SLIP_DOWN[0] <= 1 / middle <= SLIP_DOWN[1]
    return middle if looks else None


def expected(animal: Animal, grew: Mapping[str, Growth], day: date) -> float | None:
    """What a sheep was to be expected to weigh on a day by its weight (or birth) within nine weeks before."""
    old, birth = weight_before(grew, day, animal.id), grew[animal.id].birth_kg
    last = (old.date, old.kg) if old else (animal.birthday, birth)
    if last[0] is None or last[1] is None or not 0 < (days := (day - last[0]).days) <= SLIP_DAYS:
        return None
    young = animal.born is not None and (day - animal.born.earliest).days <= LAMB_GAIN_DAYS
    return last[1] + (LAMB_GAIN * days if young else 0.0)


def not_weighed(years: Years, grew: Mapping[str, Growth], day: date, weighed: Sequence[Animal]) -> Iterator[str]:
    """Sheep of the groups that were weighed (birth year and mob, and of the sexes that were weighed, more than half)
    that were there and not weighed within a week.
    """
    done = {animal.id for animal in weighed}
    for group in dict.fromkeys(group_of(animal, day) for animal in weighed if animal.born):
        sexes = {animal.sex for animal in weighed if group_of(animal, day) == group}
        whole = [animal for animal in years.get(group[0] or 0, ()) if belongs(animal, group, day, sexes)]
        left = [animal.id for animal in whole if animal.id not in done]
        if len(whole) - len(left) > FEW_OF_GROUP * len(whole):
            yield from (sheep for sheep in left if not weighed_near(grew.get(sheep), day))


def birth_years(flock: Flock) -> Years:
    """The animals that were born alive, by the year of their birth."""
    found: dict[int, list[Animal]] = {}
    for animal in flock.animals.values():
        if animal.born and (animal.birth is None or animal.birth.line.alive):
            found.setdefault(animal.born.earliest.year, []).append(animal)
    return found


def belongs(animal: Animal, group: Fellows, day: date, sexes: set[str | None]) -> bool:
    """Whether an animal was there on a day, in a group and of one of these sexes."""
    return animal.sex in sexes and animal.present(day) and group_of(animal, day) == group


def group_of(animal: Animal, day: date) -> Fellows:
    """Birth year and mob."""
    return (animal.born.earliest.year if animal.born else None, animal.mob_on(day))


def weighed_near(item: Growth | None, day: date) -> bool:
    """Whether a sheep was weighed within a week of a day."""
    near = timedelta(days=SESSION_DAYS)
    return item is not None and any(day - near <= weighed.date <= day + near for weighed in item.weights)
