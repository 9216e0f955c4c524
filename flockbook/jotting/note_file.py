"""Writing a note so that nothing that exists is ever touched, and nothing half written stays."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from flockbook.jotting.note_paths import free_path


def write_new(folder: Path, candidates: Iterable[str], text: str) -> str | None:
    """Write a note under the first path that is free, and give the path; None where none is. Raises OSError."""
    paths = list(candidates)
    path = free_path(paths, paths_taken(folder, paths))
    if path is None:
        return None
    place = folder / path
    place.parent.mkdir(parents=True, exist_ok=True)
    handle = os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(text.encode())
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        place.unlink(missing_ok=True)
        raise
    return path


def paths_taken(folder: Path, paths: Iterable[str]) -> set[str]:
    """The paths of all files in the folders of some paths, below the notes folder."""
    found = set()
    for parent in {os.path.dirname(path) for path in paths}:
        place = folder / parent
        found |= {os.path.join(parent, entry.name) for entry in os.scandir(place)} if place.is_dir() else set()
    return found
