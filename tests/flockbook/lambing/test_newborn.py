"""Newborn care: published volumes, the chilled-lamb table and its boundaries."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.derive.lambing.birth_lines import PUBLISHED_LINES
from flockbook.derive.lambing.newborn import (
    CHILLED_LAMB_TABLE,
    BirthWeight,
    Care,
    LambState,
    chilled_lamb,
    colostrum_need,
    first_feed,
    glucose,
    lamb_state,
    litter_litres,
)
from flockbook.pages.lambing.chilled import with_caution

HOUR = timedelta(hours=1)
temperatures = st.floats(20, 44)
ages = st.none() | st.timedeltas(timedelta(0), timedelta(days=3))


@pytest.mark.parametrize(
    ("kg", "feed", "day", "low", "high"),
    [
        (4.0, 200, 800, 720, 840),
        (5.5, 275, 1100, 990, 1155),
        (2.5, 125, 500, 450, 525),
    ],
)
def test_colostrum_by_weight(kg: float, feed: float, day: float, low: float, high: float) -> None:
    """50 and 200 mL/kg: Vet Times 2018; 180–210: Mellor 1986. ADAS 1996 prints 800 mL for a 4 kg twin."""
    need = colostrum_need(kg)
    assert (need.feed_ml, need.day_ml, need.day_low_ml, need.day_high_ml) == pytest.approx((feed, day, low, high))


@pytest.mark.parametrize(("kg", "printed"), [(5.5, 1000), (3.2, 600)])
def test_a_printed_days_colostrum_lies_within_the_range(kg: float, printed: float) -> None:
    """ADAS, E. Rees, Farmers Weekly 8 Mar 1996: single and triplet planning weights and their 24 h totals."""
    need = colostrum_need(kg)
    assert need.day_low_ml <= printed <= need.day_high_ml


def test_an_outdoor_lamb_of_eleven_pounds_needs_thirty_five_ounces() -> None:
    """Pipestone vets, January 2018, after Mellor: 35 US fluid ounces in 18 h lies within the range."""
    need = colostrum_need(11 * 0.45359237)
    assert need.day_low_ml <= 35 * 29.5735295625 <= need.day_high_ml


def test_what_is_still_owed() -> None:
    """The day's total less what was recorded, never below nothing; a first feed short of 50 mL/kg is told."""
    need = colostrum_need(4.0)
    assert [need.owed(ml) for ml in (0, 150, 800, 900)] == [800, 650, 0, 0]
    assert [need.left_of_first_feed(ml) for ml in (0, 120, 160, 200)] == [200, 80, 0, 0]  # under a quarter: our choice


def test_a_very_small_lamb_still_gets_its_volumes() -> None:
    """0.8 kg is asked about as a birth weight, and its need is worked out all the same."""
    assert colostrum_need(0.8).feed_ml == pytest.approx(40)
    assert glucose(0.8).ml_of_20_percent == pytest.approx(8)


def test_a_litters_colostrum_in_litres() -> None:
    """Two twins of 4 kg need twice the 800 mL that ADAS prints for one."""
    assert litter_litres([4.0, 4.0]) == pytest.approx(1.6)
    assert litter_litres([]) == 0


def test_first_feed_by_two_hours_and_at_latest_six() -> None:
    """Vet Times 2018 (2 h) and Drummonds Ireland (6 h), over midnight and over the night the clocks go forward."""
    feed = first_feed(datetime(2026, 4, 18, 23, 10))
    assert (feed.by, feed.latest) == (datetime(2026, 4, 19, 1, 10), datetime(2026, 4, 19, 5, 10))
    spring = first_feed(datetime(2026, 3, 29, 0, 30), ZoneInfo("Europe/London"))
    assert (spring.by, spring.latest) == (datetime(2026, 3, 29, 3, 30), datetime(2026, 3, 29, 7, 30))


def test_small_old_lamb_at_36_with_its_head_down() -> None:
    """Eales 1982 (10 mL/kg, 6 h old) and NZ Lifestyle Block 2016 (40 mL for 4 kg): glucose, then warm, no tube."""
    advice = chilled_lamb(36.0, 6 * HOUR, head_up=False)
    assert advice is not None
    assert advice.state is LambState.SEVERE
    assert advice.steps.index(Care.GLUCOSE) < advice.steps.index(Care.WARM)
    assert Care.NO_TUBE in advice.steps
    assert Care.TUBE_ONCE_SWALLOWING not in advice.steps
    assert with_caution(advice, ["glucose"]) == "glucose (vet-taught technique; ask your vet)"
    made = glucose(4.0)
    assert (made.ml_of_20_percent, made.ml_of_40_percent, made.ml_of_water) == (40, 20, 20)


def test_the_same_lamb_two_hours_old() -> None:
    """NADIS 2006 and Rackley: warm first, then a tube of no more than 200 mL, and no glucose."""
    advice = chilled_lamb(36.0, 2 * HOUR)
    assert advice is not None
    assert advice.state is LambState.SEVERE
    assert advice.steps.index(Care.WARM) < advice.steps.index(Care.TUBE_ONCE_SWALLOWING)
    assert Care.GLUCOSE not in advice.steps
    assert with_caution(advice, ["warm"]) == "warm"
    assert colostrum_need(4.0).feed_ml == 200


@pytest.mark.parametrize(
    ("degrees", "state"),
    [
        (38.2, LambState.MILD),
        (37.0, LambState.MILD),
        (36.9, LambState.SEVERE),
        (36.99, LambState.SEVERE),
        (36.996, LambState.MILD),
        (38.9, LambState.MILD),
        (39.0, LambState.NORMAL),
        (40.0, LambState.NORMAL),
        (40.1, LambState.FEVER),
        ((98.6 - 32) * 5 / 9, LambState.MILD),
        ((98.5 - 32) * 5 / 9, LambState.SEVERE),
    ],
)
def test_states_at_the_boundaries(degrees: float, state: LambState) -> None:
    """NADIS 2006 and the hypothermia leaflet print the bands; the side of a boundary is our choice. 98.6 °F is 37."""
    assert lamb_state(degrees) is state


def test_a_mild_lamb_is_dried_fed_and_looked_at_again() -> None:
    """NADIS 2006, any age."""
    for age in (None, HOUR, 20 * HOUR):
        advice = chilled_lamb(38.2, age)
        assert advice is not None
        assert advice.steps == (Care.DRY, Care.SUCKLE, Care.SHELTER, Care.BACK_TO_EWE, Care.RECHECK)


def test_a_fever_is_the_vets() -> None:
    """Leaflet "Treating hypothermia in lambs": over 40 °C may be an infection."""
    advice = chilled_lamb(40.1, 9 * HOUR)
    assert advice is not None
    assert advice.steps == (Care.CALL_VET,)


@pytest.mark.parametrize(
    ("age", "spent"), [(timedelta(hours=4, minutes=59), False), (5 * HOUR, True), (6 * HOUR, True), (None, True)]
)
def test_a_lamb_counts_as_spent_from_five_hours(age: timedelta | None, spent: bool) -> None:
    """Eales et al. 1984: over 5 h; at 5 h exactly and of unknown age it counts as the older one, our choice."""
    advice = chilled_lamb(36.0, age)
    assert advice is not None
    assert advice.spent is spent
    assert (Care.GLUCOSE in advice.steps) is spent


@pytest.mark.parametrize("degrees", [19.9, 44.1, 3.7, 98.6, 101.5, math.nan, math.inf, -math.inf])
def test_a_temperature_no_living_lamb_has_gets_no_advice(degrees: float) -> None:
    """A figure in °F or a slipped digit must never read as a fever or a frozen lamb: common practice, no source."""
    assert lamb_state(degrees) is None
    assert chilled_lamb(degrees, HOUR) is None


@given(temperatures, ages, st.booleans())
def test_no_lamb_with_its_head_down_is_ever_tubed_or_left_without_the_vet(
    degrees: float, age: timedelta | None, head_up: bool
) -> None:
    """Leaflet "Treating hypothermia in lambs": never tube an unconscious lamb. Glucose always carries its caution."""
    advice = chilled_lamb(degrees, age, head_up)
    assert advice is not None
    assert advice.head_up is head_up
    assert advice.source
    assert ("ask your vet" in with_caution(advice, ["first"])) == (Care.GLUCOSE in advice.steps)
    assert len(set(advice.steps)) == len(advice.steps)
    if not head_up:
        assert advice.steps[0] is Care.CALL_VET
        assert Care.NO_TUBE in advice.steps
        assert not {Care.TUBE_ONCE_SWALLOWING, Care.SUCKLE} & set(advice.steps)
    assert advice in CHILLED_LAMB_TABLE


def test_the_card_shows_every_row_once_and_coldest_first() -> None:
    """Ten rows: severe young and spent, mild, normal and fever, each with head up and down."""
    kinds = [(row.state, row.spent, row.head_up) for row in CHILLED_LAMB_TABLE]
    assert len(set(kinds)) == len(kinds) == 10
    assert [row.state for row in CHILLED_LAMB_TABLE] == sorted(
        (row.state for row in CHILLED_LAMB_TABLE), key=list(LambState).index
    )


@pytest.mark.parametrize(
    ("kg", "found"),
    [
        (3.49, BirthWeight.LIGHT),
        (3.5, BirthWeight.USUAL),
        (5.5, BirthWeight.USUAL),
        (5.51, BirthWeight.HEAVY),
    ],
)
def test_birth_weight_against_the_published_lines(kg: float, found: BirthWeight) -> None:
    """Making More From Sheep, tool 10.9: under 3.5 kg exposure, over 5.5 kg a hard birth; the lines are neither."""
    assert PUBLISHED_LINES.of(kg) is found


@pytest.mark.parametrize("kg", [0, -4.0, math.nan])
def test_a_lamb_that_weighs_nothing_is_refused(kg: float) -> None:
    """No volume is ever worked out from a weight of nothing."""
    for work_out in (colostrum_need, glucose):
        with pytest.raises(ValueError, match="cannot weigh"):
            work_out(kg)
