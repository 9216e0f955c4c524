"""Moves that a tired hand tells by halves, and amounts that only the words tell: who could have been dosed is held.

What each writing means is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.flockbook.medicine.test_on_other_farms import DAY, HEAD, NAMES, Case, Files, dosed, seen_of, standing, told

HILL = {"events/2026/2026-06-02 treatment.md": f"---\nmob: hill\n{HEAD}---\n"}
WEIGHED = {"events/2026/2026-04-25 weighing.md": "C230 60 kg\n"}


def day_before(name: str, text: str) -> Files:
    """A note of 1 June, beside the hill mob's treatment of the next day."""
    return {**NAMES, **HILL, f"events/2026/2026-06-01 {name}.md": text}


def moves() -> Iterator[Case]:
    """Who stood with the hill mob on 2 June, if the words are true."""
    for line, tags in [
        ("2026-06-01 07:00 Sorrel moved to hill", "C241"), ("2026-06-01 low moved to hill", "C241 C240 733"),
        ("2026-06-01 Sorrel into hill", "C241"), ("1 Jun Sorrel to hill mob", "C241"),
        ("2026-06-01 Sorrel put with the hill ones", "C241"), ("2026-06-01 Sorrel remark put her in with hill", "C241"),
        ("2026-06-01 733 fostered to Teasel", "733"), ("2026-06-01 733 onto Teasel", "733"),
        ("2026-06-01 Sorrel weighed 60; into hill", "C241"), ("2026-06-01 Sorrel lame; in with hill", "C241"),
        ("2026-06-01 Sorrel moved Rigg Park with hill", "C241"), ("2026-06-01 Sorrel with hill", "C241"),
    ]:  # fmt: skip
        yield f"inbox: {line}", {**NAMES, **HILL, "inbox/t.txt": f"{line}\n"}, tags, DAY
    for name, text, tags in [
        ("move", "---\nto: hill\n---\n- Sorrel\n", "C241"),
        ("move", "---\nto: hill\n---\n- Sorrel\n- Bess\n", "C241 C240"),
        ("move", "---\nto: hill\n---\n\n| sheep | note |\n| --- | --- |\n| Sorrel | ok |\n", "C241"),
        ("move", "---\nsheep: Sorrel\nplace: hill\n---\n", "C241"), ("move", "---\nsheep: Sorrel\n---\n", "C241"),
        ("move", "---\nmob: low\nplace: hill\n---\n", "C241"),
        ("draft", "---\nmob: low\nto: hill\n---\n", "C241 C240 733"),
        ("draft", "---\nmob: low\nto: hill\nexcept: Bess\n---\n", "C241"),
        ("draft", "---\nmob: low\nplace: hill\n---\n", "C241"),
        ("draft", "---\nsheep: Teasel\ninto: low # no, hill\n---\n", "C230"),
        ("remark", "Low put in with hill.\n", "C241 733"), ("remark", "Put the low mob in with hill.\n", "C241"),
        ("remark", "All the low ewes are in with hill now.\n", "C241"), ("remark", "Low broke in with hill\n", "C241"),
        ("remark", "low now with hill\n", "C241"), ("remark", "Gathered low and hill\n", "C241"),
        ("remark", "Rams put with hill\n", "R7"), ("remark", "The ram's in with hill\n", "R7"),
    ]:  # fmt: skip
        yield f"{name}: {text}", day_before(name, text), tags, DAY
    note = "---\nnote: ewe\nborn: 2021-04\nmob: low # now hill\n---\n"
    yield "her own note", {**NAMES, **HILL, "sheep/C241 Sorrel.md": note}, "C241", DAY


def corrections() -> Iterator[Case]:
    """A draft, and a note that means to take it back and cannot: she may have stayed."""
    draft = day_before("draft", "---\nsheep: Teasel\ninto: low\n---\n")
    for name in ("2026-06-01 draft", "2026-06-01 drafting"):
        text = f"---\ncorrects: {name}\n---\nNo, she stayed in hill.\n"
        yield f"corrects: {name}", {**draft, "events/2026/2026-06-05 remark.md": text}, "C230", DAY


def amounts() -> Iterator[Case]:
    """More than twice the label's 12 ml for 60 kg, told in words only: the label's period does not end it."""
    for body in (
        "She had 30 ml.",
        "Gave 30 ml, misread the gun.",
        "30 ml",
        "Overdosed her: 30 ml",
        "- Teasel 12 ml 30 ml",
    ):
        text = f"---\nsheep: Teasel\n{HEAD}---\n{body}\n"
        yield body, {**NAMES, **WEIGHED, "events/2026/2026-05-05 treatment.md": text}, "C230", DAY
    unweighed = f"---\nsheep: Teasel\n{HEAD}---\nShe had 30 ml.\n"
    yield "never weighed", {**NAMES, "events/2026/2026-05-05 treatment.md": unweighed}, "C230", DAY


def verbs() -> Iterator[Case]:
    """The name of a product made a verb, with a slip."""
    for words in ("Moxidexed Teasel", "Moxiedexed teasel", "moxidexing Teasel now", "Oxytetted Teasel"):
        yield words, {**NAMES, **told(words)}, "C230", DAY


def stays_that_follow() -> Iterator[Case]:
    """Who goes where another goes: a lamb with its dam, one perhaps in a mob with all of it, a bought couple."""
    bess = {"events/2026/2026-05-10 draft.md": "---\nsheep: Bess\ninto: hill\n---\n"}
    for name, text in [("2026-05-25 death Bess", ""), ("2026-05-25 sale", "---\nsheep: Bess\nto: X\n---\n"),
                       ("2026-05-25 weaning 733", "")]:  # fmt: skip
        yield f"lamb of Bess, {name}", {**NAMES, **HILL, **bess, f"events/2026/{name}.md": text}, "733", DAY
    late = {"events/2026/2026-09-02 treatment.md": f"---\nmob: hill\n{HEAD}---\n"}
    yield "lamb of Bess, grown", {**NAMES, **bess, **late}, "733", "2026-09-10"
    foster = {"events/2026/2026-05-01 foster.md": "---\nsheep: 733\nonto: Teasel\n---\n"}
    yield "foster lamb", {**NAMES, **HILL, **foster, "events/2026/2026-05-25 death Teasel.md": ""}, "733", DAY
    all_moved = "---\nmob: hill\ninto: top\n---\n"
    top = {"mobs/top.md": "---\nnote: mob\nname: top\n---\n", "events/2026/2026-05-20 draft.md": all_moved,
           "events/2026/2026-06-02 treatment.md": f"---\nmob: top\n{HEAD}---\n"}  # fmt: skip
    for name, text in [
        ("move", "---\nsheep: Sorrel\nto: hill\n---\n"),
        ("remark", "Put Sorrel in with hill."),
        ("draft", "---\ninto: hill\n---\n- Sorrel\n"),
        ("draft", "---\nsheep: Sorrel\ninto: hill mob\n---\n"),
    ]:
        yield f"then all into top: {name}", {**NAMES, **top, f"events/2026/2026-05-10 {name}.md": text}, "C241", DAY
    pair = "- ewe tag P5, born 2022\n- ewe lamb tag P6, born 2026-04\n"
    couple = {
        "events/2026/2026-05-01 purchase.md": f"---\nfrom: X\ninto: low\n---\n{pair}",
        "events/2026/2026-05-10 draft.md": "---\nsheep: P5\ninto: hill\n---\n",
    }
    yield "bought couple", {**NAMES, **HILL, **couple}, "P5 P6", DAY
    lamb = {"sheep/799.md": "---\nnote: lamb\nsex: ewe\nborn: 2026-04\n---\n"}
    yield "a lamb by its own note", {**NAMES, **HILL, **lamb}, "799", DAY


def second_places() -> Iterator[Case]:
    """Notes of other kinds, or in half a word, that say where she stood on 2 June."""
    yield "move Sorrel", day_before("move Sorrel", ""), "C241", DAY
    for words in ("Really on the 3rd.", "After the dosing.", "Not done yet, rain.", "To do when dry."):
        text = f"---\nsheep: Teasel\ninto: low\n---\n{words}\n"
        yield f"a draft: {words}", day_before("draft", text), "C230", DAY
    yield "a check", day_before("check", "- Sorrel bcs 2.5, now with hill\n"), "C241", DAY
    yield "a lambing", day_before("lambing Fern", "---\nmob: hill\n---\n- ewe 4 kg\n"), "C242", DAY
    yield "a joining", day_before("joining", "---\nrams: Duke\nmob: hill\n---\n"), "R7", DAY


def corrections_that_fail() -> Iterator[Case]:
    """What a failed `corrects` could mean is not sure, nor is the note that has it."""
    two = {
        "events/2026/2026-06-01 draft.md": "---\nsheep: Teasel\ninto: low\n---\n",
        "events/2026/2026-06-01 draft b.md": "---\nsheep: Fern\ninto: hill\n---\n",
        "events/2026/2026-06-05 draft.md": "---\nsheep: Teasel\ninto: low\ncorrects: 2026-06-01\n---\n",
    }
    yield "fits two", {**NAMES, **HILL, **two}, "C230", DAY
    none = {
        "events/2026/2026-05-10 draft.md": "---\nsheep: Sorrel\ninto: hill\n---\n",
        "events/2026/2026-05-15 draft.md": "---\nsheep: Sorrel\ninto: low\ncorrects: nothing\n---\n",
    }
    yield "fits none", {**NAMES, **HILL, **none}, "C241", DAY


def later_or_longer() -> Iterator[Case]:
    """Doses of which the label's date, 1 July, is not the whole truth: a second product, a later day, a longer wait."""
    on = "2026-07-02"
    for words in ("Two months before she can go.", "Given the day after", "Done after the weekend.",
                  "Fourth of June really.", "Given 4/6.", "Done 4/6."):  # fmt: skip
        yield words, {**NAMES, **dosed(body=words)}, "C240", on
    timed = dosed(name="2026-06-02 0700 treatment", body="Given in the evening.")
    yield "later that day", {**NAMES, **timed}, "C240", on
    for head, row in [("sheep | moxidex | oxytet LA", "Teasel | 12 | 3"), ("sheep | dose | oxytet", "Teasel | 12 | 3"),
                      ("sheep | dose | jab", "Teasel | 12 | x")]:  # fmt: skip
        rule = " | ".join("---" for _ in head.split("|"))
        text = f"---\nmedicine: moxidex drench\n---\n| {head} |\n| {rule} |\n| {row} |\n"
        yield head, {**NAMES, "events/2026/2026-06-02 treatment.md": text}, "C230", on
    for name in ("Moxidex-drench", "moxidexdrench", "moxidex drench 1 mg/ml", "MOXIDEX Dr.ench"):
        label = {"medicines/second.md": f"---\nnote: medicine\nname: {name}\nmeat withdrawal: 42 days\n---\n"}
        yield f"a second label: {name}", {**NAMES, **label, **dosed()}, "C240", on


def told_shortly() -> Iterator[Case]:
    """A dose told as a job that is done, or by what came after it."""
    for words in ("Jab for Teasel after.", "Jab for Teasel before turning out.", "Teasel a jab after dinner.",
                  "Needle for Teasel after", "[x] worm Teasel", "Worm Teasel: done", "Worm Teasel ✓",
                  "Worm Teasel - OK",
                  "Plan: worm hill Friday. Done.", "Did I worm Teasel? Yes.",
                  "Meant to worm Plover; did Teasel",
                  "Bottle empty: last into Teasel", "No jab left; last one to Teasel"):  # fmt: skip
        yield words, {**NAMES, **told(words)}, "C230", DAY
    for words in ("Jab for her after.", "Jab after, hard pull.", "Antibiotic after."):
        yield words, {**NAMES, "events/2026/2026-06-01 0300 lambing Fern.md": f"- ewe 4 kg\n{words}\n"}, "C242", DAY


def left_out() -> Iterator[Case]:
    """Who was left out by `except`, and done after all."""
    for words in (
        "Caught her later and did her.",
        "All done in the end.",
        "Then got her too.",
        "Did her next morning.",
    ):
        text = f"---\nmob: hill\nexcept: Teasel\n{HEAD}---\n{words}\n"
        yield words, {**NAMES, "events/2026/2026-06-02 treatment.md": text}, "C230", DAY


def bought_back() -> Iterator[Case]:
    """Teasel, dosed and sold, comes back under another tag; and a wait that the seller's words tell."""
    gone = {
        "events/2026/2026-06-02 treatment.md": f"---\nsheep: Teasel\n{HEAD}---\n",
        "events/2026/2026-06-03 sale.md": "---\nsheep: Teasel\nto: X\n---\n",
    }
    for line in ("- ewe tag P77, born 2021, our old Teasel", "- ewe tag P77 teasel"):
        yield line, {**NAMES, **gone, "events/2026/2026-06-08 purchase.md": f"---\nfrom: X\n---\n{line}\n"}, "P77", DAY
    told_wait = "---\nfrom: X\n---\n- ewe tag P77\n\nNot to be killed before 30 June.\n"
    yield "the seller's wait", {**NAMES, "events/2026/2026-06-08 purchase.md": told_wait}, "P77", DAY


def two_ends() -> Iterator[Case]:
    """A ewe and a lamb whose tags look like a range: both ends are always meant."""
    for who in (
        "C230 / 731",
        "C230/731",
        "Bess / C230 / 731",
        "C230/C231/731",
        "C230-731",
        "C230 – 731",
        "C230 to 731",
    ):
        yield f"sheep: {who}", {**NAMES, **dosed(f"sheep: {who}\n")}, "C230 731", DAY
        yield f"- {who} 3 ml", {**NAMES, **dosed("", f"- {who} 3 ml")}, "C230 731", DAY


CASES = [*moves(), *corrections(), *stays_that_follow(), *second_places(), *corrections_that_fail()]
CASES += [*told_shortly(), *left_out(), *bought_back(), *two_ends(), *later_or_longer(), *amounts(), *verbs()]


@pytest.mark.parametrize(("files", "tags", "on"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_whoever_was_treated_is_not_clear(tmp_path: Path, files: Files, tags: str, on: str) -> None:
    """Each of these was treated, and none is shown as clear."""
    state = standing(tmp_path, files, on)
    assert not [tag for tag in tags.split() if state[tag] == "clear"]


FREE: list[Case] = [
    ("amount of a bottle", {**NAMES, **dosed(body="From a new 500 ml bottle.")}, "C230 C241", DAY),
    ("table", {**NAMES, **dosed(body="| what | how |\n| --- | --- |\n| near hind | bad |")}, "C230 C241", DAY),
    ("she", {**NAMES, **dosed(body="She had 12 ml.")}, "C230 C241", DAY),
    ("long ago", {**NAMES, **told("Teasel was wormed in May 2025.")}, "C230 C241", DAY),
    ("tomorrow", {**NAMES, **told("Worm Teasel tomorrow")}, "C230", DAY),
    ("before", {**NAMES, **told("Weigh Teasel before worming")}, "C230", DAY),
    ("open box", {**NAMES, **told("[ ] worm Teasel")}, "C230", DAY),
    ("left out", {**NAMES, **dosed("mob: hill\nexcept: Teasel\n", "Teasel off her feed.")}, "C230", DAY),
    ("a field", day_before("remark", "Moved hill to the top field.\n"), "C240 C241", DAY),
    ("a gate", day_before("move", "---\nto: top\nmob: hill\n---\n- gate left open\n"), "C240 C241", DAY),
    ("ill", {**NAMES, **dosed("", "Teasel has foot rot again.")}, "C214 C241", DAY),
    ("filed later", {**NAMES, **HILL, "inbox/t.txt": "2026-06-03 Sorrel moved to hill\n"}, "C240 C241", DAY),
]  # fmt: skip


@pytest.mark.parametrize(("files", "tags", "on"), [case[1:] for case in FREE], ids=[case[0] for case in FREE])
def test_nobody_else_is_withheld(tmp_path: Path, files: Files, tags: str, on: str) -> None:
    """These words name somebody else, or nobody: the rest of the flock stays clear."""
    state = standing(tmp_path, files, on)
    assert not [tag for tag in tags.split() if state[tag] != "clear"]


@pytest.mark.parametrize(
    ("sold", "bought", "here"), [("0900 ", "1700 ", 1), ("", "", 1), ("0900 ", "", 1), ("1700 ", "0900 ", 0)]
)
def test_who_came_home_from_the_fair_is_here_and_held(tmp_path: Path, sold: str, bought: str, here: int) -> None:
    """Sold and bought back on one day, in order of time; without a time she is here. Her dose goes with her."""
    files = {
        f"events/2026/2026-06-03 {sold}sale.md": "---\nsheep: Plover\nto: Low Farm\nuse: store\nprice: 90\n---\n",
        f"events/2026/2026-06-03 {bought}purchase.md": "---\nfrom: Low Farm\n---\n- C231 ewe\n",
    }
    seen = seen_of(tmp_path, {**NAMES, **HILL, **files})
    rows = seen.facts.medicine.guard.standing
    states = [rows[one.id].meat.state for one in seen.linked.animals.values() if "C231" in one.tags and one.id in rows]
    assert states == ["held"] * here


NARROW = [
    ("Wormed the hill ewes", "C214 C230 C231", "731 C240 C241 R7"),
    ("Gave Bramble and lambs a jab", "C214 731 732", "733 C230"),
    ("Gave Bramble and the lambs a jab", "C214 731 732 733", "C230"),
]


@pytest.mark.parametrize(("words", "held", "free"), NARROW)
def test_a_mob_or_a_ewe_before_a_class_narrows_it(tmp_path: Path, words: str, held: str, free: str) -> None:
    """The hill ewes are no ewes of low and no lambs; Bramble and lambs are hers."""
    state = standing(tmp_path, {**NAMES, **told(words)}, DAY)
    assert not [tag for tag in held.split() if state[tag] == "clear"]
    assert not [tag for tag in free.split() if state[tag] != "clear"]


def test_who_is_named_by_a_mob_and_as_not_dosed_is_told_the_cure(tmp_path: Path) -> None:
    """`except` lets her off, and typed as printed it does."""
    text = f"---\nmob: hill\n{HEAD}not dosed: Plover\n---\n"
    seen = seen_of(tmp_path / "1", {**NAMES, "events/2026/2026-06-02 treatment.md": text})
    assert [item.help for item in seen.diagnostics if item.code == "L219"] == ["write `except: Plover` too"]
    cured = text.replace("not dosed: Plover", "not dosed: Plover\nexcept: Plover")
    state = standing(tmp_path / "2", {**NAMES, "events/2026/2026-06-02 treatment.md": cured}, DAY)
    assert (state["C231"], state["C214"]) == ("clear", "held")


@pytest.mark.parametrize(
    ("name", "text", "tag", "place"),
    [
        ("2026-04-18 lambing x", "---\newe: C299\n---\n- ewe 4 kg, tag 741\n", "741", "2026-04-18 lambing x.md:2"),
        ("2026-05-18 draft", "---\nsheep: Bess\ninto: hill\ndate: 2027-05-18\n---\n", "C240", "2026-05-18 draft.md:1"),
    ],
)
def test_the_cure_names_the_note_at_fault(tmp_path: Path, name: str, text: str, tag: str, place: str) -> None:
    """Where a note leaves it open who stood in a mob, that note is the one to mend, and not the treatment."""
    seen = seen_of(tmp_path, {**NAMES, **HILL, f"events/2026/{name}.md": text})
    sheep = next(one.id for one in seen.linked.animals.values() if tag in one.tags)
    cures = {hold.cure for hold in seen.facts.medicine.guard.standing[sheep].holds}
    assert {cure.split(", or write a draft note")[0] for cure in cures} == {
        f"mend events/2026/{place}, which leaves that open"
    }


def test_the_cure_of_an_open_stay_lets_her_off(tmp_path: Path) -> None:
    """A move to a mob's place is sound and leaves it open; `except`, typed as printed, frees her."""
    moved = {**NAMES, "events/2026/2026-06-01 move.md": "---\nsheep: Sorrel\nto: hill\n---\n"}
    text = HILL["events/2026/2026-06-02 treatment.md"]
    before = standing(tmp_path / "1", {**moved, "events/2026/2026-06-02 treatment.md": text}, DAY)
    cured = text.replace("mob: hill", "mob: hill\nexcept: Sorrel")
    after = standing(tmp_path / "2", {**moved, "events/2026/2026-06-02 treatment.md": cured}, DAY)
    assert (before["C241"], after["C241"], after["C230"]) == ("unknown", "clear", "held")


def test_a_draft_settles_that_she_was_there(tmp_path: Path) -> None:
    """A bought ewe whom no note places: the draft that the cure tells of makes her one of those dosed."""
    bought = {**NAMES, **HILL, "events/2026/2026-05-20 purchase.md": "---\nfrom: X\n---\n- ewe tag P1, born 2023\n"}
    seen = seen_of(tmp_path / "1", bought)
    new = next(one.id for one in seen.linked.animals.values() if "P1" in one.tags)
    assert "`sheep: P1` and `into:` its mob" in seen.facts.medicine.guard.standing[new].holds[0].cure
    draft = {"events/2026/2026-05-20 draft.md": "---\nsheep: P1\ninto: hill\n---\n"}
    assert standing(tmp_path / "2", {**bought, **draft}, DAY)["P1"] == "held"


def test_no_other_tag_is_proposed_for_one_that_nobody_wears(tmp_path: Path) -> None:
    """She was retagged and no note says so: a near tag, typed as proposed, would free her."""
    files = {path.replace("C230", "C299"): text for path, text in NAMES.items()}
    seen = seen_of(tmp_path, {**files, **dosed("sheep: C230\n")})
    assert [("tagging note" in item.help, "C231" in item.help) for item in seen.diagnostics if item.code == "L201"] == [
        (True, False)
    ]
