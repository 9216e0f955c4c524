"""The flock's pedigree from its notes, and what follows from it: inbreeding, how much is known, and pairings to avoid.

A sire counts only when he is certain; where several rams are possible the sire is unknown, and is counted as such.
"""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import Moment
from compiler.families import once
from compiler.shape import Value
from flockbook.derive.breeding.mating import Matings, sires
from flockbook.derive.family.kinship import Pairing, inbreeding, kinship_grid, relationship
from flockbook.derive.family.pedigree import Parentage, Pedigree, PedigreeFault, generations_known, order_pedigree
from flockbook.flock import Animal, Flock, there
from flockbook.records.sheep import EWE, RAM

SAME_INBREEDING = 1e-9  # an inbreeding that differs from the limit by no more is the limit


class Family(Value, dict=True):
    """The pedigree; everything else is worked out when it is first asked for."""

    parentages: tuple[Parentage, ...] = ()
    rams: tuple[str, ...] = ()
    ewes: tuple[str, ...] = ()

    @once
    def ordered(self) -> tuple[Pedigree, tuple[PedigreeFault, ...]]:
        """The pedigree with parents before lambs, and the contradictions for which links were dropped."""
        return order_pedigree(self.parentages)

    @once
    def inbreeding(self) -> dict[str, float]:
        """F of every animal, as a share."""
        return inbreeding(self.ordered[0])

    def sure_inbreeding(self, animal: str) -> float | None:
        """F of one animal; None where its pedigree contradicts itself, or it is not in the book."""
        return None if animal in self.ordered[0].doubted else self.inbreeding.get(animal)

    @once
    def generations(self) -> dict[str, float]:
        """Full generations of ancestors known, for every animal."""
        return generations_known(self.ordered[0])

    @once
    def pairings(self) -> tuple[Pairing, ...]:
        """Every living ram with every living ewe: how inbred their lambs would be."""
        return kinship_grid(self.ordered[0], self.rams, self.ewes)

    def relationship(self, one: str, other: str) -> float | None:
        """How closely two animals are related; None where one is not in the book or contradicts itself."""
        pedigree = self.ordered[0]
        sure = all(animal in pedigree.position and animal not in pedigree.doubted for animal in (one, other))
        return relationship(pedigree, one, other) if sure else None

    def lambs_inbreeding(self, pair: Pairing) -> float | None:
        """F of the lambs of a pairing; None where the pedigree of one of the two contradicts itself."""
        return None if {pair.ram, pair.ewe} & self.ordered[0].doubted else pair.inbreeding


def close_pairs(kin: Family, rams: Iterable[str], ewes: Iterable[str], limit: float) -> tuple[Pairing, ...]:
    """The rams and ewes whose lambs would be more inbred than the limit, closest first; the limit itself is allowed."""
    grid = kinship_grid(kin.ordered[0], tuple(rams), tuple(ewes))
    over = [item for item in grid if (kin.lambs_inbreeding(item) or 0.0) > limit + SAME_INBREEDING]
    return tuple(sorted(over, key=lambda item: (-item.inbreeding, item.ram, item.ewe)))


def family(flock: Flock, found: Matings, today: Moment) -> Family:
    """The pedigree of everybody in the book; parents from outside stand in it by name."""
    living = [animal for animal in flock.animals.values() if there(animal, today)]
    return Family(
        tuple(parentage(found, animal) for animal in flock.animals.values()),
        tuple(animal.id for animal in living if animal.sex == RAM and grown(animal, today)),
        tuple(animal.id for animal in living if animal.sex == EWE and grown(animal, today)),
    )


def parentage(found: Matings, animal: Animal) -> Parentage:
    """One animal's parents, as far as they are certain."""
    fathers = sires(found, animal)
    outside = animal.sire_names[0] if len(animal.sire_names) == 1 else None
    sire = fathers[0] if len(fathers) == 1 else f"{outside} (from outside)" if outside and not fathers else None
    dam = animal.dam or (f"{animal.dam_name} (from outside)" if animal.dam_name else None)
    return Parentage(animal.id, sire, dam)


def grown(animal: Animal, today: Moment) -> bool:
    """Old enough to be bred from: half a year (puberty at five months at the earliest, New Mexico State University)."""
    return animal.born is None or (today.day - animal.born.earliest).days >= 150
