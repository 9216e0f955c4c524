"""Nothing that was typed is lost: what is no field and became no data is handed on, line by line, with its place."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compiler.schema import Cell, Record
from tests.toybook import Repair, codes, gather


def rest(path: str, text: str, table: str | None = None) -> list[tuple[str, int, int, str]]:
    """What is left of one note: text, line, column and sort of each piece."""
    return [(cell.text, cell.line, cell.column, cell.sort) for cell in record(path, text, table).origin.rest]


def record(path: str, text: str, table: str | None = None) -> Record:
    """One note, read with the table beside it."""
    beside = {} if table is None else {path.replace(".md", ".csv"): table}
    found, _ = gather({path: text, **beside})
    return found.records[0]


VOYAGE, SOUNDING = "2026-04-19 voyage Teal.md", "2026-04-20 sounding bay.md"


def test_every_line_that_became_no_data() -> None:
    """Data lines are left out; all others come in order, without the signs of lists and quotations, at their place."""
    text = (
        "---\ncrew: Una\n---\n- cod 4\n- cold night\n  and wet\nUna steered.\n1. Eel\n2) Tern\n> Bo aboard\n"
        "> - Ben too\n```\n- ling\n```\n    far in\n\n# Sea\n* * *\n"
    )
    assert rest(VOYAGE, text) == [
        ("cold night", 5, 3, "dash"),
        ("and wet", 6, 3, "indented"),
        ("Una steered.", 7, 1, "bare"),
        ("1. Eel", 8, 1, "numbered"),
        ("2) Tern", 9, 1, "numbered"),
        ("Bo aboard", 10, 3, "quoted"),
        ("Ben too", 11, 5, "quoted"),
        ("```", 12, 1, "fenced"),
        ("ling", 13, 3, "fenced"),
        ("```", 14, 1, "fenced"),
        ("far in", 15, 5, "indented"),
        ("# Sea", 17, 1, "bare"),
        ("*", 18, 5, "dash"),
    ]


def test_a_line_that_could_not_be_read() -> None:
    """A data line with a fault is not lost either: it is among what is left."""
    assert rest(VOYAGE, "- cod .4\n- ling 2\n") == [("cod .4", 1, 3, "dash")]


def test_comments_in_a_head() -> None:
    """Words lost behind a value, and lines that were made comments, are left; fields that are only offered are not."""
    text = "---\nboats: Teal # and Eel\npart: mast\n# Tern too\n#Gull\n# days: 3\n---\n"
    assert rest("2026-06-02 repair.md", text) == [
        ("and Eel", 2, 15, "comment"),
        ("Tern too", 4, 3, "comment"),
        ("Gull", 5, 2, "comment"),
    ]


def test_rows_that_gave_nothing() -> None:
    """Of a table that is data the rows that gave none are left, and cells under headings that nobody asked for."""
    text = "| buoy | kg | who |\n|---|---|---|\n| b1 | 2 | Una |\n| b2 | | |\n"
    assert rest(SOUNDING, text) == [("Una", 3, 12, "cell"), ("| b2 | | |", 4, 1, "row")]
    assert rest(SOUNDING, "| buoy | kg |\n|---|---|\n| b1 | 2 |\n") == []


def test_a_table_with_unknown_headings() -> None:
    """A table whose headings say nothing here is left as a whole."""
    text = "| who | what |\n|---|---|\n| Una | tar |\n"
    assert rest(SOUNDING, text) == [
        ("| who | what |", 1, 1, "row"),
        ("|---|---|", 2, 1, "row"),
        ("| Una | tar |", 3, 1, "row"),
    ]


def test_two_columns_with_one_heading() -> None:
    """Where either of two columns could be meant nothing is taken, an error says so, and the rows are left."""
    text = "| buoy | kg | kg |\n|---|---|---|\n| b1 | 2 | 3 |\n"
    found, told = gather({SOUNDING: text})
    assert codes(told) == ["line-unreadable"]
    assert "`kg` stands over two columns" in told[0].message
    assert found.records[0].origin.rest[-1] == Cell("| b1 | 2 | 3 |", 3, 1, "row")


@pytest.mark.parametrize(
    ("table", "left"),
    [
        ("b1,2\nb2,3\n", [("b1 | 2", 1), ("b2 | 3", 2)]),
        ("buoy,kg\nb1,2\nb2,\n", [("b2 |", 3)]),
        ('buoy,kg\nb1,2\nb2,"3\nb3,4\n', [('b2,"3', 3), ("b3,4", 4)]),
        ("buoy,kg,who\nb1,2,Una\n", [("Una", 2)]),
        ("buoy,kg\nb1,2,Una\n", [("b1 | 2 | Una", 2)]),
        ("buoy;kg\nb1;2\nb2,3\n", [("b2,3", 3)]),
        ("buoy,what;kg\nb1,x;2\n", [("buoy,what;kg", 1), ("b1,x;2", 2)]),
        ("\ufeffbuoy;kg\nb1;2\n", []),
        ("", []),
    ],
    ids=[
        "no headings",
        "no weight",
        "an open quotation",
        "a heading of its own",
        "a cell too many",
        "two signs",
        "two signs in the headings",
        "a mark in front",
        "empty",
    ],
)
def test_a_table_beside_the_note(table: str, left: list[tuple[str, int]]) -> None:
    """Rows of a CSV file that gave nothing are told and left, and so is all below a place where it is damaged."""
    found, told = gather({SOUNDING: "", SOUNDING.replace(".md", ".csv"): table})
    cells = found.records[0].origin.rest
    assert any(message.span.path.endswith(".csv") for message in told) or all(cell.sort == "cell" for cell in cells)
    assert [(cell.text.strip(), cell.line) for cell in cells] == left
    assert all(cell.path == SOUNDING.replace(".md", ".csv") for cell in cells)


def test_a_kind_without_data_keeps_the_table_beside_it() -> None:
    """A note whose kind takes no table says so, and the rows are left."""
    found, told = gather({"2026-06-02 repair.md": "---\npart: mast\n---\n", "2026-06-02 repair.csv": "Boat\nTeal\n"})
    assert "table-without-use" in codes(told)
    assert [cell.text for cell in found.records[0].origin.rest] == ["Boat", "Teal"]


def test_the_text_of_broken_fields() -> None:
    """A value that could not be read is absent, but its words are not."""
    found = record("2026-06-02 repair.md", "---\nboats: Teal\npart: mast\ndays: three for Eel\n---\n")
    assert isinstance(found, Repair)
    assert (found.days, dict(found.origin.typed)) == (None, {"days": "three for Eel"})


def test_all_lines_of_a_hole() -> None:
    """Of a note that cannot be used every line is there, head, body and the table beside it."""
    text = "---\nboats: @Teal\n  or Eel\n---\n- Tern\n> Gull\n"
    found, _ = gather({"2026-06-02 repair.md": text, "2026-06-02 repair.csv": "Boat;kg\nSkua;2\n"})
    assert [(cell.text, cell.line, cell.column, cell.sort) for cell in found.holes[0].lines] == [
        ("boats: @Teal", 2, 1, "head"),
        ("or Eel", 3, 3, "head"),
        ("Tern", 5, 3, "dash"),
        ("Gull", 6, 3, "quoted"),
        ("Boat | kg", 1, 1, "row"),
        ("Skua | 2", 2, 1, "row"),
    ]


def continued(lines: list[str], item: Record) -> bool:
    """Whether the next line is set in, and its words stand in the data of the line before it."""
    words = lines[0].strip() if lines and lines[0][:1] in " \t" else ""
    return bool(words) and isinstance(item, Record) and any(words in cell.text for cell in item.origin.data)


@given(st.text(alphabet="-*>|` \n\tab12.#é\u00a0", max_size=80))
@settings(deadline=None)
def test_no_line_is_lost(text: str) -> None:
    """Whatever stands in a body, each of its lines that is not blank is data or is left, and stands at its place."""
    found, _ = gather({SOUNDING: f"x\n{text}"})
    lines = f"x\n{text}".split("\n")
    for item in (*found.records, *found.holes):
        cells = item.origin.rest if isinstance(item, Record) else item.lines
        values = {line.span.line for line in getattr(item, "lines", ()) if not isinstance(line, Cell)}
        heads = {number - 1 for number in range(2, len(lines) + 1) if "|" in lines[number - 1]} if values else set()
        heads |= {number + 1 for number in heads}
        joined = {number + 1 for number in values if continued(lines[number:], item)}
        left = {cell.line for cell in cells} | values | heads | joined
        assert {number for number, line in enumerate(lines, 1) if line.strip()} <= left
        for cell in cells:
            assert lines[cell.line - 1].replace("\u00a0", " ")[cell.column - 1 :].startswith(cell.text)
