"""What is worked out about the farm."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.farm.flock_register import FlockRegister, flock_register
from flockbook.derive.farm.head_counts import CountFact, head_counts
from flockbook.derive.farm.kit import Kit, kit
from flockbook.derive.farm.money import Bred, MoneyBook, money
from flockbook.derive.lambing.facts import LambingFacts
from flockbook.derive.plain.wing import Wing
from flockbook.derive.season.facts import SeasonFacts


class FarmFacts(Wing):
    """Heads, money, supplies and the flock register."""

    breeding: BreedingFacts
    lambing: LambingFacts
    season: SeasonFacts

    @once
    def head_counts(self) -> tuple[CountFact, ...]:
        """Every count of heads beside the notes."""
        return head_counts(self.flock, self.today)

    @once
    def money(self) -> MoneyBook:
        """What came in and what went out."""
        bred = Bred(self.breeding.matings, self.lambing.births, self.season.seasons)
        return money(self.flock, self.settings, bred, self.today)

    @once
    def kit(self) -> Kit:
        """Supplies: what there is and what will be needed."""
        return kit(self.flock, self.breeding.due, self.season.seasons, self.today)

    @once
    def register(self) -> FlockRegister:
        """The flock register: identities, movements, deaths."""
        return flock_register(self.flock, self.settings, self.today)
