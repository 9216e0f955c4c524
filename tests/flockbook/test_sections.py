"""The idiom of pages: every kind of block that a section may hold is drawn, whole, and strict readers accept it."""

from __future__ import annotations

from pathlib import Path
from typing import get_args
from xml.etree import ElementTree

import html5lib
import pytest

from compiler.pages import Html, Page
from compiler.shape import Value
from compiler.templates import Theme
from flockbook.pages import sections as idiom
from flockbook.pages.sections import Block, NoteEntry, Section, SectionsView
from flockbook.pages.views import (
    Caution,
    Cell,
    Chart,
    Column,
    Count,
    Day,
    LinkView,
    PageLink,
    Pair,
    Row,
    RowView,
    Stack,
    StateView,
    Table,
    Tag,
    TagList,
    WorkingStep,
)
from tests.flockbook.families import drawn
from tests.flockbook.small import read

DAY = Day("2026-06-25", "25 Jun 2026")
EWE = Tag("C214", "Bramble", "sheep/c214.html", "here")
HELD, ASKED = StateView("held", DAY, ""), StateView("asked", None, "", say="sucking")
COLUMNS = (Column("Sheep"), Column("What", looks="history"), Column("Seen", looks="blank roomy"))
ENTRY = NoteEntry(DAY, "03:40", "Lambing", "", ("a fact",), Html("<p>a remark</p>"), "events/a.md", 0, corrected=False)
SVG = Html("<svg xmlns='http://www.w3.org/2000/svg'><text>a figure</text></svg>")
CELLS: tuple[Cell, ...] = (Stack((EWE, HELD)), LinkView("a cell", "notes.html"))
ROOT = Path(__file__).parents[2]
EACH: dict[Block, str] = {
    "a <sentence>": "<p>a &lt;sentence&gt;</p>",
    idiom.Aside("an aside", "words"): '<p class="words">an aside</p>',
    idiom.Points(("a point",), "words"): '<li class="words">a point</li>',
    idiom.Subhead("a subhead"): "<h3>a subhead</h3>",
    Caution("a caution", ("a line",)): '<p class="head">a caution</p>',
    Table((Column("a head"), Column("b")), (Row(CELLS),), ""): '<a href="notes.html">a cell</a>',
    Chart("c", "a chart", "", SVG, None): "a figure",
    idiom.Rows((RowView(EWE, "", "a row", None, "more"),)): "<span>a row</span>",
    idiom.Rows((), "no row"): '<p class="empty">no row</p>',
    idiom.Look((Pair("a label", "a value"),)): "<dt>a label</dt><dd>a value</dd>",
    idiom.Tally((Count("24", "hill mob"),)): "<b>24</b> <span>hill mob</span>",
    idiom.Names(("a name", EWE), tick=True): '<ul class="index tick">\n<li>a name</li>',
    TagList((EWE,)): '<p><a class="ear-tag in-line"',
    idiom.Working("a working", (WorkingStep("a step", "a.md", 3),)): "<li>a step",
    idiom.Said(Html("<p>her own words</p>")): '<div class="said"><p>her own words</p></div>',
    idiom.Whence("events/b.md"): '<span class="path">events/b.md</span>',
    idiom.AsTyped("as <typed>"): '<pre class="as-typed">as &lt;typed&gt;</pre>',
    idiom.Timeline((ENTRY,)): '<div class="said"><p>a remark</p></div>',
    idiom.Problem("gap", "X1", "a message", "", "", "a.md:1:1", None): '<p class="message">a message',
    idiom.Standings(HELD, ASKED): '<span class="about">Milk</span><span class="state asked">',
    idiom.Blanks(("to be written",)): '<th scope="row">to be written</th><td></td>',
    idiom.PencilSheet("a caption", COLUMNS, (idiom.pencil_row((EWE, "known"), COLUMNS),)): (
        '<td class="history">known</td><td class="blank roomy"></td>'
    ),
    idiom.PencilSheet("a caption", COLUMNS, (), "nobody stands on it"): '<p class="empty">nobody stands on it</p>',
    idiom.Pager((PageLink("a button", "due.html", current=True),)): '<a class="button" href="due.html" aria-current',
    idiom.Fold(
        "a fold", (idiom.Fold("in a fold", ("deep inside",)),)
    ): "<summary>in a fold</summary>\n<p>deep inside</p>",
}


class Foreign(Value):
    """A block of a kind that the theme does not know."""

    kind: str = "foreign"


def page(*blocks: Block) -> str:
    """A page with these blocks in a section, on top of it and at the foot."""
    section = Section("A section", blocks, "here", "3 sheep")
    view = SectionsView("The lead.", (section,), ("On top.",), ("At the foot.",), EWE, "landscape")
    return drawn(Page("every.html", "sections.html", "Every block", view), read({}, "2026-06-10"))


@pytest.mark.parametrize("block", EACH, ids=lambda block: getattr(block, "kind", "text"))
def test_a_block_is_drawn_as_it_is_promised(block: Block) -> None:
    """Each kind of block shows what it holds; typed markup stays text (our own markup, no source)."""
    assert EACH[block] in page(block)


def test_no_kind_of_block_is_left_out() -> None:
    """Whatever the type of a section's blocks allows is drawn in the test above."""
    assert {type(block) for block in EACH} == set(get_args(Block))


def test_strict_readers_accept_every_block() -> None:
    """Checked by outside readers: html5lib in strict mode, and expat."""
    text = page(*EACH)
    html5lib.HTMLParser(strict=True).parse(text)
    ElementTree.fromstring(text.replace("<!DOCTYPE html>", "", 1))
    lead, top, inside, foot = (text.index(words) for words in ("The lead.", "On top.", "a &lt;sent", "At the foot."))
    assert lead < top < inside < foot
    assert '<body class="landscape"' in text
    assert '<h1><a class="ear-tag" href="sheep/c214.html">' in text


def test_a_block_of_an_unknown_kind_does_not_vanish() -> None:
    """The page stops, and the book says so in its place, where a theme does not know what a page holds."""
    with pytest.raises(Exception, match="unknown"):
        page(Foreign())  # type: ignore[arg-type]


PAPER_AND_SCREEN = {"pocket-cards.html", "jot.html", "night.html", "contents.html"}  # frames unlike any other


def test_sections_are_the_idiom() -> None:
    """Only pages with a frame of their own have a template beside that of sections (the three that all share apart)."""
    shared, own = {"base.html", "parts.html", "sections.html"}, {"front.html", "sheep.html", "clear.html"}
    assert set(Theme(ROOT / "themes" / "ledger").names()) == shared | own | PAPER_AND_SCREEN
