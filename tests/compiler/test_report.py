"""Messages as text: the same message for people, editors, programs and a forge."""

from __future__ import annotations

import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler import report
from compiler.diagnostics import Diagnostic, Grade, Rule, settled
from compiler.source import Span

RULE = Rule("L201", "unknown-sheep", Grade.ERROR, "why", "sheep: Brambel")
NOTE = "---\nnote: treatment\nsheep: Brambel\n---\n"
PATH = "events/2026/2026-06-02 treatment foot.md"
UNKNOWN = RULE.at(
    Span(PATH, 3, 8, 7),
    "no living sheep called `Brambel` on 2 Jun 2026",
    "did you mean `Bramble` (C214)?",
    "nobody in this note is shown as clear to sell",
    (Span("sheep/C214 Bramble.md", 2, 1),),
)
LATE = Rule("G100", "late", Grade.GAP, "why", "x").at(Span("a.md"), "no date")


def line_of(span: Span) -> str:
    """The line of the one note that there is."""
    return NOTE.splitlines()[span.line - 1] if span.path == PATH else ""


def test_full() -> None:
    """A person sees place, line, caret, help, what the book did meanwhile, and the other place."""
    assert report.full([UNKNOWN], line_of, colour=False) == (
        "events/2026/2026-06-02 treatment foot.md:3:8: error[L201]: no living sheep called `Brambel` on 2 Jun 2026\n"
        "    3 | sheep: Brambel\n"
        "      |        ^^^^^^^\n"
        "    help: did you mean `Bramble` (C214)?\n"
        "    meanwhile: nobody in this note is shown as clear to sell\n"
        "    also: sheep/C214 Bramble.md:2:1\n"
    )


def test_colour_is_only_when_asked() -> None:
    """Without colour no escape is written; with it the words are the same."""
    plain, coloured = (report.full([UNKNOWN, LATE], line_of, colour) for colour in (False, True))
    assert "\x1b" not in plain
    assert "\x1b[1;31merror[L201]\x1b[0m" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain


def test_short_is_read_by_editors() -> None:
    """One line a message, in the form `path:line:col: grade[code]: message` that editors jump from, in stable order."""
    assert report.short([UNKNOWN, LATE, UNKNOWN]) == (
        f"a.md:1:1: gap[G100]: no date\n{PATH}:3:8: error[L201]: no living sheep called `Brambel` on 2 Jun 2026\n"
    )


def test_json_holds_everything() -> None:
    """A program can read back every part of every message."""
    first, second = json.loads(report.as_json([UNKNOWN, LATE]))
    assert first["code"] == "G100"
    assert second["also"] == [{"path": "sheep/C214 Bramble.md", "line": 2, "column": 1, "length": 0}]
    assert (second["path"], second["line"], second["column"], second["length"]) == (PATH, 3, 8, 7)
    assert (second["grade"], second["help"]) == ("error", UNKNOWN.help)
    assert json.loads(report.as_json([])) == []


def test_github_annotations() -> None:
    """Commands in the published form, with its escapes: %25 %0A %0D, and in properties %3A %2C.

    Source: GitHub documentation, "Workflow commands for GitHub Actions", from memory.
    """
    odd = Rule("W1", "x", Grade.ASK, "why", "x").at(Span("a,b:c.md", 2, 3), "100 %\nis much")
    assert report.github([odd]) == ("::warning file=a%2Cb%3Ac.md,line=2,col=3,title=ask W1::100 %25%0Ais much\n")
    assert report.github([UNKNOWN]).startswith(f"::error file={PATH},line=3,col=8,endColumn=15,title=error L201::no ")
    assert "%0Ahelp: did you mean" in report.github([UNKNOWN])


@given(st.text(), st.text(), st.integers(1, 300), st.integers(0, 300))
def test_no_text_steers_the_terminal(message: str, line: str, column: int, length: int) -> None:
    """Whatever a note holds, no control character of its reaches the terminal, and a message stays one message."""
    told = Diagnostic("A1", "a", Grade.ERROR, message, Span("p\x1b[2J.md", 1, column, length), help=message)
    text = report.full([told], lambda _: line, False)
    assert all(character >= " " or character == "\n" for character in text)
    assert "\u202e" not in text
    assert text.count("\n") <= 4
    assert report.short([told]).count("\n") == 1
    assert report.github([told]).count("\n") == 1


@pytest.mark.parametrize(
    ("line", "column", "length", "shown"),
    [
        ("dose: 2 mll", 7, 5, ["    1 | dose: 2 mll", "      |       ^^^^^"]),
        ("é́ 羊: x", 7, 1, ["    1 | é́ 羊: x", "      |       ^"]),
        ("a\tb", 3, 1, ["    1 | a␉b", "      |   ^"]),
        ("ab", 3, 0, ["    1 | ab", "      |   ^"]),
        ("x" * 300, 201, 2, [f"    1 | …{'x' * 100}…", f"      | {' ' * 51}^^"]),
        ("x" * 300, 1, 1, [f"    1 | {'x' * 100}…", "      | ^"]),
        ("ab", 9, 1, []),
        ("", 1, 1, []),
    ],
)
def test_caret_stands_under_the_place(line: str, column: int, length: int, shown: list[str]) -> None:
    """Wide characters, combining marks, tabs and very long lines do not move the caret."""
    told = RULE.at(Span("a.md", 1, column, length), "m")
    assert report.full([told], lambda _: line, False).splitlines()[1:] == shown


def test_summary() -> None:
    """One line says how many of each grade, most grave first."""
    assert report.summary([UNKNOWN, UNKNOWN, LATE, LATE.graded(Grade.ASK)], 61) == "1 error, 1 ask, 1 gap in 61 files"
    other = RULE.at(Span("b.md"), "m")
    assert report.summary([UNKNOWN, other], 1) == "2 errors in 1 file"
    assert report.summary([], 12) == "no problems in 12 files"


@given(st.permutations([UNKNOWN, LATE, RULE.at(Span("a.md", 9), "z"), RULE.at(Span("a.md", 10), "a")]))
def test_order_never_depends_on_the_order_of_work(told: list[Diagnostic]) -> None:
    """However the messages came up, they are told in order of place, and lines count as numbers."""
    assert [(message.span.path, message.span.line) for message in settled(told)] == [
        ("a.md", 1),
        ("a.md", 9),
        ("a.md", 10),
        (PATH, 3),
    ]
