"""What is owed at birth: to ewes in labour, to cold lambs, to newborns and their dams, and after help."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from compiler.book import Moment
from flockbook.derive.lambing.after_birth import CHILLED_HOURS, BirthPoint, OpenItem, StillOwed
from flockbook.derive.lambing.labour_limits import LabourState, later
from flockbook.derive.lambing.labours import FORGOTTEN
from flockbook.derive.year.deeds import LookAgain
from flockbook.derive.year.owings import (
    CalledColdLamb,
    ColdLamb,
    InLabour,
    NeverWrittenUp,
    OpenPoint,
    OwedFamily,
    OwedItem,
    OwedSources,
    Owing,
    end_of,
)
from flockbook.flock import Flock, happened, nurse_of, there
from flockbook.records.breeding import Lambing
from flockbook.records.pregnancy import Abortion, Labour
from flockbook.settings import zone_of


def labours_owed(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Ewes in labour, by the limit that comes next, or that has passed last."""
    del flock, today
    for one in known.labours:
        vet = one.clock.ring_vet
        limits = {LabourState.STEP_IN: one.clock.step_in, LabourState.RING_VET: vet, LabourState.HELPED: vet}
        by = limits.get(one.standing, one.clock.look_again) if one.standing else one.clock.look_again
        what = InLabour(one.clock, one.standing, one.shows, one.amiss)
        yield Owing(one.ewe, OwedItem(OwedFamily.LABOUR, (one.ewe,), what, by, one.note))


def forgotten_labours(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Labours that no clock counts any more and of which nothing is written since."""
    del known
    for event in flock.of(Labour):
        if event.date is None or not happened(event, today) or today.at - end_of(event.date) < FORGOTTEN:
            continue
        for ewe in flock.who(event):
            if there(flock.animals[ewe], today) and not told_since(flock, ewe, event, today):
                what = NeverWrittenUp(event.date)
                yield Owing(ewe, OwedItem(OwedFamily.LABOUR, (ewe,), what, end_of(event.date), event.origin.path, True))


def told_since(flock: Flock, ewe: str, labour: Labour, today: Moment) -> bool:
    """Whether a birth of that day or later, or any later note on a ewe, follows her labour."""
    notes = (note for note in flock.by_animal.get(ewe, ()) if happened(note, today) and note is not labour)
    return any(
        note.date is not None
        and labour.date is not None
        and (note.date > labour.date or (note.date == labour.date and isinstance(note, Lambing | Abortion)))
        for note in notes
    )


def cold_lambs(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Lambs that were chilled or feverish when last measured, or are called cold: each has a row of its own."""
    del flock, today
    zone = zone_of(known.settings)
    for one in known.newborns:
        warm = one.warmth
        if warm and warm.advice and warm.amiss and one.lamb.birth:
            by = later(warm.at, timedelta(hours=CHILLED_HOURS), zone) if warm.at else None
            what, note = (
                ColdLamb(warm.celsius, warm.at, warm.advice.state, one.lamb.dam, warm.advice.steps[0], warm.head_up),
                one.lamb.birth.note.origin.path,
            )
            yield Owing(one.lamb.id, OwedItem(OwedFamily.CHILLED, (one.lamb.id,), what, by, note))
        elif one.called_cold:
            called = one.called_cold
            told = CalledColdLamb(called.word, called.day, called.at, one.lamb.dam, one.limp)
            yield Owing(one.lamb.id, OwedItem(OwedFamily.CHILLED, (one.lamb.id,), told, None, called.note))


def birth_points(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """What is owed after the births of the last days; a litter's points stand in the row of the ewe that has it."""
    dams = {birth.note: birth.ewe for birth in known.births}
    alike: dict[tuple[str, str, StillOwed, datetime | None], list[OpenItem]] = {}
    for item in known.open_items:
        if item.what.what is not BirthPoint.WARMTH:
            head = nurse_here(flock, item.sheep, dams.get(item.note), today)
            alike.setdefault((head, item.note, item.what, item.by), []).append(item)
    for (head, note, _, by), items in alike.items():
        sheep = tuple(item.sheep for item in items)
        yield Owing(head, OwedItem(OwedFamily.BIRTH, sheep, OpenPoint(items[0]), by, note))


def nurse_here(flock: Flock, sheep: str, dam: str | None, today: Moment) -> str:
    """The ewe in whose row a lamb's points stand: whom it was given to, else its dam; itself where she is gone."""
    nurse = nurse_of(flock.animals[sheep], today) or dam
    return nurse if nurse and there(flock.animals[nurse], today) else sheep


def looks_owed(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Looks after help that nobody wrote of, once the hours of the first days are over."""
    del flock, today
    told = {item.note for item in known.open_items}
    for one in known.reminders:
        if isinstance(one.what, LookAgain) and not one.done and one.because[0].note not in told:
            by, note = end_of(one.date + timedelta(1)), one.because[0].note
            yield from (Owing(ewe, OwedItem(OwedFamily.BIRTH, (ewe,), one.what, by, note, True)) for ewe in one.sheep)
