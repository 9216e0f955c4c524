"""What a weight on common footing rests on: the reasons of each step, in kg and days."""

from __future__ import annotations

from flockbook.derive.plain.because import Reason


class NoBirthWeight(Reason):
    """That a lamb has no birth weight, and that there is none of its like to take a mean from."""


class BirthAssumed(Reason):
    """The birth weight that stands in for one that was not written."""

    kg: float


class AtTarget(Reason):
    """A weight brought along the straight line from birth to an age in days."""

    weighed: float
    birth: float
    age: int
    target: int
    kg: float


class NotAtWeaning(Reason):
    """That the last weight stands in for one at weaning."""


class OutsideWindow(Reason):
    """That a lamb was weighed farther from the target age than a straight line serves, in days."""

    age: int
    target: int
    window: int


class FactorOf(Reason):
    """One factor, None where the table has none for the class, or the class is not known; `unsure`: from memory,
    `guessed`: the class rests on a guessed year.
    """

    part: str
    name: str | None
    factor: float | None
    unsure: bool
    guessed: bool = False


class AdjustedBy(Reason):
    """A weight times its factors, and the table's source."""

    at_target: float
    factors: tuple[float, ...]
    kg: float
    source: str


class RatioInGroup(Reason):
    """A weight against the mean of its group; `age` is that of the group in days where it is not the lamb's own."""

    kg: float
    age: int | None
    mean: float
    of: int
    ratio: float
