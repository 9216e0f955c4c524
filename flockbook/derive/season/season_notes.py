"""Behind the counts of a season: each ewe and each lamb that was counted, and the notes that tell of it."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.breeding.pregnancies import ewes_scanned
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import Lost
from flockbook.derive.season.season_counts import OneSeason, Sources, dead_ewes, with_mastitis
from flockbook.derive.season.season_scans import scans_by_season, season_of_scan
from flockbook.derive.season.seasons import Season
from flockbook.derive.weights.weaning import Cohort, Weanings, sessions, weaned
from flockbook.flock import Animal, Flock, happened
from flockbook.records.pregnancy import Scan


class EweCounted(Value):
    """One ewe of a season (None: a birth whose ewe is not in the book) and the notes that count for her: paths, "" for
    what is not written. `lambs_seen` is what the scan saw.
    """

    ewe: str | None
    joined: str = ""
    scanned: str = ""
    lambs_seen: int | None = None
    births: tuple[LambingFact, ...] = ()
    mastitis: str = ""
    died: str = ""


class LambCounted(Value):
    """One lamb of a season; `reached` tells whether it was weaned (None: nobody knows yet), `weaned` by which note."""

    lamb: Animal
    birth: LambingFact
    lost: Lost | None
    reached: bool | None
    weaned: str


class Counted(Value):
    """All that a season's counts rest on."""

    ewes: tuple[EweCounted, ...]
    lambs: tuple[LambCounted, ...]


class Behind(Value):
    """What the notes of a season are found in."""

    flock: Flock
    found: Matings
    weanings: Weanings
    today: Moment


def counted(behind: Behind, season: Season) -> Counted:
    """The ewes and the lambs that one season counts, each with its notes."""
    return Counted(tuple(ewes(behind, season)), tuple(lambs(behind, season)))


def ewes(behind: Behind, season: Season) -> list[EweCounted]:
    """The ewes exposed, in order of their ids, then births whose ewe is not in the book."""
    flock, found, today = behind.flock, behind.found, behind.today
    cohort = Cohort(flock, behind.weanings, season.weaned_on, today)
    sources = Sources(flock, found, behind.weanings, scans_by_season(flock, found, today), today)
    one = OneSeason(season.season, season.births, set(season.exposed), cohort, season.lost, set())
    ill, dead, scans = with_mastitis(sources, one), dead_ewes(sources, one), scan_notes(behind, season.season)
    seen = sources.scans.get(season.season, {})
    known = [
        EweCounted(
            ewe, joined(found, ewe, season.season), scans.get(ewe, ""), seen.get(ewe),
            tuple(birth for birth in season.births if birth.ewe == ewe), ill.get(ewe, ""), dead.get(ewe, ""),
        )
        for ewe in sorted(season.exposed | set(seen))
    ]  # fmt: skip
    return [*known, *(EweCounted(None, births=(birth,)) for birth in season.births if birth.ewe is None)]


def joined(found: Matings, ewe: str, year: int) -> str:
    """The note of the joining by which a ewe was put to a ram."""
    mating = found.by_ewe.get((ewe, year))
    return mating.joinings[0].origin.path if mating else ""


def scan_notes(behind: Behind, year: int) -> Mapping[str, str]:
    """The note of each ewe's last scan of a season."""
    notes: dict[str, str] = {}
    for event in behind.flock.of(Scan):
        for ewe, _ in ewes_scanned(behind.flock, event) if event.date and happened(event, behind.today) else ():
            assert event.date is not None
            if season_of_scan(behind.found, ewe, event.date) == year:
                notes[ewe] = event.origin.path
    return notes


def lambs(behind: Behind, season: Season) -> list[LambCounted]:
    """The lambs born, in order of birth."""
    cohort = Cohort(behind.flock, behind.weanings, season.weaned_on, behind.today)
    lost, notes = {one.lamb: one for one in season.lost}, weaning_notes(behind)
    return [
        LambCounted(
            lamb, birth, lost.get(lamb.id),
            weaned(lamb, cohort) if lamb.birth and lamb.birth.line.alive else None, notes.get(lamb.id, ""),
        )
        for birth in season.births for lamb in birth.lambs
    ]  # fmt: skip


def weaning_notes(behind: Behind) -> dict[str, str]:
    """The first note that tells of each lamb's weaning."""
    notes: dict[str, str] = {}
    for event in sessions(behind.flock, behind.today):
        for sheep in behind.flock.who(event):
            if behind.weanings.days.get(sheep) == event.date:
                notes.setdefault(sheep, event.origin.path)
    return notes
