"""Fleeces: what each sheep's weighed, year by year, what they weighed together, and what the wool brought."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.farm.money import MoneyBook
from flockbook.flock import Flock, happened
from flockbook.records.handling import Job

WOOL = frozenset({"wool", "fleeces", "fleece"})


class Fleece(Value):
    """One fleece, or that of several sheep weighed together (`heads`); `kg` for all of them."""

    day: date
    sheep: tuple[str, ...]
    kg: float
    heads: int
    fleece_class: str
    remark: str
    note: str
    line: int
    before_kg: float | None = None

    @property
    def each_kg(self) -> float:
        """What one weighed."""
        return self.kg / self.heads


class FleeceYear(Value):
    """One calendar year: its fleeces, and what came in for wool (None where no sum is written)."""

    year: int
    fleeces: tuple[Fleece, ...]
    income: Decimal | None

    @property
    def kg(self) -> float:
        """All of it."""
        return sum(item.kg for item in self.fleeces)

    @property
    def heads(self) -> int:
        """From how many sheep."""
        return sum(item.heads for item in self.fleeces)

    @property
    def by_class(self) -> tuple[tuple[str, int, float], ...]:
        """Class, heads and weight, the heaviest first; "" for those not classed."""
        found: dict[str, tuple[int, float]] = {}
        for item in self.fleeces:
            heads, kg = found.get(item.fleece_class, (0, 0.0))
            found[item.fleece_class] = (heads + item.heads, kg + item.kg)
        return tuple(sorted(((name, *sums) for name, sums in found.items()), key=lambda row: -row[2]))


def fleece_years(flock: Flock, money: MoneyBook, today: Moment) -> tuple[FleeceYear, ...]:
    """Every year with a fleece, oldest first."""
    found = list(with_before(fleeces_of(flock, today)))
    income: dict[int, Decimal] = {}
    for season in money.seasons:
        for one in season.payments:
            if one.income and one.kind in WOOL:
                income[one.day.year] = income.get(one.day.year, Decimal(0)) + one.amount
    years = sorted({item.day.year for item in found})
    return tuple(
        FleeceYear(year, tuple(item for item in found if item.day.year == year), income.get(year)) for year in years
    )


def fleeces_of(flock: Flock, today: Moment) -> Iterator[Fleece]:
    """Every fleece in order of time: those of lines, and the field of a note for whoever has no line of its own."""
    for event in flock.of(Job):
        if event.date is None or not happened(event, today):
            continue
        path, lined = event.origin.path, []
        for line in event.lines:
            if sheep := flock.named(event, line.sheep):
                lined.append(sheep)
                classed = line.fleece_class or event.fleece_class or ""
                yield Fleece(event.date, (sheep,), line.weight.kg, 1, classed, line.remark, path, line.span.line)
        rest = tuple(sheep for sheep in flock.who(event) if sheep not in lined)
        if event.fleece and (rest or not lined):
            heads = max(len(rest), (event.count or 0) - len(lined), 1)
            at = event.origin.span("fleece").line
            yield Fleece(event.date, rest, event.fleece.kg, heads, event.fleece_class or "", "", path, at)


def with_before(found: Iterable[Fleece]) -> Iterator[Fleece]:
    """Each fleece with what the same sheep's weighed the time before."""
    last: dict[str, float] = {}
    for item in found:
        alone = item.sheep[0] if len(item.sheep) == 1 else ""
        yield replace(item, before_kg=last.get(alone)) if alone else item
        if alone:
            last[alone] = item.kg
