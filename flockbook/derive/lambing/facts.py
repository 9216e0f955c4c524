"""What is worked out about lambing."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.families import once
from compiler.schema import Context
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.lambing.after_birth import OpenItem, Ward, open_items
from flockbook.derive.lambing.birth_lines import BirthLines, Births, birth_lines
from flockbook.derive.lambing.colostrum_store import ColostrumStore, colostrum_store
from flockbook.derive.lambing.fosters import Fostering, fosterings
from flockbook.derive.lambing.history import Fear, histories
from flockbook.derive.lambing.labours import OpenLabour, limits_of, open_labours
from flockbook.derive.lambing.lambings import LambingFact, lambing_facts
from flockbook.derive.lambing.looks import Night, Watch, nights
from flockbook.derive.lambing.newborns import Newborn, newborns, weights_by_litter
from flockbook.derive.lambing.past_births import PastBook, past_book
from flockbook.derive.lambing.patterns import Patterns, patterns
from flockbook.derive.plain.wing import Wing
from flockbook.settings import zone_of


class LambingFacts(Wing):
    """Labours, births, the newborn, and what is still owed after a birth."""

    breeding: BreedingFacts

    @once
    def labours(self) -> tuple[OpenLabour, ...]:
        """Ewes that have begun and not lambed."""
        return open_labours(self.flock, self.settings, self.today)

    @once
    def births(self) -> tuple[LambingFact, ...]:
        """Every lambing."""
        before = {ewe: len(items) for ewe, items in self.past.by_ewe.items()}
        return lambing_facts(self.flock, self.breeding.matings, self.today, before)

    @once
    def past(self) -> PastBook:
        """Births of before the first note, from old records."""
        return past_book(self.flock, self.today)

    @once
    def colostrum_store(self) -> ColostrumStore:
        """Frozen colostrum: whose, when, and how much is left."""
        return colostrum_store(self.flock, Context(self.settings.habits), self.today)

    @once
    def births_of(self) -> Mapping[str, tuple[LambingFact, ...]]:
        """Every lambing of each ewe."""
        found: dict[str, list[LambingFact]] = {}
        for birth in self.births:
            found.setdefault(birth.ewe or "", []).append(birth)
        return {ewe: tuple(births) for ewe, births in found.items()}

    @once
    def birth_lines(self) -> BirthLines:
        """From which weight on a lamb is light or heavy at birth."""
        file = self.settings.file
        return birth_lines(file.light_lamb, file.heavy_lamb, weights_by_litter(self.births))

    @property
    def with_lines(self) -> Births:
        """Every lambing, with the lines for the weights of lambs."""
        return Births(self.births, self.birth_lines)

    @once
    def nights(self) -> tuple[Night, ...]:
        """How often somebody looked in each night."""
        return nights(self.flock, self.settings, Watch(self.breeding.due, self.births), self.today)

    @once
    def newborns(self) -> tuple[Newborn, ...]:
        """What each newborn lamb needs."""
        return newborns(self.flock, self.with_lines, zone_of(self.settings), self.today)

    @once
    def open_items(self) -> tuple[OpenItem, ...]:
        """What is owed after the births of the last two days."""
        limits, zone = limits_of(self.settings), zone_of(self.settings)
        ward = Ward(self.flock, self.breeding.matings, self.breeding.evidence, limits, zone, self.today)
        return open_items(ward, self.births, self.newborns)

    @once
    def fosters(self) -> tuple[Fostering, ...]:
        """Lambs given to another ewe or the bottle."""
        return fosterings(self.flock, self.births, self.today)

    @once
    def fears(self) -> Mapping[str, tuple[Fear, ...]]:
        """What is to be feared of each ewe that is due, from her own years."""
        return histories(self.flock, self.with_lines, self.breeding.due.rows, self.today, self.past.by_ewe)

    @once
    def patterns(self) -> Patterns:
        """What births have in common."""
        return patterns(self.flock, self.with_lines)
