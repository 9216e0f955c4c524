"""Open pages of a tended book in a real browser: they renew themselves, keep their place, and say what is wrong."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.chromium import Tab, browser
from tests.tended.test_tend import LONGEST, Running

pytestmark = pytest.mark.skipif(not browser() and not os.environ.get("CI"), reason="no browser here")


@pytest.fixture
def tend(tmp_path: Path) -> Iterator[Running]:
    """A tended flock of many sheep."""
    notes = tmp_path / "notes"
    (notes / "sheep").mkdir(parents=True)
    (notes / "flock.yaml").write_text("flock: Low End\n")
    for number in range(120):
        (notes / "sheep" / f"B{number:03}.md").write_text("---\nnote: ewe\nborn: 2020\n---\n")
    (notes / "2026-04-18 remark B001.md").write_text("---\nsheep: B001\n---\nQuiet.\n" + "Line.\n\n" * 60)
    running = Running(notes)
    running.says("wrote ")
    yield running
    running.end()


@pytest.fixture
def tab() -> Iterator[Tab]:
    """A tablet."""
    made = Tab(820)
    yield made
    made.close()


def comes(tab: Tab, expression: str) -> None:
    """Wait until something is so in the page."""
    end = time.monotonic() + LONGEST
    while not tab.value(expression):
        assert time.monotonic() < end, tab.value("document.body.innerText.slice(0, 3000)")
        time.sleep(0.1)


def test_an_open_page_follows_the_pen(tend: Running, tab: Tab) -> None:
    """A save shows on the open page, what is read stays where it was; a slip is told and goes again; no errors."""
    tab.call("Page.navigate", url=f"{tend.address}sheep/b001.html")
    comes(tab, "document.readyState === 'complete' && document.body.innerText.includes('Quiet.')")
    tab.value("scrollTo(0, 900)")
    assert tab.value("scrollY") > 300
    stands = "document.getElementById('notes').getBoundingClientRect().top"
    where = tab.value(stands)
    note = tend.notes / "2026-04-19 remark B001.md"
    note.write_text("---\nsheep: B001\n---\nLame behind.\n")
    comes(tab, "document.body.innerText.includes('Lame behind.')")
    comes(tab, f"Math.abs({stands} - {where}) < 5")  # whatever came to stand above it
    note.write_text("---\nsheep: B001\nwheather: wet\n---\nLame behind.\n")
    comes(tab, "document.querySelector('aside.stale')?.innerText.includes('wheather')")
    note.write_text("---\nsheep: B001\n---\nLame behind, mended.\n")
    comes(tab, "document.body.innerText.includes('mended.') && !document.querySelector('aside.stale')")
    assert [event for event in tab.errors() if "exceptionDetails" in event] == []


def test_nothing_reloads_over_what_is_typed(tend: Running, tab: Tab) -> None:
    """While somebody types into the find box the page stays as it is, and follows when she is done."""
    tab.call("Page.navigate", url=f"{tend.address}sheep/b001.html")
    comes(tab, "document.readyState === 'complete'")
    tab.value("document.getElementById('find').focus(); document.getElementById('find').value = 'B0'; 1")
    (tend.notes / "2026-04-19 remark B001.md").write_text("---\nsheep: B001\n---\nLame behind.\n")
    tend.says("wrote ", 2)
    time.sleep(2)
    assert tab.value("document.getElementById('find').value") == "B0"
    tab.value("document.getElementById('find').value = ''; 1")
    comes(tab, "document.body.innerText.includes('Lame behind.')")
