"""What is worked out about health."""

from __future__ import annotations

from compiler.families import once
from flockbook.derive.health.cases import Cases, cases
from flockbook.derive.health.check_findings import OpenFinding, open_findings
from flockbook.derive.health.lame_words import LameLine, lame_lines
from flockbook.derive.health.worms import Worms, worms
from flockbook.derive.plain.wing import Wing
from flockbook.derive.season.facts import SeasonFacts


class HealthFacts(Wing):
    """Illness and worms."""

    season: SeasonFacts

    @once
    def cases(self) -> Cases:
        """Every illness from its first note to its end."""
        return cases(self.flock, self.season.years, self.season.days, self.today)

    @once
    def lame(self) -> tuple[LameLine, ...]:
        """Sheep that a line calls lame and that nobody has called sound since."""
        return lame_lines(self.flock, self.cases, self.today)

    @once
    def findings(self) -> tuple[OpenFinding, ...]:
        """What checks found that cannot wait, and that nothing was written after."""
        return open_findings(self.flock, self.worms.scores, self.today)

    @once
    def worms(self) -> Worms:
        """Egg counts, drenchings, and how well they worked."""
        return worms(self.flock, self.season.days, self.today)
