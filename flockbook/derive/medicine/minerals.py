"""Trace minerals added up over every product that holds them: too much selenium kills, and it comes from several
bottles.

Strengths are those typed in `trace` (`selenium 0.5 mg/mL`, or `cobalt 500 mg each`); no dose and no limit is built in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.medicine.doses import DoseFact
from flockbook.derive.medicine.medicines import medicines_called
from flockbook.flock import Flock, happened
from flockbook.records.health import Treatment

WINDOW_DAYS = (
    42  # doses of one mineral within six weeks are added up (our own choice; the vet decides what is too much)
)
TRACE = re.compile(
    r"(?P<mineral>[a-z]+)[ :]+(?P<mg>\d+(?:\.\d+)?) ?mg(?: ?(?P<each>/ ?ml|per ml|each|per dose|a dose))?", re.I
)


class MineralDose(Value):
    """One dose of one mineral; `mg` is None where the volume is not known."""

    day: date
    medicine: str
    mg: float | None
    note: str
    line: int


class Overlap(Value):
    """Two or more doses of one mineral to one sheep within six weeks; `mg` is their sum, None if any is not known."""

    sheep: str
    mineral: str
    doses: tuple[MineralDose, ...]
    mg: float | None


def minerals_typed(text: str) -> Iterator[tuple[str, float, bool]]:
    """What a `trace` text holds: mineral, mg, and whether that is for each mL (else for each dose)."""
    for match in TRACE.finditer(text):
        yield match["mineral"].lower(), float(match["mg"]), "ml" in (match["each"] or "ml").lower()


def overlaps(flock: Flock, doses: Mapping[tuple[str, str], DoseFact], today: Moment) -> tuple[Overlap, ...]:
    """Every such run of doses; one that goes on is told whole, not pair by pair."""
    found: dict[tuple[str, str], list[MineralDose]] = {}
    told = [event for event in flock.events if isinstance(event, Treatment) and event.date and happened(event, today)]
    for event in told:
        for sheep in flock.who(event):
            for mineral, dose in minerals_given(flock, event, doses.get((event.origin.path, sheep))):
                found.setdefault((sheep, mineral), []).append(dose)
    return tuple(
        run_total(sheep, mineral, run)
        for (sheep, mineral), items in found.items()
        for run in dose_runs(sorted(items, key=lambda item: item.day))
        if len(run) > 1
    )


def minerals_given(flock: Flock, event: Treatment, fact: DoseFact | None) -> Iterator[tuple[str, MineralDose]]:
    """The minerals of one treatment for one sheep, dose by dose."""
    for medicine in medicines_called(flock, event.medicine)[:1]:
        for mineral, strength, by_ml in minerals_typed(medicine.trace or ""):
            ml = (fact.recorded_ml if fact.recorded_ml is not None else fact.expected_ml) if fact else None
            mg = (None if ml is None else ml * strength) if by_ml else strength
            for when in event.doses:
                line = event.origin.span("medicine").line
                yield mineral, MineralDose(when.date, event.medicine or "", mg, event.origin.path, line)


def dose_runs(doses: list[MineralDose]) -> Iterator[list[MineralDose]]:
    """Doses in order, parted where more than six weeks lie between one and the next."""
    run: list[MineralDose] = []
    for dose in doses:
        if run and (dose.day - run[-1].day).days > WINDOW_DAYS:
            yield run
            run = []
        run.append(dose)
    if run:
        yield run


def run_total(sheep: str, mineral: str, run: list[MineralDose]) -> Overlap:
    """One run added up."""
    known = [dose.mg for dose in run if dose.mg is not None]
    return Overlap(sheep, mineral, tuple(run), sum(known) if len(known) == len(run) else None)
