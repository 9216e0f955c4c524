"""A large book made by several hands: each makes and draws a share of the pages, and keeps their bytes until asked.

No page's view outlives its drawing: what a hand keeps of a page is its bytes, packed, and what it tells the first
process is the page without its view. The book is that of one process, byte for byte; if a maker of pages fails, or a
hand is ended by the system, one process begins again.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING, Any

from compiler import crew, faults
from compiler.book import Findings, Many, PageMaker, Stamp
from compiler.diagnostics import Diagnostic
from compiler.faults import attempt
from compiler.pages import Asset, Page
from compiler.shape import Value, replace

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

WORTH_IT = 250  # notes; measured: 1.58 s by one process and 1.27 s by two for 519 files, 8.05 s and 6.96 s for 3,000
TOGETHER = 48  # things of one task, and pages sent at once (our own choice)
PACKED = 1  # zlib's quickest: pages pack to a quarter

Leaves = list[Page | Asset]
Drawn = bytes | Diagnostic  # or why a page could not be drawn
Made = dict[int, Leaves | Diagnostic]


class Hand(Value):
    """How a hand draws a page, and how links to notes are then settled in its bytes."""

    draw: Callable[[Page], Drawn]
    settle: Callable[[Page, Drawn, Mapping[str, str]], Drawn]


class Task(Value):
    """A maker of pages, or some of the things that it makes pages of."""

    maker: PageMaker[Any, Any, Any]
    some: Many | None = None


class Job(Value):
    """What there is to make, and from what."""

    makers: Sequence[PageMaker[Any, Any, Any]]
    findings: Findings[Any, Any, Any]
    stamp: Stamp
    hand: Hand


class Shares(Value):
    """What all hands made, in the order of the makers; `where` is the hand that keeps a page, and the page's number."""

    leaves: Leaves
    where: Mapping[str, tuple[int, int]]
    ends: Sequence[Connection]

    def drawn(self, order: Sequence[str], shown: Mapping[str, str]) -> Iterator[Drawn]:
        """What became of these pages, in turn. Raises `crew.LOST` if a hand was ended meanwhile."""
        coming = []
        for hand, end in enumerate(self.ends):
            numbers = [self.where[path][1] for path in order if self.where[path][0] == hand]
            end.send((shown, numbers))
            coming.append(_received(end, len(numbers)))
        for path in order:
            yield next(coming[self.where[path][0]])


@contextmanager
def shared(job: Job) -> Iterator[Shares | None]:
    """All pages made and drawn by several hands; None where one process has to do it."""
    hands = crew.able() if job.findings.collection.read >= WORTH_IT else 1
    tasks = attempt(partial(_tasks, job), faults.IN_PAGES, "", "") if hands > 1 else ()
    if isinstance(tasks, Diagnostic) or not 0 < len(tasks) <= crew.MOST_TASKS:
        yield None
        return
    with crew.hired(len(tasks), hands, partial(_share, job, tasks)) as ends:
        yield _gathered(ends, len(tasks))


def _tasks(job: Job) -> tuple[Task, ...]:
    """In the order of the pages. What shared makers rest on is made here, once for all hands."""
    return tuple(task for maker in job.makers for task in _tasks_of(maker, job))


def _tasks_of(maker: PageMaker[Any, Any, Any], job: Job) -> Iterator[Task]:
    if not maker.shared:
        yield Task(maker)
        return
    many = maker.make(job.findings, job.stamp)
    assert isinstance(many, Many)
    for start in range(0, len(many.things), TOGETHER):
        yield Task(maker, replace(many, things=many.things[start : start + TOGETHER]))


def _share(job: Job, tasks: Sequence[Task], numbers: Iterator[int], end: Connection) -> None:
    """In a copy: make and draw until all tasks are taken, tell what was made, then send the bytes asked for."""
    made: Made = {}
    kept: list[tuple[Page, Drawn]] = []
    for number in numbers:
        made[number] = attempt(partial(_made, tasks[number], job, kept), faults.IN_PAGES, "", "")
    end.send(made)
    shown, wanted = end.recv()
    for start in range(0, len(wanted), TOGETHER):
        portion = [kept[number] for number in wanted[start : start + TOGETHER]]
        end.send([job.hand.settle(page, _unpacked(drawn), shown) for page, drawn in portion])


def _made(task: Task, job: Job, kept: list[tuple[Page, Drawn]]) -> Leaves:
    made = []
    for leaf in task.maker.make(job.findings, job.stamp) if task.some is None else task.some:
        if isinstance(leaf, Page):
            drawn = job.hand.draw(leaf)
            leaf = replace(leaf, view=type(leaf.view))
            kept.append((leaf, zlib.compress(drawn, PACKED) if isinstance(drawn, bytes) else drawn))
        made.append(leaf)
    return made


def _unpacked(drawn: Drawn) -> Drawn:
    return zlib.decompress(drawn) if isinstance(drawn, bytes) else drawn


def _gathered(ends: Sequence[Connection], tasks: int) -> Shares | None:
    """What the hands tell; None if one of them is gone, or a maker failed."""
    by_task: dict[int, Leaves] = {}
    where: dict[str, tuple[int, int]] = {}
    homes: dict[int, list[tuple[str, tuple[int, int]]]] = {}
    try:
        told: list[Made] = [end.recv() for end in ends]
    except crew.LOST:
        return None
    for hand, made in enumerate(told):
        number = 0
        for task, leaves in made.items():
            if isinstance(leaves, Diagnostic):
                return None
            pages = [leaf.path for leaf in leaves if isinstance(leaf, Page)]
            homes[task] = [(path, (hand, number + place)) for place, path in enumerate(pages)]
            number += len(pages)
            by_task[task] = leaves
    if len(by_task) < tasks:
        return None
    for task in range(tasks):
        for path, home in homes[task]:
            where.setdefault(path, home)
    return Shares([leaf for task in range(tasks) for leaf in by_task[task]], where, ends)


def _received(end: Connection, count: int) -> Iterator[Drawn]:
    while count > 0:
        portion: list[Drawn] = end.recv()
        count -= len(portion)
        yield from portion
