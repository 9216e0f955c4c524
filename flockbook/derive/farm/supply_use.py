"""What the shed will need by last season's own use: so much of a supply for each birth, times the births ahead."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from compiler.shape import Value
from flockbook.derive.farm.kit import AmountFault, Kit, SupplyFact, supply_quantity
from flockbook.derive.season.season_days import SeasonDays
from flockbook.derive.season.seasons import Season


class SupplyUse(Value):
    """One supply: what was used in the last whole season that lambed, and what that comes to for the births ahead."""

    name: str
    unit: str
    season: int
    used: Decimal
    births: int
    expected: int
    have: Decimal | None

    @property
    def need(self) -> Decimal:
        """What the births ahead would use."""
        return self.used * self.expected / self.births

    @property
    def short(self) -> Decimal:
        """What of it is not there."""
        return max(self.need - max(self.have or Decimal(0), Decimal(0)), Decimal(0))


def supply_use(kit: Kit, seasons: tuple[Season, ...], days: SeasonDays) -> tuple[SupplyUse, ...]:
    """Every supply of which the last season used any."""
    last = next((item for item in reversed(seasons) if item.births and not item.running), None)
    if last is None or not kit.crowd.ewes:
        return ()
    return tuple(use for item in kit.supplies for use in use_of(item, last, kit, days))


def use_of(item: SupplyFact, last: Season, kit: Kit, days: SeasonDays) -> Iterator[SupplyUse]:
    """One supply's use, where any was written; an amount that cannot be read is told elsewhere."""
    doubts: list[AmountFault] = []
    amounts = [
        supply_quantity(note.used, item.unit, doubts)
        for note in item.stock
        if note.used and note.date and days.of(note.date) == last.season
    ]
    used = sum((amount for amount in amounts if amount is not None), Decimal(0))
    if used and not doubts:
        yield SupplyUse(item.name, item.unit, last.season, used, len(last.births), kit.crowd.ewes, item.have)
