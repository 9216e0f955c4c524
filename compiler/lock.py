"""One writer at a time: a lock that the system itself lets go of when a process dies."""

from __future__ import annotations

import errno
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

PAUSE = 0.05  # seconds between tries


class Busy(Exception):
    """Somebody else holds the lock."""


@contextmanager
def locked(path: Path, patience: float) -> Iterator[None]:
    """Hold the lock file at `path`, waiting up to `patience` seconds; afterwards it is gone. Raises Busy, OSError."""
    handle = _taken(path, time.monotonic() + patience)
    try:
        yield
    finally:
        if sys.platform != "win32":  # there an open file cannot be removed
            path.unlink(missing_ok=True)
        os.close(handle)
        if sys.platform == "win32":
            with suppress(OSError):
                path.unlink()


def _taken(path: Path, deadline: float) -> int:
    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o644)
        if _try(handle) and _still_there(handle, path):
            return handle
        os.close(handle)
        if time.monotonic() >= deadline:
            raise Busy(str(path))
        time.sleep(PAUSE)


def _still_there(handle: int, path: Path) -> bool:
    """Whether the file locked is the one that the path names: its last holder may just have removed it."""
    with suppress(FileNotFoundError):
        return os.path.samestat(os.fstat(handle), os.stat(path))
    return False


if sys.platform == "win32":
    import msvcrt

    def _try(handle: int) -> bool:
        with suppress(OSError):
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
            return True
        return False

else:
    import fcntl

    def _try(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            if error.errno in (errno.EWOULDBLOCK, errno.EACCES):
                return False
            if error.errno not in (errno.ENOLCK, errno.ENOTSUP, errno.ENOSYS):
                raise
        return True  # also where the file system knows no locks
