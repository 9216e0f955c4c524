"""Today and the loading list tell one story of ewes that lost their lambs, of empty ewes, and of whom to ring."""

from __future__ import annotations

from flockbook.pages.today import front, to_do
from tests.flockbook.market.test_fitness import asked
from tests.flockbook.small import Notes, unchecked
from tests.flockbook.year.test_owed_hours import FLOCK, now
from tests.flockbook.year.test_twenty_moments import page_of, words

LOST = {"events/2026-02-10 abortion Bea.md": "---\nlambs: 2\n---\n"}
RAM_IN = {"events/2025-10-15 joining Boaz.md": "---\nmob: home\n---\n"}
SCAN = {"events/2026-01-18 scan.md": "---\n---\n- Ada empty\n- Bea twins\n"}


def today(notes: Notes, on: str) -> str:
    """The words of Today."""
    return words(page_of(unchecked(notes, on), front, "index.html"))


def test_the_loading_list_asks_of_an_aborted_ewe_as_long_as_today_does() -> None:
    """Severn Edge Vets: apart three weeks at least; the question stays until she goes to the ram again or lambs, and
    the day is the same on every page.
    """
    notes = {**FLOCK, **LOST}
    for on in ("2026-03-02", "2026-03-20", "2026-06-20"):
        assert "until 3 Mar 2026; as long as the cause is not known ask your vet" in asked(unchecked(notes, on))["E2"]
        assert "E2 Bea" in [row.who for row in now(notes, on)]
    again = {**notes, "events/2026-08-01 joining Boaz.md": "---\newes: Bea\n---\n"}
    assert "lost her lambs" not in asked(unchecked(again, "2026-08-10")).get("E2", "")
    assert "E2 Bea" not in [row.who for row in now(again, "2026-08-10")]


def test_a_ewe_scanned_empty_is_neither_in_lamb_nor_due() -> None:
    """The ram was never written as out; the scan of 18 January saw nothing, after three months with him."""
    seen = unchecked({**FLOCK, **RAM_IN, **SCAN}, "2026-03-16")
    assert "in lamb by the scan" not in asked(seen).get("E1", "")
    assert "near lambing since" in asked(seen)["E2"]
    assert "Ada" not in words(page_of(seen, to_do, "to-do.html"))
    assert "2 ewes still to lamb" in today({**FLOCK, **RAM_IN, **SCAN}, "2026-03-16")
    told = {row.ewe for row in seen.facts.breeding.due.rows}
    assert told == {"E2", "E3"}


def test_today_says_that_no_medicine_holds_anybody_and_how_many_are_asked_about() -> None:
    """Two questions, two sentences: medicine, and all else that the loading list asks after."""
    page = today({**FLOCK, **LOST}, "2026-03-20")
    assert "Everybody is clear" not in page
    assert "No medicine holds anybody, as far as the notes tell." in page
    assert "Of those clear of medicine, 3 for another reason may not go, or somebody is to be asked first" in page


def test_the_vets_number_stands_where_the_vet_is_to_be_rung() -> None:
    """Under the rows of Now, as the settings have it; where rows send to the vet and no number is written, that it is
    missing.
    """
    notes = {**FLOCK, **LOST}
    now = today(notes, "2026-02-12").split("Now 1", 1)[1].split("The watch board", 1)[0]
    assert "The vet: Dr Lowe, 555-0142" in now
    missing = "The vet: your vet (write the number into flock.yaml)"
    assert missing in today({**notes, "flock.yaml": "flock: Small\n"}, "2026-02-12")


def test_who_went_while_held_stands_first_of_all() -> None:
    """The medicine's label decides the waiting period; the buyer and the vet are told before a ewe in labour is."""
    notes = {
        **FLOCK,
        "medicines/pen.md": "---\nnote: medicine\nname: penicillin\nmeat withdrawal: 9 days\n---\n",
        "events/2026-03-10 treatment Ada.md": "---\nsheep: Ada\nmedicine: penicillin\ndose: 3 ml\n---\n",
        "events/2026-03-12 sale Ada.md": "---\nsheep: Ada\nto: Yards\nuse: slaughter\nsure: yes\n---\n",
        "events/2026-03-16 0300 labour Bea.md": "---\nwaters: 03:00\n---\n",
    }
    first, second = now(notes, "2026-03-16T03:05")
    assert (first.who, first.when, first.what) == ("E1 Ada", "now", "tell the buyer and the vet")
    assert "12 Mar 2026" in first.more
    assert "penicillin" in first.more
    assert second.who == "E2 Bea"
    late = {**notes, "events/2026-03-12 sale Ada.md": "---\nsheep: Cora\nto: Yards\nuse: slaughter\nsure: yes\n---\n"}
    assert [row.who for row in now(late, "2026-03-16T03:05")] == ["E2 Bea"]
