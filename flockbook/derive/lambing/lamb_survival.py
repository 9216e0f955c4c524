"""How long lambs lived: those born alive, followed until they died, left, were lost sight of or were a year old.

Kaplan-Meier (see `survival`). A lamb that is alive and accounted for is followed to the day asked about; one that no
weaning list names is followed to the last note that names it, since nobody knows what became of it after.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from compiler.shape import Value
from flockbook.derive.lambing.losses import DAY_HOURS, hours_lived
from flockbook.derive.plain.survival import Step, life_table
from flockbook.derive.weights.weaning import Cohort, noted_after
from flockbook.flock import Animal, gone, happened

FOLLOWED_DAYS = 365  # after this a lamb is a hogget (common practice)


class Watched(Value):
    """The life table of a season's lambs, and the animal-time behind a death rate: for how many days each was followed,
    and whether it then died. `youngest` is the age that every lamb of the season has had the time to reach, in days.
    """

    lambs: int = 0
    deaths: int = 0
    lamb_days: int = 0
    steps: tuple[Step, ...] = ()
    followed: tuple[tuple[int, bool], ...] = ()
    youngest: int = 0

    def until(self, age: int) -> tuple[int, int]:
        """Deaths up to an age in days, and the days lived until then."""
        deaths = sum(dead and days <= age for days, dead in self.followed)
        return deaths, sum(min(days, age) for days, _ in self.followed)


def watch(lambs: Iterable[Animal], cohort: Cohort) -> Watched:
    """Follow the lambs born alive."""
    found = [(lamb, age) for lamb in lambs if (age := days_followed(lamb, cohort)) is not None]
    ages = tuple(age for _, age in found)
    times, died = [days for days, _ in ages], [dead for _, dead in ages]
    last = max((lamb.birthday for lamb, _ in found if lamb.birthday), default=cohort.today.day)
    youngest = min(FOLLOWED_DAYS, max(0, (cohort.today.day - last).days))
    return Watched(len(ages), sum(died), sum(times), life_table(times, died), ages, youngest)


def days_followed(lamb: Animal, cohort: Cohort) -> tuple[int, bool] | None:
    """Whole days for which a lamb was followed and whether it then died, by the same hours as its stage of loss; None
    for one born dead or of unknown birthday.
    """
    born = lamb.birthday
    if born is None or lamb.birth is None or not lamb.birth.line.alive:
        return None
    left = gone(lamb, cohort.today)
    end = left.date if left else last_known(lamb, born, cohort)
    days = max(0, (end - born).days)
    if left is not None and left.dead:
        days = max(0, int(hours_lived(lamb.birth.note, left.note, days) // DAY_HOURS))
    if days > FOLLOWED_DAYS:
        return FOLLOWED_DAYS, False
    return days, left is not None and left.dead


def last_known(lamb: Animal, born: date, cohort: Cohort) -> date:
    """The last day on which a lamb that has not left is known to have lived."""
    if cohort.last is None or lamb.id in cohort.weanings.days or noted_after(lamb, cohort.last, cohort):
        return cohort.today.day
    notes = cohort.flock.by_animal.get(lamb.id, ())
    return max((event.date for event in notes if event.date and happened(event, cohort.today)), default=born)
