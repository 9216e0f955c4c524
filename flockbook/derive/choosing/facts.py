"""What is worked out for choosing who stays."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.choosing.ewe_file import Testimony
from flockbook.derive.choosing.ewe_years import EweYears, Grounds, ewe_years
from flockbook.derive.choosing.ram_record import RamBook, ram_book
from flockbook.derive.choosing.reasons import Choice, choices
from flockbook.derive.health.facts import HealthFacts
from flockbook.derive.lambing.facts import LambingFacts
from flockbook.derive.medicine.facts import MedicineFacts
from flockbook.derive.plain.wing import Wing
from flockbook.derive.season.facts import SeasonFacts
from flockbook.derive.weights.facts import WeightsFacts


class ChoosingFacts(Wing):
    """Ewes' years, rams' records, and reasons for and against each ewe."""

    breeding: BreedingFacts
    weights: WeightsFacts
    lambing: LambingFacts
    season: SeasonFacts
    medicine: MedicineFacts
    health: HealthFacts

    @once
    def years(self) -> EweYears:
        """Each ewe's years at the ram."""
        bred, weaned = self.breeding, self.weights.weanings
        grounds = Grounds(
            self.flock, bred.matings, self.season.seasons, bred.evidence, self.lambing.fosters, weaned, self.today
        )
        return ewe_years(grounds)

    @once
    def choices(self) -> tuple[Choice, ...]:
        """Every ewe with the reasons for and against her."""
        weights, cases, guard = self.weights, self.health.cases, self.medicine.guard
        testimony = Testimony(
            self.flock,
            self.years,
            cases,
            weights.weanings,
            weights.gains,
            guard,
            self.settings,
            self.today,
            self.health.lame,
        )
        return choices(testimony)

    @once
    def rams(self) -> RamBook:
        """Every ram's record."""
        return ram_book(self.flock, self.season.seasons, self.weights.weanings, self.today)
