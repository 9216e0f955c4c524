"""Which files are copies of a note that is read: made by telephones, shared folders, desktops and editors."""

from __future__ import annotations

import posixpath
from collections.abc import Iterable, Mapping

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.frontmatter import FENCE
from compiler.names import Name
from compiler.notes import Note, Table, row_lines
from compiler.shape import Value
from compiler.source import Span

COPY = Rule(
    "N122",
    "copied-note",
    Grade.ERROR,
    "Two files that are copies of one note would count everything twice. Telephones and shared folders make such "
    "copies by themselves, and editors leave older ones behind. One that is the same to the last letter harms nobody "
    "and is only listed.",
    "2026-04-19 remark (1).md beside 2026-04-19 remark.md, with other words in it",
)


class Given(Value):
    """One file as it came: its source, already read as a note if that is known, and the CSV table beside it."""

    note: Note
    companion: Table | None = None


def copied(given: Iterable[Given], names: Mapping[str, Name]) -> dict[str, Given]:
    """The path of each copy → its original: by what a copier put behind its name, or the same in name and bytes."""
    by_path = {item.note.path: item for item in given}
    first: dict[tuple[str, str], Given] = {}
    copies: dict[str, Given] = {}
    for path, item in by_path.items():
        name = names[path]
        same = (posixpath.basename(path), item.note.digest)
        original = by_path.get(name.copy_of) or first.get((name.copy_of, ""))
        original = original or (first.get(same) if item.note.digest else None)
        second = by_path.get(name.second_of)
        original = original or (second if second and is_alike(item.note, second.note) else None)
        if original is not None:
            copies[path] = original
        first.setdefault(same, item)
        if name.copy_of:
            first.setdefault((name.copy_of, ""), item)
    return copies


def is_alike(note: Note, other: Note) -> bool:
    """Whether two notes have more than half of all their lines in common."""
    one, two = lines_of(note), lines_of(other)
    return 2 * len(one & two) > len(one | two)


def lines_of(note: Note) -> frozenset[str]:
    """The lines of a note that say something."""
    return frozenset(line.strip() for line in note.text.split("\n") if line.strip() and not FENCE.fullmatch(line))


def is_same(given: Given, original: Given) -> bool:
    """Whether a copy says nothing but what its original says, in the table beside it too."""
    rows = texts(given.companion)
    return given.note.digest == original.note.digest and (not rows or rows == texts(original.companion))


def texts(table: Table | None) -> list[str]:
    """What stands in the rows of a table."""
    return [row.text for row in row_lines(table)] if table else []


def same_told(note: Note, original: Note, name: Name) -> list[Diagnostic]:
    """What is said of a copy that is the same: nothing where a copier left its sign, for then it is surely one."""
    if name.copy_of:
        return []
    message = f"this is the same to the last letter as {original.path}, so it is counted once"
    cure = "delete one of the two files, or write into this one in what it differs"
    return [COPY.at(Span(note.path), message, cure, also=(Span(original.path),)).graded(Grade.WARNING)]


def copy_told(path: str, original: str) -> Diagnostic:
    """What is said of a copy that differs."""
    message = f"this looks like a copy of {original}, and differs from it"
    cure = "keep the right one of the two files and delete the other; a note of its own needs a name of its own"
    return COPY.at(Span(path), message, cure, also=(Span(original),))
