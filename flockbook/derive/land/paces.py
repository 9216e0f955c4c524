"""How fast a feed went between its last two counts, and when the rest is gone at that pace."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal

from compiler.shape import Value
from flockbook.derive.farm.kit import SupplyFact, supply_quantity
from flockbook.derive.plain.because import Because, Reason
from flockbook.records.cupboard import Stock

FARTHEST = 3660  # days: no feed is reckoned farther ahead than ten years (our own choice)


class FeedCounted(Reason):
    """A count of a feed as it was typed."""

    amount: str | None
    day: date | None


class Pace(Value):
    """What went from one count to the next, bought and binned counted in; `gone` is the first day with none left."""

    first: date
    last: date
    went: Decimal
    gone: date
    because: tuple[Because, ...] = ()

    @property
    def days(self) -> int:
        """Days from count to count."""
        return (self.last - self.first).days

    @property
    def each_day(self) -> Decimal:
        """How much went in a day."""
        return self.went / self.days


def pace_of(item: SupplyFact) -> Pace | None:
    """The pace between the last two counts; None where fewer are written, or there was not less at the second."""
    places = [place for place, note in enumerate(item.stock) if note.counted and note.date]
    if len(places) < 2 or item.have is None or item.have <= 0:
        return None
    before, after = item.stock[places[-2]], item.stock[places[-1]]
    start, end = read(before.counted, item.unit), read(after.counted, item.unit)
    if start is None or end is None or before.date is None or after.date is None:
        return None
    went, days = (
        start + bought_step(item.stock[places[-2] : places[-1]], item.unit) - end,
        (after.date - before.date).days,
    )
    if went <= 0 or days <= 0:
        return None
    written = max(note.date for note in item.stock if note.date)
    left = min(int(item.have * days / went), FARTHEST)
    steps = tuple(count_step(note) for note in (after, before))
    return Pace(before.date, after.date, went, written + timedelta(left), steps)


def count_step(note: Stock) -> Because:
    """One count, as a step of the working."""
    line = note.origin.span("counted").line or None
    return Because(note.origin.path, line, "feed", reason=FeedCounted(note.counted, note.date))


def bought_step(notes: Iterable[Stock], unit: str) -> Decimal:
    """What came in."""
    return sum((read(note.bought, unit) or Decimal(0) for note in notes), Decimal(0))


def read(text: str | None, unit: str) -> Decimal | None:
    """An amount in the unit of its supply."""
    return supply_quantity(text, unit, []) if text else None
