"""Code that this program wrote, remembered between runs in the user's folder for disposable files.

A file holds a seal and Python's own form of a value (`marshal`). It is used only if the seal is right for what is asked
and nobody but this user can have written it; whatever else is found there is as if nothing were.
"""

from __future__ import annotations

import hashlib
import marshal
import os
from contextlib import suppress
from pathlib import Path
from typing import Any

SEAL = 32  # bytes
OTHERS_MAY_WRITE = 0o022
_TROUBLE = (OSError, ValueError, EOFError, TypeError)


def recall(place: Path | None, name: str, digest: str) -> Any:
    """What was remembered by this name and digest, or None."""
    with suppress(*_TROUBLE):
        data = _read(_path(place, name, digest)) if place else b""
        if data[:SEAL] == _seal(digest, data[SEAL:]):
            return marshal.loads(data[SEAL:])
    return None


def remember(place: Path | None, name: str, digest: str, value: Any) -> None:
    """Keep a value (texts, numbers, tuples, code) instead of all others of this name."""
    with suppress(*_TROUBLE):
        if place:
            place.mkdir(mode=0o700, parents=True, exist_ok=True)
            _replace(_path(place, name, digest), marshal.dumps(value), digest)
            _discard_others(place, name, digest)


def _path(place: Path, name: str, digest: str) -> Path:
    return place / f"{name}-{digest[:16]}.code"


def _seal(digest: str, body: bytes) -> bytes:
    return hashlib.blake2b(digest.encode() + body, digest_size=SEAL).digest()


def _read(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read() if _is_ours(os.fstat(file.fileno())) else b""


def _is_ours(found: os.stat_result) -> bool:
    """Whether only this user (and the machine's own master) can have written a file, where the system says so."""
    return not hasattr(os, "geteuid") or (found.st_uid == os.geteuid() and not found.st_mode & OTHERS_MAY_WRITE)


def _replace(path: Path, body: bytes, digest: str) -> None:
    """Write a file at one stroke: another process sees the old one or the new one."""
    part = path.with_suffix(f".{os.getpid()}")
    try:
        with os.fdopen(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
            file.write(_seal(digest, body) + body)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def _discard_others(place: Path, name: str, digest: str) -> None:
    for path in place.glob(f"{name}-*"):
        if path != _path(place, name, digest):
            path.unlink(missing_ok=True)
