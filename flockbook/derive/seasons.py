"""The season, honestly: counts first, shares with their intervals, and what every share is a share of.

A season is named by its lambing year. Exposed are the ewes put to a ram for it, less those sold before its first lambing, plus
ewes that lambed although no joining is written for them (bought in lamb). Ewes that died stay in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from compiler.book import Moment
from flockbook.derive.intervals import Share, per_head, wilson
from flockbook.derive.lambings import LambingFact
from flockbook.derive.mating import Matings
from flockbook.flock import Animal, Flock, gone, happened
from flockbook.records.growth import Weighing

# A lamb alive at this age counts as weaned where no weaning was written in its season (common practice: about 14 weeks).
WEANED_DAYS = 100
# A lamb sold younger than this was not reared here; older, it was (our own choice).
REARED_DAYS = 60


@dataclass(frozen=True, slots=True)
class Counts:
    """Head counts of one season."""

    exposed: int
    lambed: int
    detailed: int
    born: int
    alive: int
    weaned: int
    fate_known: int
    helped: int
    malpresented: int
    dead_by_stage: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Index:
    """One index: its share, and in words what was counted of what."""

    name: str
    share: Share
    counted: str
    of: str


@dataclass(frozen=True, slots=True)
class Season:
    """One season's counts and indices, its births, and the ewes behind them."""

    season: int
    counts: Counts
    indices: tuple[Index, ...]
    births: tuple[LambingFact, ...] = ()
    exposed: frozenset[str] = field(default_factory=frozenset)

    def index(self, name: str) -> Share:
        """The share of one index."""
        return next(item.share for item in self.indices if item.name == name)


def seasons(flock: Flock, found: Matings, births: tuple[LambingFact, ...], today: Moment) -> tuple[Season, ...]:
    """Every season that has begun to lamb, in order."""
    years = sorted({birth.season for birth in births})
    weanings = weaned_on(flock, today)
    return tuple(one_season(flock, found, [birth for birth in births if birth.season == year], year, (weanings, today)) for year in years)


def one_season(
    flock: Flock, found: Matings, births: list[LambingFact], year: int, then: tuple[Mapping[str, date], Moment]
) -> Season:
    """One season."""
    exposed = exposed_ewes(flock, found, births, year)
    lambs = [lamb for birth in births for lamb in birth.lambs if lamb.birth and lamb.birth.line.alive]
    any_weaning = any(lamb.id in then[0] for lamb in lambs)
    fates = [weaned(lamb, then[0], any_weaning, then[1]) for lamb in lambs]
    counts = Counts(
        len(exposed), len({birth.ewe for birth in births}), len({birth.ewe for birth in births if birth.detailed}),
        sum(birth.born for birth in births), sum(birth.alive for birth in births),
        sum(fate is True for fate in fates), sum(fate is not None for fate in fates),
        sum(birth.helped for birth in births), sum(birth.malpresented for birth in births), dead_by_stage(lambs, births, then[1]),
    )  # fmt: skip
    return Season(year, counts, indices(counts), tuple(births), frozenset(exposed))


def exposed_ewes(flock: Flock, found: Matings, births: list[LambingFact], year: int) -> set[str]:
    """The ewes put to a ram, by the rule at the head of this file."""
    first = min((birth.event.date for birth in births if birth.event.date), default=None)
    ewes = {mating.ewe for mating in found.of_season(year) if not sold_before(flock.animals[mating.ewe], first)}
    return ewes | {birth.ewe for birth in births if birth.ewe}


def sold_before(animal: Animal, first: date | None) -> bool:
    """Whether a ewe was sold before the season's first lambing."""
    return animal.left is not None and not animal.left.dead and first is not None and animal.left.date < first


def weaned_on(flock: Flock, today: Moment) -> dict[str, date]:
    """The first weaning session of each lamb: a weighing whose stage says so."""
    found: dict[str, date] = {}
    for event in flock.events:
        if isinstance(event, Weighing) and event.date and "wean" in (event.stage or "").lower() and happened(event, today):
            for sheep in flock.who(event):
                found.setdefault(sheep, event.date)
    return found


def weaned(lamb: Animal, sessions: Mapping[str, date], any_weaning: bool, today: Moment) -> bool | None:
    """Whether a live-born lamb reached weaning; None while nobody can know."""
    if lamb.id in sessions:
        return True
    born, left = lamb.birthday, gone(lamb, today)
    if left is not None and born is not None:
        age = (left.date - born).days
        if left.dead:
            return age >= WEANED_DAYS
        return True if age >= REARED_DAYS else None
    if born is None or (today.day - born).days < WEANED_DAYS:
        return None
    seen_later = lamb.note is not None
    return True if not any_weaning or seen_later else None


STAGES = (("birth to 48 h", 2), ("48 h to 14 d", 14), ("14 d to weaning", WEANED_DAYS))


def dead_by_stage(lambs: list[Animal], births: list[LambingFact], today: Moment) -> dict[str, int]:
    """Lambs lost: born dead, then by age at death up to weaning."""
    stages = {"born dead": sum(birth.born - birth.alive for birth in births), **dict.fromkeys((name for name, _ in STAGES), 0)}
    for lamb in lambs:
        left = gone(lamb, today)
        if left is not None and left.dead and lamb.birthday:
            stage = next((name for name, limit in STAGES if left.date < lamb.birthday + timedelta(days=limit)), None)
            if stage:
                stages[stage] += 1
    return stages


def indices(counts: Counts) -> tuple[Index, ...]:
    """The indices of a season, each with its denominator in words (definitions: Merck Veterinary Manual, Measuring Reproductive
    Performance of Sheep; Oregon State University Extension, Evaluation of Flock Production)."""
    exposed, lambed, born, alive = counts.exposed, counts.lambed, counts.born, counts.alive
    lost = counts.fate_known - counts.weaned
    return (
        Index("fertility", wilson(lambed, exposed), "ewes that lambed", "ewes exposed"),
        Index("barren", wilson(exposed - lambed, exposed), "ewes that did not lamb", "ewes exposed"),
        Index("prolificacy", per_head(born, counts.detailed), "lambs born, dead ones too", "ewes that lambed"),
        Index("born_per_exposed", per_head(born, exposed), "lambs born, dead ones too", "ewes exposed"),
        Index("alive_per_exposed", per_head(alive, exposed), "lambs born alive", "ewes exposed"),
        Index("stillbirth", wilson(born - alive, born), "lambs born dead", "lambs born"),
        Index("preweaning_loss", wilson(lost, counts.fate_known), "lambs lost before weaning", "lambs born alive whose fate is known"),
        Index("weaned_per_exposed", per_head(counts.weaned, exposed), "lambs weaned", "ewes exposed"),
        Index("assisted", wilson(min(counts.helped, lambed), lambed), "births helped", "ewes that lambed"),
        Index("malpresentation", wilson(counts.malpresented, born), "lambs that lay wrong", "lambs born"),
    )
