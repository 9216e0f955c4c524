"""What is worked out about the days ahead."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.farm.facts import FarmFacts
from flockbook.derive.health.facts import HealthFacts
from flockbook.derive.lambing.facts import LambingFacts
from flockbook.derive.land.facts import LandFacts
from flockbook.derive.market.facts import MarketFacts
from flockbook.derive.medicine.facts import MedicineFacts
from flockbook.derive.plain.wing import Wing
from flockbook.derive.season.facts import SeasonFacts
from flockbook.derive.year.early_losses import EarlyLoss, Pasture, early_losses
from flockbook.derive.year.health_review import HealthReview, ReviewSources, health_review
from flockbook.derive.year.owed import owed_now
from flockbook.derive.year.owings import OwedNow, OwedSources
from flockbook.derive.year.reminder import Reminder, ReminderSources
from flockbook.derive.year.reminders import reminders
from flockbook.derive.year.wheel import WheelRow, year_wheel


class YearFacts(Wing):
    """What is to be done."""

    breeding: BreedingFacts
    lambing: LambingFacts
    medicine: MedicineFacts
    health: HealthFacts
    farm: FarmFacts
    land: LandFacts
    market: MarketFacts
    season: SeasonFacts

    @once
    def wheel(self) -> tuple[WheelRow, ...]:
        """The days of the year that follow from each joining, planned or begun."""
        return year_wheel(self.breeding.joinings, self.reminders, self.today.day)

    @once
    def health_review(self) -> HealthReview:
        """This season's health beside the last one's."""
        health, year = self.health, self.season
        known = (health.cases, health.worms, self.medicine.register, self.breeding.matings, self.today)
        return health_review(ReviewSources(self.flock, year.years, year.days, *known))

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
            self.settings, bred.matings, bred.due, self.lambing.births, guard, self.medicine.cupboard, grazing,
            self.land.feed, self.health.worms.eggs.tests,
        )  # fmt: skip
        return reminders(self.flock, known, self.today)

    @once
    def owed(self) -> OwedNow:
        """What is owed now, one row for each ewe."""
        born = self.lambing
        known = OwedSources(
            self.settings, born.labours, born.newborns, born.births, born.open_items, self.breeding.due,
            self.health.cases, self.farm.head_counts, self.reminders,
            self.market.gate.went, self.health.lame, self.market.gate.loads,
            self.health.findings,
        )  # fmt: skip
        return owed_now(self.flock, known, self.today)
