"""Lambs lost, by stage and by cause, and the same births looked at by the ewe's age, litter, sire, place and helper.

Stages: scan to birth, born dead, birth to 48 h, 48 h to 14 d, 14 d to weaning. Cause names are those of the death note
(classes after Refshauge et al. 2016, Anim. Prod. Sci. 56:726, and Thomson et al. 2020, NZSAP 80:21).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from datetime import date, datetime

from compiler.dates import PartialDate
from compiler.shape import Value
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.plain.intervals import Difference, Share, compare, wilson
from flockbook.derive.weights.weaning import Cohort, weaned
from flockbook.flock import Animal, Flock, gone
from flockbook.records.event import Event
from flockbook.records.health import Death
from flockbook.records.places import Move

UNBORN, DEAD_AT_BIRTH = "scan to birth", "born dead"
FIRST_HOURS, TWO_WEEKS, TO_WEANING = "birth to 48 h", "48 h to 14 d", "14 d to weaning"
STAGES = (UNBORN, DEAD_AT_BIRTH, FIRST_HOURS, TWO_WEEKS, TO_WEANING)
BY_ABORTION, NO_CAUSE = "abortion", "not written"  # causes that no death note gives
DAY_HOURS = 24.0
HOURS_48, DAYS_14 = 48.0, 14 * DAY_HOURS
# A ewe younger than this at her lambing can only be lambing for the first time or, joined as a lamb, the second (2 1/2
# years; from memory). Older ones count as maidens only where the book knows their whole life.
MAIDEN_DAYS = 913
FIRST_LAMBING = "first lambing"
# What stands out is looked for in groups of at least this many (our own choice), and the chance of a false alarm is
# divided by the number of groups looked at (Bonferroni; common practice).
LEAST_GROUP, ALARM = 5, 0.05


class Lost(Value):
    """One lamb lost before weaning. `place` is where it was born, "" when no note says."""

    lamb: str
    stage: str
    cause: str
    date: date
    note: str
    place: str


class LossGroup(Value):
    """One group of births: births helped of all births, lambs lost so far (born dead or before weaning) of all born."""

    label: str
    births: int
    helped: Share
    lost: Share
    malpresented: Share


class Breakdown(Value):
    """The season's births by one thing: parity, litter size, sire, paddock, helper, or several of them together."""

    by: str
    parts: tuple[LossGroup, ...]


class Standout(Value):
    """A group that differs from all others of its season by more than chance would do: `what` is helped or lost."""

    by: str
    label: str
    what: str
    difference: Difference


def lost_lambs(births: Iterable[LambingFact], cohort: Cohort) -> tuple[Lost, ...]:
    """The lambs lost before weaning, in order of time."""
    found = []
    for birth in births:
        for lamb in birth.lambs:
            lost = one_loss(lamb, birth, cohort)
            if lost:
                found.append(lost)
    return tuple(sorted(found, key=lambda lost: (lost.date, lost.lamb)))


def one_loss(lamb: Animal, birth: LambingFact, cohort: Cohort) -> Lost | None:
    """How and when a lamb was lost, or None when it was not."""
    left, born = gone(lamb, cohort.today), lamb.birthday
    if left is None or not left.dead or born is None or lamb.birth is None:
        return None
    place = lambed_at(cohort.flock, birth)
    if not lamb.birth.line.alive:
        return Lost(lamb.id, DEAD_AT_BIRTH, cause_at_birth(lamb), left.date, birth.note, place)
    if weaned(lamb, cohort):
        return None
    note = left.note
    cause = (note.cause or NO_CAUSE).lower() if isinstance(note, Death) else NO_CAUSE
    return Lost(
        lamb.id, stage_of(birth.event, note, (left.date - born).days), cause, left.date, note.origin.path, place
    )


def cause_at_birth(lamb: Animal) -> str:
    """Why a lamb was born dead, as far as its line says."""
    assert lamb.birth is not None
    return lamb.birth.line.cause


def hours_lived(birth: Event, death: object, days: int) -> float:
    """How long a lamb lived: by the hours of both notes, else so many days."""
    if isinstance(death, Event) and death.date and birth.date and death.time and birth.time:
        span = datetime.combine(death.date, death.time) - datetime.combine(birth.date, birth.time)
        return span.total_seconds() / 3600
    return days * DAY_HOURS


def stage_of(birth: Event, death: object, days: int) -> str:
    """The stage of a death. Hours count where both notes have a time; otherwise 48 h are days 0 and 1."""
    hours = hours_lived(birth, death, days)
    if hours < HOURS_48:
        return FIRST_HOURS
    return TWO_WEEKS if hours < DAYS_14 else TO_WEANING


def dead_by_stage(lost: Iterable[Lost], unborn: int) -> dict[str, int]:
    """Lambs lost at each stage; `unborn` are those seen at scanning and never born."""
    counted = Counter(item.stage for item in lost)
    return {stage: unborn if stage == UNBORN else counted[stage] for stage in STAGES}


# The same births by one thing and another


def lambed_at(flock: Flock, birth: LambingFact) -> str:
    """Where a ewe lambed: as her note says, else where the last move before it took her, else ""."""
    if birth.event.place:
        return birth.event.place
    moves = [
        event
        for event in flock.by_animal.get(birth.ewe or "", ())
        if isinstance(event, Move) and event.moment and birth.event.moment and event.moment <= birth.event.moment
    ]
    return (moves[-1].to or "") if moves else ""


def parity_label(flock: Flock, birth: LambingFact) -> str:
    """First or later lambing, as far as the book can know."""
    ewe = flock.animals.get(birth.ewe or "")
    if ewe is None:
        return "ewe not known"
    if birth.parity > 1:
        return "later lambing"
    if maiden(ewe, birth.event.date):
        return FIRST_LAMBING
    return "later lambing" if ewe.born else "age not known"


def maiden(ewe: Animal, day: date | None) -> bool:
    """Whether a ewe of whom no lambing is written has never lambed before that day, as far as the book can know: she
    was born in it, or is too young.
    """
    young = ewe.born and day and (day - middle(ewe.born)).days < MAIDEN_DAYS
    return ewe.birth is not None or bool(young)


def middle(born: PartialDate) -> date:
    """The middle of the days on which a sheep can have been born."""
    return born.earliest + (born.latest - born.earliest) / 2


def litter_label(birth: LambingFact) -> str:
    """single, twins, triplets or more."""
    return {0: "lambs not written", 1: "single", 2: "twins", 3: "triplets"}.get(birth.born, "four or more")


def sire_label(flock: Flock, birth: LambingFact) -> str:
    """The ram, the rams it could be, or that none is known."""
    names = [flock.animals[ram].called for ram in birth.sires]
    return " or ".join(names) if names else "sire not known"


BirthLabel = Callable[[Flock, LambingFact], str]
LOSSES_BY: tuple[tuple[str, BirthLabel], ...] = (
    ("parity", parity_label),
    ("litter size", lambda _, birth: litter_label(birth)),
    ("sire", sire_label),
    ("paddock", lambda flock, birth: lambed_at(flock, birth) or "not written"),
    ("helper", lambda _, birth: birth.event.by or "not written"),
    (
        "sire, parity and litter size",
        lambda flock, birth: ", ".join((sire_label(flock, birth), parity_label(flock, birth), litter_label(birth))),
    ),
)


def breakdowns(flock: Flock, births: tuple[LambingFact, ...], lost: tuple[Lost, ...]) -> tuple[Breakdown, ...]:
    """The season's births by each thing in turn."""
    gone_lambs = {item.lamb for item in lost}
    return tuple(Breakdown(by, parts(flock, births, label, gone_lambs)) for by, label in LOSSES_BY)


def parts(flock: Flock, births: tuple[LambingFact, ...], label: BirthLabel, lost: set[str]) -> tuple[LossGroup, ...]:
    """The groups that one label makes, largest first; never ordered by a share, since most are small."""
    groups: dict[str, list[LambingFact]] = {}
    for birth in births:
        groups.setdefault(label(flock, birth), []).append(birth)
    made = [one_part(name, group, lost) for name, group in groups.items()]
    return tuple(sorted(made, key=lambda part: (-part.births, part.label)))


def one_part(label: str, births: list[LambingFact], lost: set[str]) -> LossGroup:
    """One group's births and lambs."""
    lambs = [lamb.id for birth in births for lamb in birth.lambs]
    return LossGroup(
        label, len(births), wilson(sum(birth.helped for birth in births), len(births)),
        wilson(sum(lamb in lost for lamb in lambs), len(lambs)),
        wilson(sum(birth.malpresented for birth in births), sum(birth.born for birth in births)),
    )  # fmt: skip


def standouts(views: tuple[Breakdown, ...]) -> tuple[Standout, ...]:
    """Groups that differ from the rest of their season by more than chance, however many groups were looked at.

    Of two groups that are each other's rest only the smaller is named.
    """
    asked = [(view, part, what) for view in views for part in view.parts for what in ("helped", "lost")]
    found = []
    for view, part, what in asked:
        mine = part.helped if what == "helped" else part.lost
        rest = all_but(view, part, what)
        if mine.of < LEAST_GROUP or rest.of < mine.of:
            continue
        difference = compare(mine, rest)
        if difference.fisher_p is not None and difference.fisher_p * len(asked) < ALARM:
            found.append(Standout(view.by, part.label, what, difference))
    return tuple(sorted(found, key=lambda item: (item.difference.fisher_p or 0.0, item.by, item.label)))


def all_but(view: Breakdown, part: LossGroup, what: str) -> Share:
    """All groups of a view but one, taken together."""
    rest = [item.helped if what == "helped" else item.lost for item in view.parts if item is not part]
    return wilson(sum(share.count for share in rest), sum(share.of for share in rest))
