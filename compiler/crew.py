"""Many hands for work that leaves no trace: a running program copies itself, and the copies send back what they made.

Used for drawing pages, which takes most of the time of a large book. The results are the same, and in the same order,
as those of one process; where a running program cannot be copied safely, one process does it all.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

R = TypeVar("R")
Part = Sequence[str]

HANDS = 2  # more gain little: one process writes what the others draw
PORTION = 48  # things done before they are sent back; measured: 16 to 100 make no difference
WORTH_IT = 2000  # with fewer things, copying costs more than it saves (measured on 360, 970 and 2,480 pages)
_LOST = (EOFError, OSError)  # a copy that the system ended


def portions(things: Part, work: Callable[[Part], R]) -> Iterator[R]:
    """What `work` gives for one portion of the things after another, in order.

    `work` must neither raise nor change anything outside itself, and what it gives must be picklable. A portion whose
    copy was ended by the system is done here instead.
    """
    parts = [things[start : start + PORTION] for start in range(0, len(things), PORTION)]
    hands = min(able(), HANDS) if len(things) >= WORTH_IT else 1
    if hands < 2:
        yield from map(work, parts)
        return
    with _copies(parts, work, hands) as ends:
        for number, part in enumerate(parts):
            yield _received(ends[number % hands], partial(work, part))


def able() -> int:
    """How many copies may work at once: the processors this program may use, 1 where it must not be copied.

    Only on Linux: elsewhere the system's own libraries may not survive it (Python's documentation of
    `multiprocessing`, "Contexts and start methods"). A program with other threads is not copied either.
    """
    if sys.platform != "linux" or threading.active_count() > 1:
        return 1
    return len(os.sched_getaffinity(0))


@contextmanager
def _copies(parts: Sequence[Part], work: Callable[[Part], R], hands: int) -> Iterator[list[Connection]]:
    """As many copies of this process, dealt the parts in turn; gives the ends to read from."""
    from multiprocessing import get_context

    context = get_context("fork")
    ends: list[Connection] = []
    copies = []
    try:
        for hand in range(hands):
            reader, writer = context.Pipe(duplex=False)
            ends.append(reader)
            copy = context.Process(target=_work, args=(parts[hand::hands], work, writer, list(ends)), daemon=True)
            copy.start()
            copies.append(copy)
            writer.close()
        yield ends
    finally:
        for end in ends:
            end.close()  # a copy that is still sending ends at once
        for copy in copies:
            copy.join()


def _work(parts: Sequence[Part], work: Callable[[Part], R], writer: Connection, ends: Sequence[Connection]) -> None:
    """In a copy: do the parts and send what they give, as long as anybody reads it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the first process answers for an interruption
    for end in ends:
        end.close()  # else nobody would notice that the first process is gone
    with suppress(OSError):
        for part in parts:
            writer.send(work(part))


def _received(end: Connection, instead: Callable[[], R]) -> R:
    try:
        given: R = end.recv()
    except _LOST:
        return instead()
    return given
