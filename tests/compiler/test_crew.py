"""Copies of the program that draw pages: the same results as one process, and nothing left behind."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from compiler import crew
from compiler.book import Findings, PageMaker, Stamp
from compiler.pages import Page
from compiler.shape import Value
from tests.compiler.test_build import lay, made, on_disk
from tests.toybook_book import with_pages

THINGS = [f"thing {number}" for number in range(crew.PORTION * 7 + 5)]
pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only there a running program is copied")


@pytest.fixture(params=[1, 2, 3])
def hands(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> int:
    """So many copies, however few the things and whatever threads the test runner has."""
    monkeypatch.setattr(crew, "able", lambda: request.param)
    monkeypatch.setattr(crew, "HANDS", request.param)
    monkeypatch.setattr(crew, "WORTH_IT", 0)
    return int(request.param)


def lengthened(part: Sequence[str]) -> tuple[int, list[str]]:
    """What a copy does: its process, and more bytes than a pipe holds at once."""
    return os.getpid(), [thing * 300 for thing in part]


def test_results_come_in_order_from_as_many_processes(hands: int) -> None:
    """Every thing is done once and stands in its place; one process alone is this one."""
    given = list(crew.portions(THINGS, lengthened))
    assert [thing for _, part in given for thing in part] == [thing * 300 for thing in THINGS]
    workers = {process for process, _ in given}
    assert len(workers) == hands
    assert (os.getpid() in workers) == (hands == 1)
    assert not multiprocessing.active_children()


@pytest.mark.usefixtures("hands")
def test_no_things_no_work() -> None:
    """Nothing to do gives nothing, from any number of hands."""
    assert list(crew.portions([], lengthened)) == []


@pytest.mark.usefixtures("hands")
def test_what_a_lost_copy_leaves_is_done_here() -> None:
    """A copy that the system ends half-way (for want of memory, say) costs time but no page."""
    here = os.getpid()

    def fragile(part: Sequence[str]) -> list[str]:
        if os.getpid() != here and THINGS[crew.PORTION * 4] in part:
            os.kill(os.getpid(), signal.SIGKILL)
        return list(part)

    assert [thing for part in crew.portions(THINGS, fragile) for thing in part] == THINGS


@pytest.mark.usefixtures("hands")
def test_copies_end_when_nobody_reads_on() -> None:
    """A writer that stops half-way (a full disk) leaves no process behind."""
    given = crew.portions(THINGS, lengthened)
    next(given)
    given.close()  # type: ignore[attr-defined]
    assert not multiprocessing.active_children()


def test_few_things_are_done_by_one_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """A small book is not worth a copy of the program."""
    monkeypatch.setattr(crew, "able", lambda: 2)
    assert {process for process, _ in crew.portions(THINGS[: crew.WORTH_IT - 1], lengthened)} == {os.getpid()}


SLOW = """
import os, sys, time
from compiler import crew
crew.able = lambda: 2
crew.WORTH_IT = 0
def work(part):
    time.sleep(0.1)
    return os.getpid()
for process in crew.portions(["x"] * crew.PORTION * 200, work):
    print(process, flush=True)
"""


def test_copies_end_when_the_first_process_is_killed() -> None:
    """Nothing goes on drawing, nor holds the book's lock, after the program itself was killed."""
    run = subprocess.Popen([sys.executable, "-c", SLOW], stdout=subprocess.PIPE, text=True)
    assert run.stdout
    copies = {int(run.stdout.readline()) for _ in range(4)}
    assert len(copies) == 2
    run.kill()
    run.wait()
    deadline = time.monotonic() + 20
    while any(is_working(process) for process in copies) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not [process for process in copies if is_working(process)]


def is_working(process: int) -> bool:
    """Whether a process is there and not merely waiting to be buried (proc(5): state Z)."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


class Broken(Value):
    """A view without the field that its template shows."""


def broken(found: Findings[Any, Any, Any], stamp: Stamp) -> Iterator[Page]:
    """A page that cannot be drawn, among the others."""
    del found, stamp
    yield Page("boats/30-x.html", "boat.html", "Extra", Broken())


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, bytes], list[str]]:
    """What one process makes of the log of a hundred boats: the book's files and the codes of the messages."""
    return book_of(tmp_path_factory.mktemp("alone"))


@pytest.mark.usefixtures("hands")
def test_the_book_is_the_same_from_any_number_of_hands(
    tmp_path: Path, alone: tuple[dict[str, bytes], list[str]]
) -> None:
    """Copies or none: the same files, the same bytes, the same messages about pages that fail."""
    assert book_of(tmp_path) == alone
    assert alone[1] == ["B906"]
    assert len(alone[0]) > 2 * crew.PORTION


def book_of(root: Path) -> tuple[dict[str, bytes], list[str]]:
    """Compile a log of a hundred boats with a broken page."""
    boat = "---\nnote: boat\nbuilt: {}\n---\n"
    lay(root / "notes", {f"boats/{number} Tern.md": boat.format(1900 + number) for number in range(100)})
    built = made(root, with_pages(PageMaker("broken", broken)))
    files = on_disk(root / "book")
    return files, [message.code for message in built.told if message.code.startswith("B9")]
