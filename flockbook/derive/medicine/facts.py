"""What is worked out about medicines."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.families import once
from flockbook.derive.medicine.cupboard import Cupboard, cupboard
from flockbook.derive.medicine.doses import DoseFact, dose_facts, doubtful_doses
from flockbook.derive.medicine.medicine_register import MedicineEntry, medicine_register
from flockbook.derive.medicine.organic import OrganicRule, organic_rule
from flockbook.derive.medicine.weight_groups import Dosing, dosing
from flockbook.derive.medicine.withdrawal import Guard, guard
from flockbook.derive.medicine.withheld import WithheldList, withheld_list
from flockbook.derive.plain.wing import Wing


class MedicineFacts(Wing):
    """What was given, who is clear to sell, and what stands in the cupboard."""

    @once
    def doses(self) -> Mapping[tuple[str, str], DoseFact]:
        """Each dose beside what it should have been, by note and sheep."""
        return dose_facts(self.flock)

    @property
    def organic(self) -> OrganicRule:
        """Whose waiting periods are longer by the flock's own rule."""
        return organic_rule(self.flock, self.settings)

    @once
    def guard(self) -> Guard:
        """Who is held, and until when. Made before anything else: no book is made without it."""
        return guard(self.flock, {**doubtful_doses(self.flock), **self.doses}, self.today, self.organic)

    @once
    def withheld(self) -> WithheldList:
        """What is to be mended first: by which notes sheep are withheld that were perhaps not dosed."""
        return withheld_list(self.guard)

    @once
    def register(self) -> tuple[MedicineEntry, ...]:
        """The medicine book, entry by entry."""
        return medicine_register(self.flock, self.guard, self.settings)

    @once
    def cupboard(self) -> Cupboard:
        """What there is of each medicine."""
        return cupboard(self.flock, self.doses, self.today)

    @once
    def dosing(self) -> Dosing:
        """Mobs split by weight, what each part gets of each product, and how many a pack treats."""
        return dosing(self.flock, self.cupboard.shelves, self.today)
