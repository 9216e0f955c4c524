"""Copies of the program that make and draw pages: the book of one process, and nothing left behind."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import pytest

from compiler import crew, shares
from compiler.book import Findings, PageMaker, Stamp
from compiler.output import OutputRefused
from compiler.pages import Page
from compiler.shape import Value
from tests.compiler.test_build import lay, made, on_disk
from tests.toybook_book import with_pages

TASKS = 300
BOATS = 100
pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only there a running program is copied")

Book = tuple[dict[str, bytes], list[str]]
Maker = Callable[[Findings[Any, Any, Any], Stamp], Iterator[Page]]


def telling(numbers: Iterator[int], end: Connection) -> None:
    """What a copy does in these tests: its process, and the tasks that it took."""
    end.send((os.getpid(), list(numbers)))


@pytest.mark.parametrize("hands", [1, 2, 3])
def test_every_task_is_taken_once(hands: int) -> None:
    """However many copies there are, none is this process, and none is left afterwards."""
    with crew.hired(TASKS, hands, telling) as ends:
        told = [end.recv() for end in ends]
    assert sorted(number for _, numbers in told for number in numbers) == list(range(TASKS))
    workers = {process for process, _ in told}
    assert len(workers) == hands
    assert os.getpid() not in workers
    assert not multiprocessing.active_children()


def test_more_tasks_than_a_pipe_holds_are_refused() -> None:
    """Rather than to wait for ever for somebody who reads."""
    with pytest.raises(ValueError, match="too many"), crew.hired(crew.MOST_TASKS + 1, 2, telling):
        pass


def flooding(numbers: Iterator[int], end: Connection) -> None:
    """A copy that sends more than a pipe holds at once."""
    for number in numbers:
        end.send((os.getpid(), [number] * 100_000))


def test_copies_end_when_nobody_reads_on() -> None:
    """A writer that stops half-way (a full disk) leaves no process behind."""
    with crew.hired(TASKS, 2, flooding) as ends:
        ends[0].recv()
    assert not multiprocessing.active_children()


SLOW = """
import os, time
from compiler import crew
def work(numbers, end):
    for number in numbers:
        time.sleep(0.1)
        end.send(os.getpid())
with crew.hired(400, 2, work) as ends:
    while True:
        for end in ends:
            print(end.recv(), flush=True)
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


# The whole book


@pytest.fixture(params=[2, 3])
def hands(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> int:
    """So many copies, however small the book and whatever threads the test runner has."""
    monkeypatch.setattr(crew, "able", lambda: request.param)
    monkeypatch.setattr(shares, "WORTH_IT", 0)
    monkeypatch.setattr(shares, "TOGETHER", 7)
    return int(request.param)


class Broken(Value):
    """A view without the field that its template shows."""


def broken(found: Findings[Any, Any, Any], stamp: Stamp) -> Iterator[Page]:
    """A page that cannot be drawn, among the others."""
    del found, stamp
    yield Page("boats/30-x.html", "boat.html", "Extra", Broken())


def failing(found: Findings[Any, Any, Any], stamp: Stamp) -> Iterator[Page]:
    """A group of pages that fails after its first."""
    yield from broken(found, stamp)
    raise LookupError("no chart")


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """What one process makes of the log of a hundred boats: the book's files and the codes of the messages."""
    return book_of(tmp_path_factory.mktemp("alone"))


@pytest.mark.usefixtures("hands")
def test_the_book_is_the_same_from_any_number_of_hands(tmp_path: Path, alone: Book) -> None:
    """Copies or none: the same files, the same bytes, the same messages about pages that fail."""
    assert book_of(tmp_path) == alone
    assert alone[1] == ["B906"]
    assert len(alone[0]) > BOATS


@pytest.mark.usefixtures("hands")
def test_pages_are_drawn_by_copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A book that is worth it is not drawn by this process."""
    drawn = []
    monkeypatch.setattr("compiler.binding.bind", lambda *_: drawn.append(1))
    assert len(book_of(tmp_path)[0]) > BOATS
    assert drawn == []


@pytest.mark.usefixtures("hands")
def test_a_failing_group_of_pages_is_told_as_by_one_process(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The pages that list what is wrong list it too, whoever made them."""
    by_hands = book_of(tmp_path / "hands", failing)
    monkeypatch.setattr(crew, "able", lambda: 1)
    assert book_of(tmp_path / "alone", failing) == by_hands
    assert by_hands[1] == ["B905"]
    assert b"no chart" in by_hands[0]["problems.html"]


@pytest.mark.usefixtures("hands")
@pytest.mark.parametrize("when", ["draw", "settle"])
def test_what_a_lost_copy_leaves_is_done_here(
    tmp_path: Path, alone: Book, monkeypatch: pytest.MonkeyPatch, when: str
) -> None:
    """A copy that the system ends (for want of memory, say) while it makes pages, or while it sends them, costs time
    but no page.
    """
    here, name = os.getpid(), {"draw": "_drawn", "settle": "_placed"}[when]
    honest = getattr(sys.modules["compiler.binding"], name)

    def fragile(*given: Any) -> Any:
        if os.getpid() != here and any(isinstance(part, Page) and "50-tern" in part.path for part in given):
            os.kill(os.getpid(), signal.SIGKILL)
        return honest(*given)

    monkeypatch.setattr(f"compiler.binding.{name}", fragile)
    assert book_of(tmp_path) == alone


@pytest.mark.usefixtures("hands")
def test_a_disk_that_fills_leaves_no_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A writer that gives up half-way ends its copies."""

    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("compiler.output._replace", full)
    with pytest.raises(OutputRefused):
        book_of(tmp_path)
    assert not multiprocessing.active_children()


def book_of(root: Path, extra: Maker = broken) -> Book:
    """Compile a log of a hundred boats with a page or pages that fail."""
    boat = "---\nnote: boat\nbuilt: {}\n---\nAs [the last](99%20Tern.md).\n"
    lay(root / "notes", {f"boats/{number} Tern.md": boat.format(1900 + number) for number in range(BOATS)})
    built = made(root, with_pages(PageMaker("broken", extra)))
    files = on_disk(root / "book")
    return files, [message.code for message in built.told if message.code.startswith("B9")]
