"""One note as it stands among others, a part of one, and a message of the proof."""

from __future__ import annotations

from compiler.diagnostics import Diagnostic
from compiler.pages import Html
from compiler.shape import Value
from flockbook.pages.views import Cell, Day, TagList


class NoteEntry(Value):
    """One note in a timeline; `remark` is safe HTML in the shepherd's own words. `id` is its place on the page, or "".

    `struck_by` is the path of the note that replaces a `corrected` one.
    """

    day: Day
    clock: str
    kind: str
    href: str
    facts: tuple[Cell, ...]
    remark: Html
    path: str
    line: int
    corrected: bool
    id: str = ""
    struck_by: str = ""

    @property
    def weight(self) -> int:
        """About how many bytes it takes on a page."""
        tags = sum(150 * len(fact.sheep) for fact in self.facts if isinstance(fact, TagList))
        texts = sum(len(fact.encode()) + 30 for fact in self.facts if isinstance(fact, str))
        return 450 + len(self.remark.encode()) + 2 * len(self.path.encode()) + tags + texts


class Excerpt(Value):
    """A line of a note with the marked part."""

    before: str
    marked: str
    after: str


class Problem(Value):
    """One message on the problems page."""

    grade: str
    code: str
    message: str
    help: str
    meanwhile: str
    place: str
    excerpt: Excerpt | None


def problem(told: Diagnostic, lines: dict[str, list[str]]) -> Problem:
    """A message with the line it speaks of."""
    span = told.span
    text = lines.get(span.path, [])
    excerpt = None
    if 0 < span.line <= len(text) and span.length:
        line, start = text[span.line - 1], span.column - 1
        excerpt = Excerpt(line[:start], line[start : start + span.length], line[start + span.length :])
    place = f"{span.path}:{span.line}:{span.column}"
    return Problem(told.grade.value, told.code, told.message, told.help, told.meanwhile, place, excerpt)
