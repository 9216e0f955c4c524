"""Long tables go on from page to page, so that no page is too heavy for an old tablet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compiler.pages import Page
from compiler.shape import Value, replace
from flockbook.pages.sections import Section, SectionsView, pager
from flockbook.pages.views import PageLink, Row, Table

ROWS = 85  # rows on one page of a list that stands alone
WHOLE = 1000  # a table of so many elements stays in one piece beside others on its page
PART = 800  # elements of each part of one that does not; a page carries 1,400 at most
AROUND = 8  # elements of a row beside its cells: the row itself, and what tags and days are made of (counted on pages)


def paged(path: str, title: str, lead: str, table: Table) -> Iterator[Page]:
    """A table that stands alone, over as many pages as it needs; the first one stands at `path`."""
    parts = cut(table.rows, ROWS, ROWS)
    names = [path if number == 1 else path.replace(".html", f"-{number}.html") for number in range(1, len(parts) + 1)]
    for name, part in zip(names, parts, strict=True):
        yield Page(name, "sections.html", title, table_alone(lead, replace(table, rows=part), links(names, name)))


def table_alone(lead: str, table: Table, others: Sequence[PageLink]) -> SectionsView:
    """A page with one table, and the way to where it goes on."""
    return SectionsView(lead, (Section("", (table,)),), foot=pager(others))


class Seat(Value):
    """The page on which a table stands beside other things, and how many elements it may take there."""

    path: str
    title: str
    section: str = ""
    room: int = WHOLE


def over_pages(table: Table, seat: Seat) -> tuple[Table, tuple[Page, ...]]:
    """A table as it stands beside other things, and the pages where it goes on.

    The table needs an `id`, after which those pages are named (`crop-2026-lambs-2.html`).
    """
    weight = len(table.columns) + AROUND
    parts = cut(table.rows, seat.room // weight, min(PART, seat.room) // weight)
    if len(parts) == 1:
        return table, ()
    stem = seat.path.removesuffix(".html")
    names = [f"{seat.path}#{table.id}", *(f"{stem}-{table.id}-{number}.html" for number in range(2, len(parts) + 1))]
    more = []
    for number, (name, rows) in enumerate(zip(names[1:], parts[1:], strict=True), 2):
        lead = f"{table.id.capitalize()}, page {number} of {len(parts)}."
        view = table_alone(lead, replace(table, rows=rows), links(names, name))
        more.append(Page(name, "sections.html", seat.title, view, seat.section))
    return replace(table, rows=parts[0], pager=links(names, names[0])), tuple(more)


def cut(rows: Sequence[Row], whole: int, part: int) -> list[tuple[Row, ...]]:
    """Rows in one piece of up to `whole`, else in parts of up to `part`; one empty piece for none."""
    if len(rows) <= whole:
        return [tuple(rows)]
    return [tuple(rows[start : start + part]) for start in range(0, len(rows), part)]


def links(names: Sequence[str], here: str) -> tuple[PageLink, ...]:
    """The numbers of the pages, the one that is open marked; none for a single page."""
    if len(names) == 1:
        return ()
    return tuple(PageLink(str(number), name, name == here) for number, name in enumerate(names, 1))
