"""Each ewe's years at the ram: whether she lambed, which lambs she reared, how many were weaned, and how heavy.

A lamb counts for the ewe that reared it: a fostered lamb for its foster mother, a bottle lamb for nobody.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from compiler.book import Moment
from compiler.shape import Value, field, replace
from flockbook.derive.breeding.mating import Mating, Matings
from flockbook.derive.breeding.pregnancies import Evidence, read_together
from flockbook.derive.breeding.rounds import in_round, next_round
from flockbook.derive.lambing.fosters import Fostering
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.plain.because import Because, Stated
from flockbook.derive.season.seasons import Season
from flockbook.derive.weights.weaning import Cohort, Weanings, weaned
from flockbook.flock import Animal, Flock
from flockbook.records.breeding import Lambing

BIRTHS = ("lambing", "")  # kinds of unreadable notes that can tell of a birth; "" where even the kind is not known


class EweYear(Value):
    """One season of one ewe. `empty` says that she bore nothing, None while she may still lamb; `aborted` is her loss.

    `weaned` is None while the fate of any lamb she reared is not known; `weaned_kg` only where all were weighed.
    """

    season: int
    births: tuple[LambingFact, ...]
    empty: bool | None
    aborted: bool
    lost_all: bool
    weaned: int | None
    weaned_kg: float | None
    reared: tuple[str, ...] = ()
    because: tuple[Because, ...] = ()

    @property
    def known(self) -> bool:
        """Whether it is known by now if she lambed, and what became of the lambs."""
        return self.empty is not None and self.weaned is not None


class Grounds(Value):
    """What every ewe's years are worked out from."""

    flock: Flock
    found: Matings
    seasons: tuple[Season, ...]
    told: Evidence
    fosters: tuple[Fostering, ...]
    weanings: Weanings
    today: Moment


class EweYears(Value):
    """The years of every ewe, by id, the first one first; and who reared each lamb (None: the bottle, or not known)."""

    by_ewe: Mapping[str, tuple[EweYear, ...]] = field(default_factory=dict)
    rearer: Mapping[str, str | None] = field(default_factory=dict)

    def of(self, ewe: str) -> tuple[EweYear, ...]:
        """One ewe's years."""
        return self.by_ewe.get(ewe, ())


def ewe_years(grounds: Grounds) -> EweYears:
    """The years of every ewe that was put to a ram or lambed, season by season."""
    rearer = rearers((birth for season in grounds.seasons for birth in season.births), grounds.fosters)
    unread = unread_births(grounds.flock)
    found: dict[str, list[EweYear]] = {}
    for season in grounds.seasons:
        cohort = Cohort(grounds.flock, grounds.weanings, season.weaned_on, grounds.today)
        whole = not {season.season, None} & unread and all(birth.ewe for birth in season.births)
        lost = frozenset(item.lamb for item in season.lost)
        nursery = SeasonFates(of_one_round(grounds, season), season, cohort, rearer, lost, whole, by_ewe(season))
        for ewe, lambs in lambs_nursed(season, rearer).items():
            found.setdefault(ewe, []).append(one_year(nursery, ewe, lambs))
    return EweYears({ewe: tuple(years) for ewe, years in sorted(found.items())}, rearer)


def of_one_round(grounds: Grounds, season: Season) -> Grounds:
    """The same grounds, of the season's year its round alone."""
    return replace(grounds, found=in_round(grounds.found, season.season, season.start)) if season.start else grounds


def unread_births(flock: Flock) -> frozenset[int | None]:
    """The years from which a birth may be missing, because a note that could tell of one cannot be read or has no day.

    None among them stands for every year.
    """
    holes = [f"{hole.typed.get('date', '')} {hole.path}" for hole in flock.collection.holes if hole.kind in BIRTHS]
    undated = [note.origin.path for note in flock.collection.of(Lambing) if note.date is None]
    years = (re.search(r"(?<!\d)20\d\d(?!\d)", text) for text in (*holes, *undated))
    return frozenset(int(year[0]) if year else None for year in years)


def rearers(births: Iterable[LambingFact], fosters: Sequence[Fostering]) -> dict[str, str | None]:
    """Which ewe reared each lamb: its dam, else the ewe that took it last; None for a lamb on the bottle."""
    found = {lamb.id: birth.ewe for birth in births for lamb in birth.lambs}
    for item in fosters:
        found[item.lamb] = item.onto
    return found


def lambs_nursed(season: Season, rearer: Mapping[str, str | None]) -> dict[str, list[Animal]]:
    """Every ewe of a season with the live-born lambs that were hers to rear; none for a ewe without."""
    found: dict[str, list[Animal]] = {ewe: [] for ewe in sorted(season.exposed)}
    for birth in season.births:
        for lamb in birth.lambs:
            ewe = rearer.get(lamb.id)
            if ewe and lamb.birth and lamb.birth.line.alive:
                found.setdefault(ewe, []).append(lamb)
    return found


def by_ewe(season: Season) -> dict[str, tuple[LambingFact, ...]]:
    """A season's births by ewe, in order of time."""
    found: dict[str, tuple[LambingFact, ...]] = {}
    for birth in season.births:
        if birth.ewe:
            found[birth.ewe] = (*found.get(birth.ewe, ()), birth)
    return found


class SeasonFates(Value):
    """One season, with what settles the fates of its lambs; `lost` are those that died before weaning.

    `whole` says that every note that can tell of a birth was read, and its ewe found.
    """

    grounds: Grounds
    season: Season
    cohort: Cohort
    rearer: Mapping[str, str | None]
    lost: frozenset[str]
    whole: bool
    births: Mapping[str, tuple[LambingFact, ...]]


def one_year(nursery: SeasonFates, ewe: str, lambs: list[Animal]) -> EweYear:
    """One ewe's season."""
    births = nursery.births.get(ewe, ())
    mating = nursery.grounds.found.by_ewe.get((ewe, nursery.season.season))
    told = seen_in_her(nursery, ewe)
    loss = told.loss_of(ewe, mating.first_in) if mating and not births else None
    empty = False if births or loss else is_empty(nursery, ewe, mating)
    count, kg = lambs_reared(nursery, lambs, all(birth.detailed for birth in births) and empty is not None)
    because = [birth_step(birth) for birth in births]
    if not births:
        because = [*(mating.because if mating else ()), *scan_notes(nursery, ewe, mating)]
    because += [loss.because] if loss else []
    return EweYear(
        nursery.season.season, births, empty, loss is not None, bool(loss) or lost_every_lamb(nursery, births, ewe),
        count, kg, tuple(lamb.id for lamb in lambs), tuple(because),
    )  # fmt: skip


def seen_in_her(nursery: SeasonFates, ewe: str) -> Evidence:
    """The scans and losses of a ewe, those of a later round of the same year left out."""
    following = next_round(nursery.grounds.found, nursery.season.season)
    return nursery.grounds.told.before(ewe, following) if following else nursery.grounds.told


def birth_step(birth: LambingFact) -> Because:
    """That she lambed, by its note."""
    return Because(birth.note, birth.event.origin.span("ewe").line, "lambing", reason=Stated.SHE_LAMBED)


def is_empty(nursery: SeasonFates, ewe: str, mating: Mating | None) -> bool | None:
    """Whether a ewe that has not lambed bore nothing: her time is over, or she was scanned empty; None otherwise.

    A birth that cannot be read, or whose ewe was not found, may be hers: until it is mended nobody of that season is
    called empty but by a scan.
    """
    if mating is None:
        return False  # she only reared a lamb of another
    if not nursery.season.running and nursery.whole:
        return True
    seen = read_together(seen_in_her(nursery, ewe).scans_of(ewe, mating.first_in))
    return True if seen is not None and seen.lambs == 0 else None


def scan_notes(nursery: SeasonFates, ewe: str, mating: Mating | None) -> list[Because]:
    """Her scans of that season."""
    return [item.because for item in seen_in_her(nursery, ewe).scans_of(ewe, mating.first_in)] if mating else []


def lambs_reared(nursery: SeasonFates, lambs: list[Animal], written: bool) -> tuple[int | None, float | None]:
    """How many of the lambs she reared were weaned, and their weight together where each was weighed at weaning."""
    fates = [weaned(lamb, nursery.cohort) for lamb in lambs]
    if not written or None in fates:
        return None, None
    kept = [lamb.id for lamb, fate in zip(lambs, fates, strict=True) if fate]
    weights = nursery.grounds.weanings.weights
    return len(kept), sum(weights[lamb] for lamb in kept) if kept and all(lamb in weights for lamb in kept) else None


def lost_every_lamb(nursery: SeasonFates, births: tuple[LambingFact, ...], ewe: str) -> bool:
    """Whether every lamb she bore was lost before weaning, none of them given to another ewe or the bottle."""
    lambs = [lamb for birth in births for lamb in birth.lambs]
    hers = all(nursery.rearer.get(lamb.id) == ewe for lamb in lambs)
    return bool(lambs) and hers and all(lamb.id in nursery.lost for lamb in lambs)
