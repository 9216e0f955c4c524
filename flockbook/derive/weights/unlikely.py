"""Weights that a sheep of its age cannot have: asked about, and out of all averages until the note confirms them.

Each is held against the sheep's own age and birth weight, and against those weighed beside it. Weights in kg.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import date, timedelta
from enum import Enum, auto
from statistics import median

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.weights.gains import Place, birth_weight
from flockbook.flock import Animal, Flock, happened
from flockbook.records.growth import Weighing
from flockbook.records.lamb_line import BIRTH_KG
from flockbook.records.rearing import Weaning

# Lambs of many breeds gain 0.08 to 0.45 kg a day to weaning (Ontario's mean is 0.29); single lambs that stand still or
# race are fewer than one in a thousand beyond these (our own lines, tried on drawn flocks of hill and lowland lambs).
LEAST_GAIN, MOST_GAIN = 0.03, 0.5
# A full or an empty belly: 10-22 % of live weight (OMAFRA 19-009), taken at its least beside the gains.
BELLY, BELLY_MOST = 0.10, 0.22
LAMB_DAYS = 200  # lambs are held against their gain to this age; after it only against the heaviest
SETTLED_DAYS = 21  # before it a lamb may not have gained at all
GROWN_DAYS = 548  # a year and a half (common practice)
LIGHT_GROWN_KG = 25.0  # the lightest mature weight that is taken without a question (`records/sheep.py`)
SMALL_KG = 35.0  # where half the grown sheep weighed are under this, the breed is small, and only half of that is asked
LEAST_BESIDE = 5  # so many others are needed to tell that one does not fit them (our own choice)
# How far one may be from the middle of those beside it, in gain (lambs) or weight, and by how many of their own spreads
# at least, so that a flock of very unlike lambs is not asked about its smallest (our own lines).
GAIN_BESIDE, WEIGHT_BESIDE, SPREADS = (0.2, 2.2), (0.4, 2.2), 4
ALIKE, ALIKE_SHARE = (0.6, 1.6), 0.8  # sheep weighed together are of one sort where most lie so near their middle
# What the page of workings prints of such weights.
UNLIKELY_RULE = (
    f"A lamb up to {LAMB_DAYS} days is asked about below its birth weight and {{{LEAST_GAIN} kg a day}}, or above it and "
    f"{{{MOST_GAIN} kg a day}}, with {BELLY:.0%} either way for its belly; a sheep over a year and a half under "
    f"{{{LIGHT_GROWN_KG:g} kg}} (unless the flock's are small); and one that has gained under {GAIN_BESIDE[0]:g} or over "
    f"{GAIN_BESIDE[1]:g} times the middle of {LEAST_BESIDE} or more others, or weighs under {WEIGHT_BESIDE[0]:g} or "
    f"over {WEIGHT_BESIDE[1]:g} times that of sheep of one sort whose ages are not known, and lies {SPREADS} "
    "spreads off. It takes no part in gains and means until the note says `sure: yes` (our own lines)."
)


class WhyUnlikely(Enum):
    """What a weight does not fit."""

    TOO_LIGHT = auto()
    TOO_HEAVY = auto()
    GROWN = auto()
    BESIDE_OTHERS = auto()


class UnlikelyWeight(Value):
    """One weight that is asked about: the sheep's age in days where it is a lamb of known age, and the limit that it
    passes (of those beside it: their middle weight).
    """

    sheep: str
    note: str
    line: int
    kg: float
    why: WhyUnlikely
    limit: float
    age: int | None = None


class OneWeight(Value):
    """One line of a weighing, with what is known of its sheep: the ages it can have, and its weight at birth."""

    animal: Animal
    note: str
    line: int
    kg: float
    ages: tuple[int, int] | None
    birth: float | None

    @property
    def grown(self) -> bool:
        """Whether it is surely over a year and a half old."""
        return self.ages is not None and self.ages[0] >= GROWN_DAYS

    @property
    def gain(self) -> float | None:
        """What it has gained in a day since its birth; None but for a lamb of known birthday and birth weight."""
        if self.birth is None or self.ages is None or self.ages[0] != self.ages[1]:
            return None
        return (self.kg - self.birth) / self.ages[0] if SETTLED_DAYS <= self.ages[0] <= LAMB_DAYS else None


def unlikely_weights(flock: Flock, today: Moment) -> dict[Place, UnlikelyWeight]:
    """Every weight that is asked about for its sheep's age, or beside the others of its session, by its place."""
    sessions = [
        (event, tuple(weights_in(flock, event)))
        for event in flock.events
        if isinstance(event, Weighing | Weaning) and event.date and happened(event, today)
    ]
    least = lightest_grown([weight.kg for _, weights in sessions for weight in weights if weight.grown])
    found: dict[Place, UnlikelyWeight] = {}
    for event, weights in sessions:
        asked = [*against_age(weights, least), *beside_others(weights)] if not event.sure else []
        for item in asked:
            found.setdefault((item.note, item.line), item)
    return found


def weights_in(flock: Flock, event: Weighing | Weaning) -> Iterator[OneWeight]:
    """The weights of one note that are no question already, of sheep that are in the book."""
    assert event.date is not None
    for line in event.lines:
        sheep = flock.named(event, line.sheep)
        if sheep and not line.unlikely:
            animal = flock.animals[sheep]
            ages = ages_on(flock, animal, event.date)
            place = event.origin.path, line.span.line
            yield OneWeight(animal, *place, line.weight.kg, ages, birth_weight(animal))


def ages_on(flock: Flock, animal: Animal, day: date) -> tuple[int, int] | None:
    """The least and the most days that a sheep can be old; one of unknown birth has the age of a dam where it is one.
    None where nobody knows.
    """
    if animal.born is None:
        lambs = [lamb.birthday for lamb in flock.lambs_of.get(animal.id, ()) if lamb.birthday]
        dam = bool(lambs) and min(lambs) + timedelta(days=GROWN_DAYS // 3) < day
        return (GROWN_DAYS, 20 * GROWN_DAYS) if dam else None
    return max(0, (day - animal.born.latest).days), max(0, (day - animal.born.earliest).days)


def lightest_grown(weights: list[float]) -> float:
    """Under what weight a grown sheep is asked about: half the middle of a flock of small sheep, else the usual."""
    middle = median(weights) if len(weights) > LEAST_BESIDE else SMALL_KG
    return middle / 2 if middle < SMALL_KG else LIGHT_GROWN_KG


def against_age(weights: tuple[OneWeight, ...], least: float) -> Iterator[UnlikelyWeight]:
    """Weights that do not fit the age of their sheep."""
    for item in weights:
        if item.grown and item.kg < least:
            yield in_question(item, WhyUnlikely.GROWN, least)
        elif item.ages is not None:
            low, high = band(item.ages, item.birth)
            if item.kg < low:
                yield in_question(item, WhyUnlikely.TOO_LIGHT, low)
            elif item.kg > high:
                yield in_question(item, WhyUnlikely.TOO_HEAVY, high)


def band(ages: tuple[int, int], birth: float | None) -> tuple[float, float]:
    """The least and the most that a sheep of these ages can weigh, from its weight at birth where that is known."""
    young, old = ages
    light, heavy = (birth, birth) if birth is not None else BIRTH_KG
    low = light + LEAST_GAIN * young if young <= LAMB_DAYS else 0.0
    belly = BELLY if young >= SETTLED_DAYS else BELLY_MOST
    return low * (1 - belly), (heavy + MOST_GAIN * old) * (1 + BELLY)


def in_question(item: OneWeight, why: WhyUnlikely, limit: float) -> UnlikelyWeight:
    """One weight with the question."""
    age = item.ages[0] if item.ages and item.ages[0] == item.ages[1] and not item.grown else None
    return UnlikelyWeight(item.animal.id, item.note, item.line, item.kg, why, limit, age)


def beside_others(weights: tuple[OneWeight, ...]) -> Iterator[UnlikelyWeight]:
    """Weights that do not fit those beside them: lambs by what they gained, others by what they weigh."""
    gains = {item.line: item.gain for item in weights if item.gain is not None}
    yield from outliers([item for item in weights if item.line in gains], gains, GAIN_BESIDE)
    groups: dict[tuple[bool, str | None], list[OneWeight]] = {}
    for item in weights:
        if item.grown or item.ages is None:
            groups.setdefault((item.grown, item.animal.sex), []).append(item)
    for group in groups.values():
        kilos = {item.line: item.kg for item in group}
        if of_one_sort(list(kilos.values())):
            yield from outliers(group, kilos, WEIGHT_BESIDE)


def of_one_sort(kilos: list[float]) -> bool:
    """Whether most weights lie so near their middle that one far off it is no sheep of another sort."""
    middle = median(kilos)
    near = sum(ALIKE[0] * middle <= one <= ALIKE[1] * middle for one in kilos)
    return near >= ALIKE_SHARE * len(kilos)


def spread_of(figures: Collection[float], middle: float) -> float:
    """The spread of figures about their middle, by the middle distance from it; that of a normal curve is 1.4826 times
    as wide (Rousseeuw and Croux 1993).
    """
    return 1.4826 * median(abs(one - middle) for one in figures)


def outliers(
    group: list[OneWeight], measured: Mapping[int, float], limits: tuple[float, float]
) -> Iterator[UnlikelyWeight]:
    """Those of a group whose figure is too far from the middle of it."""
    middle = median(measured.values()) if len(measured) > LEAST_BESIDE else 0.0
    if middle <= 0:
        return
    kilos, far = median(item.kg for item in group), SPREADS * spread_of(measured.values(), middle)
    low, high = min(limits[0] * middle, middle - far), max(limits[1] * middle, middle + far)
    for item in group:
        if not low <= measured[item.line] <= high:
            yield replace(in_question(item, WhyUnlikely.BESIDE_OTHERS, kilos), age=None)
