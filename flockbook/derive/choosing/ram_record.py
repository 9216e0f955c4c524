"""What each ram's lambs were like: births and help, lambs alive and weaned, weights and gains, losses by stage.

A ram answers for a birth only when he is its one possible sire; births that may be another's are counted apart, and so
are those that no ram explains. Weights in kg, gains in kg a day.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from statistics import fmean

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import STAGES, UNBORN
from flockbook.derive.plain.intervals import Share, wilson
from flockbook.derive.season.seasons import Season
from flockbook.derive.weights.gains import birth_weight
from flockbook.derive.weights.weaning import Cohort, Weanings, weaned
from flockbook.flock import Animal, Flock, there
from flockbook.records.sheep import RAM


class Mean(Value):
    """The mean of `n` figures, with the least and the most of them; None for none."""

    n: int
    mean: float | None
    low: float | None
    high: float | None


class RamRecord(Value):
    """One ram's births. `weaned` is of the live-born lambs whose fate is known; `lost` counts by stage."""

    ram: str
    here: bool
    seasons: tuple[int, ...]
    ewes: int
    helped: Share
    malpresented: Share
    alive: Share
    weaned: Share
    birth_kg: Mean
    gain_kg: Mean
    lost: Mapping[str, int]
    shared_births: int


class RamBook(Value):
    """Every ram that is here or has lambs; `unexplained` births have no possible sire, of `births` altogether."""

    rams: tuple[RamRecord, ...] = ()
    births: int = 0
    shared: int = 0
    unexplained: int = 0


class RamCrop(Value):
    """All births with what became of the lambs: fates, weaning gains, and the stage at which each was lost."""

    births: tuple[LambingFact, ...] = ()
    fates: Mapping[str, bool | None] = field(default_factory=dict)
    gains: Mapping[str, float] = field(default_factory=dict)
    stages: Mapping[str, str] = field(default_factory=dict)


def ram_book(flock: Flock, lambed: Sequence[Season], found: Weanings, today: Moment) -> RamBook:
    """All rams' records, those that are here first, each in order of his id."""
    crop = read_crop(flock, lambed, found, today)
    used = {ram for birth in crop.births for ram in birth.sires}
    rams = {animal.id for animal in flock.animals.values() if kept_for_breeding(animal, today)} | used
    records = [one_ram(flock.animals[ram], crop, today) for ram in sorted(rams)]
    records.sort(key=lambda record: not record.here)
    return RamBook(
        tuple(records), len(crop.births), sum(len(birth.sires) > 1 for birth in crop.births),
        sum(not birth.sires for birth in crop.births),
    )  # fmt: skip


def kept_for_breeding(animal: Animal, today: Moment) -> bool:
    """Whether a ram is here and has a note of his own, or was bought: a ram lamb of the crop is not yet one."""
    return animal.sex == RAM and there(animal, today) and (animal.note is not None or animal.arrived is not None)


def read_crop(flock: Flock, lambed: Sequence[Season], found: Weanings, today: Moment) -> RamCrop:
    """Every season's births and the fates of their lambs."""
    births: list[LambingFact] = []
    fates: dict[str, bool | None] = {}
    stages: dict[str, str] = {}
    for season in lambed:
        cohort = Cohort(flock, found, season.weaned_on, today)
        births += season.births
        stages |= {item.lamb: item.stage for item in season.lost}
        fates |= {lamb.id: weaned(lamb, cohort) for lamb in live_lambs(season.births)}
    gains = {lamb.id: gain for lamb in live_lambs(births) if (gain := gain_to_weaning(lamb, found)) is not None}
    return RamCrop(tuple(births), fates, gains, stages)


def live_lambs(births: Iterable[LambingFact]) -> list[Animal]:
    """The lambs born alive."""
    return [lamb for birth in births for lamb in birth.lambs if lamb.birth and lamb.birth.line.alive]


def gain_to_weaning(lamb: Animal, found: Weanings) -> float | None:
    """Kg a day from birth to weaning; None unless both weights and both days are written."""
    born, day, kg, birth = lamb.birthday, found.days.get(lamb.id), found.weights.get(lamb.id), birth_weight(lamb)
    if born is None or day is None or kg is None or birth is None or day <= born:
        return None
    return (kg - birth) / (day - born).days


def one_ram(ram: Animal, crop: RamCrop, today: Moment) -> RamRecord:
    """One ram's record."""
    his = [birth for birth in crop.births if birth.sires == (ram.id,)]
    shared = sum(ram.id in birth.sires and len(birth.sires) > 1 for birth in crop.births)
    lambs, born = live_lambs(his), sum(birth.born for birth in his)
    fates = [fate for lamb in lambs if (fate := crop.fates.get(lamb.id)) is not None]
    lost = Counter(crop.stages[lamb.id] for birth in his for lamb in birth.lambs if lamb.id in crop.stages)
    return RamRecord(
        ram.id, there(ram, today), tuple(sorted({birth.season for birth in his})),
        len({birth.ewe or birth.note for birth in his}),
        wilson(sum(birth.helped for birth in his), len(his)),
        wilson(sum(birth.malpresented for birth in his), born),
        wilson(sum(birth.alive for birth in his), born),
        wilson(sum(fates), len(fates)),
        mean_of(kg for lamb in lambs if (kg := birth_weight(lamb)) is not None),
        mean_of(crop.gains[lamb.id] for lamb in lambs if lamb.id in crop.gains),
        {stage: lost[stage] for stage in STAGES if stage != UNBORN}, shared,
    )  # fmt: skip


def mean_of(values: Iterable[float]) -> Mean:
    """The mean of some figures with their range."""
    found = list(values)
    return Mean(len(found), fmean(found), min(found), max(found)) if found else Mean(0, None, None, None)
