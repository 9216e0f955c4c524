"""The pages of the watch: board, due list, shed sheet, forecast, how lambs lay, cards; right words and nobody lost."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from html import unescape
from pathlib import Path
from types import ModuleType
from typing import Any

import html5lib
import pytest

from compiler.book import Stamp
from compiler.pages import Asset, Page
from compiler.shape import Value
from compiler.templatecheck import check
from compiler.templates import Theme
from flockbook.pages.breeding import due_page, forecast
from flockbook.pages.contents import NAVIGATION
from flockbook.pages.lambing import cards, patterns, pocket, watch
from flockbook.pages.stamp import StampSheet, stamp_sheet
from flockbook.saying.fears import fears_words
from tests.flockbook.families import pencil_sheet, table_in
from tests.flockbook.small import Notes, Seen, read

ROOT = Path(__file__).parents[3]
LEDGER, DEMO = ROOT / "themes" / "ledger", ROOT / "site_demo"
FAMILIES = (watch, due_page, forecast, patterns, cards, pocket)
DAYS = ("2026-04-17T00:20", "2026-04-22T23:55", "2025-11-25", "2026-08-01", "2023-09-01")

EWE = "---\nnote: ewe\nborn: 2021\n---\n"
FLOCK = {
    "flock.yaml": "flock: Small\nvet:\n  name: Marram Vets\n  phone: 01632 960457\n",
    **{f"sheep/E{number:02}.md": EWE for number in range(1, 41)},
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
    "2025-10-15 joining Sexton.md": f"---\newes: {', '.join(f'E{number:02}' for number in range(1, 41))}\n"
    "out: 2025-11-19\n---\n",
}


class Frame(Value):
    """What every page shows alike."""

    flock: str
    stamp: StampSheet


@cache
def demo(on: str) -> Seen:
    """The demo flock at a moment."""
    kept = (".md", ".yaml", ".csv")
    found = {path.relative_to(DEMO).as_posix(): path.read_bytes() for path in DEMO.rglob("*") if path.suffix in kept}
    del found["README.md"]
    return read(found, on)


def stamp(seen: Seen) -> Stamp:
    """The stamp of a book made then."""
    return Stamp(seen.today, "now", 1, 1, 0, seen.today.day.isoformat(), 0, 0, 0, 0)


def made(seen: Seen, family: ModuleType) -> Iterator[Page]:
    """The pages of one family."""
    for maker in family.PAGES:
        for page in maker.make(seen, stamp(seen)):
            assert not isinstance(page, Asset)
            yield page


def drawn(page: Page, seen: Seen) -> str:
    """A page as HTML."""
    frame = Frame(seen.settings.flock, stamp_sheet(seen.settings.flock, stamp(seen), 24))
    return Theme(LEDGER).draw(page, frame, NAVIGATION).decode()


def words(seen: Seen, family: ModuleType, path: str) -> str:
    """The words of one page as a reader sees them."""
    page = next(page for page in made(seen, family) if page.path == path)
    main = drawn(page, seen).split("<main", 1)[1].split("</main>", 1)[0]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", main)).replace("\u2060", "").split())


def small(more: Notes, on: str) -> Seen:
    """Forty ewes joined from 15 October to 19 November 2025, with more notes."""
    return read({**FLOCK, **more}, on)


@pytest.mark.parametrize("on", DAYS)
@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.__name__.rsplit(".", 1)[-1])
def test_pages_are_strict_html_at_any_time_of_the_year(family: ModuleType, on: str) -> None:
    """html5lib's strict parser finds no fault, before the first note, in the thick of lambing and after it."""
    seen = demo(on)
    for page in made(seen, family):
        html5lib.HTMLParser(strict=True).parse(drawn(page, seen))


def test_templates_ask_only_for_what_their_views_have() -> None:
    """Every name in a template is a field of its view, by the types that the pages promise."""
    pages: list[Page] = [page for family in FAMILIES for page in made(demo(DAYS[0]), family)]
    views = {page.template: type(page.view) for page in pages}
    told = [item for item in check(Theme(LEDGER), views, Frame) if item.code != "T108"]
    assert [item.message for item in told if item.span.path.rsplit("/", 1)[-1] in views] == []


def test_no_page_of_the_watch_needs_a_script_or_is_heavy() -> None:
    """No script element in the page's own part, and at most 1,400 elements (our own figure)."""
    for family in FAMILIES:
        for page in made(demo(DAYS[1]), family):
            text = drawn(page, demo(DAYS[1]))
            assert "<script" not in text.split("<main", 1)[1]
            assert text.count("<") // 2 <= 1_400, page.path


def board_rows(seen: Seen) -> list[str]:
    """Tags on the watch board, in order."""
    board = next(page for page in made(seen, watch) if page.path == "watch.html").view
    return [row.cells[0].tag for row in table_in(board, "in-order").rows]


def sheet_rows(seen: Seen) -> list[str]:
    """Tags on the printed sheet, in order."""
    sheet: Any = next(page for page in made(seen, watch) if page.path == "shed-sheet.html").view
    return [line.cells[0].tag for line in pencil_sheet(sheet).rows]


def test_every_ewe_that_may_lamb_soon_is_on_the_board_and_on_the_sheet() -> None:
    """Forty ewes of one joining: forty rows on glass and on paper, in the same order; none is cut off."""
    seen = small({}, "2026-03-10")
    assert len(board_rows(seen)) == 40
    assert sheet_rows(seen) == board_rows(seen)


def test_overdue_ewes_stand_first() -> None:
    """Past the last possible day (20 April): still on the board, first of all, and said to be so."""
    late = {"2025-11-25 joining Sexton late.md": "---\newes: E40\nout: 2025-12-10\nrams: Sexton\n---\n"}
    only = {"2025-10-15 joining Sexton.md": "---\newes: E01, E02\nout: 2025-11-19\n---\n"}
    seen = small({**only, **late}, "2026-04-25")
    assert board_rows(seen) == ["E01", "E02", "E40"]
    text = words(seen, watch, "watch.html")
    assert "2 are past the last day and stand first" in text
    assert "5 days past her last day" in text


def test_what_is_shown_of_a_labour() -> None:
    """Since, look again by, step in by, what the clock asked for when the book was made, what shows, whom to ring."""
    note = {"2026-03-16 0305 labour E01.md": "---\nwaters: 03:00\nshows: one foot\n---\n"}
    text = words(small(note, "2026-03-16T04:05"), watch, "watch.html").replace("\u00a0", " ")
    assert "E01 step in 03:00 03:30 04:00 04:30 16 Mar, 03:05: one foot" in text
    assert "Marram Vets, 01632 960457" in text
    assert "your vet's word goes before these limits" in text


def test_limits_longer_than_the_published_are_told() -> None:
    """Three hours until stepping in is beyond Utah State's 30-60 minutes: the board and the cards say so."""
    own = {"flock.yaml": "flock: Small\nstep in: 3 h\n"}
    seen = small(own, "2026-03-16")
    assert "Longer than any published limit: step in" in words(seen, watch, "watch.html")
    assert "Longer than any published limit: step in" in words(seen, cards, "cards.html")
    assert "Longer than" not in words(small({}, "2026-03-16"), cards, "cards.html")
    assert "write the number into flock.yaml" in words(seen, watch, "watch.html")


def test_history_stands_beside_a_ewe_and_on_the_sheet() -> None:
    """Helped before, lost her lambs, a lump in the udder at the last check, thin: in words, on both."""
    more = {
        "2025-03-20 lambing E01.md": "---\nhelp: hard\n---\n- ram 6.1 kg, head back, dead\n",
        "2026-02-20 check pre-lambing.md": "- E01 bcs 1.5, udder lump left\n",
        "2026-01-10 scan.md": "- E01 triplets\n",
    }
    seen = small(more, "2026-03-10")
    for path in ("watch.html", "shed-sheet.html"):
        text = words(seen, watch, path)
        for part in (
            "2025 head back",
            "lost all her lambs 2025",
            "big lamb 2025",
            "udder lump left 2026",
            "thin: condition 1.5",
            "triplets",
        ):
            assert part in text, (path, part)


def test_a_ewe_is_called_a_maiden_only_where_the_book_can_know() -> None:
    """Born in 2021 without a lambing written is no maiden for certain; a ewe of two years, or born in the book, is."""
    more = {"sheep/E01.md": "---\nnote: ewe\nborn: 2024\n---\n"}
    fears = small(more, "2026-03-10").facts.lambing.fears
    assert fears_words(fears["E01"]) == "maiden"
    assert fears_words(fears["E02"]) == "no earlier lambing is written"


def test_newborns_with_what_they_need_and_what_is_owed() -> None:
    """Feed, day, given, litres for the litter, light and heavy, by hand and why; owed with the hour."""
    lambs = "- ewe 3.0 kg, tag 731, tubed 100 ml\n- ram 5.8 kg, tag 732\n"
    note = {"2026-03-16 0340 lambing E01.md": f"---\nmilk: none\n---\n{lambs}"}
    text = words(small(note, "2026-03-16T05:00"), watch, "watch.html").replace("\u00a0", " ")
    assert (
        "731 E01 3.0 kg 150 mL a feed, the first at the latest by 09:40; "
        "600 mL the first day; 100 mL given by hand 16 Mar, 05:40 "
        "feed by hand: the ewe's milk is none; light (under 3.5 kg)" in text
    )
    assert (
        "732 E01 5.8 kg 290 mL a feed, the first at the latest by 09:40; "
        "1160 mL the first day; none given by hand 16 Mar, 05:40 "
        "feed by hand: the ewe's milk is none; heavy (over 5.5 kg)" in text
    )
    assert "E01 1.76 L" in text
    assert "50 mL of colostrum for its first feed: the ewe's milk is none 16 Mar, 05:40" in text


def test_a_labour_that_help_has_not_ended_asks_for_the_vet() -> None:
    """Step in after an hour, and ring after half an hour of trying (university guide): 90 minutes after the bag."""
    note = {"2026-03-16 0305 labour E01.md": "---\nwaters: 03:00\n---\n"}
    assert "E01 step in" in words(small(note, "2026-03-16T04:29"), watch, "watch.html")
    assert "E01 ring the vet" in words(small(note, "2026-03-16T04:30"), watch, "watch.html")
    own = {**note, "flock.yaml": "flock: Small\ncall vet: 10 min\n"}
    assert "E01 ring the vet" in words(small(own, "2026-03-16T04:10"), watch, "watch.html")


def test_the_night_of_changing_clocks_is_said() -> None:
    """29 March 2026 in London: a bag at 00:45 is 90 minutes old at 03:15 by the hands."""
    london = {"flock.yaml": "flock: Small\ntimezone: Europe/London\n"}
    note = {"2026-03-29 0050 labour E01.md": "---\nwaters: 00:45\n---\n"}
    text = words(small({**london, **note}, "2026-03-29T00:55"), watch, "watch.html")
    assert "03:15 BST 29 Mar, 00:50; the clocks change in these hours" in text


def cold(hour: str, celsius: str, weight: str = "4.0 kg") -> str:
    """The board after a lamb of 03:40 was found cold at an hour."""
    note = {
        "2026-03-16 0340 lambing E01.md": f"- ewe {weight}, tag 731\n",
        f"2026-03-16 {hour} feeding.md": f"---\nlambs: 731\ntemp: {celsius}\n---\n",
    }
    return words(small(note, f"2026-03-16T{hour}"), watch, "watch.html").replace("\u00a0", " ")


def test_a_cold_lamb_has_its_steps_and_amounts_on_the_board() -> None:
    """Rows 10 and 11 of the references, 4 kg under 37 °C: six hours old 40 mL of glucose 20 %, made from 20 mL of 40 %
    and 20 mL of water, before warmth (Eales 1982; NZ Lifestyle Block 2016); two hours old warmth, a tube of 200 mL at
    most, and no glucose.
    """
    old = cold("0940", "36.0 C")
    assert "36.0 °C at 09:40: steps above" in old
    assert "dry it, then glucose 20 %, 40 mL (20 mL of 40 % with 20 mL of boiled water), into the belly" in old
    assert "only if your vet has taught you, then warm it" in old
    assert "(vet-taught technique; ask your vet) Eales, Small & Gilmour 1982" in old
    assert "If it cannot hold its head up: no tube, and ring the vet." in old
    young = cold("0540", "36.0 C")
    assert "dry it, then warm it, then tube colostrum once it swallows, 200 mL at the most" in young
    assert "glucose" not in young


def test_a_lamb_not_weighed_gets_no_amount() -> None:
    """10 mL a kg is said, and nothing is worked out; a weight that is to be confirmed counts as none."""
    for weight in ("", "41 kg"):
        text = cold("0940", "36.0 C", weight)
        assert "glucose 20 %, 10 mL a kg, into the belly" in text
        assert "mL of 40 %" not in text
    assert "41 kg written: to confirm confirm its weight to know" in cold("0940", "39.5 C", "41 kg")


def test_the_cards_give_glucose_by_weight() -> None:
    """40 mL for 4 kg, made from 20 and 20 (NZ Lifestyle Block, June 2016), with whose technique it is."""
    text = words(small({}, "2026-03-16"), cards, "cards.html").replace("\u00a0", " ")
    assert "4.0 kg 40 mL 20 mL 20 mL" in text
    assert text.count("vet-taught technique; ask your vet") == 3


def test_who_left_the_due_list_is_named_with_the_reason() -> None:
    """Scanned empty and aborted ewes do not vanish from the page."""
    more = {"2026-01-10 scan.md": "- E01 empty\n", "2026-02-20 abortion E02.md": ""}
    text = words(small(more, "2026-02-21"), due_page, "due.html")
    assert "E01 scanned empty 10 Jan 2026" in text
    assert "E02 lost her lambs 20 Feb 2026" in text


def test_the_days_of_a_joining_stand_on_the_due_page() -> None:
    """Row 6 on the page: watch from 2 March, scan 3 to 23 January, lambs 6 March to 20 April; crayon days, in a flock
    that ever wrote a mark.
    """
    assert "Crayon" not in words(small({}, "2025-12-01"), due_page, "due.html")
    marked = {"2024-10-15 joining Sexton.md": "---\newes: E01\nout: 2024-11-19\n---\n- 20 Oct 2024 E01\n"}
    text = words(small(marked, "2025-12-01"), due_page, "due.html").replace("\u00a0", " ")
    for part in ("31 Oct and 16 Nov", "3 to 23 Jan 2026", "2 Mar 2026", "6 Mar to 20 Apr 2026"):
        assert part in text
    still = {"2025-10-15 joining Sexton.md": "---\newes: E01\n---\n"}
    assert "still in for all the notes say, 47 days: write the day out" in words(
        small(still, "2025-12-01"), due_page, "due.html"
    )


def test_marked_ewes_that_may_come_round_are_listed_while_the_ram_is_in() -> None:
    """Marked on 20 October: next heat 6 November, between the 3rd and the 8th; gone from the page once that is past."""
    marks = {"2025-10-15 joining Sexton.md": "---\newes: E01, E02\nout: 2025-11-19\n---\n- 20 Oct E01\n"}
    text = words(small(marks, "2025-10-25"), due_page, "due.html").replace("\u00a0", " ")
    assert "E01 20 Oct 2025 6 Nov 2025 3–8 Nov" in text
    assert "May come round again" not in words(small(marks, "2025-11-09"), due_page, "due.html")


def test_cards_carry_their_sources_the_vet_and_the_warning() -> None:
    """Presentations, limits, colostrum, chilled lamb, abortion and pregnancy: each with who says so."""
    text = words(small({}, "2026-03-10"), cards, "cards.html")
    for part in (
        "Marram Vets: 01632 960457", "ask your vet", "pregnant", "gov.uk", "University of Florida",
        "Utah State University", "Mellor", "Eales", "NADIS", "only if your vet has taught you",
        "never tube an unconscious lamb",
    ):  # fmt: skip
        assert part in text, part


def test_cards_show_the_flocks_own_units() -> None:
    """Pounds and Fahrenheit where the flock uses them: 37.0 °C is 98.6 °F exactly (D. Rackley, Farm World). A lamb of 8
    lb weighs 3.6287 kg: 50 mL a kg are 181 mL, 200 are 726 mL, by 29.5735 mL in a fluid ounce 6.1 and 24.5.
    """
    text = words(read({"flock.yaml": "flock: x\nunits: us\n"}, "2026-03-10"), cards, "cards.html")
    assert "under 98.6 °F" in text
    assert "8.0 lb 6.1 fl oz (181 mL) 24.5 fl oz (726 mL)" in text
    assert "°C" not in text


def test_pocket_cards_each_with_its_source_and_the_vet() -> None:
    """Twelve cards, that each can be read; on each who says so, the vet's number, and that it is no advice; every way
    of lying is on one.
    """
    (page,) = made(small({}, "2026-03-10"), pocket)
    assert len(page.view.cards) == 12
    assert all(card.source for card in page.view.cards)
    assert "Marram Vets: 01632 960457" in page.view.foot
    assert "ask your vet" in page.view.foot
    text = words(small({}, "2026-03-10"), pocket, "pocket-cards.html")
    for part in (*(name for name, _, _ in cards.LIES), "pregnant", "4.0 kg 200 mL a feed", "Mellor", "Eales", "gov.uk"):
        assert part in text, part
    assert text.count("Marram Vets") == 12


def test_the_board_and_the_sheet_warn_pregnant_people() -> None:
    """On glass with its source, on paper in a sentence."""
    seen = small({}, "2026-03-10")
    assert "People who are or may be pregnant" in words(seen, watch, "watch.html")
    assert "Nobody who is or may be pregnant comes in here." in words(seen, watch, "shed-sheet.html")


def test_fosters_and_the_bottle_stand_on_the_board() -> None:
    """Birth dam, foster dam, and the bottle."""
    more = {
        "2026-03-16 lambing E01.md": "- ewe 4.0, tag 731\n- ram 4.1, tag 732\n",
        "2026-03-16 lambing E02.md": "- ewe stillborn\n",
        "2026-03-17 foster 731.md": "---\nonto: E02\n---\n",
        "2026-03-17 foster 732.md": "---\npet: yes\n---\n",
    }
    text = words(small(more, "2026-03-18"), watch, "watch.html")
    assert "731 E01 E02 17 Mar 2026" in text
    assert "732 E01 the bottle 17 Mar 2026" in text


def test_nights_without_a_look_are_told_without_blame() -> None:
    """The longest time without a written look, beside the limit and what counts."""
    more = {"2026-03-15 1500 lambing E01.md": "- ewe 4.0\n", "2026-03-15 2200 remark round.md": "Quiet.\n"}
    text = words(small(more, "2026-03-16T12:00"), watch, "watch.html")
    assert "15 Mar 2026 1 10 h 00, 22:00 to 08:00 longer than your limit" in text
    assert "one that nobody wrote is not seen here" in text


def test_the_demo_in_the_thick_of_lambing() -> None:
    """Heather's labour runs over midnight on 17 April, and Bramble's lambing is not yet written."""
    seen = demo("2026-04-17T00:20")
    (labour,) = seen.facts.lambing.labours
    assert (labour.ewe, f"{labour.clock.since:%d %H:%M}", f"{labour.clock.step_in:%d %H:%M}") == (
        "C320",
        "16 23:55",
        "17 00:40",
    )
    assert demo("2026-04-17T01:00").facts.lambing.labours == ()
    assert "C214" in board_rows(seen)
