"""Grazing and hay sums against printed tables and worked examples of extension services."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.derive.land.forage import (
    PUBLISHED_INTAKES,
    Hay,
    Stage,
    Stay,
    area_needed,
    available_forage,
    average_mob,
    days_lasting,
    growth_per_day,
    hay_budget,
    head_carried,
    head_per_area,
    height_forage,
    leave_by,
    nights_grazed,
    paced_stock_days,
    paddock_count,
    paddock_rest_ends,
    rest_given,
    stock_days,
    stock_days_per_area,
    stock_density,
)

# Penn State Agronomy Guide, table 1.8-9: days in the paddock, share used, acres per animal unit at 750, 1,000 and 1,500
# lb of dry matter per acre; 25 lb eaten a day (its note 1).
PENN_STATE = [
    (1, 0.80, 0.042, 0.031, 0.021),
    (2, 0.75, 0.089, 0.067, 0.044),
    (3, 0.75, 0.133, 0.100, 0.067),
    (4, 0.70, 0.190, 0.143, 0.095),
    (5, 0.65, 0.256, 0.192, 0.128),
    (6, 0.60, 0.333, 0.250, 0.167),
    (7, 0.60, 0.389, 0.292, 0.194),
]
# UConn Extension, Four steps to rotational grazing: three ewes of 150 lb at 5 %, each with 1.5 lambs of 42 lb at 4 %.
UCONN_NEED = 3 * (150 * 0.05 + 1.5 * 42 * 0.04)


@pytest.mark.parametrize(("days", "use", "at_750", "at_1000", "at_1500"), PENN_STATE)
def test_area_table(days: int, use: float, at_750: float, at_1000: float, at_1500: float) -> None:
    """All 21 printed areas of the Agronomy Guide, to its three decimals; and each area lasts just those days."""
    for forage, area in ((750, at_750), (1000, at_1000), (1500, at_1500)):
        found = area_needed(25, days, available_forage(forage, 1, use))
        assert round(found, 3) == area
        assert days_lasting(available_forage(forage, found, use), 25) == pytest.approx(days)
        assert head_per_area(forage * use, 25, days) == pytest.approx(1 / found)


def test_four_steps_example() -> None:
    """UConn prints 1,000 → 750 lb/ac, 90 lb of need, 0.12 ac, 3 ac in all, 62 animals/ac (cut off, not rounded)."""
    offered = available_forage(height_forage(8, 4, 250), 1, 0.75)
    assert offered == 750
    assert pytest.approx(90, abs=1) == UCONN_NEED * 3
    area = area_needed(UCONN_NEED, 3, offered)
    assert area == pytest.approx(0.12, abs=5e-3)
    assert area == pytest.approx(82 * 64 / 43560, abs=1e-3)
    assert paddock_count(70, 3) == 25
    assert paddock_count(70, 3) * 0.12 == pytest.approx(3.0)
    assert int(stock_density(3 * 2.5, 0.12)) == 62


def test_paddocks_and_rest_undo_each_other() -> None:
    """A three-week rest and three days' grazing take eight paddocks (Farm Advisory Service Scotland, 2019)."""
    assert paddock_count(21, 3) == 8
    assert rest_given(8, 3) == 21
    assert (rest_given(1, 3), rest_given(0, 3)) == (0, 0)


def test_grazing_stick() -> None:
    """Excellent orchardgrass and legume, 7 in down to 3: 1,200–1,400 lb/ac (UMaine Extension, appendix D)."""
    assert (height_forage(7, 3, 300), height_forage(7, 3, 350)) == (1200, 1400)


def test_acre_inch_rule() -> None:
    """8 in at 150 lb, half grazed, is 600 lb; a sheep is 0.2 of 30 lb, a lamb 0.6 of a sheep (thefreelibrary)."""
    assert available_forage(height_forage(8, 0, 150), 1, 0.5) == 600
    sheep = 0.2 * 30
    assert [sheep, sheep * 0.6] == pytest.approx([6, 3.6])
    assert head_carried(600, 6, 10) == 10
    assert head_carried(599, 6, 10) == 9
    assert head_carried(0.3, 0.1, 1) == 3  # 2.9999999999999996 in binary


def test_allocation_in_square_paces() -> None:
    """20 head of 1,000 lb at 2.5 %, 75 % of 2,000 lb/ac used: 500 lb eaten, 1/3 of an acre (grasslandrenewal.org)."""
    need = 20 * 1000 * 0.025
    assert need == 500
    assert need / 0.75 == pytest.approx(667, abs=0.5)
    assert area_needed(need, 1, available_forage(2000, 1, 0.75)) == pytest.approx(1 / 3, abs=1e-3)


def test_growth_from_a_hay_yield() -> None:
    """1.8 tons in 35 days grow 103 lb/ac a day; a 1,050 lb cow eats 31.5 lb at 3 % (ATTRA, Grazier's Math)."""
    assert round(growth_per_day(1.8 * 2000, 35)) == 103
    assert pytest.approx(31.5) == 1050 * 0.03


def test_stock_days_from_pacing() -> None:
    """25 × 25 yd a day is 7.7 stock-days/ac; 5 ac keep 4 head 9.6 days (Estimating carrying capacity in ADA)."""
    per_acre = paced_stock_days(25 * 25)
    assert per_acre == pytest.approx(7.7, abs=0.05)
    assert per_acre * 5 == pytest.approx(38, abs=1)
    assert days_lasting(per_acre * 5, 4) == pytest.approx(9.6, abs=0.1)


def test_average_mob() -> None:
    """450 × 60 + 300 × 45 + 375 × 95 is 76,125; over 200 days 381 (grazing-planning handbook, appendix 2.C)."""
    stays = [Stay(450, 60), Stay(300, 45), Stay(375, 95)]
    assert stock_days(stays) == 76_125
    mean = average_mob(stays)
    assert mean is not None
    assert round(mean) == 381
    assert average_mob([]) is None
    assert stock_days_per_area(stays, 100) == 761.25


def test_animal_unit_months() -> None:
    """1,240 needed, 342 on hand (Stocking rate lesson); 50 sheep, 10 cows on 200: 10 months; 700 sheep: 490 (BLM)."""
    assert stock_days([Stay(200 * 1.2, 5), Stay(10 * 1.6, 2.5)]) == pytest.approx(1240)
    assert stock_days([Stay(200, 0.7), Stay(400, 0.6)]) * (1 - 0.1) == pytest.approx(342)
    assert days_lasting(200, 50 * 0.2 + 10) == pytest.approx(10)
    assert stock_days([Stay(700 * 0.2, 3.5)]) == pytest.approx(490)


def test_nights_are_counted_not_days() -> None:
    """The day in counts and the day out does not: our choice, no source says."""
    assert nights_grazed(date(2025, 6, 1), date(2025, 6, 5)) == 4
    assert nights_grazed(date(2024, 2, 28), date(2024, 3, 1)) == 2
    assert nights_grazed(date(2025, 6, 1), date(2025, 6, 1)) == 0
    with pytest.raises(ValueError, match="before it was entered"):
        nights_grazed(date(2025, 6, 2), date(2025, 6, 1))


def test_rest_and_limit_dates() -> None:
    """35 days' rest and 4 days' grazing, the figures of ATTRA, Grazing to control parasites (dates worked by hand)."""
    assert paddock_rest_ends(date(2025, 6, 1), 35) == date(2025, 7, 6)
    assert leave_by(date(2025, 6, 1), 4) == date(2025, 6, 5)


def test_printed_hay_example() -> None:
    """5 ewes of 200 lb at 4 % for 150 days: 6,000 lb, 172 bales of 35 lb or 120 of 50 (humblebee-farm, 2013)."""
    stages = [Stage(5, Decimal(200) * Decimal("0.04"), 150)]
    for weight, bales in ((35, 172), (50, 120)):
        found = hay_budget(stages, Hay(Decimal(1), Decimal(0), Decimal(weight)))
        assert {found.dry_matter, found.as_fed, found.with_waste} == {Decimal(6000)}
        assert found.bales == bales


def test_no_bale_is_bought_for_a_rounding() -> None:
    """40 ewes through the winter need exactly 632 bales; binary floats make it 633.

    Needs: Weaver, OSU Sheep Team 2023, table 1; stage lengths: Neary, Purdue 1997. The sum is ours.
    """
    stages = [Stage(40, Decimal("2.6"), 80), Stage(40, Decimal("4.0"), 40), Stage(40, Decimal("4.4"), 60)]
    found = hay_budget(stages, Hay(Decimal("0.88"), Decimal("0.10"), Decimal(50)))
    assert (found.dry_matter, found.with_waste) == (Decimal(25_280), Decimal(31_600))
    assert (round(found.as_fed), found.bales) == (28_727, 632)
    assert ceil(40 * (80 * 2.6 + 40 * 4.0 + 60 * 4.4) / 0.88 * 1.1 / 50) == 633


def test_published_intakes_name_their_source() -> None:
    """Intakes are shown beside what the shepherd typed; the classes disagree, so each row carries its source."""
    assert {row.low for row in PUBLISHED_INTAKES if row.sheep == "ewe in milk"} == {5.0, 4.5, 3.5}
    assert all(row.source and 0 < row.low <= row.high for row in PUBLISHED_INTAKES)


def test_sums_that_cannot_be_are_refused() -> None:
    """No ground, no need, no forage or hay without dry matter: an error that says so, never an infinite paddock."""
    for call in (
        lambda: days_lasting(100, 0),
        lambda: head_carried(100, 0, 3),
        lambda: area_needed(100, 3, 0),
        lambda: head_per_area(100, 2, 0),
        lambda: stock_density(10, 0),
        lambda: stock_days_per_area([], 0),
        lambda: paced_stock_days(0),
        lambda: growth_per_day(10, 0),
        lambda: paddock_count(21, 0),
        lambda: available_forage(100, 1, 1.2),
        lambda: hay_budget([], Hay(Decimal(0), Decimal(0), Decimal(20))),
        lambda: hay_budget([], Hay(Decimal(1), Decimal(0), Decimal(0))),
    ):
        with pytest.raises(ValueError, match="cannot be"):
            call()
    with pytest.raises(ValueError, match="nothing is grazed"):
        height_forage(3, 4, 250)


@given(st.integers(0, 400), st.integers(1, 60))
def test_paddocks_always_give_the_rest_and_never_one_too_many(rest: int, graze: int) -> None:
    """The number rounded up gives at least the rest asked for, one fewer does not."""
    paddocks = paddock_count(rest, graze)
    assert rest_given(paddocks, graze) >= rest
    assert paddocks == 1 or rest_given(paddocks - 1, graze) < rest


@given(
    st.lists(st.tuples(st.integers(0, 400), st.decimals("0", "9", places=2), st.integers(0, 200)), max_size=5),
    st.integers(50, 100),
    st.integers(0, 40),
    st.integers(1, 600),
)
def test_bales_cover_the_need_and_no_more(
    stages: list[tuple[int, Decimal, int]], dry: int, waste: int, bale: int
) -> None:
    """So many bales hold the need, and one bale fewer would not."""
    hay = Hay(Decimal(dry) / 100, Decimal(waste) / 100, Decimal(bale))
    found = hay_budget([Stage(*stage) for stage in stages], hay)
    wanted = found.dry_matter * (100 + waste)
    assert found.bales * bale * dry >= wanted > (found.bales - 1) * bale * dry or wanted == found.bales == 0


@given(st.dates(date(2000, 1, 1), date(2090, 1, 1)), st.lists(st.integers(0, 60), min_size=1, max_size=6))
def test_nights_of_moves_in_a_row_add_up(start: date, nights: list[int]) -> None:
    """Nights in one paddock after another are the nights of the whole time: no day counts twice."""
    days = [start + timedelta(days=sum(nights[:done])) for done in range(len(nights) + 1)]
    assert sum(map(nights_grazed, days, days[1:])) == nights_grazed(days[0], days[-1])
