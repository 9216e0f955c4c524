"""Every sheep: those that are here, those that are gone, and every tag ever used."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.flock import Animal, gone, there
from flockbook.pages.breeding.due_page import likely_cell
from flockbook.pages.long_tables import paged
from flockbook.pages.views import Cell, Column, Directory, Row, Table, day, directory, meat_view
from flockbook.pages.wording import age_class, partial_words, plural
from flockbook.seen import Seen

PATH, GONE = "sheep.html", "gone.html"


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """Both lists."""
    del stamp
    tags = directory(seen.linked, seen.today)
    here = [animal for animal in seen.linked.animals.values() if there(animal, seen.today)]
    left = [animal for animal in seen.linked.animals.values() if gone(animal, seen.today)]
    left.sort(key=lambda animal: (-(animal.left.date if animal.left else date.min).toordinal(), animal.id))
    yield from paged(
        PATH, "Sheep", f"{plural(len(here), 'sheep', 'sheep')} here on this day.", here_table(seen, here, tags)
    )
    yield from paged(
        GONE, "Gone", f"{plural(len(left), 'sheep', 'sheep')} sold or dead, the latest first.", gone_table(left, tags)
    )


def here_table(seen: Seen, animals: list[Animal], tags: Directory) -> Table:
    """Who is here: class, mob, due, clear."""
    due = {row.ewe: row for row in seen.facts.breeding.due.rows}
    columns = (
        Column("Sheep", sort=True),
        Column("Class", sort=True),
        *((Column("Mob", sort=True),) if seen.linked.keeps_mobs else ()),
        Column("Born"),
        Column("Due", sort=True),
        Column("Meat"),
    )
    rows = []
    for animal in animals:
        item = due.get(animal.id)
        likely: Cell = likely_cell(item, seen.today.day) if item else ""
        row = seen.facts.medicine.guard.standing.get(animal.id)
        state: Cell = meat_view(row, "clear-to-sell.html") if row else ""
        cells = (
            tags.tag(animal.id),
            age_class(animal, seen.today.day),
            *((animal.mob_on(seen.today.day) or "",) if seen.linked.keeps_mobs else ()),
            partial_words(animal.born) if animal.born else "",
            likely,
            state,
        )
        rows.append(Row(cells))
    return Table(columns, tuple(rows), "No sheep are in the book yet.", "sheep", filter="Narrow the list")


def gone_table(animals: list[Animal], tags: Directory) -> Table:
    """Who has left, how and when."""
    columns = (Column("Sheep", sort=True), Column("Left"), Column("How"), Column("Born"), Column("Tags ever worn"))
    rows = [
        Row(
            (
                tags.tag(animal.id),
                day(animal.left.date) or "",
                animal.left.how,
                partial_words(animal.born) if animal.born else "",
                ", ".join(animal.tags),
            )
        )
        for animal in animals
        if animal.left
    ]
    return Table(columns, tuple(rows), "Nobody has left.", "gone", filter="Narrow the list")


PAGES = (PageMaker("sheep index", make),)
NAVIGATION = (Link("Sheep", PATH, "Sheep"), Link("Gone", GONE, "gone", "The flock"))
