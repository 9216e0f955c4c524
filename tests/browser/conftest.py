"""The demo book at several moments of its year, each compiled once for all tests that open it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime
from functools import cache
from pathlib import Path

import pytest

from compiler.book import Moment
from compiler.build import build
from flockbook.book import BOOK
from tests.browser.chromium import Tab, browser

DEMO = Path(__file__).parents[2] / "site_demo"
WRITTEN = date(2026, 11, 30)  # the day on which all notes of the demo lie behind
Books = Callable[[str], Path]


@pytest.fixture(scope="session")
def books(tmp_path_factory: pytest.TempPathFactory) -> Books:
    """The folder of the demo book as of a day or a moment."""
    browser()
    memory = tmp_path_factory.mktemp("memory")

    @cache
    def made(on: str) -> Path:
        to = tmp_path_factory.mktemp("book")
        moment = Moment(datetime.fromisoformat(on), "T" in on, WRITTEN)
        assert build(DEMO, BOOK, moment, to, cache=memory).status == 0
        return to

    return made


@pytest.fixture(scope="module")
def phone() -> Iterator[Tab]:
    """A phone held upright."""
    made = Tab(360, 740)
    yield made
    made.close()


@pytest.fixture(scope="module")
def tablet() -> Iterator[Tab]:
    """A tablet held upright."""
    made = Tab(820, 1180)
    yield made
    made.close()
