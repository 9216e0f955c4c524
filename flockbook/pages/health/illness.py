"""Illness: what is open, every case, how often, udders to feel; and a page for each case."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.health.cases import Case, Incidence, Udder
from flockbook.derive.season.season_counts import UDDER_DAYS
from flockbook.pages.health.case_page import case_view
from flockbook.pages.health.cases import before_words, case_paths, cases_table, given_words, notices, problem_link
from flockbook.pages.health.early_losses_page import PATH as EARLY_LOSSES
from flockbook.pages.health.early_losses_page import people_warned
from flockbook.pages.season.season_notes import path_of as notes_path
from flockbook.pages.sections import Pager, Section, SectionsView
from flockbook.pages.telling.cautions import MEDICINE_CAUTION, SICK
from flockbook.pages.views import (
    Cell,
    Column,
    Directory,
    LinkView,
    PageLink,
    Row,
    Table,
    Words,
    day,
    directory,
    share_view,
)
from flockbook.pages.wording import day_words, plural
from flockbook.regional import local, local_all
from flockbook.seen import Seen

PATH = "illness.html"
RATE_RULE = (
    "Of the ewes exposed to a ram for that season, so many had it at least once; the range is Wilson's, 95 in a "
    "hundred. Ewes "
    f"of one mob are not independent, so the true range is wider. A season begins {UDDER_DAYS} days before its first "
    "birth. The season leads to the ewes counted, the problem to its cases, and both to their notes."
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The list of cases, and a page for each."""
    del stamp
    tags = directory(seen.linked, seen.today)
    paths = case_paths(seen)
    yield Page(PATH, "sections.html", "Illness", illness_view(seen, tags, paths), "Health")
    for case in seen.facts.health.cases.all:
        animal = seen.linked.animals[case.sheep]
        title = f"{animal.called}: {case.problem}"
        yield Page(paths[case.id], "sections.html", title, case_view(seen, case, tags, paths), "Illness")


# The list


def illness_view(seen: Seen, tags: Directory, paths: Mapping[str, str]) -> SectionsView:
    """Open cases first."""
    found = seen.facts.health.cases
    sections = (
        Section("Open", (open_table(found.open, tags, paths),), "open", plural(len(found.open), "case")),
        Section("How often", (RATE_RULE, rates_table(seen)), "how-often"),
        Section(local("Udders to feel before joining"), (udder_table(found.udders, tags),), "udders"),
        Section("Every case", (cases_table(found.all, tags, paths),), "every-case", plural(len(found.all), "case")),
    )
    lost = PageLink("Lambs lost before their time", EARLY_LOSSES)
    lead = (
        f"{plural(len(found.open), 'case')} open, {len(found.all)} in all. A case ends when “recovered” is written, or "
        "when she is sold or dies."
    )
    cautions = (*people_warned(seen, found.open), local_all(SICK), MEDICINE_CAUTION)
    return SectionsView(lead, sections, cautions, (Pager((lost,)),))


def open_table(cases: Iterable[Case], tags: Directory, paths: Mapping[str, str]) -> Table:
    """Who is ill."""
    columns = (
        Column("Sheep"),
        Column("Problem", wide=True),
        Column("Since"),
        Column("Days", "number"),
        Column("Given", wide=True),
        Column("To note", wide=True),
    )
    rows = [
        Row(
            (
                tags.tag(case.sheep),
                problem_link(case, paths),
                day(case.since) or "",
                case.days,
                Words(given_words(case)),
                Words("; ".join([*before_words(case), *notices(case)])),
            )
        )
        for case in cases
    ]
    return Table(columns, tuple(rows), "Nobody is ill as far as the notes tell.", "open-cases")


def rates_table(seen: Seen) -> Table:
    """How often, season by season."""
    columns = (
        Column("Season"),
        Column("Problem", wide=True),
        Column(local("Ewes put to the ram that had it"), wide=True),
        Column("Cases in all sheep", "number"),
    )
    known = {season.season for season in seen.facts.season.years}
    rows = tuple(Row(rate_cells(row, row.season in known)) for row in seen.facts.health.cases.incidence)
    return Table(columns, rows, "No illness is written.", "rates")


def rate_cells(row: Incidence, known: bool) -> tuple[Cell, ...]:
    """One share, with where its ewes and its cases are."""
    problem = f"{row.problem} (of lambs born alive)" if row.of_lambs else row.problem
    season: Cell = LinkView(str(row.season), counted_at(row)) if known else str(row.season)
    return season, LinkView(problem, f"{PATH}#every-case"), share_view(row.ewes), row.cases


def counted_at(row: Incidence) -> str:
    """Where the ewes or lambs of a season are that a share was counted of."""
    return f"{notes_path(str(row.season))}#{'of-lambs' if row.of_lambs else 'of-ewes'}"


def udder_table(udders: Iterable[Udder], tags: Directory) -> Table:
    """Ewes whose bags must be felt before the ram goes in."""
    columns = (Column("Ewe"), Column("Mastitis"), Column("At checks", wide=True), Column("Left"), Column("Right"))
    rows = [
        Row(
            (
                tags.tag(item.ewe),
                "; ".join(f"{day_words(case.since)} {case.side}".strip() for case in item.cases) or "none written",
                Words("; ".join(f"{words}, {day_words(when)}" for when, words, _ in item.found) or "not felt"),
                "",
                "",
            )
        )
        for item in udders
    ]
    return Table(columns, tuple(rows), "No ewe that is here had mastitis, a lump or a hard half.", "udder-list")


PAGES = (PageMaker("illness", make),)
NAVIGATION = (Link("Illness", PATH, "", "Health"),)
