"""What a sheep is likely to pass on, worked out within the flock from its own and its relatives' records.

An animal model: record = fixed effects + breeding value (+ what is lasting but not inherited) + the rest, with the
breeding values related as the pedigree says, inbreeding included (Henderson's mixed model equations; Mrode, Linear
Models for the Prediction of Animal Breeding Values, ch. 3 and 4). Values compare with the flock's oldest animals, in
the unit of the trait. Mothering is not a separate term: weights carry some of the dam's milk in them.

Nothing here is worth showing without its reliability. In a small flock most values are too little to say anything.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from enum import Enum, auto
from math import asin, isfinite, pi, sqrt

from compiler.shape import Value
from flockbook.derive.family.kinship import Pedigree
from flockbook.derive.family.mixedmodel import (
    Matrix,
    Observations,
    Solution,
    Variances,
    dependent_columns,
    indicators,
    installed,
    quantile,
    solve,
)
from flockbook.heritabilities import Heritability

# Below this reliability a value is "too little to say" (our own choice): it is what a lamb's one own weight tells where
# a fifth of the differences is inherited. The better of two unrelated sheep is then named rightly 65 times in a hundred
# (`chance_right`); below that the pages would mostly rank chance.
LEAST_RELIABILITY = 0.2
# The range shown holds the true value 80 times in a hundred (our own choice): a tenth lies beyond each end.
BELOW_UPPER_END = 0.9
# What the page of workings prints of breeding values.
MERIT_RULE = (
    "An animal model within the flock: record = season, sex, age of dam and litter (of a weaning weight, season with "
    "the age to which it is brought) + what the sheep is worth as a parent + the rest (Henderson's equations with "
    "inbreeding; Mrode, Linear Models for the Prediction of Animal Breeding Values). Reliability is 1 - PEV / "
    "((1 + F) additive variance), worked out exactly. The additive variance follows from the scatter of the records, "
    "the share inherited being given; the range holds the true value "
    f"{(2 * BELOW_UPPER_END - 1) * 100:.0f} times in a hundred, wider the fewer the records (Student's t)."
)


class MeritRecord(Value):
    """One measurement of one animal, and its level of every effect, in the order of `Trial.effects`."""

    animal: str
    value: float
    levels: tuple[str, ...] = ()


class Trial(Value):
    """Records of one trait, with the names of the effects they are corrected for, the most important first.

    An unknown level is a level of its own ("not known"). Raises ValueError where a record has not one level per effect,
    or two effects have one name.
    """

    effects: tuple[str, ...]
    records: tuple[MeritRecord, ...]

    def __post_init__(self) -> None:
        if len(set(self.effects)) < len(self.effects):
            raise ValueError(f"two effects have one name: {self.effects}")
        for record in self.records:
            if len(record.levels) != len(self.effects):
                raise ValueError(f"a record of {record.animal} has {len(record.levels)} levels for {self.effects}")


class Level(Value):
    """One level of one effect: ("sex", "ram lamb")."""

    effect: str
    name: str


class Estimate(Value):
    """What a level adds to the mean; 0 for the reference level of each effect (the one with the most records)."""

    level: Level
    value: float
    records: int


class Dropped(Value):
    """A level these records cannot estimate: all have it, or there are levels it cannot be told apart from."""

    level: Level
    beside: tuple[Level, ...] = ()


class LeftOut(Enum):
    """Why a record was left out."""

    NO_NUMBER = auto()
    NOT_IN_PEDIGREE = auto()
    SEVERAL = auto()


class Unused(Value):
    """A record that was left out, and why."""

    record: MeritRecord
    why: LeftOut


class Merit(Value):
    """The breeding value of one animal in the unit of the trait, its reliability (0–1) and its own records used.

    `error` is its standard error in that unit, None where there are too few records to tell how widely they scatter.
    """

    animal: str
    value: float
    reliability: float
    records: int
    error: float | None = None


class Evaluation(Value):
    """One trait worked out for every animal of the pedigree, in its order, with all that was assumed or left out.

    `mean` is the expected record of an unrelated animal at the reference levels, None without any usable record.
    `records` is the number used. `reach` is how many standard errors on each side of a value hold the true one 80 times
    in a hundred, wider the fewer the records (Student's t); None where nothing can be told of the scatter.
    """

    heritability: Heritability
    merits: tuple[Merit, ...]
    mean: float | None
    records: int
    estimates: tuple[Estimate, ...]
    dropped: tuple[Dropped, ...]
    unused: tuple[Unused, ...]
    reach: float | None = None


class Missing(Value):
    """That the numerical libraries have to be installed before this can be worked out."""


def evaluate(
    pedigree: Pedigree, inbred: Mapping[str, float], trial: Trial, heritability: Heritability
) -> Evaluation | Missing:
    """Best linear unbiased prediction of every animal's breeding value; `inbred` is F by id, see `inbreeding`.

    Reliability is 1 − PEV / ((1 + F) σ²a), exact. Without a repeatability an animal may have one record; several make
    all of that animal's records unused. Returns `Missing` where numpy or scipy are not installed.
    """
    if not installed():
        return Missing()
    used, unused = _usable(pedigree, trial.records, heritability)
    if not used:
        nothing = tuple(Merit(animal, 0.0, 0.0, 0) for animal in pedigree.ids)
        return Evaluation(heritability, nothing, None, 0, (), (), unused)
    design = _designed(trial.effects, used)
    observed = Observations(design.matrix, [pedigree.find(r.animal) for r in used], [r.value for r in used])
    solution = solve(pedigree, inbred, observed, Variances(heritability.ratio, heritability.lasting))
    return Evaluation(
        heritability,
        tuple(_merits(pedigree, inbred, solution, Counter(record.animal for record in used))),
        solution.fixed[0],
        len(used),
        tuple(_estimates(design, solution)),
        design.dropped,
        unused,
        None if solution.additive is None else quantile(solution.freedom, BELOW_UPPER_END),
    )


def too_little(reliability: float, threshold: float = LEAST_RELIABILITY) -> bool:
    """Whether a value of this reliability says too little to be acted on."""
    return reliability < threshold


def chance_right(reliability: float) -> float:
    """The chance (0.5–1) that of two unrelated sheep, both this reliable, the one with the higher value is the better.

    1/2 + arcsin(√reliability)/π, the quadrant probability of a bivariate normal (Sheppard 1899; from memory).
    """
    return 0.5 + asin(sqrt(reliability)) / pi


class _Design(Value):
    """The levels that have a column of their own (after the first, the mean), the matrix, and the rest of the levels.

    `counts` holds every level with its records, in order: by effect, most records first, then by name.
    """

    columns: tuple[Level, ...]
    matrix: Matrix
    counts: Mapping[Level, int]
    dropped: tuple[Dropped, ...]


def _usable(
    pedigree: Pedigree, records: Sequence[MeritRecord], heritability: Heritability
) -> tuple[list[MeritRecord], tuple[Unused, ...]]:
    """Records in an order of their own, so that results do not depend on the order they came in, and those left out."""
    once = heritability.repeatability is None
    times = Counter(record.animal for record in records if isfinite(record.value))
    judged = [(record, _objection(pedigree, record, times[record.animal] if once else 1)) for record in records]
    used = [record for record, why in judged if not why]
    used.sort(key=lambda record: (pedigree.find(record.animal), record.levels, record.value))
    return used, tuple(Unused(record, why) for record, why in judged if why)


def _objection(pedigree: Pedigree, record: MeritRecord, times: int) -> LeftOut | None:
    if not isfinite(record.value):
        return LeftOut.NO_NUMBER
    if record.animal not in pedigree.position:
        return LeftOut.NOT_IN_PEDIGREE
    return LeftOut.SEVERAL if times > 1 else None


def _designed(effects: tuple[str, ...], used: Sequence[MeritRecord]) -> _Design:
    """A column for the mean and for every level but the first of its effect; columns that add nothing are dropped."""
    counts = _counted(effects, used)
    first = {level.effect: level for level in reversed(counts)}
    columns = [level for level in counts if level != first[level.effect]]
    place = {level: k for k, level in enumerate(columns, start=1)}
    cells = [[0, *(place[level] for level in _levels(effects, record) if level in place)] for record in used]
    matrix = indicators(cells, 1 + len(columns))
    ties = dependent_columns(matrix)
    same = [Dropped(level) for level in first.values() if counts[level] == len(used)]
    tied = [Dropped(columns[j - 1], tuple(columns[k - 1] for k in parts if k)) for j, parts in ties.items()]
    free = [j for j in range(1 + len(columns)) if j not in ties]
    return _Design(tuple(columns[j - 1] for j in free[1:]), matrix[:, free], counts, (*same[::-1], *tied))


def _counted(effects: tuple[str, ...], used: Sequence[MeritRecord]) -> dict[Level, int]:
    counts = Counter(level for record in used for level in _levels(effects, record))
    order = sorted(counts, key=lambda level: (effects.index(level.effect), -counts[level], level.name))
    return {level: counts[level] for level in order}


def _levels(effects: tuple[str, ...], record: MeritRecord) -> list[Level]:
    return [Level(effect, name) for effect, name in zip(effects, record.levels, strict=True)]


def _estimates(design: _Design, solution: Solution) -> Iterable[Estimate]:
    """Reference levels with 0, the others with what they add to the mean; dropped levels have no estimate."""
    added = dict(zip(design.columns, solution.fixed[1:], strict=True))
    dropped = {drop.level for drop in design.dropped}
    return (Estimate(level, added.get(level, 0.0), n) for level, n in design.counts.items() if level not in dropped)


def _merits(
    pedigree: Pedigree, inbred: Mapping[str, float], solution: Solution, records: Mapping[str, int]
) -> Iterable[Merit]:
    for animal, value, error in zip(pedigree.ids, solution.values, solution.errors, strict=True):
        reliability = max(0.0, 1 - error / (1 + inbred[animal]))  # rounding alone can take it below 0
        spread = None if solution.additive is None else sqrt(max(0.0, error) * solution.additive)
        yield Merit(animal, value, reliability, records.get(animal, 0), spread)
