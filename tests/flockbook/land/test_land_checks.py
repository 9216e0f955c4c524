"""Slips in moves, money, stock and electronic numbers are found; sound notes raise nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.diagnostics import Diagnostic, Grade
from flockbook.checks import accounts, identity, land
from tests.flockbook.small import read

OURS = {rule.code for family in (land, accounts, identity) for rule in family.RULES}
DEMO = Path(__file__).parents[3] / "site_demo"
FLOCK: dict[str, str] = {
    "sheep/E1 Bramble.md": "---\nnote: ewe\nborn: 2021-04-01\nmob: hill\neid: 826012345600001\n---\n",
    "sheep/E2 Fern.md": "---\nnote: ewe\nborn: 2021-04-01\nmob: hill\n---\n",
    "sheep/H1.md": "---\nnote: ewe\nborn: 2025\nmob: hoggs\n---\n",
    "sheep/R1 Pike.md": "---\nnote: ram\nborn: 2023\nmob: tups\n---\n",
    "paddocks/Home Park.md": "---\nnote: paddock\n---\n",
    "paddocks/Rigg.md": "---\nnote: paddock\n---\n",
    "supplies/iodine.md": "---\nnote: supply\nname: navel iodine\nneed: 500 ml\nhave: 500 ml\n---\n",
}


def told(name: str, text: str, *more: tuple[str, str]) -> list[Diagnostic]:
    """What these checks say of the small flock with one or more notes added."""
    notes = dict(FLOCK) | {f"events/{where}.md": f"---\n{what}\n---\n" for where, what in ((name, text), *more)}
    return [message for message in read(notes, "2026-06-10").diagnostics if message.code in OURS]


def codes(name: str, text: str, *more: tuple[str, str]) -> list[str]:
    """Their codes."""
    return [message.code for message in told(name, text, *more)]


def test_sound_notes_raise_nothing() -> None:
    """A move, a purchase, a sale, stock and money written well pass."""
    assert not codes("2026-05-01 move hill", "mob: hill\nto: Home Park")


def test_a_misspelt_paddock_is_guessed() -> None:
    """One slip away from a paddock's name: the message names it."""
    (message,) = told("2026-05-01 move hill", "mob: hill\nto: Home Prak")
    assert (message.code, message.help) == ("P101", "did you mean `Home Park`?")
    assert message.span.line == 3


def test_a_paddock_without_a_note_is_a_gap() -> None:
    """Told once, however often it is named; a pen or a shed needs no note."""
    again = ("2026-05-20 move hoggs", "mob: hoggs\nto: New Field\nsure: yes")
    (message,) = told("2026-05-01 move hill", "mob: hill\nto: New Field", again)
    assert (message.code, message.grade) == ("P102", Grade.GAP)
    assert not codes("2026-05-01 move hill", "mob: hill\nto: lambing shed")


def test_a_mob_moved_to_where_it_stands() -> None:
    """Written twice within a week; months later they may have been gathered and gone back."""
    first = ("2026-03-01 move hill", "mob: hill\nto: Rigg")
    assert codes("2026-03-03 move hill back", "mob: hill\nto: Rigg", first) == ["P103"]
    assert not codes("2026-05-03 move hill back", "mob: hill\nto: Rigg", first)


def test_a_mob_that_is_not_there() -> None:
    """A move of a mob that holds nobody is an error of linking, with a guess."""
    notes = dict(FLOCK) | {"events/2026-05-01 move hil.md": "---\nmob: hil\nto: Rigg\n---\n"}
    found = [message for message in read(notes).diagnostics if message.code == "L205"]
    assert found[0].help == "did you mean `hill`?"


def test_a_count_larger_than_the_mob() -> None:
    """A move that speaks of more sheep than the mob holds is an error of linking."""
    notes = dict(FLOCK) | {"events/2026-05-01 move hill.md": "---\nmob: hill\nto: Rigg\ncount: 3\n---\n"}
    assert "L203" in [message.code for message in read(notes).diagnostics]


def test_two_mobs_on_one_paddock() -> None:
    """The hoggs are put where the hill mob stands, and both stay; rams are not counted, nor a night or two."""
    first = ("2026-05-01 move hill", "mob: hill\nto: Rigg")
    assert codes("2026-05-04 move hoggs", "mob: hoggs\nto: Rigg", first) == ["P104"]
    assert not codes("2026-05-04 move tups", "mob: tups\nto: Rigg", first)
    assert not codes("2026-05-04 move hoggs", "mob: hoggs\nto: Rigg\nsure: yes", first)
    away = ("2026-05-06 move hill away", "mob: hill\nto: Home Park")
    assert not codes("2026-05-04 move hoggs", "mob: hoggs\nto: Rigg", first, away)


def test_wool_in_or_out() -> None:
    """`for: wool` without `in: yes` is asked about, and so is a subsidy; feed is plainly spent."""
    (message,) = told("2026-05-01 money wool", "amount: 31.20\nfor: wool")
    assert (message.code, message.grade) == ("C101", Grade.ASK)
    assert not codes("2026-05-01 money wool", "amount: 31.20\nfor: wool\nin: yes")
    assert not codes("2026-05-01 money wool", "amount: 31.20\nfor: wool\nin: no")
    assert not codes("2026-05-01 money feed", "amount: 31.20\nfor: feed")


def test_a_payment_written_twice() -> None:
    """A sale's price and a money note of the same sum."""
    sale = ("2026-05-01 sale cull", "sheep: E2\nuse: slaughter\nprice: 71")
    assert codes("2026-05-03 money culls", "amount: 71\nin: yes", sale) == ["C102"]
    assert not codes("2026-05-03 money culls", "amount: 71\nin: yes\nsure: yes", sale)
    assert not codes("2026-05-03 money culls", "amount: 72\nin: yes", sale)


def test_a_price_for_several() -> None:
    """92 for two sheep could be 92 or 184; for one sheep it is plain."""
    assert codes("2026-05-01 sale ewes", "sheep: E1, E2\nprice: 92") == ["C103"]
    assert not codes("2026-05-01 sale ewes", "sheep: E1, E2\nprice: 92 each")
    assert not codes("2026-05-01 sale ewe", "sheep: E1\nprice: 92")


def test_a_season_that_is_no_year() -> None:
    """`season: spring` says nothing."""
    assert codes("2026-05-01 money feed", "amount: 5\nseason: spring") == ["C104"]


def test_stock_of_a_misspelt_supply() -> None:
    """A slip makes two supplies of one."""
    assert codes("2026-05-01 stock", "supply: naval iodine\nbought: 500 ml") == ["C105"]


def test_amounts_that_cannot_be_read() -> None:
    """A count in words and a shelf below nought."""
    assert codes("2026-05-01 stock", "supply: navel iodine\ncounted: a few") == ["C106"]
    assert codes("2026-05-01 stock", "supply: navel iodine\nused: 0.6 L") == ["C107"]


@pytest.mark.parametrize(
    "eid",
    [
        "999123456789012",  # ICAR, misuse of codes: 999 is a test code
        "840274877906944",  # ICAR slide: the last twelve digits go up to 2^38 - 1
        "8.26012E+14",  # a spreadsheet's rounding
        "826012000000000",  # what is left of it when it is opened again
        "001274877906",  # too short
    ],
)
def test_electronic_numbers_that_cannot_be(eid: str) -> None:
    """Each is an error at its own place; the ways to go wrong are those of the references, 4.3."""
    notes = dict(FLOCK) | {"sheep/E2 Fern.md": f"---\nnote: ewe\nborn: 2021\nmob: hill\neid: {eid}\n---\n"}
    (message,) = [message for message in read(notes).diagnostics if message.code in OURS]
    assert (message.code, message.span.path, message.span.line) == ("I101", "sheep/E2 Fern.md", 5)


def test_the_largest_number_passes() -> None:
    """840 274877906943 is the last number there can be (ICAR)."""
    notes = dict(FLOCK) | {"sheep/E2 Fern.md": "---\nnote: ewe\nborn: 2021\nmob: hill\neid: 840274877906943\n---\n"}
    assert not [message for message in read(notes).diagnostics if message.code in OURS]


def test_a_country_that_is_none() -> None:
    """001 is no country's code in ISO 3166."""
    notes = dict(FLOCK) | {"sheep/E2 Fern.md": "---\nnote: ewe\nborn: 2021\nmob: hill\neid: 001012345600001\n---\n"}
    assert [message.code for message in read(notes).diagnostics if message.code in OURS] == ["I102"]


def test_one_number_on_two_sheep() -> None:
    """The same number, once spaced and once in a tagging note, is one number."""
    notes = dict(FLOCK) | {"events/2026-05-01 tagging.md": "---\nnote: tagging\n---\n- E2 eid 826 0123456 00001\n"}
    (message,) = [message for message in read(notes).diagnostics if message.code in OURS]
    assert message.code == "I103"
    assert message.also[0].path == "sheep/E1 Bramble.md"


@pytest.mark.parametrize(
    ("official", "country"),
    [
        ("8.26E+14", "GB"),  # a spreadsheet's rounding
        ("8.26E+14", ""),  # that is none anywhere
        ("826012000000000", ""),  # what is left of it when it is opened again
        ("UK 1234567 123", "GB"),  # neither a flock mark nor mark and animal (Country Smallholding, May 2019)
        ("UK 1234567 123", "Scotland"),
        ("DE 1234567890123", "DE"),  # at most twelve digits (Reg. (EC) 933/2008, annex A.2)
    ],
)
def test_official_numbers_that_cannot_be(official: str, country: str) -> None:
    """Each is an error at its own line with what to type."""
    ewe = f"---\nnote: ewe\nborn: 2021\nmob: hill\nofficial: {official}\n---\n"
    notes = dict(FLOCK) | {"sheep/E2 Fern.md": ewe, "flock.yaml": f"flock: Small\ncountry: {country}\n"}
    (message,) = [message for message in read(notes).diagnostics if message.code in OURS]
    assert (message.code, message.span.path, message.span.line) == ("I105", "sheep/E2 Fern.md", 5)
    assert message.help


def test_one_official_number_on_two_sheep() -> None:
    """However it is spaced; a flock mark alone stands on every lamb of the flock (gov.wales, 2024)."""
    both = {"flock.yaml": "flock: Small\ncountry: GB\n", "sheep/E1 Bramble.md": "", "sheep/E2 Fern.md": ""}
    for first, second, found in (("UK 0123456 00001", "uk012345600001", ["I106"]), ("UK 0123456", "UK 123456", [])):
        for name, number in (("sheep/E1 Bramble.md", first), ("sheep/E2 Fern.md", second)):
            both[name] = f"---\nnote: ewe\nborn: 2021\nmob: hill\nofficial: {number}\n---\n"
        told_of = [message for message in read(dict(FLOCK) | both).diagnostics if message.code in OURS]
        assert [message.code for message in told_of] == found
        assert all(all(name in message.message for name in ("Bramble", "Fern")) for message in told_of)


def test_a_bought_tag_that_is_worn_here() -> None:
    """A ewe bought with the tag of one born here, or with that of one whose own note tells of another birth."""
    notes = dict(FLOCK) | {"events/2026-05-01 purchase.md": "---\nnote: purchase\n---\n- ewe tag H1, born 2023\n"}
    assert "I104" in [message.code for message in read(notes).diagnostics]
    same = dict(FLOCK) | {"events/2026-05-01 purchase.md": "---\nnote: purchase\n---\n- ewe tag H1, born 2025\n"}
    assert "I104" not in [message.code for message in read(same).diagnostics]
    born = {"events/2026-04-01 lambing E1.md": "---\nnote: lambing\newe: E1\n---\n- ewe 4 kg, tag 731\n"}
    bought = {"events/2026-05-01 purchase.md": "---\nnote: purchase\n---\n- ewe tag 731, born 2023\n"}
    assert "I104" in [message.code for message in read({**FLOCK, **born, **bought}).diagnostics]


@pytest.mark.parametrize("rule", [rule for family in (land, accounts, identity) for rule in family.RULES])
def test_every_rule_says_why(rule: land.Rule) -> None:
    """`why CODE` has a reason and an example for each."""
    assert rule.why.endswith(".")
    assert rule.example
