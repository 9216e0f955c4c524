"""Long tables go on from page to page: every row on one page, no page too heavy."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from compiler.book import Moment
from compiler.build import build
from flockbook.book import BOOK
from flockbook.pages.long_tables import PART, WHOLE, Seat, over_pages, paged
from flockbook.pages.sections import Pager
from flockbook.pages.views import Column, Row, Table
from tests.bench.make_flock import write
from tests.flockbook.families import one_table

HEAVIEST = 1400  # elements of one page (quality.md's figure for the book's pages)
SHEETS = ("race-", "register")  # printed sheets, each one paper; the money page folds its sums


def table(rows: int) -> Table:
    """A table of so many rows in two columns."""
    columns = (Column("Sheep"), Column("Weight"))
    return Table(columns, tuple(Row((f"sheep {row}", row)) for row in range(rows)), "none", "weights", "a caption")


@pytest.mark.parametrize("rows", [0, 1, WHOLE // 10, WHOLE // 10 + 1, 3 * (PART // 10), 1001])
def test_every_row_stands_on_one_page(rows: int) -> None:
    """However many there are, no row is lost or shown twice, and the order is kept."""
    whole = table(rows)
    first, more = over_pages(whole, Seat("crop-2026.html", "Lamb crop", "Seasons"))
    assert first.rows + tuple(row for page in more for row in one_table(page.view).rows) == whole.rows
    alone = list(paged("sheep.html", "Sheep", "All.", whole))
    assert tuple(row for page in alone for row in one_table(page.view).rows) == whole.rows
    assert bool(more) == bool(first.pager) == (rows > WHOLE // 10)


def test_each_page_leads_to_all_the_others() -> None:
    """The numbers under a table name every page in order and mark the one that is open."""
    first, more = over_pages(table(230), Seat("crop-2026.html", "Lamb crop", "Seasons"))
    names = ["crop-2026.html#weights", "crop-2026-weights-2.html", "crop-2026-weights-3.html"]
    assert [page.path for page in more] == names[1:]
    pagers = [first.pager, *(block.links for page in more for block in page.view.foot if isinstance(block, Pager))]
    assert [[link.href for link in pager] for pager in pagers] == [names] * 3
    assert [[link.current for link in pager].index(True) for pager in pagers] == [0, 1, 2]
    assert {page.section for page in more} == {"Seasons"}


def test_no_page_of_a_large_flock_is_too_heavy(tmp_path: Path) -> None:
    """Two thousand notes: no page has more elements than an old tablet scrolls well, printed sheets apart."""
    write(2000, tmp_path / "notes")
    build(tmp_path / "notes", BOOK, Moment(datetime(2026, 11, 24)), tmp_path / "book", cache=tmp_path / "cache")
    heavy = {}
    for page in (tmp_path / "book").rglob("*.html"):
        text = re.sub(r"<details.*?</details>", "", page.read_text(), flags=re.DOTALL)
        if (count := len(re.findall(r"<[a-z]", text))) > HEAVIEST and not page.name.startswith(SHEETS):
            heavy[page.name] = count
    assert heavy == {}
