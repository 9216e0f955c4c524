"""The season, honestly: counts first, shares with their intervals, and what every share is a share of.

A season is named by its lambing year. Exposed are the ewes put to a ram for it, less those sold before its first
lambing, plus ewes that lambed although no joining is written for them (bought in lamb). Ewes that died stay in. A
birth whose ewe cannot be found in the book is taken for one of the exposed ewes that have not lambed, else it counts as
a ewe of its own, until the note is mended.
"""

from __future__ import annotations

from datetime import date

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.lambing.lamb_survival import Watched, watch
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import Breakdown, Lost, Standout, breakdowns, lost_lambs, standouts
from flockbook.derive.plain.intervals import Share
from flockbook.derive.plain.survival import Step
from flockbook.derive.season.season_counts import OneSeason, Sources, count, first_births, lambing_ends
from flockbook.derive.season.season_indices import (
    FIRST_CYCLE_DAYS,
    Counts,
    LambingSpread,
    YearIndex,
    indices,
    lambing_spread,
)
from flockbook.derive.season.season_scans import scans_by_season
from flockbook.derive.weights.weaning import Cohort, Weanings
from flockbook.flock import Animal, Flock

# What the book prints of who is exposed.
EXPOSED_RULE = (
    "Exposed are the ewes put to a ram for this season, less those sold before its first lambing, plus ewes that "
    "lambed without a joining in the notes (bought in lamb). Ewes that died stay in. A range says where the true share "
    "may lie if these ewes stand for many; lambs of one litter or one mob are not independent, so the truth may lie "
    "wider still."
)


class Season(Value):
    """One season's counts and indices, its births, and the ewes behind them.

    `running` says that ewes may still lamb, so that shares of the ewes exposed are only "so far". `standouts` are
    groups that differ from the rest by more than chance.
    """

    season: int
    counts: Counts
    indices: tuple[YearIndex, ...]
    births: tuple[LambingFact, ...] = ()
    exposed: frozenset[str] = field(default_factory=frozenset)
    running: bool = False
    spread: LambingSpread | None = None
    lost: tuple[Lost, ...] = ()
    breakdowns: tuple[Breakdown, ...] = ()
    standouts: tuple[Standout, ...] = ()
    watched: Watched = field(default_factory=Watched)
    weaned_on: date | None = None

    def index(self, name: str) -> Share:
        """The share of one index."""
        return next(item.share for item in self.indices if item.name == name)

    @property
    def survival(self) -> tuple[Step, ...]:
        """Lambs born alive that still lived on each day (Kaplan-Meier)."""
        return self.watched.steps


def seasons(
    flock: Flock, found: Matings, births: tuple[LambingFact, ...], weaned: Weanings, today: Moment
) -> tuple[Season, ...]:
    """Every season that was scanned, has begun to lamb or is over, in order."""
    sources = Sources(flock, found, weaned, scans_by_season(flock, found, today), today)
    years = {birth.season for birth in births} | set(sources.scans)
    years |= {year for year in joined_years(found) if today.day > lambing_ends(found, year)}
    known: set[str] = set()
    made = []
    for year in sorted(years):
        season = one_season(sources, tuple(birth for birth in births if birth.season == year), year, known)
        known |= season.exposed
        made.append(season)
    return tuple(made)


def joined_years(found: Matings) -> set[int]:
    """The seasons for which any ewe was put to a ram."""
    return {year for _, year in found.by_ewe}


def one_season(sources: Sources, births: tuple[LambingFact, ...], year: int, known: set[str]) -> Season:
    """One season; `known` are the ewes put to a ram in earlier ones."""
    exposed = exposed_ewes(sources.flock, sources.found, list(births), year)
    lambs = [lamb for birth in births for lamb in birth.lambs]
    cohort = Cohort(sources.flock, sources.weanings, sources.weanings.last(lambs), sources.today)
    lost = lost_lambs(births, cohort)
    counts = count(sources, OneSeason(year, births, exposed, cohort, lost, known))
    views, running = breakdowns(sources.flock, births, lost), sources.today.day <= lambing_ends(sources.found, year)
    return Season(
        year, counts, indices(counts, running, cycle_over(births, sources.today)), births, frozenset(exposed), running,
        lambing_spread(first_births(births)), lost, views, standouts(views), watch(lambs, cohort), cohort.last,
    )  # fmt: skip


def cycle_over(births: tuple[LambingFact, ...], today: Moment) -> bool:
    """Whether the first days of a lambing have passed, the day of the first birth being day one."""
    days = first_births(births)
    return bool(days) and (today.day - min(days)).days >= FIRST_CYCLE_DAYS


def exposed_ewes(flock: Flock, found: Matings, births: list[LambingFact], year: int) -> set[str]:
    """The ewes put to a ram, by the rule at the head of this file."""
    first = min((birth.event.date for birth in births if birth.event.date), default=None)
    ewes = {mating.ewe for mating in found.of_season(year) if not sold_before(flock.animals[mating.ewe], first)}
    return ewes | {birth.ewe for birth in births if birth.ewe}


def sold_before(animal: Animal, first: date | None) -> bool:
    """Whether a ewe was sold before the season's first lambing."""
    return animal.left is not None and not animal.left.dead and first is not None and animal.left.date < first
