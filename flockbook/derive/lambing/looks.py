"""When somebody looked, through the nights of lambing, as far as notes with a time of day can tell.

A look that was not written is not seen here, so a long gap is a question and no reproach.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.due import DueList
from flockbook.derive.lambing.labour_limits import elapsed
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.flock import Flock, happened
from flockbook.records.cupboard import MoneyNote
from flockbook.records.event import Event
from flockbook.records.trade import Purchase, Sale
from flockbook.settings import Settings, zone_of

DUSK, DAWN = time(20), time(8)  # a night of lambing, by the clock (our own choice)
NIGHTS = 7  # nights looked back at: one week (our own choice)
NO_LOOK = (MoneyNote, Purchase, Sale)  # notes that nobody writes in the shed


class UnseenTime(Value):
    """A time without a written look; `length` is time that passed, clock change or not."""

    start: datetime
    end: datetime
    length: timedelta


class Night(Value):
    """One night of the watch: how many looks are written, and the longest time without one."""

    evening: date
    looks: int
    longest: UnseenTime
    too_long: bool


class Watch(Value):
    """Whom the nights are watched for: the ewes due, and the births so far."""

    due: DueList
    births: tuple[LambingFact, ...]


def nights(flock: Flock, settings: Settings, watch: Watch, today: Moment) -> tuple[Night, ...]:
    """The last nights of the watch, the latest first; a night under way counts up to the moment asked about."""
    span = season_watched(watch)
    if span is None:
        return ()
    limit = timedelta(hours=settings.figure("look_every"))
    seen = sorted({at for event in flock.events if happened(event, today) and (at := looked(event))})
    found = []
    for back in range(NIGHTS + 1):
        evening = today.day - timedelta(days=back)
        start, end = datetime.combine(evening, DUSK), datetime.combine(evening + timedelta(days=1), DAWN)
        if start < today.at and span[0] <= evening <= span[1]:
            within = [at for at in seen if start <= at <= end]
            gap = longest(start, min(end, today.at), within, settings)
            found.append(Night(evening, len(within), gap, gap.length > limit))
    return tuple(found[:NIGHTS])


def season_watched(watch: Watch) -> tuple[date, date] | None:
    """The running season's watch: from the first birth, or the first day on which one was likely by joinings and scans
    alone, to the last possible day; None where nobody is due any more.
    """
    due = watch.due
    days = [item.due.latest for item in due.rows if item.season == due.season and item.due.latest]
    if due.season is None or not days:
        return None
    begun = [birth.event.date for birth in watch.births if birth.season == due.season and birth.event.date]
    begun += [row.likely_from for row in due.rows if row.season == due.season and row.likely_from]
    return (min(begun), max(days)) if begun else None


def looked(event: Event) -> datetime | None:
    """The moment of a note that tells of somebody out with the sheep, where its time of day is written."""
    if event.date is None or event.time is None or isinstance(event, NO_LOOK):
        return None
    return datetime.combine(event.date, event.time)


def longest(start: datetime, end: datetime, looks: list[datetime], settings: Settings) -> UnseenTime:
    """The longest time without a look between two moments."""
    return max(gaps([start, *looks, end], settings), key=lambda gap: gap.length)


def gaps(moments: list[datetime], settings: Settings) -> Iterator[UnseenTime]:
    """The times between moments that follow each other."""
    zone = zone_of(settings)
    for one, other in pairwise(moments):
        yield UnseenTime(one, other, elapsed(one, other, zone))
