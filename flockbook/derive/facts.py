"""Everything that is worked out, wing by wing; nothing is made before it is asked for, but clearance."""

from __future__ import annotations

from functools import cached_property

from compiler.book import Moment
from compiler.diagnostics import Diagnostic
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.choosing.facts import ChoosingFacts
from flockbook.derive.family.facts import FamilyFacts
from flockbook.derive.farm.facts import FarmFacts
from flockbook.derive.growth.facts import GrowthFacts
from flockbook.derive.health.facts import HealthFacts
from flockbook.derive.lambing.facts import LambingFacts
from flockbook.derive.land.facts import LandFacts
from flockbook.derive.market.facts import MarketFacts
from flockbook.derive.medicine.facts import MedicineFacts
from flockbook.derive.plain.wing import Wing
from flockbook.derive.season.facts import SeasonFacts
from flockbook.derive.weights.facts import WeightsFacts
from flockbook.derive.year.facts import YearFacts
from flockbook.flock import Flock
from flockbook.settings import Settings


class Facts(Wing):
    """All facts on one day. What each wing makes, and from what, stands in the wing's own `facts.py`."""

    @cached_property
    def breeding(self) -> BreedingFacts:
        """Who ran with which ram, what scans saw, and who is due when."""
        return BreedingFacts(*self.known)

    @cached_property
    def weights(self) -> WeightsFacts:
        """What was weighed, what was gained, and who was weaned."""
        return WeightsFacts(*self.known)

    @cached_property
    def lambing(self) -> LambingFacts:
        """Labours, births, the newborn, and what is still owed after a birth."""
        return LambingFacts(*self.known, self.breeding)

    @cached_property
    def season(self) -> SeasonFacts:
        """The lambing seasons, and how they stand against each other."""
        return SeasonFacts(*self.known, self.breeding, self.weights, self.lambing)

    @cached_property
    def medicine(self) -> MedicineFacts:
        """What was given, who is clear to sell, and what stands in the cupboard."""
        return MedicineFacts(*self.known)

    @cached_property
    def health(self) -> HealthFacts:
        """Illness and worms."""
        return HealthFacts(*self.known, self.season)

    @cached_property
    def farm(self) -> FarmFacts:
        """Heads, money, supplies and the flock register."""
        return FarmFacts(*self.known, self.breeding, self.lambing, self.season)

    @cached_property
    def growth(self) -> GrowthFacts:
        """Weights on one footing, and what follows from them."""
        return GrowthFacts(*self.known, self.weights, self.season)

    @cached_property
    def family(self) -> FamilyFacts:
        """Who is related to whom, and what each is likely to pass on."""
        return FamilyFacts(*self.known, self.breeding, self.season, self.growth)

    @cached_property
    def choosing(self) -> ChoosingFacts:
        """Ewes' years, rams' records, and reasons for and against each ewe."""
        return ChoosingFacts(
            *self.known, self.breeding, self.weights, self.lambing, self.season, self.medicine, self.health
        )

    @cached_property
    def land(self) -> LandFacts:
        """Paddocks, who stands where, and the feed in the barn."""
        return LandFacts(*self.known, self.breeding, self.weights, self.farm)

    @cached_property
    def market(self) -> MarketFacts:
        """Who may leave."""
        return MarketFacts(*self.known, self.breeding, self.lambing, self.medicine, self.health)

    @cached_property
    def year(self) -> YearFacts:
        """What is to be done."""
        return YearFacts(
            *self.known, self.breeding, self.lambing, self.medicine, self.health, self.farm, self.land, self.market
        )

    @property
    def known(self) -> tuple[Flock, Settings, Moment]:
        """What every wing is worked out from."""
        return self.flock, self.settings, self.today


def derive(flock: Flock, settings: Settings, today: Moment) -> tuple[Facts, tuple[Diagnostic, ...]]:
    """The facts of a flock at a moment. Clearance is made at once: if that fails, no book is made."""
    facts = Facts(flock, settings, today)
    _ = facts.medicine.guard
    return facts, ()
