"""Ordinary sentences by which a treatment, a move or a note of another kind tells of more than its fields say."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.flockbook.medicine.test_as_people_jot import (
    EWE,
    FREE,
    HILL,
    MEDICINE,
    Files,
    other,
    state,
    treatment,
    weighed,
)

DAY = "2026-06-10"  # eight days after the dose
AFTER_ONE = "2026-06-18"  # when a single dose of the short drench would be over
BRAMBLE = "sheep: Bramble\n"
Case = tuple[str, Files, str, str]

# Below the head of a treatment of Bramble: who else was dosed.
FURTHER_SHEEP = [
    ("and 230", "C230"),
    ("and 230.", "C230"),
    ("also 230", "C230"),
    ("230 as well", "C230"),
    ("did teasel while I was there", "C230"),
    ("Did teasel while I was there.", "C230"),
    ("did 230 while I was there", "C230"),
    ("grabbed teasel too", "C230"),
    ("ran teasel through as well", "C230"),
    ("Did the tup while I was there.", "H001"),
    ("Got the tup in as well.", "H001"),
    ("did the ram", "H001"),
]
# Words of kin in the head, on a line and in the file's name.
KIN = [
    ("gimmer C214", "731"),
    ("Bramble gimmer", "731"),
    ("ewe lamb (Bramble)", "731"),
    ("Bramble (ewe lamb)", "731"),
    ("gimmer lamb C214", "731"),
    ("tup lamb C214", "732"),
    ("ram lamb Bramble", "732"),
    ("Bramble (tup lamb)", "732"),
    ("Bramble tup lamb", "732"),
    ("731's ewe", "C214"),
    ("731's dam", "C214"),
    ("dam of 731", "C214"),
    ("mother of 731", "C214"),
    ("731's mother", "C214"),
    ("ewe of 731", "C214"),
]
# Teasel is excepted in the head, and dosed after all.
AFTER_ALL = [
    "Got Teasel in the end.",
    "Teasel went through at the end.",
    "Found Teasel behind the wall, done now.",
    "Teasel turned up.",
]
# Below the head of a treatment with a medicine without waiting: another was given too.
ANOTHER_MEDICINE = [
    "Drenched her too.",
    "Wormed as well.",
    "Wormed at the same time.",
    "and wormed",
    "Also fluked.",
    "Gave her an antibiotic too.",
    "Plus a jab.",
]
# Below the head of a treatment whose one dose would be over on the 18th: more doses, another medicine, longer waits.
NOT_OVER = [
    "Jen jabbed her on Sunday",
    "Next dose given Sunday",
    "Sat: same. Sun: same.",
    "Gave her the third one on the twelfth",
    "on the fifth too",
    "Took three jabs.",
    "Had three in all.",
    "vet jabbed her Sunday",
    "Jen finished the course.",
    "Sat Sun Mon too",
    "Vaccinated at the same time.",
    "Antibiotic jab too.",
    "Injected as well.",
    "It was the LA.",
    "LA this time.",
    "Used yarrow.",
    "Vet says 56 days this time.",
    "Not to go before 10 August.",
    "Not to go till 10 August.",
    "56 days.",
    "Withdrawal 56 days.",
    "Double withdrawal.",
    "Vet said double the withdrawal.",
    "Hold her till August.",
    "Keep her 8 weeks.",
    "Meat 56 d.",
    "56 d meat",
    "Not for the butcher this side of August.",
]
# Four days after that treatment, in a remark.
LATER_REMARKS = [
    "Bramble's course finished today.",
    "Bramble: day 5 of the course.",
    "Bramble's last one today.",
    "Bramble last jab today",
    "Bramble done again.",
    "Finished Bramble's jabs.",
    "Bramble better, last jab this morning.",
]
# A dose told in notes of other kinds.
TOLD = [
    ("remark", "C241 was lame again this morning so I gave Bramble some example drench.", "C214"),
    ("remark", "One was lame again this morning out on the moor so I gave her some example drench.", "C214 C107"),
    ("remark", "Treated the three with foot rot and let them go again.", "C214 C107"),
    ("remark", "The lame one was treated this morning and put in the pen.", "C214 C107"),
    ("remark", "---\nnot dosed: all\n---\nBramble had 3 ml example drench.", "C214"),
    ("remark", "Gave Bramble half a ml.", "C214"),
    ("remark", "Bramble ½ ml", "C214"),
    ("remark", "Bramble 1½ ml", "C214"),
    ("remark", "Bramble two and a half ml", "C214"),
    ("remark", "Bramble 3 c.c.", "C214"),
    ("remark", "Vaccination done, Bramble", "C214"),
    ("remark", "Bramble had her vaccination", "C214"),
    ("remark", "Bramble: booster", "C214"),
    ("remark", "Covered Bramble with antibiotics after the hard lambing.", "C214"),
    ("remark", "Bramble painkiller", "C214"),
    ("remark", "Bramble on meds", "C214"),
    ("remark", "Bramble backlined", "C214"),
    ("remark", "Watery mouth dose for Bramble.", "C214"),
    ("task", "---\nwhat: drench the hill ewes\n---\ndone", "C214 C230"),
    ("task", "---\nwhat: drench the hill ewes\n---\nDone 2 June.", "C214 C230"),
    ("task", "---\nwhat: drench the hill ewes\n---\nAll done.", "C214 C230"),
    ("egg count", "- Bramble 12 eggs, drenched", "C214"),
    ("egg count", "- Bramble 12 eggs\nDosed her.", "C214"),
    ("death", "---\nsheep: Bramble\n---\nDrenched the rest of low.", "C107"),
    ("sale", "---\nsheep: Teasel\n---\nDrenched Bramble before she went.", "C214"),
    ("job", "---\nsheep: Bramble\ndid: fluke\n---", "C214"),
    ("job", "---\nsheep: Bramble\ndid: spray\n---", "C214"),
    ("job", "---\nmob: hill\ndid: worms\n---", "C214"),
]
# Notes before the treatment of the hill mob that put Salt into it.
INTO_HILL: list[tuple[str, Files]] = [
    ("into", other("move", "---\nsheep: Salt\ninto: hill\n---\n", "2026-05-30")),
    ("with", other("move", "---\nsheep: Salt\nto: top field\n---\nWith the hill mob now.\n", "2026-05-30")),
    ("together", other("remark", "Put hill and low together.\n", "2026-05-30")),
    ("joined them", {"mobs/hill.md": "---\nnote: mob\n---\nLow joined them 30 May.\n"}),
    (
        "one field",
        {
            **other("move", "---\nmob: hill\nto: top field\n---\n", "2026-05-20"),
            **other("move", "---\nsheep: Salt\nto: top field\n---\n", "2026-05-30"),
            "land/top field.md": "---\nnote: paddock\narea: 1 ha\n---\n",
        },
    ),
    ("since", {"sheep/C107 Salt.md": EWE.replace("hill", "hill since 1 May")}),
    ("ones", {"sheep/C107 Salt.md": EWE.replace("hill", "the hill ones")}),
]
# The treatment says Bramble, and a later remark that it was Teasel.
PUT_RIGHT = [
    "---\ncorrects: 2026-06-02 treatment\n---\nIt was Teasel.\n",
    "It was Teasel, not Bramble, that I drenched yesterday.\n",
    "Wrong ewe in yesterday's drench note, should be Teasel.\n",
]
COLUMNS = [("pour on", "yes"), ("pour on", "2"), ("product", "example drench"), ("product", "exampel drench")]


def cases() -> Iterator[Case]:
    """Every case: its words, the notes, who was dosed, and a day on which they are not clear."""
    yield from ((words, treatment(BRAMBLE, f"{words}\n"), tags, DAY) for words, tags in FURTHER_SHEEP)
    for words, tags in KIN:
        yield f"head: {words}", treatment(f"sheep: {words}\n"), tags, DAY
        yield f"line: {words}", treatment("", f"- {words} 3 ml\n"), tags, DAY
        yield f"name: {words}", treatment(name=f"2026-06-02 treatment {words}"), tags, DAY
    yield from ((words, treatment("mob: hill\nexcept: Teasel\n", f"{words}\n"), "C230", DAY) for words in AFTER_ALL)
    for words in ANOTHER_MEDICINE:
        yield words, {**treatment(BRAMBLE, f"{words}\n", medicine="vitamin"), **FREE}, "C214", DAY
    yield from ((words, told_short(f"{words}\n"), "C214", AFTER_ONE) for words in NOT_OVER)
    for words in LATER_REMARKS:
        yield words, {**told_short(""), **other("remark", f"{words}\n", "2026-06-06")}, "C214", AFTER_ONE
    yield from ((words, other(kind, f"{words}\n"), tags, DAY) for kind, words, tags in TOLD)
    yield from ((words, {**HILL, **files}, "C107", DAY) for words, files in INTO_HILL)
    for words in PUT_RIGHT:
        yield words, {**treatment(BRAMBLE), **other("remark", words, "2026-06-03")}, "C230", DAY
    yield from ((f"{heading} {cell}", weighed(heading, cell), "731", DAY) for heading, cell in COLUMNS)


def told_short(words: str) -> Files:
    """A treatment of Bramble with the short drench, beside a product that is called by its end."""
    files = treatment(BRAMBLE, words, medicine="short drench")
    return {**files, "medicines/yarrow LA.md": MEDICINE + "---\n"}


@pytest.mark.parametrize(("files", "tags", "day"), [case[1:] for case in cases()], ids=[case[0] for case in cases()])
def test_whoever_was_dosed_by_an_ordinary_sentence_is_not_clear(
    tmp_path: Path, files: Files, tags: str, day: str
) -> None:
    """Whoever was dosed, as often and with whatever the words tell, is not clear."""
    for number, tag in enumerate(tags.split()):
        assert state(tmp_path / str(number), files, tag, day) != "clear"


def test_days_told_in_an_illness_are_days_of_doses(tmp_path: Path) -> None:
    """`3 ml daily 5-10 June` in an illness is not answered by the treatment of the 5th."""
    told = other("illness", "---\nsheep: Bramble\n---\nexample drench 3 ml daily 5-10 June.\n", "2026-06-05")
    files = {**told, **treatment(BRAMBLE, "", name="2026-06-05 treatment")}
    assert state(tmp_path, files, "C214", "2026-07-04") != "clear"
