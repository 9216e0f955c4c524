"""What is to be mended first, said once on top: by which notes sheep are withheld, on which line, and what to type."""

from __future__ import annotations

import re

from compiler.shape import Value
from flockbook.derive.medicine.withheld import MOST_ROWS, Withheld
from flockbook.pages.telling.notes_page import note_places
from flockbook.pages.wording import as_sentence, plural, quoted
from flockbook.saying.because import step_words
from flockbook.saying.withheld import mend_where, whom, withheld_also, withheld_head
from flockbook.seen import Seen

PROBLEMS = "problems.html"


class Spelling(Value):
    """A part of a sentence; `typed` where it is to be typed as it stands."""

    text: str
    typed: bool


class WithheldRow(Value):
    """One note: whom it withholds, where, why, and what to type."""

    who: str
    place: str
    href: str
    why: str
    cure: tuple[Spelling, ...]


class WithheldView(Value):
    """The box; without rows it is not drawn. `more` says how many notes besides stand on the page of problems."""

    head: str
    also: str
    rows: tuple[WithheldRow, ...]
    more: str


def withheld_view(seen: Seen) -> WithheldView:
    """The box as it stands on the front page and on the list of who is clear."""
    found, places = seen.facts.medicine.withheld, note_places(seen.linked)
    rows = tuple(row_view(seen, row, places.get(row.notes[0], PROBLEMS)) for row in found.rows[:MOST_ROWS])
    left = len(found.rows) - len(rows)
    more = f"And {plural(left, 'more note')}, on the page of problems" if left else ""
    return WithheldView(withheld_head(found), as_sentence(withheld_also(found)), rows, more)


def row_view(seen: Seen, row: Withheld, href: str) -> WithheldRow:
    """One note's row."""
    who = whom(seen.linked, row, seen.facts.medicine.withheld.living)
    return WithheldRow(who, mend_where(row), href, quoted(as_sentence(step_words(row.why))), spelled(row.cure))


def spelled(cure: str) -> tuple[Spelling, ...]:
    """A cure in its parts, what stands between backticks being typed."""
    parts = re.split(r"`([^`]*)`", cure[:1].upper() + cure[1:])
    return tuple(Spelling(part, place % 2 == 1) for place, part in enumerate(parts) if part)
