"""The ledger theme: legible by day and night, nothing fetched, and markup that strict readers accept."""

from __future__ import annotations

import re
import shutil
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from xml.etree import ElementTree

import html5lib
import pytest

from compiler.book import Moment, Stamp
from compiler.pages import ELSEWHERE, Html, Link, Page
from compiler.shape import Value
from compiler.templates import Theme
from flockbook.pages.stamp import StampSheet, css_string, stamp_sheet

LEDGER = Path(__file__).parents[2] / "themes" / "ledger"
STYLE = (LEDGER / "style.css").read_text("utf-8")
SCRIPT = (LEDGER / "book.js").read_text("utf-8")
NAVIGATION = (
    Link("Today", "index.html", "Today"),
    Link("Money", "money.html", "Farm"),
    Link("All", "pages.html", ELSEWHERE),
)

EVERY_PART = """{% extends "base.html" %}{% import "parts.html" as parts %}
{% block lead %}<p class="lead">{{ parts.share(view.share) }}</p>{% endblock %}
{% block main %}
{{ parts.ear_tag(view.sheep) }}{{ parts.ear_tag(view.gone, 'big') }}
{{ parts.state(view.clear) }}{{ parts.state(view.held) }}
{{ parts.state(view.unknown) }}{{ parts.state(view.asked) }}{{ parts.withheld(view.withheld) }}
{{ parts.because(view.reasons) }}{{ parts.source('events/2026/a.md', 3) }}
{{ parts.table(view.table) }}{{ parts.table(view.none) }}{{ parts.rows(view.rows) }}{{ parts.look(view.pairs) }}
{{ parts.tally(view.counts) }}{{ parts.caution(view.caution) }}{{ parts.chart(view.chart) }}
{{ parts.problem(view.problem) }}
<ol class="timeline">{{ parts.note_entry(view.entry) }}</ol>{{ parts.photo(view.photo) }}{{ parts.pager(view.links) }}
{% endblock %}
"""


def tokens(start: str) -> dict[str, str]:
    """The colours set in the block that begins with these words."""
    block = STYLE.split(start, 1)[1].split("}", 1)[0]
    return dict(re.findall(r"(--[a-z-]+):\s*(#[0-9a-f]{3,6});", block))


def luminance(colour: str) -> float:
    """Relative luminance as defined by WCAG 2.2 (W3C Recommendation, 5 October 2023, "relative luminance")."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    parts = [int(digits[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio as defined by WCAG 2.2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("block", [":root {", ":root.night {"])
@pytest.mark.parametrize("ink", ["--ink", "--faded", "--raddle-ink", "--moss-ink"])
@pytest.mark.parametrize("ground", ["--paper", "--band"])
def test_every_text_stands_out_seven_to_one(block: str, ink: str, ground: str) -> None:
    """WCAG 2.2, 1.4.6 (enhanced): 7:1 for text, by day and by night."""
    colours = tokens(block)
    assert contrast(colours[ink], colours[ground]) >= 7


def test_the_ratio_is_the_published_one() -> None:
    """Black on white is 21:1 and #767676 on white is 4.54:1 (W3C, technique G18; the grey from memory)."""
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


def test_night_is_the_same_by_class_and_by_setting() -> None:
    """The night copy and the tablet's own dark setting look alike: both blocks hold the same lines."""
    by_class = STYLE.split(":root.night {", 1)[1].split("}", 1)[0]
    by_setting = STYLE.split(":root:not(.day) {", 1)[1].split("}", 1)[0]
    assert by_class == by_setting


def test_nothing_is_fetched_and_nothing_needs_a_pointer() -> None:
    """No fonts, imports or addresses in the style; nothing appears only under a pointer that hovers."""
    assert set(re.findall(r"url\(\"?([a-z]+):", STYLE)) == {"data"}
    assert not re.search(r"@import|@font-face|https?://(?!www\.w3\.org/2000/svg)", STYLE)
    assert ":hover" not in STYLE


def test_the_script_is_small_and_keeps_to_itself() -> None:
    """Under 10 kB, classic, no network, no markup made from text, storage only behind a try."""
    assert len(SCRIPT.encode()) < 10_000
    assert not re.search(r"\bfetch\(|XMLHttpRequest|\bimport\b|\bexport\b|innerHTML|eval\(|https?://", SCRIPT)
    assert all("try {" in line for line in SCRIPT.splitlines() if "localStorage" in line)


class Frame(Value):
    """What base.html needs of `book`."""

    flock: str
    stamp: StampSheet


def stamp() -> Stamp:
    """A stamp of the demo scenario."""
    on = Moment(datetime(2026, 4, 5, 3, 45), timed=True)
    return Stamp(on, "2026-04-05 03:45", 612, 609, 3, "2026-04-04", 2, 1, 3, 6)


def view() -> SimpleNamespace:
    """One of everything that the parts can show, with words that look like markup."""
    made = SimpleNamespace
    day = made(kind="day", iso="2026-06-25", text="25 Jun 2026")
    sheep = made(kind="sheep", tag="C214", name="Bramble <b>", href="sheep/c214.html", status="here")
    gone = made(kind="sheep", tag="C101", name="", href="", status="gone")
    held = made(kind="state", state="held", until=day, href="problems.html", say="")
    unknown = made(kind="state", state="unknown", until=None, href="problems.html", say="mend the note")
    clear = made(kind="state", state="clear", until=None, href="", say="")
    asked = made(kind="state", state="asked", until=None, href="", say="sucking")
    cure = (made(text="Type ", typed=False), made(text="sheep: <Bess>", typed=True))
    mend = made(who="Everybody: 57 sheep", place="a.md, line 3", href="a.html", why="It names <nobody>.", cure=cure)
    share = made(kind="share", part="9 of 10", rate="90 %", span="60 to 98 in a hundred", few="")
    column = made(label="Ewe", align="text", wide=False, sort=True, looks="")
    number = made(label="kg", align="number", wide=True, sort=False, looks="")
    cells = ((sheep, "4.1"), (gone, 3), (held, day), (share, made(kind="link", text="note", href="a.html")))
    more = (
        (
            made(kind="sheep list", sheep=(sheep, gone), folded="2 sheep"),
            made(kind="words", text="quiet & thin", looks="words"),
        ),
    )
    table = made(
        id="t",
        caption="Weights",
        columns=(column, number),
        rows=[made(cells=row, looks="") for row in (*cells, *more)],
        foot=("all", "4.1"),
        filter="Show only",
        pager=(made(label="2", href="t-2.html", current=False),),
        empty="",
        lines=False,
    )
    problem = made(
        grade="error",
        code="L201",
        message="no sheep `<i>`",
        help="did you mean `Bramble`?",
        meanwhile="nobody is clear",
        place="a.md:3:8",
        excerpt=made(before="sheep: ", marked="Brambel", after=""),
    )
    entry = made(
        day=day,
        clock="03:40",
        kind="Lambing",
        href="",
        facts=("Ewe 4.1 kg", sheep),
        remark=Html("<p>Came easily.</p>"),
        path="events/2026/a.md",
        line=0,
        corrected=True,
    )
    plain: dict[str, str] = {"many": "", "named": "", "folded": ""}
    return made(
        sheep=sheep,
        gone=gone,
        held=held,
        unknown=unknown,
        clear=clear,
        asked=asked,
        withheld=made(head="57 sheep <withheld>", also="And 3.", rows=(mend,), more="And 2 more notes"),
        share=share,
        table=table,
        problem=problem,
        entry=entry,
        reasons=(made(text="W1: last dose", path="a.md", line=3),),
        none=made(rows=(), empty="Nobody is held."),
        pairs=(made(label="Due", value=day, wide=True),),
        rows=(
            made(
                sheep=sheep,
                href="",
                title="twins",
                when=day,
                more="x",
                lines=("y",),
                late="2 h late",
                deed=True,
                many="7 sheep",
                named="Ada, Bea",
                folded="1 more",
            ),
            made(sheep=sheep, href="", title="twins", when=day, more="x", lines=(), late="", deed=False, **plain),
            made(sheep=None, href="a.html", title="t", when=held, more="", lines=(), late="", deed=False, **plain),
        ),
        counts=(made(figure="24", label="hill mob"),),
        caution=made(head="h", lines=("l",), source="s", grave=True),
        chart=made(
            id="c", title="t", note="n", svg=Html("<svg xmlns='http://www.w3.org/2000/svg'/>"), wide=True, table=table
        ),
        photo=made(src="photos/a.jpg", alt="udder", width=4, height=3, caption="19 Apr"),
        links=(made(label="A", href="a.html", current=True),),
    )


def drawn(folder: Path, **changes: Any) -> str:
    """A page with every part of the theme, drawn by the compiler itself."""
    shutil.copytree(LEDGER, folder / "theme", dirs_exist_ok=True)
    (folder / "theme" / "templates" / "every.html").write_text(EVERY_PART, "utf-8")
    page = Page("sheep/c214.html", "every.html", "Every <part>", view(), **{"section": "Farm", **changes})
    frame = Frame("Corrie <Hask>", stamp_sheet("Corrie <Hask>", stamp(), 24))
    return Theme(folder / "theme").draw(page, frame, NAVIGATION).decode()


@pytest.mark.parametrize("changes", [{}, {"look": "night"}, {"alone": True}])
def test_strict_readers_accept_every_part(tmp_path: Path, changes: dict[str, Any]) -> None:
    """Checked by outside readers: html5lib in strict mode, and expat, since the same parts serve the EPUB."""
    page = drawn(tmp_path, **changes)
    html5lib.HTMLParser(strict=True).parse(page)
    ElementTree.fromstring(page.replace("<!DOCTYPE html>", "", 1))


def test_no_part_carries_its_own_style_or_script(tmp_path: Path) -> None:
    """The page's security policy forbids both, so nothing may depend on them; typed markup is shown as text."""
    page = drawn(tmp_path)
    assert not re.search(r"<[^>]+\s(style|on[a-z]+)=", page)
    assert re.findall(r"<script[^>]*>", page) == ['<script src="../book.js">']
    assert "<b>" not in page.replace("<b>C214</b>", "").split("<main", 1)[1].split("Bramble", 1)[0]
    assert "Bramble &lt;b&gt;" in page
    assert "script-src 'self'" in page


def test_a_single_file_needs_no_other(tmp_path: Path) -> None:
    """Its styles stand inside, allowed by their digests; no script, no linked sheet, no find box that leads nowhere."""
    page = drawn(tmp_path, alone=True)
    assert not re.search(r"<link|<script|<form", page)
    assert page.count("<style>") == 2
    assert len(re.findall(r"'sha256-[A-Za-z0-9+/=]+'", page)) == 2
    assert 'content: "As at Sunday 5 April 2026, ' in page


def test_links_lead_out_of_a_folder(tmp_path: Path) -> None:
    """A page in `sheep/` reaches the style, the script, the front page and its neighbours."""
    page = drawn(tmp_path)
    assert {'href="../style.css"', 'href="../stamp.css"', 'href="../index.html"', 'href="../money.html"'} <= set(
        re.findall(r'href="[^"]+"', page)
    )
    assert 'class="ear-tag" href="c214.html"' in page


def test_the_current_page_is_marked(tmp_path: Path) -> None:
    """The section's tab is marked, and only it; on a page of no tab the tab of all pages is."""
    marked = re.compile(r'href="([^"]+)" aria-current="page"')
    assert marked.findall(drawn(tmp_path).split("<main", 1)[0]) == ["../money.html"]
    assert marked.findall(drawn(tmp_path, section="Paper").split("<main", 1)[0]) == ["../pages.html"]


def test_states_are_told_by_words(tmp_path: Path) -> None:
    """Each state has its own words and its own class; a held one has a date that machines can read; an unknown one says
    what to do about it.
    """
    page = drawn(tmp_path)
    assert '<span class="state clear">clear</span>' in page
    assert re.search(r'class="state held"><b>NOT CLEAR</b> <span>until&#160;<time datetime="2026-06-25"', page)
    assert re.search(r'class="state unknown" href="../problems.html"><span><b>UNKNOWN</b>', page)
    assert re.search(r'<b>UNKNOWN</b> <span class="nobreak">– mend the note</span>', page)
    assert re.search(r'class="state asked"><b>ASK THE VET</b> <span class="nobreak">– sucking</span>', page)
    assert "<kbd>sheep: &lt;Bess&gt;</kbd>" in page


def test_the_stamp_says_when_and_from_what() -> None:
    """Made when, from how many notes, the newest, and what is to mend; the script can read the moment."""
    css = stamp_sheet("Corrie Hask", stamp(), 24).css
    assert '--made: "2026-04-05T03:45"; --loud-after: 24;' in css
    assert "Corrie Hask. Made 5 Apr 2026, 03:45 from 612 notes; the newest is of 4 Apr 2026." in css
    assert "2 errors, 1 to confirm, 3 warnings, 6 still to write." in css
    assert '.as-at .mend::before { content: "3 to mend"; }' in css


def test_a_flocks_name_cannot_leave_its_string() -> None:
    """Quotes, backslashes, line ends and `</style>` in a name stay words (CSS Syntax Level 3, escapes)."""
    assert css_string('a"b\\c\nd</style>') == '"a\\22 b\\5c c\\a d\\3c /style\\3e "'
    css = stamp_sheet('"; } body { display: none', stamp(), 24).css
    assert 'content: "\\22 ; } body { display: none. Made' in css
