"""All pages: every page that stands by itself, gathered as they are asked for."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import ELSEWHERE, Link, Page
from compiler.shape import Value
from flockbook.seen import Seen

PATH, TITLE = "pages.html", "All pages"
FIND_FIRST = "A page, a sheep, an illness, a medicine, a paddock or a word of a note is found in the box above."


class AllPagesView(Value):
    """What stands above the list; the list itself is the book's navigation, which every template is given."""

    lead: str


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del seen, stamp
    yield Page(PATH, "contents.html", TITLE, AllPagesView(FIND_FIRST))


PAGES = (PageMaker("all pages", make),)
NAVIGATION = (Link(TITLE, PATH, ELSEWHERE),)
