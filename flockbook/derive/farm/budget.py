"""A season's money: income, costs by kind, what is left with and without paying oneself, and what a lamb must fetch.

All amounts are Decimal in the flock's one currency. Lines are kept unrounded and rounded once, where they are shown
(`cents`). A negative margin or break-even price is an answer, not an error.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import ROUND_HALF_UP, Decimal

from compiler.shape import Value

LAMB_SALES = "lambs"  # the kind of income that the break-even price stands for
OWN_LABOUR = "own labour"  # the cost that no one is paid for: counted apart
CENT = Decimal("0.01")
NOTHING = Decimal(0)


class Entered(Value):
    """One entry of income or cost, by kind; both are above nought as a rule, a refund is below it."""

    kind: str
    amount: Decimal


class SoldCrop(Value):
    """What the money is shared over: ewes put to the ram, lambs sold (or their weight in the unit of the price)."""

    ewes_exposed: int
    lambs_sold: Decimal


class Budget(Value):
    """A season's sums. `costs` leaves own labour out; figures per ewe or lamb are None where there was none."""

    income: Decimal
    costs: Decimal
    own_labour: Decimal
    income_by_kind: tuple[Entered, ...]
    costs_by_kind: tuple[Entered, ...]
    crop: SoldCrop

    @property
    def margin(self) -> Decimal:
        """Income less costs, own labour unpaid."""
        return self.income - self.costs

    @property
    def margin_after_labour(self) -> Decimal:
        """Income less costs and less own labour."""
        return self.margin - self.own_labour

    @property
    def margin_per_ewe(self) -> Decimal | None:
        """Margin, own labour unpaid, for each ewe put to the ram."""
        return _shared(self.margin, Decimal(self.crop.ewes_exposed))

    @property
    def margin_per_ewe_after_labour(self) -> Decimal | None:
        """Margin after own labour for each ewe put to the ram."""
        return _shared(self.margin_after_labour, Decimal(self.crop.ewes_exposed))

    @property
    def other_income(self) -> Decimal:
        """Everything that came in but lambs: wool, culls, subsidy."""
        return self.income - _sum(line for line in self.income_by_kind if line.kind == LAMB_SALES)

    @property
    def break_even(self) -> Decimal | None:
        """What each lamb sold must fetch to cover the costs, own labour unpaid."""
        return break_even(self.costs, self.other_income, self.crop.lambs_sold)

    @property
    def break_even_after_labour(self) -> Decimal | None:
        """What each lamb sold must fetch to pay own labour too."""
        return break_even(self.costs + self.own_labour, self.other_income, self.crop.lambs_sold)


class WhatIf(Value):
    """The same season with another number of lambs sold at another price each; all else stays as it was."""

    lambs_sold: Decimal
    price: Decimal
    margin: Decimal
    margin_after_labour: Decimal


def budget(income: Iterable[Entered], costs: Iterable[Entered], crop: SoldCrop) -> Budget:
    """A season's budget. Costs of the kind `OWN_LABOUR` are counted apart. Kinds stand in order of size.

    Layout after Schoenian, U. Maryland (OSU Sheep Team 2020); margin as in NSW DPI's gross margin budgets.
    """
    came, spent = tuple(income), tuple(costs)
    own = [line for line in spent if line.kind == OWN_LABOUR]
    paid = [line for line in spent if line.kind != OWN_LABOUR]
    return Budget(_sum(came), _sum(paid), _sum(own), by_kind(came), by_kind(spent), crop)


def by_kind(lines: Iterable[Entered]) -> tuple[Entered, ...]:
    """One line for each kind, the largest first; equal amounts by name."""
    totals: dict[str, Decimal] = {}
    for line in lines:
        totals[line.kind] = totals.get(line.kind, NOTHING) + line.amount
    return tuple(Entered(kind, totals[kind]) for kind in sorted(totals, key=lambda kind: (-totals[kind], kind)))


def break_even(costs: Decimal, other_income: Decimal, sold: Decimal) -> Decimal | None:
    """Price at which lambs just cover the costs: (costs − all other income) ÷ lambs (or weight) sold; None for none.

    It may be below nought. Source: form of the Texas A&M AgriLife budgets of 2016, which prints negative ones.
    """
    return _shared(costs - other_income, sold)


def what_if(season: Budget, lambs_sold: Decimal, price: Decimal) -> WhatIf:
    """The margin had so many lambs been sold at such a price; costs and other income as they were."""
    margin = season.other_income + lambs_sold * price - season.costs
    return WhatIf(lambs_sold, price, margin, margin - season.own_labour)


def what_if_grid(season: Budget, lambs: Sequence[Decimal], prices: Sequence[Decimal]) -> tuple[tuple[WhatIf, ...], ...]:
    """One row for each number of lambs, one column for each price."""
    return tuple(tuple(what_if(season, sold, price) for price in prices) for sold in lambs)


def cents(amount: Decimal) -> Decimal:
    """Rounded to the cent, halves away from nought, as printed budgets do."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def _sum(lines: Iterable[Entered]) -> Decimal:
    return sum((line.amount for line in lines), NOTHING)


def _shared(amount: Decimal, over: Decimal) -> Decimal | None:
    return amount / over if over > 0 else None
