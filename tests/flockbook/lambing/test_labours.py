"""Labours under way and the looks of a lambing night, through typed notes."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from flockbook.derive.facts import Facts
from flockbook.derive.lambing.labour_limits import LabourState
from flockbook.handover.facts import facts_object
from tests.flockbook.small import Notes, read

EWE = "---\nnote: ewe\nborn: 2021\n---\n"
FLOCK = {
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
    "2025-10-15 joining Sexton.md": "---\newes: C214, C230\nout: 2025-11-19\n---\n",
}
LONDON = {"flock.yaml": "flock: x\ntimezone: Europe/London\n"}


def facts(more: Notes, on: str) -> Facts:
    """The facts of the flock with more notes."""
    return read({**FLOCK, **more}, on).facts


@pytest.mark.parametrize(
    ("clock", "asked"),
    [
        ("03:29", LabourState.WAIT),
        ("03:30", LabourState.LOOK_AGAIN),
        ("03:59", LabourState.LOOK_AGAIN),
        ("04:00", LabourState.STEP_IN),
    ],
)
def test_what_the_clock_asks_for(clock: str, asked: LabourState) -> None:
    """Water bag at 03:00: look at 30 minutes, step in at 60 without progress (Utah State University AH/Sheep/12:
    30-60 min), at the very minute.
    """
    note = {"2026-03-16 0305 labour Bramble.md": "---\nwaters: 03:00\n---\n"}
    (labour,) = facts(note, f"2026-03-16T{clock}").lambing.labours
    assert labour.standing is asked


def test_a_day_without_a_time_asks_for_nothing() -> None:
    """On a day as such, yesterday's labour stands open and no limit is held against it."""
    (labour,) = facts({"2026-03-16 2300 labour Bramble.md": ""}, "2026-03-17").lambing.labours
    assert labour.standing is None


def test_without_the_water_bag_the_first_straining_counts_then_the_note() -> None:
    """The bag where it was seen; else the first signs; else the time of the note itself."""
    seen = {"2026-03-16 0305 labour Bramble.md": "---\nseen: 02:10\n---\n"}
    bare = {"2026-03-16 0305 labour Bramble.md": ""}
    both = {"2026-03-16 0305 labour Bramble.md": "---\nseen: 02:10\nwaters: 02:50\n---\n"}
    since = [facts(note, "2026-03-16T03:10").lambing.labours[0] for note in (seen, bare, both)]
    assert [(f"{item.clock.since:%H:%M}", item.basis) for item in since] == [
        ("02:10", "first straining"),
        ("03:05", None),
        ("02:50", "water bag"),
    ]


def test_the_night_the_clocks_go_back() -> None:
    """25 October 2026 in London: an hour after a bag at 01:30 (read as the first pass) the hands show 01:30 again."""
    note = {**LONDON, "2026-10-25 0135 labour Bramble.md": "---\nwaters: 01:30\n---\n"}
    (labour,) = facts(note, "2026-10-25T01:40").lambing.labours
    assert labour.clock.step_in == datetime(2026, 10, 25, 1, 30)
    assert labour.clock.clocks_change


def test_a_second_note_is_another_look_on_the_same_clock() -> None:
    """The clock goes on from the first bag; what shows and the last look are those of the second note."""
    notes = {
        "2026-03-15 2355 labour Bramble.md": "---\nwaters: 23:50\nshows: bag\n---\n",
        "2026-03-16 0025 labour Bramble.md": "---\nshows: one foot\n---\n",
    }
    (labour,) = facts(notes, "2026-03-16T00:40").lambing.labours
    assert labour.clock.since == datetime(2026, 3, 15, 23, 50)
    assert (labour.shows, labour.last_looked) == ("one foot", datetime(2026, 3, 16, 0, 25))


def test_lambs_lost_close_a_labour_and_two_days_let_it_fall() -> None:
    """An abortion note closes it; without any further note it is no longer shown after 48 hours (our own choice)."""
    note = {"2026-03-16 0300 labour Bramble.md": ""}
    lost = {**note, "2026-03-16 0400 abortion Bramble.md": ""}
    assert facts(lost, "2026-03-16T04:30").lambing.labours == ()
    assert len(facts(note, "2026-03-18T02:59").lambing.labours) == 1
    assert facts(note, "2026-03-18T03:00").lambing.labours == ()


def test_a_dead_ewe_is_not_in_labour() -> None:
    """Her death closes it too."""
    notes = {
        "2026-03-16 0300 labour Bramble.md": "",
        "2026-03-16 0500 death Bramble.md": "---\ncause: hard birth\n---\n",
    }
    assert facts(notes, "2026-03-16T06:00").lambing.labours == ()


def test_the_facts_file_tells_open_labours() -> None:
    """Ewe, since, look again, step in."""
    note = {"2026-03-16 0030 labour Bramble.md": "---\nwaters: 23:50\n---\n"}
    (row,) = facts_object(read({**FLOCK, **note}, "2026-03-16T00:40"))["labours"]
    assert row["ewe"] == "C214"
    assert (row["since"], row["look_again"], row["step_in"], row["open"]) == (
        "2026-03-15T23:50",
        "2026-03-16T00:20",
        "2026-03-16T00:50",
        True,
    )


# Looks through the night

NIGHT = {
    "2026-03-15 1500 lambing Teasel.md": "- ewe 4.0\n",
    "2026-03-15 2200 remark round.md": "All quiet.\n",
    "2026-03-16 0330 labour Bramble.md": "",
    "2026-03-16 0500 remark round.md": "Still at it.\n",
}


def test_the_longest_time_without_a_look_through_a_night() -> None:
    """Looks at 22:00, 03:30 and 05:00 between 20:00 and 08:00: the longest gap is five and a half hours, more than the
    four of the default (checks each 4-6 h, Current Therapy in Large Animal Theriogenology).
    """
    night = facts(NIGHT, "2026-03-16T12:00").lambing.nights[0]
    assert (night.evening.isoformat(), night.looks) == ("2026-03-15", 3)
    assert (night.longest.start, night.longest.length) == (datetime(2026, 3, 15, 22), timedelta(hours=5.5))
    assert night.too_long
    own = facts({**NIGHT, "flock.yaml": "flock: x\nlook every: 6 h\n"}, "2026-03-16T12:00").lambing.nights[0]
    assert not own.too_long


def test_a_night_under_way_counts_up_to_now() -> None:
    """At one in the morning the last look is three hours old, and the rest of the night is not held against anybody."""
    night = facts(NIGHT, "2026-03-16T01:00").lambing.nights[0]
    assert (night.looks, night.longest.length, night.too_long) == (1, timedelta(hours=3), False)
    assert night.longest.end == datetime(2026, 3, 16, 1)


def test_an_hour_that_the_clocks_leave_out_is_not_counted() -> None:
    """29 March 2026 in London: from 00:00 to 05:00 by the hands only four hours pass."""
    notes = {
        **LONDON,
        "2026-03-28 1500 lambing Teasel.md": "- ewe 4.0\n",
        "2026-03-29 0000 remark round.md": "Quiet.\n",
        "2026-03-29 0500 remark round again.md": "Quiet.\n",
    }
    night = facts(notes, "2026-03-29T05:00").lambing.nights[0]
    assert night.longest.length == timedelta(hours=4)


def test_only_nights_of_the_watch_are_told() -> None:
    """Nothing before lambs are likely, nothing once nobody is due; no time of day, no look; at most a week."""
    assert facts({}, "2026-01-10T12:00").lambing.nights == ()
    assert facts(NIGHT, "2026-08-10T12:00").lambing.nights == ()
    untimed = facts({"2026-03-15 lambing Teasel.md": "- ewe 4.0\n"}, "2026-03-17T12:00")
    assert [night.looks for night in untimed.lambing.nights if night.evening.day == 15] == [0]
    assert len(facts(NIGHT, "2026-04-10T12:00").lambing.nights) == 7


def test_a_birth_in_the_hour_that_comes_twice_closes_the_labour_before_it() -> None:
    """On 25 October 2026 London has 01:00 to 02:00 twice: labour at 01:50, lambs at 01:10, twenty minutes later."""
    notes = {
        **FLOCK,
        "flock.yaml": "flock: x\ntimezone: Europe/London\n",
        "2026-10-25 0150 labour Bramble.md": "",
        "2026-10-25 0110 lambing Bramble.md": "- ewe 4.0\n",
    }
    assert read(notes, "2026-10-25T03:00").facts.lambing.labours == ()
    without = {**notes, "flock.yaml": "flock: x\n"}
    assert [item.ewe for item in read(without, "2026-10-25T03:00").facts.lambing.labours] == ["C214"]


def test_an_hour_added_to_a_note_is_of_the_same_night() -> None:
    """She began the note at 02:10 and wrote the waters when they broke, at 02:15: step in an hour later, and no vet
    is a day late. An hour that has not come yet is of the day before.
    """
    note = {"2026-03-16 0210 labour Bramble.md": "---\nwaters: 02:15\n---\n"}
    (labour,) = facts(note, "2026-03-16T03:00").lambing.labours
    assert (labour.clock.since, labour.clock.step_in) == (datetime(2026, 3, 16, 2, 15), datetime(2026, 3, 16, 3, 15))
    (early,) = facts(note, "2026-03-16T02:12").lambing.labours
    assert early.clock.since == datetime(2026, 3, 15, 2, 15)
    before = {"2026-03-16 0010 labour Bramble.md": "---\nwaters: 23:50\n---\n"}
    (looked_back,) = facts(before, "2026-03-16T01:00").lambing.labours
    assert looked_back.clock.since == datetime(2026, 3, 15, 23, 50)
