"""What is worked out about selling."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.market.leaving import Gate, gate
from flockbook.derive.medicine.facts import MedicineFacts
from flockbook.derive.plain.wing import Wing


class MarketFacts(Wing):
    """Who may leave."""

    medicine: MedicineFacts

    @once
    def gate(self) -> Gate:
        """The flock sorted at the gate, now and at every sale to come."""
        return gate(self.flock, self.medicine.guard, self.today)
