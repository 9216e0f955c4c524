"""What is worked out about growth."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.families import once
from flockbook.derive.growth.adjusted_weights import Adjusted, AdjustingSources, Weighings, adjusted_weights, grounds
from flockbook.derive.growth.ewe_efficiency import Reared, ewes_that_reared
from flockbook.derive.growth.own_effects import OwnEffects, own_effects
from flockbook.derive.growth.sale_weights import SaleWeight, sale_weights
from flockbook.derive.plain.wing import Wing
from flockbook.derive.season.facts import SeasonFacts
from flockbook.derive.weights.facts import WeightsFacts


class GrowthFacts(Wing):
    """Weights on one footing, and what follows from them."""

    weights: WeightsFacts
    season: SeasonFacts

    @once
    def ground(self) -> AdjustingSources:
        """What every adjustment rests on."""
        known = Weighings(self.weights.gains, self.weights.weanings, self.season.days)
        return grounds(self.flock, self.settings.factors, known, self.today)

    @once
    def adjusted(self) -> Mapping[str, Adjusted]:
        """Every lamb's weight brought to one age and one footing, by id."""
        return adjusted_weights(self.ground)

    @once
    def own_effects(self) -> OwnEffects:
        """What dam's age, sex and rearing are worth here; needs numpy."""
        return own_effects(self.adjusted)

    @once
    def reared(self) -> tuple[Reared, ...]:
        """What each ewe reared for her own weight."""
        return ewes_that_reared(self.ground)

    @once
    def sale_weights(self) -> tuple[SaleWeight, ...]:
        """Sales by weight."""
        return sale_weights(self.flock, self.weights.gains, self.today)
