"""Words of a dose beside a sheep who is named for another reason, papers that are no notes, and where sheep stood."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.flockbook.medicine.test_as_people_jot import EWE, HILL, MEDICINE, Files, other, state, treatment

Case = tuple[str, Files, str]
DAY = "2026-06-20"  # 18 days after the dose of the 2nd, of 28
BRAMBLE = "sheep: Bramble\n"
FLOCK_OF_MORE = {"medicines/white drench.md": MEDICINE + "---\n", "sheep/C231 Fern.md": EWE}
# All of the mob, or of the flock, were drenched; Fern is named for something else.
FERN_BESIDE = [
    "Drenched today. Fern lame.",
    "Drenched today.\nFern lame.",
    "Drenched today.\n\nFern lame.",
    "Sheared and drenched. Fern got out.",
    "Wormed. Weighed Fern 60.",
    "White drench today.\n- Fern lame",
    "Drenched with white. Fern limping still.",
    "Fern lame. Drenching done.",
]
# All but Fern were drenched.
ALL_BUT_FERN = [
    "Drenched today. Missed Fern.",
    "Drenched except Fern.",
    "Drenched, not Fern.",
    "Drenched. Could not catch Fern.",
    "Fern got away, the rest drenched.",
    "Fern not done, rest drenched.",
    "Drenching finished, Fern missed",
    "Only Fern left to drench.",
]
OF_A_MOB = [
    ("move", "---\nmob: hill\nto: low\n---\n"),
    ("job", "---\nmob: hill\ndid: shearing\n---\n"),
    ("weighing", "---\nmob: hill\n---\n"),
    ("remark hill", ""),
]
# Notes on Bramble, and words of her dose that name somebody else.
ON_BRAMBLE = [
    ("illness Bramble", "---\nproblem: lameness\n---\n"),
    ("remark Bramble", ""),
    ("check", "- Bramble bcs 3\n"),
    ("labour Bramble", ""),
    ("job", "---\nsheep: Bramble\ndid: feet\n---\n"),
    ("move", "---\nsheep: Bramble\nto: shed\n---\n"),
    ("cull", "---\nsheep: Bramble\nwhy: age\n---\n"),
    ("abortion Bramble", ""),
]
SHE_WAS_JABBED = [
    "Jabbed, put in with Teasel.",
    "Jabbed, lambs fine.",
    "example drench 5 ml, Teasel also",
    "Bad foot like Teasel had, example drench 5 ml.",
    "Given example drench in the pen beside Fern.",
]
# Below the head of a treatment of Bramble: others whom nothing names.
NAMELESS_OTHERS = [
    "All the others too.",
    "and the other lame one",
    "Others the same.",
    "Did them all while I was at it.",
    "Everything in the pen had it.",
    "Her pen mates too.",
    "Other ewe done too.",
    "One more ewe, no tag.",
    "All three.",
    "Did 8",
    "8 head",
    "8 x 3 ml",
    "Total 40 ml",
    "All ewes the same",
    "The neighbour in the pen too.",
    "Did the yearlings as well.",
    "All yearlings had it.",
]
THE_RAM_TOO = [
    "including the ram",
    "with the ram",
    "ram too",
    "and the tup",
    "+ tup",
    "incl tup",
    "Ram in with them.",
    "her and the ram",
    "not forgetting the tup",
]
# Files that are no notes.
PAPERS = [
    ("diary.md", "10/6 wormed all ewes\n12/6 sheared"),
    ("diary.md", "10.6. wormed all ewes"),
    ("diary.md", "ewes wormed 10/6"),
    ("diary.md", "10/6 drenched the lot"),
    ("diary.md", "Wed 10 wormed all ewes"),
    ("todo.txt", "- [x] drench Bramble 10 Jun"),
    ("todo.txt", "Bramble: drench, done 10 Jun"),
    ("todo.txt", "drench Bramble - done"),
    ("Bramble.txt", "jabbed 10/6"),
    ("Bramble notes.txt", "jabbed"),
    ("drench record.txt", "Bramble 10/6\nTeasel 10/6"),
    ("wormed.txt", "Bramble\nTeasel"),
    ("wormed.txt", "ewes 10/6"),
    ("wormed June.txt", "all ewes"),
    ("vet visits.md", "## 10 June\nBramble antibiotic"),
    ("vet/2026-06.md", "10: Bramble antibiotic"),
    ("log.md", "8/6 sheared\n10/6 wormed hill"),
    ("log.md", "Mon 8: sheared\nWed 10: wormed hill"),
    ("log.md", "# June 2026\n8 sheared\n10 wormed ewes"),
    ("log.md", "- 8th sheared\n- 10th wormed ewes and lambs"),
    ("log 2026.md", "week 24: wormed ewes"),
    ("log.csv", "day,what\n10/6,wormed ewes"),
    ("events/2026/New note.md", "Wormed ewes today"),
]
HURRIED = [
    ("Bramble drentched", "C214"),
    ("Bramble mastitis, stripped out and tube in", "C214"),
    ("Started Bramble on pen", "C214"),
    ("Put Bramble on a course", "C214"),
    ("Lambs jagged for fluke", "731"),
    ("Plunge dip, all sheep", "C214"),
    ("Showered the ewes for scab", "C214"),
    ("Vax done, ewes and lambs", "C214 731"),
    ("Ran all the lambs through with the white", "731"),
    ("Ewes done with the white", "C214"),
    ("Drenched Bramble and hers", "731 732"),
]
# Notes of other days that put a sheep into the mob that was dosed on the 2nd.
STOOD_THERE: list[Case] = [
    ("her words", {"sheep/C107 Salt.md": EWE.replace("mob: hill\n", "") + "Runs with hill.\n"}, "C107"),
    ("weighed", other("weighing", "---\nmob: hill\n---\n- Bramble 60\n- Salt 60\n", "2026-05-30"), "C107"),
    ("checked", other("check", "---\nmob: hill\n---\n- Bramble bcs 3\n- Salt bcs 3\n", "2026-05-30"), "C107"),
    ("counted", other("count", "---\nmob: hill\n---\nSalt with them.\n", "2026-05-30"), "C107"),
    ("bought", other("purchase", "---\nfrom: Jones\n---\n- ewe tag D9\n", "2026-05-30"), "D9"),
    ("until", other("draft", "---\nsheep: Teasel\ninto: low\nuntil: 1 Jun\n---\n", "2026-05-25"), "C230"),
    ("for a week", other("draft", "---\nsheep: Teasel\ninto: low\n---\nFor a week.\n", "2026-05-25"), "C230"),
    ("since", other("draft", "---\nsheep: Salt\ninto: hill\nsince: 1 Jun\n---\n", "2026-06-05"), "C107"),
    ("really", other("draft", "---\nsheep: Salt\ninto: hill\n---\nReally since the 1st.\n", "2026-06-05"), "C107"),
]
NUMBERED = {"sheep/12.md": EWE, "sheep/13.md": EWE, "sheep/5.md": EWE.replace("hill", "low")}
BY_NUMBER: list[Case] = [
    ("13 also", other("illness 12", "---\nproblem: foot\n---\nexample drench 5 ml, 13 also\n"), "12 13"),
    ("13 the same", other("remark 12", "Example drench, 13 the same\n"), "12 13"),
    ("5 too", other("remark", "Jabbed 12. 5 too.\n"), "12 5"),
    ("both", other("remark", "Lame today: 12, 5. Both jabbed.\n"), "12 5"),
]
STOCK = "---\nmedicine: example drench\nused: 80 ml\n"


def cases() -> Iterator[Case]:
    """Every case: its name, the notes, and who was dosed."""
    for words in FERN_BESIDE:
        yield f"hill: {words}", other("remark hill", f"{words}\n"), "C214 C230 C231"
        yield f"flock: {words}", other("remark", f"{words}\n"), "C214 C230 C107"
    yield from ((words, other("remark", f"{words}\n"), "C214 C230 C107") for words in ALL_BUT_FERN)
    for kind, head in OF_A_MOB:
        for words in ("Drenched, Fern very thin.", "Drenched today, Fern first."):
            yield f"{kind}: {words}", other(kind, f"{head}{words}\n"), "C214 C230"
    for kind, head in ON_BRAMBLE:
        yield from ((f"{kind}: {words}", other(kind, f"{head}{words}\n"), "C214") for words in SHE_WAS_JABBED)
    yield (
        "lambs sucking well",
        other("lambing Fern", "- ewe 4 kg, tag 741\n\nExample drench 5 ml, lambs sucking well.\n"),
        "C231",
    )
    yield from ((words, treatment(BRAMBLE, f"{words}\n"), "C230 C231") for words in NAMELESS_OTHERS)
    for head in (BRAMBLE, "mob: hill\n"):
        yield from ((f"{head}{words}", treatment(head, f"{words}\n"), "H001") for words in THE_RAM_TOO)
    for field in ("drench: example drench", "treated: example drench", "drenched: yes"):
        yield field, other("weaning", f"---\nlambs: all\n{field}\n---\n"), "731 732"
    yield from ((f"{path}: {words}", {path: f"{words}\n"}, "C214") for path, words in PAPERS)
    yield from ((words, other("remark", f"{words}\n"), tags) for words, tags in HURRIED)
    yield from ((name, {**HILL, **files}, tags) for name, files, tags in STOOD_THERE)
    yield from ((name, {**NUMBERED, **files}, tags) for name, files, tags in BY_NUMBER)
    yield "stock, on", other("stock", f"{STOCK}on: hill\n---\n"), "C214 C230"
    yield "stock, in words", other("stock", f"{STOCK}---\nOn the hill mob.\n"), "C214 C230"
    yield "put right", {**treatment(BRAMBLE), **other("remark", "Correction: Teasel not Bramble.\n")}, "C230"


@pytest.mark.parametrize(("files", "tags"), [case[1:] for case in cases()], ids=[case[0] for case in cases()])
def test_whoever_was_dosed_is_held_whoever_else_is_named(tmp_path: Path, files: Files, tags: str) -> None:
    """Names that stand beside for another reason take nobody away."""
    for number, tag in enumerate(tags.split()):
        assert state(tmp_path / str(number), {**FLOCK_OF_MORE, **files}, tag, DAY) != "clear"


def test_a_mob_called_like_a_class_is_that_mob(tmp_path: Path) -> None:
    """`All hoggets drenched.` where a mob is called hoggets: that mob, and nobody else."""
    hoggets = {"mobs/hoggets.md": "---\nnote: mob\n---\n", "sheep/C301 Sage.md": EWE.replace("hill", "hoggets")}
    files = {**hoggets, **other("remark", "All hoggets drenched.\n")}
    assert state(tmp_path / "1", files, "C301", DAY) != "clear"
    assert state(tmp_path / "2", files, "C230", DAY) == "clear"


@pytest.mark.parametrize("words", ["Jabbed Teasel.", "Teasel had 3 ml example drench.", "Drenched Teasel and Fern."])
def test_who_is_plainly_named_is_asked_about_alone(tmp_path: Path, words: str) -> None:
    """Bramble stays clear where a remark on her says straight out that another was dosed."""
    assert state(tmp_path, {**FLOCK_OF_MORE, **other("remark Bramble", f"{words}\n")}, "C214", DAY) == "clear"
