"""What is handed to telephones and spreadsheets, against the standards and an independent reader."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd  # type: ignore[import-untyped]
import pytest
from click.testing import CliRunner
from icalendar import Calendar

from flockbook.cli.main import main
from flockbook.derive.year.deeds import InHerWords
from flockbook.derive.year.reminder import Reminder
from flockbook.handover.calendar import calendar, event_of, reminder_entries
from flockbook.handover.facts import facts_object
from flockbook.handover.tables import cell, csv_table, tables
from flockbook.saying.year import deed_words
from tests.flockbook.small import Seen, read

DEMO = Path(__file__).parents[2] / "site_demo"
NOTES = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/S1.md": "---\nnote: ram\nborn: 2020\n---\n",
    "events/2025-11-12 joining S1.md": "---\nrams: S1\newes: C214\nout: 2025-12-20\n---\n- 21 Nov C214\n",
    "events/2026-02-01 task.md": "---\nwhat: raise the top strand\ndue: 2026-06-12\nsheep: C214\n---\n",
    "events/2026-06-02 weighing.md": "C214 62\n",
}
SUMMARY = 'ewes 1, 2; lot A\\1\n"x" é'
LONG = "é" * 61 + "ten octets"  # 132 octets


def unfolded(data: bytes) -> list[bytes]:
    """Content lines: a line break and a blank join the next (RFC 5545, 3.1)."""
    return data.replace(b"\r\n ", b"").replace(b"\r\n\t", b"").split(b"\r\n")


def seen() -> Seen:
    """A small flock with a task."""
    return read(NOTES, "2026-06-10")


def lines_of(item: Reminder) -> tuple[bytes, list[bytes]]:
    """One event as bytes and as content lines."""
    entry, *_ = reminder_entries(seen(), item)
    data = bytes(event_of(seen(), entry).to_ical())
    return data, unfolded(data)


def test_text_is_escaped_and_folded_as_the_standard_says() -> None:
    """Commas, semicolons, backslashes and line breaks escaped; lines of 75 octets at most, no character split; an
    all-day date (RFC 5545, 3.1, 3.3.4, 3.3.11; row 19 of the references, grazing-money-identity §8).
    """
    data, lines = lines_of(Reminder("abc", "task", date(2024, 5, 25), InHerWords(SUMMARY + LONG)))
    assert ('SUMMARY:ewes 1\\, 2\\; lot A\\\\1\\n"x" é' + LONG).encode() in lines
    assert b"DTSTART;VALUE=DATE:20240525" in lines
    for line in data.split(b"\r\n"):
        assert len(line) <= 75
        line.decode()


def test_another_reader_finds_what_was_written() -> None:
    """The whole file read back by a calendar library: every open reminder, its day, its words, its sheep."""
    found = seen()
    read_back = Calendar.from_ical(calendar(found))
    events = {str(item["uid"]).split("@")[0]: item for item in read_back.walk("VEVENT")}
    year = found.facts.year
    want = {item.id: item for item in year.reminders if not item.done and item.id not in year.owed.stands_for}
    late = {f"{item.id}-late" for item in want.values() if item.date < found.today.day}
    assert set(events) == {*want, *late, *(row.id for row in year.owed.rows)}
    task = next(item for item in want.values() if "top strand" in deed_words(item.what))
    summary = str(events[task.id]["summary"])
    assert events[task.id].decoded("dtstart") == date(2026, 6, 12)
    assert summary == f"{deed_words(task.what)}: Bramble (C214)"
    assert "Bramble" in str(events[task.id]["description"])


def test_a_rebuild_changes_no_byte_and_no_uid() -> None:
    """Same notes, same day: same bytes; the next day: the same UIDs for what is still to do."""
    first, again, later = (calendar(read(NOTES, day)) for day in ("2026-06-10", "2026-06-10", "2026-06-11"))
    assert first == again
    uids = [{str(item["uid"]) for item in Calendar.from_ical(data).walk("VEVENT")} for data in (first, later)]
    assert uids[0] & uids[1]
    assert all(uid.endswith("@flockbook.invalid") for uid in uids[0])


def test_formulas_are_defused_and_figures_stay_figures() -> None:
    """`=1+2";=1+2` and `-see note` get a quote in front, `-4.5` as a figure does not (OWASP, CSV Injection; RFC 4180;
    row 18 of the references, grazing-money-identity §8).
    """
    data = csv_table([{"a": '=1+2";=1+2', "b": -4.5, "c": "-see note"}]).decode("utf-8-sig")
    assert data == '"a","b","c"\r\n"\'=1+2"";=1+2",-4.5,"\'-see note"\r\n'


@pytest.mark.parametrize(
    ("value", "shown"),
    [(None, ""), (True, "yes"), (False, "no"), (3, 3), (["C214", "C230"], "C214; C230"), ("@x", "'@x"), ("+1", "'+1")],
)
def test_cells(value: Any, shown: Any) -> None:
    """Nothing for unknown, words for yes and no, lists with semicolons."""
    assert cell(value) == shown


def test_every_row_of_the_facts_stands_in_a_table() -> None:
    """Each list of the facts file is a table with as many rows, as pandas reads it; so is a list inside a row."""
    facts = facts_object(seen())
    made = tables(facts)
    for name, rows in facts.items():
        if isinstance(rows, list) and rows:
            frame = pd.read_csv(io.BytesIO(made[f"{name}.csv"]), dtype=str, keep_default_na=False)
            assert len(frame) == len(rows), name
    weights = list(csv.DictReader(io.StringIO(made["growth-weights.csv"].decode("utf-8-sig"))))
    assert [(row["of"], row["date"], float(row["kg"])) for row in weights] == [("C214", "2026-06-02", 62.0)]
    sheep = list(csv.DictReader(io.StringIO(made["clearance.csv"].decode("utf-8-sig"))))
    assert {row["sheep"]: row["meat state"] for row in sheep}["C214"] == "clear"


def test_the_commands(tmp_path: Path) -> None:
    """Calendar to the terminal or a file, tables into a folder of their own, a second time without a change."""
    runner, on = CliRunner(), ["--on", "2026-11-25"]
    shown = runner.invoke(main, ["handover", "calendar", str(DEMO), *on])
    assert (shown.exit_code, shown.stdout.startswith("BEGIN:VCALENDAR")) == (0, True)
    for _ in range(2):
        done = runner.invoke(main, ["handover", "tables", str(DEMO), *on, "--to", str(tmp_path / "out")])
        assert done.exit_code == 0
    assert "sheep.csv" in {path.name for path in (tmp_path / "out").iterdir()}


def test_tables_never_land_among_the_notes(tmp_path: Path) -> None:
    """There they would be read as tables of notes: refused with status 2; other people's folders too."""
    (tmp_path / "notes").mkdir()
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "sheep.csv").write_text("precious")
    for to in ("notes/tables", "notes", "mine"):
        done = CliRunner().invoke(main, ["handover", "tables", str(tmp_path / "notes"), "--to", str(tmp_path / to)])
        assert done.exit_code == 2, to
    assert (tmp_path / "mine" / "sheep.csv").read_text() == "precious"
    assert list((tmp_path / "notes").iterdir()) == []
