"""When the notes differ: the system's events only wake, a look at names, sizes and times decides."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from compiler.finished import RECENT, folder_digest

SETTLE = 0.25  # seconds without any change after which a save is whole
LONGEST_SETTLE = 5.0  # seconds after which notes that never settle are taken as they are
PULSE = 2.0  # seconds between two looks where nothing wakes (network folders send no events)
SHARE = 20  # a look may take one part of so many of the time
READING = ("opened", "closed_no_write")  # events of mere reading


class Watch:
    """A notes folder under watch; `book` inside it is not looked at. Close it at the end."""

    def __init__(
        self, notes: Path, book: Path, clock: Callable[[], float] = time.monotonic,
        beside: Callable[[], str] = lambda: "",
    ) -> None:  # fmt: skip
        """`trouble` says why the system gives no word of changes, "" where it does; it is looked at anyhow. `beside`
        tells the state of what else the book is made of.
        """
        self.notes, self.book, self.clock, self.beside = notes, book, clock, beside
        self.woken = threading.Event()
        self.cost = 0.0
        self.known = self.look()
        self.observer, self.trouble = self._observed()

    def look(self) -> str:
        """How the notes stand now, "" where they cannot be looked at."""
        begun = self.clock()
        try:
            return f"{folder_digest(self.notes, self.book, time.time_ns() + RECENT)} {self.beside()}"
        except OSError:
            return ""
        finally:
            self.cost = self.clock() - begun

    def differs(self, patience: float) -> bool:
        """Wait at most so many seconds for a change, and until it has settled; whether there was one."""
        end = self.clock() + max(0.0, patience)
        while True:
            pause = max(PULSE, self.cost * SHARE)
            self.woken.wait(max(0.0, min(pause, end - self.clock())))
            self.woken.clear()
            now = self.look()
            if now != self.known:
                self.known = self.settled(now)
                return True
            if self.clock() >= end:
                return False

    def settled(self, now: str) -> str:
        """How the notes stand when nothing has moved for a while."""
        begun = self.clock()
        while self.clock() - begun < LONGEST_SETTLE:
            time.sleep(SETTLE)
            before, now = now, self.look()
            if now == before:
                break
        return now

    def close(self) -> None:
        """Look no more."""
        if self.observer is not None:
            self.observer.stop()
            self.observer.join(PULSE)

    def _observed(self) -> tuple[Any, str]:
        from watchdog.observers import Observer

        observer = Observer()
        try:
            observer.schedule(self._handler(), str(self.notes), recursive=True)
            observer.start()
        except (OSError, RuntimeError) as error:
            return None, str(error)
        return observer, ""

    def _handler(self) -> Any:
        from watchdog.events import FileSystemEvent, FileSystemEventHandler

        watch, inside = self, f"{self.book.resolve()}/"

        class Waking(FileSystemEventHandler):
            def on_any_event(self, event: FileSystemEvent) -> None:
                if event.event_type not in READING and not str(event.src_path).startswith(inside):
                    watch.woken.set()

        return Waking()
