"""A dose of the mother told in a note about her lamb, of a foster note's ewe, of others done in passing, and of tags in
short.

What each writing means is common practice, no source.
"""

from __future__ import annotations

import pytest

from flockbook.derive.medicine.withdrawal import CLEAR
from tests.flockbook.small import Notes, unchecked

EWE = "---\nnote: ewe\nborn: 2021\nmob: {}\n---\n"
LABEL = "---\nnote: medicine\nname: {}\nmeat withdrawal: {}\nmilk withdrawal: none\n---\n"
FARM: Notes = {
    "flock.yaml": "flock: Small\n",
    "mobs/low.md": "---\nnote: mob\n---\n",
    "mobs/hill.md": "---\nnote: mob\n---\n",
    "sheep/C214 Bramble.md": EWE.format("low"),
    "sheep/C215 Teasel.md": EWE.format("low"),
    "sheep/C230 Plover.md": EWE.format("low"),
    "sheep/C231 Sorrel.md": EWE.format("hill"),
    "sheep/C241 Willow.md": EWE.format("hill"),
    "events/2026-04-16 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n- ram 4.4 kg, tag 732\n",
    "events/2026-04-17 lambing Teasel.md": "- ewe 4.1 kg, tag 733\n- ram 4.4 kg, tag 734\n",
    "medicines/mox.md": LABEL.format("moxidectin oral 1 mg/mL", "14 days"),
    "medicines/oxy.md": LABEL.format("oxytetracycline 200 mg/mL", "28 days"),
}
MOX = "---\nmedicine: moxidectin oral 1 mg/mL\ndose: 8 ml\n{}---\n{}\n"
LAMBS = {"731", "732", "733", "734"}
EWES = {"C214", "C215", "C230", "C231", "C241"}


def clear(notes: Notes) -> set[str]:
    """Whose meat is clear three days after."""
    standing = unchecked(FARM | notes, "2026-06-05").facts.medicine.guard.standing
    return {sheep for sheep, one in standing.items() if one.meat.state == CLEAR}


@pytest.mark.parametrize(
    "words", ["Gave ewe 3 ml oxytet.", "Mother jabbed.", "Mum had oxytet.", "jabbed the dam too", "Mom got oxytet."]
)
@pytest.mark.parametrize(
    ("name", "head"),
    [
        ("remark 731", ""), ("illness 731", "---\nproblem: scour\n---\n"), ("death 731", "---\ncause: unknown\n---\n"),
        ("treatment 731", "---\nmedicine: moxidectin oral 1 mg/mL\ndose: 1 ml\n---\n"),
    ],
)  # fmt: skip
def test_a_dose_of_the_mother_told_in_her_lambs_note_holds_her(words: str, name: str, head: str) -> None:
    """Teasel and hers, who are spoken of nowhere, stay free."""
    found = clear({f"events/2026-06-02 {name}.md": f"{head}{words}\n"})
    assert "C214" not in found
    assert {"C215", "733"} <= found


@pytest.mark.parametrize("words", ["Gave ewe 3 ml oxytet", "Gave her 3 ml oxytet", "Oxytet 3 ml, udder hot"])
def test_a_dose_told_in_a_foster_note_may_be_her_who_takes_the_lamb(words: str) -> None:
    """The lamb, its own dam and the ewe that it goes onto are all whom the note is about."""
    found = clear({"events/2026-06-02 foster.md": f"---\nlamb: 731\nonto: Teasel\n---\n{words}\n"})
    assert found & {"731", "C214", "C215"} == set()
    assert "C231" in found


@pytest.mark.parametrize(
    ("words", "held"),
    [
        ("Did the lambs while I was at it.", LAMBS), ("Did low ewes while I was at it.", {"C214", "C215", "C230"}),
        ("So did low.", {"C214", "C215", "C230"}), ("Did half of low.", {"C214", "C215", "C230"}),
        ("Did ewes and lambs while I was at it.", LAMBS | EWES), ("Did the lot while I was at it.", LAMBS | EWES),
        ("Also the lot.", LAMBS | EWES), ("Also 230-231.", {"C230", "C231"}), ("230, 231 as well", {"C230", "C231"}),
        ("Also the old ewe.", EWES), ("731/2/3 as well", {"731", "732", "733"}),
    ],
)  # fmt: skip
def test_others_done_in_passing_are_held(words: str, held: set[str]) -> None:
    """In the prose of a treatment of Willow."""
    assert clear({"events/2026-06-02 treatment Willow.md": MOX.format("", words)}) & held == set()


@pytest.mark.parametrize("words", ["Did her feet too.", "Did the lambs' tails.", "Both feet trimmed.", "All quiet."])
def test_other_work_done_in_passing_holds_nobody_else(words: str) -> None:
    """Feet, tails and the like are no doses."""
    assert clear({"events/2026-06-02 treatment Willow.md": MOX.format("", words)}) == (LAMBS | EWES) - {"C241"}


def test_ends_of_tags_in_a_files_name_are_all_held() -> None:
    """`731 2 3 4` are four lambs."""
    assert clear({"events/2026-06-02 treatment 731 2 3 4.md": MOX.format("", "")}) & LAMBS == set()
