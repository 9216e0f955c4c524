"""The season, honestly: counts first, shares with their intervals, and what every share is a share of.

A season is a round of joining and its lambing (see `rounds`), and is named by its lambing year; by the month too where
a flock lambs twice for one year. Exposed are the ewes put to a ram for it, less those sold before its first
lambing, plus ewes that lambed although no joining is written for them (bought in lamb). Ewes that died stay in. A
birth whose ewe cannot be found in the book is taken for one of the exposed ewes that have not lambed, else it counts as
a ewe of its own, until the note is mended.
"""

from __future__ import annotations

from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value, field, replace
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.breeding.rounds import in_round, round_of_birth
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


class SeasonName(Value):
    """A season's lambing year, and the month in which its round is due to begin where the year has more than one."""

    year: int
    month: int | None = None


class Season(Value):
    """One season's counts and indices, its births, and the ewes behind them.

    `running` says that ewes may still lamb, so that shares of the ewes exposed are only "so far". `standouts` are
    groups that differ from the rest by more than chance. `start` is the day on which its round began, where the lambing
    year has more than one, `month` that in which its lambs were to come; `first` says that no round was before it.
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
    start: date | None = None
    month: int | None = None
    first: bool = True

    @property
    def name(self) -> SeasonName:
        """What it is called by."""
        return SeasonName(self.season, self.month)

    @property
    def part(self) -> str:
        """Its part in the names of pages: 2026, or 2026-12 of a later round."""
        return str(self.season) if self.first else f"{self.season}-{self.month:02}"

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
    known: set[str] = set()
    made = []
    for year in sorted({birth.season for birth in births} | joined_years(found) | scanned_years(flock, found, today)):
        mine = tuple(birth for birth in births if birth.season == year)
        for start in found.rounds.get(year, (None,)):
            part = in_round(found, year, start)
            sources = Sources(flock, part, weaned, scans_by_season(flock, part, today), today)
            of_round = tuple(birth for birth in mine if round_of(birth, found) == start)
            if of_round or year in sources.scans or (joined_for(part, year) and today.day > lambing_ends(part, year)):
                made.append(called_by_round(one_season(sources, of_round, year, known), found, start))
                known |= made[-1].exposed
    return tuple(made)


def scanned_years(flock: Flock, found: Matings, today: Moment) -> set[int]:
    """The seasons that any ewe was scanned for."""
    return set(scans_by_season(flock, found, today))


def round_of(birth: LambingFact, found: Matings) -> date | None:
    """The round that a birth is of; None where its year has but one."""
    return round_of_birth(found, birth.season, birth.event.date) if birth.event.date else None


def called_by_round(season: Season, found: Matings, start: date | None) -> Season:
    """A season with what tells its round from others of its year."""
    if start is None:
        return season
    due = start + timedelta(days=found.terms.flock.mean + found.model.cycle.mean / 2)
    return replace(season, start=start, month=due.month, first=start == found.rounds[season.season][0])


def joined_for(found: Matings, year: int) -> bool:
    """Whether any ewe was put to a ram for a season."""
    return year in joined_years(found)


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
