"""What is worked out about families of sheep."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.family.family import Family, family
from flockbook.derive.family.merit_records import MeritSources
from flockbook.derive.family.merits import Merits
from flockbook.derive.growth.facts import GrowthFacts
from flockbook.derive.plain.wing import Wing
from flockbook.derive.season.facts import SeasonFacts


class FamilyFacts(Wing):
    """Who is related to whom, and what each is likely to pass on."""

    breeding: BreedingFacts
    season: SeasonFacts
    growth: GrowthFacts

    @once
    def kin(self) -> Family:
        """The pedigree, inbreeding, and how related any two are."""
        return family(self.flock, self.breeding.matings, self.today)

    @once
    def merit(self) -> Merits:
        """Breeding values; they need scipy."""
        known = MeritSources(self.growth.ground, self.growth.adjusted, self.season.seasons, self.today)
        return Merits(self.kin, self.settings.heritabilities, known)
