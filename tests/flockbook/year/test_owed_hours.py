"""What a newborn, its dam, a ewe in labour and a ewe that is down are owed, from notes to Today, Watch and To do."""

from __future__ import annotations

import pytest

from flockbook.pages.lambing import watch
from flockbook.pages.today import front, to_do
from tests.flockbook.small import Notes, unchecked
from tests.flockbook.year.test_twenty_moments import Line, of_long_ago, page_of, rows, sections, words

EWE = "---\nnote: ewe\nborn: 2021\nmob: home\n---\n"
FLOCK: Notes = {
    "flock.yaml": "flock: Small\ncountry: US\nvet: {name: Dr Lowe, phone: 555-0142}\n",
    "mobs/home.md": "---\nnote: mob\n---\n",
    "sheep/R1 Boaz.md": "---\nnote: ram\nborn: 2022\n---\n",
    **{f"sheep/{one}.md": EWE for one in ("E1 Ada", "E2 Bea", "E3 Cora")},
    "events/2025-10-15 joining Boaz.md": "---\nmob: home\nout: 2025-12-01\n---\n",
}
LAMB = "events/2026-03-16 0400 lambing Ada.md"
FED = "events/2026-03-16 0415 feeding 601.md"
WEAK: Notes = {**FLOCK, LAMB: "- ewe 2.72 kg, tag 601, weak\n"}
COLD: Notes = {**WEAK, FED: "---\nlambs: 601\namount: 120 ml\ntemp: 36.1 C\nhow: tube\n---\n"}


def now(notes: Notes, on: str) -> list[Line]:
    """The rows under Now on Today, which are those of To do; then those that are folded, as of long ago."""
    seen = unchecked(notes, on)
    today = page_of(seen, front, "index.html")
    found = list(rows(sections(today).get("Now")))
    assert found == list(rows(sections(page_of(seen, to_do, "to-do.html")).get("Now")))
    return [*found, *of_long_ago(today)]


def test_what_is_months_old_is_folded_below_what_is_for_today() -> None:
    """A cold lamb of March that nobody wrote of since stands first for a fortnight; in June it waits, folded, for a
    word on how it ended, and nothing says that nothing is owed.
    """
    for on, pressing in (("2026-03-28", True), ("2026-06-01", False)):
        today = page_of(unchecked(COLD, on), front, "index.html")
        assert ("E1 Ada" in [row.who for row in rows(sections(today).get("Now"))]) is pressing
        assert ("E1 Ada" in [row.who for row in of_long_ago(today)]) is not pressing
        assert "Nothing is owed" not in words(today)


def board(notes: Notes, on: str) -> str:
    """The words of the watch board."""
    return words(page_of(unchecked(notes, on), watch, "watch.html"))


def test_a_chilled_lamb_stands_on_today_from_its_minute_with_the_first_step() -> None:
    """Five minutes after it was measured, long before the next look: dry it first (NADIS 2006; Rackley)."""
    (first, *_) = now(COLD, "2026-03-16T04:20")
    assert (first.who, first.when) == ("601", "16 Mar, 06:15")
    assert first.what.startswith("36.1 °C at 04:15, badly chilled when last measured")
    assert "dry it first" in first.what


def test_what_nobody_wrote_of_since_does_not_vanish_two_days_after_the_birth() -> None:
    """Common practice, no source: the row stays until any note on the lamb or its dam, and a mob's note is none."""
    for on in ("2026-03-18T04:30", "2026-03-19T08:00", "2026-06-01"):
        row = next(row for row in now(COLD, on) if row.who == "E1 Ada")
        assert row.what.startswith("not heard of since 16 Mar 2026, 04:15, badly chilled, weak then: look now")
    moved = {"events/2026-03-17 move.md": "---\nmob: home\nto: Fold\n---\n"}
    assert now({**COLD, **moved}, "2026-03-19")[0].who == "E1 Ada"
    for note in ("2026-03-17 remark 601.md", "2026-03-20 remark Ada.md"):
        told = {f"events/{note}": f"---\nsheep: {note.split()[2].removesuffix('.md')}\n---\nGoes well.\n"}
        assert now({**COLD, **told}, "2026-03-21") == []
    (row,) = now(WEAK, "2026-03-19")
    assert row.what.startswith("not heard of since 16 Mar 2026, 04:00, weak then")
    assert now({**FLOCK, LAMB: "- ewe 2.72 kg, tag 601\n"}, "2026-03-19T08:00") == []


def test_an_afterbirth_that_nobody_saw_is_asked_for_until_a_note_on_her() -> None:
    """Anexa Vets NZ: 12 to 24 hours; on the third day, in the third week and until something is written."""
    for on in ("2026-03-18T04:30", "2026-03-19T08:00", "2026-04-20"):
        page = words(page_of(unchecked(WEAK, on), front, "index.html"))
        assert "afterbirth not written as seen, and no note on her since: look at her, ring the vet" in page
    told = {"events/2026-03-17 remark Ada.md": "---\nsheep: Ada\n---\nCleansed.\n"}
    page = words(page_of(unchecked({**WEAK, **told}, "2026-03-19"), front, "index.html"))
    assert "afterbirth not written" not in page


def test_past_the_first_day_no_colostrum_is_asked_for_but_milk_and_the_vet() -> None:
    """Mellor 1986 and Drummonds Ireland reckon colostrum for the first 18 to 24 hours; the gut closes after."""
    (early, *_) = now(WEAK, "2026-03-16T06:30")
    assert "136 mL of colostrum for its first feed" in early.what
    row = next(row for row in now(WEAK, "2026-03-17T06:15") if row.who == "E1 Ada")
    assert row.what == "not written as fed for its first day: milk, and ring the vet: weak (601)"
    assert "mL of colostrum" not in f"{row.what} {row.more}"
    assert "mL a feed" not in board(WEAK, "2026-03-17T06:15")


def test_watch_and_today_agree_on_what_is_left_of_a_feed() -> None:
    """50 mL a kg a feed (Vet Times 2018) of 2.72 kg is 136 mL: after 120 nobody tubes 16, after 60 it is 76 at most."""
    on = "2026-03-16T05:15"
    assert "136 mL at the most" in board({**WEAK, FED: "---\nlambs: 601\ntemp: 36.1 C\n---\n"}, on)
    told = board(COLD, on)
    assert "no tube before its next feed is due: it has had 120 mL; then 136 mL at the most" in told
    page = words(page_of(unchecked(COLD, on), to_do, "to-do.html"))
    assert "424 mL of colostrum left for its first day, 136 mL a feed" in page
    assert " 16 mL" not in f"{page} {told}"
    half = {**COLD, FED: str(COLD[FED]).replace("120", "60")}
    assert "76 mL at the most: it has had 60 mL" in board(half, on)
    assert "76 mL of colostrum for its first feed" in words(page_of(unchecked(half, on), to_do, "to-do.html"))


@pytest.mark.parametrize(
    "note",
    [
        "problem: twin-lamb disease\nsigns: dull\n", "problem: prolapse\nsigns: dull\n",
        "problem: ill\nsigns: dull, down\n", "problem: mastitis\nseverity: bad\nsigns: dull\n",
    ],
)  # fmt: skip
def test_what_kills_stands_next_to_labour_with_its_signs_and_the_vet(note: str) -> None:
    """Common practice, no source: before navels and looks, the vet named and the signs as they were written."""
    notes = {
        **WEAK,
        "events/2026-03-14 illness Cora.md": f"---\n{note}---\n",
        "events/2026-03-16 0500 labour Bea.md": "---\nwaters: 05:00\n---\n",
    }
    first, second, third = now(notes, "2026-03-16T06:10")
    assert [first.who, second.who, third.who] == ["E2 Bea", "E3 Cora", "E1 Ada"]
    assert second.what.endswith("ring the vet")
    assert second.more.startswith("dull")


def test_what_is_old_stands_below_what_came_tonight() -> None:
    """Our own choice: an abortion of February stands below the births of this night, the newest of two first."""
    lost = {f"events/2026-02-{one}.md": "---\nlambs: 1\n---\n" for one in ("10 abortion Bea", "14 abortion Cora")}
    assert [row.who for row in now({**WEAK, **lost}, "2026-03-16T06:10")] == ["E1 Ada", "E3 Cora", "E2 Bea"]


@pytest.mark.parametrize(
    ("shows", "amiss"),
    [
        ("tail only", True), ("nose, no feet", True), ("one foot", True), ("two feet, no head", True),
        ("head only", True), ("nose and two feet", False), ("both feet and the nose", False), ("bag", False),
        ("nothing yet", False),
    ],
)  # fmt: skip
def test_a_labour_says_what_shows_and_rings_early_for_anything_but_nose_and_two_feet(shows: str, amiss: bool) -> None:
    """From memory, as vets teach it: a nose on two feet comes by itself, anything else wants help early."""
    notes = {**FLOCK, "events/2026-03-16 0300 labour Bea.md": f"---\nwaters: 03:00\nshows: {shows}\n---\n"}
    (row,) = now(notes, "2026-03-16T03:05")
    assert f"shows {shows}" in f"{row.what} {row.more}"
    assert ("now ring the vet early" in row.what) is amiss
    assert ("ring the vet early" in board(notes, "2026-03-16T03:05")) is amiss
