"""The table of contents: which modules make the book's pages, in the order of its navigation."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from types import ModuleType
from typing import Any

from compiler.book import Contents, Many, PageMaker, Stamp
from compiler.pages import Asset, Link, Page
from compiler.shape import Value, replace
from flockbook.manner import speaking
from flockbook.pages.breeding import due_page, forecast, pairings, scan_page
from flockbook.pages.choosing import choose, choose_lambs, choose_rams, merit
from flockbook.pages.farm import ages_page, death_list, feed, fleece_page, grass, kit, money, register
from flockbook.pages.growth import growth, growth_ewes, growth_footing, growth_sales, growth_sheet, race
from flockbook.pages.health import early_losses_page, egg_counts, illness, review_page, worms
from flockbook.pages.lambing import cards, colostrum_page, crop, night, pattern_notes, patterns, pocket, watch
from flockbook.pages.market import loading
from flockbook.pages.medicine import clear_page, cupboard, dose_sheet, medicine_book, medicine_pages
from flockbook.pages.season import season_notes, season_page, seasons
from flockbook.pages.sheep import sheep_index, sheep_page
from flockbook.pages.stamp import StampSheet, stamp_sheet
from flockbook.pages.telling import changes_page, notes_page, problems_page, workings
from flockbook.pages.today import all_pages, editions, find, front, jot_page, neighbour, to_do, week, year_ahead
from flockbook.pages.wording import told_apart
from flockbook.regional import local
from flockbook.seen import Seen

LOUD_HOURS = 24  # after so many hours the reader's clock makes the stamp loud
MODULES: tuple[ModuleType, ...] = (
    front, watch, jot_page, due_page, to_do, sheep_index, clear_page, all_pages, night, forecast,
    sheep_page, choose, choose_lambs, choose_rams, pairings, merit, ages_page,
    seasons, season_page, season_notes, patterns, pattern_notes, crop, growth, growth_footing,
    growth_ewes, growth_sales,
    cards,
    illness, early_losses_page, worms, egg_counts, medicine_pages, medicine_book, cupboard, dose_sheet,
    grass, feed, kit, money, register, death_list, fleece_page,
    year_ahead, colostrum_page, scan_page, week, review_page,
    loading, neighbour, race, growth_sheet, pocket, editions,
    notes_page, changes_page, problems_page, workings, find,
)  # fmt: skip


class Frame(Value):
    """What every page shows alike."""

    flock: str
    stamp: StampSheet


def frame(findings: Seen, stamp: Stamp) -> Frame:
    """The frame of all pages."""
    with speaking(findings.settings.manner):
        return Frame(findings.settings.flock, stamp_sheet(findings.settings.flock, stamp, LOUD_HOURS))


def stamped(findings: Seen, stamp: Stamp) -> Iterable[Asset]:
    """The stamp's own style sheet."""
    yield frame(findings, stamp).stamp.asset


def pages_in_words(maker: PageMaker[Any, Any, Any]) -> PageMaker[Any, Any, Any]:
    """A maker whose pages are in the flock's own words, whichever flock was read before."""

    def made(findings: Seen, stamp: Stamp) -> Iterable[Page | Asset]:
        with speaking(findings.settings.manner):
            given = maker.make(findings, stamp)
            return replace(given, make=partial(of_one, given, findings)) if isinstance(given, Many) else titled(given)

    def of_one(many: Many, findings: Seen, thing: Any) -> Iterable[Page | Asset]:
        with speaking(findings.settings.manner):
            return titled(many.make(thing))

    return replace(maker, make=made)


def titled(made: Iterable[Page | Asset]) -> list[Page | Asset]:
    """The pages of a maker, or of one of its things, each with a title of its own."""
    leaves = list(made)
    titles = iter(told_apart(leaf.title for leaf in leaves if isinstance(leaf, Page)))
    return [replace(leaf, title=next(titles)) if isinstance(leaf, Page) else leaf for leaf in leaves]


def found(findings: Seen, stamp: Stamp) -> Iterable[Asset]:
    """What the find box finds, which knows all pages by their names."""
    del stamp
    with speaking(findings.settings.manner):
        yield find.find_data(findings, contents_said().navigation)


PAGES: tuple[PageMaker[Any, Any, Any], ...] = (
    PageMaker("stamp", stamped),
    PageMaker("find data", found),
    *(pages_in_words(maker) for module in MODULES for maker in module.PAGES),
)
LINKS: tuple[Link, ...] = tuple(link for module in MODULES for link in module.NAVIGATION)
# As she asks for them: the tabs, then what is now in the shed, the sheep, their health, and the desk.
GROUPS = ("", "Lambing", "The flock", "Health", "The year", "The farm", "On paper", "The book")
NAVIGATION: tuple[Link, ...] = tuple(sorted(LINKS, key=lambda link: GROUPS.index(link.group)))
CONTENTS: Contents[Any, Any, Any] = Contents(PAGES, NAVIGATION, frame)


def contents_said() -> Contents[Any, Any, Any]:
    """The table of contents in the words of the flock that was read last."""
    links = (replace(link, label=local(link.label), group=local(link.group)) for link in NAVIGATION)
    return replace(CONTENTS, navigation=tuple(links))
