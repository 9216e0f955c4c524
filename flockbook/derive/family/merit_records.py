"""The records that breeding values rest on, taken from the notes: weights of lambs, litters of ewes.

Each comes with the effects that it is corrected for: season (for weaning weights season, mob and age, the group that
was kept alike), sex, age of the dam or ewe, litter born and reared.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from enum import Enum, auto

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.family.merit import MeritRecord, Trial
from flockbook.derive.growth.adjusted_weights import (
    LITTER_DAYS,
    Adjusted,
    AdjustingSources,
    reared_with,
)
from flockbook.derive.growth.own_litter import dam_years, litter_size, years_old
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.season.seasons import Season
from flockbook.derive.weights.gains import birth_weight
from flockbook.derive.weights.weaning import Cohort, alive_by, weaned
from flockbook.flock import Animal

AGE_NOT_KNOWN = "not known"
LITTER_CLASSES = ("", "single", "twin", "triplet or more")
# Classes of a ewe's age at lambing, in whole years: those of the factor tables (Sheep 201, adjusted weaning weights).
AGES = ((1, "1 year"), (2, "2 years"), (6, "3 to 6 years"))
OLD = "over 6 years"


class NoAge(Enum):
    """Why a weight cannot be brought to one age."""

    NO_BIRTHDAY = auto()
    NO_BIRTH_WEIGHT = auto()


class MeritSources(Value):
    """What the records are taken from."""

    ground: AdjustingSources
    adjusted: Mapping[str, Adjusted]
    seasons: tuple[Season, ...]
    today: Moment


def trials(known: MeritSources) -> dict[str, Trial]:
    """The records of every trait, by its name in the facts file."""
    return {
        "birth_weight": Trial(("season", "sex", "dam's age", "born as"), tuple(birth_weights(known))),
        "weaning_weight": Trial(
            ("season, mob and age", "sex", "dam's age", "born and reared as"), tuple(weaning_weights(known))
        ),
        "lambs_born": Trial(("season", "age"), tuple(lambs_born(known))),
        "lambs_weaned": Trial(("season", "age"), tuple(lambs_weaned(known))),
    }


def birth_weights(known: MeritSources) -> Iterator[MeritRecord]:
    """Lambs born alive and weighed, in kg; weights still to confirm are left out."""
    flock, seasons = known.ground.flock, known.ground.seasons
    for lamb in flock.animals.values():
        weight = birth_weight(lamb)
        if weight is None or lamb.birthday is None or not alive_by(lamb, known.today):
            continue
        levels = (
            str(seasons.of(lamb.birthday)),
            sex(lamb, ("ram", "wether")),
            dam_age(known, lamb),
            born_as(known, lamb),
        )
        yield MeritRecord(lamb.id, weight, levels)


def weaning_weights(known: MeritSources) -> Iterator[MeritRecord]:
    """Weights at weaning brought to the target age of their group, in kg; no other factor is put on them."""
    for row in known.adjusted.values():
        lamb = known.ground.flock.animals[row.lamb]
        if row.at_target is None or not row.at_weaning:
            continue
        group = f"{row.group.season}, {row.group.mob or 'no mob'}, at {row.target} days"
        reared = reared_with(known.ground, lamb, row.weighed.date)
        litter = f"{born_as(known, lamb)}, {LITTER_CLASSES[min(reared, 3)] if reared else 'by hand'}"
        yield MeritRecord(row.lamb, row.at_target, (group, sex(lamb), dam_age(known, lamb), litter))


def without_age(known: MeritSources) -> Iterator[tuple[str, float, NoAge]]:
    """Lambs weighed at weaning whose weight cannot be brought to an age: the lamb, its weight in kg, and why."""
    for lamb, weight in known.ground.weanings.weights.items():
        row = known.adjusted.get(lamb)
        if row is not None and row.at_weaning and row.at_target is not None:
            continue
        if known.ground.flock.animals[lamb].birthday is None:
            yield lamb, weight, NoAge.NO_BIRTHDAY
        else:
            yield lamb, weight, NoAge.NO_BIRTH_WEIGHT


def lambs_born(known: MeritSources) -> Iterator[MeritRecord]:
    """Every litter of a known ewe whose lambs are written, those born dead too."""
    for season in known.seasons:
        for birth in countable_litters(season):
            yield MeritRecord(birth.ewe or "", float(birth.born), (season.part, ewe_age(known, birth)))


def lambs_weaned(known: MeritSources) -> Iterator[MeritRecord]:
    """Lambs that a ewe reared to weaning from each lambing, fostered ones too, once the fate of all is known."""
    for season in known.seasons:
        cohort = Cohort(known.ground.flock, known.ground.weanings, season.weaned_on, known.today)
        for birth in countable_litters(season):
            fates = [weaned(lamb, cohort) for lamb in lambs_kept(known, birth)]
            if None not in fates:
                yield MeritRecord(birth.ewe or "", float(sum(map(bool, fates))), (season.part, ewe_age(known, birth)))


def countable_litters(season: Season) -> Iterator[LambingFact]:
    """The litters of a season that can be counted: of a known ewe, and their lambs are written."""
    return (birth for birth in season.births if birth.ewe and birth.detailed)


def lambs_kept(known: MeritSources, birth: LambingFact) -> Iterator[Animal]:
    """The live lambs that a ewe kept or took at one lambing."""
    born = birth.event.date
    for lamb in known.ground.nursed.get(birth.ewe or "", ()):
        near = born and lamb.birthday and abs(lamb.birthday - born) <= timedelta(days=LITTER_DAYS)
        if near and alive_by(lamb, known.today) and lamb.id not in known.ground.pets:
            yield lamb


def ewe_age(known: MeritSources, birth: LambingFact) -> str:
    """The class of a ewe's age at a birth."""
    ewe, day = known.ground.flock.animals[birth.ewe or ""], birth.event.date
    return years_class(years_old(ewe, day) if day else None)


def years_class(years: int | None) -> str:
    """The class of an age in whole years."""
    if years is None:
        return AGE_NOT_KNOWN
    return next((name for last, name in AGES if years <= last), OLD)


def dam_age(known: MeritSources, lamb: Animal) -> str:
    """The class of the dam's age at the birth."""
    return years_class(dam_years(known.ground.flock, lamb))


def born_as(known: MeritSources, lamb: Animal) -> str:
    """single, twin, triplet or more."""
    size = litter_size(known.ground.flock, lamb)
    return LITTER_CLASSES[min(size, 3)] if size else AGE_NOT_KNOWN


def sex(lamb: Animal, males: tuple[str, ...] = ()) -> str:
    """The lamb's sex; `males` are taken together: a wether was a ram when he was born."""
    return "ram" if lamb.sex in males else lamb.sex or AGE_NOT_KNOWN
