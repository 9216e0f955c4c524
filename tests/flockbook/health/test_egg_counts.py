"""Worm egg counts and reduction tests against published worked examples, raw data and scipy's distributions."""

from __future__ import annotations

import re
import sys
from math import exp, sqrt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from flockbook.derive.health.egg_counts import (
    CLINICAL,
    RESEARCH,
    ReductionLimits,
    Thresholds,
    badly_timed,
    coles_grade,
    coles_limits,
    eggs_per_gram,
    fits_factor,
    grade,
    left_untreated,
    mcmaster_factor,
    paired_limits,
    paired_reduction,
    too_small,
    unpaired_limits,
    unpaired_reduction,
)
from flockbook.saying.worms import no_range_words, weakness_words
from tests.flockbook.compiled import Compiled

# Data A, 14 sheep: R package eggCounts, data `epgs` (Wang, Torgerson, Höglund & Furrer 2017, Vet. Parasitol. 235:20).
A_BEFORE = [0, 3500, 400, 150, 0, 0, 0, 200, 0, 400, 0, 2000, 2900, 9300]
A_AFTER = [0, 200, 0, 50, 300, 0, 0, 0, 0, 0, 0, 0, 100, 800]
# Data B: older `epgs` of eggCounts 0.3–1.4, 24 animals.
B_BEFORE = [
    *(990, 990, 740, 2150, 1840, 1210, 1640, 1240, 900, 1110, 2020, 2080),
    *(1010, 1010, 1140, 1010, 1020, 1610, 780, 930, 450, 1100, 1630, 1830),
]
B_AFTER = [30, 10, 0, 0, 0, 0, 20, 10, 0, 0, 10, 10, 20, 20, 0, 10, 10, 20, 10, 20, 10, 0, 50, 10]
# Data C: vignette of the R package bayescount, raw counts of 10 animals; it prints the classes 1c and 2b.
C_BEFORE = [14, 22, 7, 29, 11, 1, 39, 6, 3, 0]
C_AFTER = [0, 2, 1, 1, 2, 0, 5, 2, 0, 3]
VIGNETTE = Thresholds(95.0, 85.0)

A, B, C = (list(zip(*data, strict=True)) for data in ((A_BEFORE, A_AFTER), (B_BEFORE, B_AFTER), (C_BEFORE, C_AFTER)))
counts = st.lists(st.integers(0, 5000), min_size=5, max_size=30)
pairs = st.lists(st.tuples(st.integers(0, 5000), st.integers(0, 5000)), min_size=5, max_size=30)


def near(limits: ReductionLimits, low: float, high: float) -> bool:
    """Both limits to the three decimals that are written down."""
    return [limits.low, limits.high] == pytest.approx([low, high], abs=6e-4)


@pytest.mark.parametrize(
    ("total", "counted", "grams", "factor"),
    [
        (60, 0.0375, 2, 800),  # Whitlock's table, after Australian Standard Diagnostic Techniques, this row and five on
        (60, 0.15, 2, 200),
        (60, 0.3, 2, 100),
        (60, 0.6, 2, 50),
        (60, 0.9, 2, 33.333),
        (50, 0.6, 2, 41.667),
        (60, 0.6, 4, 25),
        (30, 0.3, 4, 25),  # AAEP guideline, appendix A
        (30, 0.3, 2, 50),  # Newcastle Equine Centre
    ],
)
def test_factor_is_that_of_the_printed_tables(total: float, counted: float, grams: float, factor: float) -> None:
    """The factor of a counting chamber follows from the total volume, the volume counted and the faeces."""
    assert mcmaster_factor(total, counted, grams) == pytest.approx(factor, abs=1e-3)


def test_eggs_per_gram_is_that_of_the_printed_examples() -> None:
    """12 + 15 eggs × 50 = 1350 (RVC/FAO Guide); 7 and 70 eggs of 2 g in 60 mL are 700 and 7000 (Minnesota, 3.3)."""
    assert eggs_per_gram(12 + 15, 50) == 1350
    assert eggs_per_gram(5 + 2, mcmaster_factor(60, 0.3, 2)) == pytest.approx(700)
    assert eggs_per_gram(30 + 40, mcmaster_factor(60, 0.3, 2)) == pytest.approx(7000)


@pytest.mark.parametrize("volumes", [(0, 0.3, 2), (60, 0, 2), (60, 0.3, 0), (0.2, 0.3, 2), (float("nan"), 0.3, 2)])
def test_a_factor_that_cannot_be_is_refused(volumes: tuple[float, float, float]) -> None:
    """No factor comes of nothing, nor of more counted than there was."""
    with pytest.raises(ValueError, match="no factor"):
        mcmaster_factor(*volumes)


@pytest.mark.parametrize(("eggs", "factor"), [(-1, 50), (3, 0), (float("nan"), 50), (3, float("inf"))])
def test_counts_that_cannot_be_are_refused(eggs: float, factor: float) -> None:
    """Neither eggs below nought nor a factor of nought gives eggs per gram."""
    with pytest.raises(ValueError, match="cannot be"):
        eggs_per_gram(eggs, factor)
    for call in (fits_factor, lambda _, none: too_small([], none)):
        with pytest.raises(ValueError, match="cannot be"):
            call(50, 0)


def test_a_count_that_no_number_of_eggs_gives_stands_out() -> None:
    """With a factor of 50 a single count is 0, 50, 100 …; with 41.667 it may be rounded."""
    assert fits_factor(350, 50)
    assert not fits_factor(340, 50)
    assert fits_factor(42, 125 / 3)


# Where repeats of a count lie, slides of a factor of 50: Brambell 1963, as printed by Beef + Lamb New Zealand.
BRAMBELL = {0: (0, 150), 100: (0, 350), 500: (250, 900), 1000: (650, 1500)}


@pytest.mark.parametrize("epg", BRAMBELL)
def test_repeat_counts_lie_where_they_are_printed(epg: int, tmp_path: Path) -> None:
    """Typed as eggs of a slide, the page names the printed limits; the exact Poisson limits of the eggs seen (scipy)
    lie within an egg of them, and are what the page names for a slide of another factor.
    """
    eggs, (low, high) = epg // 50, BRAMBELL[epg]
    notes = {"sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n"}
    notes["events/2026-07-01 egg count.md"] = f"---\nfactor: 50\n---\n- A1 {eggs} eggs\n"
    assert f"{eggs} 50 {epg} repeats lie from {low} to {high}" in page(notes, tmp_path / "of 50")
    exact = stats.chi2.ppf(0.025, 2 * eggs) / 2 if eggs else 0.0, stats.chi2.ppf(0.975, 2 * eggs + 2) / 2
    assert [50 * one for one in exact] == pytest.approx([low, high], abs=50)
    notes["events/2026-07-01 egg count.md"] = f"---\nfactor: 15\n---\n- A1 {eggs} eggs\n"
    words = page(notes, tmp_path / "of 15")
    shown = re.search(rf"{eggs} 15 {15 * eggs} .*?(\d+) to (\d+)", words)
    assert shown is not None
    assert [float(one) for one in shown.groups()] == pytest.approx([15 * one for one in exact], abs=0.5)


def page(notes: dict[str, str], place: Path) -> str:
    """The words of the page of egg counts."""
    return Compiled(notes, "2026-07-20", place).words("egg-counts.html")


def test_share_left_untreated_is_rounded_up() -> None:
    """A tenth of 57 is 6 and a fifth is 12 (10–20 %: Vet Times, 13 Jan 2025; rounding is ours)."""
    assert (left_untreated(57, 10), left_untreated(57, 20), left_untreated(50, 10)) == (6, 12, 5)


def test_one_goat_of_the_extension_slides() -> None:
    """2650 before and 200 after is a fall of 92.5 % (University of Maryland Extension 2013)."""
    result = paired_reduction([(2650, 200)])
    assert result.reduction == pytest.approx(92.453, abs=5e-4)
    assert result.delta.limits.low is None


@pytest.mark.parametrize(
    ("data", "before", "after", "reduction", "coles", "delta"),
    [
        # Raw counts as published; means and limits worked from the published formulas (medicines reference §5.3).
        (A, 1346.429, 103.571, 92.308, (62.945, 98.403, "resistance"), (88.575, 95.396, "resistant")),
        (B, 1267.917, 11.250, 99.113, (98.594, 99.440, "susceptible"), (98.761, 99.413, "susceptible")),
        (C, 13.2, 1.6, 87.879, (69.430, 95.194, "resistance"), (81.307, 93.204, "resistant")),
    ],
)
def test_published_raw_counts(
    data: list[tuple[int, int]],
    before: float,
    after: float,
    reduction: float,
    coles: tuple[float, float, str],
    delta: tuple[float, float, str],
) -> None:
    """The three published sets of raw counts give the means, limits and grades of both tests."""
    result = paired_reduction(data)
    found = (result.before_mean, result.after_mean, result.reduction)
    assert found == pytest.approx((before, after, reduction), abs=6e-4)
    assert near(result.coles.limits, *coles[:2])
    assert result.coles.grade == coles[2]
    assert near(result.delta.limits, *delta[:2])
    assert (result.delta.clinical, result.delta.research) == (delta[2], delta[2])


def test_classes_printed_in_the_vignette() -> None:
    """bayescount's vignette prints type 1c for data C paired and 2b unpaired, at 90 % and (our check) at 95 %."""
    assert near(paired_limits(C), 81.307, 93.204)
    assert near(unpaired_limits(C_BEFORE, C_AFTER), 77.979, 95.137)
    assert near(paired_limits(C, 0.95), 79.732, 93.951)
    assert near(unpaired_limits(C_BEFORE, C_AFTER, 0.95), 75.396, 95.976)
    for confidence in (0.90, 0.95):
        assert grade(paired_limits(C, confidence), VIGNETTE) == "resistant"
        assert grade(unpaired_limits(C_BEFORE, C_AFTER, confidence), VIGNETTE) == "inconclusive"


def test_covariance_is_not_capped() -> None:
    """The interval that a cap of 0.9 on the covariance gives for data C (78.219–95.012) contradicts the vignette."""
    low = paired_limits(C).low
    assert low is not None
    assert low > 81


def test_thresholds_of_the_shepherds_own() -> None:
    """The four grades at 99/90, 99/95 and 95/85, from the limits alone."""
    assert grade(ReductionLimits(92, 98), CLINICAL) == "low resistant"
    assert grade(ReductionLimits(92, 98), RESEARCH) == "resistant"
    assert grade(ReductionLimits(92, 99), CLINICAL) == "susceptible"
    assert grade(ReductionLimits(92, 99.5), RESEARCH) == "inconclusive"
    assert grade(ReductionLimits(85, 94), VIGNETTE) == "low resistant"
    assert grade(ReductionLimits(None, None), CLINICAL) is None


@pytest.mark.parametrize(
    ("reduction", "low", "expected"),
    [(94.9, 89.9, "resistance"), (94.9, 90, "suspected"), (95, 89.9, "suspected"), (95, 90, "susceptible")],
)
def test_boundaries_of_1992(reduction: float, low: float, expected: str) -> None:
    """Under 95 and under 90 are strict, as in Coles et al. 1992 (diagram in bayescount)."""
    assert coles_grade(reduction, ReductionLimits(low, 99)) == expected
    assert coles_grade(95 - 1e-13, ReductionLimits(90, 99)) == "susceptible"


def test_no_eggs_afterwards_is_a_full_reduction_without_limits() -> None:
    """All counts nought afterwards: 100 %, and the limits are not calculable (note in eggCounts)."""
    result = paired_reduction([(count, 0) for count in A_BEFORE])
    assert result.reduction == 100
    assert (result.coles.limits.low, result.delta.limits.high, result.coles.grade) == (None, None, None)
    assert "no eggs at all afterwards" in no_range_words(result.delta.limits.missing)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (B[:4], "fewer than 5 sheep"),
        ([*((100, 0) for _ in range(8)), (100, 50), (200, 50)], "fewer than 3 counts"),
        ([(0, 50)] * 6, "nothing to compare"),
        ([], "nothing to compare"),
        ([(100, 10), (200, 20), (300, 30), (400, 40), (500, 50)], "no spread"),
    ],
)
def test_too_little_for_an_interval_says_so(data: list[tuple[int, int]], words: str) -> None:
    """Below 5 sheep or 3 counts above nought (bayescount's method pick) only the point estimate is given."""
    result = paired_reduction(data)
    assert words in no_range_words(result.delta.limits.missing)
    assert (result.delta.limits.low, result.delta.clinical, result.delta.research) == (None, None, None)


def test_no_eggs_before_gives_no_reduction() -> None:
    """Nothing can fall from nought."""
    result = unpaired_reduction([0, 0, 0], [50, 0, 0])
    assert (result.before_mean, result.reduction) == (0, None)
    assert result.coles.grade is None


def test_groups_without_any_spread_get_no_limits() -> None:
    """Two groups of equal counts show no spread at all."""
    result = unpaired_reduction([500.0] * 6, [50.0] * 6)
    assert result.reduction == pytest.approx(90)
    assert (result.coles.limits.low, result.delta.limits.low) == (None, None)
    assert "no spread" in no_range_words(result.coles.limits.missing)


def test_a_count_below_nought_is_refused() -> None:
    """A count below nought, or one that is no number, is an error and never an average."""
    for bad in (-50.0, float("nan")):
        with pytest.raises(ValueError, match="cannot be"):
            paired_reduction([(bad, 0)])


def test_without_scipy_the_reduction_stands_and_the_limits_say_why(monkeypatch: pytest.MonkeyPatch) -> None:
    """The optional library missing costs the limits and the grades, nothing else."""
    monkeypatch.setitem(sys.modules, "scipy", None)
    result = paired_reduction(A)
    assert result.reduction == pytest.approx(92.308, abs=5e-4)
    assert (result.coles.limits.low, result.coles.grade, result.delta.clinical) == (None, None, None)
    assert "scipy" in no_range_words(result.coles.limits.missing)
    assert "scipy" in no_range_words(result.delta.limits.missing)


@pytest.mark.parametrize(("days", "word"), [(6, "soon"), (7, None), (14, None), (17, None), (18, "late"), (0, "soon")])
def test_second_sample_too_soon_or_too_late(days: int, word: str | None) -> None:
    """Published windows lie within 7 to 17 days (Langston; Maryland; Bosco et al. 2020, Parasites & Vectors 13:457)."""
    warning = badly_timed(days)
    assert (warning is None) if word is None else (warning is not None and word in weakness_words(warning))


def test_small_tests_are_pointed_out() -> None:
    """The figures: 10 sheep and a mean of 150 (Coles et al. 1992), 90 eggs seen (W.A.A.V.P. 2023) (summaries)."""
    assert too_small(A_BEFORE, 50) == ()
    notes = [weakness_words(item) for item in too_small([100, 50, 0, 100], 50)]
    assert [note.split(";")[0] for note in notes] == ["4 sheep", "mean before 62", "5 eggs seen before the drench"]
    assert [weakness_words(item) for item in too_small([])] == ["no counts before the drench"]


@given(counts, counts)
def test_coles_agrees_with_scipy_and_numpy(before: list[int], after: list[int]) -> None:
    """The limits agree with the same formula on scipy's t and numpy's variances (independent libraries)."""
    limits = coles_limits(before, after)
    if limits.low is None or limits.high is None:
        return
    b, a = np.array(before, float), np.array(after, float)
    spread = b.var(ddof=1) / len(b) / b.mean() ** 2 + a.var(ddof=1) / len(a) / a.mean() ** 2
    reach = stats.t(len(b) + len(a) - 2).ppf(0.975) * sqrt(spread)
    for found, sign in ((limits.low, 1), (limits.high, -1)):
        assert found == pytest.approx(100 * (1 - a.mean() / b.mean() * exp(sign * reach)), rel=1e-9, abs=1e-9)


@given(pairs)
def test_delta_agrees_with_scipys_gamma(data: list[tuple[int, int]]) -> None:
    """The paired limits are quantiles of scipy's gamma with the published shape and scale (independent libraries)."""
    limits = paired_limits(data)
    if limits.low is None or limits.high is None:
        return
    table = np.cov(np.array(data, float).T)
    (pre, post), n = np.mean(np.array(data, float), axis=0), len(data)
    ratio = post / pre
    v = ratio**2 * (table[0, 0] / (n * pre**2) + table[1, 1] / (n * post**2) - 2 * table[0, 1] / (n * pre * post))
    gamma = stats.gamma(ratio**2 / v, scale=v / ratio)
    assert limits.low == pytest.approx(100 * (1 - gamma.ppf(0.95)), rel=1e-6, abs=1e-5)
    assert limits.high == pytest.approx(100 * (1 - gamma.ppf(0.05)), rel=1e-6, abs=1e-5)


@given(pairs)
def test_results_hold_together(data: list[tuple[int, int]]) -> None:
    """Limits are in order, a missing interval names its reason, and there is a grade exactly when there are limits."""
    result = paired_reduction(data)
    for limits, grades in (
        (result.coles.limits, [result.coles.grade]),
        (result.delta.limits, [result.delta.clinical, result.delta.research]),
    ):
        assert (limits.low is None) == (limits.high is None) == bool(limits.missing)
        assert all((found is None) == (limits.low is None) for found in grades)
        assert limits.low is None or limits.high is None or limits.low < limits.high <= 100


@given(pairs, st.floats(1, 100))
def test_reduction_does_not_depend_on_the_factor(data: list[tuple[int, int]], factor: float) -> None:
    """Raw eggs and eggs per gram give one reduction and one interval."""
    raw, scaled = paired_reduction(data), paired_reduction([(b * factor, a * factor) for b, a in data])
    assert scaled.reduction == (None if raw.reduction is None else pytest.approx(raw.reduction, rel=1e-9, abs=1e-7))
    if raw.delta.limits.low is not None:
        assert scaled.delta.limits.low == pytest.approx(raw.delta.limits.low, rel=1e-5, abs=1e-4)
