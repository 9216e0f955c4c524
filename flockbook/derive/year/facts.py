"""What is worked out about the days ahead."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.lambing.facts import LambingFacts
from flockbook.derive.land.facts import LandFacts
from flockbook.derive.medicine.facts import MedicineFacts
from flockbook.derive.plain.wing import Wing
from flockbook.derive.year.early_losses import EarlyLoss, Pasture, early_losses
from flockbook.derive.year.reminder import Reminder, ReminderSources
from flockbook.derive.year.reminders import reminders


class YearFacts(Wing):
    """What is to be done."""

    breeding: BreedingFacts
    lambing: LambingFacts
    medicine: MedicineFacts
    land: LandFacts

    @once
    def early_losses(self) -> tuple[EarlyLoss, ...]:
        """Lambs lost before their time."""
        bred = self.breeding
        return early_losses(
            Pasture(self.flock, bred.matings, bred.evidence, bred.due, self.land.grazing.stints, self.today)
        )

    @once
    def reminders(self) -> tuple[Reminder, ...]:
        """Everything to be done, in order of its day."""
        bred, guard, grazing = self.breeding, self.medicine.guard, self.land.grazing
        known = ReminderSources(
            self.settings, bred.matings, bred.due, self.lambing.births, guard, grazing, self.land.feed
        )
        return reminders(self.flock, known, self.today)
