"""Lambs' weights brought to one age and one footing, so that a twin of a young ewe can stand beside a single. In kg.

The weight at the target age lies on the straight line from birth: gain x age + birth weight; it is multiplied by three
factors: age of dam, sex, litter born and reared (Penn State Extension, Ram selection principles).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from statistics import fmean

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.growth.footing_reasons import (
    AdjustedBy,
    AtTarget,
    BirthAssumed,
    FactorOf,
    NoBirthWeight,
    NotAtWeaning,
    OutsideWindow,
    RatioInGroup,
)
from flockbook.derive.growth.own_litter import LITTER_SIZES, dam_years, guessed, litter_size
from flockbook.derive.plain.because import Because
from flockbook.derive.season.season_days import SeasonDays
from flockbook.derive.weights.gains import Growth, Weighed, birth_weight
from flockbook.derive.weights.weaning import Weanings, alive_by, left_reared
from flockbook.factors import Factors
from flockbook.flock import Animal, Flock, happened
from flockbook.records.rearing import Foster

# Weaned before 75 days: weight at 60; to 100 days: at 90; later: at 120 (Sheep 201, adjusted weaning weights; that 100
# itself still belongs to 90 is our reading).
TARGETS = ((74, 60), (100, 90))
LATE_TARGET = 120
# Days around the target within which a straight line serves (Boggess et al. 1991, J. Anim. Sci. 69:3190); none for 120.
WINDOWS = {60: 7, 90: 28}
# Without a weaning weight the last weight between these ages is used, and said to be none (our own choice).
YOUNGEST, OLDEST = 30, 180
# What the page of workings prints of weights on one footing, and of ratios.
FOOTING_RULE = (
    f"A lamb's weight at {TARGETS[0][1]}, {TARGETS[1][1]} or {LATE_TARGET} days (weaned before {TARGETS[0][0] + 1} "
    f"days, to {TARGETS[1][0]}, later: Sheep 201) lies on the straight line from birth; it is multiplied by factors "
    "for its dam's age, its sex, and the litter born and reared (Penn State Extension). The straight line serves "
    f"within {WINDOWS[60]} days of 60 and {WINDOWS[90]} of 90 (Boggess et al. 1991); for {LATE_TARGET} no window is "
    "published. A missing birth weight is the flock's mean for sex and litter size. Without a weaning weight the last "
    f"one taken between {YOUNGEST} and {OLDEST} days stands in, and is said to (our own choice)."
)
RATIOS_RULE = (
    "Compared are lambs of one season, mob and sex, at one age for all, the one that belongs to their mean age; 100 is "
    "their mean. Once lambs of a group were weighed at weaning, only those are compared. A group of one has no ratio."
)
LITTER_DAYS = 90  # lambs on one ewe born further apart than this are of different years (our own choice)


class Class(Value):
    """The contemporary group: lambs of one season and sex that ran in one mob when they were weighed."""

    season: int
    mob: str | None
    sex: str | None


class Adjusted(Value):
    """One lamb's weight on common footing. `classes` and `factors` are of dam, sex and type, None where
    not known.

    `birth` is the birth weight used, `birth_assumed` the same where it was not its own. `in_window` is of the age
    that the weight shown was brought to, None where no window is published. `ratio` is 100 for the mean of the group,
    None alone in it: there every lamb stands with `in_group`, its adjusted weight at one age for all, the target of the
    group's mean age (`group_target`). `dam_guessed` where the year of the dam's birth is a guess.
    """

    lamb: str
    weighed: Weighed
    age: int
    target: int
    birth: float | None
    at_target: float | None
    birth_assumed: float | None
    classes: tuple[str | None, ...]
    factors: tuple[float | None, ...]
    adjusted: float | None
    group: Class
    in_window: bool | None
    at_weaning: bool
    because: tuple[Because, ...] = ()
    ratio: float | None = None
    group_size: int = 1
    group_target: int | None = None
    in_group: float | None = None
    dam_guessed: bool = False

    @property
    def shown_target(self) -> int:
        """The age that the weight shown was brought to: that of its group, else its own."""
        return self.target if self.in_group is None or self.group_target is None else self.group_target


class AdjustingSources(Value):
    """What every lamb's adjustment rests on."""

    flock: Flock
    factors: Factors
    growth: Mapping[str, Growth]
    weanings: Weanings
    seasons: SeasonDays
    pets: frozenset[str]
    births: Mapping[tuple[str | None, int], float]
    nursed: Mapping[str, tuple[Animal, ...]]


def adjusted_weights(ground: AdjustingSources) -> dict[str, Adjusted]:
    """Every lamb that was born on a known day and weighed when it could be; ratios within groups of two or more."""
    rows = [row for sheep in ground.growth if (row := adjust(ground, ground.flock.animals[sheep]))]
    groups: dict[Class, list[Adjusted]] = {}
    for row in rows:
        groups.setdefault(row.group, []).append(row)
    done = {row.lamb: row for group in groups.values() for row in ratios_in_group(group)}
    return {row.lamb: done[row.lamb] for row in rows}


class Weighings(Value):
    """What was weighed and when: how each sheep grew, the weanings, and the days of the seasons."""

    growth: Mapping[str, Growth]
    weanings: Weanings
    seasons: SeasonDays


def grounds(flock: Flock, factors: Factors, weighed: Weighings, today: Moment) -> AdjustingSources:
    """The ground from what was weighed."""
    pets = frozenset(
        sheep
        for event in flock.events
        if isinstance(event, Foster) and event.pet and happened(event, today)
        for sheep in flock.who(event)
    )
    kept = {animal.id for animal in flock.animals.values() if by_hand(animal)}
    return AdjustingSources(
        flock, factors, weighed.growth, weighed.weanings, weighed.seasons, pets | kept, mean_births(flock, today),
        nurslings(flock),
    )  # fmt: skip


def nurslings(flock: Flock) -> dict[str, tuple[Animal, ...]]:
    """The lambs that each ewe bore and kept, or took."""
    found: dict[str, list[Animal]] = {}
    for animal in flock.animals.values():
        if nurse := animal.reared_by or animal.dam:
            found.setdefault(nurse, []).append(animal)
    return {nurse: tuple(lambs) for nurse, lambs in found.items()}


def target_age(days: int) -> int:
    """The age to which the weight of a lamb weaned at so many days is brought: 60, 90 or 120 days."""
    return next((target for last, target in TARGETS if days <= last), LATE_TARGET)


def weight_at(birth: float, weight: float, age: int, target: int) -> float:
    """The weight at a target age on the straight line from birth (any unit). ValueError for an age under a day."""
    if age < 1:
        raise ValueError("a weight on the day of birth says nothing of a later one")
    return (weight - birth) / age * target + birth


def in_window(age: int, target: int) -> bool | None:
    """Whether a straight line serves between this age and the target; None where no window is published."""
    window = WINDOWS.get(target)
    return None if window is None else abs(age - target) <= window


def mean_births(flock: Flock, today: Moment) -> dict[tuple[str | None, int], float]:
    """Mean birth weight of live lambs by (sex, litter size), and by (None, litter size) of both."""
    found: dict[tuple[str | None, int], list[float]] = {}
    for animal in flock.animals.values():
        weight, size = birth_weight(animal), litter_size(flock, animal)
        if weight is not None and size and alive_by(animal, today):
            for key in {(animal.sex, size), (None, size)}:
                found.setdefault(key, []).append(weight)
    return {key: fmean(weights) for key, weights in found.items()}


def adjust(ground: AdjustingSources, animal: Animal) -> Adjusted | None:
    """One lamb's row without its ratio, or None where it was not weighed at a fit age or its birthday is not known."""
    born = animal.birthday
    chosen = weight_to_adjust(ground, animal) if born else None
    if born is None or chosen is None:
        return None
    weighed, at_weaning = chosen
    age = (weighed.date - born).days
    target = target_age(age)
    birth, assumed = birth_of(ground, animal)
    at_target = None if birth is None else weight_at(birth, weighed.kg, age, target)
    names = factor_classes(ground, animal, weighed.date)
    factors = tuple(ground.factors.of(part, name) if name else None for part, name in names)
    group = Class(ground.seasons.of(born), animal.mob_on(weighed.date), animal.sex)
    row = Adjusted(
        animal.id, weighed, age, target, birth, at_target, assumed, tuple(name for _, name in names), factors,
        weight_times(at_target, factors), group, in_window(age, target), at_weaning,
        dam_guessed=guessed(ground.flock, animal),
    )  # fmt: skip
    return replace(row, because=tuple(adjusting_steps(row, birth, names, ground.factors)))


def weight_times(weight: float | None, factors: Iterable[float | None]) -> float | None:
    """A weight times its factors, or None where any of them is not known."""
    for factor in factors:
        weight = None if weight is None or factor is None else weight * factor
    return weight


def weight_to_adjust(ground: AdjustingSources, animal: Animal) -> tuple[Weighed, bool] | None:
    """The weight to adjust, and whether it is the one at weaning; else the last that was taken at a fit age."""
    weaned, born = ground.weanings.weighed.get(animal.id), animal.birthday
    sure = [item for item in ground.growth[animal.id].weights if item.sure]
    for item in sure:
        if born and item.date == weaned and (item.date - born).days >= 1:
            return item, True
    fit = [item for item in sure if born and YOUNGEST <= (item.date - born).days <= OLDEST]
    return (fit[-1], False) if fit else None


def birth_of(ground: AdjustingSources, animal: Animal) -> tuple[float | None, float | None]:
    """Its birth weight, and the figure assumed where none was written: the flock's mean for sex and litter size."""
    own = ground.growth[animal.id].birth_kg
    if own is not None:
        return own, None
    size = litter_size(ground.flock, animal)
    assumed = ground.births.get((animal.sex, size or 0), ground.births.get((None, size or 0)))
    return assumed, assumed


def factor_classes(ground: AdjustingSources, animal: Animal, day: date) -> tuple[tuple[str, str | None], ...]:
    """The class of a lamb in each part of the table; None where it cannot be told."""
    years = dam_years(ground.flock, animal)
    dam = None if years is None else ground.factors.dam_class(max(1, years))
    size, reared = litter_size(ground.flock, animal), reared_with(ground, animal, day)
    return ("dam", dam), ("sex", animal.sex), ("type", f"{min(size, 3)}/{reared}" if size and reared else None)


def by_hand(animal: Animal) -> bool:
    """Whether its own note, or its line at birth, says that it was reared by hand."""
    noted = animal.note is not None and animal.note.reared_as == "pet"
    return noted or (animal.birth is not None and animal.birth.line.by_hand)


def reared_with(ground: AdjustingSources, animal: Animal, day: date) -> int | None:
    """How many lambs its ewe (or foster mother) still reared on a day, itself counted; None for a bottle lamb."""
    if animal.id in ground.pets:
        return None
    written = LITTER_SIZES.get(animal.note.reared_as or "") if animal.note else None
    return written or len(list(nursed_together(ground, animal, day))) or None


def nursed_together(ground: AdjustingSources, animal: Animal, day: date) -> Iterator[Animal]:
    """The lambs that sucked the same ewe and were still there on a day, or had left old enough to count as reared."""
    for other in ground.nursed.get(animal.reared_by or animal.dam or "", ()):
        near = animal.birthday and other.birthday and abs((other.birthday - animal.birthday).days) <= LITTER_DAYS
        alive = other.birth is None or other.birth.line.alive
        if near and alive and (other.present(day) or left_reared(other, day)) and other.id not in ground.pets:
            yield other


def ratios_in_group(group: Sequence[Adjusted]) -> Iterator[Adjusted]:
    """The rows of a group with their ratios to its mean, at one age for all; a group of one has none.

    Once lambs of the group were weighed at weaning, only those are compared: weights from before or long after it were
    gained on other feed.
    """
    weaned = any(row.at_weaning for row in group)
    fit = [row for row in group if row.at_weaning or not weaned]
    known = [row for row in fit if row.adjusted is not None and row.birth is not None]
    target = target_age(round(fmean(row.age for row in known))) if known else None
    weights = {row.lamb: on_footing(row, target or row.target) for row in known}
    mean = fmean(weights.values()) if len(weights) > 1 else None
    for row in group:
        mine = weights.get(row.lamb)
        window = row.in_window if mine is None or target is None else in_window(row.age, target)
        placed = replace(row, group_size=len(weights), group_target=target, in_group=mine, in_window=window)
        yield placed if mine is None or mean is None else with_ratio(placed, mine, mean)


def on_footing(row: Adjusted, target: int) -> float:
    """A row's weight at an age of choice, times its factors; for a row with a birth weight and all factors."""
    assert row.birth is not None
    weight = weight_times(weight_at(row.birth, row.weighed.kg, row.age, target), row.factors)
    assert weight is not None
    return weight


def with_ratio(row: Adjusted, mine: float, mean: float) -> Adjusted:
    """A row with its ratio, and the step to it."""
    ratio = 100 * mine / mean
    age = None if row.group_target == row.target else row.group_target
    reason = RatioInGroup(mine, age, mean, row.group_size, ratio)
    step = Because(row.weighed.note, row.weighed.line, "ratio", reason=reason)
    return replace(row, ratio=ratio, because=(*row.because, *(outside_window(row) if age else ()), step))


def outside_window(row: Adjusted) -> Iterator[Because]:
    """The step that says how far from its age a weight was taken, where that is outside the published window."""
    if row.in_window is False:
        reason = OutsideWindow(row.age, row.shown_target, WINDOWS[row.shown_target])
        yield Because(row.weighed.note, row.weighed.line, "window", reason=reason)


def adjusting_steps(
    row: Adjusted, birth: float | None, names: Iterable[tuple[str, str | None]], table: Factors
) -> Iterator[Because]:
    """The steps to an adjusted weight."""
    note, line = row.weighed.note, row.weighed.line
    if birth is None or row.at_target is None:
        yield Because(note, line, "weight", reason=NoBirthWeight())
        return
    if row.birth_assumed is not None:
        yield Because("", None, "birth weight", reason=BirthAssumed(birth))
    brought = AtTarget(row.weighed.kg, birth, row.age, row.target, row.at_target)
    yield Because(note, line, "weight", reason=brought)
    if not row.at_weaning:
        yield Because(note, line, "weight", reason=NotAtWeaning())
    yield from outside_window(row)
    for (part, name), factor in zip(names, row.factors, strict=True):
        unsure, guess = (part, name or "") in table.unsure, part == "dam" and row.dam_guessed
        reason = FactorOf(part, name, factor, unsure, guess)
        yield Because("", None, "factor", reason=reason)
    if row.adjusted is not None:
        factors = tuple(factor for factor in row.factors if factor)
        yield Because("", None, "adjusted", reason=AdjustedBy(row.at_target, factors, row.adjusted, table.source))
