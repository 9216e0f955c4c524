"""From notes to records: every field with its place, every problem told with what to type."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest

from compiler.collection import Given, collect, sorting
from compiler.decode import decode_fields
from compiler.diagnostics import Diagnostic, Grade
from compiler.frontmatter import read_yaml
from compiler.notes import read_note
from compiler.schema import Habits, Kind, Record, key
from compiler.source import Span, read_source
from compiler.values import DATE, TEXT, Weight, When
from tests.toybook import (
    HABITS,
    MEANWHILE,
    Boat,
    Catch,
    Repair,
    Sounding,
    Voyage,
    codes,
    gather,
    meanwhile,
    rendered,
)

VOYAGE = "2026-04-19 0340 voyage Teal.md"


def read(
    path: str, text: str, habits: Habits = HABITS, csv: str | None = None
) -> tuple[Record, tuple[Diagnostic, ...]]:
    """The one record of a folder with this note, and what is said of it. `csv` is a file of the same name beside it."""
    beside = {} if csv is None else {f"{path.rsplit('.', 1)[0]}.csv": csv}
    found, told = gather({path: text, **beside}, habits)
    assert not found.holes, told
    return found.records[0], told


def voyage(text: str, path: str = VOYAGE, habits: Habits = HABITS) -> tuple[Voyage, tuple[Diagnostic, ...]]:
    """A voyage and what is said of it."""
    record, told = read(path, text, habits)
    assert isinstance(record, Voyage)
    return record, told


def repair(fields: str) -> tuple[Repair, tuple[Diagnostic, ...]]:
    """A repair with these fields and what is said of it."""
    record, told = read("2026-06-02 repair.md", f"---\n{fields}\n---\n")
    assert isinstance(record, Repair)
    return record, told


def places(told: tuple[Diagnostic, ...]) -> list[tuple[str, int, int, int]]:
    """Rule, line, column and length of everything said."""
    return [(item.name, item.span.line, item.span.column, item.span.length) for item in told]


def test_a_whole_note() -> None:
    """Head, lines and remark become one record, and nothing is said."""
    text = (
        "---\nboat: Teal\ncrew: Una, Fergus\nice: 40 kg\nwind: 4\n---\n- cod 4.1 kg thin\n- ling 2\n\nHome by *noon*.\n"
    )
    record, told = voyage(text)
    assert told == ()
    assert (record.date, record.time, record.boat) == (date(2026, 4, 19), time(3, 40), "Teal")
    assert record.crew == ("Una", "Fergus")
    assert record.ice == Weight(40, "40 kg")
    assert record.wind == 4
    assert record.lines == (
        Catch("cod", Weight(4.1, "4.1 kg"), "thin", Span(VOYAGE, 7, 3, 15)),
        Catch("ling", Weight(2, "2"), "", Span(VOYAGE, 8, 3, 6)),
    )
    origin = record.origin
    assert (origin.path, origin.kind, origin.written) == (VOYAGE, "voyage", "Home by *noon*.")
    assert origin.html == f"<p title={VOYAGE!r}>Home by *noon*.</p>"
    assert (origin.broken, origin.asked, origin.unread) == (frozenset(), frozenset(), {})
    assert origin.span("ice") == Span(VOYAGE, 4, 6, 5)
    assert origin.span("crew[1]") == Span(VOYAGE, 3, 12, 6)
    assert origin.span("date") == origin.span() == Span(VOYAGE)


def test_a_name_is_enough() -> None:
    """With a good name the head may be left out entirely."""
    record, told = voyage("- cod 4.1\n")
    assert (record.boat, record.time, len(record.lines)) == ("Teal", time(3, 40), 1)
    assert told == ()


def test_head_is_enough() -> None:
    """A name never has to be parsed when the head is full."""
    record, told = voyage("---\nNote: Put-to-sea\nDATE: 19 April 2026\nTime: 3.40 am\nship: Teal\n---\n", "x.txt")
    assert (record.date, record.time, record.boat, record.origin.kind) == (
        date(2026, 4, 19),
        time(3, 40),
        "Teal",
        "voyage",
    )
    assert told == ()


def test_year_of_other_dates() -> None:
    """Dates without a year are completed from the note's own, wherever in the head that stands."""
    record, _ = voyage("---\nseen: 20 Apr, 21 Apr 18:00\n---\n")
    assert record.seen == (When(date(2026, 4, 20), None, "20 Apr"), When(date(2026, 4, 21), time(18), "21 Apr 18:00"))
    record, _ = voyage("---\nseen: 20 Apr\nnote: voyage\nboat: Teal\ndate: 2025-04-01\n---\n", "x.md")
    assert record.seen[0].date == date(2025, 4, 20)


def test_every_problem_is_told() -> None:
    """All problems of a note are told at once, each at its own place; what could be read is kept."""
    text = (
        "---\nice: 4 sacks\nwind: 13\ncrow: Una\ntime: 25:00\nseen: 20 Apr, 31 Apr, 1 May\n---\n- cod .25\n- ling 2\n"
    )
    record, told = voyage(text, "2026-04-19 voyage.md")
    assert places(told) == [
        ("value-unreadable", 2, 8, 5),
        ("value-unreadable", 3, 7, 2),
        ("unknown-field", 4, 1, 4),
        ("value-unreadable", 5, 7, 5),
        ("value-unreadable", 6, 15, 6),
        ("field-missing", 1, 1, 0),
        ("line-unreadable", 8, 7, 3),
    ]
    assert record.origin.broken == {"ice", "wind", "time", "seen", "boat", "lines"}
    assert (record.ice, record.wind, record.time, record.boat) == (None, None, None, None)
    assert [item.date for item in record.seen] == [date(2026, 4, 20), date(2026, 5, 1)]
    assert [line.fish for line in record.lines] == ["ling"]
    assert "- cod .25" in record.origin.written
    assert record.origin.unread == {"crow": "Una"}
    assert "did you mean `crew`?" in told[2].help
    assert "its fields are date, time, boat, seen, crew" in told[2].help
    assert "write 0.25" in told[6].help
    assert all(item.help for item in told)


@pytest.mark.parametrize("field", ["wnid", "win", "windy", "wimd", "Wnid"])
def test_did_you_mean(field: str) -> None:
    """One edit or swap away is worth a guess."""
    _, told = voyage(f"---\n{field}: 4\n---\n")
    assert codes(told) == ["unknown-field"]
    assert "did you mean `wind`?" in told[0].help


@pytest.mark.parametrize("field", ["off plan", "Off-Plan", "OFF_PLAN", "off  plan"])
def test_names_of_fields(field: str) -> None:
    """Case, hyphens and underscores in a field's name do not count."""
    record, told = repair(f"boats: Teal\npart: mast\n{field}: yes")
    assert (record.off_plan, told) == (True, ())


def test_places_in_quotes() -> None:
    """In a quoted value a fault has its exact place when the text stands there as read, else that of the value."""
    assert places(voyage('---\nice: "4 sacks"\n---\n')[1]) == [("value-unreadable", 2, 9, 5)]
    assert places(voyage('---\nice: "4 sac\\x6bs"\n---\n')[1])[0][:3] == ("value-unreadable", 2, 7)
    assert places(voyage("---\nice: 4\n  sacks\n---\n")[1])[0][:3] == ("value-unreadable", 2, 6)


def test_list_in_yaml() -> None:
    """A list may be a YAML list as well, in either shape, and each piece has its place."""
    for head in ("crew: [Una, Fergus]", "crew:\n- Una\n- Fergus", "crew:\n- Una, Fergus"):
        record, told = voyage(f"---\n{head}\n---\n")
        assert record.crew == ("Una", "Fergus")
        assert told == ()
    assert record.origin.span("crew[1]") == Span(VOYAGE, 3, 8, 6)


@pytest.mark.parametrize(
    "head", ["boat: [Teal, Eel]", "boat:\n- Teal", "boat: {a: b}", "crew:\n- a: b", "wind:\n  force: 4"]
)
def test_wrong_shape(head: str) -> None:
    """A list where one value is meant, or a group that a colon made, is an error."""
    record, told = voyage(f"---\n{head}\n---\n")
    assert codes(told) == ["value-unreadable"]
    assert record.origin.broken


def test_lost_pieces() -> None:
    """Nothing between two commas may be a name that was lost; a comma at the end is only a comma."""
    assert places(voyage("---\ncrew: Una, , Fergus\n---\n")[1]) == [("value-unreadable", 2, 12, 1)]
    assert codes(voyage("---\ncrew: Una,,Fergus\n---\n")[1]) == ["value-unreadable"]
    assert codes(voyage("---\ncrew: Una, Fergus,\n---\n")[1]) == []
    assert voyage("---\ncrew: Una; Fergus;\n---\n")[0].crew == ("Una", "Fergus")


def test_guarded_lists_may_not_end_in_a_comma() -> None:
    """Where much hangs on the note a comma at the end may be a lost name."""
    record, told = repair("boats: Teal,\npart: mast")
    assert codes(told) == ["value-unreadable"]
    assert record.origin.broken == {"boats"}
    assert told[0].meanwhile == MEANWHILE


def test_blank_field() -> None:
    """A field with nothing in it is still to be written; where much hangs on the note it is an error."""
    record, told = voyage("---\nice:\n---\n")
    assert [(item.name, item.grade) for item in told] == [("field-left-blank", Grade.GAP)]
    assert record.origin.broken == frozenset()
    guarded, told = repair("boats:\npart: mast")
    assert [(item.name, item.grade) for item in told] == [("field-left-blank", Grade.ERROR)]
    assert guarded.origin.broken == {"boats"}


def test_field_by_two_names() -> None:
    """A field that has two names may be written by one of them only."""
    record, told = voyage("---\nboat: Teal\nship: Eel\n---\n")
    assert codes(told) == ["value-unreadable"]
    assert record.boat is None
    assert record.origin.broken == {"boat"}


def test_band_asks() -> None:
    """A value outside its plausible band is asked about, and used; `sure: yes` answers."""
    record, told = voyage("---\nice: 900 kg\n---\n")
    assert [(item.name, item.grade, item.span.column) for item in told] == [("value-unlikely", Grade.ASK, 6)]
    assert record.ice == Weight(900, "900 kg")
    assert record.origin.asked == {"ice"}
    for text in ("---\nice: 900 kg\nsure: yes\n---\n", "---\nsure: yes\nice: 900 kg\n---\n"):
        record, told = voyage(text)
        assert (told, record.origin.asked) == ((), frozenset())
    assert codes(voyage("---\nice: 900 kg\nsure: no\n---\n")[1]) == ["value-unlikely"]


@pytest.mark.parametrize(
    ("fields", "said", "broken"),
    [
        ("date: 2026-04-20", "the file name says date 2026-04-19, the note says 2026-04-20", "date"),
        ("time: 03:41", "the file name says time 03:40, the note says 03:41", "time"),
    ],
)
def test_name_and_head_differ(fields: str, said: str, broken: str) -> None:
    """Where both say it and differ, both are shown and neither is used."""
    record, told = voyage(f"---\n{fields}\n---\n")
    assert [item.message for item in told] == [said]
    assert told[0].also == (Span(VOYAGE),)
    assert record.origin.broken == {broken}
    assert getattr(record, broken) is None


def test_name_and_head_agree() -> None:
    """Saying it twice alike is no error, and the head's subject stands."""
    record, told = voyage("---\ndate: 19 Apr\ntime: 0340\nboat: B12\n---\n")
    assert told == ()
    assert (record.date, record.boat) == (date(2026, 4, 19), "B12")


def test_name_with_no_such_day() -> None:
    """A day that is not in the calendar is an error in a file name too, and the date is not known."""
    record, told = voyage("- cod 4\n", "2026-02-30 voyage Teal.md")
    assert codes(told) == ["value-unreadable"]
    assert record.date is None
    assert record.origin.broken == {"date"}


def boat(path: str, fields: str) -> tuple[Boat, tuple[Diagnostic, ...]]:
    """A boat and what is said of her."""
    record, told = read(path, f"---\nnote: boat\n{fields}\n---\n")
    assert isinstance(record, Boat)
    return record, told


@pytest.mark.parametrize(
    ("path", "fields", "number", "name"),
    [
        ("boats/B12 Teal Two.md", "", "B12", "Teal Two"),
        ("boats/boat B12 Teal.md", "", "B12", "Teal"),
        ("boats/B12.md", "", "B12", None),
        ("boats/B12 Teal.md", "number: B12", "B12", "Teal"),
        ("boats/Teal.md", "number: B12", "B12", "Teal"),
        ("boats/B12 Teal.md", "number: B12\nname: Teal", "B12", "Teal"),
        ("boats/my boat.md", "number: B12\nname: Teal", "B12", "Teal"),
        ("boats/B12.md", "name: Teal", "B12", "Teal"),
    ],
)
def test_own_names(path: str, fields: str, number: str, name: str | None) -> None:
    """An undated thing is called after its file: number first, then name, where its head does not say."""
    record, told = boat(path, fields)
    assert (record.number, record.name, told) == (number, name, ())


class Harbour(Record):
    """A kind with one name, and one that keeps a list of subjects."""

    name: str | None = key("its name", TEXT, required=True)
    boats: tuple[str, ...] = key("the boats in it", TEXT, many=True)
    date: date | None = key("a day", DATE)


def harbour(kind: Kind[Harbour], path: str, text: str) -> tuple[Harbour, tuple[Diagnostic, ...]]:
    """A harbour and what is said of it."""
    how = sorting((kind,), HABITS, rendered, meanwhile)
    found, told = collect([Given(read_note(read_source(path, text.encode())))], how)
    assert isinstance(found.records[0], Harbour)
    return found.records[0], told


def test_own_name_of_one_field() -> None:
    """A thing with a name and no number is called after the whole of its file name."""
    kind = Kind("harbour", Harbour, "a harbour", dated=False, named=("name",))
    assert harbour(kind, "North Bay.md", "---\nnote: harbour\n---\n")[0].name == "North Bay"
    assert harbour(kind, "North Bay.md", "---\nnote: harbour\nname: South Bay\n---\n")[0].name == "South Bay"


def test_subjects_of_a_list() -> None:
    """A subject may be several things with commas between; a record that keeps its subject as such has it as typed."""
    kind = Kind("harbour", Harbour, "a harbour", subject="boats")
    found, told = harbour(kind, "2026-04-19 harbour Teal, Eel.md", "---\nname: x\n---\n")
    assert (found.boats, told) == (("Teal", "Eel"), ())
    record, _ = read("2026-06-02 repair old mast.md", "---\npart: mast\n---\n")
    assert isinstance(record, Repair)
    assert (record.subject, record.boats) == ("old mast", ())


def test_subject_that_cannot_be_read() -> None:
    """A subject that is no value of its field is an error at the name."""
    kind = Kind("harbour", Harbour, "a harbour", dated=False, named=("date",))
    found, told = harbour(kind, "soon.md", "---\nnote: harbour\nname: x\n---\n")
    assert [(item.name, item.span) for item in told] == [("value-unreadable", Span("soon.md"))]
    assert found.origin.broken == {"date"}


def test_own_names_that_differ() -> None:
    """Another number in the head is an error; a file called by the name alone does not give a number."""
    record, told = boat("boats/B12 Teal.md", "number: B13")
    assert [item.message for item in told] == ["the file name says number B12, the note says B13"]
    assert record.number is None
    record, told = boat("boats/Teal.md", "name: Teal")
    assert codes(told) == ["field-missing"]


def test_lost_words() -> None:
    """Words lost behind ` #` are a warning; in a guarded note an error, and the field is not trusted."""
    _, told = voyage("---\ncrew: Una #2 Fergus\n---\n")
    assert [(item.name, item.grade) for item in told] == [("words-after-hash", Grade.WARNING)]
    guarded, told = repair("part: mast\nboats: Teal, #B12\ngiven: 2 Jun")
    assert [(item.name, item.grade, item.meanwhile) for item in told if item.name == "words-after-hash"] == [
        ("words-after-hash", Grade.ERROR, MEANWHILE)
    ]
    assert "boats" in guarded.origin.broken
    assert codes(repair("part: mast\ngiven: # 2 Jun\nboats: Teal")[1]) == ["field-left-blank", "words-after-hash"]


def test_guarded_errors_say_what_happens_meanwhile() -> None:
    """Every error in a guarded note says what the book does meanwhile; nothing else does."""
    _, told = repair("boats: Teal\ngiven: 31 Jun\nashore: a while\npert: mast")
    assert codes(told) == ["value-unreadable", "value-unreadable", "unknown-field", "field-missing"]
    assert {item.meanwhile for item in told} == {MEANWHILE}
    assert {item.meanwhile for item in voyage("---\nice: 4 sacks\n---\n")[1]} == {""}


def test_empty_note() -> None:
    """An empty note with a good name is valid: details to follow, and nothing else is said."""
    record, told = voyage("", "2026-04-19 voyage.md")
    assert [(item.name, item.grade) for item in told] == [("details-to-follow", Grade.GAP)]
    assert record.origin.broken == {"boat"}
    assert codes(voyage("\n \n")[1]) == ["details-to-follow"]


def test_remark_lines() -> None:
    """A dash line that is no data stays in the remark, with a word about it; for one below the edge nothing is said."""
    record, told = voyage("- cod 4\n- cold night\n\n  - rain\n\nwords\n")
    assert places(told) == [("line-is-remark", 2, 3, 10)]
    assert record.origin.written == "- cold night\n\n  - rain\n\nwords"


def test_lines_of_other_kinds() -> None:
    """Where a kind takes no data lines, dash lines are an ordinary list."""
    record, told = read("2026-06-02 repair.md", "---\nboats: Teal\npart: mast\n---\n- two coats\n")
    assert (record.origin.written, told) == ("- two coats", ())


def test_bare_lines() -> None:
    """A kind may take lines without a dash; prose among them is remark, without a word about it."""
    record, told = read("2026-04-19 sounding bay.md", "b1 12.5 mud\n- b2 13\nFlat calm.\nb3 .5\n")
    assert isinstance(record, Sounding)
    assert [(line.fish, line.weight.kg) for line in record.lines] == [("b1", 12.5), ("b2", 13)]
    assert places(told) == [("line-unreadable", 4, 4, 2)]
    assert record.origin.written == "Flat calm.\nb3 .5"


def test_line_faults_beyond_the_first_line() -> None:
    """A fault in a continued line is shown within its first line."""
    _, told = voyage("- cod\n  .25\n")
    assert places(told) == [("line-unreadable", 1, 6, 0)]


@pytest.mark.parametrize("line", ["cod " + "9" * 101, "cod 4 " + "thin " * 300])
def test_lines_too_long_for_data(line: str) -> None:
    """No grammar is let loose on a line that no person wrote as data; a long line without a dash is prose."""
    assert codes(voyage(f"- {line}\n")[1]) == ["line-unreadable"]
    assert read("2026-04-19 sounding bay.md", f"{line}\n")[1] == ()


TABLE = "| Buoy | kg | note |\n|---|---|---|\n| b1 | 12.5 | mud |\n| b2 | 13 | |\n"


def sounding(text: str, csv: str | None = None) -> tuple[Sounding, tuple[Diagnostic, ...]]:
    """A sounding, perhaps with a CSV file beside it, and what is said of it."""
    record, told = read("2026-04-19 sounding bay.md", text, csv=csv)
    assert isinstance(record, Sounding)
    return record, told


def test_table() -> None:
    """A table with the kind's headings is data, each row with its place; it leaves the remark."""
    record, told = sounding(f"words\n\n{TABLE}\nmore\n")
    assert [(line.fish, line.weight.kg, line.remark) for line in record.lines] == [("b1", 12.5, "mud"), ("b2", 13, "")]
    assert record.lines[0].span == Span("2026-04-19 sounding bay.md", 5, 3, 15)
    assert record.origin.written == "words\n\n\nmore"
    assert told == ()


def test_rows_that_say_nothing() -> None:
    """A row from which nothing could be taken is told of, in the note and in a CSV file."""
    record, told = sounding("| buoy | kg |\n|---|---|\n| b1 | |\n| b2 | 13 |\n")
    assert [(item.name, item.span.line) for item in told] == [("line-is-remark", 3)]
    assert "| b1 | |" in record.origin.written
    _, told = sounding("", csv="buoy,kg\nb1,\n")
    assert "`b1 |`" in told[0].message


def test_two_tables() -> None:
    """Two tables in one note are both data."""
    record, told = sounding(f"{TABLE}\nafternoon\n\n{TABLE}")
    assert len(record.lines) == 4
    assert told == ()


def test_table_that_is_not_all_used() -> None:
    """A row that cannot be read is an error, and then the whole table stays to be seen."""
    record, told = sounding("| buoy | kg | note |\n|---|---|---|\n| b1 | .5 | |\n| b2 | 13 | a | b |\n| b3 | 14 | |\n")
    assert [(item.name, item.span.line) for item in told] == [("line-unreadable", 3), ("line-unreadable", 4)]
    assert [line.fish for line in record.lines] == ["b3"]
    assert record.origin.broken == {"lines"}
    assert "| b1 | .5 | |" in record.origin.written


def test_table_with_other_headings() -> None:
    """A column that the kind does not know stays to be seen; a table that counts for nothing is told of."""
    record, told = sounding("| buoy | kg | moon |\n|---|---|---|\n| b1 | 12 | full |\n")
    assert (len(record.lines), told) == (1, ())
    assert "full" in record.origin.written
    record, told = sounding("| boj | kg |\n|---|---|\n| b1 | 12 |\n")
    assert [(item.name, item.span.line, item.grade) for item in told] == [("table-without-use", 1, Grade.WARNING)]
    assert "| b1 | 12 |" in record.origin.written


def test_table_in_a_remark() -> None:
    """In a kind that takes no table a table is an ordinary one."""
    record, told = read("2026-06-02 repair.md", f"---\nboats: Teal\npart: mast\n---\n{TABLE}")
    assert told == ()
    assert "| b1 | 12.5 | mud |" in record.origin.written


def test_csv_beside() -> None:
    """A CSV file of the same name is data; its faults are told in its own lines."""
    record, told = sounding("words\n", csv="buoy,kg,note\nb1,12.5,mud\nb2,.5,\n\nb3,14\n")
    assert [(line.fish, line.span.path, line.span.line) for line in record.lines] == [
        ("b1", "2026-04-19 sounding bay.csv", 2),
        ("b3", "2026-04-19 sounding bay.csv", 5),
    ]
    assert [(item.name, item.span.path, item.span.line) for item in told] == [
        ("line-unreadable", "2026-04-19 sounding bay.csv", 3)
    ]


def test_csv_beside_an_empty_note() -> None:
    """A note that is empty but for its CSV file is not waiting for details."""
    assert sounding("", csv="buoy,kg\nb1,12\n")[1] == ()


@pytest.mark.parametrize("data", ["", "boj,kg\nb1,12\n", "b1,12\nb2,13\n"])
def test_csv_that_counts_for_nothing(data: str) -> None:
    """A CSV file without the kind's headings is never passed over without a word."""
    _, told = sounding("b1 12\n", csv=data)
    assert codes(told) == ["table-without-use"]
    assert told[0].span == Span("2026-04-19 sounding bay.csv", 1)


def test_csv_beside_a_note_that_takes_none() -> None:
    """The same beside a kind of note that takes no table at all."""
    _, told = read("2026-06-02 repair.md", "---\nboats: Teal\npart: mast\n---\n", csv="buoy,kg\nb1,12\n")
    assert codes(told) == ["table-without-use"]


def test_damaged_csv() -> None:
    """Rows behind a quotation that never closes are not known: the lines of the note are broken."""
    record, told = sounding("", csv='buoy,kg\nb1,12\nb2,"13\nb3,14\n')
    assert codes(told) == ["table-unreadable"]
    assert [line.fish for line in record.lines] == ["b1"]
    assert record.origin.broken == {"lines"}


@pytest.mark.parametrize(
    ("text", "csv"), [(f"b1 12\n\n{TABLE}", None), ("b1 12\n", "buoy,kg\nb1,12\n"), (TABLE, "buoy,kg\nb1,12\n")]
)
def test_data_in_two_ways(text: str, csv: str | None) -> None:
    """Dash lines, a table and a CSV file are three ways of which a note has one."""
    record, told = sounding(text, csv)
    assert codes(told) == ["data-twice"]
    assert record.origin.broken == {"lines"}


def test_habits() -> None:
    """The writer's habits reach every value, in the head, in lines and in tables."""
    habits = Habits("us", "month-day", decimal_comma=True)
    record, told = voyage("---\nice: 100,5\nseen: 4/20\n---\n- cod 2,5\n", habits=habits)
    assert told == ()
    assert record.ice is not None
    assert record.ice.kg == pytest.approx(100.5 * 0.45359237)
    assert record.seen[0].date == date(2026, 4, 20)
    assert record.lines[0].weight.kg == pytest.approx(2.5 * 0.45359237)


def test_bare_fields() -> None:
    """A file of fields alone (settings) is read by the same rules."""
    fields, _ = read_yaml("log.yaml", ["number: B12", "built: 2023", "rig: cuter", "colour: red"], 1)
    assert fields is not None
    values, origin, told = decode_fields("log.yaml", fields, Boat, Habits())
    assert values["number"] == "B12"
    assert origin.broken == {"rig"}
    assert [(item.name, item.span.line) for item in told] == [("value-unreadable", 3), ("unknown-field", 4)]
    assert "did you mean `cutter`?" in told[0].help


def test_moments_of_a_day() -> None:
    """Doses with and without their time of day keep what was typed."""
    record, told = repair("boats: Teal\npart: mast\ngiven: 2 Jun 18:00, 3 Jun")
    assert told == ()
    assert [item.moment for item in record.given] == [
        datetime(2026, 6, 2, 18),
        datetime.combine(date(2026, 6, 3), time.max),
    ]
