"""File names: date, time, kind and subject, however their words are joined; and near misses of words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.names import KindWords, Name, read_name
from compiler.nearness import clipped, did_you_mean, distance, listing, near, plain
from tests.toybook import KINDS

WORDS = KindWords(KINDS)


def name(path: str) -> Name:
    """The parts of a file name among boats."""
    return read_name(path, WORDS)


@pytest.mark.parametrize(
    "file",
    [
        "2026-04-19 0340 voyage Teal.md",
        "2026-04-19_0340_voyage_Teal.md",
        "2026-04-19-0340-voyage-Teal.md",
        "2026-4-19 03.40 Voyage Teal.txt",
        "2026-04-19 3h40 sailed Teal.markdown",
        "2026-04-19 0340 put to sea Teal.md",
        "2026-04-19_0340_put_to_sea_Teal.md",
    ],
)
def test_parts(file: str) -> None:
    """Blanks, hyphens and underscores separate; kinds have other words too, some of several words."""
    found = name(f"log/2026/{file}")
    assert (found.date, found.time, found.kind, found.subject) == ("2026-04-19", "03:40", "voyage", "Teal")
    assert found.dated


@pytest.mark.parametrize(
    ("file", "kind", "subject"),
    [
        ("2026-04-19 voyage.md", "voyage", ""),
        ("2026-04-19 voyage 738-742.md", "voyage", "738-742"),
        ("2026-04-19_voyage_B-12_Teal.md", "voyage", "B-12 Teal"),
        ("2026-04-19-repair-old-mast.md", "repair", "old mast"),
        ("2026-04-19 repair old_mast - new.md", "repair", "old_mast - new"),
        ("2026-04-19 voyages Teal.md", "", "voyages Teal"),
        ("2026-04-19 Teal.md", "", "Teal"),
        ("2026-04-19.md", "", ""),
        ("2026-04-19 boat B12 Teal.md", "boat", "B12 Teal"),
    ],
)
def test_kind_and_subject(file: str, kind: str, subject: str) -> None:
    """The kind is a whole word; a hyphen in a name with blanks belongs to its word."""
    found = name(file)
    assert (found.date, found.time, found.kind, found.subject) == ("2026-04-19", "", kind, subject)


@pytest.mark.parametrize(
    ("file", "kind", "subject"),
    [
        ("boat B12 Teal.md", "boat", "B12 Teal"),
        ("B12 Teal.md", "", "B12 Teal"),
        ("README.md", "", "README"),
        ("voyage.md", "", "voyage"),
    ],
)
def test_undated(file: str, kind: str, subject: str) -> None:
    """A name without a date is a thing's own name, behind the word for its kind or not; events have dates."""
    found = name(file)
    assert (found.dated, found.kind, found.subject) == (False, kind, subject)


@pytest.mark.parametrize(
    "file",
    [
        "2026-04-19 voyage Teal (1).md",
        "2026-04-19 voyage Teal copy.md",
        "2026-04-19 voyage Teal - Copy.md",
        "2026-04-19 voyage Teal copy 2.md",
        "2026-04-19 voyage Teal - Copy (2).md",
        "2026-04-19 voyage Teal (Una's conflicted copy 2026-04-20).md",
        "2026-04-19 voyage Teal conflicted copy.md",
        "2026-04-19 voyage Teal.sync-conflict-20260420-101010-ABCDEFG.md",
    ],
)
def test_copies(file: str) -> None:
    """What telephones, shared folders and desktops add to a copy's name is no part of its subject."""
    found = name(f"a.copy.md/{file}")
    assert (found.subject, found.copy_of) == ("Teal", "a.copy.md/2026-04-19 voyage Teal.md")


@pytest.mark.parametrize("file", ["2026-04-19 voyage Teal.md", "copy.md", "2026-04-19 voyage photocopy.md"])
def test_no_copies(file: str) -> None:
    """A word that only ends in `copy`, or is the whole name, is no sign of one."""
    assert name(file).copy_of == ""


@given(st.text(max_size=60))
def test_any_name(text: str) -> None:
    """Whatever a file is called, its name has parts."""
    found = name(f"x/{text}.md")
    assert found.dated == bool(found.date)


@pytest.mark.parametrize(
    ("one", "other", "steps"),
    [
        ("same", "same", 0), ("Brambel", "Bramble", 1), ("bat", "cat", 1), ("at", "cat", 1), ("cats", "cat", 1),
        ("abcd", "badc", 2),
        ("ca", "abc", 3), ("", "ab", 2), ("kitten", "sitting", 3),
    ],
)  # fmt: skip
def test_distance(one: str, other: str, steps: int) -> None:
    """Edits and swaps, no letter touched twice.

    `ca` → `abc` is 3, where the distance that may touch a letter again gives 2; `kitten` → `sitting` is 3, the usual
    example of Levenshtein's distance. Both from memory.
    """
    assert distance(one, other, 3) == steps
    assert distance(one, other, 1) == min(steps, 2)


def slow_distance(one: str, other: str) -> int:
    """The same by its definition, over the whole table."""
    table = {(i, j): i + j for i in range(len(one) + 1) for j in range(len(other) + 1) if not i * j}
    for i in range(1, len(one) + 1):
        for j in range(1, len(other) + 1):
            steps = [table[i - 1, j] + 1, table[i, j - 1] + 1, table[i - 1, j - 1] + (one[i - 1] != other[j - 1])]
            if i > 1 and j > 1 and one[i - 2 : i] == other[j - 2 : j][::-1]:
                steps.append(table[i - 2, j - 2] + 1)
            table[i, j] = min(steps)
    return table[len(one), len(other)]


@given(st.text("abc", max_size=8), st.text("abc", max_size=8), st.integers(1, 3))
def test_short_cuts_change_nothing(one: str, other: str, most: int) -> None:
    """The quick way agrees with the definition."""
    assert distance(one, other, most) == min(slow_distance(one, other), most + 1)


def test_near_words() -> None:
    """At most three words a slip away, nearest first, whatever their case."""
    assert near("teel", ["Teal", "Tell", "Keel", "Feel", "Boat"]) == ("Teal", "Tell", "Keel")
    assert near("tael", ["Boat", "Teal"]) == ("Teal",)
    assert near("x" * 5000, ["y" * 5000]) == ()
    assert did_you_mean("tael", ["Teal"]) == "did you mean `Teal`? "
    assert did_you_mean("zzz", ["Teal"]) == ""
    assert listing(("a", "b", "c")) == "`a`, `b` or `c`"


def test_names_as_they_are_looked_up() -> None:
    """Case, hyphens and underscores do not count."""
    assert plain(" Post-Mortem ") == plain("post_mortem") == plain("post  mortem") == "post mortem"
    assert clipped("a\n b " + "x" * 80) == "a b " + "x" * 35 + "…"
