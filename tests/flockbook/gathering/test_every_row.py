"""Every row of whatever file has one fate: written, refused or listed; tables handed over come back as they were."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Mapping, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compiler.schema import Context
from flockbook.gathering.file_reading import mapping_proposed, read_file
from flockbook.gathering.gathering_plan import Planned, gather_plan, stops
from flockbook.gathering.mapping_reading import read_mapping
from flockbook.gathering.mappings import FileMapping, mapping_text
from flockbook.gathering.proposals import Proposing
from flockbook.gathering.row_reading import ROW_WRITTEN
from flockbook.handover.facts import facts_object
from flockbook.handover.tables import tables
from flockbook.records.gathered import gathered_text, read_gathered
from tests.flockbook.small import read

EWE = "---\nnote: ewe\nborn: 2022-04\n---\n"
NOTES = {
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "medicines/example drench.md": "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\n"
    "milk withdrawal: not for milk\nsource: label\nchecked: 2026-01-02\n---\n",
}
WORDS = st.sampled_from(
    [
        "C214", "C230", "X9", "2026-04-03", "3/4/2026", "61.5", "61,5", "Total", "", " ", "---", "- x", "=A1", "#N/A",
        '"', "a\nb", "F", "example drench", "wormed 3 May", "8 ml", "\u200b", "|",
    ]
)  # fmt: skip
# What the questions of a proposed mapping are answered with.
ANSWERS = (
    (", blank ?", ", blank as above"),
    ("dates: ?", "dates: day-month"),
    ("decimal: ?", "decimal: point"),
    (" -> ?", " -> remark"),
    (" in ?", " in kg"),
)
KINDS_OF_ROWS = {
    "weighing": ["Date", "Tag", "Weight kg", "Remarks"],
    "treatment": ["Date", "Sheep", "Product", "Dose"],
    "lambing": ["Ewe", "Date", "Lamb sex", "Lamb tag"],
    "ewe": ["Tag", "Born", "Name", "Colour"],
}


def planned(
    data: bytes, kind: str, notes: Mapping[str, str], *mended: tuple[str, str]
) -> tuple[Planned | None, FileMapping]:
    """What becomes of a file by its proposed mapping, its questions answered; None where it is not read."""
    seen = read(notes)
    sheets, told = read_file("x.csv", data, None)
    text = mapping_text("x.csv", mapping_proposed("m", sheets, data, Proposing.of(seen, kind)))
    for asked, answer in (*mended, *ANSWERS):
        text = text.replace(asked, answer)
    mapping, open_ones = read_mapping("m", text)
    if told or open_ones:
        return None, mapping
    return gather_plan(
        sheets, mapping, seen, lambda new: read({**notes, **{one.path: one.text for one in new}})
    ), mapping


def csv_bytes(rows: Sequence[Sequence[str]]) -> bytes:
    """Rows as a file."""
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue().encode()


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(sorted(KINDS_OF_ROWS)), st.lists(st.lists(WORDS, min_size=4, max_size=5), max_size=5))
def test_every_row_is_written_refused_or_listed(kind: str, rows: list[list[str]]) -> None:
    """Whatever the cells hold: each row has one fate, a refused one its message, and the notes are read as they say."""
    data = csv_bytes([KINDS_OF_ROWS[kind], *rows])
    plan, _ = planned(data, kind, NOTES)
    if plan is None or not plan[0].fates:
        return
    ((sheet, fates),) = plan[0].fates
    assert [one.number for one in fates] == [row.number for row in sheet.rows]
    assert set(Counter(one.number for one in fates).values()) <= {1}
    written = sorted(number for note, _ in plan[0].notes for number in note.numbers)
    assert written == [one.number for one in fates if one.fate == ROW_WRITTEN]
    refused = [one for one in fates if one.fate == "refused"]
    assert bool(refused) <= any(item.grade.value == "error" for item in plan[1])
    assert bool(refused and kind == "treatment") <= stops(plan[1])
    listed = "\n".join(plan[0].reads[0].unused)
    assert all(one.fate in ("headings", "written", "refused") or one.fate in listed for one in fates)


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=300), st.sampled_from(["x.csv", "x.txt", "x.xlsx", "x.tsv"]))
def test_no_bytes_break_the_reading(data: bytes, name: str) -> None:
    """Any bytes are rows or a message, never a fault of the program."""
    sheets, told = read_file(name, data, None)
    assert bool(sheets) != bool(told)


@given(
    st.text(min_size=1, max_size=30), st.text(max_size=20),
    st.lists(st.integers(1, 9999), min_size=1, max_size=9, unique=True),
)  # fmt: skip
def test_where_a_note_came_from_is_read_back(file: str, sheet: str, numbers: list[int]) -> None:
    """Whatever a file is called: rows and ids come back in their order, or the field is an error and names somebody."""
    ids = [f"{'abcdefghi'[place]}aaaaaaaa2" for place in range(len(numbers))]
    found = read_gathered(" ".join(gathered_text(file, sheet, numbers, ids).split()), Context())
    assert getattr(found, "ids", ()) in (tuple(ids), ())
    if file.strip().isalnum() and sheet.isalnum():
        assert getattr(found, "rows", ()) == tuple(numbers)


def test_a_mapping_is_read_back_as_it_was_written() -> None:
    """What is proposed, written and read is the same mapping, but for the lines on which it stands."""
    _, mapping = planned(csv_bytes([KINDS_OF_ROWS["weighing"], ["3/4/2026", "C214", "61.5", "x"]]), "weighing", NOTES)
    again, told = read_mapping("m", mapping_text("x.csv", mapping))
    assert not told
    assert mapping_text("x.csv", again) == mapping_text("x.csv", mapping)


@pytest.mark.parametrize(
    "line", ["nonsense", "dates: 1", "as: cow", "leave out: all", "A: Date -> eyes", "delimiter: -"]
)
def test_a_line_that_a_mapping_cannot_have_is_told(line: str) -> None:
    """Each with what may stand there."""
    _, told = read_mapping("m", f"[the file]\nas: weighing\n{line}\n")
    assert told
    assert all(item.help for item in told)


def handed_over(notes: Mapping[str, str]) -> dict[str, bytes]:
    """The tables of a flock."""
    return tables(facts_object(read(notes)))


def notes_of(table: bytes, kind: str, notes: Mapping[str, str], *mended: tuple[str, str]) -> dict[str, str]:
    """The notes that a table becomes that was handed over."""
    plan, _ = planned(table, kind, notes, *mended)
    assert plan is not None
    return {source.path: source.text for _, source in plan[0].notes}


HANDED_OVER = {
    "sheep/0101 Old Bess.md": "---\nnote: ewe\nborn: 2019-04-03\nmob: hill\nregistry: KH 12345\norganic: yes\n---\n",
    "sheep/R7 Harrow.md": "---\nnote: ram\nborn: 2020-04\ngenotype: ARR/ARR\n---\n",
    "sheep/0230 Teasel.md": "---\nnote: ewe\nborn: 2022-04-09\ndam: 0101\nsire: R7\nbreed: Texel\n---\n",
    "sheep/0231.md": "---\nnote: wether\nborn: 2022\ndam: 0101\n---\n",
}
CARRIED = ("tag", "name", "sex", "born", "dam", "sire", "mob", "registry", "genotype", "organic")


def test_tables_handed_over_come_back_as_the_same_sheep() -> None:
    """The table of sheep, gathered into an empty folder, hands over the same sheep, as far as it carries them."""
    table = handed_over(HANDED_OVER)["sheep.csv"]
    notes = notes_of(table, "sheep", {})
    assert len(notes) == len(HANDED_OVER)
    again = handed_over(notes)["sheep.csv"]
    assert carried(again) == carried(table)


def test_weights_handed_over_come_back() -> None:
    """The table of weights says sheep, day and weight: gathered into the flock without them it hands over the same."""
    lambs = "events/2026/2026-04-19 lambing 0101.md"
    born = {**HANDED_OVER, lambs: "- ewe 4.1 kg, tag 731\n- ram 4.6 kg, tag 732\n"}
    weighed = "---\n---\n731 17.5\n732 19\n"
    table = handed_over({**born, "events/2026/2026-06-01 weighing.md": weighed})["growth-weights.csv"]
    later = notes_of(without_births(table), "weighing", born, ("of -> not used", "of -> sheep"))
    assert handed_over({**born, **later})["growth-weights.csv"] == table


LAMBED_AND_DOSED = {
    **HANDED_OVER, "medicines/example drench.md": NOTES["medicines/example drench.md"],
    "events/2026/2026-04-19 lambing 0101.md": "---\ntime: 03:40\nhelp: hard\n---\n"
    "- ewe 4.1 kg, tag 731, weak, head back\n- ram 4.6 kg, stillborn\n",
    "events/2026/2026-05-02 lambing Teasel.md": "- ram 5 kg, tag 740, vigour 4, pen 3\n",
    "events/2026/2026-06-02 treatment Bess.md": "---\nsheep: 0101, 740\nmedicine: example drench\ndose: 8 ml\n"
    "given: 2026-06-02, 2026-06-05\nbatch: B7\nmeat withdrawal: 40 days\nvet: A. Ness, in writing\n"
    "off label: yes\n---\n",
    "events/2026/2026-06-08 treatment Teasel.md": "---\nsheep: 0230\nmedicine: example drench\ndose: 9 ml\n---\n",
}  # fmt: skip
BORN_COLUMNS = ("ewe", "date", "time", "help", "lamb_sex", "lamb_weight_kg", "lamb_tag", "lamb_state", "lamb_words")
GIVEN_COLUMNS = ("date", "sheep", "medicine", "dose", "given", "batch", "meat_withdrawal", "vet", "off_label")


def test_births_and_doses_handed_over_come_back() -> None:
    """Gathered into the flock without them, the tables of births and doses hand over the same births and doses, and
    the same clearance of every sheep.
    """
    then = handed_over(LAMBED_AND_DOSED)
    undosed = {path: text for path, text in LAMBED_AND_DOSED.items() if "treatment" not in path}
    left = {path: text for path, text in undosed.items() if "lambing" not in path}
    births, doses = notes_of(then["born.csv"], "lambing", left), notes_of(then["given.csv"], "treatment", undosed)
    again = handed_over({**left, **births, **doses})
    for name, columns, many in (("born.csv", BORN_COLUMNS, 3), ("given.csv", GIVEN_COLUMNS, 3)):
        rows = of_columns(again[name], columns)
        assert (len(rows), rows) == (many, of_columns(then[name], columns))
    assert clearance_in(again) == clearance_in(then)


def of_columns(table: bytes, columns: Sequence[str]) -> list[list[str]]:
    """What the rows of a table say in some columns, in an order of their own."""
    rows = csv.DictReader(io.StringIO(table.decode("utf-8-sig")))
    return sorted([row[name] for name in columns] for row in rows)


def clearance_in(handed: Mapping[str, bytes]) -> list[list[str]]:
    """Who is clear and until when, without the notes that say so."""
    heads = next(csv.reader(io.StringIO(handed["clearance.csv"].decode("utf-8-sig"))))
    return of_columns(handed["clearance.csv"], [name for name in heads if "note" not in name and "line" not in name])


@pytest.mark.parametrize(
    "more",
    [
        {"events/2026/2026-06-09 treatment Bess.md": "---\nmedicine: example drench\n---\n- 0101 62 kg 8 ml\n"},
        {"events/2026/2026-06-09 treatment Bess.md": "---\nmedicine: example drench\n---\nHold her 60 days.\n"},
        {"events/2026/2026-06-09 treatment Bess.md": "---\nmedicine: example drench\ndays: 5\n---\n"},
        {"events/2026/2026-06-09 treatment hill.md": "---\nmob: hill\nmedicine: example drench\n---\n"},
        {"events/2026/2026-06-09 treatment X.md": "---\nmedicine: example drench\nsheep: 0101, Nobody\n---\n"},
    ],
)
def test_a_treatment_that_rows_cannot_say_stops_the_file(more: dict[str, str]) -> None:
    """Words, weights, a course, a mob not sure, a name unknown would be lost: the row names nobody and stops all."""
    table = handed_over({**LAMBED_AND_DOSED, **more})["given.csv"]
    left = {path: text for path, text in LAMBED_AND_DOSED.items() if "treatment" not in path}
    plan, _ = planned(table, "treatment", left)
    assert plan is not None
    assert stops(plan[1])
    assert "the row does not say sheep or mob" in [item.message for item in plan[1]]


def without_births(table: bytes) -> bytes:
    """A table of weights without those at birth, which stand in lambing notes."""
    return b"\r\n".join(line for line in table.split(b"\r\n") if b"2026-04-19" not in line)


def carried(table: bytes) -> list[list[str]]:
    """What a table of sheep says of each, in the columns that a sheep's own note can have."""
    rows = csv.DictReader(io.StringIO(table.decode("utf-8-sig")))
    return [[row[name] for name in CARRIED] for row in rows]
