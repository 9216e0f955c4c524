"""Which lambs reached weaning, and what they weighed there: one rule for the season, the losses and the factors.

A lamb is weaned on the first weaning note, or weighing whose stage says weaning, that names it. Where a season has
none, a lamb alive at 100 days counts as weaned. A lamb's fate stays open until its season was weaned or it is that
old, so that a death in May does not read as "one of one lost" while all the others are still sucking.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.plain.ages import may_be_lamb
from flockbook.derive.weights.gains import Place
from flockbook.flock import Animal, Flock, gone, happened
from flockbook.records.growth import Weighing
from flockbook.records.rearing import Weaning

# A lamb alive at this age counts as weaned where no weaning was written in its season (Irish practice, 14 weeks).
WEANED_DAYS = 100
# A lamb sold younger than this was not reared here; older, it was (our own choice).
REARED_DAYS = 60
# What the book prints of it, beside the figure and among the workings.
WEANED_RULE = (
    "Weaned are the lambs that a weaning names, or a weighing whose stage says weaning. One that none names counts as "
    f"weaned if it left alive at {REARED_DAYS} days or older, or on or after the last weaning day of its season, or if "
    f"a later note speaks of it; in a season without a weaning, if it lived {WEANED_DAYS} days. One that died up to "
    "the last weaning day, and that no weaning names, was lost. What became of any other is not known: it stands in no "
    "share, and is asked for."
)


class Weanings(Value):
    """The day each lamb was weaned, and its weight in kg where it was weighed then, with the day on which it was: that
    of the first weaning with weights, or weighing at weaning, that names it.
    """

    days: Mapping[str, date] = field(default_factory=dict)
    weights: Mapping[str, float] = field(default_factory=dict)
    weighed: Mapping[str, date] = field(default_factory=dict)

    def last(self, lambs: list[Animal]) -> date | None:
        """The last weaning day of a season's lambs, or None where none was weaned by a note."""
        return max((self.days[lamb.id] for lamb in lambs if lamb.id in self.days), default=None)


def weanings(flock: Flock, today: Moment, doubted: Set[Place] = frozenset()) -> Weanings:
    """Every weaning up to the moment asked about; weights that were asked about are left out, and those on the lines
    `doubted` (a slip of the unit, or a weight that the lamb's age does not allow).
    """
    days: dict[str, date] = {}
    weights: dict[str, float] = {}
    weighed: dict[str, date] = {}
    for event in weaning_notes(flock, today):
        assert event.date is not None
        for sheep in flock.who(event):
            if counts_as_lamb(flock.animals[sheep], event.date):
                days.setdefault(sheep, event.date)
        for line in event.lines:
            lamb = flock.named(event, line.sheep)
            asked = (line.unlikely and not event.sure) or (event.origin.path, line.span.line) in doubted
            if lamb in days and not asked:
                weights.setdefault(lamb, line.weight.kg)
                weighed.setdefault(lamb, event.date)
    return Weanings(days, weights, weighed)


def weaning_notes(flock: Flock, today: Moment) -> Iterator[Weaning | Weighing]:
    """The notes that tell of weaning, in order of time."""
    for event in flock.events:
        if (isinstance(event, Weaning) and happened(event, today)) or (
            isinstance(event, Weighing) and is_at_weaning(event) and happened(event, today)
        ):
            yield event


def is_at_weaning(event: Weighing) -> bool:
    """Whether a weighing's stage says weaning, and not some time after it."""
    return says_weaning(event.stage or "")


def says_weaning(stage: str) -> bool:
    """Whether the words of a stage mean weaning itself."""
    stage = stage.lower()
    return "wean" in stage and not any(word in stage for word in ("post", "after", "pre", "before"))


def counts_as_lamb(animal: Animal, day: date) -> bool:
    """Whether a sheep in a weaning note is taken for a lamb of the season: it can be, or its age is not known."""
    return animal.born is None or may_be_lamb(animal, day)


class Cohort(Value):
    """What has to be known of a season to settle its lambs' fates: its weanings, and the last of them."""

    flock: Flock
    weanings: Weanings
    last: date | None
    today: Moment


def weaned(lamb: Animal, cohort: Cohort) -> bool | None:
    """Whether a live-born lamb reached weaning; None while nobody can know."""
    born, left = lamb.birthday, gone(lamb, cohort.today)
    named = cohort.weanings.days.get(lamb.id)
    if named is not None and not (left is not None and left.dead and left.date < named):
        return True
    if born is None or not fate_settled(born, cohort):
        return None
    end = cohort.last or born + timedelta(days=WEANED_DAYS)
    if left is not None and left.dead:
        return left.date > end or (cohort.last is None and left.date == end)
    if left is not None:
        return True if left.date >= end or (left.date - born).days >= REARED_DAYS else None
    return True if cohort.last is None or noted_after(lamb, end, cohort) else None


def alive_by(animal: Animal, today: Moment) -> bool:
    """Whether it was born alive, by a lambing note of before the moment asked about."""
    return animal.birth is not None and animal.birth.line.alive and happened(animal.birth.note, today)


def left_reared(animal: Animal, day: date) -> bool:
    """Whether a lamb that had left by a day counts as reared: alive, and as old as the season asks for (`weaned`)."""
    left, born = animal.left, animal.birthday
    if left is None or born is None or left.dead or left.date > day:
        return False
    return (left.date - born).days >= REARED_DAYS


def fate_settled(born: date, cohort: Cohort) -> bool:
    """Whether the fate of lambs born on a day can be told by now: their season was weaned, or they are old enough."""
    if cohort.last is not None and born < cohort.last:
        return True
    return (cohort.today.day - born).days >= WEANED_DAYS


def noted_after(lamb: Animal, day: date, cohort: Cohort) -> bool:
    """Whether any note speaks of a lamb on or after a day: it was there at weaning though no list names it."""
    notes = cohort.flock.by_animal.get(lamb.id, ())
    return any(event.date is not None and event.date >= day and happened(event, cohort.today) for event in notes)
