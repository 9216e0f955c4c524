"""The book in other forms than its own folder: in one file, and without what is private."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC
from pathlib import Path
from typing import Any

from compiler import output
from compiler.binding import Bound, bind, draw, stamp_of
from compiler.book import Book, Contents, Moment, PageMaker, Stamp
from compiler.build import proof
from compiler.collection import Collection
from compiler.diagnostics import Diagnostic
from compiler.epub import About
from compiler.home import home_of
from compiler.output import Seals, Written
from compiler.pages import Asset, Page
from compiler.pictures import find as find_pictures
from compiler.shape import Value, replace
from compiler.templates import Theme
from flockbook.book import BOOK
from flockbook.derive.facts import Facts
from flockbook.flock import Flock
from flockbook.linking import link
from flockbook.manner import speaking
from flockbook.pages.farm import money
from flockbook.pages.growth import growth_sales
from flockbook.pages.sections import AsTyped, Block, Fold, Problem, SectionsView
from flockbook.pages.stamp import made_words
from flockbook.pages.wording import plural
from flockbook.private import Strike, also_sheep, settings_to_share, strike_of, unquoted, without_money
from flockbook.seen import Seen
from flockbook.settings import MONEY_SORT, PEOPLE_SORT, Settings

LANGUAGES = {"uk": "en-GB", "us": "en-US"}
PAGE_LEFT_OUT = "This page is left out of the shared book."
UNREADABLE = "(left out of the shared book: nobody can say what in it is private)"
OF_MONEY = frozenset(maker.name for module in (money, growth_sales) for maker in module.PAGES)
DATA_FILE = "-data.js"  # how the names of script files end that hold what the notes say

FlockBook = Book[Settings, Flock, Facts]


class Shared(Value):
    """A shared book as it was written: what is told of the notes, what was left out, and what could not be: names
    that `kept` their place as a sheep's, and `files` that are called after what is private.
    """

    seen: Seen
    written: Written
    left_out: tuple[str, ...]
    kept: tuple[str, ...]
    files: tuple[str, ...]


def bound_book(seen: Seen, notes: Path, theme: Path | None = None, book: FlockBook = BOOK) -> Bound:
    """All pages of the book, not drawn yet."""
    return bind(seen, book, Theme(theme or Path(book.theme), home_of(notes, book.name)))


def with_pictures(seen: Seen, notes: Path) -> Seen:
    """The findings with the pictures of the notes folder."""
    return replace(seen, pictures=find_pictures(notes))


def about(seen: Seen) -> About:
    """What a single file says of itself: a reader's clock adds nothing to it, so it says in words how it ages."""
    stamp, manner = stamp_of(seen), seen.settings.manner
    with speaking(manner):
        made = made_words(stamp)
        words = (
            f"{seen.settings.flock}. As at {made}, from {plural(stamp.read, 'note')}; "
            f"{stamp.errors + stamp.asks} to mend. Whatever was written later is not in it: "
            "before a sale look into the newest book."
        )
    return About(seen.settings.flock, LANGUAGES[manner.words], stamp.on.at.replace(microsecond=0, tzinfo=UTC), words)


# Without what is private


def write_shared(notes: Path, moment: Moment, to: Path, theme: Path | None) -> Shared | None:
    """The book without what is private, or None where no book can be made. Raises OSError, OutputRefused."""
    with output.opened(to, notes, chief=output.CHIEF) as place:
        found = proof(notes, moneyless(BOOK), moment, to)
        if found.failed:
            return None
        sorts, strike = found.settings.private, strike_of(found.settings, found.linked)
        kept = tuple(also_sheep(found.settings, found.linked))
        seen = replace(found, settings=settings_to_share(found.settings), collection=unquoted(found.linked.collection))
        seen = seen if PEOPLE_SORT in sorts else with_pictures(seen, notes)
        bound, told = bound_book(seen, notes, theme, with_contents_to_share(BOOK, sorts)), list[Diagnostic]()
        written = place.write(bound.files, lambda order: struck(order, bound, strike, told), Seals(bound.seals))
    pictures = ("pictures",) if PEOPLE_SORT in sorts else ()  # nobody can say who is on them
    telling = tuple(path for path in bound.files if strike.place.search(path))
    told_all = replace(seen, diagnostics=(*seen.diagnostics, *bound.told, *told))
    return Shared(told_all, written, (*sorts, *pictures), kept, telling)


def moneyless(book: FlockBook) -> FlockBook:
    """The book of the same notes without the sums in them, where money is private."""

    def linked(collection: Collection, settings: Settings, today: Moment) -> tuple[Flock, tuple[Diagnostic, ...]]:
        private = MONEY_SORT in settings.private
        return link(without_money(collection) if private else collection, settings, today)

    def derived(flock: Flock, settings: Settings, today: Moment) -> tuple[Facts, tuple[Diagnostic, ...]]:
        return book.derive(flock, settings_to_share(settings), today)

    return replace(book, link=linked, derive=derived)


def with_contents_to_share(book: FlockBook, sorts: Sequence[str]) -> FlockBook:
    """The book whose pages show nothing as it was typed, and of whose pages of money only the place stands."""

    def contents() -> Contents[Settings, Flock, Facts]:
        whole = book.contents()
        return replace(whole, pages=tuple(maker_to_share(maker, sorts) for maker in whole.pages))

    return replace(book, contents=contents)


def maker_to_share(maker: PageMaker[Any, Any, Any], sorts: Sequence[str]) -> PageMaker[Any, Any, Any]:
    """A group of pages as they may be shared."""
    hidden = MONEY_SORT in sorts and maker.name in OF_MONEY

    def made(seen: Seen, stamp: Stamp) -> Iterator[Page | Asset]:
        for leaf in maker.make(seen, stamp):
            if hidden and isinstance(leaf, Page):
                yield replace(leaf, template="sections.html", view=SectionsView(PAGE_LEFT_OUT))
            else:
                yield page_to_share(leaf)

    return PageMaker(maker.name, made)


def page_to_share(leaf: Page | Asset) -> Page | Asset:
    """A page whose notes are not shown as they were typed."""
    if not isinstance(leaf, Page) or not isinstance(leaf.view, SectionsView):
        return leaf
    parts = tuple(replace(part, body=tuple(map(block_to_share, part.body))) for part in leaf.view.sections)
    top, foot = (tuple(map(block_to_share, blocks)) for blocks in (leaf.view.top, leaf.view.foot))
    return replace(leaf, view=replace(leaf.view, sections=parts, top=top, foot=foot))


def block_to_share(block: Block) -> Block:
    """A block without what nobody has sorted into fields."""
    if isinstance(block, AsTyped):
        return replace(block, text=UNREADABLE)
    if isinstance(block, Problem):
        return replace(block, excerpt=None)
    return replace(block, body=tuple(map(block_to_share, block.body))) if isinstance(block, Fold) else block


def struck(order: Sequence[str], bound: Bound, strike: Strike, told: list[Diagnostic]) -> Iterator[bytes]:
    """The files of the book in turn, without the words that are struck."""
    for path, data in zip(order, draw(order, bound, told), strict=True):
        yield struck_file(path, data, strike)


def struck_file(path: str, data: bytes, strike: Strike) -> bytes:
    """A page or a data file without these words; the theme's own files say nothing of the flock."""
    if path.endswith(DATA_FILE):
        return strike.data(data.decode()).encode()
    return strike.page(data.decode()).encode() if path.endswith(".html") else data


def left_out_words(shared: Shared) -> Iterable[str]:
    """What to say of a shared book."""
    yield f"left out: {', '.join(shared.left_out)}"
    if shared.kept:
        names = ", ".join(shared.kept)
        yield f"not left out, because a sheep, a mob or a place is called so too: {names}"
    if shared.files:
        yield f"these files are called after what is left out (rename the notes): {', '.join(shared.files)}"
