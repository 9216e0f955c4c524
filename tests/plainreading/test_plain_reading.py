"""The program agrees with the plain reading of the rules on invented flocks."""

from __future__ import annotations

import re
import sys
from datetime import datetime
from pathlib import Path

import pytest

from tests.plainreading.comparing import differences, example, read_by_program
from tests.plainreading.generator import made
from tests.plainreading.reading import State, standings

FLOCKS = range(300)
EWES = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n",
    "sheep/C230 Teasel.md": "---\nnote: ewe\nborn: 2021\nmob: low\n---\n",
    "medicines/pen.md": "---\nnote: medicine\nname: pen\nmeat withdrawal: 28 days\nmilk withdrawal: 72 h\n---\n",
}


def test_the_program_reads_as_the_rules_are_written() -> None:
    """V1 to V14 and W1 to W12: state and time of every animal, in three hundred flocks (more: `python -m
    tests.plainreading 5000`).
    """
    differing = [seed for seed in FLOCKS if differences(*made(seed))]
    assert differing == [], "\n".join(example(seed) for seed in differing[:3])


@pytest.mark.parametrize("module", ["paper", "flock", "whom", "until", "reading", "generator"])
def test_the_plain_reading_has_not_a_line_of_the_program(module: str) -> None:
    """It could not be a second opinion if it asked the first."""
    text = (Path(__file__).parent / f"{module}.py").read_text(encoding="utf-8")
    imported = re.findall(r"^(?:from|import) ([\w.]+)", text, re.M)
    mine = [name for name in imported if name.startswith("tests.")]
    assert all(name.startswith("tests.plainreading.") for name in mine)
    assert {name.split(".")[0] for name in imported} - {"tests", "__future__"} <= sys.stdlib_module_names


def test_the_flocks_hold_what_they_are_made_for() -> None:
    """Among them every state is common, for meat and for milk, and many doses have a time."""
    rows = [row for seed in FLOCKS for row in standings(*made(seed)).values()]
    for state in ("clear", "held", "unknown"):
        assert sum(row.meat.state == state for row in rows) > 100
        assert sum(row.milk.state == state for row in rows) > 40
    assert sum("T" in (row.meat.until or "") for row in rows) > 50
    assert sum(bool(row.sucks) for row in rows) > 50


@pytest.mark.parametrize(
    ("head", "bramble", "teasel"),
    [
        ("sheep: C214", ("held", "2026-07-01"), ("clear", None)),
        ("mob: low\ntime: 10:00", ("clear", None), ("held", "2026-06-30T10:00")),
        ("sheep: Zebedee", ("unknown", None), ("unknown", None)),
        ("sheep: Bramblo", ("unknown", None), ("clear", None)),
        ("mob: ewes\nexcept: Teasel", ("held", "2026-07-01"), ("clear", None)),
        ("sheep: C230\ndays: 3", ("clear", None), ("unknown", None)),
    ],
)
def test_the_plain_reading_by_hand(head: str, bramble: tuple[str, str | None], teasel: tuple[str, str | None]) -> None:
    """A few folders read by hand from the rules, so that the second reader does not only follow the first."""
    note = {"events/2026-06-02 treatment.md": f"---\n{head}\nmedicine: pen\n---\n"}
    on = datetime(2026, 6, 10)
    rows = standings({**EWES, **note}, on)
    assert (rows["C214"].meat, rows["C230"].meat) == (State(*bramble), State(*teasel))
    assert read_by_program({**EWES, **note}, on) == rows
