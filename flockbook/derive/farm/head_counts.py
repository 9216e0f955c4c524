"""Heads counted in a mob, held against who should have been in it that day.

Where the tags were read (`seen`), whoever should be there and was not seen is missing by name. Where only heads were
counted nobody can say who is missing: then the sheep that have gone longest without a note are named as where to begin.
"""

from __future__ import annotations

from datetime import date

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.plain.because import Because, Reason
from flockbook.flock import Animal, Flock, happened
from flockbook.records.event import Event, Mention
from flockbook.records.places import HeadCount

CountDay = date  # for classes that have a field of that name
BEGIN_WITH = 3  # sheep named as where to begin looking, beyond the number that is short (our own choice)


class CountHeld(Reason):
    """A count held against the roll: heads counted, how many by tag, how many the notes expect in the mob."""

    counted: int
    by_tag: int
    expected: int
    mob: str


class LastSeen(Value):
    """A sheep and the last dated note before the count that names it, or that it was born in; None without one."""

    sheep: str
    date: date | None
    note: str


class CountFact(Value):
    """One count held against the roll.

    `missing` were not seen though tags were read; `begin_with` are those longest without a note, where heads were short
    and no tags were read; `strangers` were seen and belong elsewhere. `put_right` is the day of a later count of the
    same mob that agrees.
    """

    note: str
    mob: str
    date: date
    counted: int
    expected: tuple[str, ...]
    missing: tuple[LastSeen, ...] = ()
    begin_with: tuple[LastSeen, ...] = ()
    strangers: tuple[str, ...] = ()
    put_right: CountDay | None = None
    because: tuple[Because, ...] = ()

    @property
    def short(self) -> int:
        """How many fewer than expected; below 0 when there were more."""
        return len(self.expected) - self.counted

    @property
    def agrees(self) -> bool:
        """Whether the count is what the notes say."""
        return not self.short and not self.missing and not self.strangers


def head_counts(flock: Flock, today: Moment) -> tuple[CountFact, ...]:
    """Every count up to the moment asked about that says how many, or which, in order of time."""
    events = [event for event in flock.events if isinstance(event, HeadCount) and happened(event, today)]
    facts = [one_count(flock, event) for event in events if event.count is not None or event.seen]
    return tuple(replace(fact, put_right=agreed_later(fact, facts[place + 1 :])) for place, fact in enumerate(facts))


def agreed_later(fact: CountFact, later: list[CountFact]) -> date | None:
    """The day on which a later count of the same mob agreed, for a count that did not."""
    if fact.agrees:
        return None
    return next((item.date for item in later if item.agrees and item.mob == fact.mob), None)


def one_count(flock: Flock, event: HeadCount) -> CountFact:
    """One count held against the roll."""
    assert event.date is not None
    whom = flock.who(event) if event.mob or event.seen else whole_flock(flock, event.date)
    expected = tuple(sorted(sheep for sheep in whom if still_there(flock.animals[sheep], event)))
    seen = {sheep for text in event.seen if (sheep := flock.named(event, text))}
    counted = event.count if event.count is not None else len(event.seen)
    unseen = [sheep for sheep in expected if sheep not in seen]
    short = len(expected) - counted
    begin = unseen if short > 0 and not event.seen else []
    # Tags read in part: as many were seen as the count says, or the rest were only counted.
    whole = len(event.seen) >= counted
    held = CountHeld(counted, len(event.seen), len(expected), event.mob or "")
    return CountFact(
        event.origin.path,
        event.mob or "",
        event.date,
        counted,
        expected,
        sightings(flock, unseen, event) if event.seen and whole else (),
        sightings(flock, begin, event)[: short + BEGIN_WITH],
        tuple(sorted(seen - set(expected))) if event.mob else (),
        None,
        (Because(event.origin.path, event.origin.span("count").line, "count", reason=held),),
    )


def whole_flock(flock: Flock, day: date) -> tuple[str, ...]:
    """Whom a count means that names neither a mob nor a tag: all that were in the flock that day."""
    return tuple(animal.id for animal in flock.animals.values() if animal.present(day))


def still_there(animal: Animal, event: HeadCount) -> bool:
    """Whether an animal had not left by then; one that left that day, in a note with no later time, had."""
    left = animal.left
    if left is None or event.date is None or left.date > event.date:
        return True
    note = left.note
    if left.date < event.date or not isinstance(note, Event):
        return False
    return bool(event.time and note.time and note.time > event.time)


def sightings(flock: Flock, sheep: list[str], event: HeadCount) -> tuple[LastSeen, ...]:
    """When each was last seen before a count, the longest ago first."""
    found = [seen_before_count(flock, flock.animals[item], event) for item in sheep]
    return tuple(sorted(found, key=lambda item: (item.date or date.min, item.sheep)))


def seen_before_count(flock: Flock, animal: Animal, event: HeadCount) -> LastSeen:
    """The last note before a count that names a sheep itself; a note on its whole mob does not."""
    until = event.moment
    notes = [note for note in flock.by_animal.get(animal.id, ()) if until and note.moment and note.moment < until]
    before = [note for note in notes if names_itself(flock, note, animal.id)]
    if before:
        return LastSeen(animal.id, before[-1].date, before[-1].origin.path)
    if animal.birth:
        return LastSeen(animal.id, animal.birth.note.date, animal.birth.note.origin.path)
    return LastSeen(animal.id, animal.arrived, animal.note.origin.path if animal.note else "")


def names_itself(flock: Flock, note: Event, sheep: str) -> bool:
    """Whether a note names a sheep itself."""
    mentions: list[Mention] = list(note.all_mentions())
    if not note.mob:
        return True
    return any(flock.named(note, mention.text) == sheep for mention in mentions if mention.field != "except_")
