"""Which ram with which ewe: how inbred the lamb would be, and how much of the pedigree that rests on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page
from compiler.shape import replace
from flockbook.derive.family.kinship import effective_size, inbreeding_rate
from flockbook.measures import in_hundred
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.sections import Aside, Block, Section, SectionsView
from flockbook.pages.views import Cell, Chart, Column, Directory, PageLink, Row, Table, Words, directory
from flockbook.pages.wording import plural
from flockbook.regional import local
from flockbook.saying.family import CANNOT_BE
from flockbook.seen import Seen

PATH = "pairings.html"
PER_PAGE = 60  # ewes on one page of the grid, and pairings over the limit
RAM_WIDTH, EWE_HEIGHT, RAMS_ON_GLASS = 54.0, 21.0, 5  # the cells of the drawn grid; so many rams fit a phone
GRID_TITLE = "How inbred a lamb of each pairing would be, per cent"
GRID_NOTE = "Ewes down, rams across, by their tags. × is at or over the limit, ? is not known, an empty cell is none."

CAUTION = (
    "Inbreeding counts only what is written. An unknown parent reads as unrelated, so a low figure on few known "
    "generations says little."
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    tags = directory(seen.linked, seen.today)
    family, limit = seen.facts.family.kin, seen.settings.figure("inbreeding_limit")
    over = sorted(
        (item for item in family.pairings if item.inbreeding >= limit),
        key=lambda item: (-item.inbreeding, item.ram, item.ewe),
    )
    avoid = tuple(
        Row(
            (
                tags.tag(item.ewe),
                tags.tag(item.ram),
                percent(item.inbreeding),
                known_of_each(seen, item.ewe, item.ram),
            )
        )
        for item in over
    )
    columns = (
        Column("Ewe"),
        Column("Ram"),
        Column("Inbreeding of the lamb", "number"),
        Column("Generations known, ewe and ram", "number"),
    )
    whole = grid(seen, tags)
    count = max(1, -(-max(len(whole.rows), len(avoid)) // PER_PAGE))
    in_use = f"The limit in use is {percent(limit)} ({seen.settings.source('inbreeding_limit')})."
    names = [PATH if number == 0 else f"pairings-{number + 1}.html" for number in range(count)]
    for number, name in enumerate(names):
        part = slice(number * PER_PAGE, (number + 1) * PER_PAGE)
        pager = tuple(PageLink(str(place + 1), other, other == name) for place, other in enumerate(names) if count > 1)
        sections = (
            Section(
                "Better not", (Aside(in_use), Table(columns, avoid[part], "No pairing reaches the limit.")), "avoid"
            ),
            Section(
                "Every pairing",
                every_pairing(seen, tags, family.ewes[part], replace(whole, rows=whole.rows[part], pager=pager)),
                "every",
            ),
            Section("What cannot be", (faults(seen, tags),), "faults"),
        )
        yield Page(name, "sections.html", "Pairings", SectionsView(lead(seen), sections))


def lead(seen: Seen) -> str:
    """How many of each, and what that means for the flock."""
    family = seen.facts.family.kin
    rams, ewes = plural(len(family.rams), "ram"), plural(len(family.ewes), "ewe")
    words = f"{rams} and {ewes} old enough to be {local('bred from')}."
    if not family.rams or not family.ewes:
        return words
    size = effective_size(len(family.rams), len(family.ewes))
    rate = inbreeding_rate(size)
    return words + (
        f" Their effective number is {size:.1f}, about {percent(rate)} more inbreeding a generation." if rate else ""
    )


def percent(share: float | None) -> str:
    """6.25 %."""
    return "" if share is None else f"{in_hundred(share, 2)}\u00a0%"


def known_of_each(seen: Seen, *sheep: str) -> str:
    """Generations known of each."""
    return ", ".join(f"{seen.facts.family.kin.generations.get(item, 0.0):.1f}" for item in sheep)


def grid(seen: Seen, tags: Directory) -> Table:
    """Ewes down, rams across."""
    family = seen.facts.family.kin
    by_pair = {(item.ram, item.ewe): family.lambs_inbreeding(item) for item in family.pairings}
    names = [tags.tag(ram) for ram in family.rams]
    columns = (
        Column("Ewe", sort=True),
        *(Column(f"{tag.name or tag.tag}", "number", sort=True) for tag in names),
        Column("Generations known", "number"),
    )
    rows = []
    for ewe in family.ewes:
        cells: tuple[Cell, ...] = (
            tags.tag(ewe),
            *(percent(by_pair[(ram, ewe)]) or "not known" for ram in family.rams),
            known_of_each(seen, ewe),
        )
        rows.append(Row(cells))
    return Table(columns, tuple(rows), "There is no ram, or no ewe, to pair.", "grid")


def every_pairing(seen: Seen, tags: Directory, ewes: Sequence[str], table: Table) -> tuple[Block, ...]:
    """The pairings of some ewes: drawn, and as a table."""
    if not ewes or not seen.facts.family.kin.rams:
        return Aside(CAUTION), table
    rams = len(seen.facts.family.kin.rams)
    sheet = Sheet(max(360.0, 90 + RAM_WIDTH * rams), 40 + EWE_HEIGHT * len(ewes))
    svg = Html(draw(pairing_figure(seen, tags, ewes), "pairings", sheet))
    return Aside(CAUTION), Chart("pairings-chart", GRID_TITLE, GRID_NOTE, svg, table, rams > RAMS_ON_GLASS)


def pairing_figure(seen: Seen, tags: Directory, ewes: Sequence[str]) -> dict[str, Any]:
    """Ewes down and rams across: the deeper the cell, the more inbred the lamb; × is over the limit, ? not known."""
    family, limit = seen.facts.family.kin, seen.settings.figure("inbreeding_limit")
    by_pair = {(item.ram, item.ewe): family.lambs_inbreeding(item) for item in family.pairings}
    names = [name_beside(tags, sheep) for sheep in (*ewes, *family.rams)]
    shares = [[by_pair[(ram, ewe)] for ram in family.rams] for ewe in ewes]
    over = sum(share is not None and share >= limit for row in shares for share in row)
    said = f"{plural(len(ewes), 'ewe')} by {plural(len(family.rams), 'ram')}: {plural(over, 'pairing')} over the limit"
    cells = {
        "type": "heatmap", "x": names[len(ewes) :], "y": names[: len(ewes)], "zmin": 0, "zmax": limit or 1,
        "z": [[-1 if share is None else min(share, limit or 1) for share in row] for row in shares],
        "text": [[cell_words(share, limit) for share in row] for row in shares],
    }  # fmt: skip
    return {
        "data": [cells],
        "layout": {
            "title": GRID_TITLE,
            "meta": {"says": said},
            "xaxis": {"type": "category", "side": "top"},
            "yaxis": {"type": "category", "autorange": "reversed"},
        },
    }


def name_beside(tags: Directory, sheep: str) -> str:
    """What stands beside a grid: the tag, else the name."""
    tag = tags.tag(sheep)
    return tag.tag or tag.name


def cell_words(share: float | None, limit: float) -> str:
    """What stands in a cell: nothing where no kin is written, "?" where it cannot be known, × over the limit."""
    if share is None:
        return "?"
    figure = in_hundred(share, 1) if share else ""
    return f"{figure} ×" if figure and share >= limit else figure


def faults(seen: Seen, tags: Directory) -> Table:
    """Contradictions in the pedigree; the links named were left out."""
    rows = [
        Row(
            (
                tags.tags(item.animals),
                CANNOT_BE[item.kind],
                Words("; ".join(f"{link.parent} as {link.role} of {link.animal}" for link in item.dropped)),
            )
        )
        for item in seen.facts.family.kin.ordered[1]
    ]
    columns = (Column("Sheep"), Column("What cannot be"), Column("Left out", wide=True))
    return Table(columns, tuple(rows), "The pedigree holds together.")


PAGES = (PageMaker("pairings", make),)
NAVIGATION = (Link("Pairings", PATH, "", "The flock"),)
