"""Whom a joining puts together, when it is over where its end is not written, and when a next one is another turn."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.gestation import Gestation
from flockbook.flock import Animal, Flock, happened
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.places import Drafting, Move
from flockbook.records.pregnancy import Scan
from flockbook.records.sheep import RAM
from flockbook.roll import key_of

# Five months, the earliest that a sheep breeds (New Mexico State University, Normal Breeding Habits of Sheep).
PUBERTY_DAYS = 150
# A joining whose end is not written is taken to last five weeks, or until today (Zoetis Australia, Length of joining).
JOIN_DAYS = 35
# And no longer than this, whatever day is asked about: a last day once passed does not move (our own choice).
OPEN_DAYS = 365
# So long after a written ram out the next ram is no longer one for stragglers (our own choice).
ANOTHER_TURN = 60
# So long after a ram went in a scan sees what he got (our own choice).
SCAN_SEES = 30


# A ram's coming out, in the words of a note on him.
RAM_IS_OUT = re.compile(r"\b(?:out|away|off|home|apart|pulled|lifted|removed)\b", re.I)


class JoinedGroup(Value):
    """One joining with its rams and every ewe's marks."""

    event: Joining
    rams: tuple[str, ...]
    marks: Mapping[str, tuple[date, ...]]
    told_out: date | None = None


def rams_of(flock: Flock, event: Joining) -> tuple[str, ...]:
    """The rams of a joining."""
    found = [flock.named(event, text) for text in event.rams]
    return tuple(ram for ram in found if ram)


def too_young_ram(animal: Animal, day: date) -> bool:
    """Whether a ram cannot have got a lamb by a day: he was born less than five months before it."""
    return animal.born is not None and day < animal.born.earliest + timedelta(days=PUBERTY_DAYS)


def ewes_of(flock: Flock, event: Joining) -> tuple[str, ...]:
    """The ewes of a joining; one that is only named in its marks was there too."""
    rams = set(rams_of(flock, event))
    marked = [flock.named(event, name.text) for line in event.lines for name in line.ewes]
    named = [*flock.who(event), *(ewe for ewe in marked if ewe)]
    return tuple(dict.fromkeys(ewe for ewe in named if ewe not in rams and flock.animals[ewe].sex != RAM))


def taken_until(begins: date, today: Moment) -> date:
    """Until when a joining lasts whose end is not written: until today, and two heats at least, a year at most."""
    return max(min(today.day, begins + timedelta(days=OPEN_DAYS)), begins + timedelta(days=JOIN_DAYS))


def told_out(flock: Flock, event: Joining, today: Moment) -> date | None:
    """Where no end is written: the day on which the last of the rams was drafted into another mob than that of the
    ewes, or left the flock; None where one is still with them for all the notes say.
    """
    if event.out or event.date is None:
        return None
    ewes = ewes_of(flock, event)
    days = [drafted_away(flock, ram, event, ewes, today) for ram in rams_of(flock, event)]
    known = [day for day in days if day]
    return max(known) if known and len(known) == len(days) else None


def came_out(flock: Flock, event: Joining, today: Moment) -> bool:
    """Whether a note since the written day out bears it out: one that moves or drafts its rams, or says of one in words
    that he is out; that one has left; a scan or a birth of its ewes; a later joining of either.
    """
    out, rams, ewes = event.out or today.day, rams_of(flock, event), ewes_of(flock, event)
    since = [
        (sheep, note) for sheep in (*rams, *ewes) for note in flock.by_animal.get(sheep, ())
        if note is not event and note.date and note.date >= out and happened(note, today)
    ]  # fmt: skip
    if any(isinstance(note, (Scan, Lambing, Joining)) for _, note in since):
        return True
    left = (flock.animals[ram].left for ram in rams)
    return any(one and one.date <= today.day for one in left) or any(
        isinstance(note, (Move, Drafting)) or RAM_IS_OUT.search(note.origin.written)
        for sheep, note in since if sheep in rams
    )  # fmt: skip


def drafted_away(flock: Flock, ram: str, event: Joining, ewes: tuple[str, ...], today: Moment) -> date | None:
    """The first day after a joining began on which a draft parts its ram from all its ewes, or he leaves."""
    since, left = event.date or today.day, flock.animals[ram].left
    days = [
        note.date
        for note in flock.by_animal.get(ram, ())
        if isinstance(note, Drafting) and note.date and note.date > since and happened(note, today)
        if not set(ewes) & set(flock.who(note))
        and key_of(note.into or "") not in {key_of(flock.animals[ewe].mob_on(note.date) or "") for ewe in ewes}
    ]
    days += [left.date] if left and since < left.date <= today.day else []
    return min(days, default=None)


def in_turns(groups: Iterable[JoinedGroup], gestation: Gestation) -> list[list[JoinedGroup]]:
    """Joinings of one ewe, parted where she can have lambed between, or was without a ram for long."""
    turns: list[list[JoinedGroup]] = []
    for group in sorted(groups, key=lambda one: one.event.date or date.min):
        if turns and not another_turn(turns[-1], group, gestation):
            turns[-1].append(group)
        else:
            turns.append([group])
    return turns


def another_turn(before: list[JoinedGroup], group: JoinedGroup, gestation: Gestation) -> bool:
    """Whether a joining begins another turn than those before it."""
    begun, begins = before[0].event.date, group.event.date
    outs = [one.event.out for one in before if one.event.out]
    if begun is None or begins is None:
        return False
    alone = len(outs) == len(before) and (begins - max(outs)).days > ANOTHER_TURN
    return alone or apart_enough(begun, begins, gestation)


def apart_enough(before: date, after: date, gestation: Gestation) -> bool:
    """Whether the shortest pregnancy lies between two days on which rams went in."""
    return (after - before).days >= gestation.extremes[0]
