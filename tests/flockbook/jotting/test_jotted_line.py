"""The grammar of a jotted line: what each becomes, what is asked about and where, and that no line falls between."""

from __future__ import annotations

import random
from datetime import date, time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compiler.schema import Context, Fault, Habits
from flockbook.records.jotted_line import read_jotted
from flockbook.records.jotted_verbs import Jotted

DAY = date(2027, 4, 14)
HERE = Context(Habits(), DAY)


def jotted(text: str, context: Context = HERE) -> Jotted:
    """A line that must be understood."""
    reading = read_jotted(text, context)
    assert isinstance(reading, Jotted), reading
    return reading


def test_the_line_of_the_design_is_a_birth_with_two_lambs() -> None:
    """Day, time, ewe, both lambs and the id of the tablet, each where it belongs (the line stands in the design)."""
    line = jotted(
        "2027-04-14 03:40 C214 lambed ewe 4.1 kg tag 742; ram 4.6 kg tag 743 assisted one leg back [mtr-1]",
        Context(Habits(), None),
    )
    assert (line.day, line.clock, line.who, line.kind, line.id) == (DAY, time(3, 40), "C214", "lambing", "mtr-1")
    assert line.lines == ("ewe 4.1 kg tag 742", "ram 4.6 kg tag 743 assisted one leg back")


def test_the_line_of_the_task_reads_the_day_of_its_file() -> None:
    """`0340 Bramble lambed ewe 4.1, ram 4.6 assisted leg back`: a comma parts lambs before a word for a sex."""
    line = jotted("0340 Bramble lambed ewe 4.1, ram 4.6 assisted leg back")
    assert (line.day, line.clock, line.who) == (DAY, time(3, 40), "Bramble")
    assert line.lines == ("ewe 4.1", "ram 4.6 assisted leg back")


@pytest.mark.parametrize(
    ("text", "kind", "fields", "lines", "words"),
    [
        ("C214 treated drench, white, 1 mg/mL; 6 ml; for worms", "treatment",
         {"medicine": "drench, white, 1 mg/mL", "dose": "6 ml", "for": "worms"}, (), ()),
        ("C214 drenched 6 ml example drench", "treatment", {"medicine": "example drench", "dose": "6 ml"}, (), ()),
        ("C214 jabbed penicillin 2.5 ml; site neck; batch 12", "treatment",
         {"medicine": "penicillin", "dose": "2.5 ml", "site": "neck", "batch": "12"}, (), ()),
        ("C214 treated penicillin", "treatment", {"medicine": "penicillin"}, (), ()),
        ("hill treated example drench; 1 ml per 20 kg", "treatment",
         {"medicine": "example drench", "rate": "1 ml per 20 kg"}, (), ()),
        ("03:20 C214 labour", "labour", {"seen": "03:20"}, (), ()),
        ("03:20 C214 in labour waters; shows one foot", "labour", {"waters": "03:20", "shows": "one foot"}, (), ()),
        ("742 tubed 150 ml ewe colostrum", "feeding",
         {"how": "tube", "amount": "150 ml", "what": "ewe colostrum"}, (), ()),
        ("742 fed 250 ml; replacer; bottle", "feeding",
         {"amount": "250 ml", "what": "replacer", "how": "bottle"}, (), ()),
        ("742 weighed 27.5 dirty behind", "weighing", {}, ("742 27.5 dirty behind",), ()),
        ("hill moved to Low Field; gate tied", "move", {"to": "Low Field"}, (), ("gate tied",)),
        ("742 found dead predator; by the wall", "death", {"cause": "predator"}, (), ("by the wall",)),
        ("Bramble's ewe lamb tagged 742", "tagging", {}, ("Bramble's ewe lamb = 742",), ()),
        ("C214 ill mastitis; left, hot", "illness", {"problem": "mastitis"}, (), ("left, hot",)),
        ("remark Gate; the far one, is broken", "remark", {}, (), ("Gate; the far one, is broken",)),
        ("C214 lambed ewe 4.1; easy, up in ten minutes", "lambing", {}, ("ewe 4.1",), ("easy, up in ten minutes",)),
        ("C214 lambed twins: ewe 4.1; ram 4.6", "lambing", {}, ("ewe 4.1", "ram 4.6"), ()),
        ("C214 lambed ewe 4.1; stillborn", "lambing", {}, ("ewe 4.1", "stillborn"), ()),
    ],
)  # fmt: skip
def test_each_word_for_what_happened_has_its_note(
    text: str, kind: str, fields: dict[str, str], lines: tuple[str, ...], words: tuple[str, ...]
) -> None:
    """What a line becomes: a dose is never filled in, and a medicine's name keeps its commas."""
    line = jotted(text)
    assert (line.kind, dict(line.fields), line.lines, line.words) == (kind, fields, lines, words)


@pytest.mark.parametrize(
    ("text", "marked", "said"),
    [
        ("0412 lambed ewe 4.1", "0412", "could be a time or a tag"),
        ("2027-04-14 0412 lambed ewe 4.1", "0412", "could be a time or a tag"),
        ("0412 0977 lambed ewe 4.1", "0412", "could be the time"),
        ("C214 lambed ewe 4.1, stillborn", "stillborn", "may be this lamb or a second one"),
        ("C214 lambed twins, ewe and ram", "ewe and ram", "no lamb was counted"),
        ("C214 lambed twins", "", "no lamb is told"),
        ("C214 lambed twins: ewe 4.1", "twins: ewe 4.1", "2 are said, and 1 told"),
        ("C214 lambed ewe .25", "", "0.25"),
        ("C214 treated", "", "no medicine is named"),
        ("C214 treated penicillin; 6 ml; 7 ml", "7 ml", "the dose is told twice"),
        ("C214 treated penicillin; six", "six", "is not read as part of a dose"),
        ("742 fed 150 ml; gin", "gin", "is no feed"),
        ("742 fed; bottle", "", "no amount is told"),
        ("C214 jumped the wall", "C214 jumped the wall", "no word here says what happened"),
        ("weighed 27.5", "27.5", "nobody is named"),
        ("2027-13-14 C214 lambed ewe", "2027-13-14", "13"),
        ("25:10 C214 lambed ewe", "25:10", "25"),
        ("strike", "", "no line is named"),
        ("C214 lambed ewe 4.1\x07", "\x07", "no text"),
        ("C214 remark " + "x" * 1000, "", "1000 characters"),
    ],
)
def test_what_is_not_plain_is_asked_about_at_its_place(text: str, marked: str, said: str) -> None:
    """The asks of the design, and slips: each marks the words that stand in the way, and says what to type."""
    reading = read_jotted(text, HERE)
    assert isinstance(reading, Fault)
    assert said in f"{reading.message} {reading.help}"
    if marked:
        assert text[reading.start : reading.start + (reading.length or 0)] == marked


def test_a_line_without_a_day_is_asked_for_one() -> None:
    """Where neither the line nor its file says which day."""
    reading = read_jotted("03:40 C214 lambed ewe 4.1", Context(Habits(), None))
    assert isinstance(reading, Fault)
    assert "which day" in reading.message


def test_the_same_line_is_known_again() -> None:
    """However blanks stand, and whether the day stands in the line or in the name of the file."""
    short, long = jotted("0340 C214  lambed ewe 4.1 [a-1]"), jotted("2027-04-14 0340 C214 lambed ewe 4.1   [a-1]")
    assert short.plain == long.plain == "2027-04-14 0340 C214 lambed ewe 4.1 [a-1]"


SAID = st.sampled_from(
    ["C214", "0412", "Bramble", "hill", "742", "lambed", "treated", "fed", "weighed", "moved", "dead",
     "labour", "remark", "strike", "mtr-1", "ewe", "ram", "twins", "stillborn", "4.1", "4.1kg", "9lb", "6",
     "ml", "ml;", ";", ",", ";;", "penicillin", "example", "drench", "tag", "to", "Low", "Field", "tubed",
     "150", "03:40", "0340", "7pm", "2027-04-14", "19", "Apr", "[mtr-1]", "[a-2]", "one", "leg", "back",
     "assisted", "é", "'", '"', "[", "]", "=", ":", "and"]
)  # fmt: skip
ANY = st.one_of(st.lists(SAID, max_size=12).map(" ".join), st.text(max_size=60))


def test_ten_thousand_lines_are_read_whole_or_kept() -> None:
    """Lines drawn by lot from what people jot: each is understood or kept, and both happen often."""
    lot, words = random.Random(4), SAID.elements
    lines = [" ".join(lot.choices(words, k=lot.randint(1, 9))) for _ in range(7000)]
    lines += [f"03:40 C214 {' '.join(lot.choices(words, k=lot.randint(1, 5)))}" for _ in range(3000)]
    understood = sum(is_whole_or_kept(line) for line in lines)
    assert 300 < understood < 9000


@settings(max_examples=1000, deadline=None)
@given(ANY)
def test_any_line_is_read_whole_or_kept(text: str) -> None:
    """The same of any text whatever."""
    is_whole_or_kept(text)


def is_whole_or_kept(text: str) -> bool:
    """Whether a line was understood, with every word of it still there; else its reason must lie inside it."""
    reading = read_jotted(text, HERE)
    if isinstance(reading, Fault):
        assert reading.message
        assert 0 <= reading.start <= len(text)
        return False
    told = " ".join([reading.plain, *reading.lines, *reading.words, *(text for _, text in reading.fields)])
    assert reading.plain.split()[-len(text.split()) :] == text.split() or reading.id
    for figure in (word for line in (*reading.lines, *reading.words) for word in line.split()):
        assert figure in told
    return True
