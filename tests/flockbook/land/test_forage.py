"""Sums of grass and hay against printed examples of extension services."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.derive.land.forage import (
    DRY_EWE,
    EWE_IN_LAMB,
    EWE_IN_MILK,
    PUBLISHED_INTAKES,
    WEANED_LAMB,
    Grazers,
    as_fed,
    days_lasting,
    leave_by,
    nights_grazed,
    paddock_rest_ends,
    published,
    stock_days,
    stock_days_per_area,
    stock_density,
)


def test_days_that_a_store_lasts() -> None:
    """38 stock-days keep 4 head 9.5 days, nine whole ones; 200 animal-unit months keep 20 units 10 (printed 10)."""
    assert days_lasting(38, 4) == 9
    assert days_lasting(200, 50 * 0.2 + 10) == 10
    assert days_lasting(0.3, 0.1) == 3  # 2.9999999999999996 in binary
    assert days_lasting(0, 5) == 0


def test_density_of_a_paddock() -> None:
    """UConn, Four steps: 7.5 animals on 0.12 ac are 62 to the acre (printed cut off)."""
    assert int(stock_density(3 * 2.5, 0.12)) == 62


def test_stock_days_of_a_herd_that_changes() -> None:
    """450 × 60 + 300 × 45 + 375 × 95 is 76,125 (grazing-planning handbook, appendix 2.C)."""
    stays = [Grazers(450, 60), Grazers(300, 45), Grazers(375, 95)]
    assert stock_days(stays) == 76_125
    assert stock_days_per_area(stays, 100) == 761.25


def test_as_fed() -> None:
    """25,280 lb of dry matter in hay of 88 % are 28,727 lb of hay (Weaver's needs, Neary's stages; the sum is ours)."""
    assert round(as_fed(40 * (80 * 2.6 + 40 * 4.0 + 60 * 4.4), 0.88)) == 28_727


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


@pytest.mark.parametrize(
    ("sort", "low", "high"),
    [(EWE_IN_MILK, 0.035, 0.05), (EWE_IN_LAMB, 0.02, 0.025), (DRY_EWE, 0.02, 0.025), (WEANED_LAMB, 0.04, 0.04)],
)
def test_published_intakes_span_all_their_sources(sort: str, low: float, high: float) -> None:
    """UConn 5, 2 and 4 %, ATTRA 4.5 and 2.5 %, Dugdale 3.5 and 2 to 2.5 %: the lowest and the highest of each class."""
    told = published(sort)
    assert (told.low, told.high) == (low, high)
    assert all(row.source in told.source for row in PUBLISHED_INTAKES if row.sheep == sort)


def test_sums_that_cannot_be_are_refused() -> None:
    """No ground, no need, no dry matter: an error that says so, never an infinite paddock."""
    for call in (
        lambda: days_lasting(100, 0),
        lambda: stock_density(10, 0),
        lambda: stock_days_per_area([], 0),
        lambda: as_fed(100, 0),
    ):
        with pytest.raises(ValueError, match="cannot be"):
            call()


@given(st.dates(date(2000, 1, 1), date(2090, 1, 1)), st.lists(st.integers(0, 60), min_size=1, max_size=6))
def test_nights_of_moves_in_a_row_add_up(start: date, nights: list[int]) -> None:
    """Nights in one paddock after another are the nights of the whole time: no day counts twice."""
    days = [start + timedelta(days=sum(nights[:done])) for done in range(len(nights) + 1)]
    assert sum(map(nights_grazed, days, days[1:])) == nights_grazed(days[0], days[-1])
