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
# Sheep with tags of one figure and of two, in a file name and in a remark.
SHORT_TAGS = {f"sheep/{tag}.md": EWE.replace("hill", "low") for tag in ("3", "7", "14", "31", "32", "114")}
IN_NAMES = ["3 and 7", "3, 7", "3,7", "31 and 32", "14 and 114", "drench 3 and 7", "3 7", "3+7", "3"]
IN_REMARKS = [
    ("Injected 3 and 7.", "3 7"),
    ("3 ml example drench to 3, 7.", "3 7"),
    ("Drenched 3,7,31", "3 7 31"),
    ("31, 32 and 14 drenched", "31 32 14"),
    ("example drench 3 & 7", "3 7"),
    ("Jabbed 3.", "3"),
    ("drenched ewe 3", "3"),
    ("Drenched 3 7 31 32", "3 7 31 32"),
]
# Lists that go on behind the sentence.
GOING_ON = [
    ("Injected Bramble\nTeasel", "C214 C230"),
    ("Injected Bramble,\nTeasel.", "C214 C230"),
    ("- Bramble example drench\n- Teasel", "C214 C230"),
    ("Injected Bramble. And Teasel.", "C214 C230"),
    ("Drenched Bramble. Teasel.", "C214 C230"),
    ("Drenched:\nBramble\nTeasel", "C214 C230"),
    ("Injected Bramble\n\nTeasel", "C214 C230"),
    ("Jabbed Bramble and\nTeasel", "C214 C230"),
    ("Drenched hill am. Low pm.", "C214 C107"),
]
# What was not done to some, or not yet, was done to others.
NOT_ALL = [
    ("Teasel not drenched, the rest of hill were.", "C214"),
    ("Low not drenched, hill was.", "C214 C230"),
    ("Will drench low tomorrow, hill done today.", "C214"),
    ("Teasel was not injected, Bramble was.", "C214"),
    ("Not drenched: Teasel. Drenched: Bramble.", "C214"),
    ("Teasel needs drenching, Bramble done.", "C214"),
    ("Bramble did not like the drench.", "C214"),
]
# In a remark on Bramble: she had it, whatever else is denied or planned.
SHE_HAD_IT = [
    "No better after two jabs.",
    "Must be kept in after the injection.",
    "No trouble with the jab.",
    "No reaction to the injection.",
    "Never saw a ewe hate a drench so.",
    "Not keen on the drench.",
    "Not lame since the jab.",
    "Will not eat since her injection.",
    "Without a fuss she took the drench.",
    "Second jab, no better.",
    "Should be right after that injection.",
    "Gave her a painkiller.",
    "On meds.",
    "medicine given",
    "Needle today.",
    "Booster.",
    "Had her vaccination.",
    "Watery mouth dose.",
    "Antibiotic cover.",
]
# On the day of its one dose, in a remark on Bramble.
COURSE_TOLD = [
    "Short drench for five days.",
    "Short drench 3 ml daily.",
    "On short drench till Friday.",
    "Three days of short drench.",
    "short drench twice a day",
    "Short drench 2-5 June",
    "Short drench again Thursday.",
    "starting a course of short drench",
]
MISSPELT = [
    "Gave Bramble exampel drench.",
    "Gave Bramble exampledrench.",
    "Bramble example drnch",
    "Gave Bramble levamisol.",
    "Gave Bramble leva misole",
]
LAMBED = "events/2026/2026-04-16 lambing Salt.md"
BY_FILE_NAME: list[Case] = [
    ("job hill", other("job hill", "---\ndid: drench\n---\n"), "C214 C230", DAY),
    ("job of two", other("job Bramble and Teasel", "---\ndid: example drench\n---\n"), "C214 C230", DAY),
    ("job of nobody", other("job", "---\ndid: example drench\n---\n"), "C214 C107", DAY),
    (
        "page hill",
        other("page hill", "---\ntitle: June\n---\nDrenched with example drench.\n"),
        "C214",
        DAY,
    ),
    ("task hill", other("task hill", "---\nwhat: drench\ndone: 2 Jun\n---\n"), "C214", DAY),
    ("a tick", other("task", "---\nwhat: week list\n---\n- [x] drench hill\n"), "C214", DAY),
    ("cull", other("cull", "---\nsheep: Salt\nwhy: lame, jabbed, no good\n---\n"), "C107", DAY),
    ("death", other("death", "---\nsheep: Salt\ncause: worms\n---\nDrenched the rest.\n"), "C214", DAY),
    ("the mother of 731", other("remark", "Injected the mother of 731.\n"), "C214", DAY),
    ("its ewe", other("remark", "Drenched 731 and its ewe.\n"), "C214", DAY),
    (
        "a table beside",
        {"events/2026/June.csv": "date,who,what\n02/06/2026,Bramble,drench\n02/06/2026,Teasel,drench\n"},
        "C214 C230",
        DAY,
    ),
    (
        "lambs and ewe",
        {LAMBED.replace("04-16", "05-30"): "- ewe 4 kg, tag 761\n- ram 4 kg, tag 762\n\nLambs and ewe jabbed.\n"},
        "C107 761 762",
        DAY,
    ),
    (
        "days as headings",
        treatment("", "Tue:\n- Bramble\n\nThu:\n- Teasel\n", medicine="short drench"),
        "C230",
        AFTER_ONE,
    ),
    (
        "where she began",
        {
            "sheep/C107 Salt.md": EWE.replace("hill", "low since 1 June"),
            **treatment("mob: hill\n", name="2026-05-20 treatment"),
        },
        "C107",
        DAY,
    ),
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
    for words in IN_NAMES:
        tags = " ".join(word for word in words.replace(",", " ").replace("+", " ").split() if word.isdigit())
        yield f"name: {words}", {**SHORT_TAGS, **treatment(name=f"2026-06-02 treatment {words}")}, tags, DAY
    yield from ((words, {**SHORT_TAGS, **other("remark", f"{words}\n")}, tags, DAY) for words, tags in IN_REMARKS)
    yield from ((words, other("remark", f"{words}\n"), tags, DAY) for words, tags in (*GOING_ON, *NOT_ALL))
    yield from ((words, other("remark Bramble", f"{words}\n"), "C214", DAY) for words in SHE_HAD_IT)
    yield from ((words, other("remark", f"{words}\n"), "C214", DAY) for words in MISSPELT)
    for words in COURSE_TOLD:
        yield words, {**told_short(""), **other("remark Bramble", f"{words}\n")}, "C214", AFTER_ONE
    yield from BY_FILE_NAME
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


def test_the_second_of_two_paint_numbers_is_held(tmp_path: Path) -> None:
    """`no 7 and 8` on lambs without tags."""
    files = {LAMBED: "- ewe 4 kg, no 7\n- ram 4 kg, no 8\n", **other("remark", "example drench 2 ml no 7 and 8\n")}
    assert state(tmp_path, files, "no 8", DAY) != "clear"


def test_days_told_in_an_illness_are_days_of_doses(tmp_path: Path) -> None:
    """`3 ml daily 5-10 June` in an illness is not answered by the treatment of the 5th."""
    told = other("illness", "---\nsheep: Bramble\n---\nexample drench 3 ml daily 5-10 June.\n", "2026-06-05")
    files = {**told, **treatment(BRAMBLE, "", name="2026-06-05 treatment")}
    assert state(tmp_path, files, "C214", "2026-07-04") != "clear"
