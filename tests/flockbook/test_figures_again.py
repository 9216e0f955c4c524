"""Figures that a second reckoning by hand found wrong, or that could not be and were taken without a word."""

from __future__ import annotations

from types import ModuleType

from compiler.pages import Page
from flockbook.handover.calendar import calendar
from flockbook.handover.facts import facts_object
from flockbook.pages.farm import feed, money
from flockbook.pages.lambing import watch
from flockbook.pages.today import front, neighbour
from flockbook.pages.views import Day
from flockbook.saying.owed import late_words
from flockbook.seen import Seen
from tests.flockbook.families import made, sentences_in, table_in
from tests.flockbook.growth.test_growth_page import STAMP
from tests.flockbook.small import read


def told(seen: Seen, code: str) -> list[str]:
    """What the messages of one code say, each with its cure."""
    return [f"{one.text} / {one.help}" for one in seen.diagnostics if one.code == code]


# Hay


def hay_days(ewe_kg: str, ram: str) -> tuple[int, int]:
    """How long 900 kg of hay last five ewes in lamb that were weighed, five open ones that were not, and a ram."""
    ewes = {f"sheep/A{place}.md": "---\nnote: ewe\nborn: 2021\n---\n" for place in range(1, 11)}
    marked = "A6, A7, A8, A9, A10"
    notes = {
        **ewes, "sheep/R1.md": f"---\nnote: ram\nborn: 2021\nmature weight: {ram}\n---\n",
        "supplies/hay.md": "---\nnote: supply\nhave: 50 bales of 18 kg\n---\n",
        "events/2026-10-20 joining R1.md": f"---\newes: {marked}\n---\n",
        "events/2026-11-29 weighing.md": "".join(f"A{place} {ewe_kg}\n" for place in range(6, 11)),
        "events/2026-11-28 scanning.md": "".join(f"- A{place} 2\n" for place in range(6, 11)),
        "events/2026-11-28 0900 scanning.md": "".join(f"- A{place} 0\n" for place in range(1, 6)),
    }  # fmt: skip
    (row, *_) = read(notes, "2026-11-30").facts.land.feed.lasting
    assert row.days is not None
    return row.days


def test_an_open_ewe_without_a_weight_weighs_what_ewes_weigh() -> None:
    """(10 x 60 + 110) kg at 2 to 2.5 % of dry matter, hay 88 % dry: 900 kg last 44 to 55 days (reckoned by hand)."""
    assert hay_days("60", "110 kg") == (44, 55)


def test_where_no_ewe_was_weighed_the_page_says_whose_weight_was_taken() -> None:
    """A mean of rams for ewes is better than none, but nobody is to take it for theirs."""
    notes = {
        "sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "sheep/R1.md": "---\nnote: ram\nborn: 2021\nmature weight: 110 kg\n---\n",
        "supplies/hay.md": "---\nnote: supply\nhave: 50 bales of 18 kg\n---\n",
    }
    (page,) = feed.make(read(notes, "2026-11-30"), STAMP)
    assert "Of these, 1 took the mean of other sexes" in " ".join(sentences_in(page.view, "lasting"))


# A labour on the night on which the clocks go back


LONDON = {"flock.yaml": "flock: Q\ntimezone: Europe/London\n", "sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n"}
WATERS = {"events/2026-10-25 0050 labour A1.md": "---\nwaters: 00:50\n---\n"}


def test_each_time_of_a_night_of_changing_clocks_says_by_which_clock_it_is() -> None:
    """00:50 BST is 23:50 UTC: 00:20 UTC is 01:20 BST, 00:50 UTC is 01:50 BST, 01:20 UTC is 01:20 GMT."""
    seen = read({**LONDON, **WATERS}, "2026-10-25T00:55")
    (row, *_) = [one for page in watch.make(seen, STAMP) if page.path == watch.PATH for one in labour_rows(page)]
    assert row == ["25\u00a0Oct, 00:50\u00a0BST", "01:20\u00a0BST", "01:50\u00a0BST", "01:20\u00a0GMT"]
    for words in (page_words(seen, neighbour), calendar_text(seen), page_words(seen, front)):
        assert "step in by 01:50\u00a0BST, ring the vet by 01:20\u00a0GMT" in words


def labour_rows(page: Page) -> list[list[str]]:
    """The times of each labour on the watch page, as printed."""
    table = table_in(page.view, "labours")
    return [[cell.text for cell in row.cells if isinstance(cell, Day)] for row in table.rows]


def page_words(seen: Seen, family: ModuleType) -> str:
    """All that the pages of a family say."""
    return " ".join(page_text(page.view) for page in made(seen, family))


def page_text(view: object) -> str:
    """A view as Python writes it, its hard spaces as they are."""
    return repr(view).replace("\\xa0", "\u00a0")


def calendar_text(seen: Seen) -> str:
    """The calendar, its long lines joined again."""
    return calendar(seen).decode().replace("\r\n ", "").replace("\\,", ",").replace("\\;", ";")


def test_the_facts_give_the_offset_of_each_time() -> None:
    """BST is an hour before UTC, GMT none; on any other night nothing needs saying."""
    (labour,) = facts_object(read({**LONDON, **WATERS}, "2026-10-25T00:55"))["labours"]
    assert labour["offsets"] == {"since": "+0100", "look_again": "+0100", "step_in": "+0100", "ring_vet": "+0000"}


def test_a_limit_is_late_by_the_time_that_has_passed() -> None:
    """At 01:10, which may be 01:10 GMT, the limit of 01:50 BST is 20 minutes over (00:50 and 01:10 UTC)."""
    (row, *_) = read({**LONDON, **WATERS}, "2026-10-25T01:10").facts.year.owed.rows
    assert late_words(row.items[0].late) == "20 min late"


def test_hands_in_on_such_a_night_ring_the_vet_by_the_sooner_limit() -> None:
    """Hands in at 01:10 BST and 20 minutes of trying: 01:30 BST comes before 01:20 GMT, though its hands say later."""
    helped = {"events/2026-10-25 0115 labour A1.md": "---\nwaters: 00:50\nhelped: 01:10\n---\n"}
    settings = {"flock.yaml": "flock: Q\ntimezone: Europe/London\ncall vet: 20 min\n"}
    (labour,) = facts_object(read({**LONDON, **settings, **helped}, "2026-10-25T01:15"))["labours"]
    assert (labour["ring_vet"], labour["offsets"]["ring_vet"]) == ("2026-10-25T01:30", "+0100")


# Lambs sold without a sum


LAMBS = {
    "sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "events/2026-04-01 lambing A1.md": "".join(f"- ewe 4 kg, tag 73{place}\n" for place in range(6)),
    "events/2026-05-01 money feed.md": "---\namount: 260\nfor: feed\n---\n",
    "events/2026-09-01 sale a.md": "---\nsheep: 730, 731\nprice: 90 each\n---\n",
    "events/2026-09-02 sale b.md": "---\nsheep: 732, 733, 734\nprice: 2.45 per kg\n---\n",
    "events/2026-09-03 sale c.md": "---\nsheep: 735\n---\n",
}


def test_a_lamb_had_to_fetch_its_share_of_all_that_were_sold() -> None:
    """260 of costs over six lambs sold is 43.33 each (by hand), though the sums of two alone are known."""
    seen = read(LAMBS, "2026-11-30")
    (row,) = facts_object(seen)["money"]
    assert (row["lambs_sold"], row["lambs_priced"], row["break_even_per_lamb"]) == (6, 2, 43.33)
    words = page_words(seen, money)
    assert "4 of 6 lambs sold have no sum that counts; 1 sum left out, see below" in words
    assert "2 of 6 lambs sold have a sum, fetched each" in words
