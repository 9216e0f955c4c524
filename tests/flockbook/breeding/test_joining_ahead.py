"""Joinings written ahead, and joinings of close kin: what proof, the due list and the year say of them."""

from __future__ import annotations

from datetime import date
from typing import Any

from flockbook.pages.breeding import due_page
from flockbook.saying.year import deed_words
from flockbook.seen import Seen
from tests.flockbook.families import table_in
from tests.flockbook.small import codes, read

STAMP: Any = None  # the page does not print it
FLOCK = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021-04-01\n---\n",
    "sheep/R9 Hector.md": "---\nnote: ram\nborn: 2020-04-01\n---\n",
    "sheep/D1 Daisy.md": "---\nnote: ewe\nborn: 2023-04-01\ndam: Bramble\nsire: Hector\n---\n",
    "plans/booster.md": "---\nnote: plan\nwhat: booster\nbefore first due: 28 days\n---\n",
}
AHEAD = "events/2026-11-01 joining.md"


def joined(sure: str = "sure: yes\n", ewes: str = "Bramble", on: str = "2026-10-01") -> Seen:
    """A joining of 1 November to 10 December as it is seen on a day."""
    return read({**FLOCK, AHEAD: f"---\nrams: Hector\newes: {ewes}\nout: 2026-12-10\n{sure}---\n"}, on)


def dates(seen: Seen) -> dict[str, date]:
    """What is to be done and when."""
    return {deed_words(item.what).partition(",")[0]: item.date for item in seen.facts.year.reminders}


def test_the_year_is_reckoned_before_the_ram_is_in() -> None:
    """In on 1 November: due from 28 March (147 days, New Mexico State University), the booster 28 days before, watch
    from day 138; the scan at the latest 100 days after ram in (Rural News NZ).
    """
    told = dates(joined())
    assert (told["ram in"], told["ram out"]) == (date(2026, 11, 1), date(2026, 12, 10))
    assert told["booster"] == date(2027, 2, 28)
    assert told["begin close watch: the first lambs can come"] == date(2027, 3, 19)
    assert told["scan the ewes by this day; later it miscounts"] == date(2027, 2, 9)


def test_nobody_is_exposed_before_the_day_and_then_it_is_real() -> None:
    """Until 1 November nobody is due nor put to the ram; on the day after, she is."""
    before, after = joined(), joined(on="2026-11-02")
    assert "D101" not in codes(before)
    assert (before.facts.breeding.due.rows, before.facts.season.seasons) == ((), ())
    assert before.facts.breeding.matings.by_ewe == {}
    assert [row.ewe for row in after.facts.breeding.due.rows] == ["C214"]
    assert "ram in" not in dates(after)
    assert after.facts.breeding.matings.ahead == {}


def test_without_a_word_a_joining_still_to_come_is_a_slip() -> None:
    """Nobody wrote `sure: yes`: the day is told as wrong, and nothing is reckoned from it."""
    seen = joined(sure="")
    assert "D101" in codes(seen)
    assert "ram in" not in dates(seen)


def test_the_joining_itself_tells_of_close_kin() -> None:
    """A ram with his daughter: her lambs would be inbred by a quarter (Wright); Bramble is no kin of his."""
    seen = joined(ewes="Bramble, Daisy")
    assert "B204" in codes(seen)
    page = next(iter(due_page.make(seen, STAMP)))
    (row,) = table_in(page.view, "joinings").rows
    assert row.cells[1] == "planned: 1 Nov to 10 Dec 2026"
    assert row.cells[-1] == "Daisy (25.0%)"
    assert "B204" not in codes(joined())
