"""Lambs that were cold, weak or fed by hand when last written of, and of which nothing is heard since."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.book import Moment
from flockbook.derive.farm.head_counts import names_itself
from flockbook.derive.lambing.after_birth import born_at, end_of_day
from flockbook.derive.lambing.lamb_warmth import warmth
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.newborn import LambState
from flockbook.derive.lambing.newborns import FIRST_DAYS, bottle_fed, hand_reason
from flockbook.derive.year.owed_births import nurse_here
from flockbook.derive.year.owings import NotHeardOf, OwedFamily, OwedItem, OwedSources, Owing
from flockbook.flock import Animal, Flock, gone, happened, nurse_of
from flockbook.records.event import Event
from flockbook.records.handling import Check
from flockbook.records.rearing import Feeding, Foster


def not_heard_of(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Such lambs once the first two days are over, until any note of its own on the lamb or its dam; what a litter is
    owed stands together.
    """
    pets = bottle_fed(flock, today)
    alike: dict[tuple[str, str, NotHeardOf], list[str]] = {}
    for birth in known.births:
        if today.at - (born_at(birth) or end_of_day(birth)) <= FIRST_DAYS:
            continue
        for lamb in birth.lambs:
            last = last_word(flock, birth, lamb, today) if lives_still(lamb, today) else None
            why = hand_reason(flock, birth, lamb, pets, today) if last else None
            warm = warmth(flock, lamb, born_at(birth), today) if last else None
            cold = warm.advice.state if warm and warm.advice else LambState.NORMAL
            if last and last.date and (why or cold is not LambState.NORMAL):
                head = nurse_here(flock, lamb.id, birth.ewe, today)
                what = NotHeardOf(last.date, last.time, why, cold)
                alike.setdefault((head, birth.note, what), []).append(lamb.id)
    for (head, note, what), lambs in alike.items():
        yield Owing(head, OwedItem(OwedFamily.BIRTH, tuple(lambs), what, None, note))


def lives_still(lamb: Animal, today: Moment) -> bool:
    """Whether a lamb was born alive and is still here."""
    return lamb.birth is not None and lamb.birth.line.alive and gone(lamb, today) is None


def last_word(flock: Flock, birth: LambingFact, lamb: Animal, today: Moment) -> Event | None:
    """The last feeding, fostering or look of a lamb's first days, else its birth; None where any other note tells of it
    or of the ewe that has it.
    """
    ewes = {one for one in (birth.ewe, nurse_of(lamb, today)) if one and gone(flock.animals[one], today) is None}
    last: Event = birth.event
    for sheep in (lamb.id, *sorted(ewes)):
        for note in flock.by_animal.get(sheep, ()):
            if not written_after(note, birth.event, today) or not names_itself(flock, note, sheep):
                continue
            if sheep != lamb.id or not isinstance(note, Feeding | Foster | Check) or is_past(note, birth):
                return None
            last = note
    return last


def written_after(note: Event, birth: Event, today: Moment) -> bool:
    """Whether a note was written after a birth."""
    if note is birth or note.date is None or birth.date is None or not happened(note, today):
        return False
    if note.moment is None or birth.moment is None:
        return note.date > birth.date
    return note.moment > birth.moment


def is_past(note: Event, birth: LambingFact) -> bool:
    """Whether a note is of a time after the first two days."""
    return note.moment is not None and note.moment - (born_at(birth) or end_of_day(birth)) > FIRST_DAYS
