"""How far one egg count may be trusted: the published spread of repeats, or the limits of the eggs that were seen."""

from __future__ import annotations

from compiler.shape import Value
from flockbook.derive.health.egg_counts import fits_factor
from flockbook.derive.plain.intervals import poisson_limits

# 95 % of repeat counts of one sample fall inside: Brambell 1963, as printed by Beef + Lamb New Zealand.
# They hold for the slide that the table was made with: one egg seen is 50 eggs per gram (our own reading of its steps).
BRAMBELL_FACTOR = 50.0
BRAMBELL = ((0, 0, 150), (100, 0, 350), (500, 250, 900), (1000, 650, 1500))


class CountSpread(Value):
    """What repeat counts of a sample that gave `result` would show: `low` to `high` eggs per gram, 95 % of the time."""

    result: int
    low: int
    high: int


class TrueCount(Value):
    """Within what the true count of eggs per gram lies, 95 % of the time, when so many `eggs` were seen."""

    eggs: int
    low: float
    high: float


def published_spread(epg: float) -> tuple[CountSpread, ...]:
    """The published rows that a count falls on or between (one or two), and none above the table: nothing is filled in.

    Source: Brambell 1963, as printed by Beef + Lamb New Zealand.
    """
    rows = [CountSpread(*row) for row in BRAMBELL]
    below = [row for row in rows if row.result <= epg]
    above = [row for row in rows if row.result >= epg]
    if not below or not above:
        return ()
    return (below[-1],) if below[-1] == above[0] else (below[-1], above[0])


def true_count(epg: float, factor: float) -> TrueCount | None:
    """The exact Poisson limits of the eggs seen, times the factor; None where no whole number of eggs gives the count.

    Source: Garwood 1936 for the limits. Eggs that clump widen them: they are the least that must be allowed for.
    Raises ValueError for a factor that is not above nought.
    """
    if not fits_factor(epg, factor):
        return None
    eggs = round(epg / factor)
    low, high = poisson_limits(eggs)
    return TrueCount(eggs, low * factor, high * factor)
