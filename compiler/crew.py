"""Many hands for work that leaves no trace: a running program copies itself, and each copy makes a share of the whole.

Used for making and drawing pages, which takes most of the time of a large book. Copies see all that was known before,
and what they make stays with them until the first process asks for it; so little is sent. The results are the same as
those of one process; where a running program cannot be copied safely, one process does it all.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

HANDS = 2  # more gain little: one process writes what the others draw
MOST_TASKS = 4096  # their numbers must fit into a pipe, 64 kB (Linux, pipe(7))
LOST = (EOFError, OSError)  # what asking a copy raises that the system ended
_NUMBER = 4  # bytes of a task's number

Work = Callable[[Iterator[int], "Connection"], None]


def able() -> int:
    """How many copies may work at once: the processors this program may use, 1 where it must not be copied.

    Only on Linux: elsewhere the system's own libraries may not survive it (Python's documentation of
    `multiprocessing`, "Contexts and start methods"). A program with other threads is not copied either.
    """
    if sys.platform != "linux" or threading.active_count() > 1:
        return 1
    return min(len(os.sched_getaffinity(0)), HANDS)


@contextmanager
def hired(tasks: int, hands: int, work: Work) -> Iterator[Sequence[Connection]]:
    """As many copies of this process, each doing `work(numbers, end)`; gives the ends to talk to them.

    `numbers` are those of tasks that no other copy took: whoever is free takes the next. A copy whose end is closed
    ends. Raises ValueError for more than `MOST_TASKS`.
    """
    from multiprocessing import get_context

    context = get_context("fork")
    with ExitStack() as at_last, _dealt(tasks) as pile:
        ends: list[Connection] = []
        for _ in range(hands):
            here, there = context.Pipe()
            ends.append(here)
            copy = context.Process(target=_work, args=(work, pile, there, tuple(ends)), daemon=True)
            copy.start()
            there.close()
            at_last.callback(copy.join)
        at_last.callback(_closed, ends)  # first: a copy that is still sending ends at once
        yield tuple(ends)


@contextmanager
def _dealt(tasks: int) -> Iterator[int]:
    """A pipe with the numbers of all tasks, from which copies read one after another (a short read is never torn)."""
    if tasks > MOST_TASKS:
        raise ValueError(f"{tasks} tasks are too many")
    pile, into = os.pipe()
    os.write(into, b"".join(number.to_bytes(_NUMBER, "big") for number in range(tasks)))
    os.close(into)
    try:
        yield pile
    finally:
        os.close(pile)


def _work(work: Work, pile: int, end: Connection, ends: Sequence[Connection]) -> None:
    """In a copy: do the work, as long as anybody listens."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the first process answers for an interruption
    for other in ends:
        other.close()  # else nobody would notice that the first process is gone
    with suppress(*LOST):
        work(_numbers(pile), end)


def _numbers(pile: int) -> Iterator[int]:
    while number := os.read(pile, _NUMBER):
        yield int.from_bytes(number, "big")


def _closed(ends: Sequence[Connection]) -> None:
    for end in ends:
        end.close()
