"""The indices of a season: what is counted of what, with the interval that belongs to it.

Definitions: Merck Veterinary Manual, Measuring Reproductive Performance of Sheep (fertility, prolificacy, stillbirth,
weaning); Oregon State University Extension, Evaluation of Flock Production (first cycle, losses from birth to weaning);
AHDB key performance indicators (ewe deaths, replacement); lifetimewool (scanning).
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from compiler.shape import Value, field, replace
from flockbook.derive.plain.intervals import FEW, Share, per_head, wilson

# "Lambed in the first 20 days", the first day of lambing being day 1 (Oregon State University Extension).
FIRST_CYCLE_DAYS = 20
# One and two heat cycles (New Mexico State University: 17 d).
ONE_CYCLE, TWO_CYCLES = 17, 34


class Counts(Value):
    """Head counts of one season. Ewes unless the name says otherwise; weights in kg.

    `detailed` lambed and have their lambs written; `scanned` are lambs seen at scanning (None: not scanned);
    `settled_dead` are lambs born dead among births whose fates are settled; `newcomers` were put to a ram here for the
    first time, of `comparable` (0 in the book's first season, where nobody can tell); `unborn` are the lambs
    lost before birth, by cause.
    """

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
    scanned: int | None = None
    ewes_scanned: int = 0
    ewes_empty: int = 0
    ewes_in_lamb: int = 0
    settled_dead: int = 0
    mastitis: int = 0
    ewe_deaths: int = 0
    newcomers: int = 0
    comparable: int = 0
    weaned_kg: float = 0.0
    weighed: int = 0
    first_cycle: int = 0
    unborn: Mapping[str, int] = field(default_factory=dict)


class YearIndex(Value):
    """One index: its share, and whether lambs or ewes are counted. `part` says that each one counted is one of those it
    is counted of. `weighed` of the lambs weaned is how many had a weight, where weights are counted.
    """

    name: str
    share: Share
    part: bool = True
    lambs: bool = False
    weighed: tuple[int, int] | None = None


class LambingSpread(Value):
    """How a lambing was spread: days from the first to the last birth, ewes lambed in 17 and 34 days, and the running
    count of ewes by days since the first birth."""

    first: date
    last: date
    in_one_cycle: Share
    in_two_cycles: Share
    curve: tuple[tuple[int, int], ...]

    @property
    def days(self) -> int:
        """Days from the first birth to the last."""
        return (self.last - self.first).days


def lambing_spread(days: list[date]) -> LambingSpread | None:
    """The spread of the ewes' lambing days; None before the first."""
    if not days:
        return None
    first = min(days)
    offsets = sorted((day - first).days for day in days)
    curve = tuple((offset, sum(item <= offset for item in offsets)) for offset in sorted(set(offsets)))
    one, two = (wilson(sum(item < limit for item in offsets), len(offsets)) for limit in (ONE_CYCLE, TWO_CYCLES))
    return LambingSpread(first, max(days), one, two, curve)


NO_EWES = Share(0, 0, None, None, None, few=True)  # "no data"


# What nobody can tell of a season while ewes may still lamb: who did not, and what is weaned of lambs not yet born.
NOT_YET = frozenset({"barren"})
NOT_BEFORE_BIRTHS = NOT_YET | {
    "fertility", "first_cycle", "weaned_per_exposed", "born_per_exposed", "alive_per_exposed",
}  # fmt: skip


def indices(counts: Counts, running: bool = False, cycle_over: bool = True) -> tuple[YearIndex, ...]:
    """All indices in the order in which they are read; one that cannot be told yet has no data, one that still grows
    its counts alone. `cycle_over`: the first days of lambing have passed, so that who lambed in them is settled.
    """
    found = (*of_ewes(counts), *of_lambs(counts), *of_weaning(counts))
    if not running:
        return found
    untold = NOT_YET if counts.born else NOT_BEFORE_BIRTHS
    growing = NOT_BEFORE_BIRTHS - untold - (frozenset({"first_cycle"}) if cycle_over else frozenset())
    told = (replace(item, share=NO_EWES) if item.name in untold else item for item in found)
    return tuple(replace(item, share=counts_alone(item.share)) if item.name in growing else item for item in told)


def counts_alone(share: Share) -> Share:
    """A share of which only the counts can be told yet: a rate with its range would be left by the season's own end."""
    return replace(share, value=None, low=None, high=None)


def of_ewes(counts: Counts) -> tuple[YearIndex, ...]:
    """Indices whose count is ewes."""
    exposed, lambed = counts.exposed, counts.lambed
    scan = wilson(counts.ewes_empty, counts.ewes_scanned) if counts.scanned is not None else NO_EWES
    new = wilson(counts.newcomers, counts.comparable)
    return (
        YearIndex("fertility", wilson(lambed, exposed)),
        YearIndex("barren", wilson(exposed - lambed, exposed)),
        YearIndex("scanned_empty", scan),
        YearIndex("first_cycle", wilson(counts.first_cycle, exposed)),
        YearIndex("assisted", wilson(min(counts.helped, lambed), lambed)),
        YearIndex("mastitis", wilson(counts.mastitis, lambed)),
        YearIndex("ewe_deaths", wilson(counts.ewe_deaths, exposed)),
        YearIndex("replacement", new),
    )  # fmt: skip


def of_lambs(counts: Counts) -> tuple[YearIndex, ...]:
    """Indices of lambs scanned and born."""
    exposed, born, alive = counts.exposed, counts.born, counts.alive
    seen = counts.scanned
    scan = NO_EWES if seen is None else per_head(seen, exposed)
    each = NO_EWES if seen is None else per_head(seen, counts.ewes_in_lamb)
    return (
        YearIndex("scanning", scan, part=False, lambs=True),
        YearIndex("scanned_per_in_lamb", each, part=False, lambs=True),
        YearIndex("prolificacy", per_head(born, counts.detailed), part=False, lambs=True),
        YearIndex("born_per_exposed", per_head(born, exposed), part=False, lambs=True),
        YearIndex("alive_per_exposed", per_head(alive, exposed), part=False, lambs=True),
        YearIndex("stillbirth", wilson(born - alive, born), lambs=True),
        YearIndex("malpresentation", wilson(counts.malpresented, born), lambs=True),
    )  # fmt: skip


def of_weaning(counts: Counts) -> tuple[YearIndex, ...]:
    """Indices that must wait for weaning; without any settled fate they have no data, unless nothing was born."""
    lost = counts.fate_known - counts.weaned
    waiting = counts.alive > 0 and counts.fate_known == 0
    settled = counts.fate_known + counts.settled_dead
    lost_all = wilson(lost + counts.settled_dead, settled)
    each = NO_EWES if waiting else per_head(counts.weaned, counts.exposed)
    weighed = (counts.weighed, counts.weaned)
    return (
        YearIndex("preweaning_loss", wilson(lost, counts.fate_known), lambs=True),
        YearIndex("birth_to_weaning_loss", lost_all, lambs=True),
        YearIndex("weaned_per_exposed", each, part=False, lambs=True),
        YearIndex("weight_weaned_per_exposed", weight_per_ewe(counts), part=False, lambs=True, weighed=weighed),
    )  # fmt: skip


def weight_per_ewe(counts: Counts) -> Share:
    """Kilograms weaned for each ewe exposed; no data where no lamb was weighed at weaning."""
    if not counts.weighed or not counts.exposed:
        return NO_EWES
    value = counts.weaned_kg / counts.exposed
    return Share(round(counts.weaned_kg), counts.exposed, value, None, None, counts.exposed < FEW)
