"""Moments at which a shepherd was left without the row she needed: from notes to Today, To do and the loading list."""

from __future__ import annotations

import pytest

from flockbook.pages.market import loading
from flockbook.pages.today import front, to_do
from tests.flockbook.families import drawn, made
from tests.flockbook.small import Notes, codes, read, unchecked
from tests.flockbook.year.test_twenty_moments import Line, page_of, rows, sections, words

US = "flock: Small\nunits: us\nwords: us\ndates: month-day\ncountry: US\ncurrency: USD\n"
EWE = "---\nnote: ewe\nborn: 2021\n---\n"
FLOCK: Notes = {"flock.yaml": US, "sheep/1 Edith.md": EWE, "sheep/2 Kit.md": EWE}
SOLD = "---\nsheep: Edith\nto: Auction\nuse: slaughter\nsure: yes\n{}---\n"
LAME: Notes = {
    **FLOCK,
    "events/2026-03-22 illness Edith.md": "---\nproblem: lameness\n---\n",
    "events/2026-03-26 sale Edith.md": SOLD.format(""),
}


def now(notes: Notes, on: str) -> list[Line]:
    """The rows under Now on Today, which are those of To do."""
    seen = unchecked(notes, on)
    found = list(rows(sections(page_of(seen, front, "index.html")).get("Now")))
    assert found == list(rows(sections(page_of(seen, to_do, "to-do.html")).get("Now")))
    return found


def told(notes: Notes, on: str) -> str:
    """All rows under Now, in words."""
    return " | ".join(f"{row.who} {row.what} {row.more}" for row in now(notes, on))


def today(notes: Notes, on: str) -> str:
    """The words of Today."""
    return words(page_of(unchecked(notes, on), front, "index.html"))


# A sale to come


@pytest.mark.parametrize("on", ["2026-03-25T20:00", "2026-03-26T06:00", "2026-03-26T23:30"])
def test_a_planned_sale_without_an_hour_is_to_come_until_its_day_is_over(on: str) -> None:
    """Common practice, no source: on the morning of the sale the lame ewe, her list and the warning stand."""
    assert "asked before Auction on Mar 26, 2026" in told(LAME, on)
    assert "loading-2026-03-26.html" in {page.path for page in made(unchecked(LAME, on), loading)}
    assert "W104" in codes(read(LAME, on))
    assert "2 sheep on the roll" in today(LAME, on)


def test_it_went_at_its_hour_or_when_its_day_is_over() -> None:
    """An hour in the note is the hour at which it goes; without one it has gone on the next day."""
    timed = {**LAME, "events/2026-03-26 sale Edith.md": SOLD.format("time: 14:00\n")}
    assert "asked before" in told(timed, "2026-03-26T13:59")
    for notes, on in ((timed, "2026-03-26T14:00"), (LAME, "2026-03-27")):
        assert "asked before" not in told(notes, on)
        assert "1 sheep on the roll" in today(notes, on)


def test_a_ram_that_a_medicine_holds_may_not_go_in_the_row_as_in_the_list() -> None:
    """The row says what the list of that day says: may NOT go, and not before which day; a ram sold to breed too."""
    notes = {
        **FLOCK,
        "sheep/9 Buckshot.md": "---\nnote: ram\nborn: 2022\n---\n",
        "medicines/pour.md": "---\nnote: medicine\nname: levamisole\nmeat withdrawal: 10 days\n---\n",
        "events/2026-09-18 treatment Buckshot.md": "---\nmedicine: levamisole\ndose: 10 mL\n---\n",
        "events/2026-09-20 sale Buckshot.md": "---\nto: Lew Orr\nuse: breeding\nsure: yes\n---\n",
    }
    for on in ("2026-09-19T20:00", "2026-09-20T07:00"):
        assert "9 Buckshot may NOT go to Lew Orr on Sep 20, 2026, not before Sep 29, 2026" in told(notes, on)
    assert "tell the buyer" not in told(notes, "2026-09-20T07:00")


# Lambs lost


def gate(notes: Notes, on: str) -> str:
    """The words of the loading list of the whole flock."""
    return words(page_of(unchecked(notes, on), loading, "loading.html"))


def test_a_cause_that_is_not_known_is_asked_about_after_the_day_of_isolation_too() -> None:
    """Common practice, no source: the day to which she is kept apart says nothing of the cause; a result does."""
    lost = "---\newe: Edith\ndays: 40\nisolated until: Mar 20\nsample: sent\n{}---\n"
    notes = {**FLOCK, "events/2026-02-18 abortion Edith.md": lost.format("")}
    asked = "as long as the cause is not known"
    assert "kept apart since she lost her lambs" in gate(notes, "2026-03-20T08:00")
    for on in ("2026-03-21T08:00", "2026-06-21T08:00"):
        assert asked in gate(notes, on)
    known = {**FLOCK, "events/2026-02-18 abortion Edith.md": lost.format("result: Campylobacter\n")}
    assert "kept apart since she lost her lambs" in gate(known, "2026-03-20T08:00")
    assert asked not in gate(known, "2026-03-21T08:00")
