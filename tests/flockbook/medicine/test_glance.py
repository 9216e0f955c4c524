"""A quick look says of every text what the patterns themselves say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.whom import dosing_words, told_moves
from flockbook.whom.glance import Glance, needles
from flockbook.whom.measures import DOSE

ROOT = Path(__file__).parents[3]
PATTERNS = {
    **{name: thing for name, thing in vars(dosing_words).items() if isinstance(thing, re.Pattern)},
    **{name: thing for name, thing in vars(told_moves).items() if isinstance(thing, re.Pattern)},
    "DOSE": DOSE,
}


def lines() -> list[str]:
    """Every line of the demo's notes and of the tests, where doses are told in a thousand ways."""
    files = [*(ROOT / "site_demo").rglob("*.md"), *(ROOT / "tests" / "truth").rglob("*.py"), ROOT / "README.md"]
    return [line for file in files for line in file.read_text("utf-8", "replace").splitlines()]


LINES = lines()


@pytest.mark.parametrize("name", PATTERNS)
def test_a_glance_sees_what_a_pattern_finds(name: str) -> None:
    """On every line, and the line in capitals, the answer is that of the whole pattern."""
    pattern, glance = PATTERNS[name], Glance(PATTERNS[name])
    told = [*LINES, *(line.upper() for line in LINES[::5])]
    assert [line for line in told if glance(line) != (pattern.search(line) is not None)] == []


@given(st.text("abdejnoswtr 12ml,.éſKı", max_size=30), st.sampled_from(sorted(PATTERNS)))
def test_any_letters(text: str, name: str) -> None:
    """Letters of which several forms count as one (a long s, a sign for kelvin) are looked at in full."""
    assert Glance(PATTERNS[name])(text) == (PATTERNS[name].search(text) is not None)


@pytest.mark.parametrize(
    ("way", "found"),
    [
        (r"\bdosed\b", {"dosed"}),
        (r"(?:re-?)?dosed", {"dosed"}),
        (r"(?:jab|drench)(?:ed)?", {"jab", "drench"}),
        (r"gave|given", {"gave", "given"}),
        (r"\d+ ?ml", {"ml"}),
        (r"\d+ ?m", None),
        (r"(?:dosed)*", None),
        (r"(?!dosed)\w+", None),
        (r"dosed|\d", None),
        (r"put (?:in|out) with", {"put "}),
        (r"jabs?\.", {"jab"}),
        (r"(?<!of )course(?! by)", {"course"}),
        (r"[dD]osed{0,2}", {"ose"}),
    ],
)
def test_what_is_certain(way: str, found: set[str] | None) -> None:
    """Letters are certain only where every way through the pattern has them."""
    assert needles(way) == found
