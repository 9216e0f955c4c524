"""The nights that sheep spent on each ground, week by week."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from flockbook.derive.land.whereabouts import Stint
from flockbook.derive.plain.days import WEEK_DAYS

WEEKS = 53  # the weeks charted: a year and the week that is running


def week_grid(
    by_place: Mapping[str, list[Stint]], today: date
) -> tuple[tuple[date, ...], dict[tuple[str, date], float]]:
    """The Mondays of the last year, and the sheep-nights on each ground in each of those weeks where there were any."""
    monday = today - timedelta(today.weekday())
    weeks = tuple(monday - timedelta(WEEK_DAYS * back) for back in reversed(range(WEEKS)))
    grid: Counter[tuple[str, date]] = Counter()
    for key, stints in by_place.items():
        for stint in stints:
            for week, nights in by_week(stint, weeks[0], today):
                grid[(key, week)] += nights
    return weeks, {cell: float(nights) for cell, nights in grid.items()}


def by_week(stint: Stint, first: date, today: date) -> Iterator[tuple[date, int]]:
    """The nights of one stay week by week, from a Monday on."""
    start, end = max(stint.entered, first), min(stint.left or today, today)
    week = start - timedelta(start.weekday())
    while week < end:
        after = week + timedelta(WEEK_DAYS)
        yield week, (min(after, end) - max(week, start)).days
        week = after
