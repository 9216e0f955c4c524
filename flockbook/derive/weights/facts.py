"""What is worked out about weights."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.families import once
from flockbook.derive.plain.wing import Wing
from flockbook.derive.weights.gains import Growth, Place
from flockbook.derive.weights.sessions import Session, growth_and_sessions, slipped_lines
from flockbook.derive.weights.unlikely import UnlikelyWeight, unlikely_weights
from flockbook.derive.weights.weaning import Weanings, weanings


class WeightsFacts(Wing):
    """What was weighed, what was gained, and who was weaned."""

    @once
    def read_back(self) -> tuple[Mapping[str, Growth], tuple[Session, ...]]:
        """Gains and sessions, which settle each other's doubts."""
        return growth_and_sessions(self.flock, self.today, self.unlikely.keys())

    @once
    def unlikely(self) -> Mapping[Place, UnlikelyWeight]:
        """Weights that do not fit their sheep's age, or those beside it, by note and line."""
        return unlikely_weights(self.flock, self.today)

    @once
    def gains(self) -> Mapping[str, Growth]:
        """Every sheep's weights and what it gained, by id."""
        return self.read_back[0]

    @once
    def sessions(self) -> tuple[Session, ...]:
        """Every weighing read back."""
        return self.read_back[1]

    @once
    def weanings(self) -> Weanings:
        """When each lamb was weaned, and how heavy."""
        return weanings(self.flock, self.today, self.unlikely.keys() | slipped_lines(self.sessions))
