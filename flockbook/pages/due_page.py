"""The due list: window, likely day, chance of being barren, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.due import DueRow
from flockbook.pages.seen import Seen
from flockbook.pages.views import Column, Directory, Reason, Row, Table, Words, day, directory, reasons
from flockbook.pages.wording import day_words, plural

PATH = "due.html"
BASIS = {"service": "service seen", "mark": "mark", "joining": "joining only", "scan": "scan"}


@dataclass(frozen=True, slots=True)
class DueView:
    """Rows in due order, the ewes past their window apart."""

    lead: str
    table: Table
    overdue: Table
    because: tuple[Reason, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    tags = directory(seen.linked, seen.today)
    rows = seen.facts.due.rows
    late = [row for row in rows if row.odds.overdue]
    ahead = [row for row in rows if not row.odds.overdue]
    view = DueView(
        lead(seen),
        due_table(ahead, tags, "Nobody is due."),
        due_table(late, tags, "Nobody is past her last day."),
        working(rows),
    )
    yield Page(PATH, "due.html", "Who is due", view)


def lead(seen: Seen) -> str:
    """How many, and from when to when."""
    rows = [row for row in seen.facts.due.rows if row.due.likely]
    if not rows:
        return "No ewe is in lamb as far as the notes tell."
    expected = sum(1 - row.due.barren_chance for row in rows)
    first, last = rows[0].due.likely, rows[-1].due.likely
    days = f" Most likely days from {day_words(first)} to {day_words(last)}." if first and last else ""
    return (
        f"{plural(len(rows), 'ewe')} put to the ram and not yet lambed; about {expected:.0f} of them will lamb.{days}"
    )


def due_table(rows: Iterable[DueRow], tags: Directory, empty: str) -> Table:
    """One row for each ewe."""
    columns = (
        Column("Ewe", sort=True), Column("Most likely", sort=True), Column("8 times in 10 between", wide=True),
        Column("Window", wide=True),
        Column("Barren", "number"), Column("Rests on"), Column("Rams", wide=True),
    )  # fmt: skip
    return Table(columns, tuple(due_row(row, tags) for row in rows), empty, "due")


def due_row(row: DueRow, tags: Directory) -> Row:
    """One ewe."""
    item = row.due
    middle = f"{day_words(item.p10)} and {day_words(item.p90)}" if item.p10 and item.p90 else "–"
    window = f"{day_words(item.earliest)} to {day_words(item.latest)}" if item.earliest and item.latest else "–"
    barren = f"{item.barren_chance * 100:.0f} in 100"
    return Row(
        (
            tags.tag(row.ewe),
            day(item.likely) or "–",
            Words(middle),
            Words(window),
            barren,
            BASIS.get(item.basis.value, item.basis.value),
            tags.tags(row.rams),
        )
    )


def working(rows: tuple[DueRow, ...]) -> tuple[Reason, ...]:
    """The model's figures once, then what the notes say of each ewe."""
    model = tuple(dict.fromkeys(item for row in rows for item in row.because if item.rule == "model"))
    joinings = tuple(dict.fromkeys(item for row in rows for item in row.because if item.rule != "model"))
    return (*reasons(model), *reasons(joinings))


PAGES = (PageMaker("due list", make),)
NAVIGATION = (Link("Due", PATH, "due"),)
