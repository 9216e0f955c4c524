"""No page says a day as a machine writes it: a shepherd reads 19 Apr 2026. As typed stand only names of files, what is
to be typed, and the words of a note."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from compiler.build import build
from flockbook.book import BOOK
from flockbook.derive.plain.because import Reason, Stated
from flockbook.saying.because import OF_ALL, STATED
from tests.flockbook.small import moment

ISO = re.compile(r"\b\d{4}-\d\d-\d\d\b")
# A note's file name begins with its day, and perhaps its time, and goes on with the kind of note; so does a path.
FILE = re.compile(r"\d{4}-\d\d-\d\d (?:\d{4} )?[a-z]|(?:events|medicines|sheep|supplies)/")
TYPED = re.compile(r"label, read \d{4}-\d\d-\d\d")  # the shepherd's own words beside a waiting period
LEFT_OUT = {"code", "pre", "script", "style", "title"}
VOID = {"br", "img", "meta", "link", "input", "hr", "col", "wbr"}


class Texts(HTMLParser):
    """The texts of a page that are prose: no code, no paths, no words of the shepherd's own."""

    def __init__(self) -> None:
        """Nothing is open yet."""
        super().__init__()
        self.open: list[tuple[str, str]] = []
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element begins."""
        if tag not in VOID:
            self.open.append((tag, dict(attrs).get("class") or ""))

    def handle_endtag(self, tag: str) -> None:
        """The elements up to this one end."""
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        """A text, kept where it is prose."""
        if not any(tag in LEFT_OUT or {"path", "remark"} & {*name.split()} for tag, name in self.open):
            self.found.append(data)


def iso_days(html: str) -> list[str]:
    """The texts of a page in which a day stands as a machine writes it."""
    page = Texts()
    page.feed(html)
    return [text for text in page.found if ISO.search(TYPED.sub("", text)) and not FILE.search(text)]


@pytest.mark.parametrize("day", ["2026-04-19T03:20", "2026-11-25"])
def test_days_stand_in_words(tmp_path: Path, day: str) -> None:
    """Common practice, no source: in the middle of lambing and in autumn, no text of the demo's book has a bare day."""
    build(Path("site_demo"), BOOK, moment(day), tmp_path / "book", cache=tmp_path / "cache")
    pages = sorted((tmp_path / "book").rglob("*.html"))
    assert len(pages) > 300
    assert {page.name: found for page in pages if (found := iso_days(page.read_text("utf-8")))} == {}


@pytest.mark.parametrize(
    ("html", "found"),
    [
        ("<p>sold on 2026-04-19</p>", ["sold on 2026-04-19"]),
        ("<td class=wide>2026-04-19</td>", ["2026-04-19"]),
        ("<p>write <code>2026-04-19</code></p>", []),
        ('<span class="path">events/2026-04-19 remark.md</span>', []),
        ("<p>name it 2026-04-19 0340 lambing Bramble</p>", []),
    ],
)
def test_a_planted_day_is_found(html: str, found: list[str]) -> None:
    """A bare day in a sentence or a cell is found; code, paths and file names are left out."""
    assert iso_days(html) == found


def test_every_reason_has_words() -> None:
    """Whatever a step of a working can rest on is said in one place (our own rule)."""
    kinds = set(Reason.__subclasses__())
    assert len(kinds) > 25
    assert kinds == set(OF_ALL)
    assert set(STATED) == set(Stated)
