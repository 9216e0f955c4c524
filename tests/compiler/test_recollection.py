"""What is remembered of notes and dear facts between runs: used only where all that decides it is the same."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from compiler import codestore, recollection
from compiler.build import build, foretell, proof
from compiler.collection import Given, Outcome, Sorting, place
from compiler.names import Name
from compiler.recollection import recollecting, worked_out
from compiler.shape import Value, packed, replace, unpacked
from compiler.source import Source
from flockbook.book import BOOK as FLOCK
from flockbook.jotting.kind_examples import filled_example
from tests.compiler.test_build import LOG, lay
from tests.toybook_book import BOOK, ON

GREBE = "voyages/2026-04-19 voyage Grebe.md"
CODE = (str(Path(__file__).parents[1]),)
REMEMBERING = replace(BOOK, code=CODE)


class Log:
    """The toy log, compiled with a memory; `read` are the notes that were taken apart in the last compile."""

    def __init__(self, root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.root, self.read = lay(root / "log"), list[str]()
        self.book = REMEMBERING
        monkeypatch.setattr(recollection, "place", self.place)

    def place(self, given: Given, name: Name, original: Given | None, how: Sorting) -> Outcome:
        """What becomes of a note that is not remembered."""
        self.read.append(given.note.path)
        return place(given, name, original, how)

    @property
    def cache(self) -> Path:
        """Where things are remembered."""
        return self.root.parent / "cache"

    @property
    def kept(self) -> Path:
        """The file of the records."""
        (found,) = self.cache.glob("records-*")
        return found

    def is_cold(self) -> bool:
        """Compile with what is remembered, and once more without; whether the books are the same."""
        self.read.clear()
        warm, cold = self.root.parent / "warm", self.root.parent / "cold"
        build(self.root, self.book, ON, warm, cache=self.cache)
        read = self.read[:]
        build(self.root, BOOK, ON, cold, cache=self.cache)
        self.read[:] = read
        trees = [{path.name: path.read_bytes() for path in book.rglob("*.html")} for book in (warm, cold)]
        return trees[0] == trees[1]


@pytest.fixture
def log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Log:
    """The toy log, compiled once."""
    made = Log(tmp_path, monkeypatch)
    assert made.is_cold()
    return made


def test_only_what_changed_is_read(log: Log) -> None:
    """Of sound notes only the one that changed is taken apart again; a broken one always is."""
    all_read = set(log.read)
    assert log.is_cold()
    always = set(log.read)
    assert GREBE in all_read - always
    (log.root / GREBE).write_text("---\nboat: Grebe\n---\n- cod 5 kg\n")
    assert log.is_cold()
    assert set(log.read) - always == {GREBE}


def test_another_place_is_another_note(log: Log) -> None:
    """A note that was renamed is read anew, and so is one with a table beside it."""
    (log.root / GREBE).rename(log.root / "voyages" / "2026-04-20 voyage Grebe.md")
    assert log.is_cold()
    assert "voyages/2026-04-20 voyage Grebe.md" in log.read
    (log.root / "voyages" / "2026-04-20 voyage Grebe.csv").write_text("fish,kg\ncod,2\n")
    assert log.is_cold()
    assert "voyages/2026-04-20 voyage Grebe.md" in log.read


def test_other_habits_and_another_program_read_anew(log: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    """Values typed in another way, or by another state of the program, are nothing that was remembered."""
    monkeypatch.setattr(log, "book", replace(REMEMBERING, code=(*CODE, str(Path(__file__).parent))))
    assert log.is_cold()
    assert GREBE in log.read
    habits = replace(BOOK.habits(BOOK.read_settings(None)[0]), decimal_comma=True)
    monkeypatch.setattr(log, "book", replace(log.book, habits=lambda _: habits))
    build(log.root, log.book, ON, log.root.parent / "warm", cache=log.cache)
    assert log.read.count(GREBE) == 2


def test_damage_is_as_if_nothing_were_there(log: Log) -> None:
    """A bit turned anywhere, an end cut off, and what others may have written, are not used; the book is the same."""
    whole = log.kept.read_bytes()
    for at in range(0, len(whole), len(whole) // 8):
        log.kept.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
        assert log.is_cold()
        assert GREBE in log.read
        log.kept.write_bytes(whole[:at])
        assert log.is_cold()
        assert GREBE in log.read
    if hasattr(os, "geteuid"):
        log.kept.chmod(0o666)
        assert log.is_cold()
        assert GREBE in log.read


def test_bytes_that_are_no_records(log: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was kept under the right seal and yet is no record, or one of an unknown class, is not used."""
    for value in (b"", b"\xc1", b"\x80", packed({b"k": 3}), 7):
        monkeypatch.setattr(codestore, "recall", lambda *_, kept=value: kept)
        assert log.is_cold()
        assert GREBE in log.read


def test_nowhere_to_remember(log: Log) -> None:
    """A file where the folder should be, and a folder below the notes, remember nothing and change nothing."""
    file = log.root.parent / "file"
    file.write_text("x")
    for cache in (file, log.root / "voyages"):
        before = log.read.count(GREBE)
        build(log.root, REMEMBERING, ON, log.root.parent / "warm", cache=cache)
        assert log.read.count(GREBE) == before + 1


def test_a_text_that_stands_in_no_file_is_read(log: Log) -> None:
    """What would follow from a draft over a note is never what is remembered of the note."""
    said = foretell(log.root, REMEMBERING, ON, [Source(GREBE, str(LOG[GREBE]).replace("4.1", "x"), "")])
    assert any(message.span.path == GREBE for message in said.diagnostics)


class Sum(Value):
    """A dear fact."""

    total: float


def test_a_dear_fact_by_its_inputs(tmp_path: Path) -> None:
    """It is made once for the same inputs, in whatever order a mapping has them; anew for others, and after damage."""
    made = list[object]()

    def add(inputs: object) -> Sum:
        made.append(inputs)
        return Sum(0.1)

    def dear(*inputs: object) -> float:
        with recollecting(tmp_path / "notes", "toy", CODE, tmp_path / "cache"):
            return worked_out("sum", Sum, inputs, lambda: add(inputs)).total

    assert [dear({"a": 1, "b": 2}), dear({"b": 2, "a": 1})] == [0.1, 0.1]
    assert len(made) == 1
    dear({"a": 1, "b": 3})
    dear({"a": 1, "b": 2})
    assert len(made) == 3
    (kept,) = (tmp_path / "cache").glob("sum-*")
    kept.write_bytes(kept.read_bytes()[:-1])
    dear({"a": 1, "b": 2})
    dear(object())
    dear(object())
    assert len(made) == 6


def test_every_kind_comes_back_the_same(tmp_path: Path) -> None:
    """Every filled example of a kind comes back from its bytes the same to the last letter."""
    for name, text in filter(None, (filled_example(kind.name) for kind in FLOCK.kinds)):
        (tmp_path / "notes" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "notes" / name).write_text(text)
    records = proof(tmp_path / "notes", FLOCK, ON, cache=tmp_path / "cache").collection.records
    assert len({record.origin.kind for record in records}) > 30
    for record in records:
        assert repr(unpacked(packed(record), type(record))) == repr(record)
