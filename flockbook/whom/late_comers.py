"""Births and purchases that were written up late: from an earlier day on that their words tell, the sheep may have been
there (V5, V6).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

from flockbook.flock import Animal, Flock
from flockbook.records.breeding import Hire, Lambing
from flockbook.records.event import Event
from flockbook.records.trade import Purchase
from flockbook.roll import key_of
from flockbook.whom.days import days_told, made
from flockbook.whom.numbers_said import NUMBER_WORDS

THE_NTH = re.compile(r"\bthe (\d{1,2})(?:st|nd|rd|th)\b", re.I)
AGE = re.compile(r"\b(\d{1,2}|a|one|two|three|four|five|six|seven)[ -](day|week)s?[ -]old\b", re.I)
EARLIER = 60  # days before its note within which a birth or a purchase may lie (our own choice)


def late_comers(flock: Flock) -> dict[str, date]:
    """The sheep whose birth or purchase tells of an earlier day than its own, with that day."""
    found: dict[str, date] = {}
    for event in flock.events:
        if isinstance(event, Lambing | Purchase | Hire) and event.date:
            day = min(earlier_days(event, event.date), default=None)
            ids = [lamb.id for lamb in flock.litters.get(event.origin.path, ())] or list(flock.who(event))
            found.update(dict.fromkeys(ids, day) if day else {})
    for sheep, day in named_before(flock):
        found[sheep] = min(day, found.get(sheep, day))
    return found


def named_before(flock: Flock) -> Iterator[tuple[str, date]]:
    """The sheep that an earlier note names than that of their birth or purchase, with its day: somebody weighed, moved
    or lambed her before she is written as come. One with a note of its own that is bought later was here before it, as
    long as no sale of it is read.
    """
    called: dict[str, list[Animal]] = {}
    for animal in flock.animals.values():
        if come(animal) is None or (animal.left and animal.arrived and animal.left.date <= animal.arrived):
            continue
        for word in (*animal.tags, animal.name or ""):
            called.setdefault(key_of(word), []).append(animal)
        if animal.arrived and animal.note is not None and animal.note.bought is None and not animal.hires:
            yield animal.id, date.min
    dated = (event for event in flock.events if event.date) if called else ()
    named = ((event.date, mention.text) for event in dated for mention in event.all_mentions())
    for day, text in named:
        yield from ((one.id, day) for one in called.get(key_of(text), ()) if day and day < (come(one) or date.min))


def come(animal: Animal) -> date | None:
    """The day from which on a sheep is written as here: of its purchase, else its birth."""
    return animal.arrived or (animal.born.earliest if animal.born else None)


def earlier_days(event: Event, day: date) -> Iterator[date]:
    """The earlier days that the words of a note tell, up to two months before its own."""
    texts = [*event.origin.unread.values(), *event.origin.typed.values(), *(cell.text for cell in event.origin.rest)]
    texts += [getattr(line, "remark", "") for line in getattr(event, "lines", ())]
    for text in texts:
        told = (*days_told(text, day.year), *of_month(text, day), *by_age(text, day))
        yield from (one for one in told if day - timedelta(days=EARLIER) <= one < day)


def of_month(text: str, day: date) -> Iterator[date]:
    """`Really since the 9th.`: the last such day of a month before a day."""
    for match in THE_NTH.finditer(text):
        month = day.replace(day=1) if int(match[1]) <= day.day else (day.replace(day=1) - timedelta(days=1))
        yield from made(month.year, month.month, int(match[1]))


def by_age(text: str, day: date) -> Iterator[date]:
    """`five days old`, `a week-old lamb`: the day of birth by an age that a note tells."""
    for match in AGE.finditer(text):
        count = 1 if match[1].lower() == "a" else NUMBER_WORDS.get(match[1].lower()) or int(match[1])
        yield day - timedelta(days=count * (7 if match[2].lower() == "week" else 1))
