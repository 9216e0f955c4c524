"""Labour limits: published bands, the shepherd's own, and nights on which the clocks change."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.derive.lambing.after_birth import BirthPoint
from flockbook.derive.lambing.labour_limits import (
    DEFAULT,
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
from flockbook.handover.facts import facts_object
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import read

MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)
NIGHT = datetime(2026, 4, 19, 3, 10)
LONDON = ZoneInfo("Europe/London")
zones = st.sampled_from(
    ["Europe/London", "America/Denver", "Australia/Lord_Howe", "Pacific/Auckland", "Asia/Kathmandu"]
)
moments = st.datetimes(datetime(1990, 1, 1), datetime(2040, 1, 1))
delays = st.timedeltas(timedelta(0), timedelta(hours=30))


# As printed: Utah State University Extension AH/Sheep/12 (half an hour to an hour without progress), Anexa Vets NZ (an
# hour between lambs at most; afterbirth 12-24 h), Gascoigne in Farmers Weekly (half an hour between lambs; a correction
# should move within 10 minutes), and half an hour of skilled effort (a university guide).
SHED = {"sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n", "sheep/A2.md": "---\nnote: ewe\nborn: 2021\n---\n"}


def test_the_shed_s_limits_lie_within_the_printed_ones() -> None:
    """Waters at 03:10: look again and step in half an hour to an hour on, ring ten minutes to half an hour later; a ewe
    that lambed at 03:00 is asked after her afterbirth 12 to 24 hours on.
    """
    notes = {
        **SHED, "2026-04-19 labour A1.md": "---\nwaters: 03:10\n---\n",
        "2026-04-19 0300 lambing A2.md": "- ewe 4 kg, tag 7\n",
    }  # fmt: skip
    seen = read(notes, "2026-04-19T03:20")
    (row,) = facts_object(seen)["labours"]
    look, step, ring = (datetime.fromisoformat(row[name]) for name in ("look_again", "step_in", "ring_vet"))
    assert NIGHT + 30 * MINUTE <= look <= step <= NIGHT + 60 * MINUTE
    assert step + 10 * MINUTE <= ring <= step + 30 * MINUTE
    owed = {item.what.what: item.by for item in seen.facts.lambing.open_items if item.sheep == "A2"}
    asked = owed[BirthPoint.AFTERBIRTH]
    assert asked is not None
    assert NIGHT.replace(minute=0) + 12 * HOUR <= asked <= NIGHT.replace(minute=0) + 24 * HOUR


def test_the_cards_print_the_bands_as_they_are_printed(tmp_path: Path) -> None:
    """Each limit stands on the cards beside what was printed of it."""
    words = Compiled(SHED, "2026-04-19", tmp_path).words("cards.html")
    bands = ("look again 30 min 30 min to 1 h", "step in 1 h 30 min to 1 h", "ring the vet 30 min 10 min to 30 min")
    for printed in (*bands, "next lamb 30 min 30 min to 1 h", "ask 12 h 12 h to 24 h", "vet 24 h 12 h to 24 h"):
        assert printed in words, printed
    assert "Utah State University Extension AH/Sheep/12 (Bagley 1997)" in words
    assert "Anexa" in words


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
        start,
        datetime(2026, 3, 29, 2, 15),
        datetime(2026, 3, 29, 2, 45),
        datetime(2026, 3, 29, 3, 15),
        True,
        zone=LONDON,
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
