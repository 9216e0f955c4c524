"""When ewes will lamb: the chance of each day for one ewe, and how many to expect on each day in the flock.

Conception days and gestation lengths combine into the chance that a ewe lambs on each day. A ewe that has not lambed
by the day asked about loses the days that have gone by, and the chance that she is barren rises. Ewes of one flock are
taken one by one; what shifts them all together (weather, feed, a ram that failed) is not in the band.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from functools import lru_cache
from itertools import accumulate
from math import ceil, sqrt

from compiler.shape import Value, replace
from flockbook.derive.breeding.conception import Assumed, DateBasis, Posterior, chance_at
from flockbook.derive.breeding.gestation import Gestation, Span, lengths, shift
from flockbook.derive.plain.days import WEEK_DAYS

BAND = (0.1, 0.9)  # an 80 % band: common practice for a work forecast
# By Cantelli's inequality a count stays below mean + 3 standard deviations with a chance of at least 0.9.
BAND_SDS = 3
# Days within this share of the highest count as equally likely, so "most likely" is the middle of a flat top. Ours.
FLAT = 0.01
ROUNDING = 1e-12


class LambingOdds(Value):
    """Chances of lambing on each day (`chances[i]` is that of `start + i` days) and of being barren; they sum to 1.

    `window`: shortest gestation from her first possible service to longest from her last; it does not move with the
    day asked about. `expected`: last mark or known service + mean gestation. `asked`: she had not lambed before this
    day.
    """

    start: date
    chances: tuple[float, ...]
    barren: float
    basis: DateBasis
    window: Span | None = None
    expected: date | None = None
    asked: date | None = None
    doubts: tuple[Assumed, ...] = ()

    @property
    def overdue(self) -> bool:
        """Whether the day asked about lies past the window."""
        return self.asked is not None and self.window is not None and self.asked > self.window.last

    def chance_on(self, day: date) -> float:
        """Chance that she lambs on `day`."""
        return chance_at(self.chances, (day - self.start).days)


class Due(Value):
    """One ewe's dates for the due list; all dates None where she is barren for certain.

    `p10`, `p90`: the first day by which the chance that she has lambed reaches 10 % (90 %), given that she will lamb.
    """

    earliest: date | None
    p10: date | None
    likely: date | None
    p90: date | None
    latest: date | None
    barren_chance: float
    basis: DateBasis


class ForecastDay(Value):
    """Ewes expected to lamb on `day`, and the 80 % band.

    Fewer than `low` and more than `high` have a chance of at most 1 in 10 each.
    """

    day: date
    expected: float
    low: int
    high: int


class ForecastWeek(Value):
    """Ewes expected in the days of `span`, and the share of all ewes expected that have lambed by its end (0–1)."""

    span: Span
    expected: float
    share_by_end: float


class Forecast(Value):
    """Days of the flock's lambing in order, none left out. `total`: ewes expected to lamb at all, on any day."""

    days: tuple[ForecastDay, ...]
    weeks: tuple[ForecastWeek, ...]
    total: float

    @property
    def busiest(self) -> ForecastDay | None:
        """The day with most ewes expected, the first of several; None where none is expected."""
        top = max(self.days, key=lambda day: day.expected, default=None)
        return top if top and top.expected > 0 else None


@lru_cache(maxsize=8192)
def lambing_distribution(posterior: Posterior, gestation: Gestation) -> LambingOdds:
    """Chance of lambing on each day, from the chances of conceiving and of each gestation length."""
    carry, possible = lengths(gestation), posterior.possible
    days = [0.0] * (len(posterior.chances) + len(carry.chances) - 1 if posterior.chances else 0)
    for place, conceived in enumerate(posterior.chances):
        for longer, length in enumerate(carry.chances if conceived else ()):
            days[place + longer] += conceived * length
    return LambingOdds(
        start=shift(posterior.start, carry.first),
        chances=tuple(days),
        barren=posterior.barren,
        basis=posterior.basis,
        window=gestation.season(possible.first, possible.last) if possible else None,
        expected=gestation.due(posterior.served) if posterior.served else None,
        doubts=posterior.doubts,
    )


@lru_cache(maxsize=8192)
def given_not_lambed(odds: LambingOdds, today: date) -> LambingOdds:
    """The odds of a ewe that had not lambed when `today` began. Asked day by day, or once: the answer is the same.

    Past her last possible day she counts as barren and `doubts` says that no lambing is written.
    """
    gone = today.toordinal() - odds.start.toordinal()
    if gone <= 0:
        return replace(odds, asked=today)
    left = odds.chances[gone:]
    total = sum(left) + odds.barren
    if sum(left) <= 0:
        late = (Assumed.PAST_DUE,) if odds.chances and Assumed.PAST_DUE not in odds.doubts else ()
        return replace(odds, start=today, chances=(), barren=1.0, asked=today, doubts=(*odds.doubts, *late))
    chances = tuple(chance / total for chance in left)
    return replace(odds, start=today, chances=chances, barren=odds.barren / total, asked=today)


def due_summary(odds: LambingOdds) -> Due:
    """The dates of one ewe for the due list.

    `likely` is her last mark or service + mean gestation while that day is still to come; else the most likely day, in
    the middle of a flat top. `earliest` and `latest` are her window. The 10 % and 90 % days are stretched to hold
    `likely`, and the window to hold both: an overdue ewe, or marks that contradict each other, may need that.
    """
    first, last = (odds.window.first, odds.window.last) if odds.window else (None, None)
    by_day = list(accumulate(odds.chances))
    if not by_day:
        return Due(first, None, None, None, last, odds.barren, odds.basis)
    likely = _likely(odds)
    low, high = (shift(odds.start, _reaches(by_day, share * by_day[-1])) for share in BAND)
    low, high = min(low, likely), max(high, likely)
    return Due(min(first or low, low), low, likely, high, max(last or high, high), odds.barren, odds.basis)


def flock_forecast(odds: Sequence[LambingOdds], first: date, last: date) -> Forecast:
    """Ewes expected on each day from `first` to `last`; empty where `last` is before `first`.

    Each ewe's odds count once: leave out those that have lambed. The band is exact for ewes that do not depend on each
    other (Poisson–binomial). Weeks run from `first`; `share_by_end` counts lambings before `first` too.
    """
    chances = _by_day(odds)
    days = tuple(_forecast_day(day, chances.get(day.toordinal(), [])) for day in Span(first, last))
    total = sum(1 - ewe.barren for ewe in odds)
    before = sum(sum(ps) for day, ps in chances.items() if day < first.toordinal())
    return Forecast(days, tuple(_weeks(days, before, total)), total)


def forecast_span(odds: Iterable[LambingOdds]) -> Span | None:
    """The days from the earliest to the latest window of the ewes; None where none can lamb."""
    windows = [ewe.window for ewe in odds if ewe.window and ewe.chances]
    if not windows:
        return None
    return Span(min(window.first for window in windows), max(window.last for window in windows))


def count_band(chances: Sequence[float]) -> tuple[int, int]:
    """The 80 % band of how many of several independent events happen, each with its own chance: exact, by convolution.

    Low and high are the smallest counts at which the chance of that many or fewer reaches 10 % and 90 %.
    """
    mean, variance = sum(chances), sum(p * (1 - p) for p in chances)
    top = min(len(chances), ceil(mean + BAND_SDS * sqrt(variance)))
    counts = [1.0] + [0.0] * top
    for p in chances:
        counts = [none * (1 - p) + one * p for none, one in zip(counts, [0.0, *counts], strict=False)]
    by_count = list(accumulate(counts))
    low, high = (_reaches(by_count, share) for share in BAND)
    return low, high


def _likely(odds: LambingOdds) -> date:
    """The day on which most rests: see `due_summary`."""
    if odds.expected is not None and odds.chance_on(odds.expected) > 0:
        return odds.expected
    top = max(odds.chances) * (1 - FLAT)
    first = next(place for place, chance in enumerate(odds.chances) if chance >= top)
    run = next((place for place in range(first, len(odds.chances)) if odds.chances[place] < top), len(odds.chances))
    return shift(odds.start, (first + run - 1) // 2)


def _reaches(running: Sequence[float], level: float) -> int:
    """The first place at which a running sum reaches `level`, rounding errors forgiven."""
    return next((place for place, total in enumerate(running) if total >= level - ROUNDING), len(running) - 1)


def _by_day(odds: Iterable[LambingOdds]) -> dict[int, list[float]]:
    """The chances of all ewes that may lamb on each day, by ordinal."""
    days: dict[int, list[float]] = {}
    for ewe in odds:
        for day, chance in enumerate(ewe.chances, ewe.start.toordinal()):
            if chance > 0:
                days.setdefault(day, []).append(chance)
    return days


def _forecast_day(day: date, chances: Sequence[float]) -> ForecastDay:
    low, high = count_band(chances)
    return ForecastDay(day, sum(chances), low, high)


def _weeks(days: Sequence[ForecastDay], before: float, total: float) -> Iterable[ForecastWeek]:
    """Seven days at a time, the last week as long as the days reach."""
    for place in range(0, len(days), WEEK_DAYS):
        week = days[place : place + WEEK_DAYS]
        expected = sum(day.expected for day in week)
        before += expected
        share = min(1.0, before / total) if total > 0 else 0.0
        yield ForecastWeek(Span(week[0].day, week[-1].day), expected, share)
