"""Which treatments can be the dose that some words tell of (V8)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta

from compiler.schema import Record
from compiler.shape import Value, replace
from flockbook.records.remarks import Remark
from flockbook.whom.course_words import WEEKDAY_WORDS, either, tells_of_a_course
from flockbook.whom.days import days_told
from flockbook.whom.dosing_words import (
    AGAIN,
    BY_MOUTH,
    BY_NEEDLE,
    FURTHER,
    HAD_IT,
    IN_ML,
    IN_MOUTH,
    IN_NEEDLE,
    SAME_ALONE,
    without_negations,
)
from flockbook.whom.measures import DOSE
from flockbook.whom.medicine_sorts import SaidOf, sorts_told
from flockbook.whom.whereabouts import Window

ANSWER_DAYS = 7  # days within which a treatment of the same sheep answers a dose told elsewhere (our own choice)
LATE_WORD = 3  # days after a treatment within which other notes still speak of it (our own choice)
SAME_ML = 0.01  # ml by which one dose may be written in two ways (our own choice)
# Words of a dose before the day of a note.
LOOKING_BACK = either(
    HAD_IT.pattern, r"\b(?:yesterday|the other day|after|since|following|from)\b", WEEKDAY_WORDS.pattern
)
WEEK = timedelta(days=ANSWER_DAYS)


class ToldDose(Value):
    """A dose as a sentence tells of it: its note's day and whether that note is an event, the product as it is looked
    up, the amounts in ml, the days that the words name, and whether they tell of one more dose or of a whole course.
    """

    text: str
    day: date | None
    event: bool
    product: str
    sorts: tuple[SaidOf, ...]  # words that tell of what sort the medicine was
    mls: tuple[float, ...]
    days: tuple[date, ...]
    last: date | None
    again: bool
    course: bool

    def around(self) -> Window | None:
        """The days on which a treatment can be meant; None where the words give none."""
        if self.day is not None:
            return Window(self.day - WEEK, self.day + WEEK)
        return Window(max(self.days) - WEEK, max(self.days) + WEEK) if self.days and not self.event else None


class Course(Value):
    """A treatment that a sheep had: its days, its medicine as it is looked up, and its dose in ml if one is written."""

    window: Window
    medicine: str
    ml: float | None = None
    named: str = ""  # all that its note calls it
    free: bool = False  # its label asks for no waiting at all: it answers nothing that names no product
    route: str = ""

    def answers(self, told: ToldDose) -> bool:
        """Whether it can be the dose that some words tell of: no other product, no other amount, no other way in."""
        if told.product not in ("", self.medicine) or (not told.product and self.free):
            return False
        if not told.product and not all(said.fits(self.named) for said in told.sorts):
            return False
        if not told.product and self.route:
            by_mouth, by_needle = BY_MOUTH.search(self.route), BY_NEEDLE.search(self.route)
            if (by_mouth and IN_NEEDLE.search(told.text)) or (by_needle and IN_MOUTH.search(told.text)):
                return False
        return self.ml is None or not told.mls or any(abs(self.ml - ml) < SAME_ML for ml in told.mls)


def told_dose(text: str, day: date | None, event: bool, product: str, clock: date) -> ToldDose:
    """What a sentence of a note of a day tells; days without a year are of this year or the last."""
    sorts = tuple(said for _, said in sorts_told(without_negations(text)))
    days = tuple(one for year in (clock.year, clock.year - 1) for one in days_told(text, year))
    last = max((one for one in days if day and day < one <= clock), default=None)
    mls = tuple(float(figure.replace(",", ".")) for figure in IN_ML.findall(text))
    again = bool(AGAIN.search(text) or DOSE.search(text))
    course = day is not None and tells_of_a_course(text, [day])
    return ToldDose(text, day, event, product, sorts, mls, days, last, again, course)


def is_the_dose(told: ToldDose, courses: Iterable[Course]) -> bool:
    """Whether a sheep's treatments are the dose that is told of, each medicine of it for itself: within a week, and
    where the words tell of a dose again, of a later day or of a course, one that reaches so far.
    """
    had = tuple(courses)
    return all(is_one_of(part, had) for part in each_medicine(told, had))


def each_medicine(told: ToldDose, courses: Sequence[Course]) -> Iterator[ToldDose]:
    """What is told of, each medicine for itself: `Wormed and vaccinated.` is two."""
    named = next((course.named for course in courses if course.medicine == told.product), told.product)
    further = [said for said in told.sorts if not (told.product and said.fits(named))]
    if told.product or not further:
        yield replace(told, sorts=())
    yield from (replace(told, product="", sorts=(said,)) for said in further)


def is_one_of(told: ToldDose, courses: Iterable[Course]) -> bool:
    """The same of a dose of one medicine."""
    windows = [course.window for course in courses if course.answers(told)]
    if told.day is None:
        around = told.around()
        if told.event:
            return False
        return bool(windows) if around is None else any(one.meets(around.first, around.last) for one in windows)
    return reached(told, told.day, [one for one in windows if one.meets(told.day - WEEK, told.day + WEEK)])


def is_answered(told: ToldDose, treated: Mapping[str, tuple[Course, ...]], sheep: str) -> bool:
    """Whether one of a sheep's treatments is the dose that is told of. `Dosed her as well.` tells of what others had:
    it is not answered where one of them had a medicine that day which she had not.
    """
    own = treated.get(sheep, ())
    if not is_the_dose(told, own):
        return False
    if told.product or not FURTHER.search(told.text):
        return True
    everybodys = (course for courses in treated.values() for course in courses)
    return medicines_of_the_day(told, everybodys) <= medicines_of_the_day(told, own)


def says_the_same(record: Record, text: str, treated: Mapping[str, tuple[Course, ...]]) -> bool:
    """Whether a remark says no more than `Same for her.` on a day on which somebody was dosed."""
    if not isinstance(record, Remark) or not (day := record.date) or not SAME_ALONE.match(text):
        return False
    return any(course.window.meets(day, day) for courses in treated.values() for course in courses)


def medicines_of_the_day(told: ToldDose, courses: Iterable[Course]) -> set[str]:
    """The medicines of the note's own day that can be the dose that is told of."""
    day = told.day
    return {one.medicine for one in courses if day and one.window.meets(day, day) and one.answers(told)}


def reached(told: ToldDose, day: date, windows: Sequence[Window]) -> bool:
    """Whether the treatments of the week reach as far as the words."""
    if told.course and len(windows) == 1 and windows[0].first == windows[0].last == day:
        return False
    looks_back = not told.again and LOOKING_BACK.search(told.text) is not None
    since = told.last or (day - timedelta(days=LATE_WORD if looks_back else 0))
    return any(window.last >= since for window in windows)
