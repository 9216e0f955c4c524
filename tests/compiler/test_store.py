"""What is remembered between runs: quick when it is there, unnoticed when it is not, never wrong."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler import store
from compiler.home import cache_folder
from compiler.store import Store, code_digest, for_folder

ROOT = Path(__file__).parents[2]
HTML = "<p>É 4.25\n" + "word " * 30 + "</p>\n"


def filled(path: Path, count: int = 1) -> Path:
    """A store's file that remembers some texts."""
    remembered = Store(path)
    for number in range(count):
        remembered.put(f"d{number}", HTML)
    remembered.save()
    return path


def test_remembers(tmp_path: Path) -> None:
    """What was put comes back in a later run; what was not is None."""
    path = filled(tmp_path / "deep" / "s.sqlite")
    assert Store(path).get("d0") == HTML
    assert Store(path).get("d1") is None
    assert {item.name for item in path.parent.iterdir()} == {"s.sqlite"}


@given(st.text(), st.text())
def test_any_text_comes_back(digest: str, text: str) -> None:
    """Every text comes back as it was put, or, if no file can hold it, not at all."""
    with TemporaryDirectory() as folder:
        remembered = Store(Path(folder, "s.sqlite"))
        remembered.put(digest, text)
        remembered.save()
        assert Store(Path(folder, "s.sqlite")).get(digest) in (text, None if "\0" in digest else text)


def test_what_no_file_can_hold_is_not_remembered(tmp_path: Path) -> None:
    """A text with half a character in it is left out, without a word."""
    remembered = Store(tmp_path / "s.sqlite")
    remembered.put("d", "\ud800")
    remembered.save()
    assert Store(tmp_path / "s.sqlite").get("d") is None


def test_a_store_without_a_file_remembers_nothing() -> None:
    """Where there is no place to remember, everything works the same."""
    remembered = Store(None)
    remembered.put("d", HTML)
    assert remembered.get("d") is None
    remembered.save()


@pytest.mark.parametrize("damage", [b"", b"not a database at all" * 100, b"SQLite format 3\0" + b"\xff" * 5000])
def test_unreadable_is_empty_and_mended(tmp_path: Path, damage: bytes) -> None:
    """A file that is no store counts as empty, and works again."""
    path = tmp_path / "s.sqlite"
    path.write_bytes(damage)
    assert Store(path).get("d0") is None
    filled(path)
    assert Store(path).get("d0") == HTML


def test_every_damaged_byte_is_noticed(tmp_path: Path) -> None:
    """Change any byte of the file: a text comes back as it was or not at all, and nothing is raised."""
    path = filled(tmp_path / "s.sqlite", 3)
    whole = path.read_bytes()
    offsets = [offset for offset in range(len(whole)) if whole[offset] or offset < 200]
    for offset in offsets:
        for mask in (0x01, 0x20, 0xFF):
            path.write_bytes(whole[:offset] + bytes([whole[offset] ^ mask]) + whole[offset + 1 :])
            remembered = Store(path)
            assert [remembered.get(f"d{number}") in (None, HTML) for number in range(3)] == [True] * 3
            remembered.put("new", HTML)
            remembered.save()


def test_every_truncation_is_noticed(tmp_path: Path) -> None:
    """A file cut short counts as empty or gives what it still truly holds."""
    path = filled(tmp_path / "s.sqlite", 3)
    whole = path.read_bytes()
    for length in range(0, len(whole), 97):
        path.write_bytes(whole[:length])
        assert Store(path).get("d0") in (None, HTML)


def test_an_exchanged_entry_is_noticed(tmp_path: Path) -> None:
    """An entry that stands under another note's digest is not believed."""
    path = filled(tmp_path / "s.sqlite")
    with sqlite3.connect(path) as base:
        base.execute("UPDATE note SET digest = 'other'")
    base.close()
    assert Store(path).get("other") is None


def test_locked_is_empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While another process writes, this one goes on without, and does not destroy the other's work."""
    monkeypatch.setattr(store, "WAIT", 0.05)
    path = filled(tmp_path / "s.sqlite")
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    remembered = Store(path)
    assert remembered.get("d0") is None
    remembered.put("d9", HTML)
    remembered.save()
    other.execute("COMMIT")
    other.close()
    assert Store(path).get("d0") == HTML


def test_folder_that_cannot_be_made(tmp_path: Path) -> None:
    """A file where the cache folder should be: everything works, nothing is remembered."""
    (tmp_path / "cache").write_text("x")
    remembered = Store(tmp_path / "cache" / "s.sqlite")
    remembered.put("d", HTML)
    remembered.save()
    assert (tmp_path / "cache").read_text() == "x"


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX permissions")
def test_read_only_is_still_read() -> None:
    """A store that cannot be written is read, and stays as it was."""
    with TemporaryDirectory() as name:
        path = filled(Path(name, "s.sqlite"))
        before = path.read_bytes()
        path.chmod(0o444)
        Path(name).chmod(0o555)
        me = os.geteuid()
        try:
            os.seteuid(me or 65534)  # the superuser may write anywhere
            remembered = Store(path)
            assert remembered.get("d0") == HTML
            remembered.put("d1", HTML)
            remembered.save()
        finally:
            os.seteuid(me)
        assert path.read_bytes() == before
        Path(name).chmod(0o700)


def test_two_processes(tmp_path: Path) -> None:
    """Several processes that fill one store at once all end well, and all that they put is there."""
    code = """
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from compiler import store
store.WAIT = 60
for turn in range(20):
    remembered = store.Store(Path(sys.argv[1]))
    remembered.put(f"{sys.argv[2]}-{turn}", sys.argv[2] * turn)
    remembered.save()
"""
    path = tmp_path / "s.sqlite"
    running = [subprocess.Popen([sys.executable, "-c", code, str(path), str(number)], cwd=ROOT) for number in range(3)]
    assert [process.wait() for process in running] == [0, 0, 0]
    remembered = Store(path)
    assert all(remembered.get(f"{number}-{turn}") == str(number) * turn for number in range(3) for turn in range(20))


def test_killed_while_saving(tmp_path: Path) -> None:
    """SIGKILL at any moment of a save leaves a store that is read, with old entries whole."""
    path = filled(tmp_path / "s.sqlite", 5)
    code = """
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from compiler import store
from compiler.store import Store
store.SLACK = 10**9
print("go", flush=True)
for turn in range(10000):
    remembered = Store(Path(sys.argv[1]))
    for number in range(50):
        remembered.put(f"n{turn}-{number}", "x" * 500)
    remembered.save()
"""
    for turn in range(10):
        process = subprocess.Popen([sys.executable, "-c", code, str(path)], cwd=ROOT, stdout=subprocess.PIPE)
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(0.01 + turn * 0.007)
        process.send_signal(signal.SIGKILL)
        process.wait()
        remembered = Store(path)
        assert [remembered.get(f"d{number}") for number in range(5)] == [HTML] * 5


def test_old_entries_are_dropped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file does not grow for ever: entries of notes that are gone are dropped in the end."""
    monkeypatch.setattr(store, "SLACK", 5)
    path = filled(tmp_path / "s.sqlite", 20)
    remembered = Store(path)
    assert remembered.get("d3") == HTML
    remembered.put("new", HTML)
    remembered.save()
    remembered = Store(path)
    assert (remembered.get("d3"), remembered.get("new"), remembered.get("d4")) == (HTML, HTML, None)


def test_another_state_of_the_code_is_empty(tmp_path: Path) -> None:
    """When the code changes, nothing that it gave before is believed, and the older file goes."""
    notes = tmp_path / "notes"
    for code in ("a" * 64, "b" * 64):
        remembered = for_folder(notes, "book", code, tmp_path / "cache")
        assert remembered.get("d") is None
        remembered.put("d", HTML)
        remembered.save()
        assert for_folder(notes, "book", code, tmp_path / "cache").get("d") == HTML
    assert len(list((tmp_path / "cache").iterdir())) == 1
    other = for_folder(tmp_path / "other", "book", "b" * 64, tmp_path / "cache")
    assert other.get("d") is None


def test_never_inside_the_notes(tmp_path: Path) -> None:
    """A cache folder inside the notes folder is not used."""
    for place in (tmp_path, tmp_path / "cache"):
        remembered = for_folder(tmp_path, "book", "a" * 64, place)
        remembered.put("d", HTML)
        remembered.save()
    assert list(tmp_path.iterdir()) == []


def test_cache_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification: `$XDG_CACHE_HOME` if absolute, else `~/.cache`; relative ones are ignored."""
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("HOME", "/home/una")
    monkeypatch.setenv("XDG_CACHE_HOME", "/var/x")
    assert cache_folder("book") == Path("/var/x/book")
    monkeypatch.setenv("XDG_CACHE_HOME", "")
    assert cache_folder("book") == Path("/home/una/.cache/book")
    monkeypatch.setenv("XDG_CACHE_HOME", "relative")
    assert cache_folder("book") is None


def test_code_digest(tmp_path: Path) -> None:
    """The digest follows every byte of the files and every version, and not the order in which they are named."""
    one, two = tmp_path / "a.py", tmp_path / "b.py"
    one.write_text("1")
    two.write_text("2")
    first = code_digest([one, two], "3.0")
    assert first == code_digest([two, one], "3.0")
    assert first != code_digest([one, two], "3.1")
    two.write_text("3")
    assert first != code_digest([one, two], "3.0")
