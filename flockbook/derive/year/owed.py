"""What is owed now, animal by animal: labours, cold lambs, abortions, births, doses, ewes past their last day, open
cases and short counts. Today, the list of what is to do, each sheep's page and the calendar all show this one value.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta

from compiler.book import Moment
from compiler.shape import replace
from flockbook.derive.lambing.after_birth import BirthPoint
from flockbook.derive.lambing.labour_limits import elapsed
from flockbook.derive.year.deeds import CourseDose, LookAgain, SecondDue
from flockbook.derive.year.owed_births import (
    birth_points,
    cold_lambs,
    forgotten_labours,
    labours_owed,
    looks_owed,
)
from flockbook.derive.year.owed_flock import (
    abortions_owed,
    cases_owed,
    doses_owed,
    findings_owed,
    lame_owed,
    past_last_day,
    sales_ahead,
    short_counts,
    went_held,
)
from flockbook.derive.year.owed_unheard import not_heard_of
from flockbook.derive.year.owings import (
    Aborted,
    CaseOpen,
    HotAtCheck,
    LameTold,
    NotHeardOf,
    OpenPoint,
    OwedFamily,
    OwedItem,
    OwedNow,
    OwedRow,
    OwedSources,
    PaleEyelid,
    PastLastDay,
    SaleAhead,
)
from flockbook.derive.year.reminder import Reminder, stable_id
from flockbook.flock import Flock
from flockbook.settings import Settings, zone_of

SOON = timedelta(hours=1)  # what is owed later than this is not yet for now (our own choice)
FRESH = timedelta(days=7)  # what is owed for longer stands below what came since (our own choice)

# Days after which a thing owed is an old one that somebody forgot to close (our own choice). What was sold while a
# medicine held it, and a sale to come, never are.
CLOSED_BY = {
    OwedFamily.LABOUR: 14, OwedFamily.GRAVE: 14, OwedFamily.CHILLED: 14, OwedFamily.ABORTION: 42, OwedFamily.BIRTH: 14,
    OwedFamily.DOSE: 60, OwedFamily.CASE: 60, OwedFamily.COUNT: 60,
}  # fmt: skip
NEVER_OLD = (OwedFamily.WENT, OwedFamily.LABOUR, OwedFamily.CHILLED)  # and these never stand below it

# What harms soonest after a birth comes first (common practice, no source).
SOONEST_HARM = (
    BirthPoint.WARMTH, BirthPoint.UNFED, BirthPoint.ANOTHER_LAMB, BirthPoint.LOOK_AGAIN, BirthPoint.FIRST_FEED,
    BirthPoint.COLOSTRUM,
    BirthPoint.AFTERBIRTH, BirthPoint.UP, BirthPoint.NAVEL, BirthPoint.NUMBER, BirthPoint.WEIGHT,
)  # fmt: skip


def owed_now(flock: Flock, known: OwedSources, today: Moment) -> OwedNow:
    """Everything owed, one row for each ewe."""
    families = (
        went_held, labours_owed, forgotten_labours, cold_lambs, abortions_owed, birth_points, not_heard_of, looks_owed,
        doses_owed, sales_ahead, past_last_day, cases_owed, findings_owed, lame_owed,
        short_counts,
    )  # fmt: skip
    by_head: dict[str, list[OwedItem]] = {}
    for family in families:
        for one in family(flock, known, today):
            item = replace(one.item, late=how_late(one.item, known.settings, today), zone=zone_of(known.settings))
            by_head.setdefault(one.head or f"{one.item.note} {one.item.sheep}", []).append(item)
    rows = [owed_row_of(head if head in flock.animals else "", items, today) for head, items in by_head.items()]
    stands_for = frozenset(item.id for item in known.reminders if is_covered(item, today))
    return OwedNow(tuple(sorted(rows_alike(rows), key=lambda row: urgency(row, today))), stands_for)


def is_covered(item: Reminder, today: Moment) -> bool:
    """Whether a reminder is among what is owed now, so that it is not told twice."""
    what = item.what
    day = what.due_from if isinstance(what, SecondDue) else item.date
    return isinstance(what, LookAgain | CourseDose | SecondDue) and not item.done and day <= today.day


def owed_row_of(head: str, items: list[OwedItem], today: Moment) -> OwedRow:
    """Everything owed to one sheep, what cannot wait first."""
    ordered = tuple(sorted(items, key=lambda item: (not is_now(item, today), *rank(item, today))))
    told = f"{ordered[0].note}{' asked' if is_question(ordered[0]) else ''}"
    key = stable_id("now", "" if head else told, (head,) if head else ())
    old = all(is_long_ago(item, today) for item in ordered)
    return OwedRow(key, (head,) if head else ordered[0].sheep, ordered, is_now(ordered[0], today), old)


def is_long_ago(item: OwedItem, today: Moment) -> bool:
    """Whether a thing was owed so long ago that what is left is to write how it ended."""
    begun, days = begun_at(item), CLOSED_BY.get(item.family)
    return begun is not None and days is not None and (today.day - begun.date()).days > days


def is_question(item: OwedItem) -> bool:
    """Whether of the sheep of a sale somebody is to be asked first, and no more."""
    return isinstance(item.what, SaleAhead) and not item.what.barred


def rank(item: OwedItem, today: Moment) -> tuple[bool, int, int, bool, timedelta]:
    """Sort key of things owed: what is old and does not kill stands last; then by family, after a birth by what harms
    soonest, then by the hour; what is old or hangs on no hour the newest first.
    """
    point = int(is_question(item))
    if isinstance(item.what, OpenPoint):
        point = SOONEST_HARM.index(item.what.item.what.what)
    if isinstance(item.what, LookAgain):  # its hours are over: what hangs on an hour now comes first
        point = SOONEST_HARM.index(BirthPoint.COLOSTRUM)
    begun = begun_at(item) or today.at
    age, old = today.at - begun, item.family not in NEVER_OLD and today.day - begun.date() > FRESH
    return old, item.family, point, item.by is not None, age if old or item.by is None else -age


def begun_at(item: OwedItem) -> datetime | None:
    """The hour by which a thing was owed, else the day on which it was last written of."""
    match item.what:
        case Aborted(day=day) | NotHeardOf(day=day) | CaseOpen(last=day) | LameTold(day=date() as day):
            return datetime.combine(day, time.min)
        case HotAtCheck(day=day) | PaleEyelid(day=day):
            return datetime.combine(day, time.min)
    return item.by


def is_now(item: OwedItem, today: Moment) -> bool:
    """Whether a thing cannot wait: what is owed within the hour, or today where no time of day was asked about; a dose
    from the first day on which it may be given; a cold lamb from the minute it is written.
    """
    until = today.at + SOON if today.timed else datetime.combine(today.day, time.max)
    if item.by is None:
        return not item.when_you_can
    always = item.family in (OwedFamily.DOSE, OwedFamily.CHILLED, OwedFamily.SALE)
    return always or item.by <= until or (item.whole_day and item.by.date() <= today.day)


def rows_alike(rows: Iterable[OwedRow]) -> Iterator[OwedRow]:
    """Rows of sheep that are owed the very same by the same note, as one."""
    alike: dict[tuple[object, ...], list[OwedRow]] = {}
    for row in rows:
        own = all(item.sheep == row.sheep for item in row.items) and bool(row.sheep)
        shown = tuple((item.family, item.what, item.by, item.note) for item in row.items)
        alike.setdefault(shown if own else (row.id,), []).append(row)
    for same in alike.values():
        sheep = tuple(one for row in same for one in row.sheep)
        items = same[0].items if len(same) == 1 else tuple(replace(item, sheep=sheep) for item in same[0].items)
        yield replace(same[0], sheep=sheep, items=items)


def urgency(row: OwedRow, today: Moment) -> tuple[object, ...]:
    """Sort key of rows: what cannot wait, by what harms first."""
    return (not row.now, *rank(row.items[0], today), row.sheep)


def how_late(item: OwedItem, settings: Settings, today: Moment) -> timedelta | None:
    """How long ago a thing was owed; in whole days where only a day is known, and not where its words say it."""
    if item.by is None or isinstance(item.what, PastLastDay):
        return None
    if item.whole_day or not today.timed:
        days = today.day - item.by.date()
        return days if days > timedelta(0) else None
    gone = elapsed(item.by, today.at, zone_of(settings))
    return gone if gone > timedelta(0) else None
