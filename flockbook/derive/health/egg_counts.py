"""Worm egg counts: from eggs in the chamber to eggs per gram, and how far a drench brought them down.

Counts are eggs per gram (or plain eggs, all with one factor); reductions, limits and thresholds are in per cent.
Limits need quantiles of the t and gamma distributions from the optional `scipy`; without it they are None and the
result says so. A count is an estimate and a test is evidence: whether to treat is for the shepherd and the vet.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum, auto
from math import exp, isfinite, sqrt
from statistics import covariance, fmean, variance

from compiler.shape import Value
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.intervals import special_functions
from flockbook.derive.plain.numbers import DIGITS

# Days from drench to second sample outside which we warn. Published windows run from 7–10 to 14–17 days: Langston
# University; Univ. of Maryland; Bosco et al. 2020, Parasites & Vectors 13:457. The outer limits are our choice.
SOONEST, LATEST = 7, 17
# Coles et al. 1992, Vet. Parasitol. 44:35–44: reduction under 95 % and lower limit under 90 %.
COLES_REDUCTION, COLES_LOWER, COLES_CONFIDENCE = 95.0, 90.0, 0.95
# Design of the same test: groups of 10 or more, mean before of 150 eggs per gram or more (secondary summary).
COLES_GROUP, COLES_MEAN = 10, 150.0
# Eggs seen under the microscope before treatment, sheep: conference summary of W.A.A.V.P. 2023.
EGGS_SEEN = 90
# W.A.A.V.P. 2023 (Kaplan et al., Vet. Parasitol.): 90 % interval; the closed form below from 5 sheep and 3 counts
# that are not nought (co-author's package bayescount, `fecrt_analysis.R`).
REDUCTION_CONFIDENCE = 0.90
FEWEST_SHEEP, FEWEST_NONZERO = 5, 3
# Relative variance of the ratio below which every sheep fell by the same share, up to rounding.
NO_SPREAD = 1e-12


class NoRange(Enum):
    """Why counts get no range."""

    SAME_FALL = auto()
    WITHOUT_SCIPY = auto()
    NO_EGGS_BEFORE = auto()
    NO_EGGS_AFTER = auto()
    FEW_SHEEP = auto()
    FEW_COUNTS = auto()


class Weak(Enum):
    """What weakens a test of a drench."""

    TOO_SOON = auto()
    TOO_LATE = auto()
    NOTHING_BEFORE = auto()
    SMALL_GROUP = auto()
    LOW_MEAN = auto()
    FEW_EGGS = auto()
    DAY_NOT_WRITTEN = auto()
    SAMPLED_ONCE = auto()
    UNPAIRED = auto()
    HALF_WRITTEN = auto()
    WITHOUT_FACTOR = auto()


class Weakness(Reason):
    """One thing that a reader of a test must know, with its figure: days, sheep, eggs or counts."""

    what: Weak
    figure: float = 0


class Thresholds(Value):
    """Expected efficacy and the lower line that goes with it, per cent."""

    expected: float
    lower: float


# Sheep, all drugs: bayescount `fecrt_analysis.R` after W.A.A.V.P. 2023.
CLINICAL = Thresholds(99.0, 90.0)
RESEARCH = Thresholds(99.0, 95.0)


class ReductionLimits(Value):
    """An interval in per cent; where it could not be worked out both ends are None and `missing` says why."""

    low: float | None
    high: float | None
    missing: NoRange | None = None


class Coles(Value):
    """The test of 1992: 95 % limits on the log ratio of two groups, `grade` resistance, suspected or susceptible."""

    limits: ReductionLimits
    grade: str | None


class Delta(Value):
    """The closed form of 2023 (gamma), with its grade at the clinical and at the research thresholds."""

    limits: ReductionLimits
    clinical: str | None
    research: str | None


class Reduction(Value):
    """A reduction test: arithmetic means before and after, the reduction in per cent, and both intervals."""

    before_mean: float | None
    after_mean: float | None
    reduction: float | None
    coles: Coles
    delta: Delta


def mcmaster_factor(total_ml: float, counted_ml: float, faeces_g: float) -> float:
    """Eggs per gram for each egg seen: total volume ÷ (volume counted × grams of faeces).

    `total_ml` is faeces and fluid together, not the fluid added. Raises ValueError unless all three are above nought
    and no more was counted than there was. Source: Univ. of Minnesota, module 3.3; AAEP guideline, appendix A.
    """
    if not 0 < counted_ml <= total_ml < float("inf") or not 0 < faeces_g < float("inf"):
        raise ValueError(f"no factor from {counted_ml} mL counted of {total_ml} mL with {faeces_g} g of faeces")
    return total_ml / (counted_ml * faeces_g)


def eggs_per_gram(eggs: float, factor: float) -> float:
    """Eggs counted × factor. Raises ValueError for a count below nought or a factor that is not above it."""
    _require_egg_counts((eggs,))
    _require_factor(factor)
    return eggs * factor


def fits_factor(epg: float, factor: float) -> bool:
    """Whether one count can come from this factor: a whole number of eggs × factor, within rounding to one epg.

    A mean of several counts need not. Raises ValueError for a factor that is not above nought.
    """
    _require_factor(factor)
    return abs(epg - round(epg / factor) * factor) <= 0.5 + 1e-9


def left_untreated(head: int, per_cent: int) -> int:
    """Head to leave (and mark) so that at least `per_cent` of the mob stays untreated: rounded up."""
    return -(-head * per_cent // 100)


def paired_reduction(pairs: Sequence[tuple[float, float]]) -> Reduction:
    """The test on (before, after) counts of the same sheep. The covariance is used whole, never capped.

    Coles' limits take the two columns as separate groups, as published. Raises ValueError for a count below nought.
    """
    before, after = _columns(pairs)
    return _reduction(before, after, paired_limits(pairs))


def unpaired_reduction(before: Sequence[float], after: Sequence[float]) -> Reduction:
    """The test on two groups of sheep: before (or untreated controls) and after. Raises ValueError as above."""
    return _reduction(before, after, unpaired_limits(before, after))


def coles_limits(before: Sequence[float], after: Sequence[float]) -> ReductionLimits:
    """95 % limits of the reduction between two groups, on the log of the ratio of their means.

    Source: Coles et al. 1992, Vet. Parasitol. 44:35–44; equations as in the vignette of the R package eggCounts.
    Raises ValueError for a count below nought.
    """
    missing = _point_only(before, after)
    if missing:
        return ReductionLimits(None, None, missing)
    spread = _relative_variance(before) + _relative_variance(after)
    special = special_functions()
    if special is None or spread <= NO_SPREAD:
        return ReductionLimits(None, None, NoRange.SAME_FALL if special else NoRange.WITHOUT_SCIPY)
    ratio = fmean(after) / fmean(before)
    t = float(special.stdtrit(len(before) + len(after) - 2, 0.5 + COLES_CONFIDENCE / 2))
    return ReductionLimits(100 * (1 - ratio * exp(t * sqrt(spread))), 100 * (1 - ratio * exp(-t * sqrt(spread))))


def paired_limits(pairs: Sequence[tuple[float, float]], confidence: float = REDUCTION_CONFIDENCE) -> ReductionLimits:
    """Limits of the reduction in the same sheep, from a gamma distribution of the ratio of means after ÷ before.

    Source: Levecke's delta method, as in bayescount `fecrt.cc`, without that file's cap on the covariance, which
    contradicts its own worked example. Raises ValueError for a count below nought.
    """
    before, after = _columns(pairs)
    missing = _point_only(before, after)
    if missing:
        return ReductionLimits(None, None, missing)
    shared = 2 * covariance(before, after) / (len(pairs) * fmean(before) * fmean(after))
    return _gamma_limits(before, after, shared, confidence)


def unpaired_limits(
    before: Sequence[float], after: Sequence[float], confidence: float = REDUCTION_CONFIDENCE
) -> ReductionLimits:
    """The same limits for two groups of different sheep, which share no covariance. Raises ValueError as above."""
    missing = _point_only(before, after)
    return ReductionLimits(None, None, missing) if missing else _gamma_limits(before, after, 0.0, confidence)


def grade(limits: ReductionLimits, thresholds: Thresholds) -> str | None:
    """susceptible, inconclusive, low resistant or resistant; None without limits.

    Source: bayescount `fecrt_analysis.R` after W.A.A.V.P. 2023 (its upper and lower limits against both thresholds).
    """
    if limits.low is None or limits.high is None:
        return None
    clears_lower = limits.low >= thresholds.lower
    if limits.high >= thresholds.expected:
        return "susceptible" if clears_lower else "inconclusive"
    return "low resistant" if clears_lower else "resistant"


def coles_grade(reduction: float | None, limits: ReductionLimits) -> str | None:
    """resistance when the reduction is under 95 % and its lower limit under 90 %, suspected when only one is."""
    if reduction is None or limits.low is None:
        return None
    met = (round(reduction, DIGITS) < COLES_REDUCTION) + (limits.low < COLES_LOWER)
    return ("susceptible", "suspected", "resistance")[met]


def badly_timed(days: int) -> Weakness | None:
    """Whether the second sample came too soon or too late after the drench to be trusted; None where it did not."""
    if SOONEST <= days <= LATEST:
        return None
    return Weakness(Weak.TOO_SOON if days < SOONEST else Weak.TOO_LATE, days)


def too_small(before: Sequence[float], factor: float | None = None) -> tuple[Weakness, ...]:
    """What makes a test too small for the published designs. `before` is in eggs per gram made with `factor`.

    Raises ValueError for a factor that is not above nought.
    """
    _require_factor(1 if factor is None else factor)
    if not before:
        return (Weakness(Weak.NOTHING_BEFORE),)
    mean, seen = fmean(before), None if factor is None else round(sum(before) / factor)
    found = (
        (len(before) < COLES_GROUP, Weakness(Weak.SMALL_GROUP, len(before))),
        (mean < COLES_MEAN, Weakness(Weak.LOW_MEAN, mean)),
        (seen is not None and seen < EGGS_SEEN, Weakness(Weak.FEW_EGGS, seen or 0)),
    )
    return tuple(weakness for applies, weakness in found if applies)


def _reduction(before: Sequence[float], after: Sequence[float], limits: ReductionLimits) -> Reduction:
    before_mean, after_mean = _mean(before), _mean(after)
    fall = None if before_mean is None or after_mean is None else _fall(before_mean, after_mean)
    coles = coles_limits(before, after)
    return Reduction(
        before_mean,
        after_mean,
        fall,
        Coles(coles, coles_grade(fall, coles)),
        Delta(limits, grade(limits, CLINICAL), grade(limits, RESEARCH)),
    )


def _gamma_limits(before: Sequence[float], after: Sequence[float], shared: float, confidence: float) -> ReductionLimits:
    """`shared` is the covariance's part in the relative variance of the ratio."""
    spread = _relative_variance(before) + _relative_variance(after) - shared
    special = special_functions()
    if special is None or spread <= NO_SPREAD:
        return ReductionLimits(None, None, NoRange.SAME_FALL if special else NoRange.WITHOUT_SCIPY)
    scale = fmean(after) / fmean(before) * spread
    most, least = (scale * float(special.gammaincinv(1 / spread, 0.5 + side * confidence / 2)) for side in (1, -1))
    return ReductionLimits(100 * (1 - most), 100 * (1 - least))


def _point_only(before: Sequence[float], after: Sequence[float]) -> NoRange | None:
    """Why these counts get a point estimate and no range; None when they get one."""
    _require_egg_counts((*before, *after))
    if not before or not after or sum(before) == 0:
        return NoRange.NO_EGGS_BEFORE
    if sum(after) == 0:
        return NoRange.NO_EGGS_AFTER
    if min(len(before), len(after)) < FEWEST_SHEEP:
        return NoRange.FEW_SHEEP
    return NoRange.FEW_COUNTS if sum(count > 0 for count in after) < FEWEST_NONZERO else None


def _relative_variance(counts: Sequence[float]) -> float:
    """Variance of the mean over the square of the mean."""
    return float(variance(counts)) / (len(counts) * fmean(counts) ** 2)


def _columns(pairs: Sequence[tuple[float, float]]) -> tuple[list[float], list[float]]:
    return [before for before, _ in pairs], [after for _, after in pairs]


def _mean(counts: Sequence[float]) -> float | None:
    return fmean(counts) if counts else None


def _fall(whole: float, rest: float) -> float | None:
    return 100 * (1 - rest / whole) if whole else None


def _require_egg_counts(counts: Sequence[float]) -> None:
    for count in counts:
        if not isfinite(count) or count < 0:
            raise ValueError(f"an egg count of {count} cannot be")


def _require_factor(factor: float) -> None:
    if not 0 < factor < float("inf"):
        raise ValueError(f"a factor of {factor} cannot be")
