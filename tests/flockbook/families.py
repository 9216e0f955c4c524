"""The pages of a few families of the book, drawn apart from the rest of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

from compiler.book import Stamp
from compiler.pages import Asset, Link, Page
from compiler.shape import Value, replace
from compiler.templates import Theme
from flockbook.manner import speaking
from flockbook.pages.sections import Aside, Block, PencilSheet, Rows, SectionsView
from flockbook.pages.stamp import StampSheet, stamp_sheet
from flockbook.pages.views import RowView, Table
from tests.flockbook.small import Seen, read

ROOT = Path(__file__).parents[2]
LEDGER, DEMO = ROOT / "themes" / "ledger", ROOT / "site_demo"
STAMPED = ("2026-11-25", 503)


class Frame(Value):
    """What every page shows alike."""

    flock: str
    stamp: StampSheet


@cache
def demo(on: str = STAMPED[0]) -> Seen:
    """The demo flock, read once for each day asked about."""
    kept = (".md", ".yaml", ".csv")
    found = {path.relative_to(DEMO).as_posix(): path.read_bytes() for path in DEMO.rglob("*") if path.suffix in kept}
    del found["README.md"]
    return read(found, on, date.fromisoformat(STAMPED[0]))


def stamp(seen: Seen) -> Stamp:
    """The stamp of a book made on that day."""
    return Stamp(seen.today, "now", STAMPED[1], STAMPED[1], 0, "2026-11-24", 0, 0, 0, 0)


def made(seen: Seen, family: ModuleType) -> Iterator[Page]:
    """The pages of one family."""
    for maker in family.PAGES:
        with speaking(seen.settings.manner):
            pages = list(maker.make(seen, stamp(seen)))
        for page in pages:
            assert not isinstance(page, Asset)
            yield page


def drawn(page: Page, seen: Seen, families: Sequence[ModuleType] = ()) -> str:
    """A page as HTML, with the navigation of these families."""
    frame = Frame(seen.settings.flock, stamp_sheet(seen.settings.flock, stamp(seen), 24))
    navigation: tuple[Link, ...] = tuple(link for family in families for link in family.NAVIGATION)
    return Theme(LEDGER).draw(page, frame, navigation).decode()


def view(seen: Seen, family: ModuleType, path: str = "") -> Any:
    """The view of a family's first page, or of the one at a path."""
    return next(page.view for page in made(seen, family) if page.path == path or not path)


def blocks_in(view: SectionsView, ident: str) -> tuple[Block, ...]:
    """The blocks of one section of a page."""
    return next(part.body for part in view.sections if part.id == ident)


def table_in(view: SectionsView, ident: str, place: int = 0) -> Table:
    """The first table of a section, or a later one."""
    return [block for block in blocks_in(view, ident) if isinstance(block, Table)][place]


def sentences_in(view: SectionsView, ident: str) -> tuple[str, ...]:
    """What a section says in sentences."""
    found = (getattr(block, "text", block) for block in blocks_in(view, ident) if isinstance(block, str | Aside))
    return tuple(str(text) for text in found)


def one_table(view: SectionsView) -> Table:
    """The table of a page that has nothing else."""
    (part,) = view.sections
    (found,) = part.body
    assert isinstance(found, Table)
    return found


def pencil_sheet(view: SectionsView) -> PencilSheet:
    """The sheet for paper and pencil of a page, its mobs one after another."""
    first, *others = (block for block in view.top if isinstance(block, PencilSheet))
    return replace(first, rows=(*first.rows, *(row for other in others for row in other.rows)))


def rows_in(view: SectionsView, ident: str) -> tuple[RowView, ...]:
    """The lines of a section's list."""
    return next(block.rows for block in blocks_in(view, ident) if isinstance(block, Rows))
