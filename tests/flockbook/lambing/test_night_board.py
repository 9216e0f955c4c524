"""The night board: who stands first, for what, by when; the same as on Today and on the watch board."""

from __future__ import annotations

from typing import Any

import pytest

from flockbook.pages.lambing import night, watch
from flockbook.pages.today import front
from flockbook.pages.views import Day
from tests.flockbook.lambing.test_watch_pages import demo, drawn, made, small
from tests.flockbook.small import Seen


def board(seen: Seen) -> Any:
    """What stands on the night board."""
    return next(made(seen, night)).view


def today(seen: Seen) -> Any:
    """What stands on Today."""
    return next(made(seen, front)).view


def tags_of(rows: Any) -> list[str]:
    """The sheep of rows, each once, in order."""
    return list(dict.fromkeys(row.sheep.tag for row in rows if row.sheep))


def iso_of(when: Any) -> str:
    """A time as machines read it, or the words in its place."""
    return when.iso if isinstance(when, Day) else when.text


@pytest.mark.parametrize("on", ["2026-04-19T03:20", "2026-04-17T00:20"])
def test_the_night_board_says_what_today_says_in_the_same_order(on: str) -> None:
    """What cannot wait and what comes in the next hours, with the same words and hours; then the ewes in due order."""
    seen = demo(on)
    shown, first = board(seen), today(seen)
    urgent = tags_of((*first.first, *first.now, *first.soon))
    stand = [*tags_of(shown.rows), *(tag.tag for tag in shown.then)]
    assert stand[: len(urgent)] == urgent
    told = [(row.title, iso_of(row.when), row.late) for row in (*first.first, *first.now, *first.soon)]
    assert [(row.what, iso_of(row.by), row.late) for row in shown.rows if row.urgent] == told[: len(shown.rows)]
    ahead = [row.ewe for row in watch.watch_order(seen) if row.ewe not in urgent]
    assert stand[len(urgent) :] == ahead[: len(stand) - len(urgent)]


def test_whatever_cannot_wait_has_its_tag_on_the_night_board() -> None:
    """Today leads to it; a clock time stands without any script, and the page is drawn as a night page."""
    seen = demo("2026-04-19T03:20")
    page = next(made(seen, night))
    assert today(seen).night
    assert isinstance(page.view.rows[0].by, Day)
    assert page.view.rows[0].by.text == "03:15"
    text = drawn(page, seen)
    assert '<html lang="en" class="night">' in text
    assert text.count("<time") >= 1


def test_out_of_season_nobody_is_on_the_night_board() -> None:
    """In August nobody is due: the page says so, and Today does not lead to it."""
    seen = demo("2026-08-01")
    assert (board(seen).rows, today(seen).night) == ((), False)
    assert board(seen).nobody == watch.NOBODY_SOON


def test_of_forty_ewes_due_the_board_shows_six_and_counts_the_others() -> None:
    """Nothing cannot wait: three giant tags, three more, and how many stand on the watch board besides."""
    shown = board(small({}, "2026-03-10"))
    assert (len(shown.rows), len(shown.then), shown.also) == (3, 3, "and 34 more")
