"""What each loss cost, season by season: lambs by stage and cause, and the grown sheep that died.

A lamb counts as `loss value` in the settings says, else as the mean price of the lambs sold of its season; a ewe or a
ram only where the settings say what it was worth. Nothing is assumed where neither is written.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from decimal import Decimal

from compiler.shape import Value
from flockbook.derive.farm.flock_register import FlockRegister
from flockbook.derive.farm.money import MoneyBook
from flockbook.derive.season.seasons import Season
from flockbook.flock import Flock
from flockbook.records.sheep import EWE, RAM
from flockbook.settings import Settings

LAMB_WORTH, EWE_WORTH, RAM_WORTH = "lamb", "ewe", "ram"


class LossOf(Value):
    """So many lost of one sort (`lamb`, `ewe`, `ram`), what each was worth (None: not known), and all together."""

    sort: str
    heads: int
    each: Decimal | None
    typed: bool = False

    @property
    def cost(self) -> Decimal | None:
        """What they cost together."""
        return None if self.each is None else self.each * self.heads


class SeasonLosses(Value):
    """One season's losses: by sort, and its lambs by stage and by cause."""

    season: int
    sorts: tuple[LossOf, ...]
    by_stage: tuple[LossOf, ...]
    by_cause: tuple[LossOf, ...]
    exposed: int

    @property
    def cost(self) -> Decimal | None:
        """What all of them cost, as far as a worth is known; None where none is."""
        known = [item.cost for item in self.sorts if item.cost is not None and item.heads]
        return sum(known, Decimal(0)) if known else None

    @property
    def each_ewe(self) -> Decimal | None:
        """The same for each ewe put to the ram."""
        return self.cost / self.exposed if self.cost is not None and self.exposed else None


class LossSources(Value):
    """What losses are worked out from."""

    flock: Flock
    settings: Settings
    register: FlockRegister
    money: MoneyBook


def season_losses(known: LossSources, seasons: Iterable[Season]) -> tuple[SeasonLosses, ...]:
    """Every season that anything was lost in, oldest first."""
    prices = {item.season: item.price for item in known.money.seasons}
    found = (losses_of(known, season, prices) for season in seasons)
    return tuple(item for item in found if any(part.heads for part in item.sorts))


def losses_of(known: LossSources, season: Season, prices: Mapping[int, Decimal | None]) -> SeasonLosses:
    """One season."""
    values = known.settings.loss_values
    each, typed = values.get(LAMB_WORTH, prices.get(season.season)), LAMB_WORTH in values
    stages = season.counts.dead_by_stage
    causes = Counter(item.cause for item in season.lost) + Counter(season.counts.unborn)
    grown = {sort: grown_dead(known, season.season, sex) for sort, sex in ((EWE_WORTH, EWE), (RAM_WORTH, RAM))}
    sorts = (
        LossOf(LAMB_WORTH, sum(stages.values()), each, typed),
        *(LossOf(sort, heads, values.get(sort), sort in values) for sort, heads in grown.items()),
    )
    return SeasonLosses(
        season.season, sorts,
        tuple(LossOf(stage, heads, each, typed) for stage, heads in stages.items() if heads),
        tuple(LossOf(cause, heads, each, typed) for cause, heads in causes.most_common()),
        season.counts.exposed,
    )  # fmt: skip


def grown_dead(known: LossSources, year: int, sex: str) -> int:
    """How many grown sheep of a sex died in a calendar year; a hired ram is another's."""
    animals = known.flock.animals
    return sum(
        entry.day.year == year and animals[entry.sheep].sex == sex and not animals[entry.sheep].lent
        and no_lamb_of(known, entry.sheep, year)
        for entry in known.register.deaths
    )  # fmt: skip


def no_lamb_of(known: LossSources, sheep: str, year: int) -> bool:
    """Whether a sheep was no lamb of that year."""
    born = known.flock.animals[sheep].born
    return born is None or born.year < year
