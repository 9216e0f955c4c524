"""Budget sums against printed enterprise budgets."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from math import prod

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.derive.farm.budget import (
    LAMB_SALES,
    OWN_LABOUR,
    Budget,
    Entered,
    SoldCrop,
    break_even,
    budget,
    by_kind,
    cents,
    what_if,
    what_if_grid,
)

amounts = st.decimals("0", "99999", places=2)
lines = st.lists(st.builds(Entered, st.sampled_from([LAMB_SALES, OWN_LABOUR, "feed", "wool"]), amounts), max_size=12)


def money(*amounts: str) -> list[Decimal]:
    """Amounts as written on paper."""
    return [Decimal(amount) for amount in amounts]


def priced(kind: str, *factors: Decimal) -> Entered:
    """A line as budgets print it: head × weight × price."""
    return Entered(kind, prod(factors, start=Decimal(1)))


def total(lines: Iterable[Entered]) -> Decimal:
    """What the lines come to."""
    return sum((line.amount for line in lines), Decimal(0))


def costs(*amounts: str) -> list[Entered]:
    """Cost lines of no particular kind."""
    return [Entered("costs", amount) for amount in money(*amounts)]


# Texas A&M AgriLife 2016, commercial sheep, 5 ewes to the animal unit, 100 units (studylib.net/doc/11005849).
TEXAS_INCOME = [
    priced(LAMB_SALES, *money("2.25", "0.75", "190")),
    priced(LAMB_SALES, *money("1.25", "0.75", "190")),
    priced("cull ewes", *money("1.00", "1.35", "86")),
    priced("cull rams", *money("0.05", "1.70", "90")),
    priced("wool", *money("5", "8", "1.76")),
]
TEXAS_COSTS = costs(
    *("15.00", "10.50", "30.00", "25.50", "9.50", "16.25", "20.81", "9.64", "39.75", "5.94", "28.08"),
    *("1.35", "0.70", "0.94", "4.60", "33.00", "3.30", "52.32", "9.00", "24.00", "26.32"),
)
TEXAS = budget(TEXAS_INCOME, TEXAS_COSTS, SoldCrop(5, Decimal("2.625")))


def test_texas_sheep_budget() -> None:
    """AgriLife 2016 prints 692.90 of income, 366.50 of cost and 326.40 over."""
    assert [cents(line.amount) for line in TEXAS_INCOME] == money("320.63", "178.13", "116.10", "7.65", "70.40")
    assert (cents(TEXAS.income), TEXAS.costs, cents(TEXAS.margin)) == tuple(money("692.90", "366.50", "326.40"))
    assert cents(TEXAS.income * 100) == Decimal("69290.00")
    assert TEXAS.margin_per_ewe == Decimal("65.28")


def test_lines_are_rounded_once_at_the_end() -> None:
    """Adding the printed, rounded lines gives a cent more than the printed total of 692.90 (same budget)."""
    assert sum(cents(line.amount) for line in TEXAS_INCOME) == Decimal("692.91")


def test_texas_break_even() -> None:
    """(366.50 − 116.10 − 7.65 − 70.40) ÷ 2.625 cwt is 65.66 a cwt: worked out, the stored copy is cut off there."""
    assert TEXAS.break_even is not None
    assert cents(TEXAS.break_even) == Decimal("65.66")


@pytest.mark.parametrize(("cost", "price"), [("208.17", "-113.41"), ("652.33", "-3.38")])
def test_a_break_even_below_nought_is_an_answer(cost: str, price: str) -> None:
    """AgriLife 2016, fibre goats, prints −113.41 and −3.38 a cwt (studylib.net/doc/10997626)."""
    other = sum(money("152.39", "265.07", "91.00", "157.50"))
    sold = Decimal("3.8") * Decimal("0.65") + Decimal("2.41") * Decimal("0.65")
    assert (other, sold) == (Decimal("665.96"), Decimal("4.0365"))
    found = break_even(Decimal(cost), Decimal(other), sold)
    assert found is not None
    assert cents(found) == Decimal(price)


def test_rutgers_budget_and_its_cent() -> None:
    """Rutgers table 62 (1996): variable 194.95, fixed 10.80; it prints 219.81 where its own lines give 219.80."""
    income = [
        priced(LAMB_SALES, *money("153", "0.50")),
        Entered("wool", Decimal("10.00")),
        priced("culls", *money("25", "0.30")),
    ]
    spent = [
        *costs("27.20", "35.21", "11.08", "8.80", "6.00", "7.50", "3.00"),
        priced(OWN_LABOUR, *money("6", "14.48")),
    ]
    worked = budget(income, spent, SoldCrop(1, Decimal(153)))
    before_interest = worked.costs + worked.own_labour
    interest = priced("interest", before_interest, Decimal("0.5"), Decimal("0.10"))
    assert (worked.income, worked.own_labour, before_interest) == tuple(money("94.00", "86.88", "185.67"))
    assert cents(interest.amount) == Decimal("9.28")

    variable = budget(income, [*spent, interest], SoldCrop(1, Decimal(153)))
    assert cents(variable.costs + variable.own_labour) == Decimal("194.95")
    assert cents(variable.margin_after_labour) == Decimal("-100.95")

    fixed = costs("5.80", "5.00", "14.05")
    assert total(fixed[:2]) == Decimal("10.80")
    assert cents(total([*spent, interest, *fixed])) == Decimal("219.80")
    whole = budget(income, [*spent, interest, *fixed], SoldCrop(1, Decimal(153)))
    assert cents(whole.margin_after_labour) == Decimal("-125.80")  # -125.81 from its printed total


def test_texas_2003_budget() -> None:
    """B-1241 (L7): gross 348.15, left over 208.48, capital 41.77; it prints 166.72 where its lines give 166.71."""
    income = [
        priced("culls", *money("1.10", "130", "0.35")),
        priced(LAMB_SALES, *money("4.40", "75", "0.85")),
        priced("wool", *money("44", "0.40")),
    ]
    assert [line.amount for line in income] == money("50.05", "280.50", "17.60")
    capital = costs("36.12", "6.91", "-1.26")
    found = budget(income, costs("139.67"), SoldCrop(5, Decimal("4.40")))
    assert (found.income, found.margin) == tuple(money("348.15", "208.48"))
    assert total(capital) == Decimal("41.77")
    assert found.margin - total(capital) == Decimal("166.71")


def test_texas_1989_budget() -> None:
    """B-1241 (L08): gross 245.35, operating 68.19, left over 177.16, after capital 123.52."""
    income = [
        Entered("culls", Decimal("30.60")),
        Entered(LAMB_SALES, Decimal("168.00")),
        Entered("wool", Decimal("46.75")),
    ]
    found = budget(income, costs("68.19", "53.64"), SoldCrop(5, Decimal("4")))
    assert (found.income, found.income - Decimal("68.19"), found.margin) == tuple(money("245.35", "177.16", "123.52"))


def test_own_labour_is_counted_apart() -> None:
    """Costs of 104.23 a ewe with 12.83 of family labour are 91.40 without (Wyoming Livestock Roundup, 2020)."""
    paid = costs("33.12", "13.77", "9.86", "6.90", "27.75")
    found = budget(
        [Entered(LAMB_SALES, Decimal(120))], [*paid, Entered(OWN_LABOUR, Decimal("12.83"))], SoldCrop(1, Decimal(1))
    )
    assert (found.costs, found.own_labour) == tuple(money("91.40", "12.83"))
    assert (found.margin, found.margin_after_labour) == tuple(money("28.60", "15.77"))
    assert (found.margin_per_ewe, found.margin_per_ewe_after_labour) == tuple(money("28.60", "15.77"))
    assert (found.break_even, found.break_even_after_labour) == tuple(money("91.40", "104.23"))


def test_nothing_sold_and_nobody_joined_give_no_figure() -> None:
    """A share of none is unknown, not nought and not an error."""
    found = budget([], costs("100"), SoldCrop(0, Decimal(0)))
    assert (found.margin, found.margin_per_ewe, found.break_even) == (Decimal(-100), None, None)
    assert found.income_by_kind == ()
    assert found.other_income == 0


def test_kinds_stand_in_order_of_size() -> None:
    """The largest first, equal ones by name."""
    five, nine, two = money("5", "9", "2")
    found = by_kind([Entered("vet", five), Entered("feed", nine), Entered("hay", nine), Entered("vet", two)])
    assert found == (Entered("feed", nine), Entered("hay", nine), Entered("vet", five + two))


def test_what_if_of_the_season_itself_changes_nothing() -> None:
    """The same lambs at the same price give the margin back; a lamb more adds its price (Texas 2016 figures)."""
    same = what_if(TEXAS, Decimal("2.625"), Decimal(190))
    assert same.margin == TEXAS.margin
    grid = what_if_grid(TEXAS, money("2.625", "3.625"), money("190", "65.66"))
    assert grid[0][0] == same
    assert grid[1][0].margin - grid[0][0].margin == 190
    assert abs(grid[0][1].margin) < Decimal("0.02")


def test_halves_are_rounded_away_from_nought() -> None:
    """178.125 is printed 178.13 (AgriLife 2016); banker's rounding would print 178.12."""
    assert (cents(Decimal("178.125")), cents(Decimal("-178.125"))) == tuple(money("178.13", "-178.13"))


@given(lines, lines, st.integers(0, 500), st.integers(0, 900))
def test_a_budget_balances(income: list[Entered], spent: list[Entered], ewes: int, lambs: int) -> None:
    """Kinds add up to the totals, and lambs sold at the break-even price leave exactly nothing."""
    found: Budget = budget(income, spent, SoldCrop(ewes, Decimal(lambs)))
    assert sum(line.amount for line in found.income_by_kind) == found.income
    assert sum(line.amount for line in found.costs_by_kind) == found.costs + found.own_labour
    assert found.income - found.costs - found.own_labour == found.margin_after_labour
    for price, field in ((found.break_even, "margin"), (found.break_even_after_labour, "margin_after_labour")):
        assert (price is None) == (lambs == 0)
        if price is not None:
            assert abs(getattr(what_if(found, Decimal(lambs), price), field)) < Decimal("1e-15")


@given(lines)
def test_the_order_of_entries_never_matters(entries: list[Entered]) -> None:
    """Money is exact, so a sum read backwards is the same sum."""
    assert by_kind(entries) == by_kind(reversed(entries))
