"""Two more farms, one with short tags: lines without a dash, ends of tags, tasks done, moves in few words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from compiler.build import proof
from flockbook.book import BOOK
from flockbook.seen import Seen
from tests.flockbook.medicine.test_as_people_jot import Files, moment

DAY = "2026-06-10"  # eight days after the dose of the 2nd, of 28
HEAD = "medicine: moxidex drench\ndose: 12 ml\n"


def ewe(mob: str, born: str = "2021-04") -> str:
    """A sheep's own note."""
    return f"---\nnote: ewe\nborn: {born}\nmob: {mob}\n---\n"


CUPBOARD = {
    "flock.yaml": "flock: Thornmoor\nunits: metric\ncountry: GB\ntimezone: Europe/London\n",
    "medicines/moxidex drench.md": (
        "---\nnote: medicine\nname: moxidex drench\nlabel rate: 1 ml per 5 kg\nmeat withdrawal: 28 days\n"
        "milk withdrawal: 10 days\n---\n"
    ),
    "medicines/oxytet LA.md": "---\nnote: medicine\nmeat withdrawal: 35 days\nmilk withdrawal: 7 days\n---\n",
}
NAMES = {
    **CUPBOARD,
    **{f"sheep/{name}.md": ewe("hill") for name in ("C214 Bramble", "C230 Teasel", "C231 Plover")},
    **{f"sheep/{name}.md": ewe("low") for name in ("C240 Bess", "C241 Sorrel", "C242 Fern")},
    "sheep/C300 Ivy.md": ewe("low", "2025-04"),
    "sheep/R7 Duke.md": "---\nnote: ram\nborn: 2021-04\nmob: rams\n---\n",
    "sheep/X1 Mrs. Gray.md": ewe("low"),
    "sheep/X2 Salt & Pepper.md": ewe("low"),
    "events/2026/2026-04-19 0340 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n- ram 4.6 kg, tag 732\n",
    "events/2026/2026-04-20 0340 lambing Bess.md": "- ewe 4.1 kg, tag 733\n",
}
TAGS = {
    **CUPBOARD,
    **{f"sheep/{tag}.md": ewe("hill") for tag in (3, 4, 5, 6, 7, 12)},
    **{f"sheep/{tag}.md": ewe("north") for tag in (9, 10)},
    **{f"sheep/{tag}.md": ewe("hill", "2026-04-01") for tag in (102, 103)},
    "sheep/50.md": "---\nnote: ram\nborn: 2021-04\nmob: rams\n---\n",
}


def dosed(head: str = "sheep: Bess\n", body: str = "", name: str = "2026-06-02 treatment") -> Files:
    """A treatment of 2 June."""
    return {f"events/2026/{name}.md": f"---\n{HEAD}{head}---\n{body}\n"}


def told(text: str, about: str = "", day: str = "2026-06-02") -> Files:
    """A remark."""
    return {f"events/2026/{day} remark{f' {about}' if about else ''}.md": f"{text}\n"}


def task(what: str, rest: str = "done: 2 Jun\n", body: str = "") -> Files:
    """A task."""
    return {"events/2026/2026-06-02 task.md": f"---\nwhat: {what}\n{rest}---\n{body}"}


def seen_of(folder: Path, files: Files, on: str = DAY) -> Seen:
    """What the book makes of a folder."""
    for path, text in files.items():
        place = folder / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, "utf-8")
    return proof(folder, BOOK, moment(on))


def standing(folder: Path, files: Files, on: str) -> dict[str, str]:
    """The meat of every sheep by tag, as the book says it."""
    seen = seen_of(folder, files, on)
    rows = seen.facts.medicine.guard.standing
    return {tag: rows[one.id].meat.state for one in seen.linked.animals.values() for tag in one.tags if one.id in rows}


Case = tuple[str, Files, str, str]


def bare_lines() -> Iterator[Case]:
    """Lines without a dash below the treatment of Bess."""
    for text, tags in [
        ("hill except Bramble", "C230 C231"), ("hill but not Bramble", "C230"), ("hill ewes", "C214 C230"),
        ("two hill ewes", "C230"), ("dry ewes", "C230"), ("ewes & lambs", "C230 731"), ("ewes and ram", "C230 R7"),
        ("2 Jun hill ewes", "C230"), ("hill ditto", "C230"), ("12 teasel\n12 plover", "C230 C231"),
        ("Total 3: bess teasel plover", "C230 C231"), ("The rest", "C230"), ("the others", "C230"),
        ("all in the pen", "C230"), ("the other two", "C230"), ("2 more", "C230"), ("all but Duke", "C230 C241"),
        ("Gave all but Duke the same.", "C230 C241"), ("Bess lame. All of them.", "C230"),
        ("The lot as well", "C230"), ("Gave all hil the same.", "C230"), ("Then C230/1 as well", "C230 C231"),
        ("Salt & Pepper too.", "X2"), ("Salt & Pepper", "X2"),
    ]:  # fmt: skip
        yield text, {**NAMES, **dosed(body=text)}, tags, DAY
    for line in ("for: worms, C230 & 231 too", "given: 2 Jun 230-231", "given: 2 Jun 230, 231"):
        yield line, {**NAMES, **dosed(f"sheep: Bess\n{line}\n")}, "C230 C231", DAY
    for line in ("Teasel: 12 ml", "route: mouth, teasel by jab", "for: worms, all but Duke too"):
        yield line, {**NAMES, **dosed(f"sheep: Bess\n{line}\n")}, "C230", DAY
    for dose in ("12 ml all", "12 ml, 230/231", "12 ml all but Duke"):
        text = f"---\nmedicine: moxidex drench\nsheep: Bess\ndose: {dose}\n---\n"
        yield dose, {**NAMES, "events/2026/2026-06-02 treatment.md": text}, "C230", DAY


def remarks() -> Iterator[Case]:
    """A remark about one sheep that tells of another."""
    for about, text, tags in [
        ("Bess", "Drenched no. 230", "C230"), ("Bess", "Drenched 230-231", "C230 C231"),
        ("Bess", "gave her 12 ccs, Teasel", "C230"), ("Bess", "230 scours. Drenched.", "C230"),
        ("Teasel", "Drenched Mrs. Gray.", "X1"),
        ("Bess", "sheep: Teasel\nmedicine: moxidex drench\ndose: 12 ml", "C230"),
    ]:  # fmt: skip
        yield text, {**NAMES, **told(text, about)}, tags, DAY
    for word in (
        "shearlings", "hoggs", "hoggets", "gimmers", "yearlings", "theaves", "two-tooths", "tegs", "chilvers",
        "maidens", "replacements", "stores", "fats", "finishers",
    ):  # fmt: skip
        yield word, {**NAMES, **told(f"Wormed the {word} today.", "Sorrel")}, "C300", DAY
    for text in [
        "12-ml moxi", "12 m.l. given", "had 12 millis", "twelve ml down her", "12ish ml into her", "two doses",
        "Overdosed Teasel", "Had to inject Teasel", "Got the vet to inject Teasel", "Inoculated Teasel",
        "injectd Teasel", "worm'd Teasel", "drechned Teasel", "After drenching Teasel coughed.", "Teasel 1 sachet",
        "Before dosing Teasel weighed 61 kg.", "Helped to inject Teasel", "Teasel 0.4 fl oz for worms",
    ]:  # fmt: skip
        yield text, {**NAMES, **told(text, "Teasel")}, "C230", DAY
    for text in (
        "managed to drench her.",
        "had to inject her",
        "Injecting her tonight as vet said.",
        "administered wormer",
    ):
        yield text, {**NAMES, "sheep/C230 Teasel.md": f"{ewe('hill')}2 June 2026 {text}\n"}, "C230", DAY
    yield "a year too early", {**NAMES, "events/2026/2016-06-02 remark.md": "Drenched Teasel.\n"}, "C230", DAY
    lines = {"events/2026/2026-06-02 lambing Fern.md": "- ewe 4 kg\n\ntreatment Teasel\nmoxidex\n"}
    yield "behind a lambing", {**NAMES, **lines}, "C230", DAY
    table = {"events/2026/2026-06-02 weighing hill.tsv": "tag\tkg\tdrench\nC230\t60\t12\n"}
    yield "a table with tabs", {**NAMES, **table}, "C230", DAY


def tasks() -> Iterator[Case]:
    """A task that is done."""
    for what in [
        "worm shearlings", "drench", "worm", "second drench", "jab gimmers", "vaccinate hoggs", "dose the stores",
        "worming shearlings", "give hoggs moxidex drench", "moxidex hoggs",
    ]:  # fmt: skip
        yield what, {**NAMES, **task(what)}, "C300", DAY
    yield "done below", {**NAMES, **task("worm shearlings", "due: 1 Jun\n", "Done.\n")}, "C300", DAY


def short_tags() -> Iterator[Case]:
    """Tags of one figure or two."""
    for text in ("Wormed 4/5 today.", "Wormed #4, #5 today.", "Wormed #4 and #5.", "4 drenched, 5 drenched"):
        yield text, {**TAGS, **told(text)}, "4 5", DAY
    for text in ("Wormed ewe #4 today", "4: drenched", "4 lame, drenched", "5 ml to #4"):
        yield f"of 50: {text}", {**TAGS, **told(text, "50")}, "4", DAY
    for head, body, tags in [
        ("sheep: 50\n", "Did nos 4 and 5 as well.", "4 5"), ("sheep: 50\n", "5 ewes", "4"),
        ("sheep: 50\n", "6 north", "9"),
        ("sheep: 50\n", "4 (lame)", "4"), ("sheep: 102/3\n", "", "102 103 3"), ("sheep: 102 & 3\n", "", "102 103 3"),
        ("sheep: 50\nalso: #4, #5\n", "", "4 5"), ("", "- 12 ewes", "12 3 4"),
    ]:  # fmt: skip
        yield f"{head}{body}", {**TAGS, **dosed(head, body)}, tags, DAY


def moves() -> Iterator[Case]:
    """Bess went to the hill before it was dosed."""
    hill = {**NAMES, **dosed("mob: hill\n")}
    for name, text in [
        ("2026-05-20 draft Bess.md", "into: hill\n"), ("2026-05-20 draft Bess.txt", "into: hill\n"),
        ("2026-05-20 draft Bess.md", "hill\n"), ("2026-05-20 draft Bess.md", "- Bess: hill\n"),
        ("2026-05-20 draft low into hill.md", ""), ("2026-05-20 draft low to hill.md", ""),
        ("2026-05-20 draft 240 to hill.md", ""), ("2026-05-20 move low to hill.md", ""),
        ("20 May move Bess to hill.md", ""),
        ("2026-05-20 weaning.md", "---\nsheep: Bess\ninto: hill\n---\n"),
    ]:  # fmt: skip
        yield f"{name} {text}", {**hill, f"events/2026/{name}": text}, "C240", DAY
    yield "own note", {**hill, "sheep/C240 Bess.md": f"{ewe('low')}Moved to hill 20 May.\n"}, "C240", DAY
    for about, text in (("Bess", "733 fostered to Teasel."), ("733", "Now on Teasel.")):
        yield text, {**hill, **told(text, about, "2026-05-01")}, "733", DAY


def tags_turned_round() -> Iterator[Case]:
    """A tagging line that gives a lamb's tag the other way about."""
    del (early := dict(NAMES))["events/2026/2026-04-20 0340 lambing Bess.md"]
    early["events/2026/2026-01-20 0340 lambing Bess.md"] = "- ewe 4.1 kg, no 8\n- ram 4 kg, no 9\n"
    for line in ("- 733 = Bess's ewe lamb", "- 733 Bess ewe", "- 733 = Bess ewe lamb", "- Bess = 733, 734"):
        files = {**early, "events/2026/2026-05-20 tagging.md": f"{line}\n", **dosed("sheep: 733\n")}
        yield line, files, "no 8", DAY


def longer() -> Iterator[Case]:
    """A day too early by the words of the note."""
    for text in [
        "08/06/26 12 ml", "last jab 8th", "Written up late, was the 8th.", "next day as well", "3x", "three in all",
        "Once more since", "And another.",
    ]:  # fmt: skip
        yield text, {**NAMES, **dosed(body=text)}, "C240", "2026-07-02"
    for text in ("WD 56d", "WHP 56", "w/d 56", "withdrawal 56", "meat 56/milk 56", "Not before August."):
        yield text, {**NAMES, **dosed(body=text)}, "C240", "2026-07-05"
    for line in ("vet: A. Gray, 56 days", "site: neck, 56 d"):
        yield line, {**NAMES, **dosed(f"sheep: Bess\n{line}\n")}, "C240", "2026-07-05"
    for text in ("Vet: 35 days for ewes.", "withdrawal went up to 35 from May", "Meat 35 d if over 60 kg."):
        label = f"{NAMES['medicines/moxidex drench.md']}{text}\n"
        yield text, {**NAMES, "medicines/moxidex drench.md": label, **dosed()}, "C240", "2026-07-02"
    yield "a course that runs", {**NAMES, **dosed("sheep: Bess\nfinished: 20 Jun\n")}, "C240", DAY
    late = {"events/2026/2026-06-15 treatment.md": f"---\n{HEAD}---\n- Bess 12 ml\n- 1 Jun Teasel\n"}
    yield "an earlier day on a line", {**NAMES, **late}, "C230", DAY


def too_much() -> Iterator[Case]:
    """Over twice her own dose by the label, wherever it is written."""
    weighed = {**NAMES, "events/2026/2026-05-25 weighing.md": "- Teasel 60\n"}
    for heading in ("ml", "dose ml", "dose (ml)", "amount"):
        text = f"---\nmedicine: moxidex drench\n---\n| sheep | {heading} |\n|---|---|\n| Teasel | 30 |\n"
        yield heading, {**weighed, "events/2026/2026-06-02 treatment.md": text}, "C230", "2026-07-05"
    lambs = {"events/2026/2026-04-20 treatment.md": f"---\n{HEAD}sheep: 731, 732\n---\n"}
    yield "by her birth weight", {**NAMES, **lambs}, "731 732", "2026-05-20"


def other_days() -> Iterator[Case]:
    """The hill mob's dose was given on another day than the note's, and Teasel was drafted out between."""
    drafted = {**NAMES, "events/2026/2026-06-01 draft.md": "---\nsheep: Teasel\ninto: low\n---\n"}
    for words in ("Two days ago.", "Done on Sunday really, written up now.", "Did them on the 31st.",
                  "Last week's job.", "Wrote it up late.", "Really 31 May."):  # fmt: skip
        text = f"---\nmob: hill\n{HEAD}---\n{words}\n"
        yield f"mob, {words}", {**drafted, "events/2026/2026-06-02 treatment.md": text}, "C230", DAY
    for field in ("batch: A1 4 Jun", "vet: Doc, again 4 Jun", "batch: A1, rest 5 Jun", "vet: A. Gray, repeated 5 Jun"):
        yield field, {**NAMES, **dosed(f"sheep: Bess\n{field}\n")}, "C240", "2026-07-01"


def counts() -> Iterator[Case]:
    """More were counted in hill than belong there, before the dose: one of low may be among them."""
    for count in (4, 7):
        told_of = {"events/2026/2026-06-01 count.md": f"---\nmob: hill\ncount: {count}\n---\n"}
        hill = dosed("mob: hill\n")
        yield f"{count} counted", {**NAMES, **told_of, **hill}, "C240 C241 733", DAY


def lists_in_error() -> Iterator[Case]:
    """Nobody named on a list that cannot be read whole is certain to have been left out."""
    for text in ("3-7 except 5", "3 to 7 but not 5 and 6", "3, 4, 99 except 5", "3-7 apart from 5"):
        yield text, {**TAGS, **dosed(f"sheep: {text}\n")}, "3 4 5", DAY
    yield "mob in error", {**TAGS, **dosed("mob: hil except 5\n")}, "3 4 5", DAY


def every(*families: Iterable[Case]) -> list[Case]:
    """All cases."""
    return [case for family in families for case in family]


HELD = every(bare_lines(), remarks(), tasks(), short_tags(), moves(), longer(), too_much(), other_days(), counts(),
             lists_in_error())  # fmt: skip


@pytest.mark.parametrize(("files", "tags", "on"), [case[1:] for case in HELD], ids=[case[0] for case in HELD])
def test_whoever_was_dosed_is_not_clear(tmp_path: Path, files: Files, tags: str, on: str) -> None:
    """However it was written."""
    rows = standing(tmp_path, files, on)
    assert {tag: rows[tag] for tag in tags.split() if rows[tag] == "clear"} == {}


@pytest.mark.parametrize("case", list(tags_turned_round()), ids=lambda case: case[0])
def test_a_tag_written_the_other_way_about_holds_the_lamb(tmp_path: Path, case: Case) -> None:
    """The lamb with that tag was dosed, whatever the line reads as."""
    for path, text in case[1].items():
        place = tmp_path / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, "utf-8")
    seen = proof(tmp_path, BOOK, moment(DAY))
    lambs = [one.id for one in seen.linked.animals.values() if one.number in ("8", "9")]
    assert len(lambs) == 2
    assert all(seen.facts.medicine.guard.standing[one].meat.state != "clear" for one in lambs)


SAID_OF_THE_DOSE = [
    "12 ml behind the shoulder", "Gave 12 ml in the crush", "12 ml went down well", "12 ml slowly",
    "Gave 12 ml by mistake.", "12 ml over the tongue", "12 ml at dusk", "12 ml on the left", "12 ml. Good.",
    "60 kg so 12 ml", "- near hind, bad", "- looked better by evening", "- bottle finished", "Lambs not done",
    "Plover not done",
]  # fmt: skip


@pytest.mark.parametrize("text", SAID_OF_THE_DOSE)
def test_how_a_dose_was_given_withholds_nobody_else(tmp_path: Path, text: str) -> None:
    """Only Teasel, whom the note names."""
    rows = standing(tmp_path, {**NAMES, **dosed("sheep: Teasel\n", text)}, DAY)
    assert [tag for tag, state in rows.items() if state != "clear"] == ["C230"]


HARMLESS = [
    "Nobody was drenched today, too wet.", "No one dosed today.", "Nothing drenched.",
    "Ordered two bottles of oxytet LA, 100 ml each.", "Read an article about drench resistance.",
    "Children got their jabs.", "Talked with A. Dunn about worming.", "Injected grease into the tractor bearings.",
    "Two tablets of chlorine in the spring tank.", "Dosing race repaired.", "Painted the drench race.",
]  # fmt: skip


@pytest.mark.parametrize("text", HARMLESS)
def test_what_is_no_dose_withholds_nobody(tmp_path: Path, text: str) -> None:
    """A remark about nobody."""
    assert set(standing(tmp_path, {**NAMES, **told(text)}, DAY).values()) == {"clear"}


ONLY_THESE = [
    ("mob: hill ewes\n", "", "C214 C230 C231"),
    ("sheep: ewes of hill\n", "", "C214 C230 C231"),
    ("mob: hill lambs\n", "", "731 732"),
    ("", "- 2/6 Teasel 12 ml", "C230"),
    ("", "2/6: Teasel 12 ml", "C230"),
    ("sheep: Tessie (C230)\n", "", "C230"),
    ("sheep: Bess\nbatch: A1, exp 30 Jun\n", "", "C240"),
    ("sheep: Bess\nvet: A. Gray, letter of 6 Jun\n", "", "C240"),
]


@pytest.mark.parametrize(("head", "body", "held"), ONLY_THESE)
def test_what_says_whom_withholds_nobody_else(tmp_path: Path, head: str, body: str, held: str) -> None:
    """A mob with a class, a day before the name, a pet name before the tag."""
    rows = standing(tmp_path, {**NAMES, **dosed(head, body)}, DAY)
    assert {tag for tag, state in rows.items() if state != "clear"} == set(held.split())


def test_an_expiry_or_a_letter_tells_of_no_later_dose(tmp_path: Path) -> None:
    """Bess is clear when the label says so."""
    for number, field in enumerate(("batch: A1, exp 30 Jun", "vet: A. Gray, letter of 6 Jun", "batch: A1/6")):
        rows = standing(tmp_path / str(number), {**NAMES, **dosed(f"sheep: Bess\n{field}\n")}, "2026-07-01")
        assert rows["C240"] == "clear"


@pytest.mark.parametrize("who", ["nos 8 and 9", "'#8, #9'", "numbers 8 and 9"])
def test_numbers_painted_on_lambs_are_read(tmp_path: Path, who: str) -> None:
    """Two lambs known by their paint, and nobody else."""
    born = {"events/2026/2026-04-21 0340 lambing Fern.md": "- ewe 4.1 kg, no 8\n- ram 4.6 kg, no 9\n"}
    seen = seen_of(tmp_path, {**NAMES, **born, **dosed(f"sheep: {who}\n")})
    rows = seen.facts.medicine.guard.standing
    held = {one.number for one in seen.linked.animals.values() if one.id in rows and rows[one.id].meat.state != "clear"}
    assert held == {"8", "9"}


def test_a_count_holds_from_its_day_until_one_agrees(tmp_path: Path) -> None:
    """A dose before the count, and one after a count that agrees, withhold nobody of elsewhere."""
    over = "---\nmob: hill\ncount: 4\n---\n"
    before = {"events/2026/2026-06-05 count.md": over}
    put_right = {"events/2026/2026-05-20 count.md": over,
                 "events/2026/2026-05-28 count.md": over.replace("4", "3")}  # fmt: skip
    for number, told_of in enumerate((before, put_right)):
        rows = standing(tmp_path / str(number), {**NAMES, **told_of, **dosed("mob: hill\n")}, DAY)
        assert (rows["C230"], rows["C240"]) == ("held", "clear")


CURES = [
    ("L201", dosed("sheep: Rigg Park\n"), "it is a place, and hill went there: write `mob: hill` if that was dosed"),
    ("L217", {"inbox/t.txt": "2026-06-02 Treated Teasel with moxidex drench 12 ml\n"}, "it cannot be filed: nobody is"),
    ("L216", {"events/2026/2026-06-01 purchase.md": "---\nfrom: X\ntreated: moxidex 28 May\n---\n- ewe tag P1\n"},
     "write a treatment note for P1, or take `treated` out if nothing was given"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "files", "cure"), CURES)
def test_the_cure_says_what_helps(tmp_path: Path, code: str, files: Files, cure: str) -> None:
    """A place is told by its mob, a line that cannot be filed by why, and who was dosed is not to be called undosed."""
    put = {"events/2026/2026-05-20 move.md": "---\nmob: hill\nto: Rigg Park\n---\n"}
    seen = seen_of(tmp_path, {**NAMES, **put, **files})
    helps = [item.help for item in seen.diagnostics if item.code == code]
    assert [cure in text for text in helps] == [True]


def test_without_any_dose_all_are_clear(tmp_path: Path) -> None:
    """The farms alone, so that the others prove something."""
    assert set(standing(tmp_path / "1", NAMES, DAY).values()) == {"clear"}
    assert set(standing(tmp_path / "2", TAGS, DAY).values()) == {"clear"}
