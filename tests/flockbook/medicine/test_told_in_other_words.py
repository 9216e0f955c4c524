"""More ways of telling a dose, its wait or its day, each from a note that a shepherd could write."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.flockbook.medicine.test_as_people_jot import EWE, HILL, MEDICINE, Files, other, state, treatment

Case = tuple[str, Files, str, str]
DAY = "2026-06-20"  # 18 days after the dose of the 2nd, of 28
CUPBOARD = {
    f"medicines/{name}.md": MEDICINE + "---\n"
    for name in ("fly pour-on", "clostridial toxoid CD-T", "oxytetracycline LA 200")
}
# In a remark on Bramble: a wait without its dose, or one more dose.
ON_BRAMBLE = [
    "Not to go before 1 August, vet says.",
    "Cannot be killed before 20 July.",
    "Hold till 20 July.",
    "Clear from 20 July",
    "Not for eating till August.",
    "Withdrawal period 35 days.",
    "Meat 28 days, milk 7.",
    "Withhold milk 7 days.",
    "Another dose.",
    "Half dose.",
    "Gave her another.",
    "Repeated.",
    "She got the same as Teasel.",
]
WAITS_IN_HER_NOTE = ["meat until: 2026-07-20", "not before: 20 Jul", "milk until: 20 Jul"]
WORDS = [
    ("Dewormed Bramble", "C214"),
    ("Lame: Bramble, Teasel. Dewormed.", "C214 C230"),
    ("deworm lambs - done", "731"),
    ("Shots for lambs", "731"),
    ("Lambs got their shots", "731"),
    ("Hoof trim and shots, all ewes", "C214"),
    ("Gave shots", "C214 C107"),
    ("CD&T to all lambs", "731"),
    ("CD-T all lambs", "731"),
    ("Selenium to all lambs", "731"),
    ("Gave Bramble her medicine", "C214"),
    ("Bramble medicine 2 of 3", "C214"),
    ("Fluked and dipped", "C214 C107"),
    ("Fluke and worm ewes", "C214"),
    ("dose lambs", "731"),
    ("2nd dose lambs", "731"),
    ("Vaccs: all ewes", "C214"),
    ("Vacs done", "C214"),
    ("drnch lambs", "731"),
    ("Anthelmintic to lambs", "731"),
    ("Coccidia treatment for lambs", "731"),
    ("did bramble and teasel with the long acting", "C214 C230"),
    ("Bramble jab today and again tomorrow", "C214"),
    ("Lambs due a drench, gave it", "731"),
    ("Lambs due drench - done", "731"),
    ("Meant to drench lambs next week but did it today", "731"),
    ("New drench gun, tried it on the lambs", "731"),
    ("Drench gun broke halfway through lambs", "731"),
    ("Teasel drenched. Bramble not right either, so she got the same as Teasel.", "C214"),
]
OTHER_KINDS = [
    ("job", "---\nmob: hill\ndid: deworming\n---\n", "C214"),
    ("job deworm", "- Bramble\n- Teasel\n", "C214 C230"),
    ("check", "- Bramble eyelid 4, dewormed\n", "C214"),
    ("illness Bramble", "---\nproblem: worms\n---\nDewormed.\n", "C214"),
    ("move", "---\nsheep: Bramble\nto: shed\n---\nDewormed first.\n", "C214"),
    ("task", "---\nwhat: deworm lambs\ndone: yes\n---\n", "731"),
    ("weighing", "- 731 27 dewormed\n", "731"),
    ("job pour on", "- Bramble\n- Teasel\n- Salt\n", "C214 C230 C107"),
    ("job pour on", "hill, low\n", "C214 C107"),
    ("job spot on", "- Bramble\n- Teasel\n", "C214 C230"),
]
TASKS = ["jabs", "antibiotics", "wormer", "pour on", "spot on", "boluses", "feet and jabs", "shots"]
# Two days after a treatment, in a remark of its own: one more dose.
ON_A_LATER_DAY = ["Bramble 2nd jab.", "Jabbed Bramble, still lame.", "Bramble finished her jabs.", "Bramble jabbed"]
TOGETHER = ["All one mob now.", "All sheep in one field now.", "Housed everything together."]
WRITTEN_LATE: list[Case] = [
    (
        "born",
        {**HILL, **other("lambing Teasel", "- ewe 4 kg, tag 741\n\nBorn on the 1st.\n", "2026-06-05")},
        "741",
        DAY,
    ),
    (
        "born, in its head",
        {**HILL, "events/2026/2026-06-05 lambing Teasel.md": "---\nborn: 1 Jun\n---\n- ewe 4 kg, tag 741\n"},
        "741",
        DAY,
    ),
    (
        "arrived",
        {
            **treatment("sheep: all\n"),
            **other("purchase", "---\nfrom: Jones\ninto: hill\n---\n- ewe tag D9\n\nArrived 1 June.\n", "2026-06-05"),
        },
        "D9",
        DAY,
    ),
    (
        "the last day of five",
        {
            "events/2026/2026-06-05 treatment.md": "---\nmob: hill\nmedicine: short drench\ndose: 3 ml\ndays: 5\n"
            "finished: 5 Jun\n---\n",
            **other("draft", "---\nsheep: Bramble\ninto: low\n---\n"),
        },
        "C214",
        "2026-06-10",
    ),
    (
        "a course that runs",
        {
            "events/2026/2026-06-02 treatment.md": "---\nsheep: Bramble\nmedicine: short drench\ndose: 3 ml\n"
            "finished: 6 Jun\n---\n"
        },
        "C214",
        "2026-06-04",
    ),
    (
        "corrected without it",
        {
            **other("illness Bramble", "---\nproblem: foot\n---\nexample drench 5 ml\n"),
            **other(
                "illness Bramble b",
                "---\nproblem: foot\ncorrects: 2026-06-02 illness Bramble\n---\nNear hind.\n",
                "2026-06-03",
            ),
        },
        "C214",
        DAY,
    ),
]
EVERYBODY = [
    ("Dipped all", "all"),
    ("Poured the whole lot for fly", "the whole lot"),
    ("Drenched the lot, moved to top field", "the lot"),
    ("Pour on for flies, all of them", "all of them"),
    ("Wormer day. Everything done", "all"),
    ("Drenched the hill.", "the hill"),
]


def cases() -> Iterator[Case]:
    """Every case: its words, the notes, who was dosed, and a day on which they are not clear."""
    yield from ((words, other("remark Bramble", f"{words}\n"), "C214", DAY) for words in ON_BRAMBLE)
    for words in WAITS_IN_HER_NOTE:
        yield words, {"sheep/C214 Bramble.md": EWE.replace("mob: hill\n", f"mob: hill\n{words}\n")}, "C214", DAY
    yield from ((words, other("remark", f"{words}\n"), tags, DAY) for words, tags in WORDS)
    yield from ((f"{kind}: {words}", other(kind, words), tags, DAY) for kind, words, tags in OTHER_KINDS)
    for words in TASKS:
        yield words, other("task", f"---\nwhat: {words}\nmob: hill\ndone: 2 Jun\n---\n"), "C214", DAY
    for words in ON_A_LATER_DAY:
        files = {**treatment("sheep: Bramble\n", medicine="short drench"), **other("remark", words, "2026-06-04")}
        yield f"later: {words}", files, "C214", "2026-06-16"
    for words in TOGETHER:
        yield words, {**other("remark", f"{words}\n", "2026-05-30"), **HILL}, "C107", DAY
    yield "ram in", {**other("remark", "Ram in with hill.\n", "2026-05-30"), **HILL}, "H001", DAY
    yield "running with", {**other("remark Salt", "Running with hill.\n", "2026-05-30"), **HILL}, "C107", DAY
    yield from WRITTEN_LATE
    numbered = {f"sheep/{tag}.md": EWE for tag in ("12", "5", "7")}
    yield "slashes", {**numbered, **other("remark", "Jabbed 12/5/7\n")}, "12 5 7", DAY


@pytest.mark.parametrize(("files", "tags", "day"), [case[1:] for case in cases()], ids=[case[0] for case in cases()])
def test_whoever_was_dosed_is_not_clear_in_whatever_words(tmp_path: Path, files: Files, tags: str, day: str) -> None:
    """Whoever the words say was dosed, held or there is not clear."""
    for number, tag in enumerate(tags.split()):
        assert state(tmp_path / str(number), {**CUPBOARD, **files}, tag, day) != "clear"


@pytest.mark.parametrize(("words", "answer"), EVERYBODY)
def test_not_dosed_answers_the_same_words(tmp_path: Path, words: str, answer: str) -> None:
    """Typed as the message prints it, `not dosed: the lot` frees all whom `Drenched the lot` held."""
    files = {**CUPBOARD, **other("remark", f"---\nnot dosed: {answer}\n---\n{words}\n")}
    for number, tag in enumerate(("C214", "C107", "731")):
        assert state(tmp_path / str(number), files, tag, DAY) == "clear"


def test_except_takes_away_from_the_mob_of_a_file_name(tmp_path: Path) -> None:
    """`treatment hill` with `except: Teasel`: she stays clear, as with `mob: hill` in the head."""
    files = treatment("except: Teasel\n", name="2026-06-02 treatment hill")
    assert state(tmp_path / "1", files, "C230", DAY) == "clear"
    assert state(tmp_path / "2", files, "C214", DAY) != "clear"
