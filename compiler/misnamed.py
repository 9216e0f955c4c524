"""Files that are notes by their names alone, and are not read as such: what is said of them."""

from __future__ import annotations

from typing import Any, Protocol

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.names import KindWords, Name
from compiler.notes import Note
from compiler.schema import Kind
from compiler.source import Span

NAMED_ALIKE = Rule(
    "N125",
    "name-like-a-note",
    Grade.ERROR,
    "The file has no head, and its name speaks of a kind of note, yet not in the way in which names are read: first "
    "the day, as in `2026-04-19`, then the kind, then of what. So it is not read as a note. Where nothing much hangs "
    "on such notes this is a warning.",
    "19 Apr 2026 treatment.md, without a head",
)


class Text(Protocol):
    """A file that was not read as a note, and why."""

    @property
    def path(self) -> str:
        """Where it stands."""
        ...

    @property
    def sort(self) -> str:
        """Which sort of file it is."""
        ...

    @property
    def why(self) -> str:
        """Why it is no note."""
        ...

    @property
    def text(self) -> str:
        """What stands in it."""
        ...


def named_alike(note: Note, name: Name, kind: Kind[Any]) -> Diagnostic:
    """What is said of a file whose name alone speaks of a kind of note."""
    also = f" and of a day, `{name.day}`" if name.day else ""
    example = f"`2026-04-19 {kind.name}.md`" if kind.dated else f"a head with the line `note: {kind.name}`"
    cure = f"if it is a note give it a name such as {example}; if it is none list it under `skip` in the settings"
    cure = cure if kind.dated else cure.replace("a name such as ", "")
    message = f"the name speaks of a {kind.name} note{also}, but it is not read as one, because it has no head"
    return NAMED_ALIKE.at(Span(note.path), message, cure)


def unread_told(other: Text, name: Name, words: KindWords) -> list[Diagnostic]:
    """What is said of a text that is a note by its name but for the ending; of a guarded kind it is told elsewhere."""
    kind = words.find(name.kind) if name.dated and name.kind else None
    if kind is None or kind.guarded or other.sort not in ("no ending", "ending") or not other.text.strip():
        return []
    message = f"the name speaks of a {kind.name} note of `{name.date}`, but it is not read, because {other.why}"
    cure = "end its name with `.md`, or list it under `skip` in the settings"
    return [NAMED_ALIKE.at(Span(other.path), message, cure)]
