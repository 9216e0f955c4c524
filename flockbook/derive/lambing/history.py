"""What a ewe's past gives cause to watch for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from enum import Enum, auto

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.due import DueRow
from flockbook.derive.lambing.birth_lines import BirthLines, Births
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import maiden
from flockbook.derive.lambing.newborn import BirthWeight
from flockbook.derive.plain.because import Reason
from flockbook.derive.weights.gains import birth_weight
from flockbook.flock import Animal, Flock, happened
from flockbook.records.event import Event
from flockbook.records.handling import Check
from flockbook.records.health import Illness
from flockbook.records.pregnancy import Abortion

POOR_MILK = ("short", "none", "one side")
POOR_MOTHERING = 2  # of 5
SOUND = ("ok", "normal")
# Condition of 5 wanted at lambing: 2.0 in hill ewes, more in others (Scotland's Farm Advisory Service, 9 Dec 2024).
THIN = 2.0
SCORE_DAYS = 120  # a condition score older than this says nothing of today's ewe (our own choice)


class Feared(Enum):
    """What there can be to fear of a ewe."""

    HELPED = auto()
    LOST_ALL = auto()
    LITTLE_MILK = auto()
    POOR_MOTHER = auto()
    ILL = auto()
    LOST_EARLY = auto()
    UDDER = auto()
    THIN = auto()
    BIG_LAMB = auto()
    MAIDEN = auto()
    MAIDEN_WITH_A_SINGLE = auto()
    NOTHING_WRITTEN = auto()
    MANY_LAMBS = auto()


class HardBirth(Value):
    """A birth that was helped: its season, and how the lamb lay, "" where that is not written."""

    season: int
    lay: str


class Fear(Reason):
    """One thing to fear of a ewe, as far as it has a year, words of a note, births, a count or a score."""

    what: Feared
    year: int | None = None
    words: str = ""
    births: tuple[HardBirth, ...] = ()
    figure: float = 0


def histories(flock: Flock, births: Births, rows: tuple[DueRow, ...], today: Moment) -> Mapping[str, tuple[Fear, ...]]:
    """For each ewe that is due: what to fear, worst first."""
    by_ewe: dict[str, list[LambingFact]] = {}
    for birth in births.told:
        by_ewe.setdefault(birth.ewe or "", []).append(birth)
    found = {}
    for row in rows:
        notes = [note for note in flock.by_animal.get(row.ewe, ()) if happened(note, today)]
        past = tuple(
            dict.fromkeys((*past_illnesses(notes), *losses(notes), *last_findings(flock, row.ewe, notes, today.day)))
        )
        lambing = row.due.likely or today.day
        first = first_lambing(flock.animals[row.ewe], lambing) if row.ewe not in by_ewe else None
        hers = by_ewe.get(row.ewe, [])
        found[row.ewe] = fears(hers, (*past, *big_lambs(hers, births.lines)), first, row.lambs_scanned)
    return found


def fears(
    births: list[LambingFact], past: tuple[Fear, ...], first: Feared | None, scanned: int | None
) -> tuple[Fear, ...]:
    """One ewe's history."""
    found = []
    helped = tuple(hard_birth(birth) for birth in births if birth.helped)
    if helped:
        found.append(Fear(Feared.HELPED, None, "", helped, len(births)))
    found += [Fear(Feared.LOST_ALL, birth.season) for birth in births if birth.detailed and not birth.alive]
    milked = [birth for birth in births if birth.event.milk in POOR_MILK]
    found += [Fear(Feared.LITTLE_MILK, birth.season, birth.event.milk or "") for birth in milked]
    found += [
        Fear(Feared.POOR_MOTHER, birth.season)
        for birth in births
        if birth.event.mothering and birth.event.mothering <= POOR_MOTHERING
    ]
    found += past
    if first:
        found.append(Fear(Feared.MAIDEN_WITH_A_SINGLE if first is Feared.MAIDEN and scanned == 1 else first))
    if scanned is not None and scanned > 2:
        found.append(Fear(Feared.MANY_LAMBS, figure=scanned))
    return tuple(found)


def big_lambs(births: list[LambingFact], lines: BirthLines) -> Iterator[Fear]:
    """That a ewe had a heavy lamb, once a birth."""
    for birth in births:
        weights = [weight for lamb in birth.lambs if (weight := birth_weight(lamb)) is not None]
        if any(lines.of(kg) is BirthWeight.HEAVY for kg in weights):
            yield Fear(Feared.BIG_LAMB, birth.season)


def hard_birth(birth: LambingFact) -> HardBirth:
    """How a birth had to be helped."""
    return HardBirth(birth.season, next((line.lay_wrong for line in birth.event.lines if line.lay_wrong), ""))


def first_lambing(ewe: Animal, day: date) -> Feared:
    """What is to be thought of a ewe without a lambing: a maiden only where the book can know that she is one."""
    return Feared.MAIDEN if maiden(ewe, day) else Feared.NOTHING_WRITTEN


def past_illnesses(notes: list[Event]) -> Iterator[Fear]:
    """What she was ill with, and when."""
    for note in notes:
        if isinstance(note, Illness) and note.problem and note.date:
            yield Fear(Feared.ILL, note.date.year, note.problem)


def losses(notes: list[Event]) -> Iterator[Fear]:
    """When she lost her lambs before their time."""
    for note in notes:
        if isinstance(note, Abortion) and note.date:
            yield Fear(Feared.LOST_EARLY, note.date.year)


def last_findings(flock: Flock, ewe: str, notes: list[Event], today: date) -> Iterator[Fear]:
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
        yield Fear(Feared.UDDER, day.year, " ".join(word for word in (line.udder, line.udder_side) if word))
    scores = [(day, line.condition) for day, line in seen if line.condition and (today - day).days <= SCORE_DAYS]
    if scores and scores[-1][1] < THIN:
        yield Fear(Feared.THIN, figure=scores[-1][1])
