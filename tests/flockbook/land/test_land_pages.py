"""The grass, kit, money and register pages: what they show, that strict readers accept them, what sharing hides."""

from __future__ import annotations

import re
from datetime import date, timedelta
from types import ModuleType

import html5lib
import pytest

from compiler.templatecheck import check
from compiler.templates import Theme
from flockbook.derive.farm.flock_register import Balance
from flockbook.pages.farm import feed, grass, kit, money, register
from flockbook.pages.sections import Look
from flockbook.pages.views import Chart, TagList
from tests.flockbook.families import LEDGER, Frame, blocks_in, demo, drawn, made, rows_in, table_in, view
from tests.flockbook.small import Seen, read

FAMILIES = (grass, kit, money, register)


@pytest.mark.parametrize("family", [feed, *FAMILIES])
@pytest.mark.parametrize("seen", [demo(), read({}, "2026-06-10")], ids=["demo", "empty"])
def test_pages_are_well_formed(family: ModuleType, seen: Seen) -> None:
    """A strict reader finds nothing wrong, with a full flock and with none at all."""
    for page in made(seen, family):
        html5lib.HTMLParser(strict=True).parse(drawn(page, seen, FAMILIES))


@pytest.mark.parametrize("family", FAMILIES)
def test_templates_name_only_what_their_views_hold(family: ModuleType) -> None:
    """The theme's own check follows every field into the typed views."""
    views = {page.template: type(page.view) for page in made(demo(), family)}
    told = [item for item in check(Theme(LEDGER), views, Frame) if item.code != "T108"]
    assert not [item.message for item in told if item.span.path.rsplit("/", 1)[-1] in views]


def test_grass_says_where_everyone_is() -> None:
    """The demo's mobs stand where their last move put them; no page ever calls ground clean."""
    shown = view(demo(), grass)
    assert [(row.cells[0], row.cells[1], row.cells[2]) for row in table_in(shown, "where-head").rows] == [
        ("Harrow's lot", "Rigg Park", 18),
        ("hoggs", "Home Park", 9),
        ("Pike's lot", "Long Intake", 18),
        ("tups", "Long Intake", 1),
        ("tups", "Rigg Park", 1),
    ]
    html = drawn(next(made(demo(), grass)), demo()).lower()
    assert "is clean" not in html
    assert "clean pasture" not in html
    assert "the day in counts, the day out does not" in html


def test_grass_chart_and_table_hold_the_same_stays() -> None:
    """The chart's picture has a cell for every week with sheep-nights, and the table under it every stay."""
    seen = demo()
    (chart,) = blocks_in(view(seen, grass), "weeks-head")
    assert isinstance(chart, Chart)
    cells = re.findall(r'<path class="c-cell[^>]*d="([^"]*)"', chart.svg)
    assert sum(path.count("M") for path in cells) == len(seen.facts.land.grazing.grid)
    stays = sum(
        one.left is None or one.left > date(2025, 11, 17)
        for item in seen.facts.land.grazing.ground.values()
        for one in item.periods
    )
    assert chart.table is not None
    assert len(chart.table.rows) == stays


def test_grass_in_acres() -> None:
    """In a flock that counts in acres, 2 ha are 4.9 ac (1 acre = 0.40468564224 ha, NIST SP 811)."""
    notes = {
        "flock.yaml": "units: us\n",
        "sheep/E1.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "paddocks/Haugh.md": "---\nnote: paddock\narea: 2 ha\n---\n",
        "events/2026-05-01 move.md": "---\nnote: move\nsheep: E1\nto: Haugh\n---\n",
    }
    row = table_in(view(read(notes, "2026-05-11"), grass), "ground-head").rows[0]
    assert row.cells[0] == "Haugh, 4.9\u00a0ac"
    assert row.cells[-1] == "2"  # ten sheep-days on 4.94 acres


def rotation(days: int, paddocks: int = 8, head: int = 1) -> dict[str, str]:
    """Ewes that go round paddocks of one hectare, each planned to rest three weeks, so many days in each."""
    notes = {f"paddocks/P{n}.md": "---\nnote: paddock\narea: 1 ha\nrest: 21 days\n---\n" for n in range(paddocks)}
    notes |= {f"sheep/E{n}.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n" for n in range(head)}
    for turn in range(2 * paddocks + 1):
        on = date(2026, 4, 1) + timedelta(turn * days)
        notes[f"events/{on} move.md"] = f"---\nnote: move\nmob: hill\nto: P{turn % paddocks}\n---\n"
    return notes


def test_rest_given_stands_against_rest_planned() -> None:
    """8 paddocks of 3 days give a rest of 21 (Farm Advisory Service Scotland, 2019); of 2 days only 14, 7 too few."""
    enough = view(read(rotation(3), "2026-05-20"), grass)
    assert table_in(enough, "rests-head").rows[0].cells == ("P0", 21, "21, 21", "never", "grazed")
    assert table_in(enough, "rests-head").rows[1].cells == ("P1", 21, "21", "never", "19 of 21")  # left on 1 May
    hurried = view(read(rotation(2), "2026-05-04"), grass)
    assert table_in(hurried, "rests-head").rows[0].cells == ("P0", 21, "14, 14", "2 of 2, by up to 7", "grazed")
    (chart,) = blocks_in(hurried, "weeks-head")
    assert isinstance(chart, Chart)
    assert chart.table is not None
    assert [row.cells[7] for row in chart.table.rows if row.cells[0] == "P0"] == ["14 of 21", "14 of 21", "–"]


def test_rest_of_a_paddock_without_a_plan_is_not_judged() -> None:
    """A paddock whose note plans no rest has no row; none at all leaves a word on what to write."""
    notes = {"paddocks/Haugh.md": "---\nnote: paddock\narea: 2 ha\n---\n"}
    assert table_in(view(read(notes), grass), "rests-head").rows == ()
    assert "rest: 28 days" in table_in(view(read(notes), grass), "rests-head").empty


def test_sheep_to_the_hectare_at_this_moment() -> None:
    """7.5 animals on 0.12 ac are 62 to the acre (UConn, Four steps, cut off): here 15 on 0.24 ac, 62.5."""
    notes = rotation(3, 1, 15) | {"paddocks/P0.md": "---\nnote: paddock\narea: 0.24 acres\n---\n"}
    row = table_in(view(read({"flock.yaml": "units: us\n", **notes}, "2026-04-05"), grass), "ground-head").rows[0]
    assert row.cells[1] == "grazed, 4 nights, 62.5\u00a0per\u00a0ac"


def test_grass_names_those_that_are_nowhere() -> None:
    """A living sheep of which no note says where it is stands on the page."""
    notes = {
        "sheep/E1.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "sheep/E2.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "events/2026-05-01 move.md": "---\nnote: move\nsheep: E1\nto: Haugh\n---\n",
    }
    assert [
        sheep.tag
        for block in blocks_in(view(read(notes), grass), "where-head")
        if isinstance(block, TagList)
        for sheep in block.sheep
    ] == ["E2"]


def test_kit_opens_with_what_is_short() -> None:
    """The demo's shed lacks four things; pieces to buy are whole ones."""
    shown = view(demo(), kit)
    assert [row.title for row in rows_in(shown, "short-head")] == [
        "ewe cake",
        "lubricant",
        "navel iodine",
        "stomach tubes",
    ]
    assert rows_in(shown, "short-head")[2].more == "400 ml short: 500 ml there, 900 ml needed; kept: shed shelf"
    early = read({"supplies/hay.md": "---\nnote: supply\nneed: 11.5 bales\nhave: 0\n---\n"})
    assert rows_in(view(early, kit), "short-head")[0].more.startswith("12 bales short")


def test_money_page_has_the_seasons_and_the_grid() -> None:
    """Sums to the penny; the middle of the what-if grid is the season's own margin."""
    shown = view(demo(), money)
    look = blocks_in(shown, "season-2026")[0]
    assert isinstance(look, Look)
    assert look.pairs[0].value == "£4,456.76"
    assert table_in(shown, "season-2026", 1).rows[2].cells[3] == "£4,456.76"
    assert table_in(shown, "season-2026").foot[1:3] == ("£5,090.10", "£633.34")
    assert money.sum_words(None, "£") == "–"


def test_a_negative_break_even_prints() -> None:
    """A break-even price below nought is an answer (Texas A&M AgriLife 2016 prints -113.41): it is said in words."""
    shown = view(demo(), money)
    told = [str(row.cells[-1]) for row in table_in(shown, "seasons-head").rows]
    assert "nothing: costs were covered without lambs" in told


def test_register_shows_balance_movements_and_deaths() -> None:
    """The demo's years come out; every sale, purchase and death of the roll has its row."""
    seen = demo()
    shown = view(seen, register)
    assert blocks_in(shown, "balance-head")[1] == "The sums of every year come out."
    assert len(table_in(shown, "moves-head").rows) == len(seen.facts.farm.register.movements)
    assert len(table_in(shown, "deaths-head").rows) == len(seen.facts.farm.register.deaths)
    assert len(table_in(view(seen, register, "register-sheet.html"), "roll-head").rows) == 47


def test_register_is_loud_when_sums_do_not_come_out() -> None:
    """A year whose sums are wrong is named."""
    wrong = Balance(date(2025, 1, 1), date(2025, 12, 31), 10, 1, 0, 0, 0, 12)
    assert register.sums_verdict([wrong]) == "THE SUMS DO NOT COME OUT: 2025."


def test_the_sheet_is_made_to_be_printed() -> None:
    """The register's second page lies across and holds the roll with official numbers."""
    page = list(made(demo(), register))[1]
    html = drawn(page, demo())
    assert '<body class="landscape"' in html
    assert "UK 709999 00214" in html
    assert "826070999900504" in html  # given by a tagging note
