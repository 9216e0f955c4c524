"""Behind the counts of a season: each ewe and each lamb that was counted, and the notes that tell of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.breeding.pregnancies import ewes_scanned
from flockbook.derive.breeding.rounds import in_round, round_on
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import Lost
from flockbook.derive.season.season_counts import OneSeason, Sources, dead_ewes, with_mastitis
from flockbook.derive.season.season_scans import scans_by_season, season_of_scan
from flockbook.derive.season.seasons import Season
from flockbook.derive.weights.weaning import Cohort, Weanings, weaned, weaning_notes
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
    """What the notes of all seasons are found in: `scans` by season, its round and ewe, `weaned` by lamb."""

    sources: Sources
    scans: Mapping[tuple[int, date | None, str], str]
    weaned: Mapping[str, str]


def behind_seasons(flock: Flock, found: Matings, weanings: Weanings, today: Moment) -> Behind:
    """Everything gathered once for all seasons."""
    sources = Sources(flock, found, weanings, scans_by_season(flock, found, today), today)
    return Behind(sources, first_scan_notes(sources), weaned_in_notes(sources))


def counted_in_season(known: Behind, season: Season) -> Counted:
    """The ewes and the lambs that one season counts, each with its notes."""
    known = of_round(known, season)
    sources = known.sources
    cohort = Cohort(sources.flock, sources.weanings, season.weaned_on, sources.today)
    return Counted(tuple(ewes_counted(known, season, cohort)), tuple(lambs(known, season, cohort)))


def of_round(known: Behind, season: Season) -> Behind:
    """The same, of the season's year its round alone."""
    if season.start is None:
        return known
    sources = known.sources
    part = in_round(sources.found, season.season, season.start)
    return replace(
        known, sources=replace(sources, found=part, scans=scans_by_season(sources.flock, part, sources.today))
    )


def ewes_counted(known: Behind, season: Season, cohort: Cohort) -> list[EweCounted]:
    """The ewes exposed and scanned, in order of their ids, then births whose ewe is not in the book."""
    sources, year = known.sources, season.season
    one = OneSeason(year, season.births, set(season.exposed), cohort, season.lost, set())
    ill, dead, seen = with_mastitis(sources, one), dead_ewes(sources, one), sources.scans.get(year, {})
    births: dict[str | None, tuple[LambingFact, ...]] = {}
    for birth in season.births:
        births[birth.ewe] = (*births.get(birth.ewe, ()), birth)
    named = [
        EweCounted(
            ewe, joining_note(sources.found, ewe, year), known.scans.get((year, season.start, ewe), ""), seen.get(ewe),
            births.get(ewe, ()), ill.get(ewe, ""), dead.get(ewe, ""),
        )
        for ewe in sorted(season.exposed | set(seen))
    ]  # fmt: skip
    return [*named, *(EweCounted(None, births=(birth,)) for birth in births.get(None, ()))]


def joining_note(found: Matings, ewe: str, year: int) -> str:
    """The note of the joining by which a ewe was put to a ram."""
    mating = found.by_ewe.get((ewe, year))
    return mating.joinings[0].origin.path if mating else ""


def first_scan_notes(sources: Sources) -> dict[tuple[int, date | None, str], str]:
    """The note of each ewe's last scan of each season."""
    notes: dict[tuple[int, date | None, str], str] = {}
    for event in sources.flock.of(Scan):
        if event.date and happened(event, sources.today):
            for ewe, _ in ewes_scanned(sources.flock, event):
                season = season_of_scan(sources.found, ewe, event.date)
                notes[season, round_on(sources.found, season, event.date), ewe] = event.origin.path
    return notes


def lambs(known: Behind, season: Season, cohort: Cohort) -> list[LambCounted]:
    """The lambs born, in order of birth."""
    lost = {one.lamb: one for one in season.lost}
    return [
        LambCounted(
            lamb, birth, lost.get(lamb.id),
            weaned(lamb, cohort) if lamb.birth and lamb.birth.line.alive else None, known.weaned.get(lamb.id, ""),
        )
        for birth in season.births for lamb in birth.lambs
    ]  # fmt: skip


def weaned_in_notes(sources: Sources) -> dict[str, str]:
    """The first note that tells of each lamb's weaning."""
    notes: dict[str, str] = {}
    for event in weaning_notes(sources.flock, sources.today):
        for sheep in sources.flock.who(event):
            if sources.weanings.days.get(sheep) == event.date:
                notes.setdefault(sheep, event.origin.path)
    return notes
