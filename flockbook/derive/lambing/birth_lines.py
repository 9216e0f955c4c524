"""From which weight on a lamb counts as light or as heavy at birth: by the shepherd's own settings, else by the flock's
own lambs once enough were weighed, else by what is published.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import Enum, auto
from statistics import quantiles

from compiler.amounts import Weight
from compiler.shape import Value
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.newborn import HEAVY_OVER_KG, LIGHT_UNDER_KG, BirthWeight

ENOUGH_LAMBS = 150  # weighed at birth: fifteen in each tenth, so that one odd lamb moves no line (our own choice)


class LineFrom(Enum):
    """Whose a line is."""

    SETTING = auto()
    OWN_LAMBS = auto()
    PUBLISHED = auto()


class BirthLine(Value):
    """One line in kg, whose it is, and on how many lambs of the flock's own it rests (0 for any other)."""

    kg: float
    whose: LineFrom = LineFrom.PUBLISHED
    lambs: int = 0


class BirthLines(Value):
    """The lines in force: lighter than `light` is light, heavier than `heavy` is heavy; the lines are neither."""

    light: BirthLine = BirthLine(LIGHT_UNDER_KG)
    heavy: BirthLine = BirthLine(HEAVY_OVER_KG)

    def of(self, kg: float) -> BirthWeight:
        """Where a birth weight lies."""
        if kg < self.light.kg:
            return BirthWeight.LIGHT
        return BirthWeight.HEAVY if kg > self.heavy.kg else BirthWeight.USUAL


PUBLISHED_LINES = BirthLines()


class Births(Value):
    """All births, and from which weight on a lamb is heavy."""

    told: tuple[LambingFact, ...]
    lines: BirthLines


def birth_lines(light: Weight | None, heavy: Weight | None, weights: Mapping[int, Iterable[float]]) -> BirthLines:
    """The lines in force, from what the settings say and the flock's birth weights by litter size."""
    every = sorted(kg for litter in weights.values() for kg in litter)
    tenths = quantiles(every, n=10, method="inclusive") if len(every) >= ENOUGH_LAMBS else []
    return BirthLines(
        one_line(light, (tenths[0], len(every)) if tenths else None, PUBLISHED_LINES.light),
        one_line(heavy, (tenths[-1], len(every)) if tenths else None, PUBLISHED_LINES.heavy),
    )


def one_line(typed: Weight | None, own: tuple[float, int] | None, published: BirthLine) -> BirthLine:
    """A line by the setting, else by the flock's own lambs, else as published."""
    if typed is not None:
        return BirthLine(typed.kg, LineFrom.SETTING)
    return BirthLine(own[0], LineFrom.OWN_LAMBS, own[1]) if own else published
