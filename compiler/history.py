"""What git knows of the notes: who changed which, and when; and the notes as they stood at an earlier revision.

A folder's own git configuration can name programs (a file-system monitor, a differ, a converter of text, a pager,
hooks, a signature checker, a filter, a transport). Here none of them is run: what could is switched off on the command
line, which goes before the configuration, and files of a revision are read as they are stored, past every filter.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path, PurePosixPath

from compiler.shape import Value

MOST = 10_000  # changes that are read, the newest first
OFF = (
    "core.fsmonitor=false", "core.hooksPath=/dev/null", "core.pager=cat", "diff.external=", "log.showSignature=false",
    "core.askPass=", "core.sshCommand=false", "credential.helper=", "core.quotePath=false",
    "i18n.logOutputEncoding=UTF-8",
)  # fmt: skip
PLAINLY = ("--no-ext-diff", "--no-textconv")
FORMAT = "--format=%x01%H%x02%aI%x02%an%x02%s"
NUMBER = re.compile("[0-9a-f]{40,64}")
NOT_PARTED = " 0"  # how the index ends what it says of a file that no merge left in several versions
PLAIN_FILES = ("100644", "100755")  # modes of a tree's entries; links and other repositories are left out
NO_GIT = "git does not answer: it is not installed, or not found"


class NoHistory(Exception):
    """Git does not answer: why, in a sentence."""


class Change(Value):
    """One commit: when and by whom it was made (ISO, with its offset), what was said, and the notes it changed."""

    number: str
    when: str
    who: str
    said: str
    paths: tuple[str, ...]


class History(Value):
    """All changes of the notes, the newest first; or the `trouble` for which there are none."""

    changes: tuple[Change, ...] = ()
    trouble: str = ""


class Tracked(Value):
    """A notes folder that git keeps, and the revision up to which it is asked."""

    notes: Path
    revision: str = "HEAD"


def read_history(tracked: Tracked) -> History:
    """All changes of the notes, read once."""
    words = ("log", "-z", f"--max-count={MOST}", "--no-merges", "--no-renames", "--name-only", "--relative", *PLAINLY)
    try:
        told = git(tracked.notes, *words, FORMAT, tracked.revision, "--", ".")
    except NoHistory as why:
        return History(trouble=str(why))
    entries = told.decode("utf-8", "replace").split("\x01")
    return History(tuple(change for entry in entries if (change := read_change(entry)) is not None))


def read_change(entry: str) -> Change | None:
    """One entry of the log, or None for what is none."""
    head, _, paths = entry.partition("\0")
    fields = head.split("\x02", 3)
    if len(fields) < 4 or not NUMBER.fullmatch(fields[0]):
        return None
    number, when, who, said = fields
    return Change(number, when, who, said, tuple(path for path in paths.lstrip("\n").split("\0") if path))


def git(folder: Path, *words: str, given: bytes = b"") -> bytes:
    """What git answers. Raises NoHistory if it does not."""
    import subprocess

    pipe = subprocess.PIPE
    settings = (part for setting in OFF for part in ("-c", setting))
    line = ["git", "--no-pager", "--no-optional-locks", *settings, "-C", str(folder), *words]
    try:
        with subprocess.Popen(line, stdin=pipe, stdout=pipe, stderr=pipe, env=around()) as asked:
            answer, trouble = asked.communicate(given)
    except FileNotFoundError:
        raise NoHistory(NO_GIT) from None
    except OSError as error:
        raise NoHistory(f"git does not answer: {error}") from None
    if asked.returncode:
        why = trouble.decode("utf-8", "replace").strip().splitlines()
        raise NoHistory(f"git does not answer: {why[0] if why else f'status {asked.returncode}'}")
    return answer


def around() -> dict[str, str]:
    """The environment without what names programs or another folder; the index of a commit that is being made stays."""
    index = os.environ.get("GIT_INDEX_FILE", "")
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_") or "CONFIG" in name}
    kept |= {"GIT_INDEX_FILE": os.path.abspath(index)} if index else {}
    return kept | {
        "GIT_TERMINAL_PROMPT": "0", "GIT_OPTIONAL_LOCKS": "0", "GIT_ALLOW_PROTOCOL": "none", "GIT_NO_LAZY_FETCH": "1",
        "GIT_NO_REPLACE_OBJECTS": "1", "LC_ALL": "C.UTF-8",
    }  # fmt: skip


def staged_files(notes: Path) -> set[str]:
    """Paths, below the notes folder, of what git is about to commit. Raises NoHistory."""
    found = git(notes, "diff", "--cached", "--name-only", "--relative", "-z", *PLAINLY)
    return {name for name in found.decode("utf-8", "replace").split("\0") if name}


# The notes of an earlier revision


def revision_of(notes: Path, asked: str) -> tuple[str, str]:
    """The number of a revision, and when it was made (ISO, with its offset). Raises NoHistory."""
    number = git(notes, "rev-parse", "--verify", "--end-of-options", f"{asked}^{{commit}}").decode().strip()
    return number, git(notes, "log", "-1", "--format=%cI", *PLAINLY, number).decode().strip()


def notes_of(notes: Path, number: str, to: Path) -> None:
    """Write the notes of a revision below `to`, letter by letter as they were committed. Raises NoHistory, OSError."""
    write_stored(notes, entries_in(git(notes, "ls-tree", "-r", "-z", number)), to)


def notes_staged(notes: Path, to: Path) -> None:
    """Write the notes that git is about to commit below `to`, letter by letter. Raises NoHistory, OSError."""
    entries = entries_in(git(notes, "ls-files", "--stage", "-z"))
    parted = next((path for head, path in entries if not head.endswith(NOT_PARTED)), "")
    if parted:
        raise NoHistory(f"git holds {parted} in several versions: settle which is right, and git add it")
    write_stored(notes, entries, to)


def entries_in(listed: bytes) -> list[tuple[str, str]]:
    """What git lists of its files: what it says of each, and its path."""
    told = (entry.partition("\t") for entry in listed.decode("utf-8", "surrogateescape").split("\0") if entry)
    return [(head, path) for head, _, path in told]


def write_stored(notes: Path, entries: Iterable[tuple[str, str]], to: Path) -> None:
    """Write the plain files of a list below `to`, past every filter. Raises NoHistory, OSError."""
    files = [found for head, path in entries if (found := plain_file(head, path)) is not None]
    told = git(notes, "cat-file", "--batch", given="".join(f"{blob}\n" for blob, _ in files).encode())
    place = 0
    for _, path in files:
        end = told.index(b"\n", place)
        size = int(told[place:end].split()[2])
        file = to / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(told[end + 1 : end + 1 + size])
        place = end + size + 2


def plain_file(head: str, path: str) -> tuple[str, str] | None:
    """The object and the path of a listed file, or None for what is no plain file below the folder."""
    mode, *said = head.split(" ")
    blob = next(word for word in said if NUMBER.fullmatch(word))  # a tree tells its sort too, an index a stage
    inside = path and not PurePosixPath(path).is_absolute() and ".." not in PurePosixPath(path).parts
    return (blob, path) if mode in PLAIN_FILES and inside else None


# Whether anything was committed since


def head_state(notes: Path) -> str:
    """How the repository around the notes stands, told by its own small files and without git; the same while nothing
    is committed.
    """
    home = next((place for folder in (notes.resolve(), *notes.resolve().parents) if (place := home_in(folder))), None)
    if home is None:
        return "none"
    common = home / text_of(home / "commondir").strip()
    head = text_of(home / "HEAD").strip()
    named = text_of(common / head.removeprefix("ref: ")) if head.startswith("ref: ") else ""
    return f"{head} {named} {state_of(common / 'packed-refs')} {text_of(common / 'reftable' / 'tables.list')}"


def home_in(folder: Path) -> Path | None:
    """The repository's own folder where this folder has one: `.git`, or what a file of that name points to."""
    mark = folder / ".git"
    if mark.is_file():
        return folder / text_of(mark).partition("gitdir:")[2].strip()
    return mark if mark.is_dir() else None


def text_of(path: Path) -> str:
    """What a small file says; "" where it cannot be read."""
    with suppress(OSError, UnicodeDecodeError):
        return path.read_text("utf-8")
    return ""


def state_of(path: Path) -> str:
    """The size and time of a file; "" where there is none."""
    with suppress(OSError):
        found = path.stat()
        return f"{found.st_size} {found.st_mtime_ns}"
    return ""
