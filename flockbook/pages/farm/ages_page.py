"""How old the ewes are, and how many of them went, died and came, season by season."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.farm.ages import AgeBand, AgeBook, CullRate
from flockbook.pages.chart.plate import chart
from flockbook.pages.sections import Section, SectionsView
from flockbook.pages.views import Chart, Column, Directory, Row, Table, directory, share_view
from flockbook.pages.wording import NONE, plural
from flockbook.regional import local, local_all
from flockbook.seen import Seen

PATH, TITLE = "ages.html", "Ages and culling"
CULLED = (
    "Customary is to cull about 15 in a hundred ewes a year; a published share, of United States flocks in 2011, is "
    "14 in a hundred (American Sheep Industry Association, lamb-crop best practices, with NAHMS figures). It is no "
    "target of yours."
)
AGE_RULES = (
    "An age is in whole years, by the latest day on which a ewe can have been born; ewe lambs are not among them.",
    "Went: of the ewes put to the ram for a season, those sold within a year of its first lambing. Died: those that "
    "died before the next joining. New: those put to the ram here for the first time. The mean age is that at lambing.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page of ages."""
    del stamp
    found, tags = seen.facts.farm.ages, directory(seen.linked, seen.today)
    sections = (
        Section("Ages today", (age_chart(found, age_table(found, tags)),), "ages"),
        Section("Went, died, came", (CULLED, cull_table(found.rates)), "rates"),
        Section("How it is counted", local_all(AGE_RULES), "how"),
    )
    yield Page(PATH, "sections.html", TITLE, SectionsView(lead(found), sections), "The flock")


def lead(found: AgeBook) -> str:
    """How many ewes, and their middle age."""
    years = [band.years for band in found.bands if band.years is not None for _ in band.ewes]
    if not years:
        return "No ewe of a year or more with a written birth is here."
    old = sum(age >= 6 for age in years)
    middle = years[len(years) // 2]
    return f"{plural(len(years), 'ewe')} of a year or more; the middle one is {middle}, {old} are six or older."


def band_said(band: AgeBand) -> str:
    """`3 years`; `8 or more`; that none is written."""
    if band.years is None:
        return "birth not written"
    return f"{band.years} or more" if band.last else plural(band.years, "year")


def age_table(found: AgeBook, tags: Directory) -> Table:
    """One row for each age."""
    columns = (Column("Age"), Column("Ewes", "number"), Column("Who", wide=True))
    rows = tuple(Row((band_said(band), len(band.ewes), tags.tags(band.ewes))) for band in found.bands)
    return Table(columns, rows, "No ewe of a year or more is here.", "age-table")


def age_chart(found: AgeBook, table: Table) -> Chart | Table:
    """The ages as bars over their table, the youngest at the left; of one age the table alone."""
    bands = [band for band in found.bands if band.years is not None]
    if len(bands) < 2:
        return table
    figure = {
        "data": [{
            "type": "bar", "name": "ewes", "x": [band_said(band) for band in bands],
            "y": [len(band.ewes) for band in bands], "text": [str(len(band.ewes)) for band in bands],
        }],
        "layout": {
            "title": {"text": "Ewes by age"},
            "meta": {"says": "; ".join(f"{band_said(band)}: {len(band.ewes)}" for band in bands)},
            "yaxis": {"title": {"text": "ewes"}},
        },
    }  # fmt: skip
    return chart("ages", "Ewes by age", figure, table)


def cull_table(rates: Iterable[CullRate]) -> Table:
    """One row for each season, the latest first."""
    columns = (Column("Season"), Column("Went", wide=True), Column("Died", wide=True), Column("New", wide=True),
               Column("Mean age", "number"))  # fmt: skip
    rows = tuple(
        Row((
            f"{one.season}{'' if one.whole else ' so far'}", share_view(one.left), share_view(one.died),
            share_view(one.came), f"{one.mean_age:.1f}" if one.mean_age is not None else NONE,
        ))
        for one in reversed(tuple(rates))
    )  # fmt: skip
    return Table(columns, rows, local("No ewe was put to the ram yet."), "rates-table")


PAGES = (PageMaker("ages and culling", make),)
NAVIGATION = (Link(TITLE, PATH, "", "The flock"),)
