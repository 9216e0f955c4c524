"""What each ewe weaned for her own weight: kilograms of lamb she reared to weaning over the ewe's weight.

Ratio: Bevan (Darlington & Stockton Times), SAC Consulting. It favours light ewes, so it stands beside both weights and
names nobody good or bad (McHugh et al. 2018, J. Anim. Sci. 96:2051, on ratio traits).
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from compiler.shape import Value
from flockbook.derive.growth.adjusted_weights import AdjustingSources
from flockbook.derive.growth.projection import ewe_efficiency
from flockbook.derive.plain.days import YEAR
from flockbook.flock import Animal


class Reared(Value):
    """What one ewe weaned in one season. `unweighed` lambs were weaned without a weight; then, and where her own weight
    is not known, `share` is None. `typed` says that her weight is the mature weight of her note, no weighing.
    """

    ewe: str
    season: int
    day: date
    lambs: tuple[str, ...]
    litter_kg: float
    unweighed: int
    ewe_kg: float | None
    weighed_on: date | None
    share: float | None

    @property
    def typed(self) -> bool:
        """Whether her weight is that of her own note."""
        return self.ewe_kg is not None and self.weighed_on is None


def ewes_that_reared(ground: AdjustingSources) -> tuple[Reared, ...]:
    """Every ewe that weaned lambs, by season, the most for her weight first; lambs on the bottle are nobody's."""
    litters: dict[tuple[int, str], list[Animal]] = {}
    for animal in ground.flock.animals.values():
        ewe = animal.reared_by or animal.dam
        if ewe and animal.birthday and animal.id in ground.weanings.days and animal.id not in ground.pets:
            litters.setdefault((ground.seasons.of(animal.birthday), ewe), []).append(animal)
    rows = [of_ewe(ground, season, ewe, lambs) for (season, ewe), lambs in litters.items()]
    return tuple(sorted(rows, key=lambda row: (row.season, -(row.share or 0.0), row.ewe)))


def of_ewe(ground: AdjustingSources, season: int, ewe: str, lambs: list[Animal]) -> Reared:
    """One ewe's litter."""
    weights = [ground.weanings.weights[lamb.id] for lamb in lambs if lamb.id in ground.weanings.weights]
    day = max(ground.weanings.days[lamb.id] for lamb in lambs)
    kg, weighed_on = ewe_weight(ground, ground.flock.animals[ewe], day)
    whole = kg and len(weights) == len(lambs)
    share = ewe_efficiency(sum(weights), kg) if whole and kg else None
    names = tuple(lamb.id for lamb in lambs)
    return Reared(ewe, season, day, names, sum(weights), len(lambs) - len(weights), kg, weighed_on, share)


def ewe_weight(ground: AdjustingSources, ewe: Animal, day: date) -> tuple[float | None, date | None]:
    """A ewe's weight at a weaning: her last within a year before it, else the mature weight of her note."""
    grown = ground.growth.get(ewe.id)
    for item in reversed(grown.weights if grown else ()):
        # a weight counts for a weaning up to a year later, and from a year of age (our own choice)
        old = ewe.born is None or item.date - ewe.born.earliest >= YEAR
        if item.sure and old and day - YEAR <= item.date <= day:
            return item.kg, item.date
    mature = ewe.note.mature_weight if ewe.note else None
    return (mature.kg if mature else None), None


def of_season(rows: Iterable[Reared], season: int) -> tuple[float, float, int]:
    """Kilograms weaned, kilograms of ewe, and how many ewes, over those of a season whose share is known."""
    whole = [row for row in rows if row.season == season and row.share is not None]
    return sum(row.litter_kg for row in whole), sum(row.ewe_kg or 0.0 for row in whole), len(whole)
