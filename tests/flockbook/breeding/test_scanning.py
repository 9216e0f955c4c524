"""What a scan does to the chances: empties, lambs, ages, and scans that do not fit the joining."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from compiler.shape import replace
from flockbook.derive.breeding.conception import (
    DEFAULT_MODEL,
    Assumed,
    DateBasis,
    Exposure,
    Posterior,
    known_service,
    season_posterior,
)
from flockbook.derive.breeding.scanning import EweScan, age_limit, narrow_by_scan, scan_alone
from tests.flockbook.ewe_simulation import BARREN, disagreement, live

IN = date(2025, 10, 15)
OUT = date(2025, 11, 19)
SCANNED = date(2026, 1, 13)  # day 90, within 45 d after ram out … 100 d after ram in


def day(place: int) -> date:
    """The day so many days after the ram went in."""
    return IN + timedelta(days=place)


def joined(*marks: int) -> Posterior:
    """The chances of a ewe with these marks, or of one whose joining records none."""
    return season_posterior((Exposure(IN, OUT, tuple(map(day, marks))),), DEFAULT_MODEL, SCANNED)


def total(posterior: Posterior) -> float:
    """All chances together."""
    return sum(posterior.chances) + posterior.barren


@pytest.mark.parametrize(("age", "limit"), [(30, 2), (40, 2), (45, 2), (62.5, 3), (80, 4), (115, 6)])
def test_limits_of_a_scanned_age(age: float, limit: float) -> None:
    """± 2 days at 40, ± 4 at 80: Kelly & Newnham 1989, Aust. J. Agric. Res. 40:1293; the line between is ours."""
    assert age_limit(age) == pytest.approx(limit)


def test_age_agrees_with_the_simulation() -> None:
    """Simulated ewes whose age was read as 70 days, by a reader with these limits, conceived on the days we say."""
    lives = live((True,) * 36, seed=1989)
    rng = np.random.default_rng(40)
    spread = age_limit(70) / norm.ppf(0.975)
    read = 90 - lives.conceived + rng.normal(0, spread, lives.conceived.size)
    seen = lives.conceived[(lives.conceived != BARREN) & (abs(read - 70) < 0.1)]
    within = seen[abs(20 - seen) <= 2 * age_limit(70)]
    narrowed = narrow_by_scan(joined(), EweScan(SCANNED, 2, fetal_days=70))
    assert within.size > 2000
    assert within.size / seen.size > 0.999
    assert disagreement({(when - IN).days: chance for when, chance in narrowed.days.items()}, within) > 0.001
    assert narrowed.basis is DateBasis.SCAN
    assert narrowed.barren == 0


def test_limits_hold_most_of_the_chance() -> None:
    """On a flat joining nineteen in twenty of the chances lie within the 95 % limits of the scanned age."""
    flat = Posterior(IN, (1 / 61,) * 61, 0.0, DateBasis.JOINING)
    narrowed = narrow_by_scan(flat, EweScan(day(110), 1, fetal_days=80))
    within = sum(narrowed.chance_on(day(30 + off)) for off in range(-4, 5))
    assert within == pytest.approx(norm.cdf(4.5 * norm.ppf(0.975) / 4) * 2 - 1, abs=0.003)


def test_empty_is_barren() -> None:
    """A ewe scanned empty in the scan window is barren."""
    empty = narrow_by_scan(joined(5), EweScan(SCANNED, 0))
    assert (empty.barren, empty.days, empty.basis, empty.doubts) == (1, {}, DateBasis.SCAN, ())


def test_lambs_rule_out_barren() -> None:
    """A ewe scanned in lamb keeps the shape of her chances and is not barren."""
    before, after = joined(5), narrow_by_scan(joined(5), EweScan(SCANNED, 2))
    assert after.barren == 0
    assert after.chance_on(day(5)) == pytest.approx(before.chance_on(day(5)) / (1 - before.barren))
    assert (after.basis, after.served, after.doubts) == (DateBasis.MARK, day(5), ())


@pytest.mark.parametrize(("scanned", "possible"), [(0, 36), (28, 36), (29, 35), (63, 1), (64, 0)])
def test_empty_too_soon_keeps_the_late_services(scanned: int, possible: int) -> None:
    """A scan cannot see a service of the last 29 days (Vet. Quarterly 1985 tested days 29–89): that chance stays.

    The ram was in on days 0–35, so a scan on day 63 leaves the last of them open and one on day 64 leaves none.
    """
    empty = narrow_by_scan(joined(), EweScan(day(scanned), 0))
    assert total(empty) == pytest.approx(1)
    assert len(empty.days) == possible
    assert (Assumed.SCAN_EARLY in empty.doubts) == (scanned < 64)


def test_empty_too_soon_forgets_a_mark_it_could_see() -> None:
    """The due date no longer hangs on a mark which the scan found empty, and still hangs on one it could not see."""
    assert narrow_by_scan(joined(5), EweScan(day(50), 0)).served is None
    assert narrow_by_scan(joined(33), EweScan(day(50), 0)).served == day(33)


def test_age_chooses_between_two_close_marks() -> None:
    """Marks 10 days apart are one heat on either day: the scanned age says which, and the due date follows it."""
    assert narrow_by_scan(joined(2, 12), EweScan(SCANNED, 1, fetal_days=78)).served == day(12)
    earlier = narrow_by_scan(joined(2, 12), EweScan(SCANNED, 1, fetal_days=88))
    assert earlier.served is None
    assert earlier.chance_on(day(2)) > 0.99


@pytest.mark.parametrize(("age", "served"), [(87, day(5)), (88, None)])
def test_a_mark_the_scan_makes_less_than_half_as_likely_is_let_go(age: int, served: date | None) -> None:
    """The due date hangs on the last mark until another day is more than twice as likely.

    Marks 88 and 85 days before the scan: an age of 87 leaves the later 0.74 times as likely, one of 88 only 0.43 times.
    """
    assert narrow_by_scan(joined(2, 5), EweScan(SCANNED, 1, age)).served == served


def test_lambs_too_young_to_see() -> None:
    """Lambs seen on a scan are at least 18 days old: later services did not make them (Theriogenology)."""
    seen = narrow_by_scan(joined(), EweScan(day(35), 1))
    assert max(seen.days) == day(17)


@pytest.mark.parametrize("age", [40, 100])
def test_age_outside_the_joining_that_she_is_sure_of(age: int) -> None:
    """An age that no day of the joining fits keeps both halves and says so, so that no possible day is lost."""
    both = narrow_by_scan(joined(5), EweScan(SCANNED, 1, fetal_days=age, sure=True))
    assert both.doubts == (Assumed.SCAN_DISAGREES,)
    assert sum(chance for when, chance in both.days.items() if IN <= when <= OUT) == pytest.approx(0.5, abs=0.01)
    assert both.chance_on(SCANNED - timedelta(days=age)) > 0.05
    assert total(both) == pytest.approx(1)
    assert both.barren == 0


@pytest.mark.parametrize("age", [40, 100])
def test_age_outside_the_joining_is_left_out(age: int) -> None:
    """That lambs were seen stands, their age does not: the days are those of the joining."""
    ageless = narrow_by_scan(joined(5), EweScan(SCANNED, 1))
    left = narrow_by_scan(joined(5), EweScan(SCANNED, 1, fetal_days=age))
    assert left == replace(ageless, doubts=(Assumed.SCAN_AGE_OUTSIDE,))


@pytest.mark.parametrize("years", [-2, 2])
def test_lambs_seen_in_another_year(years: int) -> None:
    """A scan that is years from the joining is not of this joining: it is left out and the answer says so."""
    far = narrow_by_scan(joined(5), EweScan(SCANNED + timedelta(days=365 * years), 1, 80))
    assert far.doubts == (Assumed.SCAN_FAR,)
    assert (far.chances, far.barren) == (joined(5).chances, joined(5).barren)


def test_lambs_in_a_ewe_that_met_no_ram() -> None:
    """Lambs where the joining leaves no day: the scan alone gives the dates, and the answer says so."""
    none = season_posterior((), DEFAULT_MODEL, SCANNED)
    seen = narrow_by_scan(none, EweScan(SCANNED, 2, fetal_days=80))
    assert seen.doubts == (Assumed.NO_STAY, Assumed.SCAN_DISAGREES)
    assert seen.chances == scan_alone(EweScan(SCANNED, 2, 80)).chances


def test_scan_alone() -> None:
    """Without a joining: an age gives its own curve, no age any day from 142 to 18 days before."""
    aged, ageless = scan_alone(EweScan(SCANNED, 2, 80)), scan_alone(EweScan(SCANNED))
    assert max(aged.days, key=aged.chance_on) == SCANNED - timedelta(days=80)
    assert aged.start == SCANNED - timedelta(days=88)
    assert (min(ageless.days), max(ageless.days)) == (SCANNED - timedelta(days=142), SCANNED - timedelta(days=18))
    assert max(aged.days) == SCANNED - timedelta(days=72)
    assert (len(aged.days), len(ageless.days)) == (17, 125)
    assert [total(aged), total(ageless)] == pytest.approx([1, 1])


@pytest.mark.parametrize("age", [-5, 0, 17, 160, 10**9])
def test_impossible_age_is_left_out(age: int) -> None:
    """An age that lambs in the womb cannot have is not used; that they were seen still is."""
    odd = narrow_by_scan(joined(5), EweScan(SCANNED, 1, age))
    assert odd.chances == narrow_by_scan(joined(5), EweScan(SCANNED, 1)).chances
    assert odd.doubts == (Assumed.SCAN_AGE,)
    assert scan_alone(EweScan(SCANNED, 1, age)) == scan_alone(EweScan(SCANNED, 1))


def test_known_service_and_scan() -> None:
    """A hand service confirmed by scan is certain, on its day."""
    seen = narrow_by_scan(known_service(IN), EweScan(SCANNED, 1, 88))
    assert (seen.days, seen.served) == ({IN: 1.0}, IN)


@settings(deadline=None)
@given(
    st.dates(IN - timedelta(days=60), IN + timedelta(days=200)),
    st.none() | st.integers(0, 4),
    st.none() | st.integers(-10, 200),
    st.lists(st.integers(0, 35), max_size=3),
)
def test_any_scan_has_chances(when: date, lambs: int | None, age: int | None, marks: list[int]) -> None:
    """No scan raises; chances sum to 1 and a ewe scanned in lamb is never barren."""
    narrowed = narrow_by_scan(joined(*marks), EweScan(when, lambs, age))
    assert total(narrowed) == pytest.approx(1)
    assert all(0 <= chance <= 1 + 1e-12 for chance in (*narrowed.chances, narrowed.barren))
    assert lambs == 0 or narrowed.barren == 0 or Assumed.SCAN_FAR in narrowed.doubts


@pytest.mark.parametrize("when", [date.min, date.max])
@pytest.mark.parametrize("lambs", [0, 1])
@pytest.mark.parametrize("age", [None, 80])
def test_scans_at_the_edge_of_the_calendar(when: date, lambs: int, age: int | None) -> None:
    """The first and last day of the calendar are dates like others."""
    assert total(narrow_by_scan(joined(), EweScan(when, lambs, age))) == pytest.approx(1)
