"""Who has had what comes round: the notes that tick a round off, sheep by sheep, and whom they missed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from functools import lru_cache

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.year.reminder import TICKS_AFTER, TICKS_BEFORE
from flockbook.flock import Animal, Flock, happened, there
from flockbook.records.event import Event
from flockbook.records.handling import Check, Job
from flockbook.records.health import Treatment
from flockbook.records.sheep import EWE, RAM
from flockbook.records.year import Plan, Task
from flockbook.roll import ONE_YEAR, key_of

CLASS_EWES = frozenset({"ewe", "ewes", "female", "females"})
CLASS_RAMS = frozenset({"ram", "rams", "tup", "tups", "buck", "bucks", "male", "males"})
CLASS_LAMBS = frozenset({"lamb", "lambs"})
OF_MEDICINE = ("vaccin", "booster", "drench", "jab", "dose", "inject")  # words of a plan that gives a medicine


class Ticked(Value):
    """Whom the notes of a round name; `everybody` where one of them names nobody."""

    sheep: frozenset[str]
    everybody: bool

    def missed(self, concerned: Iterable[str]) -> tuple[str, ...]:
        """Those of the sheep concerned that no note names."""
        return () if self.everybody else tuple(one for one in concerned if one not in self.sheep)

    def settles(self, concerned: tuple[str, ...]) -> bool:
        """Whether all of them have had it; where nobody in particular is meant, whether anybody has."""
        return not self.missed(concerned) if concerned else self.everybody

    def part_of(self, concerned: tuple[str, ...]) -> bool:
        """Whether some of them have had it and some not."""
        return 0 < len(self.missed(concerned)) < len(concerned)


Does = Callable[[Event], bool]


class RoundDay(Value):
    """The day of one round, and the sheep it is for (nobody where it names none)."""

    day: date
    sheep: tuple[str, ...]

    def near(self, event: Event, today: Moment) -> bool:
        """Whether a note may tick this round off by its day."""
        if event.date is None or not -TICKS_BEFORE <= (event.date - self.day).days <= TICKS_AFTER:
            return False
        return happened(event, today)


def ticked(flock: Flock, does: Does, item: RoundDay, today: Moment) -> Ticked:
    """Whom the notes of one round name; where nobody in particular is meant any such note is enough."""
    if not item.sheep:
        return Ticked(frozenset(), any(does(event) and item.near(event, today) for event in flock.events))
    named = frozenset(
        sheep
        for sheep in item.sheep
        if any(does(event) and item.near(event, today) for event in flock.by_animal.get(sheep, ()))
    )
    return Ticked(named, any(does(event) and item.near(event, today) for event in notes_on_nobody(flock)))


@lru_cache(maxsize=1)
def notes_on_nobody(flock: Flock) -> tuple[Event, ...]:
    """The notes that name no sheep, and so may speak of all; a treatment of nobody known was given to nobody known."""
    return tuple(event for event in flock.events if not flock.who(event) and not isinstance(event, Treatment))


def does_plan(flock: Flock, plan: Plan) -> Does:
    """Whether a note did what a plan asks."""
    return lambda event: same_words(event, plan.what) or answers(flock, event, plan.done_by)


def same_words(event: Event, what: str | None) -> bool:
    """Whether a finished task or a job is called what the plan is called."""
    said = event.what if isinstance(event, Task) and event.done else event.did if isinstance(event, Job) else None
    return bool(said and what) and plain_text(said) == plain_text(what)


def answers(flock: Flock, event: Event, done_by: str | None) -> bool:
    """Whether a note is of the kind, or gives a medicine of the kind or name, that ticks a plan off."""
    word = plain_text(done_by)
    if not word:
        return False
    if event.origin.kind == word or (isinstance(event, Check) and plain_text(event.for_) == word):
        return True
    if isinstance(event, Job) and plain_text(event.did) == word:
        return True
    return isinstance(event, Treatment) and (plain_text(event.medicine) == word or word in medicine_kinds(flock, event))


def medicine_kinds(flock: Flock, event: Treatment) -> set[str]:
    """What kind of medicine a treatment gave."""
    return {plain_text(item.kind) for item in flock.medicines.get(plain_text(event.medicine), ())}


def gives_medicine(flock: Flock, plan: Plan) -> bool:
    """Whether a plan is to give a medicine: by what ticks it off, or by its words."""
    kinds = {plain_text(item.kind) for items in flock.medicines.values() for item in items} - {""}
    words, by = f"{plain_text(plan.what)} {plain_text(plan.done_by)}", plain_text(plan.done_by)
    return by in kinds or by in flock.medicines or any(word in words for word in OF_MEDICINE)


def plain_text(text: str | None) -> str:
    """A text without case or spare blanks."""
    return key_of(text or "")


# Whom a plan is for


def meant(flock: Flock, for_: str | None, day: date, today: Moment) -> tuple[str, ...]:
    """The sheep that were of a class, or of a mob, on a day and are still there; nobody where neither is named."""
    word, day = plain_text(for_), min(day, today.day)
    here = [animal for animal in flock.animals.values() if word and there(animal, today) and animal.present(day)]
    return tuple(animal.id for animal in here if is_meant(animal, word, day))


def is_meant(animal: Animal, word: str, day: date) -> bool:
    """Whether a word of class, or a mob's name, means an animal on a day."""
    young = animal.born is not None and (day - animal.born.latest).days < ONE_YEAR
    if word in CLASS_LAMBS:
        return young
    if word in CLASS_EWES or word in CLASS_RAMS:
        return animal.sex == (EWE if word in CLASS_EWES else RAM) and not young
    return plain_text(animal.mob_on(day)) == word
