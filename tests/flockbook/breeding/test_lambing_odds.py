"""Lambing days of a ewe and of the flock: against a simulation, scipy, every outcome, and the trade's rule."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise, product
from math import prod

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom

from flockbook.derive.breeding.conception import (
    DEFAULT_MODEL,
    Assumed,
    DateBasis,
    Exposure,
    Posterior,
    known_service,
    season_posterior,
)
from flockbook.derive.breeding.gestation import Gestation, Span, lengths
from flockbook.derive.breeding.lambing_odds import (
    Due,
    LambingOdds,
    count_band,
    due_summary,
    flock_forecast,
    forecast_span,
    given_not_lambed,
    lambing_distribution,
)
from flockbook.derive.breeding.scanning import EweScan, narrow_by_scan
from tests.flockbook.ewe_simulation import BARREN, disagreement, lamb, live

FLOCK = Gestation()
IN = date(2025, 10, 15)
OUT = date(2025, 11, 19)
SPRING = date(2026, 3, 1)


def day(place: int) -> date:
    """The day so many days after the ram went in."""
    return IN + timedelta(days=place)


def odds(*marks: int, ram_in: date = IN, length: int = 35) -> LambingOdds:
    """The odds of a ewe with these marks, or of one whose joining records none."""
    ram_out = ram_in + timedelta(days=length)
    exposure = Exposure(ram_in, ram_out, tuple(ram_in + timedelta(days=mark) for mark in marks))
    return lambing_distribution(season_posterior((exposure,), DEFAULT_MODEL, ram_in + timedelta(days=137)), FLOCK)


def total(ewe: LambingOdds) -> float:
    """All chances together."""
    return sum(ewe.chances) + ewe.barren


def by_place(ewe: LambingOdds) -> dict[int, float]:
    """The chances by days after ram in, barren as -1, as the simulation has them."""
    first = (ewe.start - IN).days
    return {first + i: chance for i, chance in enumerate(ewe.chances)} | {BARREN: ewe.barren}


# One ewe -----------------------------------------------------------------------------------------------------------


def test_agrees_with_the_simulation() -> None:
    """The lambing days are those of a million and a half simulated ewes, at first and still waiting on day 160."""
    lambed = lamb(live((True,) * 36, seed=147).conceived, seed=152)
    assert disagreement(by_place(odds()), lambed) > 0.001
    waiting = lambed[(lambed >= 160) | (lambed == BARREN)]
    assert disagreement(by_place(given_not_lambed(odds(), day(160))), waiting) > 0.001


def test_known_service_in_full() -> None:
    """A service on 15 October 2025: window 6–16 March, likely 11 March (worked out from the published constants)."""
    due = due_summary(lambing_distribution(known_service(IN), FLOCK))
    assert (due.earliest, due.likely, due.latest) == (date(2026, 3, 6), date(2026, 3, 11), date(2026, 3, 16))
    # Normal 147 ± 2.3 d: 10 % of the curve lies below 144.05 and 90 % below 149.95 d.
    assert (due.p10, due.p90) == (date(2026, 3, 8), date(2026, 3, 14))
    assert (due.barren_chance, due.basis) == (0.25, DateBasis.SERVICE)


def test_quantiles_are_those_of_numpy() -> None:
    """10 and 90 % days agree with numpy's inverted distribution function over ten thousand copies of the chances."""
    ewe, due = odds(), due_summary(odds())
    counts = np.round(np.array(ewe.chances) / sum(ewe.chances) * 1e4).astype(int)
    days = np.repeat(np.arange(counts.size), counts)
    low, high = np.quantile(days, [0.1, 0.9], method="inverted_cdf")
    assert (due.p10, due.p90) == (ewe.start + timedelta(days=int(low)), ewe.start + timedelta(days=int(high)))


def test_last_mark_names_the_likely_day() -> None:
    """A ewe marked on day 5 is most likely due 147 days later, and so is one marked again on day 22."""
    assert due_summary(odds(5)).likely == day(5 + 147)
    assert due_summary(odds(5, 22)).likely == day(22 + 147)
    assert due_summary(odds(5, 22)).earliest == day(22 + 142)
    assert due_summary(odds(5)).basis is DateBasis.MARK


def test_window_of_a_joining() -> None:
    """An unmarked ewe's window is first + 142 … last + 152 (Streamland NZ)."""
    due = due_summary(odds())
    assert (due.earliest, due.latest) == (date(2026, 3, 6), date(2026, 4, 20))
    assert due.basis is DateBasis.JOINING


def test_flat_top_gives_its_middle() -> None:
    """First heats spread evenly over days 0–12 make a flat top with its middle at day 6 + 147."""
    assert due_summary(odds(length=12)).likely == day(6 + 147)


@pytest.mark.parametrize("year", [2022, 2023])
def test_second_week_of_october(year: int) -> None:
    """Rams in in the second week of October: lambing starts in the first two weeks of March.

    Common practice, no source. Started means that one in twenty of the ewes that will has lambed.
    """
    for start in Span(date(year, 10, 8), date(year, 10, 14)):
        ewe = odds(ram_in=start)
        running = np.cumsum(ewe.chances) / sum(ewe.chances)
        begun = ewe.start + timedelta(days=int(np.argmax(running >= 0.05)))
        assert date(year + 1, 3, 1) <= begun <= date(year + 1, 3, 14)


def test_waiting_loses_the_days_gone_by() -> None:
    """A ewe that has not lambed keeps today and what is to come, in proportion; barren rises (by hand)."""
    before = lambing_distribution(known_service(IN), FLOCK)
    after = given_not_lambed(before, day(147))
    left = sum(before.chance_on(day(place)) for place in range(147, 160))
    assert after.start == day(147)
    assert after.barren == pytest.approx(0.25 / (0.25 + left))
    assert after.chance_on(day(150)) == pytest.approx(before.chance_on(day(150)) / (0.25 + left))


def test_chance_of_days_outside() -> None:
    """Days before the first and after the last possible lambing have no chance."""
    ewe = lambing_distribution(known_service(IN), FLOCK)
    assert [ewe.chance_on(day(place)) for place in (137, 160)] == [0, 0]
    assert [ewe.chance_on(day(place)) for place in (138, 159)] == [ewe.chances[0], ewe.chances[-1]]


def test_waiting_before_the_first_day_changes_nothing() -> None:
    """Before any lambing is possible the odds stay as they are."""
    early = given_not_lambed(odds(), day(100))
    assert (early.chances, early.barren, early.asked) == (odds().chances, odds().barren, day(100))


def test_barren_never_falls_with_waiting() -> None:
    """Day by day without a lambing, the chance of being barren rises from its first value to 1."""
    chances = [given_not_lambed(odds(5), day(place)).barren for place in range(130, 220)]
    assert all(later >= earlier - 1e-12 for earlier, later in pairwise(chances))
    assert chances[0] == pytest.approx(odds(5).barren)
    assert chances[-1] == 1


def test_waiting_in_steps_is_waiting_once() -> None:
    """Asking on day 150 and then on day 155 gives the odds of asking on day 155."""
    steps = given_not_lambed(given_not_lambed(odds(), day(150)), day(155))
    once = given_not_lambed(odds(), day(155))
    assert steps.chances == pytest.approx(once.chances)
    assert steps.start == once.start
    assert steps.barren == pytest.approx(once.barren)


def test_likely_day_moves_on_once_it_is_past() -> None:
    """The day after the likely day she is most likely today; her window stays and then counts her as overdue."""
    ewe = lambing_distribution(known_service(IN), FLOCK)
    on_day, late, last, overdue = (given_not_lambed(ewe, day(place)) for place in (147, 150, 152, 154))
    assert due_summary(on_day).likely == day(147)
    assert due_summary(late).likely == day(150)
    assert due_summary(late).latest == day(152)
    assert [each.overdue for each in (ewe, on_day, late, last, overdue)] == [False, False, False, False, True]
    assert (due_summary(overdue).p10, due_summary(overdue).latest) == (day(154), due_summary(overdue).p90)


def test_past_every_day() -> None:
    """Past the longest gestation with no lambing written she counts as barren, keeps her window, and says so once."""
    late = given_not_lambed(given_not_lambed(odds(5), day(250)), day(260))
    assert late.doubts == (Assumed.PAST_DUE,)
    assert late.overdue
    assert due_summary(late) == Due(day(147), None, None, None, OUT + timedelta(days=152), 1.0, DateBasis.MARK)


def test_scanned_in_lamb_and_past_every_day() -> None:
    """A ewe scanned in lamb that never lambed cannot divide by nothing: she counts as barren and says so."""
    seen = narrow_by_scan(known_service(IN), EweScan(day(80), 1))
    late = given_not_lambed(lambing_distribution(seen, FLOCK), day(160))
    assert (late.barren, late.chances, late.doubts) == (1, (), (Assumed.PAST_DUE,))


def test_empty_ewe_has_no_dates() -> None:
    """A ewe scanned empty has no dates and nothing is overdue."""
    empty = narrow_by_scan(known_service(IN), EweScan(day(80), 0))
    waiting = given_not_lambed(lambing_distribution(empty, FLOCK), day(200))
    assert due_summary(waiting) == Due(None, None, None, None, None, 1.0, DateBasis.SCAN)
    assert (waiting.overdue, waiting.doubts) == (False, ())


def test_marks_that_contradict_each_other_still_hold_the_likely_day() -> None:
    """Close marks of which the later is unlikely: the 10–90 % days are stretched to the last mark's due day."""
    due = due_summary(odds(12, 20))
    assert due.likely == day(20 + 147)
    assert due.p10 is not None
    assert due.p90 is not None
    assert due.p10 <= due.likely <= due.p90


# The flock ---------------------------------------------------------------------------------------------------------


@given(st.lists(st.floats(0, 1), max_size=9))
def test_band_is_that_of_every_outcome(chances: list[float]) -> None:
    """The band agrees with adding up every possible outcome of up to nine ewes."""
    counts = [0.0] * (len(chances) + 1)
    for outcome in product((0, 1), repeat=len(chances)):
        counts[sum(outcome)] += prod(p if hit else 1 - p for p, hit in zip(chances, outcome, strict=True))
    running = np.cumsum(counts)
    expected = tuple(int(np.argmax(running >= share - 1e-12)) for share in (0.1, 0.9))
    assert count_band(chances) == expected


@pytest.mark.parametrize("ewes", [1, 7, 40, 400])
@pytest.mark.parametrize("chance", [0.003, 0.05, 0.37, 0.5, 0.98])
def test_band_of_equal_chances_is_binomial(ewes: int, chance: float) -> None:
    """Ewes with the same chance follow the binomial: scipy's quantiles."""
    assert count_band([chance] * ewes) == tuple(binom.ppf([0.1, 0.9], ewes, chance))


@pytest.mark.parametrize("seed", range(5))
def test_band_of_a_flock_is_that_of_a_convolution(seed: int) -> None:
    """Four hundred ewes with different chances: numpy's convolution of all of them, nothing cut off."""
    chances = np.random.default_rng(seed).beta(0.3, 3, 400)
    counts = np.array([1.0])
    for chance in chances:
        counts = np.convolve(counts, [1 - chance, chance])
    low, high = (int(np.argmax(np.cumsum(counts) >= share)) for share in (0.1, 0.9))
    assert count_band(chances.tolist()) == (low, high)


def test_band_without_ewes() -> None:
    """No ewes: none expected, none at most."""
    assert count_band([]) == (0, 0)
    assert count_band([1.0, 1.0]) == (2, 2)


def test_forecast_adds_up() -> None:
    """Over all days the ewes expected are the ewes less their chances of being barren; weeks end at the whole."""
    flock = [odds(), odds(), odds(3), odds(5, 22)]
    forecast = flock_forecast(flock, day(130), day(210))
    expected = sum(1 - ewe.barren for ewe in flock)
    assert forecast.total == pytest.approx(expected)
    assert sum(row.expected for row in forecast.days) == pytest.approx(expected)
    assert sum(week.expected for week in forecast.weeks) == pytest.approx(expected)
    assert forecast.weeks[-1].share_by_end == pytest.approx(1)
    assert [row.day for row in forecast.days] == list(Span(day(130), day(210)))


def test_forecast_of_one_day() -> None:
    """The ewes expected on a day are the sum of their chances, within the band of those chances."""
    flock = [odds(3), odds(3), odds(6)]
    row = flock_forecast(flock, day(150), day(150)).days[0]
    chances = [ewe.chance_on(day(150)) for ewe in flock]
    assert row.expected == pytest.approx(sum(chances))
    assert (row.low, row.high) == count_band(chances)


def test_busiest_day() -> None:
    """Three ewes marked on one day and one on another: the busiest day is that of the three."""
    flock = [lambing_distribution(known_service(day(place)), FLOCK) for place in (3, 3, 3, 14)]
    busiest = flock_forecast(flock, day(130), day(200)).busiest
    assert busiest is not None
    assert busiest.day == day(150)


def test_weeks_count_from_the_first_day_and_what_came_before() -> None:
    """Weeks of seven days, the last shorter; lambings before the first day are in the share that has lambed."""
    ewe = lambing_distribution(known_service(IN), FLOCK)
    forecast = flock_forecast([ewe], day(147), day(155))
    assert [week.span for week in forecast.weeks] == [Span(day(147), day(153)), Span(day(154), day(155))]
    by_end = sum(chance for when, chance in enumerate(ewe.chances, lengths(FLOCK).first) if when <= 153)
    assert forecast.weeks[0].share_by_end == pytest.approx(by_end / 0.75)


def test_forecast_of_nothing() -> None:
    """No ewes, barren ewes or no days give an empty answer, not an error."""
    empty = lambing_distribution(narrow_by_scan(known_service(IN), EweScan(day(80), 0)), FLOCK)
    for flock in ([], [empty]):
        forecast = flock_forecast(flock, day(147), day(150))
        assert (forecast.total, forecast.busiest, len(forecast.days)) == (0, None, 4)
        assert [week.share_by_end for week in forecast.weeks] == [0]
        assert forecast_span(flock) is None
    assert flock_forecast([odds()], day(150), day(149)).days == ()


def test_span_of_a_forecast() -> None:
    """The days to forecast run from the earliest window to the latest, without ewes that can no longer lamb."""
    past = given_not_lambed(lambing_distribution(known_service(day(-100)), FLOCK), day(100))
    assert forecast_span([odds(5), odds(), past]) == Span(day(142), OUT + timedelta(days=152))
    served = [lambing_distribution(known_service(day(place)), FLOCK) for place in (9, 4, 20)]
    assert forecast_span(served) == Span(day(4 + 142), day(20 + 152))


# Anything ----------------------------------------------------------------------------------------------------------

NEARBY = st.dates(date(2025, 9, 1), date(2025, 12, 31))
EXPOSURES = st.builds(
    Exposure, NEARBY, st.none() | NEARBY, st.lists(NEARBY, max_size=4).map(tuple), st.booleans(), st.none() | NEARBY
)
SCANS = st.builds(EweScan, st.dates(IN, date(2026, 3, 1)), st.none() | st.integers(0, 3), st.none() | st.just(70))


@st.composite
def posteriors(draw: st.DrawFn) -> Posterior:
    """The chances of any ewe, scanned or not."""
    exposures = draw(st.lists(EXPOSURES, max_size=2).map(tuple))
    posterior = season_posterior(exposures, DEFAULT_MODEL, draw(st.dates(IN, date(2026, 3, 1))))
    scan = draw(st.none() | SCANS)
    return narrow_by_scan(posterior, scan) if scan else posterior


@settings(deadline=None, max_examples=300)
@given(posteriors(), st.dates(date(2026, 1, 1), date(2026, 9, 1)), st.integers(0, 40))
def test_any_ewe_has_odds(posterior: Posterior, today: date, later: int) -> None:
    """Odds sum to 1, barren never falls with waiting, and the dates of the due list stand in order, none gone by."""
    ewe = lambing_distribution(posterior, FLOCK)
    waiting = given_not_lambed(ewe, today)
    longer = given_not_lambed(ewe, today + timedelta(days=later))
    assert [total(each) for each in (ewe, waiting, longer)] == pytest.approx([1, 1, 1])
    assert 0 <= ewe.barren <= waiting.barren + 1e-12 <= longer.barren + 2e-12 <= 1 + 3e-12
    due = due_summary(waiting)
    dates = [when for when in (due.earliest, due.p10, due.likely, due.p90, due.latest) if when]
    assert dates == sorted(dates)
    assert due.p10 is None or due.p10 >= today


@pytest.mark.parametrize("service", [date.min, date.max])
def test_edges_of_the_calendar(service: date) -> None:
    """The first and last day of the calendar are dates like others."""
    ewe = lambing_distribution(known_service(service), FLOCK)
    due = due_summary(given_not_lambed(ewe, service))
    assert due.likely is not None
    assert len(flock_forecast([ewe], due.likely, due.likely).days) == 1
