"""What is owed at any time of the year: abortions_owed, doses, ewes past their last day, open cases, short counts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime, timedelta

from compiler.book import Moment
from flockbook.derive.breeding.due import DueRow, NotExpected, WhyNot
from flockbook.derive.farm.head_counts import CountFact
from flockbook.derive.health.cases import Case
from flockbook.derive.health.check_findings import OpenFinding, outside_for
from flockbook.derive.market.apart import APART_AFTER_LOSS
from flockbook.derive.market.fitness import BADLY, bred_since
from flockbook.derive.market.leaving import asked_of, freed_on, kept_from, medicines_of
from flockbook.derive.year.deeds import CourseDose, SecondDue
from flockbook.derive.year.owings import (
    Aborted,
    CaseOpen,
    CountShort,
    DosesOwed,
    HotAtCheck,
    LameTold,
    OwedFamily,
    OwedItem,
    OwedSources,
    Owing,
    PaleEyelid,
    PastLastDay,
    SaleAhead,
    WentHeld,
    end_of,
)
from flockbook.derive.year.reminder import ROUND_DAYS, Reminder
from flockbook.flock import Flock, happened, there
from flockbook.records.event import Event
from flockbook.records.health import MASTITIS, Illness
from flockbook.records.pregnancy import Abortion

# So long an abortion stands among what cannot wait where no day is written to which the ewe is kept apart; then it
# stands among the open cases (our own choice).
APART_DAYS = 42
WENT_DAYS = 90  # so long after it went a sheep that was not clear stands first of all (our own choice)
# Ketones in the blood, mmol/L, from which twin-lamb disease is plain (3.0: from memory of several texts).
KETONES_ILL = 3.0
# What kills a sheep within hours or a day: down, prolapsed, twin-lamb disease, milk fever, bloat (common practice).
# So long before a sale those of it that may not go stand on Today, and those to be asked about (our own choice).
SALE_DAYS, EVE_DAYS = 7, 1
# A bag that dies takes the ewe with it (common practice, no source); words of a note that stand for its signs.
DEAD_BAG = re.compile(r"(?<!not )\b(?:blue|bluish|black|purple|cold|gangren\w*)\b", re.I)
# The last six weeks of pregnancy, and the words by which people tell of a ewe with twin-lamb disease (common practice).
LATE_PREGNANCY = 42
DULL = re.compile(
    r"\boff (?:her |the |its )?(?:feed|food|cake|grain)\b|\bnot eating\b|\b(?:won't|will not|does not|doesn't) eat\b|"
    r"\bdull\b|\bstands? apart\b|\bgrinding\b|\bblind\b|\bwobbly\b|\btrembl",
    re.I,
)
FEW_WORDS = 12
KILLS = re.compile(
    r"\bdown\b|\bwill not (?:rise|stand|get up)|\bcan ?not (?:rise|stand|get up)|\bprolaps|\bbearing out|\btwin.?lamb|"
    r"\bpregnancy tox|\bketosis\b|\bmilk fever\b|\bhypocalc|\bstaggers\b|\bbloat",
    re.I,
)


def abortions_owed(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Abortions, until the day to which the ewe is kept apart; where none is written until she goes to the ram again,
    lambs, or a year is over.
    """
    del known
    for event in flock.of(Abortion):
        if event.date is None or not happened(event, today) or (today.day - event.date).days > ROUND_DAYS:
            continue
        until = event.isolated_until
        for ewe in flock.who(event):
            over = until < today.day if until else bred_since(flock, ewe, event, today)
            if not over and there(flock.animals[ewe], today):
                apart = until or event.date + APART_AFTER_LOSS
                what = Aborted(event.date, apart, event.sent, until is not None, apart < today.day)
                fresh = until is not None or (today.day - event.date).days <= APART_DAYS
                family = OwedFamily.ABORTION if fresh else OwedFamily.CASE
                yield Owing(ewe, OwedItem(family, (ewe,), what, None, event.origin.path))


def went_held(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Sheep sold while a medicine held them: the buyer and the vet are to be told."""
    del flock
    for one in known.gone:
        if not one.slip and (today.day - one.day).days <= WENT_DAYS:
            what = WentHeld(one.day, medicines_of(one.row))
            item = OwedItem(OwedFamily.WENT, (one.row.sheep,), what, None, one.sale.origin.path)
            yield Owing(one.row.sheep, item)


def sales_ahead(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Sales of the next days that name sheep that may not go; on the eve those of whom somebody is to be asked too."""
    del flock
    for load in known.loads:
        days = (load.at.day - today.day).days
        for barred, sheep, ahead in ((True, kept_from(load), SALE_DAYS), (False, asked_of(load), EVE_DAYS)):
            if sheep and days <= ahead:
                what = SaleAhead(load.at.day, load.sale.to or "", barred, freed_on(load) if barred else None)
                item = OwedItem(OwedFamily.SALE, sheep, what, end_of(load.at.day), load.sale.origin.path, True)
                yield Owing("", item)


def doses_owed(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Doses of courses and second doses of vaccines whose day has come."""
    del flock
    courses: dict[tuple[str, str], list[Reminder]] = {}
    for one in known.reminders:
        if isinstance(one.what, CourseDose) and not one.done and one.date <= today.day:
            for sheep in one.sheep:
                courses.setdefault((sheep, one.because[0].note), []).append(one)
        if isinstance(one.what, SecondDue) and not one.done and one.what.due_from <= today.day:
            by, note = end_of(one.date), one.because[0].note
            yield from (
                Owing(sheep, OwedItem(OwedFamily.DOSE, (sheep,), one.what, by, note, True)) for sheep in one.sheep
            )
    for (sheep, note), doses in courses.items():
        yield Owing(sheep, course_item(sheep, note, doses))


def course_item(sheep: str, note: str, doses: list[Reminder]) -> OwedItem:
    """What is owed of one course to one sheep, since its first dose that is not written."""
    told = [one.what for one in doses if isinstance(one.what, CourseDose)]
    today, late = (tuple(one.dose for one in told if not one.late), tuple(one.dose for one in told if one.late))
    what = DosesOwed(told[0].medicine, today, late, told[0].of)
    return OwedItem(OwedFamily.DOSE, (sheep,), what, end_of(min(one.date for one in doses)), note, True)


def past_last_day(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Ewes that have not lambed by their last possible day, until a note settles it."""
    del flock
    late: list[tuple[DueRow | NotExpected, date]] = [
        (row, row.odds.window.last) for row in known.due.rows if row.odds.overdue and row.odds.window
    ]
    late += [(out, out.since) for out in known.due.not_expected if out.why is WhyNot.PAST_LAST_DAY]
    for one, last in late:
        note = one.because[0].note if one.because else ""
        what = PastLastDay(last, (today.day - last).days, one.lambs_scanned)
        yield Owing(one.ewe, OwedItem(OwedFamily.OVERDUE, (one.ewe,), what, end_of(last), note, True))


def cases_owed(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Illnesses not written as over."""
    for case in known.cases.open:
        last, grave = case.notes[-1], may_kill(case)
        grave = grave or fevered(flock, case) or dull_near_lambing(known, case, today)
        signs = next((words for note in reversed(case.notes) if (words := signs_of(note))), "")
        day = last.date or case.since
        what = CaseOpen(case.problem, case.side, case.since, day, signs, grave, last_ketones(case), last_celsius(case))
        family = OwedFamily.GRAVE if grave else OwedFamily.CASE
        yield Owing(case.sheep, OwedItem(family, (case.sheep,), what, None, last.origin.path))


def lame_owed(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """Sheep that a line calls lame, until one says sound."""
    del flock
    for one in known.lame:
        what = LameTold(one.words, one.day, (today.day - one.day).days if one.day else 0)
        yield Owing(one.sheep, OwedItem(OwedFamily.CASE, (one.sheep,), what, None, one.note))


def findings_owed(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """What checks found that cannot wait, until something is written after it."""
    del flock, today
    for one in known.findings:
        family = OwedFamily.CASE if one.celsius is None else OwedFamily.GRAVE
        yield Owing(one.sheep, OwedItem(family, (one.sheep,), what_was_found(one), None, one.note))


def what_was_found(one: OpenFinding) -> PaleEyelid | HotAtCheck:
    """A pale eyelid or a jaw, or a temperature with the rest of its line."""
    if one.celsius is None:
        return PaleEyelid(one.day, one.eyelid, one.jaw)
    udder = " ".join(word for word in (one.line.udder, one.line.udder_side) if word)
    return HotAtCheck(one.day, one.celsius, udder, one.line.feet or "", one.line.remark)


def may_kill(case: Case) -> bool:
    """Whether an illness may kill within hours, by its name, its last signs or the grade last written."""
    grade = next((note.severity for note in reversed(case.notes) if note.severity), "").casefold()
    last = case.notes[-1]
    words = f"{case.problem} {last.signs or ''}"
    if MASTITIS in case.problem and DEAD_BAG.search(f"{last.signs or ''} {last.origin.written}"):
        return True
    return bool(KILLS.search(words)) or any(word in grade for word in BADLY) or (last_ketones(case) or 0) >= KETONES_ILL


def dull_near_lambing(known: OwedSources, case: Case, today: Moment) -> bool:
    """Whether a ewe is off her feed or dull in the last six weeks before she may lamb, when twin-lamb disease kills."""
    last = case.notes[-1]
    words = f"{case.problem} {last.signs or ''} {last.origin.written}"
    near = today.day + timedelta(days=LATE_PREGNANCY)
    due = any(row.ewe == case.sheep and row.due.likely and row.due.likely <= near for row in known.due.rows)
    return due and bool(DULL.search(words))


def fevered(flock: Flock, case: Case) -> bool:
    """Whether the temperature last written of a case is outside the published range."""
    return outside_for(flock.animals[case.sheep], case.last, last_celsius(case)) is not None


def signs_of(note: Illness) -> str:
    """The signs of a note of illness: as typed, else its own words where they are few."""
    own = " ".join(note.origin.written.split()).rstrip(".")
    return note.signs or (own if len(own.split()) <= FEW_WORDS else "")


def last_celsius(case: Case) -> float | None:
    """The temperature last written of a case, in °C."""
    return next((note.temp.celsius for note in reversed(case.notes) if note.temp), None)


def last_ketones(case: Case) -> float | None:
    """The ketones last written of a case, in mmol/L."""
    return next((note.ketones for note in reversed(case.notes) if note.ketones is not None), None)


def short_counts(flock: Flock, known: OwedSources, today: Moment) -> Iterator[Owing]:
    """The last count of each mob that fell short and that nothing has put right since."""
    last = {fact.mob: fact for fact in known.counts}
    for fact in last.values():
        missing = still_missing(flock, fact, today)
        if fact.put_right is None and (missing if fact.missing else fact.short > 0):
            what = CountShort(fact.mob, fact.date, fact.counted, len(fact.expected), bool(fact.missing))
            by = datetime.combine(fact.date, datetime.max.time())
            yield Owing("", OwedItem(OwedFamily.COUNT, missing, what, by, fact.note, True))


def still_missing(flock: Flock, fact: CountFact, today: Moment) -> tuple[str, ...]:
    """Of the sheep that a count missed, or of those to begin looking for, who was not written of since."""
    sought = tuple(one.sheep for one in fact.missing or fact.begin_with)
    return tuple(
        one
        for one in sought
        if there(flock.animals[one], today)
        if not any(note.date and note.date > fact.date and happened(note, today) for note in own_notes(flock, one))
    )


def own_notes(flock: Flock, sheep: str) -> Iterator[Event]:
    """The notes that name a sheep itself, and not its mob."""
    return (note for note in flock.by_animal.get(sheep, ()) if not note.mob)
