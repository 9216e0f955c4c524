"""The finished demo book in a real browser, from disk: phone and tablet, scripts on and off, night and paper."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import pytest

from compiler.book import Moment
from compiler.build import build
from flockbook.book import BOOK
from tests.browser.chromium import A4, LETTER, Tab, browser

TITLE = re.compile(r"<title>(.*?)</title>", re.S)
DEMO = Path(__file__).parents[2] / "site_demo"
PAGES = (
    "index.html", "due.html", "to-do.html", "sheep.html", "gone.html", "sheep/c214.html", "clear-to-sell.html",
    "seasons.html",
    "season-2025.html", "medicines.html", "medicine-register.html", "grass.html", "kit.html", "money.html",
    "register.html",
    "notes.html", "problems.html", "workings.html", "find.html",
)  # fmt: skip
WIDE = {
    "medicine-register.html",
    "due.html",
    "register.html",
    "grass.html",
}  # have a table that scrolls in its own frame


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo book on 25 November 2026."""
    browser()
    to = tmp_path_factory.mktemp("book")
    built = build(DEMO, BOOK, Moment(datetime(2026, 11, 25)), to, cache=tmp_path_factory.mktemp("cache"))
    assert built.status == 0
    return to


@pytest.fixture(scope="module")
def lambing(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo book on a morning of the lambing, asked for in the November after, so that no note is of the future."""
    browser()
    to = tmp_path_factory.mktemp("lambing")
    morning = Moment(datetime(2026, 4, 12, 6), timed=True, clock=date(2026, 11, 25))
    build(DEMO, BOOK, morning, to, cache=tmp_path_factory.mktemp("lambing-cache"))
    return to


@pytest.fixture(scope="module", params=[360, 820], ids=["phone", "tablet"])
def tab(request: pytest.FixtureRequest) -> Iterator[Tab]:
    """A browser as wide as a phone, and one as wide as a tablet."""
    made = Tab(request.param)
    yield made
    made.close()


@pytest.mark.parametrize("page", PAGES)
def test_pages_open_from_disk_without_errors_and_fit_the_glass(book: Path, tab: Tab, page: str) -> None:
    """No console error, no sideways scroll of the page, a heading, and the stamp that says when the book was made."""
    tab.open(book / page)
    assert tab.errors() == []
    assert tab.value("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
    assert tab.value("document.querySelectorAll('h1').length") == 1
    assert "25 Nov 2026" in tab.value("getComputedStyle(document.querySelector('.stamp .made'), '::before').content")


# How far a page is wider than its glass, and its frames that can be pushed without a shaded edge to say so.
WIDER = (
    "JSON.stringify([document.documentElement.scrollWidth - document.documentElement.clientWidth,"
    "[...document.querySelectorAll('main *')].filter(one => one.scrollWidth - one.clientWidth > 1"
    "&& /auto|scroll/.test(getComputedStyle(one).overflowX)"
    "&& !getComputedStyle(one).backgroundImage.includes('gradient')).length])"
)
LED_BY_A_CAUTION = ("loading.html", "illness.html", "medicines.html", "cupboard.html", "worms.html", "cards.html")


def test_no_page_is_wider_than_its_glass(lambing: Path, tab: Tab) -> None:
    """By night, when letters are larger, every kind of page keeps to a tablet and a phone; what is wider has a cue."""
    tab.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark"}])
    wide = {}
    kinds = {re.sub(r"\d+", "", page.name): page for page in sorted(lambing.glob("*.html"))}
    for page in kinds.values():
        tab.open(page)
        wide[page.name] = tab.value(WIDER)
    tab.call("Emulation.setEmulatedMedia", features=[])
    assert {page: told for page, told in wide.items() if told != "[0,0]"} == {}


def test_the_first_fact_stands_on_the_first_screen(lambing: Path) -> None:
    """On a phone a caution takes a line, a grave one its first words too, and what the page is about begins above the
    edge of the glass.
    """
    tab = Tab(360, 740)
    for page in LED_BY_A_CAUTION:
        tab.open(lambing / page)
        assert tab.value("document.querySelector('.entry h2').getBoundingClientRect().top") < 700, page
    tab.close()


# What is typed, and where the first line leads: a page by its name or by what people call it, a sheep, an illness …
FOUND = {
    "bramble": "sheep/c214.html", "Brámble": "sheep/c214.html", "7 31": "sheep/731.html", "14": "14.html",
    "clear": "clear-to-sell.html", "night": "night.html", "print": "print.html", "withdrawal": "clear-to-sell.html",
    "inbreeding": "pairings.html", "lameness": "illness.html", "procaine": "medicines.html#", "rigg park": "grass.html",
    "hoggs": "sheep.html", "gestation": "workings.html", "c214 lameness": "cases/c214-lameness-2025-06-02.html",
    "cleared the hurdle": "notes-2026-04.html#",
}  # fmt: skip


def test_the_find_box_finds_pages_then_sheep_then_things_then_notes(book: Path, tab: Tab) -> None:
    """Whatever has a place in the book is found by its name; a torn tag's ending goes before a day of the month."""
    tab.open(book / "index.html")
    tab.call(
        "Runtime.evaluate", awaitPromise=True,
        expression="new Promise(done => { document.getElementById('find').dispatchEvent(new Event('focus'));"
        "const wait = () => window.FLOCKBOOK_FIND ? done() : setTimeout(wait, 5); wait(); })",
    )  # fmt: skip
    for typed, href in FOUND.items():
        first = tab.value(
            f"(find => {{ find.value = '{typed}'; find.dispatchEvent(new Event('input'));"
            "return document.querySelector('.found a')?.getAttribute('href'); })(document.getElementById('find'))"
        )
        assert href in (first or "nothing"), f"{typed}: {first}"


def test_what_the_box_finds_is_found_without_scripts(book: Path) -> None:
    """Illnesses, medicines, paddocks, mobs and settings stand on a page of their own, each leading to its place."""
    index = (book / "find-by-word.html").read_text("utf-8")
    for word, href in (("Lameness", "illness.html"), ("Rigg Park", "grass.html"), ("hoggs", "sheep.html")):
        assert re.search(rf'href="{href}[^"]*"[^>]*>\s*{word}', index), word


def test_everything_is_there_with_scripts_off(book: Path, tab: Tab) -> None:
    """The clear list and the due list read the same without scripts."""
    for page in ("clear-to-sell.html", "due.html", "sheep/c231.html"):
        tab.call("Emulation.setScriptExecutionDisabled", value=False)
        tab.open(book / page)
        with_scripts = tab.value("document.getElementById('main').querySelectorAll('*').length")
        tab.call("Emulation.setScriptExecutionDisabled", value=True)
        tab.open(book / page)
        words = tab.call("DOM.getDocument", depth=-1)
        assert with_scripts > 20
        assert "UNKNOWN" in str(words) or page == "due.html"
    tab.call("Emulation.setScriptExecutionDisabled", value=False)


def test_night_is_dark_and_amber(book: Path, tab: Tab) -> None:
    """Where the tablet asks for dark, the ground is black and the words are amber."""
    tab.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark"}])
    tab.open(book / "sheep/c214.html")
    ground = tab.value(
        "getComputedStyle(document.documentElement).backgroundColor + getComputedStyle(document.body).backgroundColor"
    )
    ink = tab.value("getComputedStyle(document.body).color")
    tab.call("Emulation.setEmulatedMedia", features=[])
    assert "rgb(0, 0, 0)" in ground
    assert ink == "rgb(255, 176, 0)"


@pytest.mark.parametrize("page", ["sheep/c015.html", "sheep/c214.html"])
@pytest.mark.parametrize("light", ["light", "dark"])
def test_what_is_known_at_a_look_keeps_to_its_place(book: Path, tab: Tab, page: str, light: str) -> None:
    """By day, and by night when the letters are larger: no tag with a long name runs into what stands beside it."""
    tab.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": light}])
    tab.open(book / page)
    runs_over = "d => d.scrollWidth > d.parentElement.clientWidth"
    over = tab.value(f"[...document.querySelectorAll('.look dd')].filter({runs_over}).length")
    wide = tab.value("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    tab.call("Emulation.setEmulatedMedia", features=[])
    assert (over, wide) == (0, 0)


def test_pages_print(book: Path, tab: Tab) -> None:
    """The clear list and one ewe as paper: a PDF of a sensible size."""
    for page in ("clear-to-sell.html", "sheep/c214.html", "register-sheet.html"):
        tab.open(book / page)
        paper = tab.pdf()
        assert paper.startswith(b"%PDF")
        assert 5_000 < len(paper) < 3_000_000


def test_the_medicine_register_is_as_wide_as_its_paper(book: Path, tab: Tab) -> None:
    """On A4 upright, 186 mm between its margins, no word of a treatment lies beyond the edge, and those treated with
    a whole mob stand in a line across it.
    """
    tab.call("Emulation.setEmulatedMedia", media="print")
    tab.open(book / "medicine-register.html")
    tab.value("document.body.style.width = '186mm'")
    over = "e => e.getBoundingClientRect().right > document.body.getBoundingClientRect().right + 1"
    beyond = tab.value(f"[...document.querySelectorAll('main *')].filter({over}).length")
    named = tab.value(
        "Math.min(...[...document.querySelectorAll('td:has(> .tags)')].map("
        "e => e.offsetWidth / document.body.offsetWidth))"
    )
    tab.call("Emulation.setEmulatedMedia", media="")
    assert beyond == 0
    assert named > 0.9


@pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])
@pytest.mark.parametrize(("page", "sides"), [("shed-sheet.html", 1), ("pocket-cards.html", 2), ("neighbour.html", 2)])
def test_sheets_of_the_lambing_keep_to_their_paper(
    lambing: Path, tab: Tab, page: str, sides: int, paper: tuple[float, float]
) -> None:
    """In the thick of lambing the ewes of three weeks stand on one landscape side, twelve pocket cards on two sheets,
    and seven days for the neighbour on two sides; none of a card's words lies outside its rules.
    """
    tab.open(lambing / page)
    assert len(re.findall(rb"/Type\s*/Page\b", tab.pdf(paper))) == sides
    assert tab.value("[...document.querySelectorAll('.card')].filter(c => c.scrollHeight > c.clientHeight).length") == 0


def test_every_page_has_a_title_of_its_own(book: Path) -> None:
    """What stands in a list of open pages or of bookmarks tells them apart."""
    titles = Counter(TITLE.search(page.read_text("utf-8"))[1] for page in book.rglob("*.html"))  # type: ignore[index]
    assert {title: times for title, times in titles.items() if times > 1} == {}


def test_no_letter_of_a_pocket_card_is_under_nine_points(lambing: Path, tab: Tab) -> None:
    """On paper every word of a card is at least 9 points, 12 of a browser's pixels, high (our own rule)."""
    tab.call("Emulation.setEmulatedMedia", media="print")
    tab.open(lambing / "pocket-cards.html")
    small = "[...document.querySelectorAll('.card *')].filter(e => parseFloat(getComputedStyle(e).fontSize) < 11.99)"
    assert tab.value(f"{small}.length") == 0
    tab.call("Emulation.setEmulatedMedia", media="")


def test_page_weights(book: Path) -> None:
    """Sheep pages up to 40 kB, the front page up to 60 kB, no page of more than 1,400 elements (our own figures)."""
    assert (book / "index.html").stat().st_size <= 60_000
    heavy = {page.name: page.stat().st_size for page in (book / "sheep").glob("*.html") if page.stat().st_size > 40_000}
    assert heavy == {}
    large = {page.name: count for page in book.rglob("*.html") if (count := page.read_text().count("<") // 2) > 1_400}
    assert large == {}
