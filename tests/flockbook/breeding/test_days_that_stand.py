"""Days that only a joining, a mark or a scan that fits it can move: who is due, who is watched for, and who is not."""

from __future__ import annotations

from datetime import date

import pytest

from flockbook.derive.breeding.due import DueRow, WhyNot
from flockbook.pages.breeding import due_page
from flockbook.pages.today import front, year_ahead
from tests.flockbook.small import Notes, unchecked
from tests.flockbook.year.test_owed_hours import FLOCK
from tests.flockbook.year.test_twenty_moments import page_of, words

JOINING = "events/2025-10-15 joining Boaz.md"
STILL_IN: Notes = {**FLOCK, JOINING: "---\nmob: home\n---\n"}
LOST = {"events/2026-02-20 abortion Ada.md": "Two, half grown.\n"}
PLAN = {"plans/booster.md": "---\nnote: plan\nwhat: booster\nfor: home\nbefore first due: 4 weeks\n---\n"}


def due(notes: Notes, on: str) -> dict[str, DueRow]:
    """Who is due, by ewe."""
    return {row.ewe: row for row in unchecked(notes, on).facts.breeding.due.rows}


def told(notes: Notes, on: str) -> str:
    """The words of Today."""
    return words(page_of(unchecked(notes, on), front, "index.html"))


@pytest.mark.parametrize("on", ["2026-02-25", "2026-03-20", "2026-08-12"])
def test_a_ewe_that_lost_her_lambs_is_not_due_because_no_ram_out_is_written(on: str) -> None:
    """Common practice, no source: she is in lamb again when something tells of a ram, and not before."""
    seen = unchecked({**STILL_IN, **LOST, **PLAN}, on)
    assert "E1" not in {row.ewe for row in seen.facts.breeding.due.rows}
    assert ("E1", WhyNot.LOST_LAMBS) in [(one.ewe, one.why) for one in seen.facts.breeding.due.not_expected]
    assert all("E1" not in one.sheep for one in seen.facts.year.reminders if one.kind == "plan" and not one.done)


@pytest.mark.parametrize("text", ["---\nmob: home\n---\n- 12 Mar 2026 Ada\n", "---\nmob: home\nout: 2026-04-10\n---\n"])
def test_a_mark_or_a_ram_out_since_makes_her_due_again(text: str) -> None:
    """147 days (the book's own mean) from the end of February on are the end of July at the soonest."""
    row = due({**STILL_IN, **LOST, JOINING: text}, "2026-05-01")["E1"]
    assert row.due.likely is not None
    assert row.due.likely > date(2026, 7, 20)


def test_nobody_is_said_not_to_be_due_whose_window_is_open() -> None:
    """142 days (facts.md, the shortest) from 15 October are 6 March, long before the most likely day."""
    assert "Nobody is due within a week" in told(FLOCK, "2026-02-20")
    assert "3 ewes may lamb from 6 Mar 2026; none is most likely before" in told(FLOCK, "2026-03-01")
    assert "3 ewes may lamb from now on; none is most likely before" in told(FLOCK, "2026-03-08")


@pytest.mark.parametrize(("on", "said"), [("2025-11-01", "five weeks are reckoned"), ("2026-01-20", "until today")])
def test_the_year_ahead_reckons_an_open_joining_as_the_due_list_does(on: str, said: str) -> None:
    """Five weeks (Zoetis Australia), or until today: the last lambs are 152 days from there on both pages."""
    seen = unchecked(STILL_IN, on)
    last = max(row.due.latest for row in seen.facts.breeding.due.rows if row.due.latest)
    assert last == seen.facts.breeding.joinings[0].lambs.last
    assert said in words(page_of(seen, year_ahead, year_ahead.PATH))


def test_the_nights_are_watched_before_the_first_birth() -> None:
    """One in ten ewes has lambed by 149 days or so after ram in, by the joining alone: from then on looks are told."""
    looks = {"events/2026-03-17 2300 remark shed.md": "All quiet.\n"}
    nights = unchecked({**FLOCK, **looks}, "2026-03-18T09:00").facts.lambing.nights
    assert [(night.evening, night.looks) for night in nights][:1] == [(date(2026, 3, 17), 1)]
    first = min(row.likely_from for row in due(FLOCK, "2026-03-18").values() if row.likely_from)
    assert first == min(row.likely_from for row in due(FLOCK, "2026-01-05").values() if row.likely_from)
    assert min(night.evening for night in nights) == max(first, date(2026, 3, 12))
    assert not unchecked(FLOCK, "2026-03-01T09:00").facts.lambing.nights


@pytest.mark.parametrize("age", ["20 days", "140 days"])
def test_a_scanned_age_that_no_joining_explains_moves_no_day(age: str) -> None:
    """The ram was in from 15 October to 1 December: neither age on 18 January is of a day on which he was there."""
    scanned = {"events/2026-01-18 scan.md": "- Ada twins\n"}
    aged = {"events/2026-01-18 scan.md": f"- Ada twins, {age}\n"}
    with_age, without = due({**FLOCK, **aged}, "2026-03-01")["E1"], due({**FLOCK, **scanned}, "2026-03-01")["E1"]
    assert (with_age.due, with_age.lambs_scanned) == (without.due, 2)
    page = words(page_of(unchecked({**FLOCK, **aged}, "2026-03-01"), due_page, "due.html"))
    assert "no joining explains the age given at the scan: it was left out" in page
    sure = {"events/2026-01-18 scan.md": f"---\nsure: yes\n---\n- Ada twins, {age}\n"}
    assert due({**FLOCK, **sure}, "2026-03-01")["E1"].due != without.due


def test_a_ram_too_young_is_the_sire_of_nobody() -> None:
    """Born on 1 December, in from the 4th: puberty is at five months at the earliest (New Mexico State University)."""
    young = {
        "sheep/T1 Tim.md": "---\nnote: ram\nborn: 2025-12-01\n---\n",
        JOINING: "---\newes: Bea\nout: 2025-12-01\n---\n",
        "events/2025-12-04 joining Tim.md": "---\newes: Ada\nout: 2026-01-10\n---\n",
        "events/2026-05-01 lambing Ada.md": "- ewe 4 kg, tag 601\n",
    }
    grown = {"sheep/T1 Tim.md": "---\nnote: ram\nborn: 2024-12-01\n---\n"}
    for more, sires in (({}, ()), (grown, ("T1",))):
        found = unchecked({**FLOCK, **young, **more}, "2026-06-01").facts.breeding.matings
        assert found.sires_of["events/2026-05-01 lambing Ada.md"] == sires
