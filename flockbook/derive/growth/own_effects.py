"""What age of dam, sex and rearing are worth in this flock, in kg: least squares over its own lambs, within groups.

Additive, so it does not change with the flock's level of weight, as factors do (Notter et al. 2015, Genet. Sel. Evol.
47:57). A small flock can say little of its own: every figure stands with its number of lambs and its range.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from enum import Enum, auto
from statistics import fmean
from typing import Any

from compiler.shape import Value, field
from flockbook.derive.growth.adjusted_weights import Adjusted, Class, weight_at
from flockbook.factors import PARTS

LEAST_OF_CLASS = 5  # lambs of a class, below which nothing is said of it (our own choice)
LEAST_FREE = 20  # lambs beyond the figures that are estimated (our own choice)


class NoOwnEffects(Enum):
    """Why the flock has no differences of its own."""

    WITHOUT_NUMPY = auto()
    TOO_FEW_LAMBS = auto()
    ENTANGLED = auto()


class OwnEffect(Value):
    """One class against the commonest one of its part, in kg; `low` to `high` is the 95 % interval, None without
    scipy. `count` lambs are of this class.
    """

    part: str
    name: str
    kg: float
    se: float
    low: float | None
    high: float | None
    count: int


class OwnEffects(Value):
    """All effects. `base` is the commonest class of each part, `weights` are lambs' weights brought to it, in kg at
    their groups' age, `ratios` the same with the mean of the group at 100 (groups of two or more).
    `why` there is none, None where there are some.
    """

    base: Mapping[str, str] = field(default_factory=dict)
    rows: tuple[OwnEffect, ...] = ()
    weights: Mapping[str, float] = field(default_factory=dict)
    ratios: Mapping[str, float] = field(default_factory=dict)
    lambs: int = 0
    spread: float | None = None
    why: NoOwnEffects | None = None


class EffectRecord(Value):
    """One lamb in the sum: its weight at its group's age, unadjusted, its herd fellows and its classes."""

    lamb: str
    kg: float
    fellows: tuple[Any, ...]
    classes: tuple[str, ...]


def own_effects(adjusted: Mapping[str, Adjusted]) -> OwnEffects:
    """The flock's own effects over all lambs with a birth weight, a group and all three classes.

    Fellows are lambs of one season and mob; sex is one of the effects.
    """
    records, common = fit(adjusted)
    base = {part: common[place][0] for place, part in enumerate(PARTS) if common[place]}
    columns = [(part, name) for part, place in zip(PARTS, common, strict=True) for name in place[1:]]
    if not columns or len(records) - len({item.fellows for item in records}) - len(columns) < LEAST_FREE:
        return OwnEffects(base, why=NoOwnEffects.TOO_FEW_LAMBS)
    solved = solve_effects(records, columns)
    if isinstance(solved, NoOwnEffects):
        return OwnEffects(base, why=solved)
    rows, spread = solved
    worth = {(item.part, item.name): item.kg for item in rows}
    weights = {item.lamb: item.kg - sum(worth.get(cell, 0.0) for cell in class_parts(item)) for item in records}
    return OwnEffects(base, rows, weights, ratios_of(adjusted, weights), len(records), spread)


def ratios_of(adjusted: Mapping[str, Adjusted], weights: Mapping[str, float]) -> dict[str, float]:
    """Each weight against the mean of its contemporary group, 100 for the mean; none for a group of one."""
    groups: dict[Class, list[float]] = {}
    for lamb, kg in weights.items():
        groups.setdefault(adjusted[lamb].group, []).append(kg)
    found = {lamb: (kg, groups[adjusted[lamb].group]) for lamb, kg in weights.items()}
    return {lamb: 100 * kg / fmean(group) for lamb, (kg, group) in found.items() if len(group) > 1}


def fit(adjusted: Mapping[str, Adjusted]) -> tuple[list[EffectRecord], list[list[str]]]:
    """The records of classes with enough lambs, and the classes of each part, commonest first."""
    records = [item for row in adjusted.values() if (item := record(row))]
    while True:
        tallies = [Counter(item.classes[place] for item in records) for place in range(len(PARTS))]
        kept = [item for item in records if all(tallies[p][item.classes[p]] >= LEAST_OF_CLASS for p in range(3))]
        if len(kept) == len(records):
            return records, [commonest(tally) for tally in tallies]
        records = kept


def commonest(tally: Counter[str]) -> list[str]:
    """The classes of a part, those with the most lambs first, then by name."""
    return sorted(tally, key=lambda name: (-tally[name], name))


def record(row: Adjusted) -> EffectRecord | None:
    """One lamb's record, None where it is not compared within its group."""
    if row.birth is None or row.group_target is None or row.in_group is None:
        return None
    kg = weight_at(row.birth, row.weighed.kg, row.age, row.group_target)
    fellows = (row.group.season, row.group.mob, row.group_target)
    return EffectRecord(row.lamb, kg, fellows, tuple(name or "" for name in row.classes))


def class_parts(item: EffectRecord) -> list[tuple[str, str]]:
    """A record's classes with their parts."""
    return list(zip(PARTS, item.classes, strict=True))


def solve_effects(
    records: Sequence[EffectRecord], columns: Sequence[tuple[str, str]]
) -> tuple[tuple[OwnEffect, ...], float] | NoOwnEffects:
    """Effects and the spread left over (kg), or why there are none."""
    try:
        import numpy as np
    except ImportError:
        return NoOwnEffects.WITHOUT_NUMPY
    groups = list(dict.fromkeys(item.fellows for item in records))
    places = {item: place for place, item in enumerate([*groups, *columns])}
    design = np.zeros((len(records), len(places)))
    for number, item in enumerate(records):
        design[number, [places[one] for one in (item.fellows, *class_parts(item)) if one in places]] = 1.0
    crossed = design.T @ design  # counts of lambs: whole numbers, so nothing is lost by the normal equations
    if np.linalg.matrix_rank(crossed) < len(places):
        return NoOwnEffects.ENTANGLED
    weights = np.array([item.kg for item in records])
    inverse = np.linalg.inv(crossed)
    found = inverse @ (design.T @ weights)
    free = len(records) - len(places)
    spread = float(np.sqrt(((weights - design @ found) ** 2).sum() / free))
    errors = spread * np.sqrt(np.diag(inverse))
    tally = Counter(cell for item in records for cell in class_parts(item))
    reach = student(free)
    rows = []
    for place, (part, name) in enumerate(columns, len(groups)):
        kg, se = float(found[place]), float(errors[place])
        low, high = (None, None) if reach is None else (kg - reach * se, kg + reach * se)
        rows.append(OwnEffect(part, name, kg, se, low, high, tally[part, name]))
    return tuple(rows), spread


def student(free: int) -> float | None:
    """The 97.5 % point of Student's t, None without scipy."""
    try:
        from scipy import special
    except ImportError:
        return None
    return float(special.stdtrit(free, 0.975))
