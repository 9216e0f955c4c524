"""Editions: single files to be copied alone, for the shed and for the yard gate; and all sheets of the day to print."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.pages.lambing import cards, watch
from flockbook.pages.market import loading
from flockbook.pages.medicine import clear_page
from flockbook.pages.sections import SectionsView
from flockbook.pages.today import neighbour, week
from flockbook.regional import local
from flockbook.seen import Seen

SHED, CLEAR_COPY, PRINT = "shed.html", "clear-to-sell-copy.html", "print.html"
COPY_WORDS = (
    "One file to copy, with everything in it. It speaks of the moment in its head and of nothing since: make it again "
    "before you rely on it."
)
PRINT_WORDS = "The sheets of the day, one after another: print this page. Every other sheet is printed from its own."


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The single files, and the page that prints."""
    del stamp
    listed = clear_page.list_paths(seen)
    shed = (watch.PATH, *listed, cards.PATH)
    yield Page(SHED, "sections.html", local("For the shed"), SectionsView(COPY_WORDS), alone=True, holds=shed)
    yield Page(CLEAR_COPY, "sections.html", "Clear to sell: a copy", SectionsView(COPY_WORDS), alone=True, holds=listed)
    title, held = "Print the day’s sheets", sheets_of_the_day(seen)
    yield Page(PRINT, "sections.html", title, SectionsView(PRINT_WORDS, paper="printed"), "On paper", holds=held)


def sheets_of_the_day(seen: Seen) -> tuple[str, ...]:
    """The week, the shed sheet while ewes are watched, the neighbour's, and the papers of a load that goes today."""
    watched = (watch.SHED_SHEET,) if watch.watch_order(seen) else ()
    loads = seen.facts.market.gate.loads
    papers = zip(loads, loading.load_paths(loads), strict=True)
    return week.PATH, *watched, neighbour.PATH, *(path for load, path in papers if load.at.day == seen.today.day)


PAGES = (PageMaker("editions", make),)
NAVIGATION = (
    Link("The shed in one file", SHED, "", "On paper"),
    Link("Clear to sell, a copy", CLEAR_COPY, "", "On paper"),
    Link("Print the day", PRINT, "", "On paper"),
)
