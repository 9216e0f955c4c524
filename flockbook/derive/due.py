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
from flockbook.flock import Flock, happened, there
from flockbook.records.breeding import Lambing

# A ewe stays on the list this long after her last possible day, as overdue; then she counts as barren (our own choice).
KEPT_DAYS = 21


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
    rows = []
    for (ewe, season), mating in sorted(found.by_ewe.items()):
        if (ewe, season) in lambed or not there(flock.animals[ewe], today):
            continue
        posterior = conceived(mating, found, today)
        odds = lambing_distribution(posterior, found.gestation)
        last = odds.window.last if odds.window else mating.first_in
        if today.day > last + timedelta(days=KEPT_DAYS):
            continue
        left = given_not_lambed(odds, today.day)
        rows.append(
            DueRow(ewe, season, due_summary(left), left, mating.rams, because=(*mating.because, constants(found)))
        )
    rows.sort(key=lambda row: (row.due.likely is None, row.due.likely or mating_day(row, found), row.ewe))
    running = max((row.season for row in rows), default=None)
    return DueList(tuple(rows), running, {ewe: path for (ewe, year), path in lambed.items() if year == running})


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
