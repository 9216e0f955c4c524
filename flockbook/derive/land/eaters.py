"""Who eats from the barn: every sheep here that no longer lives on milk, its class, and what it weighs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from statistics import fmean

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.land.forage import DRY_EWE, EWE_IN_LAMB, EWE_IN_MILK, WEANED_LAMB
from flockbook.derive.plain.ages import may_be_lamb
from flockbook.derive.plain.days import YEAR
from flockbook.derive.weights.gains import Growth
from flockbook.derive.weights.weaning import WEANED_DAYS, Weanings
from flockbook.flock import Animal, Flock, nurse_of, there
from flockbook.records.sheep import EWE


class Eater(Value):
    """One sheep that eats. `kg` is None where nothing says what it or any sheep of its age weighs; `weighed` says that
    the weight is its own, `by_others` that it is the mean of another sex, as none of its own has one.
    """

    sheep: str
    sort: str
    mob: str
    kg: float | None
    weighed: bool
    sex: str = ""
    lamb: bool = False
    by_others: bool = False


class Bodies(Value):
    """What tells classes and weights apart: weighings, weanings, and the ewes that are due."""

    gains: Mapping[str, Growth]
    weanings: Weanings
    due: frozenset[str]


def eaters(flock: Flock, bodies: Bodies, today: Moment) -> tuple[Eater, ...]:
    """Every sheep that eats, sucking lambs left out; one that was never weighed weighs what its like do."""
    here = [animal for animal in flock.animals.values() if there(animal, today)]
    sucking = [animal for animal in here if is_sucking(animal, bodies.weanings, today.day)]
    milked = {nurse_of(lamb, today) or lamb.dam for lamb in sucking}
    young = {lamb.id for lamb in sucking}
    found = [eater(animal, bodies, milked, today.day) for animal in here if animal.id not in young]
    return tuple(weighed_like(found))


def is_sucking(animal: Animal, weanings: Weanings, day: date) -> bool:
    """Whether a lamb still lives on milk: not weaned by a note, and younger than lambs are when they are weaned."""
    weaned = weanings.days.get(animal.id)
    young = animal.born is not None and (day - animal.born.latest).days < WEANED_DAYS
    return young and (weaned is None or weaned > day)


def eater(animal: Animal, bodies: Bodies, milked: set[str | None], day: date) -> Eater:
    """One sheep, with its own weight where that is known."""
    lamb = may_be_lamb(animal, day)
    kg = own_weight(animal, bodies.gains.get(animal.id), day, lamb)
    sort, mob = intake_class(animal, bodies, milked, lamb), animal.mob_on(day) or ""
    return Eater(animal.id, sort, mob, kg, kg is not None, animal.sex or "", lamb)


def intake_class(animal: Animal, bodies: Bodies, milked: set[str | None], lamb: bool) -> str:
    """The class that sources print an intake for; rams and wethers stand with dry ewes, as none has a figure."""
    if animal.sex == EWE and animal.id in milked:
        return EWE_IN_MILK
    if animal.id in bodies.due:
        return EWE_IN_LAMB
    return WEANED_LAMB if lamb else DRY_EWE


def own_weight(animal: Animal, grown: Growth | None, day: date, lamb: bool) -> float | None:
    """A lamb's last weight; of a grown sheep the last of this year taken when it was grown, else its mature weight."""
    for item in reversed(grown.weights if grown else ()):
        # a grown sheep's weight counts for a year (our own choice)
        fits = lamb or (day - item.date <= YEAR and not may_be_lamb(animal, item.date))
        if item.sure and item.date <= day and fits:
            return item.kg
    mature = animal.note.mature_weight if animal.note and not lamb else None
    return mature.kg if mature else None


def weighed_like(found: Iterable[Eater]) -> Iterator[Eater]:
    """Those without a weight take the mean of their sex and age, lambs or grown; failing that the mean of their age."""
    rows = list(found)
    like = {key: mean_or_none(one for one in rows if (one.sex, one.lamb) == key) for key in kinds_of(rows)}
    ages = {lamb: mean_or_none(one for one in rows if one.lamb == lamb) for lamb in (True, False)}
    for one in rows:
        own = like[one.sex, one.lamb]
        kg = own if own is not None else ages[one.lamb]
        yield one if one.kg is not None else replace(one, kg=kg, by_others=own is None and kg is not None)


def kinds_of(rows: Iterable[Eater]) -> set[tuple[str, bool]]:
    """The sexes and ages that are here."""
    return {(one.sex, one.lamb) for one in rows}


def mean_or_none(rows: Iterable[Eater]) -> float | None:
    """The mean weight, or None of nobody."""
    weights = [one.kg for one in rows if one.kg is not None]
    return fmean(weights) if weights else None
