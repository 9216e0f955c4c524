"""Pages as values: what to render, where to, and how pages find each other."""

from __future__ import annotations

import posixpath
import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from compiler.shape import Value

# Names that some systems reserve for devices, whatever the ending (Microsoft, "Naming Files, Paths, and Namespaces").
RESERVED = frozenset({"con", "prn", "aux", "nul", *(f"com{n}" for n in range(10)), *(f"lpt{n}" for n in range(10))})
PORTABLE = re.compile(r"[A-Za-z0-9._-]+")  # POSIX.1-2017, 3.282 Portable Filename Character Set
LONGEST_PART = 120  # bytes of one name; file systems take 255, and copies and archives add to it
LONGEST_PATH = 180  # bytes below the book's folder; some systems take 260 in all


class Html(str):
    """Markup that this program made (a remark read by `compiler.prose`, a drawing): templates show it as it is.

    Anything joined to it by hand is plain text again, and will be escaped.
    """

    __slots__ = ()

    def __html__(self) -> str:
        """Itself: the sign by which templates know markup."""
        return str(self)


class Page(Value):
    """One page of the book: `path` below the book's folder, the template that draws it, and the typed view it sees.

    `notes` are the paths of the notes told on this page: a link in a remark to one of them leads here. `look` is a word
    for the theme (a night copy). A page `alone` is a single file: its style stands inside, it needs no other file.
    A page that `holds` others shows them whole below its own words. `pictures` are the paths, in the notes folder, of
    pictures it shows beside those in remarks; they are copied for it.
    """

    path: str
    template: str
    title: str
    view: Any
    section: str = ""
    notes: tuple[str, ...] = ()
    look: str = ""
    alone: bool = False
    pictures: tuple[str, ...] = ()
    holds: tuple[str, ...] = ()


class Asset(Value):
    """A file of the book that is not drawn by a template.

    One that speaks for all others (the stamp) has a `meanwhile`: that stands in its place while anything is being
    written, and the file itself is written last of all.
    """

    path: str
    data: bytes
    meanwhile: bytes | None = None


ELSEWHERE = "*"  # the section of the tab that is marked where no other tab is


class Link(Value):
    """One entry of the book's navigation; `group` gathers entries under a heading, those of group "" are tabs."""

    label: str
    path: str
    section: str
    group: str = ""


@lru_cache(maxsize=65536)
def slug(text: str) -> str:
    """A lower-case ASCII file name part that no system reserves; never empty, never with a slash or a dot."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:80] or "x"
    return f"{name}-" if name in RESERVED else name


def relative(from_path: str, to_path: str) -> str:
    """The link from one page to another, naming the file."""
    return _from_folder(posixpath.dirname(from_path), to_path)


def relative_to(path: str, page: str) -> str:
    """The link to a path from a page."""
    return relative(page, path)


def linked(page: str, path: str) -> str:
    """The link from a page to a path of the book, with or without `#place`."""
    file, mark, place = path.partition("#")
    return (relative(page, file) if file else "") + mark + place


@lru_cache(maxsize=65536)
def _from_folder(folder: str, to_path: str) -> str:
    return posixpath.relpath(to_path, folder or ".")


def root_of(path: str) -> str:
    """The prefix that leads from a page back to the book's folder: "" or "../" as often as needed."""
    return "../" * path.count("/")


def path_fault(path: str) -> str:
    """Why a file of the book may not have this path, or "": it must stay in the book's folder, on any system."""
    parts = path.split("/")
    if any(not part or part.startswith(".") for part in parts):
        return "it leaves the book's folder or is hidden"
    if not all(PORTABLE.fullmatch(part) for part in parts):
        return "only letters a-z, figures, `-`, `_` and `.` name a file everywhere"
    if any(part.lower().split(".")[0] in RESERVED or part.endswith(".") for part in parts):
        return "some systems keep this name for themselves"
    return "it is too long" if len(path) > LONGEST_PATH or any(len(part) > LONGEST_PART for part in parts) else ""


def unfit_paths(paths: Iterable[str]) -> dict[str, str]:
    """Which of the book's paths cannot stand, and why: unsafe ones, and those that another already takes.

    Two paths are one file where letters have no case; a path cannot be a page and a folder.
    """
    unfit: dict[str, str] = {}
    seen: dict[str, str] = {}
    for path in paths:
        if reason := path_fault(path):
            unfit[path] = reason
        elif (other := seen.setdefault(path.casefold(), path)) != path:
            unfit[path] = f"`{other}` is the same file on many systems"
    folders = {step.casefold() for path in seen.values() for step in folders_of(path)}
    unfit.update((path, "other pages stand in a folder of that name") for name, path in seen.items() if name in folders)
    return unfit


def folders_of(path: str) -> list[str]:
    """`a/b/c.html` → `a`, `a/b`."""
    parts = path.split("/")
    return ["/".join(parts[:count]) for count in range(1, len(parts))]
