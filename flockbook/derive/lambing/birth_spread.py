"""How birth weights lie in one season, litter size by litter size, and how many pass the lines in force."""

from __future__ import annotations

from collections.abc import Iterable
from statistics import median, quantiles

from compiler.shape import Value
from flockbook.derive.lambing.birth_lines import PUBLISHED_LINES, BirthLines
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.newborn import BirthWeight
from flockbook.derive.lambing.newborns import weights_by_litter

ENOUGH_BIRTHS = 10  # fewer weights than this are told as lowest and highest only (our own choice, as for bare shares)


class LitterWeights(Value):
    """The birth weights, in kg, of the lambs born in litters of one size, born dead or alive.

    `low` and `high` hold the middle eight in ten, by straight lines between the weights; where there are fewer than ten
    they are the lightest and the heaviest, and `few` says so. `light` and `heavy` count those past the lines in force.
    """

    size: int
    weighed: int
    low: float
    middle: float
    high: float
    light: int
    heavy: int

    @property
    def few(self) -> bool:
        """Whether there are too few for a range."""
        return self.weighed < ENOUGH_BIRTHS


def birth_spread(births: Iterable[LambingFact], lines: BirthLines = PUBLISHED_LINES) -> tuple[LitterWeights, ...]:
    """One row for each litter size that has a weight; weights that were asked about are left out."""
    found = weights_by_litter(births)
    return tuple(of_litter(size, found[size], lines) for size in sorted(found) if found[size])


def of_litter(size: int, weights: list[float], lines: BirthLines) -> LitterWeights:
    """The spread of some weights, lightest first."""
    tenths = (
        quantiles(weights, n=10, method="inclusive") if len(weights) >= ENOUGH_BIRTHS else [weights[0], weights[-1]]
    )
    flags = [lines.of(kg) for kg in weights]
    return LitterWeights(
        size, len(weights), tenths[0], median(weights), tenths[-1],
        flags.count(BirthWeight.LIGHT), flags.count(BirthWeight.HEAVY),
    )  # fmt: skip
