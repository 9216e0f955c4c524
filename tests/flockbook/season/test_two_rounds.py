"""Two lambings for one calendar year are two seasons, each with its own joining; who lambs once a year sees one.

Ewes bred out of season lamb about every eight months in accelerated systems (Cornell University, the STAR system).
"""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path

import pytest
from click.testing import CliRunner

from flockbook.cli.main import main
from flockbook.pages.lambing import crop
from flockbook.pages.season import season_notes, season_page, seasons
from tests.flockbook.breeding.test_joined_twice import AGAIN, BORN, FLOCK
from tests.flockbook.small import Notes, read, unchecked
from tests.flockbook.year.test_twenty_moments import page_of, words

BEA = {"events/2026-01-12 lambing Bea.md": "- ram 4 kg, tag 21\n- ram 4 kg, tag 22\n"}
TWICE: Notes = {**FLOCK, **AGAIN, **BORN, **BEA}
ON = "2027-03-01"


def counted(notes: Notes, on: str = ON) -> list[tuple[int, int | None, int, int, int]]:
    """Each season's year, month, ewes exposed and lambed, and lambs born."""
    return [
        (one.season, one.month, one.counts.exposed, one.counts.lambed, one.counts.born)
        for one in unchecked(notes, on).facts.season.seasons
    ]


def test_each_litter_is_of_the_joining_that_it_came_from() -> None:
    """Of two ewes joined in August both lambed in January, of two joined in July one in December: 3 and 1 lambs."""
    assert counted(TWICE) == [(2026, 1, 2, 2, 3), (2026, 12, 2, 1, 1)]
    for month, born in ((1, "3 lambs born"), (12, "1 lambs born")):
        path = "season-2026.html" if month == 1 else "season-2026-12.html"
        assert born in words(page_of(unchecked(TWICE, ON), season_page, path))


def test_the_pages_name_both_rounds() -> None:
    """Side by side, each with its crop and the notes behind it, and nothing counted twice."""
    seen = unchecked(TWICE, ON)
    page = words(page_of(seen, seasons, "seasons.html"))
    assert "2026 · January" in page
    assert "2026 · December" in page
    assert "Lamb crop of 2026 · December" in words(page_of(seen, crop, "crop-2026-12.html"))
    notes = words(page_of(seen, season_notes, "season-2026-12-notes.html"))
    assert "Behind the figures of 2026 · December" in notes


def test_a_scan_and_an_abortion_are_of_their_round() -> None:
    """Scanned in September with twins and lost in October: nothing of that is of the January lambing."""
    notes: Notes = {
        **FLOCK, **AGAIN, "events/2026-09-25 scan.md": "- Ada single\n- Bea twins\n",
        "events/2026-10-20 abortion Bea.md": "Two.\n", **BORN,
    }  # fmt: skip
    january, december = unchecked(notes, ON).facts.season.seasons
    assert (january.counts.scanned, december.counts.scanned) == (None, 3)
    assert (january.counts.unborn, december.counts.unborn) == ({}, {"abortion": 2})


def test_whoever_chooses_sees_both_litters() -> None:
    """Ada lambed in either round, Bea in the first: two years at the ram of each, one of them empty."""
    by_ewe = unchecked(TWICE, ON).facts.choosing.years.by_ewe
    assert [(len(year.births), year.empty) for year in by_ewe["E1"]] == [(1, False), (1, False)]
    assert [(len(year.births), year.empty) for year in by_ewe["E2"]] == [(1, False), (0, True)]


def test_litters_without_a_joining_are_parted_by_the_ewe_that_bore_both() -> None:
    """No joining is written at all: two litters eleven months apart are of two rounds."""
    notes = {name: text for name, text in TWICE.items() if "joining" not in name}
    assert counted(notes) == [(2026, 1, 2, 2, 3), (2026, 12, 1, 1, 1)]


@pytest.mark.parametrize(
    "notes",
    [
        {name: text for name, text in TWICE.items() if "2026-12" not in name and "2026-07" not in name},
        FLOCK | {"events/2025-11-05 joining Boaz.md": "---\newes: Bea\nout: 2025-12-10\n---\n"},
        FLOCK | {"events/2025-12-30 joining Boaz.md": "---\newes: Bea\nout: 2026-01-30\n---\n"}
        | {"events/2025-10-01 joining Boaz.md": "---\newes: Ada\nout: 2025-11-20\n---\n"},
        FLOCK | {"events/2026-09-02 lambing Bea.md": "- ewe 4 kg, tag 31\n"},
    ],
    ids=["once", "late ewes", "three groups", "a stray birth"],
)  # fmt: skip
def test_who_lambs_once_a_year_sees_one_season(notes: Notes) -> None:
    """Early and late ewes, stragglers and a birth out of season stay in the season of their year, called by it."""
    found = unchecked(notes, ON).facts.season.seasons
    assert [(one.season, one.month, one.part) for one in found] == [(2026, None, "2026")]


def test_spring_and_autumn_flocks_are_two_seasons() -> None:
    """Other ewes, joined in April and lambing in September, when the rams of October have long been out."""
    notes: Notes = {
        **FLOCK, "events/2025-08-10 joining Boaz.md": "---\newes: Ada\nout: 2025-09-14\n---\n",
        "events/2026-03-20 joining Boaz.md": "---\newes: Bea\nout: 2026-04-20\n---\n",
        "events/2026-08-20 lambing Bea.md": "- ewe 4 kg, tag 31\n",
    }  # fmt: skip
    assert counted(notes) == [(2026, 1, 1, 1, 1), (2026, 8, 1, 1, 1)]


def test_what_is_handed_over_tells_the_rounds_apart(tmp_path: Path) -> None:
    """The facts file has the month beside the year, and the database a row for each."""
    for name, text in TWICE.items():
        (tmp_path / "notes" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "notes" / name).write_text(str(text))
    asked = ["handover", "facts", str(tmp_path / "notes"), "--on", ON]
    rows = json.loads(CliRunner().invoke(main, asked, catch_exceptions=False).stdout)["seasons"]
    assert [(row["season"], row["month"], row["counts"]["born"]) for row in rows] == [(2026, 1, 3), (2026, 12, 1)]
    made = str(tmp_path / "flock.db")
    asked = ["handover", "database", str(tmp_path / "notes"), "--on", ON, "--to", made]
    CliRunner().invoke(main, asked, catch_exceptions=False)
    found = sqlite3.connect(made).execute("SELECT month, born FROM season ORDER BY month").fetchall()
    assert found == [(1, 3), (12, 1)]


def test_no_check_or_page_fails_on_two_rounds() -> None:
    """Every check runs; nothing of the program's own stands among the messages."""
    assert not [one for one in read(TWICE, ON).diagnostics if one.code.startswith("B9")]
