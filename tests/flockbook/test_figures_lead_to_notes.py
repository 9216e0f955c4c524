"""Shares on the pages of illness, of rams and of how lambs lay lead to what was counted, and thence to the notes."""

from __future__ import annotations

from collections.abc import Iterator

import html5lib
import pytest

from tests.flockbook.compiled import Compiled
from tests.flockbook.families import DEMO

EXPECTED = {
    "illness.html": ("#every-case", "season-2026-notes.html#of-ewes"),
    "choose-rams.html": ("#sired",),
    "patterns.html": ("patterns-notes.html",),
}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Compiled:
    """The demo as a book."""
    notes = {path.relative_to(DEMO).as_posix(): path.read_text("utf-8") for path in DEMO.rglob("*") if path.is_file()
             and path.suffix in (".md", ".yaml")}  # fmt: skip
    return Compiled(notes, "2026-12-20", tmp_path_factory.mktemp("led"))


def links_of(book: Compiled, page: str) -> Iterator[str]:
    """Where the cells of a page's tables lead."""
    main = html5lib.parse(book.html(page), namespaceHTMLElements=False).find(".//main")
    for cell in (*main.iter("td"), *main.iter("th")):
        yield from (link.get("href") for link in cell.iter("a"))


@pytest.mark.parametrize("page", EXPECTED)
def test_each_share_leads_on(book: Compiled, page: str) -> None:
    """The words beside a share lead to a place that is there (common practice, no source)."""
    found = set(links_of(book, page))
    for end in EXPECTED[page]:
        leading = [link for link in found if link.endswith(end)]
        assert leading, end
        for link in leading:
            path, _, anchor = link.partition("#")
            assert not anchor or f'id="{anchor}"' in book.html(path or page)


def test_the_rows_behind_how_lambs_lay_are_those_counted(book: Compiled) -> None:
    """As many rows as lambs were counted, each leading to the note of its birth."""
    pages = sorted(path.name for path in book.folder.glob("patterns-notes*.html"))
    links = [link for page in pages for link in links_of(book, page)]
    rows = sum(book.html(page).count("<tr") - 1 for page in pages)
    assert f"{rows} lambs in" in book.words("patterns.html")
    assert sum("notes" in link for link in links) >= rows


def test_a_rams_lambs_lead_to_their_births(book: Compiled) -> None:
    """The table that his seasons lead to names lambs whose pages tell of their birth."""
    link = next(link for link in links_of(book, "choose-rams.html") if link.endswith("#sired"))
    lambs = [to for to in links_of(book, link.partition("#")[0]) if to.endswith(".html")]
    assert lambs
    assert "lambing" in book.words(f"sheep/{lambs[0].rsplit('/', 1)[-1]}").lower()
