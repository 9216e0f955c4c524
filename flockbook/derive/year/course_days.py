"""Doses still owed: those of a course, sheep by sheep, and the second dose of a vaccine."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from compiler.book import Moment
from flockbook.derive.medicine.periods import first_day, open_course
from flockbook.derive.plain.because import Because, Reason, Stated
from flockbook.derive.year.deeds import CourseDose, SecondDue, Ticks
from flockbook.derive.year.reminder import Reminder, ReminderSources, stable_id
from flockbook.flock import Flock, happened, there
from flockbook.records.health import Treatment
from flockbook.roll import key_of


class CourseOf(Reason):
    """A course of so many days."""

    days: int


def course_doses(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """The doses of a course that is not written to its end; each stays until it is written for every sheep there."""
    del known
    for event in flock.of(Treatment):
        start = first_day(event)
        if event.days is None or not open_course(event) or start is None or not happened(event, today):
            continue
        sheep = tuple(one for one in flock.who(event) if there(flock.animals[one], today))
        because = Because(event.origin.path, event.origin.span("days").line, "course", reason=CourseOf(event.days))
        missed = False
        for dose in range(event.days if sheep else 0):
            day = start + timedelta(days=dose)
            owed = tuple(one for one in sheep if not was_given(flock, one, event, day, today))
            key = stable_id("course", f"{event.origin.path} {dose}", flock.who(event))
            late = bool(owed) and day < today.day
            what = CourseDose(event.medicine or "", dose + 1, event.days, late, missed and not late)
            missed = missed or late
            yield Reminder(key, "course", day, what, owed or sheep, (because,), not owed, Ticks.GIVEN)


def was_given(flock: Flock, sheep: str, course: Treatment, day: date, today: Moment) -> bool:
    """Whether a dose of a course is written as given to a sheep on a day: in the course's own note, which tells of its
    own day where it lists none, or in another note of the same medicine.
    """
    return any(
        when.date == day
        for event in flock.by_animal.get(sheep, ())
        if isinstance(event, Treatment) and happened(event, today)
        if event is course or key_of(event.medicine or "") == key_of(course.medicine or "")
        for when in event.doses
    )


def second_doses_due(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """Second doses of a vaccine, those of one note together."""
    groups: dict[tuple[str, str], list[str]] = {}
    firsts = {(item.note, item.medicine): item for item in known.cupboard.seconds}
    for item in known.cupboard.seconds:
        groups.setdefault((item.note, item.medicine), []).append(item.sheep)
    for (note, medicine), sheep in groups.items():
        first = firsts[(note, medicine)]
        what = SecondDue(medicine, first.first, first.due_from, today.day > first.due_by)
        whom = tuple(one for one in sheep if there(flock.animals[one], today))
        because = Because(note, None, "second dose", reason=Stated.AS_WRITTEN)
        key = stable_id("second dose", f"{note} {medicine}")
        yield Reminder(key, "second dose", first.due_by, what, whom, (because,), ticked_by=Ticks.SECOND_WRITTEN)
