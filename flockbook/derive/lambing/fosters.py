"""The foster ledger: which lambs were given to another ewe or to the bottle; the dam that bore them stays their dam."""

from __future__ import annotations

from datetime import date

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.flock import Flock, happened
from flockbook.records.rearing import Foster


class Fostering(Value):
    """One lamb given away. `onto` is the ewe that took it, None for the bottle or where she was not found."""

    lamb: str
    date: date
    dam: str | None
    onto: str | None
    pet: bool
    season: int
    note: str
    line: int


def fosterings(flock: Flock, births: tuple[LambingFact, ...], today: Moment) -> tuple[Fostering, ...]:
    """Every lamb given to another ewe or to the bottle, in order of time; a lamb moved twice stands twice."""
    season_of = {lamb.id: birth.season for birth in births for lamb in birth.lambs}
    found = [*from_births(flock, births)]
    for event in flock.events:
        if not isinstance(event, Foster) or event.date is None or not happened(event, today):
            continue
        onto = flock.named(event, event.onto) if event.onto else None
        line = event.origin.span("onto" if event.onto else "pet").line
        for lamb in flock.who(event):
            season = season_of.get(lamb, event.date.year)
            dam = flock.animals[lamb].dam
            found.append(Fostering(lamb, event.date, dam, onto, bool(event.pet), season, event.origin.path, line))
    return tuple(sorted(found, key=lambda item: (item.date, item.lamb, item.note)))


def from_births(flock: Flock, births: tuple[LambingFact, ...]) -> list[Fostering]:
    """Lambs that their own birth's note says were fostered."""
    found = []
    for birth in births:
        for lamb in birth.lambs:
            name = lamb.birth.line.fostered_to if lamb.birth else None
            if name and lamb.birth and birth.event.date:
                onto, line = flock.named(birth.event, name), lamb.birth.line.span.line
                found.append(
                    Fostering(lamb.id, birth.event.date, lamb.dam, onto, False, birth.season, birth.note, line)
                )
    return found
