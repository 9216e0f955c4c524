"""A finished book is left alone while all that it follows from is as it was, and made anew at the first doubt."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from compiler import finished
from compiler.finished import RECENT, Asked, Finished, folder_digest

ROOT = Path(__file__).parents[2]
NOTE = "---\nnote: ewe\nborn: 2020\n---\n"
ON = "2026-04-19T03:20"


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    """A small notes folder."""
    folder = tmp_path / "notes"
    (folder / "sheep").mkdir(parents=True)
    (folder / "sheep" / "A1.md").write_text(NOTE)
    (folder / "flock.yaml").write_text("flock: Low End\n")
    return folder


def compile_notes(notes: Path, *more: str, on: str = ON) -> tuple[int, str]:
    """What the command says, and its status; its memory stands beside the notes."""
    words = [sys.executable, "-m", "flockbook", "compile", str(notes), *(("--on", on) if on else ()), *more]
    surroundings = {**os.environ, "XDG_CACHE_HOME": str(notes.parent / "cache"), "PYTHONPATH": str(ROOT)}
    done = subprocess.run(words, capture_output=True, text=True, env=surroundings, check=False)
    assert "Traceback" not in done.stderr
    return done.returncode, done.stderr + done.stdout


def test_nothing_changed_says_the_same(notes: Path) -> None:
    """The second compile says word for word what the first did, with the same status, and that nothing changed."""
    (notes / "events.md").write_text("---\nnote: remrak\n---\n")
    first, second = compile_notes(notes), compile_notes(notes)
    assert first[0] == second[0] == 1
    assert "wrote" in first[1]
    assert "nothing has changed since 2026-04-19 03:20" in second[1]
    lines = [line for line in second[1].splitlines() if not line.startswith(("wrote", "nothing"))]
    assert lines == [line for line in first[1].splitlines() if not line.startswith("wrote")]


def edited_at_once(notes: Path) -> None:
    """A note changed to one of the same length, its times set back as far as they can be."""
    place = notes / "sheep" / "A1.md"
    before = place.stat()
    place.write_text(NOTE.replace("2020", "2021"))
    os.utime(place, ns=(before.st_atime_ns, before.st_mtime_ns))


CHANGES: dict[str, Callable[[Path], object]] = {
    "a note": lambda notes: (notes / "sheep" / "A1.md").write_text(NOTE.replace("2020", "2019") + "Lame.\n"),
    "a note at once, its time kept": edited_at_once,
    "a new note": lambda notes: (notes / "sheep" / "A2.md").write_text(NOTE),
    "a note gone": lambda notes: (notes / "sheep" / "A1.md").unlink(),
    "a note renamed": lambda notes: (notes / "sheep" / "A1.md").rename(notes / "sheep" / "A3.md"),
    "the settings": lambda notes: (notes / "flock.yaml").write_text("flock: High End\n"),
    "a page changed by hand": lambda notes: (notes / "book" / "index.html").write_text("mine"),
    "a page lost": lambda notes: (notes / "book" / "style.css").unlink(),
    "the book lost": lambda notes: shutil.rmtree(notes / "book"),
    "the memory damaged": lambda notes: [
        place.write_bytes(b"x" * 99) for place in (notes.parent / "cache" / "flockbook").glob("book-*")
    ],
}


@pytest.mark.parametrize("change", CHANGES)
def test_any_change_is_noticed(notes: Path, change: str) -> None:
    """After any change to notes, settings or book the book is that of a compile that remembers nothing."""
    compile_notes(notes)
    CHANGES[change](notes)
    assert "nothing has changed" not in compile_notes(notes)[1]
    assert "nothing has changed" in compile_notes(notes)[1]
    other = shutil.copytree(notes, notes.parent / "other", ignore=lambda *_: ["book"])
    compile_notes(other)
    assert tree(notes / "book") == tree(other / "book")


def tree(folder: Path) -> dict[str, bytes]:
    """Every file of a book."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_another_moment_is_another_book(notes: Path) -> None:
    """Another day or time asked about is made; so is a day after a time of it."""
    compile_notes(notes)
    for on in ("2026-04-20", "2026-04-19T03:21", "2026-04-19"):
        assert "nothing has changed" not in compile_notes(notes, on=on)[1]


def test_the_clock_moves_on() -> None:
    """A book of now holds from its own minute until its horizon; with the clock set back it is made anew."""
    book = finished_from("2026-04-19T03:20:00", "2026-04-19T12:35:00")
    hours = {"03:19": False, "03:20": True, "12:34": True, "12:35": False}
    assert {hour: book.speaks_of("", datetime.fromisoformat(f"2026-04-19T{hour}")) for hour in hours} == hours
    assert not book.speaks_of("2026-04-19", datetime(2026, 4, 19, 4))


def finished_from(begun: str, until: str) -> Finished:
    """A book that holds between two times."""
    return Finished("", "", begun, until, begun[:10], 0, "", "", "", "", "", "", 1, 0)


def test_old_files_are_told_by_their_times_and_recent_ones_by_their_bytes(tmp_path: Path) -> None:
    """A file that was still when it was looked at is not read; one changed a moment before is."""
    place = tmp_path / "a.md"
    place.write_text("one")
    time = place.stat().st_mtime_ns
    assert folder_digest(tmp_path, None, time + RECENT) == folder_digest(tmp_path, None, time + RECENT)
    assert len({folder_digest(tmp_path, None, since) for since in (time - RECENT, time + RECENT)}) == 2


def test_what_cannot_be_looked_at_is_in_doubt(notes: Path) -> None:
    """A folder that is gone is no book that stands."""
    asked = Asked(notes / "gone", "", "", "", (), "flockbook")
    assert not finished.stands(asked, finished_from("2026-04-19T03:20:00", "2026-04-20T00:00:00"))


LOADED = """
import sys
sys.argv = ["flockbook", "compile", sys.argv[1], "--on", sys.argv[2]]
from flockbook.cli.main import main
try:
    main()
except SystemExit:
    print(*sorted({name.partition(".")[0] for name in sys.modules} | {n for n in sys.modules if "flockbook." in n}))
"""


def test_nothing_changed_loads_nothing(notes: Path) -> None:
    """The answer that nothing has changed is given before notes, schemas or pages are even loaded."""
    compile_notes(notes)
    surroundings = {**os.environ, "XDG_CACHE_HOME": str(notes.parent / "cache"), "PYTHONPATH": str(ROOT)}
    words = [sys.executable, "-c", LOADED, str(notes), ON]
    done = subprocess.run(words, capture_output=True, text=True, env=surroundings, check=True)
    assert "nothing has changed" in done.stdout
    loaded = set(done.stdout.splitlines()[-1].split())
    assert loaded & {"yaml", "jinja2", "sqlite3", "flockbook.book", "flockbook.records", "markdown_it"} == set()
