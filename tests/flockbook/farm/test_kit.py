"""The shed's kit: needed, there, short, and what expires before the last ewe is due."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.derive.farm.kit import Kit, Quantity, SupplyFact
from flockbook.handover.facts import facts_object
from flockbook.saying.because import step_words
from flockbook.saying.kit import amount_fault_words, crowd_words
from tests.flockbook.small import Notes, read

FLOCK: dict[str, str] = {
    "sheep/R1 Pike.md": "---\nnote: ram\nborn: 2023-04-01\n---\n",
    **{f"sheep/E{n} Ewe{n}.md": "---\nnote: ewe\nborn: 2021-04-01\n---\n" for n in range(1, 5)},
    "events/2025-11-15 joining Pike.md": "---\nnote: joining\nrams: Pike\newes: E1, E2, E3, E4\nout: 2025-12-20\n---\n",
}


def kit(supply: str, *stock: str, more: Notes | None = None, on: str = "2026-03-01") -> Kit:
    """The kit of four ewes with one supply called tags and stock notes on 1, 2, 3 … February."""
    notes = dict(FLOCK) | {"supplies/tags.md": f"---\nnote: supply\nname: tags\n{supply}\n---\n"}
    for place, text in enumerate(stock, 1):
        notes[f"events/2026-02-{place:02d} stock tags.md"] = f"---\nnote: stock\nsupply: Tags\n{text}\n---\n"
    return read({**notes, **(more or {})}, on).facts.farm.kit


def tags(found: Kit) -> SupplyFact:
    """The supply called tags."""
    return next(item for item in found.supplies if item.name == "tags")


def test_two_for_each_ewe_that_is_due() -> None:
    """Four ewes are due: two tags each are eight; three there, five short."""
    found = tags(kit("need: 2 per ewe\nhave: 3"))
    assert (found.need, found.have, found.short) == (8, 3, 5)
    assert step_words(found.because[0]) == "2 per ewe × 4: 4 ewes still due"


def test_a_ewe_that_has_lambed_needs_no_more() -> None:
    """The need falls as the ewes lamb."""
    lambed = {"events/2026-04-14 lambing E1.md": "---\nnote: lambing\newe: E1\n---\n- ewe 4 kg\n"}
    assert tags(kit("need: 2 per ewe", more=lambed, on="2026-04-15")).need == 6


def test_for_each_lamb_carried() -> None:
    """Without a scan or a season before, two lambs a ewe are counted: the safe side."""
    assert tags(kit("need: 1 per lamb")).need == 8


def test_between_seasons_last_seasons_ewes_count() -> None:
    """When none is due, the ewes put to the ram for the last season stand in."""
    lambed = {
        f"events/2026-04-1{n} lambing E{n}.md": f"---\nnote: lambing\newe: E{n}\n---\n- ewe 4 kg\n" for n in range(1, 5)
    }
    found = kit("need: 2 per ewe", more=lambed, on="2026-09-01")
    assert tags(found).need == 8
    assert crowd_words(found.crowd) == "the 4 ewes of 2026, as none is due now"


def test_stock_notes_add_take_and_count_anew() -> None:
    """10 bought and 3 used make 9 of 2; a count of 5 starts anew; 1 binned leaves 4."""
    assert tags(kit("have: 2", "bought: 10", "used: 3")).have == 9
    assert tags(kit("have: 2", "bought: 10", "used: 3", "counted: 5", "binned: 1, broken")).have == 4


def test_units_are_reckoned_into_one_another() -> None:
    """Half a litre and 250 mL are 750 mL; 25 mL for each of four ewes is 100 mL."""
    found = tags(kit("need: 25 ml per ewe\nhave: 500 ml", "bought: 0.25 L"))
    assert (found.have, found.need, found.unit, found.short) == (750, 100, "ml", 0)
    assert Quantity(Decimal(1), "lb").within("kg") == Decimal("0.45359237")  # NIST SP 811, exact


def test_what_cannot_be_compared_is_said() -> None:
    """Bales cannot be taken from litres: the note is named, nothing is guessed."""
    found = tags(kit("need: 2 bales\nhave: 500 ml"))
    assert [amount_fault_words(one) for one in found.doubts] == ["`2 bales` cannot be compared with ml"]
    assert found.short is None


def test_what_cannot_be_read_is_said() -> None:
    """An amount without a figure is told, and the count is then unknown."""
    found = tags(kit("have: 3", "counted: a few"))
    assert found.have is None
    assert amount_fault_words(found.doubts[0]).startswith("`a few` is not an amount")


def test_expiry_before_the_last_ewe_is_due() -> None:
    """The last ewe can lamb on 21 May (152 days after 20 December): April is too soon, June is not."""
    assert tags(kit("need: 1\nexpires: 2026-04")).too_soon
    assert not tags(kit("need: 1\nexpires: 2026-06")).too_soon
    assert tags(kit("need: 1\nexpires: 2026-02-27")).expired


def test_a_new_batch_after_an_empty_shelf() -> None:
    """A count of nought throws the old date away with the old batch."""
    assert tags(kit("expires: 2026-04", "counted: 0", "bought: 5\nexpires: 2027-12")).expires.shown == "2027-12"  # type: ignore[union-attr]


def test_stock_without_a_supply_note_is_kept() -> None:
    """Stock of something that has no note of its own stands in the list all the same."""
    more = {"events/2026-02-10 stock rings.md": "---\nnote: stock\nsupply: rings\nbought: 100\n---\n"}
    rings = next(item for item in kit("need: 1", more=more).supplies if item.name == "rings")
    assert (rings.have, rings.need, rings.short) == (100, None, None)


def test_short_ones_stand_first() -> None:
    """The list opens with what has to be bought."""
    more = {"supplies/alum.md": "---\nnote: supply\nname: alum\nneed: 1\nhave: 5\n---\n"}
    assert [item.name for item in kit("need: 2 per ewe", more=more).supplies] == ["tags", "alum"]


def test_facts_file_holds_the_supplies() -> None:
    """One row for each supply."""
    notes = dict(FLOCK) | {"supplies/tags.md": "---\nnote: supply\nneed: 2 per ewe\nhave: 3\nexpires: 2026-12\n---\n"}
    row = facts_object(read(notes, "2026-03-01"))["supplies"][0]
    assert (row["supply"], row["have"], row["need"], row["short"], row["expires"]) == ("tags", 3, 8, 5, "2026-12-31")


@given(st.lists(st.tuples(st.sampled_from(["bought", "used", "binned", "counted"]), st.integers(0, 500)), max_size=12))
def test_balance_is_what_a_pencil_gives(steps: list[tuple[str, int]]) -> None:
    """The balance is the one that a running sum on paper gives."""
    expected = 7
    for word, amount in steps:
        expected = amount if word == "counted" else expected + (amount if word == "bought" else -amount)
    assert tags(kit("have: 7", *(f"{word}: {amount}" for word, amount in steps))).have == expected


@pytest.mark.parametrize("need", ["2 per ewe", "2 each ewe", "2/ewe", "2 for every ewe", "2 tags per ewe"])
def test_ways_to_write_a_rate(need: str) -> None:
    """A rate may be written in the usual ways."""
    assert tags(kit(f"need: {need}")).need == 8
