"""The ewe lambs to choose from: litter, dam, weights and inbreeding of each, with what speaks for and against her.

What is looked at follows published advice: born a twin or more, a weaning weight above the group's mean, no help at
birth or to suck (Schoenian, University of Maryland Extension, 3 Oct 2017; Vipond, SAC, in Farmers Weekly).
Nothing is added up and nobody is ranked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import Enum, auto

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.choosing.ewe_years import EweYears
from flockbook.derive.choosing.reasons import CULL, Choice
from flockbook.derive.family.family import Family
from flockbook.derive.growth.adjusted_weights import Adjusted
from flockbook.derive.health.cases import Cases
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.plain.because import Reason
from flockbook.flock import Animal, Flock, there
from flockbook.records.sheep import BORN_AS, EWE
from flockbook.settings import Settings

TWINS = 2
MEAN_RATIO = 100.0


class DamRecord(Value):
    """A dam's lambings, births with help, and lambs weaned in the years that are known."""

    ewe: str
    lambings: int
    helped: int
    weaned: int
    years: int
    suggest: str


class Lacking(Enum):
    """What is not known of a ewe lamb."""

    DAM = auto()
    LITTER = auto()
    WEIGHT_IN_GROUP = auto()


class BornOneOf(Reason):
    """The size of the litter she was born in."""

    litter: int


class InHerGroup(Reason):
    """Her weight where the mean of a group of so many is 100."""

    ratio: float
    group: int


class DamHelped(Reason):
    """At how many of her dam's lambings there was help."""

    count: int
    of: int


class DamWeaned(Reason):
    """How many lambs her dam weaned in how many years."""

    lambs: int
    years: int


class HardStart(Reason):
    """What her own birth line says against her."""

    words: str


class DamToGo(Reason):
    """That her dam has a reason to go."""


class Ailed(Reason):
    """An illness of hers."""

    problem: str
    year: int


class InbredOver(Reason):
    """Her inbreeding, at or over the flock's limit."""

    share: float
    limit: float


class Candidate(Value):
    """One ewe lamb. `born` and `reared` are the sizes of the litter she was born and reared in, None where not known.

    `adjusted` is her weight on common footing with its ratio, None where it was not weighed in time.
    """

    lamb: str
    season: int
    born: int | None
    reared: int | None
    dam: DamRecord | None
    adjusted: Adjusted | None
    inbreeding: float | None
    generations: float | None
    for_: tuple[Reason, ...] = ()
    against: tuple[Reason, ...] = ()
    unknown: tuple[Lacking, ...] = ()


class Nursery(Value):
    """What the ewe lambs are judged from."""

    flock: Flock
    found: Matings
    births: tuple[LambingFact, ...]
    years: EweYears
    choices: Mapping[str, Choice]
    cases: Cases
    adjusted: Mapping[str, Adjusted]
    family: Family
    settings: Settings
    today: Moment


class Cradle(Value):
    """One ewe lamb with her birth, where it is written."""

    lamb: Animal
    birth: LambingFact | None
    season: int


def candidates(nursery: Nursery) -> tuple[Candidate, ...]:
    """Every living ewe that has not lambed nor been to the ram, and every one of the last crop; the youngest first."""
    by_note = {birth.note: birth for birth in nursery.births}
    cradles = []
    for animal in nursery.flock.animals.values():
        if animal.sex == EWE and there(animal, nursery.today) and animal.born:
            birth = by_note.get(animal.birth.note.origin.path) if animal.birth else None
            cradles.append(Cradle(animal, birth, birth.season if birth else animal.born.year))
    last = max((cradle.season for cradle in cradles), default=0)
    joined = {ewe for ewe, _ in nursery.found.by_ewe}
    young = [cradle for cradle in cradles if is_choice(nursery, cradle, last, joined)]
    made = [candidate(nursery, cradle) for cradle in young]
    return tuple(sorted(made, key=lambda item: (-item.season, item.lamb)))


def is_choice(nursery: Nursery, cradle: Cradle, last: int, joined: set[str]) -> bool:
    """Whether she is still to be chosen: of the last crop, or of the one before and not yet put to a ram."""
    if nursery.years.of(cradle.lamb.id):
        return False
    return cradle.season == last or (cradle.season == last - 1 and cradle.lamb.id not in joined)


def candidate(nursery: Nursery, cradle: Cradle) -> Candidate:
    """One ewe lamb's row."""
    lamb, family = cradle.lamb, nursery.family
    born, reared, dam = litter_born(cradle), litter_reared(nursery, lamb), dam_record(nursery, lamb)
    weight, inbred = nursery.adjusted.get(lamb.id), family.inbreeding.get(lamb.id)
    row = Candidate(lamb.id, cradle.season, born, reared, dam, weight, inbred, family.generations.get(lamb.id))
    good, bad = tuple(speaks_for(row)), tuple(speaks_against(nursery, cradle, row))
    return replace(row, for_=good, against=bad, unknown=tuple(not_known(row)))


def litter_born(cradle: Cradle) -> int | None:
    """How many were born with her, she herself counted."""
    if cradle.birth:
        return cradle.birth.born
    word = cradle.lamb.note.born_as if cradle.lamb.note else None
    return BORN_AS.index(word) + 1 if word in BORN_AS else None


def litter_reared(nursery: Nursery, lamb: Animal) -> int | None:
    """How many lambs the ewe that reared her weaned that year, she herself counted; None where that is not known."""
    ewe = nursery.years.rearer.get(lamb.id)
    years = nursery.years.of(ewe) if ewe else ()
    return next((year.weaned or None for year in years if lamb.id in year.reared), None)


def dam_record(nursery: Nursery, lamb: Animal) -> DamRecord | None:
    """What is known of her dam."""
    if lamb.dam is None:
        return None
    years = nursery.years.of(lamb.dam)
    births = [birth for year in years for birth in year.births]
    known = [year for year in years if year.known]
    choice = nursery.choices.get(lamb.dam)
    return DamRecord(
        lamb.dam, len(births), sum(birth.helped for birth in births), sum(year.weaned or 0 for year in known),
        len(known), choice.suggest if choice else "",
    )  # fmt: skip


def speaks_for(row: Candidate) -> Iterator[Reason]:
    """What speaks for her."""
    if row.born and row.born >= TWINS:
        yield BornOneOf(row.born)
    if row.adjusted and row.adjusted.ratio is not None and row.adjusted.ratio >= MEAN_RATIO:
        yield InHerGroup(row.adjusted.ratio, row.adjusted.group_size)
    if row.dam and row.dam.lambings >= TWINS and not row.dam.helped:
        yield DamHelped(0, row.dam.lambings)
    if row.dam and row.dam.years and row.dam.weaned >= row.dam.years:
        yield DamWeaned(row.dam.weaned, row.dam.years)


def speaks_against(nursery: Nursery, cradle: Cradle, row: Candidate) -> Iterator[Reason]:
    """What speaks against her."""
    if row.adjusted and row.adjusted.ratio is not None and row.adjusted.ratio < MEAN_RATIO:
        yield InHerGroup(row.adjusted.ratio, row.adjusted.group_size)
    yield from map(HardStart, cradle.lamb.birth.line.hard_start if cradle.lamb.birth else ())
    if row.dam and row.dam.helped:
        yield DamHelped(row.dam.helped, row.dam.lambings)
    if row.dam and row.dam.years and row.dam.weaned < row.dam.years:
        yield DamWeaned(row.dam.weaned, row.dam.years)
    if row.dam and row.dam.suggest == CULL:
        yield DamToGo()
    for case in nursery.cases.by_sheep.get(row.lamb, ()):
        yield Ailed(case.problem, case.since.year)
    limit = nursery.settings.figure("inbreeding_limit")
    if row.inbreeding is not None and row.inbreeding >= limit:
        yield InbredOver(row.inbreeding, limit)


def not_known(row: Candidate) -> Iterator[Lacking]:
    """What would have to be written before more could be said."""
    if row.dam is None:
        yield Lacking.DAM
    if row.born is None:
        yield Lacking.LITTER
    if row.adjusted is None or row.adjusted.ratio is None:
        yield Lacking.WEIGHT_IN_GROUP
