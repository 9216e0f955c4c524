"""The head counts of one season: at scanning, at birth, at weaning, and of its ewes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.breeding.rounds import next_round
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import BY_ABORTION, NO_CAUSE, Lost, dead_by_stage
from flockbook.derive.plain.days import YEAR
from flockbook.derive.season.season_indices import FIRST_CYCLE_DAYS, Counts
from flockbook.derive.season.season_scans import abortions
from flockbook.derive.weights.weaning import Cohort, Weanings, fate_settled, weaned
from flockbook.flock import Flock, gone, happened
from flockbook.records.health import MASTITIS, Illness

# Mastitis counts for a season from this long before its first birth until the next joining (our own choice).
UDDER_DAYS = 14


class Sources(Value):
    """What every season is counted from; `scans`: season → ewe → lambs seen in her."""

    flock: Flock
    found: Matings
    weanings: Weanings
    scans: Mapping[int, Mapping[str, int | None]]
    today: Moment


class OneSeason(Value):
    """One season's births, the ewes exposed, what settles its lambs' fates, its losses; `known` were exposed before."""

    year: int
    births: tuple[LambingFact, ...]
    exposed: set[str]
    cohort: Cohort
    lost: tuple[Lost, ...]
    known: set[str]


def count(sources: Sources, season: OneSeason) -> Counts:
    """The head counts of one season."""
    births, days = season.births, first_births(season.births)
    before = unborn(sources, season)
    scan, reared = at_scanning(sources.scans.get(season.year)), weaned_counts(sources, season)
    return Counts(
        exposed=len(season.exposed) + unknown_ewes(sources.flock, season),
        lambed=count_of_ewes(births),
        detailed=count_of_ewes(birth for birth in births if birth.detailed),
        born=sum(birth.born for birth in births),
        alive=sum(birth.alive for birth in births),
        weaned=reared.lambs,
        fate_known=reared.fate_known,
        helped=sum(birth.helped for birth in births),
        malpresented=sum(birth.malpresented for birth in births),
        dead_by_stage=dead_by_stage(season.lost, sum(before.values())),
        unborn=before,
        scanned=scan.lambs,
        ewes_scanned=scan.ewes,
        ewes_empty=scan.empty,
        ewes_in_lamb=scan.in_lamb,
        settled_dead=reared.born_dead,
        mastitis=len(with_mastitis(sources, season)),
        ewe_deaths=len(dead_ewes(sources, season)),
        newcomers=len(season.exposed - season.known) if season.known else 0,
        comparable=len(season.exposed) if season.known else 0,
        weaned_kg=reared.kg,
        weighed=reared.weighed,
        first_cycle=sum((day - min(days)).days < FIRST_CYCLE_DAYS for day in days),
    )


def unknown_ewes(flock: Flock, season: OneSeason) -> int:
    """Births whose ewe is not in the book, beyond those that exposed ewes without a lambing, there that day, may be:
    a mistyped ewe is no further one.
    """
    lambed = {birth.ewe for birth in season.births}
    lost = [birth.event.date for birth in season.births if birth.ewe is None and birth.event.date]
    waiting = sum(any(flock.animals[ewe].present(day) for day in lost) for ewe in season.exposed - lambed)
    return max(0, len(lost) - waiting)


def count_of_ewes(births: Iterable[LambingFact]) -> int:
    """How many ewes these births are of; one whose ewe is not in the book counts by itself."""
    return len({birth.ewe or birth.note for birth in births})


def first_births(births: tuple[LambingFact, ...]) -> list[date]:
    """The day on which each ewe lambed, the first of a season where she has two notes."""
    days: dict[str, date] = {}
    for birth in births:
        if birth.event.date:
            key = birth.ewe or birth.note
            days[key] = min(days.get(key, birth.event.date), birth.event.date)
    return list(days.values())


# At scanning


class AtScanning(Value):
    """Lambs seen (None: not scanned) and the ewes seen, empty, and in lamb."""

    lambs: int | None = None
    ewes: int = 0
    empty: int = 0
    in_lamb: int = 0


def at_scanning(seen: Mapping[str, int | None] | None) -> AtScanning:
    """The scans of one season: ewe → lambs (0 empty, None in lamb but not counted); None where nobody was scanned."""
    if seen is None:
        return AtScanning()
    litters = list(seen.values())
    return AtScanning(sum(litter or 0 for litter in litters), len(litters), litters.count(0), sum(map(bool, litters)))


def unborn(sources: Sources, season: OneSeason) -> dict[str, int]:
    """Lambs seen at scanning and never born, of ewes that have lambed, aborted or died, or whose time is over, by
    cause: abortion where a note of one tells of her.

    An abortion of a ewe not scanned counts the lambs it names, or one. Ewes sold in lamb are left out, and so are ewes
    whose lambs are still to be written.
    """
    born: dict[str, int] = {}
    for birth in season.births:
        born[birth.ewe or ""] = born.get(birth.ewe or "", 0) + birth.born
    unwritten = {birth.ewe for birth in season.births if not birth.detailed}
    aborted = abortions(sources.flock, sources.found, season.year, sources.today)
    scans = sources.scans.get(season.year, {})
    over = sources.today.day > lambing_ends(sources.found, season.year)
    lost: Counter[str] = Counter()
    for ewe in {*scans, *aborted} - unwritten:
        left = gone(sources.flock.animals[ewe], sources.today)
        if ewe not in born and ewe not in aborted and not (over if left is None else left.dead):
            continue
        cause = BY_ABORTION if ewe in aborted else NO_CAUSE
        lost[cause] += max(0, (scans.get(ewe) or 0) - born.get(ewe, 0), aborted.get(ewe, 0))
    return dict(+lost)


def lambing_ends(found: Matings, year: int) -> date:
    """The last day on which a joined ewe of a season can still lamb; the first of days where none was joined."""
    ends = [
        (exposure.ram_out or exposure.ram_in) + timedelta(days=mating.gestation.longest)
        for mating in found.of_season(year)
        for exposure in mating.exposures
    ]
    return max(ends, default=date.min)


# At weaning


class AtWeaning(Value):
    """Live-born lambs that were weaned, of those whose fate is known; `kg` of the `weighed` ones together; and lambs
    born dead among births whose fates are settled.
    """

    lambs: int
    fate_known: int
    kg: float
    weighed: int
    born_dead: int


def weaned_counts(sources: Sources, season: OneSeason) -> AtWeaning:
    """How the lambs of one season fared until weaning."""
    alive = [lamb for birth in season.births for lamb in birth.lambs if lamb.birth and lamb.birth.line.alive]
    fates = {lamb.id: weaned(lamb, season.cohort) for lamb in alive}
    reached = [lamb for lamb, fate in fates.items() if fate]
    known = sum(fate is not None for fate in fates.values())
    weights = [sources.weanings.weights[lamb] for lamb in reached if lamb in sources.weanings.weights]
    over = [birth for birth in season.births if birth.event.date and fate_settled(birth.event.date, season.cohort)]
    dead = sum(birth.born - birth.alive for birth in over)
    return AtWeaning(len(reached), known, sum(weights), len(weights), dead)


# The ewes


def with_mastitis(sources: Sources, season: OneSeason) -> dict[str, str]:
    """Ewes that lambed and had mastitis between just before the first birth and the next joining, with its first
    note.
    """
    days = first_births(season.births)
    if not days:
        return {}
    start, end = min(days) - timedelta(days=UDDER_DAYS), season_end(sources, season.year, min(days))
    ewes = {birth.ewe for birth in season.births if birth.ewe}
    ill = [event for event in mastitis_notes(sources) if event.date and start <= event.date < end]
    found: dict[str, str] = {}
    for event in ill:
        for ewe in ewes.intersection(sources.flock.who(event)):
            found.setdefault(ewe, event.origin.path)
    return found


def mastitis_notes(sources: Sources) -> Iterator[Illness]:
    """The notes of mastitis so far."""
    for event in sources.flock.events:
        if isinstance(event, Illness) and MASTITIS in (event.problem or "").lower() and happened(event, sources.today):
            yield event


def season_end(sources: Sources, year: int, first: date) -> date:
    """The day of the next joining, else a year after the day given."""
    following = next_round(sources.found, year)
    if following:
        return following
    joined = [mating.first_in for mating in sources.found.of_season(year + 1)]
    return min(joined, default=first + YEAR)


def dead_ewes(sources: Sources, season: OneSeason) -> dict[str, str]:
    """Exposed ewes that died between this joining and the next (AHDB: deaths between two tuppings), with the note."""
    joined = [mating.first_in for mating in sources.found.of_season(season.year)]
    days = joined or first_births(season.births)
    if not days:
        return {}
    begins = min(days)
    ends = season_end(sources, season.year, begins)
    found = {}
    for ewe in season.exposed:
        left = gone(sources.flock.animals[ewe], sources.today)
        if left is not None and left.dead and begins <= left.date < ends:
            found[ewe] = left.note.origin.path
    return found
