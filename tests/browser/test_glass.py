"""What stands first on the glass, and that nothing runs out of its place: measured in a real browser.

Bounds are our own: a shepherd reads the book on a phone held upright (360 × 740) and on a tablet (820 wide). The clock
of the machine that tests is later than the demo's days, so the line that says a book is old stands on every page.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.browser.chromium import Tab
from tests.browser.conftest import Books

NIGHT_OF_LAMBING = "2026-04-19T03:20"
MOMENTS = ("2026-02-20", NIGHT_OF_LAMBING, "2026-06-25", "2026-09-20", "2026-11-25")
FIRST_PAGES = ("index.html", "to-do.html", "watch.html", "due.html", "clear-to-sell.html")
IN_SIGHT = 480

# The foot of the first line of what is first to be done, or of the words that say there is nothing.
FIRST_ROW = """(() => {
  const row = document.querySelector('main .rows > li, main tbody tr, main .withheld li, main .empty');
  const head = row.querySelector('th, .ear-tag, .who, .what') || row;
  const line = head.querySelector('.ear-tag') || head, style = getComputedStyle(line);
  const high = line.matches('.ear-tag') ? line.offsetHeight : parseFloat(style.lineHeight);
  return Math.round(line.getBoundingClientRect().top + parseFloat(style.paddingTop) + high);
})()"""

# What runs out of its place: the page, a frame that scrolls sideways, words beyond their cell or
# their row, a word cut in two.
FAULTS = r"""(() => {
  const found = [], root = document.documentElement;
  const named = e => `${e.tagName.toLowerCase()}.${e.classList[0] || ''}`;
  if (root.scrollWidth > innerWidth) found.push(`page +${root.scrollWidth - innerWidth}`);
  for (const e of document.querySelectorAll('main .scroll, main .look dd'))
    if (e.scrollWidth > e.clientWidth + 2) found.push(`${named(e)} +${e.scrollWidth - e.clientWidth}`);
  for (const e of document.querySelectorAll('main dd, main td, main th')) {
    const box = e.getBoundingClientRect();
    if (!box.width || getComputedStyle(e).clipPath !== 'none') continue;
    for (const inner of e.querySelectorAll('*')) {
      const its = inner.getBoundingClientRect();
      if (!its.width || its.right <= box.right + 3) continue;
      found.push(`${named(e)} runs over: ${e.textContent.slice(0, 40)}`);
      break;
    }
  }
  for (const row of document.querySelectorAll('main tr, main .board > li')) {
    const foot = row.getBoundingClientRect().bottom + 3;
    if ([...row.children].some(e => e.getBoundingClientRect().bottom > foot)) {
      found.push(`row overprints the next: ${row.textContent.slice(0, 40)}`);
      break;
    }
  }
  const walk = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
  const range = document.createRange();
  for (let text; (text = walk.nextNode());) {
    const around = text.parentElement, head = around.closest('h1, .section');
    if (!around.checkVisibility() || (head && getComputedStyle(head).clipPath !== 'none')) continue;
    if (around.closest('.path, pre, code, kbd, svg, .source, .where')) continue;
    for (const word of text.data.matchAll(/(?<![\p{L}\d\/.-])\p{L}{4,15}(?![\p{L}\d\/.-])/gu)) {
      range.setStart(text, word.index); range.setEnd(text, word.index + word[0].length);
      const tops = new Set([...range.getClientRects()].map(one => Math.round(one.top)));
      if (tops.size > 1) found.push(`broken: ${word[0]}`);
    }
  }
  return [...new Set(found)].slice(0, 4).join('; ');
})()"""

FONTS = {  # stand-ins for what other machines have: one narrower than most, one as wide as any
    "narrow": "* { font-family: 'DejaVu Sans Condensed', 'Liberation Sans Narrow', sans-serif !important; }",
    "wide": "* { font-family: 'DejaVu Sans', Verdana, sans-serif !important; letter-spacing: .02em; }",
}


def light(tab: Tab, night: bool) -> None:
    """Day or night, as the tablet's own setting has it."""
    scheme = {"name": "prefers-color-scheme", "value": "dark" if night else "light"}
    tab.call("Emulation.setEmulatedMedia", features=[scheme])


@contextmanager
def at_night(tab: Tab) -> Iterator[Tab]:
    """A tab by night, and by day again after it."""
    light(tab, night=True)
    yield tab
    light(tab, night=False)


def kinds(book: Path) -> list[Path]:
    """One page of every kind: names that differ only by figures are one kind."""
    found: dict[tuple[str, str], Path] = {}
    for page in [*sorted(book.glob("*.html")), *sorted(book.glob("*/*.html"))]:
        name = re.sub(r"\d+", "", page.stem) if page.parent == book else ""
        found.setdefault((page.parent.name, name), page)
    return list(found.values())


def faults(tab: Tab, pages: list[Path]) -> dict[str, str]:
    """What runs out of its place, page by page."""
    found: dict[str, str] = {}
    for page in pages:
        tab.open(page)
        if told := tab.value(FAULTS):
            found[page.name] = told
    return found


@pytest.mark.parametrize("on", MOMENTS)
@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_the_first_thing_to_do_stands_high_on_a_phone(books: Books, phone: Tab, on: str, night: bool) -> None:
    """On the five pages that are opened most the first row's line stands within 480 of 740 points."""
    book = books(on)
    light(phone, night)
    low: dict[str, int] = {}
    for page in FIRST_PAGES:
        phone.open(book / page)
        if (at := phone.value(FIRST_ROW)) > IN_SIGHT:
            low[page] = at
    light(phone, night=False)
    assert low == {}


@pytest.mark.parametrize("on", [NIGHT_OF_LAMBING, "2026-11-25"])
def test_nothing_scrolls_sideways_on_a_tablet_by_night(books: Books, tablet: Tab, on: str) -> None:
    """One page of every kind: the page and its tables fit, no cell's words run over, and no word is cut in two."""
    with at_night(tablet):
        assert faults(tablet, kinds(books(on))) == {}


def test_the_lists_of_who_is_held_fit_a_tablet_by_day(books: Books, tablet: Tab) -> None:
    """What is not clear, and why, stands whole in its frame, with two boxes as with one."""
    pages = [
        books(on) / page for on in (NIGHT_OF_LAMBING, "2026-06-25") for page in ("clear-to-sell.html", "shed.html")
    ]
    assert faults(tablet, pages) == {}


def test_nothing_runs_out_of_its_place_on_a_phone_by_night(books: Books, phone: Tab) -> None:
    """One page of every kind with the largest letters on the smallest glass."""
    with at_night(phone):
        assert faults(phone, kinds(books(NIGHT_OF_LAMBING))) == {}


@pytest.mark.parametrize("font", FONTS)
def test_letters_of_another_width_fit_too(books: Books, phone: Tab, font: str) -> None:
    """The pages that are opened most, in a narrow and in a wide hand."""
    book = books(NIGHT_OF_LAMBING)
    found: dict[str, str] = {}
    for page in (*FIRST_PAGES, "night.html", "sheep/c214.html"):
        phone.open(book / page)
        phone.value(
            f"(s => {{ s.replaceSync({FONTS[font]!r}); document.adoptedStyleSheets = [s]; }})(new CSSStyleSheet())"
        )
        if told := phone.value(FAULTS):
            found[page] = told
    assert found == {}


def test_the_night_board_is_one_screen(books: Books, phone: Tab) -> None:
    """Tags, what, by when, for who is in labour when to step in and to ring, and the vet's number stand on one screen;
    bars are drawn; Today leads to it first of all.
    """
    book = books(NIGHT_OF_LAMBING)
    phone.open(book / "night.html")
    assert "step in by 03:30, ring the vet by 04:00" in phone.value("document.querySelector('.board .what').innerText")
    foot = "[...document.querySelectorAll('.board, .then, .ring')].map(e => e.getBoundingClientRect().bottom)"
    assert phone.value(f"Math.max(...{foot})") <= 740
    assert phone.value("document.querySelectorAll('.board .left').length") >= 1
    phone.open(book / "index.html")
    assert phone.value("document.querySelector('main a').getAttribute('href')") == "night.html"


@pytest.mark.parametrize(("page", "lines"), [("due.html", 2), ("watch.html", 3), ("clear-to-sell.html", 3)])
def test_a_sheep_takes_few_lines_on_a_phone(books: Books, phone: Tab, page: str, lines: int) -> None:
    """Half of the rows are no higher than their tag's line (48 points) and one or two lines under it, of 24 each."""
    phone.open(books(NIGHT_OF_LAMBING) / page)
    heights = phone.value("[...document.querySelectorAll('main .lines > tbody > tr')].map(e => e.offsetHeight)")
    assert sorted(heights)[len(heights) // 2] <= 48 + 24 * (lines - 1) + 12
