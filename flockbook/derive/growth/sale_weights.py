"""What sheep sold for by weight: a price each over the live weight, and what that is for a kilogram of carcass."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from math import log
from statistics import fmean

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.farm.payments import heads, price_in_total, weight_of_all
from flockbook.derive.weights.gains import Growth
from flockbook.flock import Flock, happened
from flockbook.records.trade import Sale

NEAR_DAYS = 28  # a weight so long before the sale stands in for the one at the sale (our own choice)
LIKELY_KG = 45.0  # a sheep for sale, where none of those sold was weighed in the weeks before (our own choice)


class SaleWeight(Value):
    """One sale of which price and weight are known. `live_kg` is for each sheep: from the note (of each or of all, as
    is nearer to what they weighed), or the mean of the last weights of `weighed` of the `count` sheep; `price` is for
    each.
    """

    note: str
    day: date
    count: int
    price: Decimal
    live_kg: float
    weighed: int
    by_note: bool

    @property
    def per_kg(self) -> Decimal:
        """Price for a kilogram of live weight."""
        return self.price / Decimal(repr(self.live_kg))


def sale_weights(flock: Flock, grew: Mapping[str, Growth], today: Moment) -> tuple[SaleWeight, ...]:
    """Every sale with a price and a weight, in order of time."""
    sales = [event for event in flock.events if isinstance(event, Sale) and happened(event, today)]
    return tuple(item for event in sales if (item := one_sale(flock, grew, event)))


def one_sale(flock: Flock, grew: Mapping[str, Growth], event: Sale) -> SaleWeight | None:
    """One sale, or None where price, number or weight is not known."""
    count = heads(flock, event)
    if event.date is None or event.price is None or not event.price.basis or not count:
        return None
    together = weight_of_all(flock, event, count)
    total = price_in_total(event.price, count, together)
    if total is None:
        return None
    price = total / count
    weights = list(last_weights(grew, flock.who(event), event.date))
    if event.weight:
        likely = fmean(weights) if weights else LIKELY_KG
        kg = together / count if together is not None else for_each(event.weight.kg, count, likely)
        return SaleWeight(event.origin.path, event.date, count, price, kg, count, True)
    if not weights:
        return None
    return SaleWeight(event.origin.path, event.date, count, price, fmean(weights), len(weights), False)


def for_each(kg: float, count: int, likely: float) -> float:
    """A typed weight as that of each sheep: it is theirs together where that comes nearer to what they weigh."""
    return min((kg, kg / count), key=lambda each: abs(log(each / likely)))


def last_weights(grew: Mapping[str, Growth], sheep: tuple[str, ...], day: date) -> Iterator[float]:
    """The last weight of each sheep within four weeks before a day."""
    for one in sheep:
        near = [
            item.kg
            for item in (grew[one].weights if one in grew else ())
            if item.sure and 0 <= (day - item.date).days <= NEAR_DAYS
        ]
        if near:
            yield near[-1]
