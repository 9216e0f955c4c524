"""What a ewe's past gives cause to watch for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from compiler.book import Moment
from flockbook.derive.breeding.due import DueRow
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import maiden
from flockbook.derive.lambing.newborn import HEAVY_OVER_KG
from flockbook.derive.weights.gains import birth_weight
from flockbook.flock import Animal, Flock, happened
from flockbook.records.event import Event
from flockbook.records.handling import Check
from flockbook.records.health import Illness
from flockbook.records.pregnancy import Abortion

POOR_MILK = ("short", "none", "one side")
POOR_MOTHERING = 2  # of 5
MAIDEN = "maiden"
SOUND = ("ok", "normal")
# Condition of 5 wanted at lambing: 2.0 in hill ewes, more in others (Scotland's Farm Advisory Service, 9 Dec 2024).
THIN = 2.0
SCORE_DAYS = 120  # a condition score older than this says nothing of today's ewe (our own choice)


def histories(
    flock: Flock, births: tuple[LambingFact, ...], rows: tuple[DueRow, ...], today: Moment
) -> Mapping[str, tuple[str, ...]]:
    """For each ewe that is due: what to fear, in words, worst first."""
    by_ewe: dict[str, list[LambingFact]] = {}
    for birth in births:
        by_ewe.setdefault(birth.ewe or "", []).append(birth)
    found = {}
    for row in rows:
        notes = [note for note in flock.by_animal.get(row.ewe, ()) if happened(note, today)]
        past = tuple(
            dict.fromkeys((*past_illnesses(notes), *losses(notes), *last_findings(flock, row.ewe, notes, today.day)))
        )
        lambing = row.due.likely or today.day
        first = first_lambing(flock.animals[row.ewe], lambing) if row.ewe not in by_ewe else ""
        found[row.ewe] = fears(by_ewe.get(row.ewe, []), past, first, row.lambs_scanned)
    return found


def fears(births: list[LambingFact], past: tuple[str, ...], first: str, scanned: int | None) -> tuple[str, ...]:
    """One ewe's history."""
    found = []
    helped = [birth for birth in births if birth.helped]
    if helped:
        found.append(f"helped {len(helped)} of {len(births)}: " + ", ".join(helped_words(birth) for birth in helped))
    found += [f"lost all her lambs {birth.season}" for birth in births if birth.detailed and not birth.alive]
    found += [f"milk {birth.event.milk} {birth.season}" for birth in births if birth.event.milk in POOR_MILK]
    found += [
        f"poor mother {birth.season}"
        for birth in births
        if birth.event.mothering and birth.event.mothering <= POOR_MOTHERING
    ]
    found += past
    found += [f"big lamb {birth.season}" for birth in births if any(map(heavy, birth.lambs))]
    if first:
        found.append("maiden with a single: it may be big" if first == MAIDEN and scanned == 1 else first)
    if scanned is not None and scanned > 2:
        found.append({3: "triplets"}.get(scanned, f"{scanned} lambs"))
    return tuple(found)


def heavy(lamb: Animal) -> bool:
    """Over the published line at birth."""
    weight = birth_weight(lamb)
    return weight is not None and weight > HEAVY_OVER_KG


def helped_words(birth: LambingFact) -> str:
    """How a birth had to be helped: the year, and how the lamb lay."""
    lay = [line.lay_wrong for line in birth.event.lines if line.lay_wrong]
    return f"{birth.season}" + (f" {lay[0]}" if lay else "")


def first_lambing(ewe: Animal, day: date) -> str:
    """Words for a ewe of which no lambing is written: a maiden only where the book can know that she is one."""
    return MAIDEN if maiden(ewe, day) else "no earlier lambing is written"


def past_illnesses(notes: list[Event]) -> Iterator[str]:
    """What she was ill with, and when."""
    for note in notes:
        if isinstance(note, Illness) and note.problem and note.date:
            yield f"{note.problem} {note.date.year}"


def losses(notes: list[Event]) -> Iterator[str]:
    """When she lost her lambs before their time."""
    for note in notes:
        if isinstance(note, Abortion) and note.date:
            yield f"lost her lambs early {note.date.year}"


def last_findings(flock: Flock, ewe: str, notes: list[Event], today: date) -> Iterator[str]:
    """An unsound udder at its last look, and thin at a recent one."""
    seen = [
        (note.date, line)
        for note in notes
        if isinstance(note, Check) and note.date
        for line in flock.own_lines.get((note.origin.path, ewe), ())
    ]
    udders = [(day, line) for day, line in seen if line.udder]
    if udders and udders[-1][1].udder not in SOUND:
        day, line = udders[-1]
        side = f" {line.udder_side}" if line.udder_side else ""
        yield f"udder {line.udder}{side} {day.year}"
    scores = [(day, line.condition) for day, line in seen if line.condition and (today - day).days <= SCORE_DAYS]
    if scores and scores[-1][1] < THIN:
        yield f"thin: condition {scores[-1][1]:g}"
