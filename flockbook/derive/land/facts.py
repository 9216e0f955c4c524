"""What is worked out about land."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.land.grazing import Grazing, grazing
from flockbook.derive.plain.wing import Wing


class LandFacts(Wing):
    """Paddocks, and who stands where."""

    @once
    def grazing(self) -> Grazing:
        """Every paddock's grazing and rest."""
        return grazing(self.flock, self.today)
