"""Breeding values of the whole flock, worked out when they are first asked for: they need scipy, and a while."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.families import once
from compiler.recollection import library_state, worked_out
from compiler.shape import Value, field
from flockbook.derive.family.family import Family
from flockbook.derive.family.merit import Evaluation, Merit, Missing, Trial, evaluate, too_little
from flockbook.derive.family.merit_records import MeritSources, NoAge, trials, without_age
from flockbook.derive.family.pedigree import unknown_parents
from flockbook.heritabilities import Heritability


class ToldValue(Value):
    """One breeding value as it may be shown: `telling` is False where its reliability is too little to say anything."""

    trait: str
    merit: Merit
    telling: bool


class Merits(Value, dict=True):
    """All traits of all animals; nothing is worked out before it is asked for."""

    family: Family = field(default_factory=Family)
    heritabilities: Mapping[str, Heritability] = field(default_factory=dict)
    known: MeritSources | None = None

    @once
    def trials(self) -> Mapping[str, Trial]:
        """The records by trait."""
        return trials(self.known) if self.known else {}

    @once
    def evaluations(self) -> Mapping[str, Evaluation]:
        """What was worked out, by trait; empty where the `merit` extra is not installed."""
        made = {trait: self.evaluated(trait) for trait in self.trials}
        return {trait: found for trait, found in made.items() if isinstance(found, Evaluation)}

    def evaluated(self, trait: str) -> Evaluation | Missing:
        """One trait, worked out or remembered: nothing that it rests on has changed then, the libraries included."""
        family, trial = self.family, self.trials[trait]
        known = (family.ordered[0], family.inbreeding, trial, self.heritabilities[trait])
        libraries = (library_state("numpy"), library_state("scipy"))
        return worked_out(trait, Evaluation, (*known, *libraries), lambda: evaluate(*known))

    @property
    def missing(self) -> Missing | None:
        """What has to be installed before anything can be worked out, or None."""
        return Missing() if self.trials and not self.evaluations else None

    @once
    def by_sheep(self) -> Mapping[str, tuple[ToldValue, ...]]:
        """The values of every animal, by id; none of those whose pedigree contradicts itself."""
        doubted = self.family.ordered[0].doubted
        found: dict[str, list[ToldValue]] = {}
        for trait, evaluation in self.evaluations.items():
            sure = (merit for merit in evaluation.merits if merit.animal not in doubted)
            for merit in sure if evaluation.records else ():
                found.setdefault(merit.animal, []).append(ToldValue(trait, merit, self.telling(merit)))
        return {animal: tuple(told) for animal, told in found.items()}

    def telling(self, merit: Merit) -> bool:
        """Whether a value says enough to be shown; nothing is said of sheep whose pedigree contradicts itself."""
        return not too_little(merit.reliability) and merit.animal not in self.family.ordered[0].doubted

    @once
    def without_age(self) -> tuple[tuple[str, float, NoAge], ...]:
        """Weaning weights (lamb, kg, why) that are left out because they cannot be brought to one age."""
        return tuple(without_age(self.known)) if self.known else ()

    @once
    def unknown_parents(self) -> Mapping[str, int]:
        """How many of each animal's two parents are not known."""
        return unknown_parents(self.family.ordered[0])

    def of(self, sheep: str) -> tuple[ToldValue, ...]:
        """One animal's values, one for each trait that anything was recorded of."""
        return self.by_sheep.get(sheep, ())
