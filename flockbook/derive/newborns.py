"""What each newborn lamb still needs: colostrum by its weight, and what was written as given."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from compiler.book import Moment
from flockbook.derive.gains import birth_weight
from flockbook.derive.lambings import LambingFact
from flockbook.derive.newborn import ColostrumNeed, FirstFeed, colostrum_need, first_feed
from flockbook.flock import Animal, Flock, gone, happened
from flockbook.records.rearing import Feeding

FIRST_DAYS = timedelta(days=2)  # a lamb older than this is past the time of colostrum (the gut closes from 36 h)


@dataclass(frozen=True, slots=True)
class Newborn:
    """One lamb of the last two days: what it needs by its weight, in mL, and what was written as given by hand."""

    lamb: Animal
    born: datetime | None
    need: ColostrumNeed | None
    recorded_ml: float
    first: FirstFeed | None


def newborns(flock: Flock, births: tuple[LambingFact, ...], today: Moment) -> tuple[Newborn, ...]:
    """The lambs born alive in the two days before the moment asked about."""
    given = fed(flock, today)
    found = []
    for birth in births:
        day = birth.event.date
        if day is None:
            continue
        clock = birth.event.born or birth.event.time
        born = datetime.combine(day, clock) if clock else None
        if today.at - (born or datetime.combine(day, datetime.max.time())) > FIRST_DAYS:
            continue
        for lamb in birth.lambs:
            if lamb.birth and lamb.birth.line.alive and gone(lamb, today) is None:
                weight = birth_weight(lamb)
                tubed = lamb.birth.line.tubed_ml or 0.0
                need = colostrum_need(weight) if weight else None
                found.append(
                    Newborn(lamb, born, need, tubed + given.get(lamb.id, 0.0), first_feed(born) if born else None)
                )
    return tuple(found)


def fed(flock: Flock, today: Moment) -> dict[str, float]:
    """Colostrum written in feeding notes, by lamb; milk replacer does not count."""
    found: dict[str, float] = {}
    for event in flock.events:
        if isinstance(event, Feeding) and event.amount and event.what != "milk replacer" and happened(event, today):
            for lamb in flock.who(event):
                found[lamb] = found.get(lamb, 0.0) + event.amount.ml
    return found
