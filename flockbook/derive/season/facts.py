"""What is worked out about whole seasons."""

from __future__ import annotations

from compiler.families import once
from compiler.shape import replace
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.lambing.facts import LambingFacts
from flockbook.derive.plain.wing import Wing
from flockbook.derive.season.compare import Comparisons, comparisons
from flockbook.derive.season.season_days import SeasonDays, season_days
from flockbook.derive.season.seasons import Season, seasons
from flockbook.derive.weights.facts import WeightsFacts


class SeasonFacts(Wing):
    """The lambing seasons, and how they stand against each other."""

    breeding: BreedingFacts
    weights: WeightsFacts
    lambing: LambingFacts

    @once
    def seasons(self) -> tuple[Season, ...]:
        """Every season, the first one first."""
        return seasons(self.flock, self.breeding.matings, self.lambing.births, self.weights.weanings, self.today)

    @once
    def years(self) -> tuple[Season, ...]:
        """The same with all rounds of a lambing year as one, for what is reckoned by the year."""
        bred = self.breeding.matings
        if not bred.rounds:
            return self.seasons
        whole = replace(bred, rounds={})
        return seasons(self.flock, whole, self.lambing.births, self.weights.weanings, self.today)

    @once
    def days(self) -> SeasonDays:
        """Which season a day belongs to."""
        return season_days(self.years)

    @once
    def compare(self) -> Comparisons:
        """The seasons held against each other; its exact limits need scipy."""
        return comparisons(self.seasons)
