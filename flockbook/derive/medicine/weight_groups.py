"""Mobs split by weight for dosing, what each part gets of each product in the cupboard, and how many a pack treats.

Every figure is the rate as typed from the label; what was not typed is not made up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.medicine.cupboard import Stocked
from flockbook.derive.medicine.dose_arithmetic import (
    Concern,
    DoseGroup,
    RatePerKg,
    check_dose,
    dose_ml,
    doses_in_pack,
    group_parts,
    total_ml,
)
from flockbook.derive.medicine.doses import FRESH_DAYS, age_on, label_of, weights_by_animal
from flockbook.flock import Flock, there

Weights = Mapping[str, tuple[date, float]]
BY_KG = RatePerKg(1, 1)  # how a mob is split hangs on its weights alone


class WeightGroup(Value):
    """Sheep of one mob that are dosed alike, the lightest first; `kg` is what the heaviest weighs."""

    mob: str
    sheep: tuple[str, ...]
    lightest_kg: float
    kg: float


class GroupDose(Value):
    """What one product comes to for one group: each sheep's dose, how many places for it, all of them together."""

    group: WeightGroup
    shelf: Stocked
    each_ml: float
    sites: int | None
    total_ml: float
    concerns: tuple[Concern, ...]


class PackDoses(Value):
    """How many sheep what is left of a product treats (`whole`: a full pack, where nobody knows what is left).

    `kg` is the weight of the heaviest sheep on the scale and `weighed` its day; None for a dose that is one for all.
    """

    head: int
    each_ml: float
    whole: bool
    kg: float | None = None
    weighed: date | None = None


class Dosing(Value):
    """The groups by mob, each product's doses for them, how many were not weighed by mob, and the packs by product."""

    groups: tuple[WeightGroup, ...] = ()
    doses: tuple[GroupDose, ...] = ()
    unweighed: Mapping[str, int] = field(default_factory=dict)
    packs: Mapping[str, PackDoses] = field(default_factory=dict)


def dosing(flock: Flock, shelves: tuple[Stocked, ...], today: Moment) -> Dosing:
    """Everything of today, from the last weighing of each sheep that is here."""
    latest = latest_weights(flock, today)
    fresh = {sheep: kg for sheep, (day, kg) in latest.items() if (today.day - day).days <= FRESH_DAYS}
    mobs = mobs_of(flock, today)
    groups = tuple(group for mob, sheep in mobs.items() for group in split(mob, sheep, fresh))
    split_mobs = {group.mob for group in groups}
    missing = {mob: sum(one not in fresh for one in sheep) for mob, sheep in mobs.items() if mob in split_mobs}
    doses = tuple(dose for item in shelves if usable(item, today) for dose in doses_of(flock, item, groups, today))
    packs = {item.name: found for item in shelves if (found := pack_doses(item, latest))}
    return Dosing(groups, doses, {mob: head for mob, head in missing.items() if head}, packs)


def latest_weights(flock: Flock, today: Moment) -> Weights:
    """The last weight of each sheep that is here, and its day."""
    found = {}
    for sheep, weights in weights_by_animal(flock).items():
        past = [item for item in weights if item[0] <= today.day]
        if past and there(flock.animals[sheep], today):
            found[sheep] = past[-1]
    return found


def mobs_of(flock: Flock, today: Moment) -> dict[str, list[str]]:
    """Who is in which mob today; those in none stand together."""
    found: dict[str, list[str]] = {}
    for animal in flock.animals.values():
        if there(animal, today):
            found.setdefault(animal.mob_on(today.day) or "", []).append(animal.id)
    return dict(sorted(found.items()))


def split(mob: str, sheep: list[str], fresh: Mapping[str, float]) -> Iterator[WeightGroup]:
    """One mob by weight: a part goes to its own heaviest, and nobody in it gets more than a double dose."""
    weights = {one: fresh[one] for one in sheep if fresh.get(one, 0) > 0}
    for part in group_parts(BY_KG, tuple(weights.values())):
        inside = sorted((kg, one) for one, kg in weights.items() if part.lightest_kg <= kg <= part.heaviest_kg)
        yield WeightGroup(mob, tuple(one for _, one in inside), part.lightest_kg, part.heaviest_kg)


def usable(item: Stocked, today: Moment) -> bool:
    """Whether a product may still be given: neither expired nor open for too long."""
    return not item.expired(today.day) and not item.opened_too_long(today.at)


def doses_of(flock: Flock, item: Stocked, groups: tuple[WeightGroup, ...], today: Moment) -> Iterator[GroupDose]:
    """One product's dose for each group, to the group's heaviest; only for a rate by weight."""
    label = label_of(item.medicine, item.medicine.label_rate)
    for group in groups if label.rate else ():
        ages = [age for one in group.sheep if (age := age_on(flock.animals[one], today.day)) is not None]
        dose = check_dose(label, group.kg, age_days=min(ages, default=None))
        each = dose.expected_ml or 0.0
        total = total_ml([DoseGroup(len(group.sheep), group.lightest_kg, group.kg, each)])
        yield GroupDose(group, item, each, dose.sites, total, dose.concerns)


def pack_doses(item: Stocked, latest: Weights) -> PackDoses | None:
    """How many sheep a product still treats; None where no rate, no amount or no weight is written."""
    pack = item.medicine.pack
    ml = item.left_ml if item.left_ml is not None else pack.ml if pack else None
    rate = item.medicine.label_rate
    if ml is None or rate is None:
        return None
    whole = item.left_ml is None
    if rate.per_kg is None:
        return PackDoses(whole_doses(ml, rate.ml), rate.ml, whole)
    day, kg = max(latest.values(), key=lambda found: found[1], default=(None, 0.0))
    if day is None or kg <= 0:
        return None
    least = item.medicine.label_minimum
    each = max(dose_ml(RatePerKg(rate.ml, rate.per_kg), kg), least.ml if least else 0.0)
    return PackDoses(whole_doses(ml, each), each, whole, kg, day)


def whole_doses(ml: float, each: float) -> int:
    """Whole doses in an amount; an empty or overdrawn shelf has none."""
    return doses_in_pack(ml, each) if ml > 0 and each > 0 else 0
