"""Hay and other feed in hand, and the day on which the hay is gone.

What a sheep eats is the flock's own `intake`, else what sources print for its class, as a range. Hay alone is reckoned
with, fed to all from the day asked about.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from compiler.schema import Context
from compiler.shape import Value, replace
from flockbook.derive.farm.kit import UNIT_SIZES, Kit, SupplyFact, supply_quantity
from flockbook.derive.land.eaters import Eater
from flockbook.derive.land.forage import as_fed, days_lasting, published
from flockbook.derive.land.paces import Pace, pace_of
from flockbook.records.rations import Intake, bale_weight, is_feed
from flockbook.settings import Settings

HAY = re.compile(r"\bhay\b", re.I)
HAY_DRY = 0.88  # dry matter in hay (from memory: 85 to 90 in a hundred)
GRAMS_IN_KG = 1000
HAIR_KG = 0.01  # what sums of weights may differ by
SORT_OF_BALE = re.compile(r"\D{0,40}\d[\d.,]* ?(?P<sort>[a-z][a-z ]{1,30}?) bales?\b", re.I)


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
    have = None if item.have is None else max(float(item.have), 0.0)
    since = max((note.date for note in item.stock if note.date), default=None)
    base, scale = UNIT_SIZES.get(item.unit, ("", 0))
    heap = heap_of(item, context)
    if have is None or have == 0 or base:
        kg = have if not have else have * float(scale) / GRAMS_IN_KG if base == "g" else None
        return Feed(item, bool(HAY.search(item.name)), kg, heap.bale, since, pace_of(item))
    kg = heap.kg if heap.bale is not None else None
    return Feed(item, bool(HAY.search(item.name)), kg, heap.alike(have), since, pace_of(item))


class Heap(Value):
    """Bales in hand while the notes are gone through in order: how many, their weight, what one weighs (the lightest
    written since the last count, so that hay is never overreckoned; else the last one written before it), and what one
    of each sort weighs.
    """

    many: float = 0.0
    kg: float = 0.0
    bale: float | None = None
    sorts: tuple[tuple[str, float], ...] = ()

    def alike(self, have: float) -> float | None:
        """What each bale weighs, where all weigh the same."""
        same = self.bale is not None and abs(self.kg - have * self.bale) < HAIR_KG
        return self.bale if same else None

    def each(self, sort: str) -> float | None:
        """What a bale of a sort weighs that no weight is written of."""
        return dict(self.sorts).get(sort, self.bale)


def heap_of(item: SupplyFact, context: Context) -> Heap:
    """What lies there after every note: each purchase keeps the weight of its own bales."""
    heap = laid_on(Heap(), item.note.have if item.note else None, item.unit, context)
    for note in item.stock:
        if note.counted:
            heap = laid_on(replace(heap, many=0.0, kg=0.0, sorts=()), note.counted, item.unit, context)
        heap = laid_on(heap, note.bought, item.unit, context)
        for text in (note.used, note.binned):
            heap = taken_off(heap, text, item.unit, context)
    return heap


def laid_on(heap: Heap, text: str | None, unit: str, context: Context) -> Heap:
    """The heap with so many bales more; those that came before any weight was written are weighed by the first."""
    many = supply_quantity(text, unit, []) if text else None
    if text is None or many is None:
        return heap
    typed, sort = bale_weight(" ".join(text.split()), context), sort_of_bale(text)
    kg = typed if typed is not None else heap.each(sort)
    lightest = kg if heap.bale is None or not heap.many or kg is None else min(heap.bale, kg)
    unweighed = heap.many * kg if heap.bale is None and kg else 0.0
    sorts = heap.sorts if typed is None else (*heap.sorts, (sort, typed))
    total = heap.kg + unweighed + float(many) * (kg or 0.0)
    return Heap(heap.many + float(many), total, heap.bale if lightest is None else lightest, sorts)


def taken_off(heap: Heap, text: str | None, unit: str, context: Context) -> Heap:
    """The heap with so many bales less, by the weight that is written, that of their sort, or what one weighs on the
    whole.
    """
    many = supply_quantity(text, unit, []) if text else None
    if text is None or many is None or not heap.many:
        return heap
    typed, sort = bale_weight(" ".join(text.split()), context), sort_of_bale(text)
    each = typed if typed is not None else dict(heap.sorts).get(sort) if sort else None
    kg = float(many) * (heap.kg / heap.many if each is None else each)
    return replace(heap, many=max(heap.many - float(many), 0.0), kg=max(heap.kg - kg, 0.0))


def sort_of_bale(text: str) -> str:
    """The words between a number and its bales: `round` of `6 round bales`."""
    match = SORT_OF_BALE.match(" ".join(text.split()))
    return match["sort"].lower() if match else ""


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
