"""Honest figures from few animals: shares, differences and rates, each with its 95 % interval.

Wilson limits, Newcombe differences and Fisher's test are closed forms or exact sums and need nothing beyond the
standard library. Clopper–Pearson and Poisson limits are beta and gamma quantiles and need the optional
`scipy`; where it is missing those functions give the same result with `None` for the limits, and never raise for it.

All intervals take every animal as independent. Lambs of one litter, dam or mob are not, so the true uncertainty is
wider than any interval made here; a page that shows one says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from math import comb, exp, fsum, hypot, inf, isfinite, lgamma, log, log1p, sqrt
from statistics import NormalDist
from typing import Any

from compiler.shape import Value

CONFIDENCE = 0.95  # common practice
TAIL = (1 - CONFIDENCE) / 2
HALVINGS = 40
Z = NormalDist().inv_cdf(1 - TAIL)

# No estimate from fewer than 30 records: US National Center for Health Statistics, presentation rules of the National
# Home and Hospice Care Survey.
FEW = 30
# Below 10 animals a bare percentage is neither ranked nor charted: our recommendation, no source.
NEVER_RANK = 10
# A rate needs at least 10 events: US National Center for Health Statistics, standards for rates (CDC 123462).
FEW_EVENTS = 10
# Tables (or counts) this close to the observed one in probability count as equally likely: common practice, as in R.
TIE = 10**7
# What the page of workings prints of shares.
SHARES_RULE = (
    f"Ranges of shares are Wilson's {CONFIDENCE * 100:g} % limits (Newcombe 1998). Fewer than {FEW} are too few for a "
    f"rate; of fewer than {NEVER_RANK} no percentage is printed."
)


class Share(Value):
    """`count` of `of` animals, as a share 0–1 with its limits; all three are None for 0 of 0, which is "no data"."""

    count: int
    of: int
    value: float | None
    low: float | None
    high: float | None
    few: bool

    @property
    def rankable(self) -> bool:
        """Whether this share may be ranked or charted as a bare percentage."""
        return self.of >= NEVER_RANK


class Fisher(Value):
    """Two-sided p of Fisher's exact test, and its mid-P, which is less cautious."""

    p: float
    mid_p: float


class Difference(Value):
    """Share `a` less share `b`, −1 to 1, with limits; everything is None where either share has no data."""

    a: Share
    b: Share
    value: float | None
    low: float | None
    high: float | None
    fisher_p: float | None
    mid_p: float | None
    few: bool


class EventRate(Value):
    """Events per unit of animal-time, in the unit `time` came in; `value` is None where no time was watched."""

    events: int
    time: float
    value: float | None
    low: float | None
    high: float | None
    few: bool


class RateRatio(Value):
    """Rate `a` over rate `b`; `inf` where `b` saw no event; `p` is two-sided for "the rates are the same"."""

    a: EventRate
    b: EventRate
    value: float | None
    low: float | None
    high: float | None
    p: float | None
    few: bool


def wilson(count: int, of: int) -> Share:
    """The share with Wilson's score limits, the book's usual interval: good for small numbers, never of zero width.

    Raises ValueError unless 0 <= count <= of. Source: Wilson 1927; recommended by Newcombe 1998, Statist. Med. 17:857,
    and by Brown, Cai & DasGupta 2001, Statist. Sci. 16:101.
    """
    _require_part(count, of)
    return _share(count, of, _score_limits(count, of) if of else None)


def clopper_pearson(count: int, of: int) -> Share:
    """The share with exact (Clopper–Pearson) limits: never too narrow, usually wider than they need be.

    Needs scipy, else the limits are None. Raises ValueError unless 0 <= count <= of.
    Source: Clopper & Pearson 1934, as in Newcombe 1998, Statist. Med. 17:857.
    """
    _require_part(count, of)
    special = special_functions()
    if of == 0 or special is None:
        return _share(count, of, None)
    low = special.betaincinv(count, of - count + 1, TAIL) if count else 0.0
    high = special.betaincinv(count + 1, of - count, 1 - TAIL) if count < of else 1.0
    return _share(count, of, (low, high))


def per_head(count: int, of: int) -> Share:
    """`count` per animal where one animal may bring several (lambs per ewe): a value that may pass 1, and no limits.

    Raises ValueError when either number is below 0.
    """
    _require_counts(count, of)
    return Share(count, of, count / of if of else None, None, None, of < FEW)


def compare(a: Share, b: Share) -> Difference:
    """Share `a` less share `b` with Newcombe's method 10 limits (from the Wilson limits of each) and Fisher's test.

    The interval may leave out 0 while Fisher's p is above 0.05: two methods, both right, no contradiction. Many pairs
    compared make false alarms likelier. Raises ValueError when a share is not of the kind 0 <= count <= of.
    Source: Newcombe 1998, Statist. Med. 17:873.
    """
    few = a.few or b.few
    exact = fisher(a, b)
    if a.of == 0 or b.of == 0:
        return Difference(a, b, None, None, None, None, None, few)
    first, second = a.count / a.of, b.count / b.of
    (low_a, high_a), (low_b, high_b) = _score_limits(a.count, a.of), _score_limits(b.count, b.of)
    low = max(-1.0, first - second - hypot(first - low_a, high_b - second))
    high = min(1.0, first - second + hypot(high_a - first, second - low_b))
    return Difference(a, b, first - second, low, high, exact.p, exact.mid_p, few)


def fisher(a: Share, b: Share) -> Fisher:
    """Fisher's exact test that both shares are the same: every table no likelier than ours, summed.

    Both figures are 1.0 and 0.5 when only one table is possible. Exact whole numbers, so no count is too large.
    Raises ValueError when a share is not of the kind 0 <= count <= of.
    Source: Fisher 1935; mid-P (half weight for equally likely tables) from memory, Fagerland, Lydersen & Laake.
    """
    _require_part(a.count, a.of)
    _require_part(b.count, b.of)
    ours = comb(a.of, a.count) * comb(b.of, b.count)
    rarer = equal = 0
    for weight in _tables(a, b):
        if weight * TIE < ours * (TIE - 1):
            rarer += weight
        elif weight * TIE <= ours * (TIE + 1):
            equal += weight
    total = comb(a.of + b.of, a.count + b.count)
    return Fisher((rarer + equal) / total, (2 * rarer + equal) / (2 * total))


def rate(events: int, time: float) -> EventRate:
    """Events over animal-time with exact Poisson limits, in events per unit of `time`.

    Limits need scipy, else they are None. Raises ValueError unless events >= 0 and time is finite and >= 0.
    Source: Garwood 1936, the interval of R's `poisson.test`.
    """
    if events < 0 or time < 0 or not isfinite(time):
        raise ValueError(f"{events} events over a time of {time} is no rate")
    few = events < FEW_EVENTS
    if time == 0:
        return EventRate(events, time, None, None, None, few)
    special = special_functions()
    if special is None:
        return EventRate(events, time, events / time, None, None, few)
    low = float(special.gammaincinv(events, TAIL)) / time if events else 0.0
    high = float(special.gammainccinv(events + 1, TAIL)) / time
    return EventRate(events, time, events / time, low, high, few)


@cache
def poisson_limits(events: int) -> tuple[float, float]:
    """Exact Poisson limits of a count of its own, found by halving and without scipy: 7 gives 2.81 and 14.42.

    Raises ValueError for a count below nought. Source: Garwood 1936, the interval of R's `poisson.test`.
    """
    if events < 0:
        raise ValueError(f"{events} is no count")
    low = poisson_mean(events - 1, 1 - TAIL) if events else 0.0
    return low, poisson_mean(events, TAIL)


def poisson_mean(events: int, chance: float) -> float:
    """The mean with which so many events or fewer come with this chance."""
    low, high = 0.0, events + 10 * sqrt(events + 1) + 10
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if fsum(exp(k * log(middle) - middle - lgamma(k + 1)) for k in range(events + 1)) > chance:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def compare_rates(a: EventRate, b: EventRate) -> RateRatio:
    """Rate `a` over rate `b` with exact limits: given all events, those of `a` are binomial (Clopper–Pearson).

    `value` and `high` are `inf` where only `b` has no event; with no event at all the value is None and the limits are
    0 and `inf`. All is None where a side was not watched; the limits are None without scipy.
    Source: Przyborowski & Wilenski 1940, as in R's `poisson.test` (central interval, minimum-likelihood p).
    """
    few = a.few or b.few
    if a.time == 0 or b.time == 0:
        return RateRatio(a, b, None, None, None, None, few)
    events = a.events + b.events
    p = _binomial_p(a.events, events, a.time / (a.time + b.time))
    stretch = b.time / a.time
    value = _odds(a.events / events, stretch) if events else None
    if events == 0:
        return RateRatio(a, b, value, 0.0, inf, p, few)
    part = clopper_pearson(a.events, events)
    return RateRatio(a, b, value, _odds(part.low, stretch), _odds(part.high, stretch), p, few)


def special_functions() -> Any:
    """`scipy.special`, or None where the optional extra is not installed."""
    try:
        from scipy import special
    except ImportError:
        return None
    return special


def _require_counts(count: int, of: int) -> None:
    if count < 0 or of < 0:
        raise ValueError(f"{count} of {of}: a count cannot be below 0")


def _require_part(count: int, of: int) -> None:
    _require_counts(count, of)
    if count > of:
        raise ValueError(f"{count} of {of} is no share: more counted than there were")


def _score_limits(count: int, of: int) -> tuple[float, float]:
    centre = count + Z**2 / 2
    reach = Z * sqrt(count * (of - count) / of + Z**2 / 4)
    return (centre - reach) / (of + Z**2), (centre + reach) / (of + Z**2)


def _share(count: int, of: int, limits: tuple[float, float] | None) -> Share:
    value = count / of if of else None
    if limits is None:
        return Share(count, of, value, None, None, of < FEW)
    low = 0.0 if count == 0 else max(0.0, float(limits[0]))
    high = 1.0 if count == of else min(1.0, float(limits[1]))
    return Share(count, of, value, low, high, of < FEW)


def _tables(a: Share, b: Share) -> Iterator[int]:
    """The weight of every table with these margins, in whole numbers; each follows from the one before."""
    both = a.count + b.count
    first = max(0, both - b.of)
    weight = comb(a.of, first) * comb(b.of, both - first)
    for k in range(first, min(a.of, both) + 1):
        yield weight
        weight = weight * (a.of - k) * (both - k) // ((k + 1) * (b.of - both + k + 1))


def _binomial_p(count: int, of: int, chance: float) -> float:
    """Two-sided p: every outcome of `of` trials no likelier than `count`, summed."""

    def weight(k: int) -> float:
        ways = lgamma(of + 1) - lgamma(k + 1) - lgamma(of - k + 1)
        return ways + k * log(chance) + (of - k) * log1p(-chance)

    ours = weight(count) + 1 / TIE
    return min(1.0, fsum(exp(w) for w in map(weight, range(of + 1)) if w <= ours))


def _odds(part: float | None, stretch: float) -> float | None:
    if part is None:
        return None
    return inf if part == 1 else part / (1 - part) * stretch
