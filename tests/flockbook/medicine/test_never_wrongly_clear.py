"""The promise that may never break: no damage to a note ever shows a treated animal as clear."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compiler.build import proof
from compiler.collection import Hole, Other
from flockbook.book import BOOK
from tests.damage.judging import Case, chosen, grave, told, wrongly_clear
from tests.damage.scenes import ON, SCENES, Scene
from tests.damage.variants import damaged
from tests.flockbook.small import moment, read, unchecked

TREATMENT = "events/2026/2026-06-02 treatment foot abscess.md"
UNDATED = "events/foot.md"
SAMPLE = 240  # damaged notes of each scene
MEDICINE = "medicines/penicillin.md"
FLOCK = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n",
    "sheep/C230 Teasel.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n",
    "sheep/C231 Sorrel.md": "---\nnote: ewe\nborn: 2022\nmob: low\n---\n",
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\nmob: tups\n---\n",
    MEDICINE: "---\nnote: medicine\nname: penicillin\nlabel rate: 1 ml per 20 kg\nroute: muscle\nmeat withdrawal: 28 "
    "days\nmilk withdrawal: 4 days\nsource: label\n---\nFridge door.\n",
    TREATMENT: "---\nsheep: Bramble, C230\nmedicine: penicillin\ndose: 3 ml\nroute: muscle\ngiven: 2 Jun 18:00, 3 "
    "Jun, 4 Jun 07:30\nbatch: K4471\nby: Una\n---\nC230 the worst. Dry pen overnight.\n",
}
TREATED = ("C214", "C230")
BACKWARDS = b"---\nsheep: 738-700\ncount: 3\nmedicine: penicillin\ndose: 1 ml\n---\n"
TURNED_YEAR = b"---\nnote: treatment\ndate: 3/6/2022\nsheep: C230; Pike\nmedicine: penicillin\n---\n"
TURNED_COLON = b"---\nnote: treatment\ndate: 3/6/2026\nsheep8 C230; Pike\nmedicine: penicillin\n---\n"


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)
def test_a_scene_says_who_was_dosed(scene: Scene) -> None:
    """Whole, a scene is read without an error or an ask and holds exactly its dosed sheep: it is fit to be damaged."""
    seen = read(scene.notes, ON)
    standing = seen.facts.medicine.guard.standing
    assert grave(seen) == []
    assert {name for name, row in standing.items() if row.meat.state == "held"} == set(scene.dosed)
    assert {name for name, row in standing.items() if row.meat.state == "clear"} >= set(scene.spared)


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)
def test_no_damage_to_any_note_makes_a_dosed_sheep_clear(scene: Scene) -> None:
    """Cuts, bits, bytes, lines, encodings and conflicts in sheep, draft, tagging, foster, lambing, medicine, settings
    and treatment notes, some drawn by lot for each note (all of them: `python -m tests.damage`).
    """
    found = [told(case, wrong) for case in chosen([scene], SAMPLE, 1) if (wrong := wrongly_clear(case))]
    assert found == [], "\n".join(found)


FOSTER, DRAFT = "events/2026-04-23 foster.md", "events/2026-05-30 draft.md"
LINES, RACE = "events/2026-06-02 treatment.md", "events/2026-06-02 treatment race.csv"


@pytest.mark.parametrize(
    ("name", "path", "text"),
    [
        ("lambs at foot", FOSTER, b"---\nlamb: 751\nonto: Teasel\n---JTook to her at once.\n"),
        ("lambs at foot", FOSTER, b"---\nlamb: 751\nonto: Teasel\n---\nTook to he\xf2 at once.\n"),
        ("lambs at foot", FOSTER, b"---\nlamb: 751\nlamb: 751\nonto: Teasel\n---\n"),
        ("lambs at foot", "sheep/C214 Bramble.md", b"---\nnote: ewe\nborn: 2021\nmb: hill\n---\n"),
        ("draft", DRAFT, b"---\nsheep: Teasel, Sorre\xec\ncount: 2\ninto: top park\n---\n"),
        ("draft", DRAFT, b"---\nsheep: Teasel"),
        ("range", "events/2026-06-02 treatment lambs.md", BACKWARDS),
        ("lines", LINES, b"---\nmedicine: penicillin\n---\n- Brcmble's ewe lamb 20 kg\n- no 7 18 kg\n- C230 61 kg\n"),
        ("lines", LINES, b"---\nmedicine: penicillin\n---\n- Brambl"),
        ("lines", "events/2026-04-21 lambing Sorrel.md", b"- ram 4.0 kg, o 7\n"),
        ("table beside", RACE, b"sheep,kg,dose\nC214,62,3 mlC231,55,3 ml\n"),
        ("class", LINES, b"---\n}ob: ewes\nexcept: Sorrel\nmedicine: penicillin\n---\n"),
        ("retagged", "events/treatment.md", TURNED_YEAR),
        ("retagged", "events/treatment.md", TURNED_COLON),
    ],
)
def test_damage_that_once_made_a_dosed_sheep_clear(name: str, path: str, text: bytes) -> None:
    """The smallest example of each kind that was ever found, whatever the lot draws."""
    scene = next(scene for scene in SCENES if scene.name == name)
    assert wrongly_clear(Case(scene, path, text)) == []


def test_every_damaged_treatment_is_still_a_note_or_a_hole() -> None:
    """A damaged treatment never becomes a file that is passed over, whatever its file is called."""
    text = next(scene for scene in SCENES if scene.treatment == UNDATED).notes[UNDATED]
    for variant in damaged(text.encode()):
        assert not unchecked({UNDATED: variant}).collection.others, variant


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(sorted(set(FLOCK) - {TREATMENT, MEDICINE})), st.binary(max_size=60))
def test_breaking_or_adding_any_other_note_clears_nobody(path: str, rubbish: bytes) -> None:
    """Whatever becomes of other notes, a treated animal that is still in the book is not clear."""
    for notes in (
        {**FLOCK, path: rubbish},
        {**FLOCK, "events/other.md": rubbish},
        {**FLOCK, "2026-06-05 remark.md": rubbish},
    ):
        standing = unchecked(notes).facts.medicine.guard.standing
        assert not [sheep for sheep in TREATED if sheep in standing and standing[sheep].clear]


def test_what_the_property_means_by_a_wrong() -> None:
    """The judge on which all this rests: a dose that is taken out with an error beside it is found."""
    scene = SCENES[0]
    lost = "---\nsheep: C231\nmedicine: penicillin\n---\n"
    assert wrongly_clear(Case(scene, scene.treatment, lost.encode())) == []  # sound: the book says what it says
    broken = "---\nsheep: C231\nmedicine: penicillin\ncount: 1\nroute: muscle\n---\n"
    asked = {**scene.notes, "2026-06-05 remark.md": "---\nsheep: Nobody\n---\n"}
    besides = Scene(scene.name, scene.treatment, asked, scene.dosed, scene.spared)
    assert wrongly_clear(Case(besides, scene.treatment, broken.encode())) == ["C214", "C230"]


def test_a_treatment_without_an_end_to_its_head_is_a_hole() -> None:
    """It is neither a record nor another file, and holds everybody."""
    seen = read({**FLOCK, TREATMENT: b"---\nsheep: Bramble\n"})
    assert isinstance(seen.collection.holes[0], Hole)
    assert all(row.meat.state == "unknown" for row in seen.facts.medicine.guard.standing.values())
    assert not any(isinstance(item, Other) for item in seen.collection.holes)


@pytest.mark.parametrize("named", [TREATMENT, "events/2026-06-03 treatment mob.csv"])
def test_no_setting_takes_a_treatment_out_of_the_book(tmp_path: Path, named: str) -> None:
    """`adjustment factors` may name any file: a note, or the table of one, is read all the same and holds its sheep."""
    files: dict[str, str | bytes] = {
        **FLOCK,
        "events/2026-06-03 treatment mob.md": "---\nmedicine: penicillin\ndose: 3 ml\n---\n",
        "events/2026-06-03 treatment mob.csv": "sheep,kg\nC231,60\n",
        "flock.yaml": f"flock: Small\nadjustment factors: {named}\n",
    }
    for path, text in files.items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_bytes(text if isinstance(text, bytes) else text.encode())
    seen = proof(tmp_path, BOOK, moment("2026-06-10"))
    plain = read({path: text for path, text in files.items() if path != "flock.yaml"})
    assert "S103" in [message.code for message in seen.diagnostics]
    assert {sheep: row.meat for sheep, row in seen.facts.medicine.guard.standing.items()} == {
        sheep: row.meat for sheep, row in plain.facts.medicine.guard.standing.items()
    }
    assert not any(seen.facts.medicine.guard.standing[sheep].clear for sheep in (*TREATED, "C231"))
