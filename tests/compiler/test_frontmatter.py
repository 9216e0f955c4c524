"""The head of a note: text and places, and plain words for whatever YAML cannot read."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from compiler.frontmatter import Front, Mapping, Node, Scalar, Sequence, read_front
from compiler.source import read_source


def front(text: str) -> Front:
    """The head of a note with this text."""
    return read_front(read_source("a.md", text.encode()))


def head(lines: str) -> Front:
    """A head with these lines between its fences."""
    return front(f"---\n{lines}\n---\n")


def texts(node: Node | None) -> object:
    """A head as plain dicts, lists and text."""
    if isinstance(node, Mapping):
        return {entry.key.text: texts(entry.value) for entry in node.entries}
    if isinstance(node, Sequence):
        return [texts(item) for item in node.items]
    return node.text if node else None


def told(found: Front) -> list[tuple[str, int, int]]:
    """Rule, line and column of everything said about a head."""
    return [(item.name, item.span.line, item.span.column) for item in found.told]


# Each of these changes its value, or vanishes, in the readers measured for this project
# (PyYAML 6.0.4 `safe_load`, YAML 1.1; ruamel.yaml 0.19.1, YAML 1.2). Here each stays what was typed.
AS_TYPED = (
    "0412", "1_204", "1E09", "0x1F", "3:40", "23:10", "03:40", "0089", "1:10", "NO", "no", "On", "Null", "~",
    "4.10", "9,5",
    "1,204", "2027-3-4", "14/03/2027", "2027-02-30", "2027-04-19", "yes", "true", ".inf", "=", "0o17", "1e3",
    "+12", "<",
)  # fmt: skip


@pytest.mark.parametrize("typed", AS_TYPED)
def test_every_value_stays_text(typed: str) -> None:
    """A value is the text that was typed; the field decides what it means."""
    found = head(f"tag: {typed}")
    assert texts(found.fields) == {"tag": typed}
    assert found.told == ()


def test_lists_stay_text() -> None:
    """`[14, 22, 031]` is three texts; YAML 1.1 makes the last one 25."""
    assert texts(head("crew: [14, 22, 031]").fields) == {"crew": ["14", "22", "031"]}
    assert texts(head("crew:\n- 14\n- 031").fields) == {"crew": ["14", "031"]}


@pytest.mark.parametrize("key", ["on", "no", "y", "true", "null", "~", "12"])
def test_keys_stay_text(key: str) -> None:
    """`on:` and `no:` are names of fields, not truth values."""
    assert texts(head(f"{key}: x").fields) == {key: "x"}


def test_places() -> None:
    """Each name and value has its line and column in the file, and the body begins after the second fence."""
    found = front('\n---\ntag: 731\nname:   "Marigold"\nowners:\n  - Una\n---\nbody\n')
    assert found.fields is not None
    entries = found.fields.entries
    assert [(e.key.line, e.key.column) for e in entries] == [(3, 1), (4, 1), (5, 1)]
    assert isinstance(entries[0].value, Scalar)
    assert (entries[0].value.line, entries[0].value.column) == (3, 6)
    assert isinstance(entries[1].value, Scalar)
    assert (entries[1].value.line, entries[1].value.column) == (4, 10)
    assert isinstance(entries[2].value, Sequence)
    assert (entries[2].value.items[0].line, entries[2].value.items[0].column) == (6, 5)
    assert found.body_line == 8


@pytest.mark.parametrize("fence", ["---", "----", "--- ", "—", "––", "—-", "-–", "***", "- - -", "\u00a0---"])
def test_fences(fence: str) -> None:
    """Telephones turn three dashes into something else: these are fences all the same."""
    found = front(f"{fence}\nname: Marigold\n{fence}\nbody\n")
    assert texts(found.fields) == {"name": "Marigold"}
    assert (found.body_line, found.fenced, found.told) == (4, True, ())


@pytest.mark.parametrize("text", ["", "\n\n", "just words\n---\n", "- cod 4\n", "# heading\n", "--\nname: x\n--\n"])
def test_no_fence(text: str) -> None:
    """A file that does not begin with a fence has no head."""
    found = front(text)
    assert (found.fields, found.fenced, found.body_line) == (None, False, 1)


def test_unclosed_fence() -> None:
    """A head without an end may have been cut off: it is an error, and what it says can still be seen."""
    found = front("---\nname: Marigold\nowners: Una")
    assert told(found) == [("fence-left-open", 1, 1)]
    assert not found.sound


def test_empty_head() -> None:
    """Nothing between two fences is a head with no fields."""
    assert texts(front("---\n---\n").fields) == {}
    assert texts(front("---\n# only a comment\n---\n").fields) == {}


def test_field_twice() -> None:
    """A field written twice, in whatever case, is an error that shows both lines; neither value is used."""
    found = head("dam: A\nname: x\nDam: B")
    assert told(found) == [("field-twice", 4, 1)]
    assert [(span.line, span.column) for span in found.told[0].also] == [(2, 1)]
    assert texts(found.fields) == {"name": "x"}


def test_field_thrice() -> None:
    """Neither does the third one count."""
    found = head("dam: A\ndam: B\nDAM: C")
    assert texts(found.fields) == {}
    assert [item.name for item in found.told] == ["field-twice", "field-twice"]


@pytest.mark.parametrize("typed", ["&bess", "&b Bess", "*bess", "!x Bess", "!!str Bess", "! Bess", "!!binary aGk="])
def test_anchors_aliases_and_tags_are_refused(typed: str) -> None:
    """`ewe: &bess` reads as nothing at all in both readers: here it is an error at the sign."""
    found = head(f"ewe: x\nname: {typed}")
    assert told(found) == [("sign-not-allowed", 3, 7)]
    assert "quotes" in found.told[0].help


@pytest.mark.parametrize(
    "lines", ["<<: {a: b}", "a: &x {b: c}\nd:\n  <<: *x", "&a b: c", "? !t b\n: c", "a: [x, &y z]", "a: &q [b]"]
)
def test_signs_are_refused_anywhere(lines: str) -> None:
    """Merge keys, and signs on names, in lists and on groups, are refused too."""
    assert [name for name, *_ in told(head(lines))] == ["sign-not-allowed"]


@pytest.mark.parametrize(
    ("line", "column", "words"),
    [
        ("note: twins #2 weak", 13, "#2 weak"),
        ("note: # all of it", 7, "# all of it"),
        ('note: "twins" # weak', 15, "# weak"),
        ("note: [a, b] # c", 14, "# c"),
        ("note: |  # c\n  text", 10, "# c"),
    ],
)
def test_words_lost(line: str, column: int, words: str) -> None:
    """`twins #2 weak` reads as `twins` in every YAML reader: the lost words are shown."""
    found = head(line)
    assert told(found) == [("words-after-hash", 2, column)]
    assert words in found.told[0].message
    assert found.sound


def test_words_lost_below_a_value() -> None:
    """A value that runs on to a line which begins with `#` loses that line too."""
    assert told(head("note: twins\n  #2 weak"))[0][:2] == ("words-after-hash", 3)


@pytest.mark.parametrize(
    "line",
    [
        "# a comment\nname: x",
        'name: "a # b"',
        "name: a#b",
        "name: x\n# note: y",
        "name: |\n  # kept",
        "a:\n  - b\n  # - c",
        "a:\n  # two\n  - b",
    ],
)
def test_no_words_lost(line: str) -> None:
    """A line that is all comment loses nothing that was meant as a value, nor does `#` inside a word or quotes."""
    assert told(head(line)) == []


# Lines that stop a YAML reader with words that a tired person cannot use: here with the line, and what to type.
STOPPERS = (
    ("note: @vet came", 3, 7, "quotes"),
    ("note: % dag", 3, 7, "quotes"),
    ("note: `tick`", 3, 7, "quotes"),
    ("note: - straight off", 3, 7, "quotes"),
    ("note: >3 days", 3, 7, "quotes"),
    ("note: |3 days", 3, 7, "quotes"),
    ("note: [dull", 3, 7, "quotes"),
    ("note: {dull", 3, 7, "quotes"),
    ("note: ] dull", 3, 7, "quotes"),
    ("note: , dull", 3, 7, "quotes"),
    ('note: "dull" and off feed', 3, 7, "quotes"),
    ("note: 'dull and off feed", 3, 7, "quotes"),
    ("note: ewe 14: twins", 3, 13, "quotes"),
    ("\tnote: x", 3, 1, "tab"),
    ("note:x", 3, 1, "note: x"),
    ("just words", 3, 1, "body"),
)


@pytest.mark.parametrize(("line", "number", "column", "cure"), STOPPERS)
@pytest.mark.parametrize("after", ["", "\nmore: x", "\nmore: x\nlast: y\n"])
def test_errors_in_plain_words(line: str, number: int, column: int, cure: str, after: str) -> None:
    """A line that YAML cannot read is named, with the likely cure, and not in the words of a YAML reader."""
    found = head(f"first: a\n{line}{after}")
    assert [item[0] for item in told(found)] == ["head-unreadable"]
    problem = found.told[0]
    assert (problem.span.line, problem.span.column) == (number, column)
    assert cure in problem.help or cure in problem.message
    assert "scalar" not in problem.message
    assert "mapping" not in problem.message
    assert not found.sound


@pytest.mark.parametrize(("line", "number", "column", "cure"), [row for row in STOPPERS if row[0] != "just words"])
def test_errors_on_the_first_line(line: str, number: int, column: int, cure: str) -> None:
    """The same when the line is the head's first and only one."""
    found = head(line)
    assert (found.told[0].span.line, found.told[0].span.column) == (number - 1, column)
    assert cure in found.told[0].help or cure in found.told[0].message


def test_line_in_the_wrong_place() -> None:
    """A data line that slid into the head is told to move to the body."""
    found = head("name: x\n- ram 4.6 kg")
    assert told(found)[0][:2] == ("head-unreadable", 3)
    assert "body" in found.told[0].help


def test_document_signs() -> None:
    """YAML's own signs for documents are no fields."""
    assert not head("a: b\n...\nc: d").sound
    assert not head("%YAML 1.1\na: b").sound


def test_colon_inside_a_list_item() -> None:
    """`- ram 4.6 kg, assisted: leg back` becomes a group of fields in every YAML reader; its place stays known."""
    fields = head("lambs:\n- ram 4.6 kg, assisted: leg back").fields
    assert fields is not None
    value = fields.entries[0].value
    assert isinstance(value, Sequence)
    assert isinstance(value.items[0], Mapping)
    assert (value.items[0].line, value.items[0].column) == (3, 3)


@pytest.mark.parametrize(
    ("typed", "read", "column"),
    [
        ("“Bess”", "Bess", 8),
        ("‘Bess’", "Bess", 8),
        ("„Bess“", "Bess", 8),
        ("“Bess: twins”", "Bess: twins", 8),
        ("“a” and “b”", "“a” and “b”", 7),
    ],
)
def test_curly_quotes(typed: str, read: str, column: int) -> None:
    """A telephone's curly quotes around a value are quotes; inside a value they are words."""
    found = head(f"name: {typed}")
    assert found.fields is not None
    value = found.fields.entries[0].value
    assert isinstance(value, Scalar)
    assert (value.text, value.column) == (read, column)
    assert found.told == ()


def test_apostrophe_is_no_quote() -> None:
    """`Bramble’s lamb` has an apostrophe and no quotation in it."""
    assert texts(head("name: Bramble’s ‘best’ lamb’").fields) == {"name": "Bramble’s ‘best’ lamb’"}


def test_other_blanks() -> None:
    """A non-breaking space, as telephones set it, is a blank."""
    assert texts(head("name:\u00a0Bess\u00a0Two\nold\u202fname: x").fields) == {"name": "Bess Two", "old name": "x"}


@pytest.mark.parametrize(
    "lines",
    [
        "a: " + "[" * 50_000,
        "a: " + "{" * 50_000,
        "a: " + "[{" * 50_000,
        "- " * 20_000 + "x",
        "? " * 20_000 + "x",
        "a: " + "- " * 20_000,
        "\n".join(" " * depth + "a:" for depth in range(200)),
        "a: [" + "x, " * 40_000 + "]",
        "a: " + "x" * 1_000_000,
        "\n".join(f"k{n}: v" for n in range(20_000)),
    ],
    ids=[
        "brackets",
        "braces",
        "both",
        "dashes",
        "questions",
        "dashes-behind",
        "indents",
        "long-list",
        "megabyte",
        "fields",
    ],
)
def test_too_much(lines: str) -> None:
    """What no person writes is refused, fast, and nothing escapes the YAML library."""
    found = head(lines)
    assert not found.sound
    assert found.told


def test_bomb() -> None:
    """A few lines that would expand to 9⁹ leaves (“billion laughs”) are refused at their first sign."""
    bomb = "a: &a [x,x,x,x,x,x,x,x,x]\n" + "\n".join(
        f"{chr(98 + n)}: &{chr(98 + n)} [{','.join('*' + chr(97 + n) for _ in range(9))}]" for n in range(9)
    )
    assert told(head(bomb)) == [("sign-not-allowed", 2, 4)]


@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    """No text makes the reader raise, and every place that it names lies in the file."""
    data = f"---\n{text}\n---\n".encode("utf-8", "replace")
    source = read_source("a.md", data)
    found = read_front(source)
    lines = source.text.split("\n")
    for item in found.told:
        assert 1 <= item.span.line <= len(lines)
        assert 1 <= item.span.column <= len(lines[item.span.line - 1]) + 1


WORDS = (
    st.text(alphabet="abcXYZ019 .,-/()'’é", min_size=1, max_size=20)
    .map(str.strip)
    .filter(lambda word: word and word[0].isalnum())
)


@given(st.dictionaries(st.text(alphabet="abcdefgh", min_size=1, max_size=6), WORDS, min_size=1, max_size=6))
def test_plain_fields_agree_with_a_yaml_reader(fields: dict[str, str]) -> None:
    """For plain `field: value` lines PyYAML's text-only loader (`BaseLoader`) reads the same, by an independent way."""
    text = "\n".join(f"{name}: {value}" for name, value in fields.items())
    found = head(text)
    assert found.told == ()
    assert texts(found.fields) == yaml.load(text, Loader=yaml.BaseLoader)  # it makes nothing but text


@given(st.dictionaries(st.text(alphabet="abcdefgh", min_size=1, max_size=6), WORDS, min_size=1, max_size=6))
def test_places_hold_the_text(fields: dict[str, str]) -> None:
    """What stands in the file at a value's place is the value."""
    text = "---\n" + "\n".join(f"{name}:  {value}" for name, value in fields.items()) + "\n---\n"
    found = front(text)
    lines = text.split("\n")
    assert found.fields is not None
    for entry in found.fields.entries:
        assert isinstance(entry.value, Scalar)
        assert lines[entry.value.line - 1][entry.value.column - 1 :] == entry.value.text
