"""Times in the hour that the change of the clocks leaves out or brings twice: told of births, labours and feeds.

The clocks of the United Kingdom go forward at 01:00 on the last Sunday of March and back at 02:00 on that of October
(Summer Time Act 1972); 29 March and 25 October in 2026.
"""

from __future__ import annotations

import pytest

from flockbook.handover.facts import facts_object
from flockbook.pages.lambing import watch
from tests.flockbook.growth.test_growth_page import STAMP
from tests.flockbook.small import codes, read

EWES = {f"sheep/A{place}.md": "---\nnote: ewe\nborn: 2021\n---\n" for place in (1, 2)}
LONDON = {"flock.yaml": "flock: Q\ntimezone: Europe/London\n"}


@pytest.mark.parametrize(
    ("note", "text"),
    [
        ("{} 0145 lambing A1.md", "- ewe 4 kg, tag 731\n"), ("{} labour A1.md", "---\nwaters: 01:30\n---\n"),
        ("{} lambing A1.md", "---\nwaters: 01:30\n---\n- ewe 4 kg, tag 731\n"),
        ("{} 0130 feeding.md", "---\nlambs: A1\namount: 100 ml\n---\n"),
    ],
)  # fmt: skip
@pytest.mark.parametrize(
    ("day", "code"), [("2026-03-29", "D105"), ("2026-10-25", "D106"), ("2026-03-28", ""), ("2026-10-26", "")]
)
def test_an_hour_left_out_is_asked_about_and_one_that_was_twice_is_told(
    note: str, text: str, day: str, code: str
) -> None:
    """Half past one was not on 29 March, and twice on 25 October; on other nights nothing is said."""
    told = codes(read({**EWES, **LONDON, f"events/{note.format(day)}": text}, "2026-12-01"))
    assert [one for one in told if one in ("D105", "D106")] == ([code] if code else [])


def test_nothing_is_said_without_a_zone_or_where_the_note_is_sure() -> None:
    """A flock without a time zone has no change of clocks that the book could know."""
    note = "events/2026-03-29 labour A1.md"
    assert "D105" not in codes(read({**EWES, note: "---\nwaters: 01:30\n---\n"}, "2026-12-01"))
    sure = {**EWES, **LONDON, note: "---\nwaters: 01:30\nsure: yes\n---\n"}
    assert "D105" not in codes(read(sure, "2026-12-01"))


def test_a_labour_in_an_hour_that_was_twice_is_taken_at_its_earlier() -> None:
    """01:30 by summer time is 00:30 UTC: half an hour on the clocks show 01:00 again, and an hour on 01:30."""
    notes = {**EWES, **LONDON, "events/2026-10-25 labour A1.md": "---\nwaters: 01:30\n---\n"}
    (labour,) = facts_object(read(notes, "2026-10-25T04:00"))["labours"]
    assert (labour["look_again"], labour["step_in"]) == ("2026-10-25T01:00", "2026-10-25T01:30")


@pytest.mark.parametrize(("given", "left"), [(785, True), (800, False), (805, False), (770, True)])
def test_a_few_drops_of_colostrum_are_no_task(given: int, left: bool) -> None:
    """A lamb of 4.2 kg needs 840 mL in its first day (200 mL/kg); under 5 % of that, 42 mL, nobody fills a tube."""
    notes = {
        **EWES, "events/2026-04-19 0300 lambing A1.md": "- ewe 4.2 kg, tag 731, weak\n",
        "events/2026-04-19 0330 feeding.md": f"---\nlambs: 731\namount: {given} ml\n---\n",
    }  # fmt: skip
    (page,) = [page for maker in watch.PAGES for page in maker.make(read(notes, "2026-04-19T05:00"), STAMP)][:1]
    assert ("mL of colostrum left for its first day" in str(page.view)) is left


@pytest.mark.parametrize(
    ("typed", "lambs", "asks"),
    [
        ("4", 4, False), ("quads", 4, False), ("5", 5, True), ("five", 5, True), ("quintuplets", 5, True),
        ("6", 6, True), ("six lambs", 6, True), ("7", 7, True), ("8", None, False),
    ],
)  # fmt: skip
def test_scans_of_up_to_seven(typed: str, lambs: int | None, asks: bool) -> None:
    """A lambing takes five to seven lambs, and so does a scan, with a question above four; eight is no count."""
    joining = "---\newes: A1\nrams: R1\nout: 2025-11-24\n---\n"
    notes = {**EWES, "sheep/R1.md": "---\nnote: ram\nborn: 2021\n---\n", "events/2025-10-20 joining.md": joining}
    seen = read({**notes, "events/2026-01-12 scan.md": f"- A1 {typed}\n"}, "2026-02-01")
    (row,) = facts_object(seen)["due"]
    assert row["lambs_scanned"] == lambs
    assert any("lambs in A1 would be unusual" in item.message for item in seen.diagnostics) is asks


@pytest.mark.parametrize(("units", "typed", "shown"), [("metric", "4.05 kg", "4.1 kg"), ("us", "7.45 lb", "7.5 lb")])
def test_halves_round_up(units: str, typed: str, shown: str) -> None:
    """4.05 kg at 50 mL a kilogram is 202.5 mL, shown as 203; a weight typed on a half is shown upwards (arithmetic)."""
    notes = {"flock.yaml": f"flock: Q\nunits: {units}\n", **EWES}
    notes["events/2026-04-19 0300 lambing A1.md"] = f"- ewe {typed}, tag 731, weak\n"
    (page,) = [page for maker in watch.PAGES for page in maker.make(read(notes, "2026-04-19T04:00"), STAMP)][:1]
    words = str(page.view).replace("\\xa0", " ").replace("\u00a0", " ")
    assert shown in words
    assert ("203 mL a feed" in words) is (units == "metric")
