"""Dash lines as people write them: what is read, asked about, or left as a remark; and no text breaks them."""

from __future__ import annotations

import time
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compiler.diagnostics import Grade
from compiler.schema import Context, Habits, LineReading
from flockbook.records import (
    check_line,
    dose_line,
    egg_line,
    lamb_line,
    mark_line,
    new_sheep_line,
    scan_line,
    tag_line,
    weight_line,
)

CONTEXT = Context(date=date(2026, 11, 18))
COMMA = Context(Habits(decimal_comma=True), date(2026, 11, 18))
READERS = (lamb_line, mark_line, egg_line, scan_line, new_sheep_line, tag_line, dose_line, weight_line, check_line)


def value(reading: LineReading) -> Any:
    """The value of a line that is wholly understood."""
    assert not reading.faults, reading.faults
    assert reading.value is not None
    return reading.value


def refused(reading: LineReading, words: str) -> None:
    """An error is told with these words."""
    said = " ".join(f"{fault.message} {fault.help}" for fault in reading.faults if fault.grade is Grade.ERROR)
    assert words in said


@pytest.mark.parametrize(
    ("text", "sex", "kg", "tag", "state", "lay"),
    [
        ("ewe 4.1 kg, tag 731", "ewe", 4.1, "731", "alive", "normal"),
        ("ram 4.6 kg, tag 732, assisted, one leg back", "ram", 4.6, "732", "alive", "one leg back"),
        ("tag 0412, 3.9, gimmer", "ewe", 3.9, "0412", "alive", "normal"),
        ("tup,4.1 kg", "ram", 4.1, None, "alive", "normal"),
        ("ewe stillborn", "ewe", None, None, "stillborn", "normal"),
        ("dead ram lamb, breech", "ram", None, None, "dead", "breech"),
        ("ewe lamb 4.2kg both legs back", "ewe", 4.2, None, "alive", "both legs back"),
    ],
)  # fmt: skip
def test_lambs(text: str, sex: str, kg: float | None, tag: str | None, state: str, lay: str) -> None:
    """A lamb's words stand in any order."""
    lamb = value(lamb_line.read(text, CONTEXT))
    assert (lamb.sex, lamb.tag, lamb.state, lamb.presentation) == (sex, tag, state, lay)
    assert (lamb.weight.kg if lamb.weight else None) == kg


def test_a_lamb_in_pounds_and_ounces() -> None:
    """9 lb 8 oz is 4.309 kg (international pound, 0.45359237 kg: NIST Handbook 44, appendix C)."""
    lamb = value(lamb_line.read("ram 9 lb 8 oz, no 7", CONTEXT))
    assert lamb.weight.kg == pytest.approx(9.5 * 0.45359237)
    assert lamb.number == "7"


def test_two_bare_numbers_are_not_guessed_at() -> None:
    """`4.1 812` could be a weight and a tag or the other way round: both are shown."""
    reading = lamb_line.read("ewe 4.1 812", CONTEXT)
    refused(reading, "`4.1` and `812`")
    refused(reading, "write `tag 812`")


@pytest.mark.parametrize("text", ["ewe .25 kg", "ewe .25"])
def test_a_leading_point_is_refused(text: str) -> None:
    """`.25` is easily misread."""
    refused(lamb_line.read(text, CONTEXT), "write 0.25")


def test_a_number_is_never_read_from_its_middle() -> None:
    """`4.1.2 kg` is no weight, and certainly not 1.2 kg."""
    reading = lamb_line.read("ewe 4.1.2 kg", CONTEXT)
    assert reading.value is None or reading.value.weight is None
    assert reading.faults


def test_a_decimal_comma_only_where_the_settings_say_so() -> None:
    """`4,1 kg` is 4.1 kg in a flock that writes so, and an error in one that does not."""
    assert value(lamb_line.read("ewe 4,1 kg", COMMA)).weight.kg == 4.1
    assert value(weight_line.read("731 27,5", COMMA)).weight.kg == 27.5
    refused(lamb_line.read("ewe 4,1 kg", CONTEXT), "has a comma")
    refused(weight_line.read("731 27,5", CONTEXT), "has a comma")


def test_prose_is_no_lamb_and_is_not_lost() -> None:
    """A line of prose that speaks of a ewe counts no lamb, and says so; prose without one is a remark."""
    reading = lamb_line.read("the ewe went down again at noon", CONTEXT)
    assert reading.remark
    assert [fault.grade for fault in reading.faults] == [Grade.ASK]
    assert lamb_line.read("rained all night", CONTEXT) == LineReading(remark=True)


def test_a_heavy_lamb_is_asked_about() -> None:
    """41 kg is kept and asked about."""
    reading = lamb_line.read("ram 41 kg", CONTEXT)
    assert reading.value.unlikely
    assert [fault.grade for fault in reading.faults] == [Grade.ASK]


def test_two_sexes_are_two_lambs() -> None:
    """One line is one lamb."""
    refused(lamb_line.read("ewe ram 4.1 kg", CONTEXT), "each lamb on a line of its own")


def test_marks() -> None:
    """Names and places in the line, a colour, `again`; a line without a date is a remark."""
    marks = value(mark_line.read("21 Nov Bramble, C230 and C231", CONTEXT))
    assert marks.date == date(2026, 11, 21)
    assert [(name.text, name.start) for name in marks.ewes] == [("Bramble", 7), ("C230", 16), ("C231", 25)]
    assert value(mark_line.read("5 Dec blue", CONTEXT)).colour == "blue"
    again = value(mark_line.read("2026-12-09 C255 again", CONTEXT))
    assert (again.again, [name.text for name in again.ewes]) == (True, ["C255"])
    assert mark_line.read("he limps a little", CONTEXT).remark


@pytest.mark.parametrize(
    ("text", "sheep", "kg", "remark"),
    [
        ("731 27.5 dirty behind", "731", 27.5, "dirty behind"),
        ("731 27.5,dirty", "731", 27.5, "dirty"),
        ("no 7 4.1", "no 7", 4.1, ""),
        ("no 7/2026, 4.1 kg", "no 7/2026", 4.1, ""),
        ("Bramble's ewe lamb 2026: 30 kg", "Bramble's ewe lamb 2026", 30, ""),
        ("0412, 31kg", "0412", 31, ""),
    ],
)
def test_weights(text: str, sheep: str, kg: float, remark: str) -> None:
    """The sheep first, then its weight, then whatever else."""
    line = value(weight_line.read(text, CONTEXT))
    assert (line.sheep, line.weight.kg, line.remark) == (sheep, kg, remark)


def test_unreadable_weights_are_told() -> None:
    """A leading point, two points, and a weight no sheep has."""
    refused(weight_line.read("731 .25", CONTEXT), "write 0.25")
    refused(weight_line.read("731, 4..1", CONTEXT), "not a number")
    assert weight_line.read("731 612", CONTEXT).value.unlikely


@pytest.mark.parametrize(
    ("text", "sheep", "kg", "ml", "remark"),
    [
        ("C230 62 kg", "C230", 62, None, ""),
        ("C230 62 kg 2.5 ml", "C230", 62, 2.5, ""),
        ("C230, 62, 2.5 ml, lame", "C230", 62, 2.5, "lame"),
        ("C230", "C230", None, None, ""),
        ("Bramble's ewe lamb 2 ml", "Bramble's ewe lamb", None, 2, ""),
        ("Bramble's ewe lamb 2 27 kg 2.5 ml", "Bramble's ewe lamb 2", 27, 2.5, ""),
        ("Bramble's ewe lamb 2026 27 kg", "Bramble's ewe lamb 2026", 27, None, ""),
        ("Bramble's ewe lamb 2.5 ml", "Bramble's ewe lamb", None, 2.5, ""),
        ("Old Nan 62 kg 2.5 ml", "Old Nan", 62, 2.5, ""),
        ("Old Nan's ewe lamb 27 kg", "Old Nan's ewe lamb", 27, None, ""),
        ("Bramble lame", "Bramble", None, None, "lame"),
        ("Bramble Lame", "Bramble", None, None, "Lame"),
    ],
)
def test_doses(text: str, sheep: str, kg: float | None, ml: float | None, remark: str) -> None:
    """A dose line's first word, or a name of several words, names a sheep; the unit tells weight from dose."""
    line = value(dose_line.read(text, CONTEXT))
    read = (line.weight.kg if line.weight else None, line.dose.ml if line.dose else None)
    assert (line.sheep, *read, line.remark) == (sheep, kg, ml, remark)


def test_a_dose_with_a_leading_point_is_refused() -> None:
    """`.25 ml` may be read as 25: it is an error, never a dose."""
    reading = dose_line.read("C230 .25 ml", CONTEXT)
    refused(reading, "write 0.25")
    assert reading.value is None or reading.value.dose is None


@pytest.mark.parametrize(
    ("text", "lambs", "days"),
    [("C230 twins", 2, None), ("C231 empty", 0, None), ("C214 single, 80 days", 1, 80), ("C214 3", 3, None)],
)
def test_scans(text: str, lambs: int, days: int | None) -> None:
    """What the scanner called out."""
    line = value(scan_line.read(text, CONTEXT))
    assert (line.lambs, line.days) == (lambs, days)


@pytest.mark.parametrize("text", ["Old Nan twins", "Old Nan Twins", "Old Nan, 2"])
def test_a_name_of_several_words_in_a_scan(text: str) -> None:
    """A capital on each word makes it one name; a litter is never part of it."""
    line = value(scan_line.read(text, CONTEXT))
    assert (line.sheep, line.lambs) == ("Old Nan", 2)


def test_scans_that_say_nothing_or_two_things() -> None:
    """A scan line without a litter, or with two, is an error."""
    refused(scan_line.read("C230 thin", CONTEXT), "does not say")
    refused(scan_line.read("C230 twins or triplets", CONTEXT), "two things")
    refused(scan_line.read("C230 twins, 300 days", CONTEXT), "cannot be")


def test_checks() -> None:
    """Parts between commas, scores on their scales."""
    text = "C230 bcs 2.5, eyelid 3, udder lump left, feet ok, mouth broken, dag 2, 39.2 C"
    line = value(check_line.read(text, CONTEXT))
    assert (line.sheep, line.condition, line.eyelid, line.dag) == ("C230", 2.5, 3, 2)
    assert (line.udder, line.udder_side, line.feet, line.mouth) == ("lump", "left", "ok", "broken")
    assert line.temperature is not None


@pytest.mark.parametrize("text", ["C230 bcs 6", "C230 bcs 2.6", "C230 eyelid 0", "C230 dag nine"])
def test_scores_off_the_scale(text: str) -> None:
    """Condition 1-5 in quarters, eyelid 1-5 (references: FAMACHA-type charts have five classes)."""
    assert any(fault.grade is Grade.ERROR for fault in check_line.read(text, CONTEXT).faults)


@pytest.mark.parametrize(
    ("text", "sheep", "tag", "eid"),
    [
        ("Bramble's ewe lamb = 731", "Bramble's ewe lamb", "731", None),
        ("0412 now 0977", "0412", "0977", None),
        ("731 eid 826 001234567890", "731", None, "826 001234567890"),
        ("no 7/2026 got tag 733", "no 7/2026", "733", None),
    ],
)
def test_tags(text: str, sheep: str, tag: str | None, eid: str | None) -> None:
    """Who got which tag."""
    line = value(tag_line.read(text, CONTEXT))
    assert (line.sheep, line.tag, line.eid) == (sheep, tag, eid)


@pytest.mark.parametrize("text", ["0412 lost", "0412 tag lost", "0412, lost tag"])
def test_a_lost_tag_that_is_not_replaced_yet(text: str) -> None:
    """It names the sheep by the tag it lost."""
    line = value(tag_line.read(text, CONTEXT))
    assert (line.sheep, line.lost, line.tag) == ("0412", True, None)


def test_a_row_of_tags_and_a_row_of_bought_sheep() -> None:
    """A table says what the lines say; what cannot be read is told and never dropped."""
    row = tag_line.read_row({"sheep": "Bramble's ewe lamb", "tag": "0731", "eid": "826 001234567890"}, CONTEXT)
    assert (row.value.sheep, row.value.tag, row.value.eid) == ("Bramble's ewe lamb", "0731", "826 001234567890")
    refused(tag_line.read_row({"sheep": "0412", "tag": ""}, CONTEXT), "which tag")
    refused(tag_line.read_row({"sheep": "", "tag": "0731"}, CONTEXT), "names no sheep")
    bought = value(new_sheep_line.read_row({"sheep": "P233", "name": "Pike", "sex": "tup", "born": "2024-04"}, CONTEXT))
    assert (bought.sheep, bought.name, bought.sex, bought.born.earliest) == ("P233", "Pike", "ram", date(2024, 4, 1))
    refused(new_sheep_line.read_row({"sheep": "P234", "sex": "cow"}, CONTEXT), "no sex")
    refused(new_sheep_line.read_row({"sheep": "P234", "born": "spring"}, CONTEXT), "")


def test_a_tag_line_without_a_tag() -> None:
    """It is an error, not a remark: a tag may be lost."""
    refused(tag_line.read("put a tag in the small one", CONTEXT), "does not say which tag")


def test_egg_counts() -> None:
    """Eggs under the microscope, eggs per gram, before and after; a comma marks thousands."""
    assert value(egg_line.read("731 12 eggs", CONTEXT)).eggs == 12
    line = value(egg_line.read("731 before 3,500 after 200", CONTEXT))
    assert (line.before, line.after) == (3500, 200)
    assert value(egg_line.read("731 600 epg", CONTEXT)).epg == 600
    refused(egg_line.read("731 many", CONTEXT), "no count")
    refused(egg_line.read(f"731 {'9' * 400} eggs", CONTEXT), "as high as that")


def test_bought_sheep() -> None:
    """Sex, tag, name and birth in any order."""
    line = value(new_sheep_line.read("ram tag P233 Pike, born 2024-04", CONTEXT))
    assert (line.sheep, line.name, line.sex, line.born.shown) == ("P233", "Pike", "ram", "2024-04")
    assert value(new_sheep_line.read("C901 ewe", CONTEXT)).sheep == "C901"
    refused(new_sheep_line.read("ewe", CONTEXT), "no tag")


PARTS = """ewe ram tag no 7 731 4.1 .25 4,1 kg lb oz ml = now eid before after eggs epg 21 Nov again bcs 2.5 eyelid
and , : ' ’s lamb born 2024-04 twins 80 days dead ( ) foster to leg back"""
WORDS = st.sampled_from([*PARTS.split(), "", "\t"])
TEXTS = st.one_of(st.text(max_size=200), st.lists(WORDS, max_size=25).map(" ".join))


@settings(max_examples=400, deadline=None)
@given(TEXTS)
def test_no_text_breaks_a_line(text: str) -> None:
    """Whatever is typed gives a value, a message or a remark: nothing raises and nothing vanishes."""
    for module in READERS:
        for context in (CONTEXT, COMMA):
            reading = module.read(text, context)
            assert reading.value is not None or reading.faults or reading.remark


LONG = 20_000
RUNS = (
    "1",
    " ",
    ",",
    "1,",
    "1.1 ",
    "a ",
    "a's ",
    "no 1 ",
    "1 Jan ",
    " and",
    "eid 1 ",
    "bcs ",
    "(",
    "leg back ",
    ":",
    "=",
    "before ",
)


@pytest.mark.parametrize("module", READERS, ids=lambda module: module.__name__.rsplit(".", 1)[-1])
def test_no_line_takes_long(module: Any) -> None:
    """A line of 20,000 characters of one kind, the worst for patterns that try again, is read within two seconds."""
    for run in RUNS:
        for text in (run * (LONG // len(run)), f"x {run * (LONG // len(run))}y", f"1 Jan x{run * (LONG // len(run))}y"):
            start = time.process_time()
            module.read(text, CONTEXT)
            assert time.process_time() - start < 2, (run, text[:20])
