"""The year's health in figures, this season beside the last: what a vet is shown once a year."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.health.cases import Case, Cases
from flockbook.derive.health.reduction_tests import ReductionTest
from flockbook.derive.health.worms import WormCheck, Worms
from flockbook.derive.medicine.medicine_register import MedicineEntry
from flockbook.derive.season.season_days import SeasonDays
from flockbook.derive.season.season_scans import season_of_scan
from flockbook.derive.season.seasons import Season
from flockbook.flock import Flock, happened
from flockbook.records.pregnancy import Abortion
from flockbook.roll import key_of


class MedicineUse(Value):
    """One kind of medicine in one season: treatments, animals in them, and the mL where all amounts are written."""

    kind: str
    treatments: int
    heads: int
    ml: float | None


class ReviewYear(Value):
    """One season."""

    season: int
    exposed: int
    lambed: int
    born: int
    alive: int
    dead_by_stage: Mapping[str, int]
    ewe_deaths: int
    abortions: int
    cases: Mapping[str, int]
    open_cases: int
    samples: tuple[Case, ...]
    medicines: tuple[MedicineUse, ...]
    worm_checks: tuple[WormCheck, ...]
    group_drenches: int
    egg_tests: tuple[ReductionTest, ...]


class HealthReview(Value):
    """This season and the one before; None where there is none."""

    now: ReviewYear | None = None
    before: ReviewYear | None = None

    @property
    def years(self) -> tuple[ReviewYear, ...]:
        """Those there are, the earlier first."""
        return tuple(item for item in (self.before, self.now) if item)


class ReviewSources(Value):
    """What a review is made from."""

    flock: Flock
    seasons: tuple[Season, ...]
    days: SeasonDays
    cases: Cases
    worms: Worms
    register: tuple[MedicineEntry, ...]
    found: Matings
    today: Moment


def health_review(known: ReviewSources) -> HealthReview:
    """The season of today, and the one before it that has any figures."""
    by_year = {season.season: season for season in known.seasons}
    now = known.days.of(known.today.day)
    if now not in by_year:
        now = max(by_year, default=now)
    earlier = [year for year in by_year if year < now]
    return HealthReview(
        review_year(known, now, by_year.get(now)), review_year(known, max(earlier), by_year[max(earlier)]) if earlier
        else None,
    )  # fmt: skip


def review_year(known: ReviewSources, year: int, season: Season | None) -> ReviewYear:
    """One season's figures."""
    counts = season.counts if season else None
    cases = [case for case in known.cases.all if case.season == year]
    entries = [entry for entry in known.register if not entry.struck_by and season_of_dose(known, entry) == year]
    checks = tuple(item for item in known.worms.sessions if known.days.of(item.date) == year)
    return ReviewYear(
        year, counts.exposed if counts else 0, counts.lambed if counts else 0, counts.born if counts else 0,
        counts.alive if counts else 0, dict(counts.dead_by_stage) if counts else {},
        counts.ewe_deaths if counts else 0, aborted_ewes(known, year),
        dict(Counter(case.problem for case in cases).most_common()), sum(case.open for case in cases),
        tuple(case for case in cases if any(note.sample or note.result for note in case.notes)),
        tuple(medicines_by_kind(entries)), checks,
        sum(known.days.of(item.date) == year for item in known.worms.group_drenches), tuple(tests_of_year(known, year)),
    )  # fmt: skip


def first_dose(entry: MedicineEntry) -> date | None:
    """The day of a treatment's first dose."""
    return min((when.date for when in entry.doses), default=entry.event.date)


def season_of_dose(known: ReviewSources, entry: MedicineEntry) -> int | None:
    """The season that a treatment belongs to: what most of its sheep got in lamb is of the lambing to come, once that
    has begun; None for one to come.
    """
    day = first_dose(entry)
    if day is None or day > known.today.day:
        return None
    base = known.days.of(day)
    joined = Counter(season for sheep in entry.sheep if (season := carried_for(known, sheep, day)) > base)
    season, ewes = joined.most_common(1)[0] if joined else (base, 0)
    return begun_season(known, season) if ewes * 2 > len(entry.sheep) else base


def carried_for(known: ReviewSources, sheep: str, day: date) -> int:
    """The last season for which a ewe had been put to a ram by a day; 0 for none."""
    hers = (one for year in (day.year, day.year + 1) if (one := known.found.by_ewe.get((sheep, year))))
    return max((one.season for one in hers if one.first_in <= day), default=0)


def begun_season(known: ReviewSources, season: int) -> int:
    """A season, or the one of today while that season has not begun."""
    return min(season, known.days.of(known.today.day))


def aborted_ewes(known: ReviewSources, year: int) -> int:
    """Ewes that lost their lambs before their time, by the pregnancy that it was."""
    return sum(
        begun_season(known, season_of_scan(known.found, ewe, event.date)) == year
        for event in known.flock.of(Abortion)
        if event.date and happened(event, known.today)
        for ewe in known.flock.who(event) or ("",)
    )


def medicines_by_kind(entries: Iterable[MedicineEntry]) -> Iterable[MedicineUse]:
    """What was given, by the kind that its note has; "" where none is written."""
    groups: dict[str, list[MedicineEntry]] = {}
    for entry in entries:
        groups.setdefault(key_of(entry.medicine.kind or "") if entry.medicine else "", []).append(entry)
    for kind, found in sorted(groups.items(), key=lambda item: (-len(item[1]), item[0])):
        amounts = [entry.total_ml for entry in found]
        whole = sum(amount for amount in amounts if amount is not None) if None not in amounts else None
        yield MedicineUse(kind, len(found), sum(len(entry.sheep) for entry in found), whole)


def tests_of_year(known: ReviewSources, year: int) -> Iterable[ReductionTest]:
    """The tests of a drench that was given in a season."""
    return (test for test in known.worms.eggs.tests if test.drenched and known.days.of(test.drenched) == year)
