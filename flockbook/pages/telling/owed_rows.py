"""What is owed now as lines of a list, the same on Today, on the list of what is to do and on each sheep's page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from compiler.shape import replace
from flockbook.derive.year.owings import OwedFamily, OwedItem, OwedRow
from flockbook.pages.views import Day, Directory, RowView, Words
from flockbook.pages.wording import quoted
from flockbook.saying.owed import Told, by_words, late_words, names_words, owed_words, point_words
from flockbook.seen import Seen

COUNTS_PAGE = "counts.html"  # where a short count is told in full


def owed_views(seen: Seen, tags: Directory, rows: Iterable[OwedRow]) -> Iterator[RowView]:
    """A line for each row, with the ear tag of its sheep."""
    for row in rows:
        one = tags.tag(row.sheep[0]) if len(row.sheep) == 1 else None
        view = owed_view(seen, row)
        names = f"{names_words(seen.linked, row.sheep)}" if len(row.sheep) > 1 else ""
        href = COUNTS_PAGE if row.items[0].family is OwedFamily.COUNT and one is None else ""
        lines = tuple(line for line in (names, *view.lines) if line)
        folded = f"{len(view.lines)} more" if len(view.lines) > 1 and one else ""
        yield replace(view, sheep=one, href=href, lines=lines, folded=folded)


def own_rows(seen: Seen, sheep: str) -> Iterator[RowView]:
    """What concerns one sheep, for its own page: of a litter's points those that name it."""
    for row in seen.facts.year.owed.of(sheep):
        items = row.items if sheep in row.sheep else tuple(item for item in row.items if sheep in item.sheep)
        yield owed_view(seen, replace(row, items=items))


def owed_view(seen: Seen, row: OwedRow) -> RowView:
    """One row: the first thing with its hour, then how late it is, then all else."""
    told, first = Told(seen.linked, seen.settings.units), row.items[0]
    title, _, more = owed_words(told, first, row).partition("; ")
    lines = tuple(quoted(point_words(told, item, row)) for item in row.items[1:])
    return RowView(None, "", quoted(title), by_view(first), quoted(more), lines, late_words(first.late), deed=True)


def by_view(item: OwedItem) -> Day | Words:
    """By when, as printed."""
    if item.by is None:
        return Words(by_words(item))
    iso = item.by.strftime("%Y-%m-%d" if item.whole_day else "%Y-%m-%dT%H:%M")
    return Day(iso, by_words(item).removeprefix("by "))
