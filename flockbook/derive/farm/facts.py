"""What is worked out about the farm."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.farm.ages import AgeBook, age_book
from flockbook.derive.farm.fleeces import FleeceYear, fleece_years
from flockbook.derive.farm.flock_register import FlockRegister, flock_register
from flockbook.derive.farm.head_counts import CountFact, head_counts
from flockbook.derive.farm.kit import Kit, kit
from flockbook.derive.farm.loss_worth import LossSources, SeasonLosses, season_losses
from flockbook.derive.farm.money import Bred, MoneyBook, money
from flockbook.derive.farm.supply_use import SupplyUse, supply_use
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
        bred = Bred(self.breeding.matings, self.lambing.births, self.season.years)
        return money(self.flock, self.settings, bred, self.today)

    @once
    def fleeces(self) -> tuple[FleeceYear, ...]:
        """Fleeces year by year."""
        return fleece_years(self.flock, self.money, self.today)

    @once
    def losses(self) -> tuple[SeasonLosses, ...]:
        """What each season's losses cost."""
        known = LossSources(self.flock, self.settings, self.register, self.money)
        return season_losses(known, self.season.years)

    @once
    def ages(self) -> AgeBook:
        """How old the ewes are, and how many went, died and came in each season."""
        return age_book(self.flock, self.season.years, self.today)

    @once
    def kit(self) -> Kit:
        """Supplies: what there is and what will be needed."""
        return kit(self.flock, self.breeding.due, self.season.years, self.today)

    @once
    def used(self) -> tuple[SupplyUse, ...]:
        """What of each supply last season's use comes to for the births ahead."""
        return supply_use(self.kit, self.season.years, self.season.days)

    @once
    def register(self) -> FlockRegister:
        """The flock register: identities, movements, deaths."""
        return flock_register(self.flock, self.settings, self.today)
