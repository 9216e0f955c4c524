"""Reminders of stores and grass: what expires, paddocks that have had their rest, feed that runs out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from compiler.book import Moment
from flockbook.derive.land.feed import FeedBook
from flockbook.derive.plain.because import Because, Stated
from flockbook.derive.year.deeds import FeedGone, HayGone, HayToCount, PaddockRested, RunsOut, Ticks
from flockbook.derive.year.reminder import OVERDUE_DAYS, TICKS_BEFORE, Reminder, ReminderSources, stable_id
from flockbook.flock import Flock, happened
from flockbook.records.cupboard import Stock, Supply
from flockbook.records.sheep import Medicine
from flockbook.roll import key_of

# Hay that nobody wrote of for a month is to be counted so long before it may be out (our own choice).
HAY_AHEAD = 14


def expiring(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """Medicines and supplies that expire, and opened packs whose time is up: until they are binned or used up. A batch
    that was bought is named for a month only.
    """
    items: list[Medicine | Supply | Stock] = [*flock.collection.of(Medicine), *flock.collection.of(Supply)]
    for item in (*items, *flock.collection.of(Stock)):
        shelf = known.cupboard.by_note.get(item.origin.path)
        if shelf and shelf.left_ml is not None and shelf.left_ml <= 0:
            continue
        if item.expires and not (isinstance(item, Stock) and (today.day - item.expires.latest).days > OVERDUE_DAYS):
            yield expiry_reminder(flock, item, item.expires.latest, today)
        if isinstance(item, Medicine) and item.opened and item.use_within:
            closes = item.opened + timedelta(days=item.use_within.hours // 24)
            yield expiry_reminder(flock, item, closes, today, opened=True)


def expiry_reminder(
    flock: Flock, item: Medicine | Supply | Stock, day: date, today: Moment, *, opened: bool = False
) -> Reminder:
    """One thing that is out of date on a day."""
    name = (item.supply or item.medicine) if isinstance(item, Stock) else item.name
    line = item.origin.span("opened" if opened else "expires").line
    because = Because(item.origin.path, line, "expiry", reason=Stated.AS_WRITTEN)
    key = stable_id("expiry", f"{item.origin.path} {'opened' if opened else 'expires'}")
    done = binned(flock, name, day, today)
    return Reminder(key, "expiry", day, RunsOut(name or "", opened), (), (because,), done, Ticks.BINNED)


def binned(flock: Flock, name: str | None, day: date, today: Moment) -> bool:
    """Whether a stock note tells that a thing was thrown away about the day it went out of date, or later."""
    return any(
        event.binned is not None and event.date and (event.date - day).days >= -TICKS_BEFORE
        for event in flock.of(Stock)
        if happened(event, today) and key_of(event.supply or event.medicine or "") == key_of(name or "")
    )


def grass(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """The day from which a rested paddock may be grazed again, by its own `rest`."""
    del flock
    for ground in known.grazing.ground.values():
        back = ground.return_from
        if back and back > today.day:
            key = stable_id("paddock", ground.name)
            yield Reminder(key, "paddock", back, PaddockRested(ground.name), (), ground.because)


def feed_reminders(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """The day on which a feed is gone at the pace of its last two counts; a later note moves it."""
    del flock
    for one in known.feed.feeds:
        if one.pace and one.pace.gone >= today.day:
            name, pace = one.supply.name or "", one.pace
            what, ticks = FeedGone(name), Ticks.STOCK
            yield Reminder(stable_id("feed", name), "feed", pace.gone, what, (), pace.because, ticked_by=ticks)
    yield from hay_reckoned(known.feed, today)


def hay_reckoned(feed: FeedBook, today: Moment) -> Iterator[Reminder]:
    """The first day without a full feed of hay where it was not counted twice, as the feed page reckons it: for sheep
    that are fed it, of which a note of the last weeks tells; where none does, it is to be counted from a fortnight
    before that day to a month after it.
    """
    whole, counted = feed.lasting[0] if feed.lasting else None, any(one.pace for one in feed.feeds if one.hay)
    if not whole or not whole.gone or counted or feed.since is None:
        return
    key = stable_id("feed", "all hay, as reckoned")
    day = feed.fed_since(whole) or whole.gone[0]
    if (today.day - feed.since).days <= OVERDUE_DAYS:
        yield Reminder(key, "feed", max(day, today.day), HayGone(day, whole.gone[1]), (), (), ticked_by=Ticks.STOCK)
    elif (day - today.day).days <= HAY_AHEAD:
        yield Reminder(key, "feed", day, HayToCount(day, feed.since), (), (), ticked_by=Ticks.STOCK)
