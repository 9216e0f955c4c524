"""What is worked out about selling."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.health.facts import HealthFacts
from flockbook.derive.lambing.facts import LambingFacts
from flockbook.derive.market.apart import Keeping, kept_now
from flockbook.derive.market.fitness import Ways
from flockbook.derive.market.leaving import Gate, gate
from flockbook.derive.medicine.facts import MedicineFacts
from flockbook.derive.plain.wing import Wing


class MarketFacts(Wing):
    """Who may leave."""

    breeding: BreedingFacts
    lambing: LambingFacts
    medicine: MedicineFacts
    health: HealthFacts

    @once
    def apart(self) -> tuple[Keeping, ...]:
        """Who is kept apart now."""
        return kept_now(self.flock, self.today)

    @once
    def gate(self) -> Gate:
        """The flock sorted at the gate, now and at every sale to come."""
        bred = self.breeding
        country, ill, lame = self.settings.file.country or "", self.health.cases.open, self.health.lame
        births, terms = self.lambing.births, bred.matings.terms
        ways = Ways(self.flock, country, ill, lame, bred.due, births, terms, self.today)
        return gate(ways, self.medicine.guard)
