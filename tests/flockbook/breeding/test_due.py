"""The due list through typed notes: scans, losses, several joinings, who leaves the list and why; days of a joining."""

from __future__ import annotations

from datetime import date

import pytest

from flockbook.derive.breeding.due import WhyNot
from flockbook.derive.breeding.gestation import Span
from flockbook.derive.facts import Facts
from flockbook.handover.facts import facts_object
from flockbook.saying.because import step_words
from tests.flockbook.small import Notes, read

EWE = "---\nnote: ewe\nborn: 2021\n---\n"
FLOCK = {
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "sheep/C231 Sorrel.md": EWE,
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
    "sheep/S2 Harrow.md": "---\nnote: ram\nborn: 2020\n---\n",
}
JOINED = {"2025-10-15 joining Sexton.md": "---\newes: C214, C230, C231\nout: 2025-11-19\n---\n"}


def facts(more: Notes, on: str) -> Facts:
    """The facts of the flock, joined to Sexton from 15 October to 19 November 2025, with more notes."""
    return read({**FLOCK, **JOINED, **more}, on).facts


def left(found: Facts) -> dict[str, WhyNot]:
    """Who is no longer expected, and why."""
    return {item.ewe: item.why for item in found.breeding.due.not_expected}


def listed(found: Facts) -> list[str]:
    """The ewes of the due list in order of tag."""
    return sorted(row.ewe for row in found.breeding.due.rows)


def test_the_days_of_a_joining() -> None:
    """Row 6: watch from 2 March (day 138, Current Therapy in Large Animal Theriogenology), lambs 6 March to 20 April
    (Streamland NZ: ram in + 142, ram out + 152), scan 3 to 23 January (Rural News NZ); crayon every 16 days.
    """
    (found,) = facts({}, "2025-12-01").breeding.joinings
    assert found.watch_from == date(2026, 3, 2)
    assert found.lambs == Span(date(2026, 3, 6), date(2026, 4, 20))
    assert found.scan == Span(date(2026, 1, 3), date(2026, 1, 23))
    assert found.crayons == (date(2025, 10, 31), date(2025, 11, 16))
    assert (found.rams, found.ewes, found.season) == (("S1",), ("C214", "C230", "C231"), 2026)
    assert (found.still_in, found.too_long_in) == (None, False)


def test_a_marked_ewe_comes_round_after_a_cycle() -> None:
    """Row 5: marked 12 September 2009, next heat 29 September (17 days, printed by a breeder), between 26 September and
    1 October (14-19 d, New Mexico State University); at 145 days due on 4 February 2010 (printed "about 4 Feb").
    """
    notes = {
        "flock.yaml": "flock: x\ngestation: 145 days\n",
        "sheep/C1.md": "---\nnote: ewe\nborn: 2006\n---\n",
        "sheep/R1.md": "---\nnote: ram\nborn: 2006\n---\n",
        "2009-09-10 joining.md": "---\nrams: R1\newes: C1\nout: 2009-10-14\n---\n- 12 Sep C1\n",
    }
    found = read(notes, "2009-09-20").facts
    (heat,) = found.breeding.joinings[0].next_heats
    assert (heat.ewe, heat.mark, heat.day) == ("C1", date(2009, 9, 12), date(2009, 9, 29))
    assert heat.band == Span(date(2009, 9, 26), date(2009, 10, 1))
    assert found.breeding.due.rows[0].due.likely == date(2010, 2, 4)
    assert read(notes, "2009-10-02").facts.breeding.joinings[0].next_heats == ()


def test_a_ram_left_in_is_told_after_two_heats() -> None:
    """Without a ram-out date he counts as in: 35 days are two heats (Zoetis Australia), more is too long."""
    note = {"2025-10-15 joining Sexton.md": "---\newes: C214\n---\n"}
    (within,) = read({**FLOCK, **note}, "2025-11-19").facts.breeding.joinings
    (beyond,) = read({**FLOCK, **note}, "2025-11-20").facts.breeding.joinings
    assert (within.still_in, within.too_long_in) == (35, False)
    assert (beyond.still_in, beyond.too_long_in) == (36, True)


def test_a_service_by_hand_has_no_crayon_and_a_watch_of_its_own() -> None:
    """Watched from 138 days after the service that was seen; nobody is still in."""
    note = {"2025-10-15 joining Sexton.md": "---\newes: C214\nmethod: hand\n---\n- 20 Oct C214\n"}
    (found,) = read({**FLOCK, **note}, "2025-12-01").facts.breeding.joinings
    assert (found.crayons, found.still_in, found.watch_from) == ((), None, date(2026, 3, 7))
    assert found.lambs == Span(date(2026, 3, 11), date(2026, 3, 21))


def test_a_season_is_to_be_scanned_by_the_last_day_that_suits() -> None:
    """The reminder stands on 23 January; a scan note ticks off whom it names, and names whom it missed; a task of the
    shepherd's own replaces it.
    """
    reminders = [item for item in facts({}, "2025-12-01").year.reminders if item.kind == "scan"]
    assert [(item.date, item.done) for item in reminders] == [(date(2026, 1, 23), False)]
    part = facts({"2026-01-10 scan.md": "- C214 twins\n"}, "2026-01-11").year.reminders
    assert [(item.done, item.sheep) for item in part if item.kind == "scan"] == [(False, ("C230", "C231"))]
    whole = facts({"2026-01-10 scan.md": "- C214 twins\n- C230 single\n- C231 empty\n"}, "2026-01-11").year.reminders
    assert [item.done for item in whole if item.kind == "scan"] == [True]
    own = facts({"2025-11-20 task.md": "---\nwhat: book the scanner\n---\n"}, "2025-12-01").year.reminders
    assert [item for item in own if item.kind == "scan"] == []


def test_a_ewe_leaves_the_list_with_a_reason() -> None:
    """Scanned empty and aborted ewes are named with the day and the note; the third stays due."""
    more = {"2026-01-10 scan.md": "- C231 empty\n- C214 twins\n", "2026-02-20 abortion C230.md": ""}
    found = facts(more, "2026-02-21")
    assert listed(found) == ["C214"]
    assert left(found) == {"C231": WhyNot.SCANNED_EMPTY, "C230": WhyNot.LOST_LAMBS}
    assert [item.since for item in found.breeding.due.not_expected] == [date(2026, 1, 10), date(2026, 2, 20)]
    assert all(item.because[-1].note in more for item in found.breeding.due.not_expected)


def test_nobody_leaves_the_list_before_the_note_that_says_so() -> None:
    """Asked about the day before, the scan and the loss have not happened."""
    more = {"2026-01-10 scan.md": "- C231 empty\n", "2026-02-20 abortion C230.md": ""}
    assert listed(facts(more, "2026-01-10")) == ["C214", "C230", "C231"]
    assert listed(facts(more, "2026-02-20")) == ["C214", "C230"]


def test_past_her_day_a_ewe_is_overdue_then_no_longer_expected_until_a_note_settles_it() -> None:
    """Last possible day 20 April: overdue until 11 May (21 days, our own), then told as past until her own note says
    what came; a ewe that nobody wrote of is not forgotten after two months.
    """
    assert [row.odds.overdue for row in facts({}, "2026-04-20").breeding.due.rows] == [False] * 3
    overdue = facts({}, "2026-04-21")
    assert [row.odds.overdue for row in overdue.breeding.due.rows] == [True] * 3
    assert left(overdue) == {}
    past = facts({}, "2026-05-12")
    assert (past.breeding.due.rows, set(left(past).values()), past.breeding.forecast.total) == (
        (),
        {WhyNot.PAST_LAST_DAY},
        0,
    )
    assert set(left(facts({}, "2026-09-20"))) == {"C214", "C230", "C231"}
    settled = {
        "2026-05-20 scan.md": "- C214 empty\n", "2026-05-21 remark C230.md": "Empty, no bag on her.\n",
        "2026-05-22 remark C231.md": "A dry day, and she grazes.\n",
    }  # fmt: skip
    assert set(left(facts(settled, "2026-06-20"))) == {"C231"}
    assert left(facts({}, "2027-04-21")) == {}


def test_of_two_scans_the_later_corrects_the_earlier() -> None:
    """In lamb after "empty" puts her back; empty after "twins" takes her off."""
    back = facts({"2025-12-20 scan.md": "- C214 empty\n", "2026-01-15 scan.md": "- C214 twins\n"}, "2026-01-16")
    assert {row.ewe: row.lambs_scanned for row in back.breeding.due.rows}["C214"] == 2
    off = facts({"2025-12-20 scan.md": "- C214 twins\n", "2026-01-15 scan.md": "- C214 empty\n"}, "2026-01-16")
    assert left(off) == {"C214": WhyNot.SCANNED_EMPTY}


def test_a_later_scan_without_an_age_or_a_count_keeps_those_of_the_earlier() -> None:
    """66 days on 10 January is a service of 5 November, due on 1 April; the second scan says only "in lamb"."""
    first, second = {"2026-01-10 scan.md": "- C214 twins, 66 days\n"}, {"2026-02-01 scan.md": "- C214 in lamb\n"}
    once = next(row for row in facts(first, "2026-02-02").breeding.due.rows if row.ewe == "C214")
    twice = next(row for row in facts({**first, **second}, "2026-02-02").breeding.due.rows if row.ewe == "C214")
    assert twice.due == once.due
    assert (twice.lambs_scanned, twice.due.basis) == (2, "scan")
    assert str(twice.due.likely) in ("2026-03-31", "2026-04-01", "2026-04-02")


def test_a_ewe_put_back_to_the_ram_after_losing_her_lambs_is_due_by_the_later_service() -> None:
    """Lost on 20 December, with Harrow from 22 December: nothing before 142 days after that is left."""
    more = {
        "2025-12-20 abortion C230.md": "",
        "2025-12-22 joining Harrow.md": "---\newes: C230\nout: 2026-01-25\n---\n",
    }
    row = next(item for item in facts(more, "2026-02-01").breeding.due.rows if item.ewe == "C230")
    assert row.due.earliest == date(2026, 5, 13)
    assert sum(row.odds.chances) + row.odds.barren == pytest.approx(1)
    assert all("C230" not in item.ewe for item in facts(more, "2026-02-01").breeding.due.not_expected)


def test_a_ewe_scanned_in_lamb_that_no_joining_names_is_due_by_the_scan() -> None:
    """Bought in lamb: 60 days on 10 January is a service of 11 November, due about 7 April (147 d); no ram is known."""
    more = {"sheep/C9 Fern.md": EWE, "2026-01-10 scan.md": "- C9 single, 60 days\n"}
    row = next(item for item in facts(more, "2026-02-01").breeding.due.rows if item.ewe == "C9")
    assert (row.rams, row.lambs_scanned, row.due.basis, row.season) == ((), 1, "scan", 2026)
    assert abs((row.due.likely - date(2026, 4, 7)).days) <= 1 if row.due.likely else False
    lambed = facts({**more, "2026-04-07 lambing C9.md": "- ewe 4.0\n"}, "2026-04-08")
    assert "C9" not in listed(lambed)
    assert "C9" not in listed(facts({**more, "2026-02-20 abortion C9.md": ""}, "2026-02-21"))


def test_a_flock_known_from_scans_alone_has_a_forecast_and_no_fault() -> None:
    """No joining is written at all: the list, the forecast and the reminders still come."""
    notes = {"sheep/C9 Fern.md": EWE, "2026-01-10 scan.md": "- C9 twins, 60 days\n"}
    found = read(notes, "2026-02-01").facts
    assert [row.ewe for row in found.breeding.due.rows] == ["C9"]
    assert found.breeding.forecast.total == pytest.approx(1)
    assert found.breeding.joinings == ()


def test_a_ewe_in_two_joinings_names_both_rams() -> None:
    """With Sexton, then with Harrow: one row, both rams, and the window of both."""
    row = next(
        item
        for item in facts(
            {"2025-11-20 joining Harrow.md": "---\newes: C214\nout: 2025-12-10\n---\n"}, "2026-01-01"
        ).breeding.due.rows
        if item.ewe == "C214"
    )
    assert row.rams == ("S1", "S2")
    assert (row.due.earliest, row.due.latest) == (date(2026, 3, 6), date(2026, 5, 11))


def test_doubts_stand_in_the_working() -> None:
    """Marks 23 days apart fit no cycle of 14-19 days (New Mexico State University); told with her name."""
    marks = {
        "2025-10-15 joining Sexton.md": "---\newes: C214, C230\nout: 2025-11-19\n---\n- 16 Oct C214\n- 8 Nov C214\n"
    }
    row = next(item for item in facts(marks, "2025-12-01").breeding.due.rows if item.ewe == "C214")
    assert any(item.rule == "doubt" and "Bramble" in step_words(item) for item in row.because)


def test_the_facts_file_tells_the_scan() -> None:
    """Litter size, basis `scan` where an age was given, and an empty ewe left out."""
    more = {"2026-01-10 scan.md": "- C214 twins, 77 days\n- C230 single\n- C231 empty\n"}
    rows = {row["ewe"]: row for row in facts_object(read({**FLOCK, **JOINED, **more}, "2026-02-01"))["due"]}
    assert set(rows) == {"C214", "C230"}
    assert (rows["C214"]["basis"], rows["C214"]["lambs_scanned"], rows["C214"]["barren_chance"]) == ("scan", 2, 0)
    assert (rows["C230"]["basis"], rows["C230"]["lambs_scanned"]) == ("joining", 1)
