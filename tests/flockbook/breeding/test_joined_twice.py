"""A flock that joins twice in a calendar year: lambs in January, the rams in again in July, lambs in December.

Ewes bred out of season lamb about every eight months in accelerated systems (Cornell University, the STAR system: five
lambings in three years); 147 days from 5 July are 29 November.
"""

from __future__ import annotations

from datetime import date

import pytest

from flockbook.checks import joinings
from flockbook.derive.market.barriers import NearLambing
from flockbook.pages.breeding import due_page
from tests.flockbook.small import Notes, unchecked
from tests.flockbook.year.test_twenty_moments import page_of, words

FLOCK: Notes = {
    "flock.yaml": "flock: Twice\n",
    "mobs/home.md": "---\nnote: mob\n---\n",
    "sheep/E1 Ada.md": "---\nnote: ewe\nborn: 2021-03\nmob: home\n---\n",
    "sheep/E2 Bea.md": "---\nnote: ewe\nborn: 2021-03\nmob: home\n---\n",
    "sheep/R1 Boaz.md": "---\nnote: ram\nborn: 2020-03\n---\n",
    "events/2025-08-10 joining Boaz.md": "---\nmob: home\nout: 2025-09-14\n---\n",
    "events/2026-01-08 lambing Ada.md": "- ram 4.1 kg, tag 11\n",
}
AGAIN = {"events/2026-07-05 joining Boaz.md": "---\nmob: home\nout: 2026-08-09\n---\n"}
PLAN = {"plans/booster.md": "---\nnote: plan\nwhat: clostridial booster\nfor: home\nbefore first due: 4 weeks\n---\n"}
BORN = {"events/2026-12-02 lambing Ada.md": "- ram 4.0 kg, tag 12\n"}


BEFORE = {name: text for name, text in FLOCK.items() if "2025" not in name}
WINTER = {"events/2026-02-20 joining Boaz.md": "---\nmob: home\nout: 2026-03-20\n---\n"}


def due(notes: Notes, on: str) -> set[str]:
    """Who is awaited."""
    return {row.ewe for row in unchecked(notes, on).facts.breeding.due.rows}


@pytest.mark.parametrize(
    ("notes", "on", "awaited"),
    [
        (FLOCK, "2026-01-20", {"E2"}),
        (FLOCK | AGAIN, "2026-07-20", {"E1", "E2"}),
        (FLOCK | AGAIN, "2026-11-28", {"E1", "E2"}),
        (FLOCK | AGAIN | BORN, "2026-12-04", {"E2"}),
    ],
)
def test_a_ewe_that_lambed_in_january_is_awaited_from_a_july_joining(notes: Notes, on: str, awaited: set[str]) -> None:
    """One birth settles the joining that it can come from, and no other."""
    assert due(notes, on) == awaited


def test_the_due_page_names_her_and_her_days() -> None:
    """Ada, who has lambed in January, stands there with a day around the end of November."""
    page = words(page_of(unchecked(FLOCK | AGAIN, "2026-10-01"), due_page, "due.html"))
    assert "E1 Ada" in page
    [row] = [row for row in unchecked(FLOCK | AGAIN, "2026-10-01").facts.breeding.due.rows if row.ewe == "E1"]
    assert row.due.earliest
    assert row.due.latest
    assert row.due.earliest <= date(2026, 11, 29) <= row.due.latest


def test_plans_hang_on_the_later_joining() -> None:
    """Four weeks before the first is due: 147 days from 5 July, less 28, are 1 November, for both ewes."""
    made = unchecked(FLOCK | AGAIN | PLAN, "2026-10-01").facts.year.reminders
    [plan] = [one for one in made if one.kind == "plan" and one.date.year == 2026 and one.date.month > 6]
    assert (plan.date, set(plan.sheep)) == (date(2026, 11, 1), {"E1", "E2"})


def test_the_watch_begins_again() -> None:
    """Births of January tick off the watch of January alone."""
    made = unchecked(FLOCK | AGAIN, "2026-10-01").facts.year.reminders
    days = [(one.date, one.done) for one in made if one.kind == "watch"]
    assert (date(2026, 7, 5).toordinal() + 138, False) in [(day.toordinal(), done) for day, done in days]


def test_rams_that_are_changed_after_two_heats_are_one_turn() -> None:
    """A second ram for stragglers is no new joining: a ewe that lambed is not awaited from him."""
    changed = {"events/2025-09-20 joining Boaz.md": "---\nmob: home\nout: 2025-10-20\n---\n"}
    assert due(FLOCK | changed, "2026-01-20") == {"E2"}


def test_the_earlier_joining_need_not_be_written() -> None:
    """A birth before the ram went in is of no joining in the book, and ends none."""
    assert due(BEFORE | AGAIN, "2026-11-28") == {"E1", "E2"}
    assert due(BEFORE | AGAIN | BORN, "2026-12-04") == {"E2"}


def test_a_scan_speaks_of_the_last_joining_alone() -> None:
    """Scanned on 25 September: Ada holds twins of July, Bea is open; nobody is due by the scan alone, or twice."""
    scanned = {"events/2026-09-25 scan.md": "- Ada twins\n- Bea empty\n"}
    for notes in (FLOCK | AGAIN, BEFORE | AGAIN, FLOCK | WINTER | AGAIN):
        seen = unchecked(notes | scanned, "2026-11-28")
        rows = seen.facts.breeding.due.rows
        assert [(row.ewe, row.lambs_scanned) for row in rows] == [("E1", 2)]
        assert rows[0].odds.window
        assert rows[0].odds.window.first > date(2026, 11, 1)


def test_a_scan_after_two_joinings_is_of_the_last_and_told_of_nobody_as_unjoined() -> None:
    """Rams in from February and again from July are two joinings, not one of ten months."""
    scanned = {"events/2026-09-25 scan.md": "- Ada twins\n"}
    seen = unchecked(FLOCK | WINTER | AGAIN | scanned, "2026-11-28")
    assert not [item for item in joinings.scans(seen) if item.rule.code in ("B202", "B203")]


def test_a_ewe_bred_in_july_is_near_lambing_when_she_is_to_be_sold() -> None:
    """Regulation (EC) 1/2005, Annex I: from 90 % of pregnancy; 133 days from 5 July are 15 November."""
    seen = unchecked(BEFORE | AGAIN, "2026-11-28")
    assert any(isinstance(item.because.reason, NearLambing) for item in seen.facts.market.gate.fitness["E1"])
