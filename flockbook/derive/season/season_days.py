"""Which season a day belongs to, for things that happen all year round (illness, drenching)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from compiler.shape import Value, field
from flockbook.derive.season.season_counts import UDDER_DAYS
from flockbook.derive.season.seasons import Season


class SeasonDays(Value):
    """Seasons begin 14 days before their first birth (as mastitis is counted) and last until the next begins.

    `begins` is (first day, lambing year) in order. A day before the first season, or in a flock without any lambing,
    belongs to its calendar year.
    """

    begins: tuple[tuple[date, int], ...] = field(default_factory=tuple)

    def of(self, day: date) -> int:
        """The season of a day, by its lambing year."""
        return next((year for first, year in reversed(self.begins) if first <= day), day.year)

    def start(self, season: int) -> date:
        """The first day of a season."""
        return next((first for first, year in self.begins if year == season), date(season, 1, 1))


def season_days(lambed: Sequence[Season]) -> SeasonDays:
    """The seasons that have begun to lamb, by their days."""
    firsts = [
        (min(days) - timedelta(days=UDDER_DAYS), season.season)
        for season in lambed
        if (days := [birth.event.date for birth in season.births if birth.event.date])
    ]
    return SeasonDays(tuple(sorted(firsts)))
