"""Where a program remembers things between runs: the user's folder for disposable files, never among the notes."""

from __future__ import annotations

import os
import sys
from pathlib import Path


def home_of(notes: Path, program: str, place: Path | None = None) -> Path | None:
    """Where to remember: `place`, or the user's cache folder; nowhere if that is inside the notes."""
    home, source = place or cache_folder(program), notes.resolve()
    return None if home is None or source in (home.resolve(), *home.resolve().parents) else home


def cache_folder(program: str) -> Path | None:
    """The user's folder for disposable files (XDG Base Directory Specification; elsewhere the system's own)."""
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA", "")
    elif sys.platform == "darwin":
        base = os.path.expanduser("~/Library/Caches")
    else:
        base = os.environ.get("XDG_CACHE_HOME", "") or os.path.expanduser("~/.cache")
    return Path(base, program) if os.path.isabs(base) else None
