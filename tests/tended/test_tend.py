"""`flockbook tend` as a process: saves, slips, an interruption, a port that is taken, a folder that is gone."""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
LONGEST = 60.0  # seconds: other work may be going on
pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")


class Running:
    """A tending process and what it said."""

    def __init__(self, notes: Path, *more: str) -> None:
        self.notes, self.said = notes, notes.parent / "said.txt"
        surroundings = {**os.environ, "XDG_CACHE_HOME": str(notes.parent / "cache"), "PYTHONPATH": str(ROOT)}
        with self.said.open("w") as out:
            self.process = subprocess.Popen(
                [sys.executable, "-u", "-m", "flockbook", "tend", str(notes), *more],
                stdout=out, stderr=subprocess.STDOUT, env=surroundings,
            )  # fmt: skip

    def until(self, true: Callable[[], bool], what: str) -> None:
        """Wait for something."""
        end = time.monotonic() + LONGEST
        while not true():
            assert time.monotonic() < end, f"{what}: {self.said.read_text()}"
            assert self.process.poll() is None, self.said.read_text()
            time.sleep(0.05)

    def says(self, words: str, times: int = 1) -> None:
        """Wait until it has said something so often."""
        self.until(lambda: self.said.read_text().count(words) >= times, words)

    @property
    def address(self) -> str:
        """Where the book is."""
        return self.said.read_text().partition("the book: ")[2].split()[0]

    def get(self, path: str, **heads: str) -> tuple[int, bytes]:
        """The status and the bytes of a request."""
        asked = urllib.request.Request(self.address + path, headers=heads)
        try:
            with urllib.request.urlopen(asked, timeout=10) as answer:
                return answer.status, answer.read()
        except urllib.error.HTTPError as error:
            return error.code, error.read()

    def state(self, page: str = "index.html") -> dict[str, Any]:
        """What an open page is told."""
        found: dict[str, Any] = json.loads(self.get(f"-/state?page={page}")[1])
        return found

    def end(self, number: int = signal.SIGINT) -> int:
        """Interrupt it; its status."""
        self.process.send_signal(number)
        return self.process.wait(LONGEST)


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    """A small notes folder."""
    folder = tmp_path / "notes"
    (folder / "sheep").mkdir(parents=True)
    (folder / "flock.yaml").write_text("flock: Low End\n")
    (folder / "sheep" / "A1.md").write_text("---\nnote: ewe\nborn: 2020\n---\n")
    return folder


@pytest.fixture
def tend(notes: Path) -> Iterator[Running]:
    """A tending process whose first book is made."""
    running = Running(notes)
    running.says("wrote ")
    yield running
    if running.process.poll() is None:
        running.end(signal.SIGTERM)


def test_a_save_a_slip_and_its_mend(tend: Running) -> None:
    """A saved note is in the book; a slip is told in the terminal and to open pages, and is gone when it is mended."""
    front = tend.state()["page"]
    note = tend.notes / "2026-04-19 remark A1.md"
    note.write_text("---\nsheep: A1\n---\nLame behind.\n")
    tend.says("wrote ", 2)
    assert b"Lame behind." in tend.get("sheep/a1.html")[1]
    note.write_text("---\nsheep: A9\n---\nLame behind.\n")
    tend.says("A9", 1)
    tend.until(lambda: "A9" in " ".join(tend.state()["told"]), "the slip on the page")
    assert tend.state()["page"] != front
    note.write_text("---\nsheep: A1\n---\nLame behind.\n")
    tend.says("gone: ")
    tend.until(lambda: tend.state()["told"] == [], "the mend on the page")
    before = tree(tend.notes / "book")
    assert tend.end() == 0
    surroundings = {**os.environ, "XDG_CACHE_HOME": str(tend.notes.parent / "other"), "PYTHONPATH": str(ROOT)}
    words = [sys.executable, "-m", "flockbook", "compile", str(tend.notes)]
    subprocess.run(words, env=surroundings, capture_output=True, check=False)
    after = tree(tend.notes / "book")
    moving = {".book-files", "stamp.css", "loading.html"}  # they say when they were made
    moving |= {path for path in after if path.startswith("neighbour")}
    assert {path for path in after if after[path] != before.get(path)} <= moving
    assert after.keys() == before.keys()


def tree(folder: Path) -> dict[str, bytes]:
    """Every file of a book."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_only_the_book_is_served_and_only_to_its_own_pages(tend: Running) -> None:
    """No listing, no note, no list of files, no other host, no foreign page; what renews a page is not on the disk."""
    assert [tend.get(path)[0] for path in ("", "index.html", "style.css", "-/renew.js")] == [200] * 4
    for path in ("sheep/", ".book-files", "..%2Fflock.yaml", "../flock.yaml", "%2e%2e/flock.yaml", "no.html", "//etc"):
        assert tend.get(path)[0] == 404, path
    assert tend.get("", Host="evil.example")[0] == 403
    assert tend.get("-/state?page=index.html", Origin="http://evil.example")[0] == 403
    assert tend.get("", Origin=tend.address.rstrip("/"))[0] == 200
    posted = urllib.request.Request(tend.address, data=b"x", method="POST")
    with pytest.raises(urllib.error.HTTPError, match="501"):
        urllib.request.urlopen(posted, timeout=10)
    served = tend.get("index.html")[1]
    assert b"renew.js" in served
    assert b"connect-src 'self'" in served
    assert not [path for path, data in tree(tend.notes / "book").items() if b"renew" in data or b"connect-src" in data]


def test_a_link_in_the_book_is_not_followed(tend: Running) -> None:
    """A page that somebody replaced by a link to a file outside is not given."""
    page = tend.notes / "book" / "index.html"
    page.unlink()
    page.symlink_to(tend.notes / "flock.yaml")
    assert tend.get("index.html")[0] == 404


def test_settings_broken_and_mended_in_mid_run(tend: Running) -> None:
    """The book is made with what of the settings can be read, and the message goes when they are mended."""
    (tend.notes / "flock.yaml").write_text("flock: [Low\n")
    tend.says("flock.yaml:")
    (tend.notes / "flock.yaml").write_text("flock: High End\n")
    tend.says("gone: flock.yaml")
    assert b"High End" in tend.get("")[1]


def test_a_folder_that_is_gone_and_comes_back(tend: Running) -> None:
    """It is told, in words and not again and again; when the folder is back the book is made."""
    away = tend.notes.with_name("away")
    tend.notes.rename(away)
    tend.says("help: put it back")
    time.sleep(3)
    assert tend.said.read_text().count("help: put it back") == 1
    away.rename(tend.notes)
    tend.says("wrote ", 2)
    assert "Traceback" not in tend.said.read_text()


def test_a_port_that_is_taken(notes: Path) -> None:
    """With a port that somebody has it ends with status 2 and says what to do."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        running = Running(notes, "--port", str(taken.getsockname()[1]))
        assert running.process.wait(LONGEST) == 2
    said = running.said.read_text()
    assert "cannot be used" in said
    assert "help: name another with --port" in said
    assert "Traceback" not in said


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_it_ends_well(tend: Running, number: int) -> None:
    """Ctrl-C, an end and a closed terminal end it with status 0 and leave no process, no lock and no half file."""
    helpers = children(tend.process.pid)
    assert tend.end(number) == 0
    are_gone(helpers)
    assert not [name for name in (".book-lock", ".book-part") if (tend.notes / "book" / name).exists()]
    assert "Traceback" not in tend.said.read_text()


def children(pid: int) -> list[int]:
    """The processes that one has started."""
    found = Path(f"/proc/{pid}/task/{pid}/children")
    return [int(word) for word in found.read_text().split()] if found.exists() else []


def test_killed_it_leaves_no_helper(tend: Running) -> None:
    """The helper ends when the process that started it is killed."""
    helpers = children(tend.process.pid)
    tend.process.kill()
    tend.process.wait()
    are_gone(helpers)


def are_gone(helpers: list[int]) -> None:
    """Wait until none of some processes is left."""
    end = time.monotonic() + LONGEST
    while [pid for pid in helpers if Path(f"/proc/{pid}").exists()]:
        assert time.monotonic() < end
        time.sleep(0.1)


def test_a_compile_beside_it(tend: Running) -> None:
    """A compile of the same book while it is tended waits its turn, and both leave a whole book."""
    surroundings = {**os.environ, "XDG_CACHE_HOME": str(tend.notes.parent / "other"), "PYTHONPATH": str(ROOT)}
    (tend.notes / "sheep" / "A2.md").write_text("---\nnote: ewe\n---\n")
    words = [sys.executable, "-m", "flockbook", "compile", str(tend.notes)]
    done = subprocess.run(words, env=surroundings, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    tend.says("wrote ", 2)
    assert tend.get("sheep/a2.html")[0] == 200
    shutil.rmtree(tend.notes.parent / "other")
