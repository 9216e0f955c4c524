"""Mobs split by weight on the sheet of doses, and how many sheep a pack still treats: from notes to the book."""

from __future__ import annotations

from pathlib import Path

from tests.flockbook.compiled import Compiled
from tests.flockbook.small import read

KILOS = {"C1": 28, "C2": 45, "C3": 58, "C4": 30}
EWES = {f"sheep/{tag}.md": "---\nnote: ewe\nborn: 2022\nmob: hill\n---\n" for tag in (*KILOS, "C5")}
DRENCH = (
    "---\nnote: medicine\nname: drench\nkind: wormer\nlabel rate: 1 ml per 5 kg\nlabel minimum: 6 ml\npack: 1 L\n"
    "max per site: 5 ml\nmeat withdrawal: 14 days\n---\n"
)
VACCINE = "---\nnote: medicine\nname: vaccine\nlabel rate: 2 ml each\npack: 100 ml\nmeat withdrawal: none\n---\n"
NOTES = {
    **EWES,
    "medicines/drench.md": DRENCH,
    "medicines/vaccine.md": VACCINE,
    "events/2026-05-25 weighing.md": "---\nnote: weighing\n---\n"
    + "".join(f"- {tag} {kg} kg\n" for tag, kg in KILOS.items()),
    "events/2026-05-26 stock.md": "---\nnote: stock\nmedicine: drench\nbought: 60 ml\n---\n",
}


def test_a_mob_is_split_where_its_lightest_would_get_over_double(tmp_path: Path) -> None:
    """28 to 58 kg is 2.07 times: two groups; 30 to 58 would be one (Hybu Cig Cymru's double-dose rule). Each group
    goes to its heaviest: 1 mL per 5 kg (21 CFR 520.1454) is 6 mL at 30 kg and 11.6 mL at 58 kg.
    """
    text = Compiled(NOTES, "2026-06-10", tmp_path).words("dose-sheet.html").replace("\u00a0", " ")
    assert "4 sheep weighed in the last 30 days" in text
    assert "Not weighed in the last 30 days and in no group: 1 of hill." in text
    assert "1 hill 2 28.0 kg to 30.0 kg C1 C4" in text
    assert "2 hill 2 45.0 kg to 58.0 kg C2 C3" in text
    assert "drench 1 ml per 5 kg 1 6 mL 12 mL in 2 places" in text
    assert "drench 1 ml per 5 kg 2 11.6 mL 23 mL in 3 places" in text
    assert "vaccine" not in text.split("Given", 1)[1].split("Medicines", 1)[0]


def test_what_the_label_forbids_a_group_is_said(tmp_path: Path) -> None:
    """Under the least dose or age as typed; no group is filled up to it. An expired product is not offered."""
    young = DRENCH.replace("minimum: 6 ml", "minimum: 7 ml\nminimum age: 2000 days")
    text = Compiled({**NOTES, "medicines/drench.md": young}, "2026-06-10", tmp_path / "a").words("dose-sheet.html")
    assert "6 mL is under the label's least dose of 7 mL" in text
    assert "the label begins at" in text
    old = DRENCH.replace("pack:", "expires: 2026-05\npack:")
    text = Compiled({**NOTES, "medicines/drench.md": old}, "2026-06-10", tmp_path / "b").words("dose-sheet.html")
    assert "no product with a rate by weight that may still be used" in text


def test_old_weights_make_no_group() -> None:
    """A weighing of five weeks ago does not tell what to dose (our own limit of 30 days)."""
    assert read(NOTES, "2026-06-24").facts.medicine.dosing.groups != ()
    assert read(NOTES, "2026-06-25").facts.medicine.dosing.groups == ()


def test_the_cupboard_says_how_many_sheep_a_pack_treats(tmp_path: Path) -> None:
    """60 mL at 11.6 mL for the heaviest, 58 kg, is 5 sheep and not 6; a full pack of 100 mL at 2 mL each is 50. Whole
    doses are rounded down, as labels print them (DailyMed, ANADA 200-327: 240 mL are 20 doses of 11.54).
    """
    text = Compiled(NOTES, "2026-06-10", tmp_path).words("cupboard.html").replace("\u00a0", " ")
    assert "drench 60 mL 5 at 11.6 mL 60 mL" in text
    assert "counted for the heaviest here, 58.0 kg on 25 May 2026" in text
    assert "vaccine not known 50 at 2 mL, a full pack" in text


def test_an_empty_shelf_treats_nobody() -> None:
    """More used than came: no sheep, not fewer than none. Where nobody was ever weighed nothing is said."""
    used = {"events/2026-06-01 stock.md": "---\nnote: stock\nmedicine: drench\nused: 80 ml\n---\n"}
    assert read({**NOTES, **used}).facts.medicine.dosing.packs["drench"].head == 0
    unweighed = {path: text for path, text in NOTES.items() if "weighing" not in path}
    assert set(read(unweighed).facts.medicine.dosing.packs) == {"vaccine"}
