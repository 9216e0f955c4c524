"""Who is due when: one row for each ewe that was put to the ram and has not lambed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from compiler.book import Moment
from flockbook.derive.because import Because
from flockbook.derive.conception import Posterior, known_service, season_posterior
from flockbook.derive.lambing_odds import Due, LambingOdds, due_summary, given_not_lambed, lambing_distribution
from flockbook.derive.mating import Mating, Matings
from flockbook.derive.scanning import Scan, narrow_by_scan
from flockbook.flock import Flock, happened, there
from flockbook.records.breeding import Lambing
from flockbook.records.pregnancy import Abortion
from flockbook.records.pregnancy import Scan as ScanNote

# A ewe stays on the list this long after her last possible day, as overdue; then she counts as barren (our own choice).
KEPT_DAYS = 21
# A scan or an abortion this long after ram in still belongs to that joining: ten weeks in and the longest pregnancy.
CARRIED_DAYS = 222


@dataclass(frozen=True, slots=True)
class DueRow:
    """When one ewe is due; `odds` is the whole distribution behind `due`."""

    ewe: str
    season: int
    due: Due
    odds: LambingOdds
    rams: tuple[str, ...]
    lambs_scanned: int | None = None
    because: tuple[Because, ...] = ()


@dataclass(frozen=True)
class DueList:
    """The rows in order of the most likely day, and the ewes of the running season that have lambed."""

    rows: tuple[DueRow, ...] = ()
    season: int | None = None
    lambed: Mapping[str, str] = field(default_factory=dict)


def due_list(flock: Flock, found: Matings, today: Moment) -> DueList:
    """The due list of every season that is running on the day asked about."""
    lambed = lambed_in(flock, found, today)
    scans, lost = scans_by_ewe(flock, today), aborted(flock, today)
    rows = []
    for (ewe, season), mating in sorted(found.by_ewe.items()):
        if (ewe, season) in lambed or not there(flock.animals[ewe], today):
            continue
        if any(mating.first_in <= day <= mating.first_in + timedelta(days=CARRIED_DAYS) for day in lost.get(ewe, ())):
            continue
        scan = next((item for item in reversed(scans.get(ewe, [])) if carries(mating, item.scan.day)), None)
        posterior = conceived(mating, found, today)
        if scan is not None:
            posterior = narrow_by_scan(posterior, scan.scan)
        if posterior.barren >= 1:
            continue
        odds = lambing_distribution(posterior, found.gestation)
        last = odds.window.last if odds.window else mating.first_in
        if today.day > last + timedelta(days=KEPT_DAYS):
            continue
        left = given_not_lambed(odds, today.day)
        why = (*mating.because, *((scan.because,) if scan else ()), constants(found))
        rows.append(DueRow(ewe, season, due_summary(left), left, mating.rams, scan.scan.lambs if scan else None, why))
    rows.sort(key=lambda row: (row.due.likely is None, row.due.likely or mating_day(row, found), row.ewe))
    running = max((row.season for row in rows), default=None)
    return DueList(tuple(rows), running, {ewe: path for (ewe, year), path in lambed.items() if year == running})


@dataclass(frozen=True, slots=True)
class Scanned:
    """One ewe's scan and where it is written."""

    scan: Scan
    because: Because


def scans_by_ewe(flock: Flock, today: Moment) -> dict[str, list[Scanned]]:
    """Every scan of every ewe, in order of time."""
    found: dict[str, list[Scanned]] = {}
    for event in flock.events:
        if isinstance(event, ScanNote) and event.date and happened(event, today):
            for line in event.lines:
                ewe = flock.named(event, line.sheep)
                if ewe:
                    seen = "in lamb" if line.lambs is None else "empty" if not line.lambs else f"{line.lambs} lambs"
                    age = f", {line.days} days on" if line.days else ""
                    text = f"scanned {event.date.isoformat()}: {seen}{age}"
                    because = Because(event.origin.path, line.span.line, "scan", text)
                    found.setdefault(ewe, []).append(Scanned(Scan(event.date, line.lambs, line.days), because))
    return found


def aborted(flock: Flock, today: Moment) -> dict[str, list[date]]:
    """The days on which ewes lost their lambs: they are not due any more."""
    found: dict[str, list[date]] = {}
    for event in flock.events:
        if isinstance(event, Abortion) and event.date and happened(event, today):
            for ewe in flock.who(event):
                found.setdefault(ewe, []).append(event.date)
    return found


def carries(mating: Mating, day: date) -> bool:
    """Whether a scan on that day can be of this season's pregnancy."""
    return mating.first_in < day <= mating.first_in + timedelta(days=CARRIED_DAYS)


def conceived(mating: Mating, found: Matings, today: Moment) -> Posterior:
    """When a ewe can have conceived: a service that was seen, else the joining model."""
    if mating.served and len(mating.served) == len(mating.joinings):
        return known_service(mating.served[-1], found.model)
    return season_posterior(mating.exposures, found.model, today.day)


def lambed_in(flock: Flock, found: Matings, today: Moment) -> dict[tuple[str, int], str]:
    """(Ewe, season) → path of the lambing note."""
    done: dict[tuple[str, int], str] = {}
    for event in flock.events:
        if isinstance(event, Lambing) and happened(event, today):
            for ewe in flock.who(event):
                done[(ewe, found.season_of.get(event.origin.path, 0))] = event.origin.path
    return done


def mating_day(row: DueRow, found: Matings) -> date:
    """A stand-in date for ewes that have no likely day left."""
    return found.by_ewe[(row.ewe, row.season)].first_in


def constants(found: Matings) -> Because:
    """The figures the model used."""
    gestation, model = found.gestation, found.model
    text = (
        f"pregnancy {gestation.mean:g} days (window {gestation.shortest}-{gestation.longest}, spread "
        f"{gestation.sd:g}); heat every "
        f"{model.cycle.mean} days; {model.no_cycle:.0%} do not cycle; {model.conceive:.0%} hold at a heat; "
        f"{model.mark_seen:.0%} of matings leave a mark"
    )
    return Because("", None, "model", text)
