"""How far a long job is, on a terminal: one line that is written over, and gone at the end."""

from __future__ import annotations

import sys
import time

STAGES_IN_WORDS = {
    "read settings": "reading the settings",
    "read notes": "reading the notes",
    "decode": "understanding the notes",
    "link": "finding out who is meant",
    "derive": "working out who is clear",
    "check": "checking",
    "find pictures": "finding pictures",
    "make pages": "working out the pages",
    "prove theme": "proving the theme",
    "draw and write": "drawing and writing",
}
PATIENCE = 1.0  # seconds that a job may take without a word
WIPE = "\r\x1b[K"  # ECMA-48: to the start of the line, and clear it


class Progress:
    """Tells how far a job is once it has taken a while; quiet where nobody looks."""

    def __init__(self, shown: bool | None = None) -> None:
        """`shown` is whether there is a terminal (None: look)."""
        self.shown = sys.stderr.isatty() if shown is None else shown
        self.begun, self.open = time.monotonic(), False

    def __call__(self, stage: str, done: int, of: int) -> None:
        """A stage begins, or so many files of so many are written."""
        if self.shown and time.monotonic() - self.begun >= PATIENCE:
            self.open = True
            count = f", {done} of {of} files" if of else ""
            sys.stderr.write(f"{WIPE}{STAGES_IN_WORDS.get(stage, stage)}{count} …")
            sys.stderr.flush()

    def end(self) -> None:
        """The job is done, or was broken off."""
        if self.open:
            sys.stderr.write(WIPE)
            sys.stderr.flush()
        self.begun, self.open = time.monotonic(), False
