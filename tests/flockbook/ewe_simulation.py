"""An independent check on the conception model: many ewes, lived through day by day with random numbers.

It shares no code with `flockbook.derive`: where that carries weights forward, this lets each ewe come in heat, hold,
be marked and lamb, and keeps those whose marks are the ones the shepherd saw.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.stats import chi2

from compiler.shape import Value

EWES = 1_500_000
BARREN = -1
FEWEST = 10  # a cell of the chi-square test holds at least so many expected ewes: common practice says 5


class Lives(Value):
    """Day each ewe conceived (-1: never) and the days she was marked, as bits of a whole number."""

    conceived: NDArray[np.int64]
    marks: NDArray[np.int64]

    def seen(self, *choices: Sequence[int], before: int | None = None) -> NDArray[np.int64]:
        """Conception days of the ewes whose marks are exactly one of the choices, counting marks up to a day only."""
        marks = self.marks if before is None else self.marks & ((1 << before) - 1)
        wanted = [sum(1 << day for day in choice) for choice in choices]
        return self.conceived[np.isin(marks, wanted)]


def live(ram_days: Sequence[bool], seed: int) -> Lives:
    """Let ewes live through a joining of at most 60 days with the default constants of the model."""
    rng = np.random.default_rng(seed)
    heat = rng.integers(0, 17, EWES)
    heat[rng.random(EWES) < 0.04] = 10_000
    conceived, marks = np.full(EWES, BARREN), np.zeros(EWES, dtype=np.int64)
    for day, ram in enumerate(ram_days):
        today = np.flatnonzero((heat == day) & (conceived == BARREN))
        if ram:
            marks[today[rng.random(today.size) < 0.9]] |= 1 << day
            conceived[today[rng.random(today.size) < 0.75]] = day
        heat[today] += 14 + rng.binomial(5, 0.6, today.size)
    return Lives(conceived, marks)


def lamb(conceived: NDArray[np.int64], seed: int) -> NDArray[np.int64]:
    """Lambing day of each ewe (-1: never), gestation normal(147, 2.3) within 138–159 days."""
    rng = np.random.default_rng(seed)
    length = np.rint(rng.normal(147, 2.3, conceived.size)).astype(np.int64)
    while (wrong := (length < 138) | (length > 159)).any():
        length[wrong] = np.rint(rng.normal(147, 2.3, int(wrong.sum())))
    return np.where(conceived == BARREN, BARREN, conceived + length)


def disagreement(chances: dict[int, float], seen: NDArray[np.int64]) -> float:
    """Chi-square p of the simulated days (and barren, -1) against the chances; days with few ewes expected are pooled.

    0 where a ewe did what the chances call impossible.
    """
    days, counts = np.unique(seen, return_counts=True)
    found = dict(zip(days.tolist(), counts.tolist(), strict=True))
    if any(chances.get(day, 0.0) <= 0 for day in found):
        return 0.0
    cells = [(chance * seen.size, found.get(day, 0)) for day, chance in chances.items() if chance > 0]
    big = [cell for cell in cells if cell[0] >= FEWEST]
    rest = [cell for cell in cells if cell[0] < FEWEST]
    pooled = (sum(expected for expected, _ in rest), sum(count for _, count in rest))
    table = [*big, pooled] if pooled[0] >= 1 else big
    return float(chi2.sf(sum((count - expected) ** 2 / expected for expected, count in table), len(table) - 1))
