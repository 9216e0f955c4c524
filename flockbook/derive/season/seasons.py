"""The season, honestly: counts first, shares with their intervals, and what every share is a share of.

A season is named by its lambing year. Exposed are the ewes put to a ram for it, less those sold before its first
lambing, plus ewes that lambed although no joining is written for them (bought in lamb). Ewes that died stay in. A
birth whose ewe
cannot be found in the book counts as a ewe of its own until the note is mended.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.lambing.lamb_survival import Watched, watch
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import Breakdown, Lost, Standout, breakdowns, dead_by_stage, lost_lambs, standouts
from flockbook.derive.plain.intervals import Share
from flockbook.derive.plain.survival import Step
from flockbook.derive.season.season_indices import FIRST_CYCLE_DAYS, Counts, Index, Spread, indices, spread
from flockbook.derive.weights.weaning import Cohort, Weanings, settled, weaned, weaned_on
from flockbook.flock import Animal, Flock, gone, happened
from flockbook.records.health import Illness
from flockbook.records.pregnancy import Abortion, Scan

__all__ = ["Counts", "Index", "Season", "exposed_ewes", "indices", "seasons", "weaned", "weaned_on"]

MASTITIS = "mastitis"
# Mastitis counts for a season from this long before its first birth until the next joining (our own choice).
UDDER_DAYS = 14
YEAR_DAYS = 365
# A scan of a ewe with no joining written belongs to the lambing that many days on (about half a pregnancy).
SCAN_TO_LAMBING = 75
# What the book prints of who is exposed.
EXPOSED_RULE = (
    "Exposed are the ewes put to a ram for this season, less those sold before its first lambing, plus ewes that "
    "lambed without a joining in the notes (bought in lamb). Ewes that died stay in. A range says where the true share "
    "may lie if these ewes stand for many; lambs of one litter or one mob are not independent, so the truth may lie "
    "wider still."
)
LONGEST_SCAN = 180  # days from ram in within which a scan belongs to that joining (our own choice)


class Season(Value):
    """One season's counts and indices, its births, and the ewes behind them.

    `running` says that ewes may still lamb, so that shares of the ewes exposed are only "so far". `standouts` are
    groups that differ from the rest by more than chance.
    """

    season: int
    counts: Counts
    indices: tuple[Index, ...]
    births: tuple[LambingFact, ...] = ()
    exposed: frozenset[str] = field(default_factory=frozenset)
    running: bool = False
    spread: Spread | None = None
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


class Ground(Value):
    """What every season is worked out from."""

    flock: Flock
    found: Matings
    weanings: Weanings
    scans: Mapping[int, Mapping[str, int | None]]
    today: Moment


def seasons(
    flock: Flock, found: Matings, births: tuple[LambingFact, ...], weaned: Weanings, today: Moment
) -> tuple[Season, ...]:
    """Every season that was scanned, has begun to lamb or is over, in order."""
    ground = Ground(flock, found, weaned, scans_by_season(flock, found, today), today)
    years = {birth.season for birth in births} | set(ground.scans)
    years |= {year for year in joined_years(found) if today.day > lambing_ends(found, year)}
    known: set[str] = set()
    made = []
    for year in sorted(years):
        season = one_season(ground, tuple(birth for birth in births if birth.season == year), year, known)
        known |= season.exposed
        made.append(season)
    return tuple(made)


def joined_years(found: Matings) -> set[int]:
    """The seasons for which any ewe was put to a ram."""
    return {year for _, year in found.by_ewe}


def lambing_ends(found: Matings, year: int) -> date:
    """The last day on which a joined ewe of a season can still lamb; the first of days where none was joined."""
    outs = [exposure.ram_out or exposure.ram_in for mating in found.of_season(year) for exposure in mating.exposures]
    return max(outs) + timedelta(days=found.gestation.longest) if outs else date.min


def one_season(ground: Ground, births: tuple[LambingFact, ...], year: int, known: set[str]) -> Season:
    """One season; `known` are the ewes put to a ram in earlier ones."""
    exposed = exposed_ewes(ground.flock, ground.found, list(births), year)
    lambs = [lamb for birth in births for lamb in birth.lambs]
    cohort = Cohort(ground.flock, ground.weanings, ground.weanings.last(lambs), ground.today)
    lost = lost_lambs(births, cohort)
    counts = count(ground, Part(year, births, exposed, cohort, lost, known))
    views = breakdowns(ground.flock, births, lost)
    return Season(
        year, counts, indices(counts), births, frozenset(exposed), ground.today.day <= lambing_ends(ground.found, year),
        spread(first_births(births)), lost, views, standouts(views), watch(lambs, cohort), cohort.last,
    )  # fmt: skip


class Part(Value):
    """One season's share of the ground."""

    year: int
    births: tuple[LambingFact, ...]
    exposed: set[str]
    cohort: Cohort
    lost: tuple[Lost, ...]
    known: set[str]


def count(ground: Ground, part: Part) -> Counts:
    """The head counts of one season."""
    births, scans = part.births, ground.scans.get(part.year)
    alive = [lamb for birth in births for lamb in birth.lambs if lamb.birth and lamb.birth.line.alive]
    fates = {lamb.id: weaned(lamb, part.cohort) for lamb in alive}
    reached = [lamb for lamb, fate in fates.items() if fate]
    weights = [ground.weanings.weights[lamb] for lamb in reached if lamb in ground.weanings.weights]
    settled_births = [birth for birth in births if birth.event.date and settled(birth.event.date, part.cohort)]
    days = first_births(births)
    return Counts(
        exposed=len(part.exposed) + sum(birth.ewe is None for birth in births),
        lambed=len({birth.ewe or birth.note for birth in births}),
        detailed=len({birth.ewe or birth.note for birth in births if birth.detailed}),
        born=sum(birth.born for birth in births),
        alive=sum(birth.alive for birth in births),
        weaned=len(reached),
        fate_known=sum(fate is not None for fate in fates.values()),
        helped=sum(birth.helped for birth in births),
        malpresented=sum(birth.malpresented for birth in births),
        dead_by_stage=dead_by_stage(part.lost, unborn(ground, part)),
        scanned=None if scans is None else sum(litter or 0 for litter in scans.values()),
        ewes_scanned=len(scans or ()),
        ewes_empty=sum(litter == 0 for litter in (scans or {}).values()),
        ewes_in_lamb=sum(bool(litter) for litter in (scans or {}).values()),
        settled_dead=sum(birth.born - birth.alive for birth in settled_births),
        mastitis=len(with_mastitis(ground, part)),
        ewe_deaths=len(dead_ewes(ground, part)),
        newcomers=len(part.exposed - part.known) if part.known else 0,
        comparable=len(part.exposed) if part.known else 0,
        weaned_kg=sum(weights),
        weighed=len(weights),
        first_cycle=sum((day - min(days)).days < FIRST_CYCLE_DAYS for day in days) if days else 0,
    )


def exposed_ewes(flock: Flock, found: Matings, births: list[LambingFact], year: int) -> set[str]:
    """The ewes put to a ram, by the rule at the head of this file."""
    first = min((birth.event.date for birth in births if birth.event.date), default=None)
    ewes = {mating.ewe for mating in found.of_season(year) if not sold_before(flock.animals[mating.ewe], first)}
    return ewes | {birth.ewe for birth in births if birth.ewe}


def sold_before(animal: Animal, first: date | None) -> bool:
    """Whether a ewe was sold before the season's first lambing."""
    return animal.left is not None and not animal.left.dead and first is not None and animal.left.date < first


def first_births(births: tuple[LambingFact, ...]) -> list[date]:
    """The day on which each ewe lambed, the first of a season where she has two notes."""
    days: dict[str, date] = {}
    for birth in births:
        if birth.event.date:
            key = birth.ewe or birth.note
            days[key] = min(days.get(key, birth.event.date), birth.event.date)
    return list(days.values())


# What was seen at scanning


def scans_by_season(flock: Flock, found: Matings, today: Moment) -> dict[int, dict[str, int | None]]:
    """Season → ewe → lambs at her last scan (0 empty, None in lamb but not counted)."""
    seen: dict[int, dict[str, int | None]] = {}
    for event in flock.events:
        if isinstance(event, Scan) and event.date and happened(event, today):
            for line in event.lines:
                ewe = flock.named(event, line.sheep)
                if ewe:
                    seen.setdefault(season_of_scan(found, ewe, event.date), {})[ewe] = line.lambs
    return seen


def season_of_scan(found: Matings, ewe: str, day: date) -> int:
    """The season a scan belongs to: that of the last joining before it."""
    fitting = [
        mating
        for year in (day.year, day.year + 1)
        if (mating := found.by_ewe.get((ewe, year))) and 0 <= (day - mating.first_in).days <= LONGEST_SCAN
    ]
    return fitting[-1].season if fitting else (day + timedelta(days=SCAN_TO_LAMBING)).year


def unborn(ground: Ground, part: Part) -> int:
    """Lambs seen at scanning and never born, of ewes that have lambed, aborted or died, or whose time is over.

    An abortion of a ewe not scanned counts the lambs it names, or one. Ewes sold in lamb are left out, and so are ewes
    whose lambs are still to be written.
    """
    born: dict[str, int] = {}
    for birth in part.births:
        born[birth.ewe or ""] = born.get(birth.ewe or "", 0) + birth.born
    unwritten = {birth.ewe for birth in part.births if not birth.detailed}
    aborted = abortions(ground, part.year)
    scans = ground.scans.get(part.year, {})
    over = ground.today.day > lambing_ends(ground.found, part.year)
    lost = 0
    for ewe in {*scans, *aborted} - unwritten:
        left = gone(ground.flock.animals[ewe], ground.today)
        if ewe not in born and ewe not in aborted and not (over if left is None else left.dead):
            continue
        lost += max(0, (scans.get(ewe) or 0) - born.get(ewe, 0), aborted.get(ewe, 0))
    return lost


def abortions(ground: Ground, year: int) -> dict[str, int]:
    """Ewe → lambs lost by abortion in a season, 1 where the note does not say how many."""
    found: dict[str, int] = {}
    for event in ground.flock.events:
        if isinstance(event, Abortion) and event.date and happened(event, ground.today):
            for ewe in ground.flock.who(event):
                if season_of_scan(ground.found, ewe, event.date) == year:
                    found[ewe] = event.lambs or 1
    return found


# The ewes of a season


def with_mastitis(ground: Ground, part: Part) -> set[str]:
    """Ewes that lambed and had mastitis between just before the first birth and the next joining."""
    days = first_births(part.births)
    if not days:
        return set()
    start, end = min(days) - timedelta(days=UDDER_DAYS), season_end(ground, part.year, min(days))
    ewes = {birth.ewe for birth in part.births if birth.ewe}
    ill = [event for event in illnesses(ground) if event.date and start <= event.date < end]
    return {ewe for event in ill for ewe in ground.flock.who(event)} & ewes


def illnesses(ground: Ground) -> Iterator[Illness]:
    """The notes of mastitis so far."""
    for event in ground.flock.events:
        if isinstance(event, Illness) and MASTITIS in (event.problem or "").lower() and happened(event, ground.today):
            yield event


def season_end(ground: Ground, year: int, first: date) -> date:
    """The day of the next joining, else a year after the day given."""
    joined = [mating.first_in for mating in ground.found.of_season(year + 1)]
    return min(joined, default=first + timedelta(days=YEAR_DAYS))


def dead_ewes(ground: Ground, part: Part) -> set[str]:
    """Exposed ewes that died between this joining and the next (AHDB: deaths between two tuppings)."""
    joined = [mating.first_in for mating in ground.found.of_season(part.year)]
    days = joined or first_births(part.births)
    if not days:
        return set()
    begins = min(days)
    ends = season_end(ground, part.year, begins)
    found = set()
    for ewe in part.exposed:
        left = gone(ground.flock.animals[ewe], ground.today)
        if left is not None and left.dead and begins <= left.date < ends:
            found.add(ewe)
    return found
