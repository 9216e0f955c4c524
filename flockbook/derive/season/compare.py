"""Two seasons side by side: the difference of each share with its interval, and death rates over the time lived.

Only what can be compared is compared: shares of the ewes exposed wait until lambing is over in both seasons. Newcombe's
interval and Fisher's p stand beside each other (see `intervals`); many pairs looked at make false alarms likelier.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from compiler.shape import Value
from flockbook.derive.plain.days import MEAN_YEAR_DAYS
from flockbook.derive.plain.intervals import Difference, RateRatio, compare, compare_rates, rate
from flockbook.derive.season.season_indices import YearIndex
from flockbook.derive.season.seasons import Season, SeasonName

# Shares that mean something while ewes are still lambing: theirs are births, not ewes exposed.
AT_ANY_TIME = frozenset({"assisted", "malpresentation", "stillbirth", "scanned_empty"})


class Comparison(Value):
    """One index in two seasons; `difference` is that of `to` less that of `from`."""

    index: YearIndex
    from_: SeasonName
    to: SeasonName
    difference: Difference

    @property
    def apart(self) -> bool:
        """Whether the interval leaves out no difference."""
        low, high = self.difference.low, self.difference.high
        return low is not None and high is not None and (low > 0 or high < 0)

    @property
    def two_minds(self) -> bool:
        """Whether the interval leaves out no difference while Fisher's test (p above 0.05) does not."""
        return self.apart and (self.difference.fisher_p or 0.0) > 0.05


class RateComparison(Value):
    """A death rate in two seasons, deaths per lamb-year lived: that of `to` over that of `from`, both up to the `age`
    in days that every lamb of either has had the time to reach.
    """

    name: str
    from_: SeasonName
    to: SeasonName
    ratio: RateRatio
    age: int

    @property
    def apart(self) -> bool:
        """Whether the interval leaves out as many deaths for the time lived."""
        low, high = self.ratio.low, self.ratio.high
        return low is not None and high is not None and (low > 1 or high < 1)


class Comparisons(Value):
    """All pairs of consecutive seasons."""

    shares: tuple[Comparison, ...] = ()
    rates: tuple[RateComparison, ...] = ()

    def between(self, first: SeasonName, second: SeasonName) -> tuple[Comparison, ...]:
        """The shares of one pair of seasons."""
        return tuple(item for item in self.shares if (item.from_, item.to) == (first, second))


def comparisons(seasons: tuple[Season, ...]) -> Comparisons:
    """Each season against the one before it."""
    pairs = list(pairwise(seasons))
    return Comparisons(
        tuple(item for before, after in pairs for item in shares_between(before, after)),
        tuple(deaths_between(before, after) for before, after in pairs if common_age(before, after)),
    )


def shares_between(before: Season, after: Season) -> Iterator[Comparison]:
    """Every share that both seasons have."""
    for index in after.indices:
        if not index.part or ((before.running or after.running) and index.name not in AT_ANY_TIME):
            continue
        old, new = before.index(index.name), index.share
        if old.of and new.of:
            yield Comparison(index, before.name, after.name, compare(new, old))


def common_age(before: Season, after: Season) -> int:
    """The age in days that every lamb of both seasons has had the time to reach; 0 where either has none."""
    both = (before.watched, after.watched)
    return min(item.youngest for item in both) if all(item.lambs for item in both) else 0


def deaths_between(before: Season, after: Season) -> RateComparison:
    """Lamb deaths for each lamb-year lived, both up to the same age: most die in their first days, so that a season
    watched for a fortnight would always look worse than one watched for a year.
    """
    age = common_age(before, after)
    cut = (item.watched.until(age) for item in (before, after))
    old, new = (rate(deaths, days / MEAN_YEAR_DAYS) for deaths, days in cut)
    return RateComparison("lamb_deaths_per_lamb_year", before.name, after.name, compare_rates(new, old), age)
