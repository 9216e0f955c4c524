"""What the name of a file says of its sort: a note, a table, a picture, a copy that an editor left, or another."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Sequence
from fnmatch import fnmatchcase

NOTE_ENDINGS = (".md", ".markdown", ".txt")
TABLE_ENDING = ".csv"
PICTURE_ENDINGS = (".jpg", ".jpeg", ".png", ".webp")
ENDING = re.compile(r"(?<=.)\.[A-Za-z0-9]{1,10}$")
# What editors put before and behind the name of a file while they change it, and after.
BEFORE = re.compile(r"\.?#|\.?~\$?|\._|\.(?=.*\.sw[a-z]$)")
BEHIND = re.compile(r"(?:#|\.~\d+~|~|\.(?:orig|bak|backup|old|save|tmp|temp|sw[a-z]|rej)\d*)$", re.I)
NESTED = re.compile(r"\.(?:md|markdown|txt)$", re.I)


def is_note(name: str) -> bool:
    """Whether a file's name has the ending of a note."""
    return name.lower().endswith(NOTE_ENDINGS)


def is_table(name: str) -> bool:
    """Whether a file's name has the ending of a table."""
    return name.lower().endswith(TABLE_ENDING)


def is_passing(name: str) -> bool:
    """Whether a name is hidden or an editor's temporary one."""
    return name.startswith((".", "~", "#")) or name.endswith(("~", "#"))


def sort_of(name: str) -> tuple[str, str]:
    """The sort of a file that is not read as a note, and in words why it is not."""
    if untouched(name) != name:
        return "editor copy", "its name is that of a copy which an editor or a tool leaves behind"
    if is_passing(name):
        return "hidden", "its name makes it a hidden file"
    if name.lower().endswith(PICTURE_ENDINGS):
        return "picture", "it is a picture"
    ending = ENDING.search(name)
    if ending is None:
        return "no ending", "its name has no ending; that of a note is `.md` or `.txt`"
    return "ending", f"its ending is `{ending[0]}`; that of a note is `.md` or `.txt`"


def untouched(name: str) -> str:
    """The name of the file that an editor's copy was made of; the name itself if it is no such copy."""
    bare = BEFORE.sub("", name, count=1) if BEFORE.match(name) else name
    while (shorter := BEHIND.sub("", bare)) != bare and shorter:
        bare = shorter
    return bare or name


def parted(name: str) -> tuple[str, str]:
    """A file's name as stem and ending; an ending is short and without blanks, and of `x.md.txt` both are taken off."""
    ending = ENDING.search(name)
    if ending is None:
        return name, ""
    stem = name[: ending.start()]
    bare = NESTED.sub("", stem) if is_note(name) else stem
    return (bare, name[len(bare) :]) if bare else (stem, ending[0])


def is_skipped(path: str, skip: Sequence[str]) -> bool:
    """Whether a glob names the path (if it has a slash) or the last part of it."""
    name = path.rpartition("/")[2]
    return any(
        fnmatchcase(path if "/" in glob.strip("/") else name, glob.strip("/")) for glob in skip if glob.strip("/")
    )


def shown(name: str) -> str:
    """A file's name as text: composed characters, and a sign for bytes that are no text."""
    return unicodedata.normalize("NFC", os.fsencode(name).decode("utf-8", "replace"))
