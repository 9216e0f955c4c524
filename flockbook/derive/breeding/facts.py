"""What is worked out about breeding."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.breeding.due import DueList, due_list
from flockbook.derive.breeding.forecast import forecast
from flockbook.derive.breeding.joining_dates import JoiningDates, joining_dates
from flockbook.derive.breeding.lambing_odds import Forecast
from flockbook.derive.breeding.mating import Matings, matings
from flockbook.derive.breeding.pregnancies import Evidence, evidence
from flockbook.derive.breeding.rounds import with_rounds
from flockbook.derive.breeding.scan_sorting import ScanSorting, scan_sorting
from flockbook.derive.plain.wing import Wing


class BreedingFacts(Wing):
    """Who ran with which ram, what scans saw, and who is due when."""

    @once
    def matings(self) -> Matings:
        """Every ewe's time with rams, and the marks she carried."""
        return with_rounds(self.flock, matings(self.flock, self.settings, self.today))

    @once
    def joinings(self) -> tuple[JoiningDates, ...]:
        """The days that follow from each joining."""
        return joining_dates(self.flock, self.matings, self.today)

    @once
    def evidence(self) -> Evidence:
        """Scans and losses."""
        return evidence(self.flock, self.matings.terms, self.today)

    @once
    def scan_sorting(self) -> ScanSorting:
        """The last scanning's ewes by litter and by paint mark."""
        return scan_sorting(self.flock, self.matings, self.today)

    @once
    def due(self) -> DueList:
        """Who is due, and when."""
        return due_list(self.flock, self.matings, self.evidence, self.today)

    @once
    def forecast(self) -> Forecast:
        """How many ewes to expect each day."""
        return forecast(self.due)
