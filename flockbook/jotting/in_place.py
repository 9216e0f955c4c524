"""A new text in the place of a file: whole or not at all, and never over words that were written meanwhile."""

from __future__ import annotations

import os
from pathlib import Path


def replace_text(place: Path, was: bytes, text: str) -> bool:
    """Put a text where a file said `was`, with the file's own permissions; not if it says something else by now.

    Gives whether it was done. Raises OSError where the file cannot be written.
    """
    beside = place.with_name(f".{place.name}.writing")
    try:
        with open(beside, "wb") as file:
            file.write(text.encode())
            file.flush()
            os.fsync(file.fileno())
        os.chmod(beside, place.stat().st_mode & 0o7777)
        if place.read_bytes() != was:
            return False
        os.replace(beside, place)
    finally:
        beside.unlink(missing_ok=True)
    return True
