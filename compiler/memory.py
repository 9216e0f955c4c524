"""What a process that stays keeps of notes already read: a note is read and decoded again only when it differs.

What is kept is a note's own: its text taken apart, and the record or the hole that became of it. A file is told by its
size and all its times; one that was changed just before it was read is read again, because a second change may leave
them as they were.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable

from compiler.collection import Given, Outcome, Sorting, place
from compiler.folder import Found, given_of
from compiler.names import Name
from compiler.shape import Value

RECENT = 3_000_000_000  # nanoseconds; FAT keeps times to two seconds
State = tuple[int, ...]


class Kept(Value):
    """A note as it was read: how its file and the table beside it stood, and when that was."""

    states: tuple[State, ...]
    read: int
    given: Given


class Became(Value):
    """What became of a note, and from what: the note itself, the one it is a copy of, how values are typed."""

    given: Given
    original: Given | None
    habits: object
    outcome: Outcome


class Memory:
    """Notes read so far, and what became of them."""

    def __init__(self, now: Callable[[], int] = time.time_ns) -> None:
        """`now` gives the time in nanoseconds."""
        self.now = now
        self.read: dict[str, Kept] = {}
        self.became: dict[str, Became] = {}

    def given(self, found: Found, table: Found | None) -> Given:
        """A note as it stands in its file."""
        read, kept = self.now(), self.read.get(found.path)
        states = tuple(state_of(file.place) for file in (found, table) if file)
        if kept and kept.states == states and is_settled(kept):
            return kept.given
        given = given_of(found, table)
        self.read[found.path] = Kept(states, read, given)
        return given

    def place(self, given: Given, name: Name, original: Given | None, how: Sorting) -> Outcome:
        """What becomes of a note."""
        kept = self.became.get(given.note.path)
        if kept and kept.given is given and kept.original is original and kept.habits == how.habits:
            return kept.outcome
        outcome = place(given, name, original, how)
        self.became[given.note.path] = Became(given, original, how.habits, outcome)
        return outcome

    def forget_all_but(self, paths: Iterable[str]) -> None:
        """Keep only what these notes are."""
        wanted = set(paths)
        self.read = {path: kept for path, kept in self.read.items() if path in wanted}
        self.became = {path: kept for path, kept in self.became.items() if path in wanted}


def state_of(place: str) -> State:
    """How a file stands; nothing where it cannot be looked at, and then it is read."""
    try:
        found = os.lstat(place)
    except OSError:
        return ()
    return found.st_mtime_ns, found.st_ctime_ns, found.st_size, found.st_ino, found.st_mode


def is_settled(kept: Kept) -> bool:
    """Whether the files had been left alone for a while before they were read, so that their times speak for them."""
    return all(state and max(state[:2]) < kept.read - RECENT for state in kept.states)
