"""Who stays: for every grown ewe the reasons for and against her, each with its notes, by the flock's own rules.

Nothing is added up and nothing is weighed. `cull` is suggested when one of the flock's rules against her is met in
full, `watch` when anything else stands against her or too little is known, `keep` when nothing does and something
speaks for her. The choice is the shepherd's.
"""

from __future__ import annotations

from compiler.shape import Value
from flockbook.derive.choosing.ewe_file import EweFile, EweReason, Testimony
from flockbook.derive.choosing.reasons_against import AGAINST
from flockbook.derive.choosing.reasons_for import FOR
from flockbook.derive.medicine.withdrawal import Clearance
from flockbook.flock import Animal, happened, there
from flockbook.records.sheep import EWE
from flockbook.roll import ONE_YEAR

KEEP, WATCH, CULL = "keep", "watch", "cull"
# What the book prints of the rule.
CHOOSING_RULE = (
    "Cull is suggested when at least one rule below is met in full, or when you wrote a cull note yourself. Watch: "
    "when anything else stands against her, or too little is known. Keep: when nothing else stands against her, "
    "something speaks for her, and it is known how at least one of her seasons ended.",
    "Set your own figures in flock.yaml in a group “choosing”, for example “helped births: 3”. A rule set to 0 leaves "
    "the reason standing and only asks to watch. An illness that is over, or lameness that came once, is named and "
    "does not by itself change what is suggested.",
    "Lambs count for the ewe that reared them. “May lamb about” is the most likely day of a ewe put to the ram. The "
    "notes behind each reason stand on the ewe's own page.",
)


class Choice(Value):
    """One ewe: what speaks for and against her, what follows by the rule, and whether she may be sold.

    `little` says that too little is known of her.
    """

    ewe: str
    for_: tuple[EweReason, ...]
    against: tuple[EweReason, ...]
    suggest: str
    little: bool
    standing: Clearance | None


def choices(testimony: Testimony) -> tuple[Choice, ...]:
    """Every grown ewe that is here, in order of her id."""
    found = []
    for animal in testimony.flock.animals.values():
        if animal.sex == EWE and there(animal, testimony.today) and is_grown(testimony, animal):
            found.append(one_choice(testimony, animal))
    return tuple(sorted(found, key=lambda choice: choice.ewe))


def is_grown(testimony: Testimony, animal: Animal) -> bool:
    """Whether a ewe is a year old, or has been put to a ram or lambed already; one of unknown age is."""
    if animal.born is None or testimony.years.of(animal.id):
        return True
    return (testimony.today.day - animal.born.latest).days >= ONE_YEAR


def one_choice(testimony: Testimony, animal: Animal) -> Choice:
    """One ewe's reasons and what follows from them."""
    notes = tuple(note for note in testimony.flock.by_animal.get(animal.id, ()) if happened(note, testimony.today))
    file = EweFile(testimony, animal, testimony.years.of(animal.id), notes, testimony.cases.by_sheep.get(animal.id, ()))
    good = tuple(reason for find in FOR if (reason := find(file)))
    bad = tuple(reason for find in AGAINST if (reason := find(file)))
    known = any(year.known for year in file.years)
    return Choice(
        animal.id, good, bad, suggestion(good, bad, known), not known,
        testimony.guard.standing.get(animal.id),
    )  # fmt: skip


def suggestion(good: tuple[EweReason, ...], bad: tuple[EweReason, ...], known: bool) -> str:
    """cull, watch or keep by the rule at the head of this file; with no season known it never says keep."""
    if any(reason.full for reason in bad):
        return CULL
    return KEEP if good and known and all(reason.slight for reason in bad) else WATCH
