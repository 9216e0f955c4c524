"""Labour limits: published bands, the shepherd's own, and nights on which the clocks change."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.shape import field_names
from flockbook.derive.lambing.labour_limits import (
    DEFAULT,
    PUBLISHED,
    AfterbirthClock,
    CountedFrom,
    LabourClock,
    LabourLimits,
    LabourState,
    afterbirth_clock,
    elapsed,
    labour_clock,
    labour_state,
    last_at,
    later,
    longer_than_published,
    next_lamb_by,
    start_of_labour,
)

MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)
NIGHT = datetime(2026, 4, 19, 3, 10)
LONDON = ZoneInfo("Europe/London")
zones = st.sampled_from(
    ["Europe/London", "America/Denver", "Australia/Lord_Howe", "Pacific/Auckland", "Asia/Kathmandu"]
)
moments = st.datetimes(datetime(1990, 1, 1), datetime(2040, 1, 1))
delays = st.timedeltas(timedelta(0), timedelta(hours=30))


def test_defaults_are_the_published_figures() -> None:
    """Utah State (1997), Anexa Vets, Gascoigne: 30, 60, 30, 30 minutes, 12 and 24 hours."""
    assert LabourLimits(30 * MINUTE, 60 * MINUTE, 30 * MINUTE, 30 * MINUTE, 12 * HOUR, 24 * HOUR) == DEFAULT


def test_every_limit_has_one_published_row_and_lies_within_its_band() -> None:
    """No limit is shown without its source; the farm's habit of 45 min lies in the band too (common practice)."""
    assert [row.field for row in PUBLISHED] == list(field_names(LabourLimits))
    for row in PUBLISHED:
        assert row.low <= getattr(DEFAULT, row.field) <= row.high
        assert row.source
        assert row.counts_from
    step_in = next(row for row in PUBLISHED if row.field == "step_in")
    assert step_in.low <= 45 * MINUTE <= step_in.high


def test_published_bands() -> None:
    """Minutes as printed by Utah State, Anexa Vets and Gascoigne, and hours of the afterbirth by Anexa Vets."""
    assert [(row.field, row.low / MINUTE, row.high / MINUTE) for row in PUBLISHED] == [
        ("look_again", 30, 60),
        ("step_in", 30, 60),
        ("call_vet", 10, 30),
        ("between_lambs", 30, 60),
        ("afterbirth_amber", 720, 1440),
        ("afterbirth_red", 720, 1440),
    ]


def test_a_labour_counts_from_the_water_bag_else_from_straining() -> None:
    """The bag is the surer sign; straining serves when nobody saw it; neither is no clock."""
    bag, straining = NIGHT, NIGHT - 20 * MINUTE
    assert start_of_labour(bag, straining) == (bag, CountedFrom.WATER_BAG)
    assert start_of_labour(None, straining) == (straining, CountedFrom.STRAINING)
    assert start_of_labour(None, None) is None


def test_look_again_after_half_an_hour_and_step_in_after_an_hour() -> None:
    """Utah State University Extension AH/Sheep/12: half an hour to an hour with no progress."""
    assert labour_clock(NIGHT) == LabourClock(
        NIGHT, NIGHT + 30 * MINUTE, NIGHT + 60 * MINUTE, NIGHT + 90 * MINUTE, False
    )


def test_the_shepherds_own_limits_replace_the_defaults() -> None:
    """A vet who says 15 and 45 minutes is obeyed."""
    clock = labour_clock(NIGHT, LabourLimits(look_again=15 * MINUTE, step_in=45 * MINUTE))
    assert (clock.look_again, clock.step_in) == (NIGHT + 15 * MINUTE, NIGHT + 45 * MINUTE)


def test_looking_again_never_comes_after_stepping_in() -> None:
    """A shepherd who only shortened `step in` is told to look no later than that; amber is never after red."""
    clock = labour_clock(NIGHT, LabourLimits(step_in=20 * MINUTE))
    assert clock.look_again == clock.step_in == NIGHT + 20 * MINUTE
    assert afterbirth_clock(NIGHT, LabourLimits(afterbirth_red=6 * HOUR)) == AfterbirthClock(
        NIGHT + 6 * HOUR, NIGHT + 6 * HOUR
    )


@pytest.mark.parametrize(
    ("minutes", "expected"),
    [
        (0, LabourState.WAIT),
        (29, LabourState.WAIT),
        (30, LabourState.LOOK_AGAIN),
        (59, LabourState.LOOK_AGAIN),
        (60, LabourState.STEP_IN),
        (89, LabourState.STEP_IN),
        (90, LabourState.RING_VET),
        (600, LabourState.RING_VET),
        (-5, LabourState.WAIT),
    ],
)
def test_what_an_open_labour_asks_for(minutes: int, expected: LabourState) -> None:
    """A limit is reached at its very minute, not after it."""
    assert labour_state(NIGHT, NIGHT + minutes * MINUTE) is expected


def test_stepping_in_wins_over_a_longer_look_again() -> None:
    """With look again set past step in, the labour asks for the graver of the two."""
    assert labour_state(NIGHT, NIGHT + 20 * MINUTE, LabourLimits(step_in=20 * MINUTE)) is LabourState.STEP_IN


def test_vet_next_lamb_and_afterbirth() -> None:
    """30 min of effort (university guide), 30 min between lambs (Gascoigne), 12 and 24 h (Anexa Vets)."""
    assert labour_clock(NIGHT).ring_vet == datetime(2026, 4, 19, 4, 40)
    assert next_lamb_by(NIGHT) == datetime(2026, 4, 19, 3, 40)
    assert afterbirth_clock(NIGHT) == AfterbirthClock(datetime(2026, 4, 19, 15, 10), datetime(2026, 4, 20, 3, 10))
    own = LabourLimits(call_vet=10 * MINUTE, between_lambs=20 * MINUTE)
    assert labour_clock(NIGHT, own).ring_vet == NIGHT + 70 * MINUTE
    assert next_lamb_by(NIGHT, own) == NIGHT + 20 * MINUTE


def test_limits_longer_than_any_published_are_named() -> None:
    """Three hours to stepping in is the flock's right on its vet's word, and the book says that it is longer."""
    assert longer_than_published(DEFAULT) == ()
    assert longer_than_published(LabourLimits(step_in=60 * MINUTE, call_vet=30 * MINUTE)) == ()
    assert [row.field for row in longer_than_published(LabourLimits(step_in=3 * HOUR, call_vet=31 * MINUTE))] == [
        "step_in",
        "call_vet",
    ]


def test_the_night_the_clocks_go_forward() -> None:
    """UK, 29 March 2026: 01:00 GMT becomes 02:00 BST, so half an hour after 00:45 the hands say 02:15."""
    start = datetime(2026, 3, 29, 0, 45)
    assert labour_clock(start, zone=LONDON) == LabourClock(
        start, datetime(2026, 3, 29, 2, 15), datetime(2026, 3, 29, 2, 45), datetime(2026, 3, 29, 3, 15), True
    )
    assert labour_state(start, datetime(2026, 3, 29, 2, 10), zone=LONDON) is LabourState.WAIT
    assert labour_state(start, datetime(2026, 3, 29, 2, 15), zone=LONDON) is LabourState.LOOK_AGAIN


def test_the_night_the_clocks_go_back() -> None:
    """UK, 25 October 2026: 02:00 BST becomes 01:00 GMT, so an hour after 01:40 the hands say 01:40 again."""
    start = datetime(2026, 10, 25, 1, 40)
    clock = labour_clock(start, zone=LONDON)
    assert (clock.look_again, clock.step_in) == (datetime(2026, 10, 25, 1, 10), datetime(2026, 10, 25, 1, 40))
    assert (clock.look_again.fold, clock.step_in.fold, clock.clocks_change) == (1, 1, True)
    assert elapsed(start, datetime(2026, 10, 25, 2, 40), LONDON) == 2 * HOUR


def test_an_hour_that_comes_twice_is_read_on_the_safe_side() -> None:
    """An unmarked start is the first pass and an unmarked now the second: the labour is never thought shorter."""
    assert elapsed(datetime(2026, 10, 25, 0, 50), datetime(2026, 10, 25, 1, 20), LONDON) == 90 * MINUTE
    assert elapsed(datetime(2026, 10, 25, 1, 20, fold=1), datetime(2026, 10, 25, 1, 50), LONDON) == 30 * MINUTE


def test_a_time_that_the_change_leaves_out_is_by_a_watch_not_yet_put_forward() -> None:
    """01:30 does not exist on 29 March 2026 in the UK; an unchanged watch means 02:30 BST by it."""
    assert later(datetime(2026, 3, 29, 1, 30), 30 * MINUTE, LONDON) == datetime(2026, 3, 29, 3, 0)
    assert elapsed(datetime(2026, 3, 29, 0, 50), datetime(2026, 3, 29, 1, 30), LONDON) == 40 * MINUTE


def test_without_a_zone_the_hands_are_all_there_is() -> None:
    """No zone given, no change of clocks known."""
    start = datetime(2026, 3, 29, 0, 45)
    assert later(start, 30 * MINUTE) == datetime(2026, 3, 29, 1, 15)
    assert elapsed(start, datetime(2026, 3, 29, 2, 15)) == 90 * MINUTE


def test_the_waters_went_before_midnight() -> None:
    """A bare clock time belongs to the last day on which it was not yet past the birth."""
    born = datetime(2026, 4, 19, 0, 40)
    assert last_at(time(23, 50), born) == datetime(2026, 4, 18, 23, 50)
    assert last_at(time(0, 10), born) == datetime(2026, 4, 19, 0, 10)
    assert last_at(time(0, 40), born) == born


def test_the_ends_of_the_calendar_are_no_trap() -> None:
    """A slipped year near 1 still gives a time; past 9999 there is none to give."""
    assert later(datetime(1, 1, 1, 0, 5), 30 * MINUTE, ZoneInfo("Pacific/Auckland")) == datetime(1, 1, 1, 0, 35)
    with pytest.raises(OverflowError):
        later(datetime(9999, 12, 31, 23, 50), 30 * MINUTE, LONDON)


def test_a_time_with_a_zone_is_refused_in_words() -> None:
    """Mixing the two kinds of time would be an hour out without a sign of it."""
    aware = datetime(2026, 4, 19, 3, 10, tzinfo=UTC)
    with pytest.raises(ValueError, match="local time without one"):
        labour_clock(aware)
    with pytest.raises(ValueError, match="local time without one"):
        elapsed(NIGHT, aware)
    with pytest.raises(ValueError, match="local time without one"):
        elapsed(aware, NIGHT)


@given(moments, delays, zones)
def test_later_and_elapsed_agree_with_counting_in_universal_time(start: datetime, delay: timedelta, name: str) -> None:
    """The standard library's zone data, in universal time, is the judge; the answer is always on a real clock."""
    zone = ZoneInfo(name)
    end = later(start, delay, zone)
    assert end.tzinfo is None
    assert end.replace(tzinfo=zone).astimezone(UTC) - start.replace(tzinfo=zone).astimezone(UTC) == delay
    assert elapsed(start, end, zone) >= delay
    assert elapsed(start, end, zone) - delay <= HOUR
