"""What the shares of how lambs lay rest on: every lamb and birth that was counted, with links to the notes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.lambing.patterns import LambCase
from flockbook.pages.long_tables import paged
from flockbook.pages.telling.notes_page import note_places
from flockbook.pages.views import Cell, Column, Directory, LinkView, Row, Table, Words, directory
from flockbook.pages.wording import NONE, day_words
from flockbook.seen import Seen

PATTERN_NOTES = "patterns-notes.html"
PATTERN_NOTES_LEAD = (
    "Every share of how lambs lay counts rows of this table: lambs by their own row, births helped once for a litter. "
    "The day leads to the note."
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The table, over as many pages as it needs."""
    del stamp
    tags, places = directory(seen.linked, seen.today), note_places(seen.linked)
    columns = (
        Column("Lamb"), Column("Ewe"), Column("Born"), Column("How it lay"), Column("Birth"),
        Column("Counted under", wide=True),
    )  # fmt: skip
    rows = tuple(pattern_case_row(case, tags, places) for case in reversed(seen.facts.lambing.patterns.cases))
    table = Table(columns, rows, "No lamb is written yet.", "counted")
    yield from paged(PATTERN_NOTES, "Behind how lambs lay", PATTERN_NOTES_LEAD, table)


def pattern_case_row(case: LambCase, tags: Directory, places: Mapping[str, str]) -> Row:
    """One lamb, and what was counted of it."""
    birth = case.birth
    words = day_words(birth.event.date) if birth.event.date else "day not known"
    day: Cell = LinkView(words, places[birth.note]) if birth.note in places else words
    ewe = tags.tag(birth.ewe) if birth.ewe else "not in the book"
    told = ", ".join(word for word, so in (("helped", birth.helped), ("born dead", case.dead)) if so) or NONE
    return Row((tags.tag(case.lamb.id), ewe, day, case.lay, told, Words(", ".join(case.groups))))


PAGES = (PageMaker("notes behind how lambs lay", make),)
NAVIGATION: tuple[Link, ...] = ()
