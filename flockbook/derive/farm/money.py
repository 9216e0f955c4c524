"""Money season by season: what came in, what it cost, what is left for each ewe exposed, what a lamb must fetch.

The sums themselves are those of `budget`; which note belongs to which season is said in `payments`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from decimal import Decimal

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.farm.budget import (
    LAMB_SALES,
    NOTHING,
    OWN_LABOUR,
    Budget,
    Entered,
    SoldCrop,
    WhatIf,
    budget,
    what_if_grid,
)
from flockbook.derive.farm.payments import Payment, Year, payments, sold_as
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.season.seasons import Season
from flockbook.flock import Flock, happened
from flockbook.records.trade import Sale
from flockbook.settings import Settings

# The what-if table: lambs sold and price each, a tenth and a fifth either way (our own choice).
WHAT_IF_STEPS = (Decimal("0.8"), Decimal("0.9"), Decimal(1), Decimal("1.1"), Decimal("1.2"))
ONE = Decimal(1)


class MoneySeason(Value):
    """One season's money. `price` is what each of the `priced` lambs fetched on average, those sold whose sum counts;
    `what_ifs`: a row for each number sold.
    """

    season: int
    budget: Budget
    payments: tuple[Payment, ...]
    price: Decimal | None
    what_ifs: tuple[tuple[WhatIf, ...], ...] = ()
    priced: int = 0

    @property
    def exposed(self) -> int:
        """Ewes put to the ram."""
        return self.budget.crop.ewes_exposed

    @property
    def lambs_sold(self) -> int:
        """Lambs sold, by the sales: also those whose price is not written, or is left out of the sums."""
        return int(self.budget.crop.lambs_sold)


class MoneyBook(Value):
    """All seasons with any money, oldest first; when money years begin; and the sums left out, with the reason."""

    seasons: tuple[MoneySeason, ...] = ()
    year: Year = field(default_factory=lambda: Year(10))
    left_out: tuple[Payment, ...] = ()


class Bred(Value):
    """The breeding that money is counted by: who was put to the ram, the births, and the seasons."""

    found: Matings
    births: tuple[LambingFact, ...]
    seasons: tuple[Season, ...]


def money(flock: Flock, settings: Settings, bred: Bred, today: Moment) -> MoneyBook:
    """The money of all seasons."""
    found = bred.found
    sums, year = payments(flock, found, bred.births, today, settings.currency)
    counted = [one for one in sums if not one.left_out]
    exposed = {season.season: season.counts.exposed for season in bred.seasons}
    put = {number: ewes(found, exposed, number) for number in sorted({one.season for one in counted})}
    own, lambs = own_labour(settings), lambs_sold(flock, found, today)
    seasons = tuple(
        money_of_season(
            number, tuple(one for one in counted if one.season == number), SoldCrop(many, Decimal(lambs[number])),
            own if many else NOTHING,
        )
        for number, many in put.items()
    )  # fmt: skip
    return MoneyBook(seasons, year, tuple(one for one in sums if one.left_out))


def lambs_sold(flock: Flock, found: Matings, today: Moment) -> Counter[int]:
    """Lambs sold of each season, whatever is written of their price."""
    sales = [sale for sale in flock.of(Sale) if sale.date and happened(sale, today)]
    sold = [sold_as(flock.animals[sheep], sale.date, found) for sale in sales if sale.date for sheep in flock.who(sale)]
    return Counter(season for kind, season in sold if kind == LAMB_SALES)


def money_of_season(number: int, sums: tuple[Payment, ...], crop: SoldCrop, own: Decimal) -> MoneySeason:
    """One season's money."""
    came = [Entered(one.kind, one.amount) for one in sums if one.income]
    spent = [Entered(one.kind, one.amount) for one in sums if not one.income]
    priced = sum(one.lambs for one in sums)
    made = budget(came, [*spent, *([Entered(OWN_LABOUR, own)] if own else [])], crop)
    fetched = sum((line.amount for line in came if line.kind == LAMB_SALES), Decimal(0))
    price = fetched / priced if priced else None
    return MoneySeason(number, made, sums, price, what_if_table(made, crop.lambs_sold, price), priced)


def what_if_table(made: Budget, lambs: Decimal, price: Decimal | None) -> tuple[tuple[WhatIf, ...], ...]:
    """What would be left had more or fewer lambs been sold, dearer or cheaper; whole lambs, each number once."""
    if price is None:
        return ()
    numbers = sorted({(lambs * step).quantize(ONE) for step in WHAT_IF_STEPS})
    return what_if_grid(made, numbers, [price * step for step in WHAT_IF_STEPS])


def ewes(found: Matings, exposed: Mapping[int, int], season: int) -> int:
    """Ewes put to the ram for a season; for one that has not begun to lamb, those with a ram so far."""
    return exposed[season] if season in exposed else len(found.of_season(season))


def own_labour(settings: Settings) -> Decimal:
    """What the shepherd's own work of a year would cost, from the settings; nought when they do not say."""
    hours, worth = settings.file.own_hours, settings.file.hour_worth
    return Decimal(str(hours)) * Decimal(str(worth)) if hours and worth else Decimal(0)
