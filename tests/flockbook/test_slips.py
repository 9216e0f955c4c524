"""Every slip in the folder of slips is reported where it stands, and the demo flock has none."""

from __future__ import annotations

import re
from datetime import date, datetime
from functools import cache
from pathlib import Path

import pytest

from compiler.book import Moment
from compiler.build import proof
from compiler.diagnostics import Diagnostic, Grade
from compiler.shape import Value
from flockbook.book import BOOK

ROOT = Path(__file__).parents[2]
SLIPS = ROOT / "tests" / "slips"
ROW = re.compile(
    r"\| `(?P<note>[^`]+)`(?P<other> \(or [^|]*\))? \| (?P<grade>\w+) \| (?P<line>[^|]+) \| (?P<gist>[^|]+) \|"
)


class Slip(Value):
    """One row of the table: the notes it may be reported in, the grade, the lines, and what has to be said."""

    paths: tuple[str, ...]
    grade: str
    lines: tuple[int, ...]
    gist: str

    @property
    def figures(self) -> tuple[str, ...]:
        """What the message has to name: the words the gist puts between backticks."""
        return tuple(re.findall(r"`([^`]+)`", self.gist))


def slips() -> list[Slip]:
    """The rows of the table."""
    found = []
    for match in ROW.finditer((SLIPS / "README.md").read_text(encoding="utf-8")):
        names = (match["note"], *re.findall(r"`([^`]+)`", match["other"] or ""))
        folder = "sheep/" if match["note"].startswith("sheep/") else "" if "/" in match["note"] else "events/2026/"
        paths = tuple(name if "/" in name else folder + name for name in names)
        # A slip in the name has no line of its own: it is shown on the first line, or on none.
        lines = tuple(int(number) for number in re.findall(r"\d+", match["line"]))
        found.append(Slip(paths, match["grade"], (*lines, 0, 1) if "name" in match["line"] else lines, match["gist"]))
    return found


@cache
def told(folder: Path, on: str) -> tuple[Diagnostic, ...]:
    """All messages on a folder, with the clock standing on the day asked about."""
    day = date.fromisoformat(on)
    return proof(folder, BOOK, Moment(datetime.combine(day, datetime.min.time()), False, day)).diagnostics


def test_the_table_is_read_whole() -> None:
    """Each row of the table that names a note becomes a slip, so that none is passed over by this test."""
    rows = [line for line in (SLIPS / "README.md").read_text(encoding="utf-8").splitlines() if line.startswith("| `")]
    assert len(slips()) == len(rows) >= 36


@pytest.mark.parametrize("slip", slips(), ids=lambda slip: slip.paths[0])
def test_each_slip_is_reported(slip: Slip) -> None:
    """The message stands in the right note, with the right grade, on the right line, and names what is wrong."""
    here = [item for item in told(SLIPS, "2026-08-31") if item.span.path in slip.paths]
    right = [item for item in here if item.grade.value == slip.grade and (item.span.line or 0) in slip.lines]
    assert right, [(item.code, item.grade.value, item.span.line, item.message) for item in here]
    said = " ".join(f"{item.message} {item.help} {item.meanwhile} {item.also}" for item in right)
    for word in slip.figures:
        assert word.strip(" #") in said, f"{word!r} is not in {said!r}"


def test_sound_notes_are_left_alone() -> None:
    """A note that the table does not list gets no message, but for the sale that the table's last words name."""
    listed = {path for slip in slips() for path in slip.paths}
    rest = {item.span.path for item in told(SLIPS, "2026-08-31") if item.grade in (Grade.ERROR, Grade.ASK)} - listed
    assert rest <= {"events/2026/2026-06-14 remark Bess.md"}


def test_the_demo_flock_is_clean() -> None:
    """The demo has nothing to mend on its day: no error, no question and no warning."""
    wrong = [item for item in told(ROOT / "site_demo", "2026-11-25") if item.grade is not Grade.GAP]
    assert [(item.span.path, item.code, item.message) for item in wrong] == []
