"""A book that is tended is, byte for byte, the one that a cold compile makes (more of it: `python -m tests.tended`)."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from compiler.build import Manner, build
from compiler.memory import Memory
from tests.bench.make_flock import write
from tests.compiler.test_build import LOG, lay
from tests.tended.__main__ import differences, tree
from tests.tended.edits import EDITS
from tests.toybook_book import BOOK, ON

GREBE = "voyages/2026-04-19 voyage Grebe.md"


@pytest.mark.parametrize("seed", [3])
def test_tended_is_warm_is_cold(tmp_path: Path, seed: int) -> None:
    """After every edit of a random sequence on an invented flock."""
    assert differences(seed, 60, tmp_path / "flock") == []


def test_every_edit_edits(tmp_path: Path) -> None:
    """No edit of the sequences leaves the notes as they were."""
    for edit in EDITS:
        folder = tmp_path / edit.__name__
        write(60, folder)
        before = tree(folder)
        edit(folder, random.Random(1))
        assert tree(folder) != before, edit.__name__


class Tended:
    """The toy log, tended; its clock stands far ahead, so that every file counts as left alone."""

    def __init__(self, place: Path) -> None:
        self.place, self.memory = place, Memory(lambda: 2**62)
        lay(place / "log")

    def is_cold(self) -> bool:
        """Make the book with what is remembered, and once more without; whether they are the same."""
        books = self.place / "tended", self.place / "cold"
        for book, memory in zip(books, (self.memory, None), strict=True):
            build(self.place / "log", BOOK, ON, book, cache=self.place / "cache", manner=Manner(memory=memory))
        return tree(books[0]) == tree(books[1])


@pytest.fixture
def tended(tmp_path: Path) -> Tended:
    """The toy log, made once."""
    log = Tended(tmp_path)
    assert log.is_cold()
    return log


def test_what_did_not_change_is_not_read_again(tended: Tended) -> None:
    """All notes are kept as they were, but the one that changed."""
    before = dict(tended.memory.read)
    (tended.place / "log" / GREBE).write_text("---\nboat: Grebe\n---\n- cod 5 kg\n")
    assert tended.is_cold()
    assert [path for path, kept in tended.memory.read.items() if kept is not before[path]] == [GREBE]


def test_a_time_set_back_is_noticed(tended: Tended) -> None:
    """A note changed in place, its size and its time as before, is read again."""
    place = tended.place / "log" / GREBE
    before = place.stat()
    place.write_text(str(LOG[GREBE]).replace("4.1", "9.9"))
    os.utime(place, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert tended.is_cold()
    assert b"12.9" in b"".join(tree(tended.place / "tended").values())  # 9.9 and 3 kg


def test_a_table_that_comes_and_goes(tended: Tended) -> None:
    """A table beside a note is part of it."""
    table = tended.place / "log" / "voyages" / "2026-04-22 sounding bay.csv"
    for text in ("buoy,kg\nb1,5\n", "", None, "buoy,kg\nb2,6\n"):
        table.unlink() if text is None else table.write_text(text)
        assert tended.is_cold()


def test_a_copy_is_judged_by_its_original(tended: Tended) -> None:
    """A copy that did not change is judged again when its original does."""
    log = tended.place / "log"
    copy = log / GREBE.replace(".md", " copy.md")
    copy.write_bytes((log / GREBE).read_bytes())
    assert tended.is_cold()
    (log / GREBE).write_text("---\nboat: Grebe\n---\n- cod 1 kg\n")
    assert tended.is_cold()
    (log / GREBE).unlink()
    assert tended.is_cold()


def test_a_file_changed_a_moment_ago_is_read_again(tmp_path: Path) -> None:
    """What may have changed twice at once is never taken from memory."""
    log = Tended(tmp_path)
    log.memory.now = lambda: 0
    assert log.is_cold()
    before = dict(log.memory.read)
    assert log.is_cold()
    assert all(kept is not before[path] for path, kept in log.memory.read.items())


def test_what_is_gone_is_forgotten(tended: Tended) -> None:
    """Notes that are no longer there are kept nowhere."""
    (tended.place / "log" / GREBE).unlink()
    assert tended.is_cold()
    assert GREBE not in {**tended.memory.read, **tended.memory.became}


def test_the_page_wanted_is_written_first(tended: Tended) -> None:
    """An open page is written before all others, the stamp of the book last."""
    log, order = tended.place / "log", list[str]()
    (log / "log.yaml").write_text("harbour: Elsewhere\n")
    book = tended.place / "tended"
    wanted = sorted(path for path in tree(book) if path.endswith(".html"))[-1]

    def note(stage: str, done: int, of: int) -> None:
        order.append(f"{stage} {done} {of}")

    build(log, BOOK, ON, book, cache=tended.place / "cache", manner=Manner((wanted,), None, note))
    times = {path: (book / path).stat().st_mtime_ns for path in tree(book) if path.endswith(".html")}
    changed = [path for path, time in times.items() if time >= times[wanted]]
    assert wanted == min(changed, key=lambda path: times[path])
    assert order[0] == "read settings 0 0"
    assert any(word.startswith("draw and write 0 ") for word in order)
