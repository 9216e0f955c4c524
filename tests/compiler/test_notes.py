"""A note before its kind is known: which lines may be data, which tables there are, and what is damaged."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.notes import Note, Table, read_csv, read_note
from compiler.source import read_source


def note(text: str) -> Note:
    """A note with this text."""
    return read_note(read_source("a.md", text.encode()))


def dashed(text: str) -> list[tuple[str, int, int]]:
    """Text, line and column of the dash lines."""
    return [(item.cell.text, item.cell.line, item.cell.column) for item in note(text).items if item.dash]


def bare(text: str) -> list[str]:
    """The lines that may be data without a dash."""
    return [item.cell.text for item in note(text).items if not (item.dash or item.inner or item.row)]


def inner(text: str) -> list[tuple[str, int, int]]:
    """Text, line and column of the lines that Markdown takes for code or for a part of a list item."""
    return [(item.cell.text, item.cell.line, item.cell.column) for item in note(text).items if item.inner]


@pytest.mark.parametrize("sign", ["- ", "* ", "+ ", "• ", "– ", "-", "–", "-\t", "-\u00a0"])
def test_dash_lines(sign: str) -> None:
    """A list item at the edge is a dash line; telephones write other signs, and hasty people no blank."""
    text, line, column = dashed(f"---\nx: y\n---\n{sign}cod 4.1 kg\n")[0]
    assert (text, line, column) == ("cod 4.1 kg", 4, len(sign) + 1)


@pytest.mark.parametrize(
    "line", ["---", "--cod", "-", "- ", "1. cod", "> - cod", "    - cod", "`- cod`", "—cod", "->", "# - cod"]
)
def test_no_dash_lines(line: str) -> None:
    """Rules, quotes, code and headings are no dash lines."""
    assert dashed(f"x\n\n{line}\n") == []


def test_lines_inside_an_item() -> None:
    """What is indented below a dash line belongs to it; a dash line in it does not, and is no data of its own."""
    text = "- cod 4.1 kg,\n  thin\n  - slow to bite\n\n  more of it\n- ling 2\n"
    assert dashed(text) == [("cod 4.1 kg, thin", 1, 3), ("ling 2", 6, 3)]
    assert bare(text) == []
    assert inner(text) == [("slow to bite", 3, 5), ("more of it", 5, 3)]


def test_indented_lines_and_lone_rows() -> None:
    """A line far in, and a row that no heading stands above, are kept apart: a kind may know them for data."""
    assert inner("    b4 15\n\tb5 16\n") == [("b4 15", 1, 5), ("b5 16", 2, 2)]
    assert [item.row for item in note("| cod | 4 |\n").items] == [True]
    assert [item.row for item in note("|\n||\n|-|\n").items] == []


def test_indented_lists() -> None:
    """A whole list that is a little indented is still at the edge."""
    assert [text for text, *_ in dashed(" - cod\n - ling\n")] == ["cod", "ling"]


def test_code_is_no_data() -> None:
    """Lines between fences of code are shown as written."""
    assert [text for text, *_ in dashed("```\n- cod\n~~~\n- ling\n```\n- eel\n")] == ["eel"]
    assert dashed("~~~~\n- cod\n~~~\n") == []


def test_bare_lines() -> None:
    """Plain lines may be data where the kind says so; headings, quotes and indented code may not."""
    assert bare("b1 12\n# b2 13\n> b3 14\n    b4 15\n<b>x</b>\nb5 16\n") == ["b1 12", "b5 16"]


def test_tables() -> None:
    """A table of GitHub Flavored Markdown (section 4.10), with the place of every cell."""
    found = note("---\nx: y\n---\nwords\n\n| Buoy | kg |\n|:--|--:|\n| b1 | 12 |\n|b2|13|\n\n- cod\n").tables
    assert len(found) == 1
    assert found[0].header == ("buoy", "kg")
    assert [[cell.text for cell in row] for row in found[0].rows] == [["b1", "12"], ["b2", "13"]]
    assert [(cell.line, cell.column) for cell in found[0].rows[0]] == [(8, 3), (8, 8)]
    assert [(cell.line, cell.column) for cell in found[0].rows[1]] == [(9, 2), (9, 5)]
    assert (found[0].first, found[0].last, found[0].line) == (2, 5, 6)


def test_tables_without_outer_bars() -> None:
    """Outer bars may be left out, a bar in a cell is written `\\|`, and cells may be empty (GFM 4.10)."""
    found = note("buoy | kg | note\n--- | --- | ---\nb1 | 12 |\nb2 | 13 | a \\| b\n").tables[0]
    assert [[cell.text for cell in row] for row in found.rows] == [["b1", "12"], ["b2", "13", "a | b"]]


@pytest.mark.parametrize("text", ["| a | b |\n", "a | b\nc | d\n", "| a | b |\n|---|\n| c |\n", "a\n---\n"])
def test_no_tables(text: str) -> None:
    """Without a line of dashes, one for each heading, there is no table (GFM 4.10)."""
    assert note(text).tables == ()


def test_several_tables() -> None:
    """All tables of a body are known, not only the first."""
    table = "| buoy | kg |\n|---|---|\n| b1 | 12 |\n"
    assert len(note(f"{table}\nwords\n\n{table}").tables) == 2


def csv(data: bytes) -> Table:
    """A CSV file as a table."""
    return read_csv(read_source("a.csv", data))


@pytest.mark.parametrize(
    "data",
    [b"Buoy,kg\r\nb1,12\r\n", b"buoy;kg\nb1;12\n", b"buoy\tkg\nb1\t12", b'\xef\xbb\xbf"buoy","kg"\n"b1","12"\n\n'],
)
def test_csv(data: bytes) -> None:
    """Comma-separated values (RFC 4180), as other spreadsheets write them too."""
    found = csv(data)
    assert found.header == ("buoy", "kg")
    assert [[cell.text for cell in row] for row in found.rows] == [["b1", "12"]]
    assert found.rows[0][0].line == 2
    assert found.told == ()


def test_csv_quotes() -> None:
    """Quoted cells may hold separators, doubled quotes and line ends (RFC 4180, section 2, rules 5 to 7)."""
    found = csv(b'buoy,note\nb1,"a, ""b""\nc"\nb2,d\n')
    assert [cell.text for cell in found.rows[0]] == ["b1", 'a, "b"\nc']
    assert [row[0].line for row in found.rows] == [2, 4]


@pytest.mark.parametrize(
    ("data", "line"),
    [(b'buoy,kg\nb1,"12\nb2,13\n', 2), (b'buoy,kg\nb1,12\n"b2" x,13\n', 3), (b"buoy,kg\n" + b"x" * 200_000, 2)],
)
def test_csv_damage(data: bytes, line: int) -> None:
    """A quotation that never closes must not swallow the rows below it without a word."""
    found = csv(data)
    assert [(item.name, item.span.line) for item in found.told] == [("table-unreadable", line)]


def test_bytes() -> None:
    """Damaged bytes are an error at their place."""
    found = read_note(read_source("a.md", b"---\nx: y\n---\nf\xe4nce\n"))
    assert [(item.name, item.span.line, item.span.column) for item in found.told] == [("bytes-unreadable", 4, 2)]
    assert not found.sound


def test_conflict_markers() -> None:
    """Git's marks are an error that names their lines."""
    found = note("---\nx: y\n<<<<<<< ours\na: 2\n||||||| base\n=======\na: 3\n>>>>>>> theirs\n---\n")
    assert found.told[0].name == "two-versions"
    assert "lines 3, 5, 6, 8" in found.told[0].message
    assert [span.line for span in found.told[0].also] == [5, 6, 8]
    assert csv(b"buoy,kg\n<<<<<<< ours\n").told[0].name == "two-versions"


def test_a_heading_is_no_conflict() -> None:
    """A line of equals signs below a heading is Markdown."""
    assert note("Heading\n=======\n").told == ()


@pytest.mark.parametrize(("text", "empty"), [("", True), (" \n\u00a0\n", True), ("x", False), ("---\n---\n", False)])
def test_empty(text: str, empty: bool) -> None:
    """A note with neither head nor words is empty."""
    assert note(text).empty is empty


@given(st.text(alphabet="-*|` \n#abc12>,.", max_size=120))
def test_every_line_is_in_one_item_at_most(text: str) -> None:
    """Items and tables cover lines of the body in order and never overlap, and each text stands at its place."""
    found = note(f"x\n{text}")
    covered = [line for part in found.items for line in range(part.first, part.last + 1)]
    covered += [line for part in found.tables for line in range(part.first, part.last + 1)]
    assert len(covered) == len(set(covered))
    assert all(0 <= line < len(found.body) for line in covered)
    lines = found.text.split("\n")
    for item in found.items:
        first = lines[item.cell.line - 1][item.cell.column - 1 :].rstrip()
        assert item.cell.text.startswith(first)
