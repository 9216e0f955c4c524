"""Where something may be written for others: never among the notes; a single file whole or not at all, and never over
one that this program did not write.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from compiler.output import OutputRefused, explained

BEGINNING = 4096  # bytes by which a file is known
ELSEWHERE = "name a file or folder outside the notes with --to"


def refuse_among(to: Path, notes: Path) -> None:
    """Raise OutputRefused for a place in the notes folder: there it could overwrite notes, or be read as one."""
    with explained(to):
        if any(_same(step, notes) for step in (to.resolve(), *to.resolve().parents)):
            raise OutputRefused(f"{to} lies among the notes ({notes.resolve()}); nothing was written", ELSEWHERE)


def write_file(to: Path, notes: Path, data: bytes, is_ours: Callable[[bytes], bool]) -> None:
    """Put `data` there at one stroke. `is_ours` knows a file that this program wrote by how it begins; any other is
    somebody else's. Raises OutputRefused with nothing changed.
    """
    refuse_among(to, notes)
    with explained(to):
        if os.path.lexists(to) and not (to.is_file() and not to.is_symlink() and is_ours(_beginning(to))):
            raise OutputRefused(f"{to} is there and was not written by this command", "name another file with --to")
        part = to.with_name(f".{to.name}.part")
        try:
            _written(part, data)
            os.replace(part, to)
        except OSError:
            with suppress(OSError):
                part.unlink(missing_ok=True)
            raise


def _written(part: Path, data: bytes) -> None:
    with open(part, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _same(one: Path, other: Path) -> bool:
    with suppress(OSError):
        return os.path.samefile(one, other)
    return False


def _beginning(path: Path) -> bytes:
    with open(path, "rb") as file:
        return file.read(BEGINNING)
