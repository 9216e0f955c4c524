"""What is worked out about land."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.farm.facts import FarmFacts
from flockbook.derive.land.eaters import Bodies, eaters
from flockbook.derive.land.feed import FeedBook, feed_book
from flockbook.derive.land.grazing import Grazing, grazing
from flockbook.derive.plain.wing import Wing
from flockbook.derive.weights.facts import WeightsFacts


class LandFacts(Wing):
    """Paddocks, who stands where, and the feed in the barn."""

    breeding: BreedingFacts
    weights: WeightsFacts
    farm: FarmFacts

    @once
    def grazing(self) -> Grazing:
        """Every paddock's grazing and rest."""
        return grazing(self.flock, self.today)

    @once
    def feed(self) -> FeedBook:
        """Feed in hand, and how long the hay lasts."""
        due = frozenset(row.ewe for row in self.breeding.due.rows)
        bodies = Bodies(self.weights.gains, self.weights.weanings, due)
        eating = eaters(self.flock, bodies, self.today)
        return feed_book(self.farm.kit, eating, self.settings, self.today.day)
