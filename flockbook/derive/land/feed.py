"""Hay and other feed in hand, and the day on which the hay is gone.

What a sheep eats is the flock's own `intake`, else what sources print for its class, as a range. Hay alone is reckoned
with, fed to all from the day asked about.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from compiler.schema import Context
from compiler.shape import Value
from flockbook.derive.farm.kit import UNIT_SIZES, Kit, SupplyFact
from flockbook.derive.land.eaters import Eater
from flockbook.derive.land.forage import as_fed, days_lasting, published
from flockbook.derive.land.paces import Pace, pace_of
from flockbook.records.rations import Intake, bale_weight, is_feed
from flockbook.settings import Settings

HAY = re.compile(r"\bhay\b", re.I)
HAY_DRY = 0.88  # dry matter in hay (from memory: 85 to 90 in a hundred)
GRAMS_IN_KG = 1000


class Feed(Value):
    """One kind of feed: `kg` in hand, and what a bale weighs, where that is written; `since` its last stock note;
    `pace` how fast it went between its last two counts.
    """

    supply: SupplyFact
    hay: bool
    kg: float | None
    bale_kg: float | None
    since: date | None
    pace: Pace | None


class Lasting(Value):
    """How long the hay lasts one mob, or all (`mob` ""): kilograms of hay a day, whole days, and the days it is gone.

    Low and high differ where the intake is published and not the flock's own; all are None where no weight is known.
    `unweighed` took the weight of their like, `by_others` of them that of another sex.
    """

    mob: str
    head: int
    need: tuple[float, float] | None
    days: tuple[int, int] | None
    gone: tuple[date, date] | None
    unweighed: int
    by_others: int = 0


class ClassNeed(Value):
    """One class of sheep: how many, how heavy, and the hay that the published shares come to for each."""

    sort: str
    head: int
    kg: float | None
    low: float
    high: float
    source: str


class FeedBook(Value):
    """All feed in hand, hay first, and how long the hay lasts: all sheep, then mob by mob."""

    feeds: tuple[Feed, ...] = ()
    hay_kg: float | None = None
    since: date | None = None
    lasting: tuple[Lasting, ...] = ()
    classes: tuple[ClassNeed, ...] = ()
    today: date = date.min

    def fed_since(self, row: Lasting) -> date | None:
        """The first day without a full feed if these were fed from the day on which hay was last written; None where
        that is no day before today, or cannot be reckoned.
        """
        if self.since is None or self.since >= self.today or row.days is None:
            return None
        return feed_gone(self.since, row.days[0])


def feed_book(kit: Kit, eating: tuple[Eater, ...], settings: Settings, today: date) -> FeedBook:
    """The feed on the day asked about."""
    context = Context(settings.habits)
    feeds = [one_feed(item, context) for item in kit.supplies if is_feed(item.name)]
    feeds.sort(key=lambda one: (not one.hay, one.supply.name))
    hay = [one for one in feeds if one.hay]
    weights = [one.kg for one in hay if one.kg is not None]
    kg, intake = (sum(weights) if weights else None), settings.file.intake
    groups = {"": eating} | {mob: in_mob(eating, mob) for mob in sorted({one.mob for one in eating} - {""})}
    return FeedBook(
        tuple(feeds), kg, max((one.since for one in hay if one.since), default=None),
        tuple(lasting(mob, rows, kg, intake, today) for mob, rows in groups.items() if rows and kg is not None),
        tuple(class_needs(eating)),
        today,
    )  # fmt: skip


def in_mob(eating: Iterable[Eater], mob: str) -> tuple[Eater, ...]:
    """Those of one mob."""
    return tuple(one for one in eating if one.mob == mob)


# What there is


def one_feed(item: SupplyFact, context: Context) -> Feed:
    """One kind of feed, weighed where its unit is a weight or its bales are said to weigh something."""
    bale = bale_of(item, context)
    have = None if item.have is None else max(float(item.have), 0.0)
    since = max((note.date for note in item.stock if note.date), default=None)
    return Feed(item, bool(HAY.search(item.name)), feed_kg(have, item.unit, bale), bale, since, pace_of(item))


def feed_kg(have: float | None, unit: str, bale: float | None) -> float | None:
    """An amount in kilograms, or None."""
    base, scale = UNIT_SIZES.get(unit, ("", 0))
    if have is None or have == 0:
        return have
    if base == "g":
        return have * float(scale) / GRAMS_IN_KG
    return have * bale if bale is not None and not base else None


def bale_of(item: SupplyFact, context: Context) -> float | None:
    """What a bale weighs: the lightest of those written since the last count, so that hay is never overreckoned; else
    the last one written before it.
    """
    texts = [item.note.have or ""] if item.note else []
    first = 0
    for note in item.stock:
        first = len(texts) if note.counted else first
        texts += [note.counted or note.bought or ""]
    weights = [bale_weight(" ".join(text.split()), context) for text in texts]
    recent = [kg for kg in weights[first:] if kg is not None]
    before = [kg for kg in weights[:first] if kg is not None]
    return min(recent) if recent else before[-1] if before else None


# How long it lasts


def lasting(mob: str, rows: tuple[Eater, ...], kg: float | None, intake: Intake | None, today: date) -> Lasting:
    """How long the hay lasts these sheep alone."""
    need = need_of(rows, intake)
    by_weight = intake is None or intake.share is not None
    unweighed = sum(not one.weighed for one in rows) if by_weight else 0
    others = sum(one.by_others for one in rows) if by_weight else 0
    if need is None or kg is None:
        return Lasting(mob, len(rows), None, None, None, unweighed, others)
    days = days_lasting(kg, need[1]), days_lasting(kg, need[0])
    gone = feed_gone(today, days[0]), feed_gone(today, days[1])
    return Lasting(mob, len(rows), need, days, gone, unweighed, others)


def feed_gone(start: date, days: int) -> date:
    """The first day without a full feed, when feeding begins on a day; a store for a lifetime ends the calendar."""
    return start + timedelta(min(days, (date.max - start).days))


def need_of(rows: tuple[Eater, ...], intake: Intake | None) -> tuple[float, float] | None:
    """Kilograms of hay a day, at least and at most; None where the weight of one is not known and counts."""
    if intake is not None and intake.kg is not None:
        need = intake.kg * len(rows)
        return need, need
    low = high = 0.0
    for one in rows:
        if one.kg is None:
            return None
        shares = (intake.share, intake.share) if intake and intake.share else shares_of(one.sort)
        low, high = low + one.kg * shares[0], high + one.kg * shares[1]
    return as_fed(low, HAY_DRY), as_fed(high, HAY_DRY)


def shares_of(sort: str) -> tuple[float, float]:
    """The lowest and the highest share of live weight that is published for a class."""
    found = published(sort)
    return found.low, found.high


def class_needs(eating: tuple[Eater, ...]) -> Iterator[ClassNeed]:
    """Each class that is here, the most head first, beside its published shares."""
    sorts = {one.sort: [other for other in eating if other.sort == one.sort] for one in eating}
    for sort, rows in sorted(sorts.items(), key=lambda item: (-len(item[1]), item[0])):
        told, weights = published(sort), [one.kg for one in rows if one.kg is not None]
        kg = sum(weights) / len(weights) if weights else None
        yield ClassNeed(sort, len(rows), kg, told.low, told.high, told.source)
