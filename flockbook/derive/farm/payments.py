"""What the notes say was paid and taken in: sales, purchases, money notes as single sums, each with its lambing year.

Which lambing year a sum belongs to (the rule is printed on the page):
1. what the note says itself (`season: 2026`);
2. lambs sold, sheep under a year old: the season they were born in;
3. older sheep sold: the calendar year of the sale, the season whose lambs they reared last;
4. everything else: the season whose money year it falls in. A money year begins half a year before the month in which
   lambing usually begins, so that what is bought from autumn on belongs to the lambs of the coming spring.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from enum import Enum, auto
from statistics import median_low

from compiler.book import Moment
from compiler.nearness import plain
from compiler.shape import Value, replace
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.farm.budget import CENT, LAMB_SALES
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.plain.because import Reason
from flockbook.flock import Animal, Flock, happened
from flockbook.records.breeding import Hire
from flockbook.records.cupboard import MoneyNote, Stock
from flockbook.records.event import Event
from flockbook.records.prices import KG_EACH, Money
from flockbook.records.rations import is_feed
from flockbook.records.sheep import EWE, RAM, WETHER
from flockbook.records.trade import Purchase, Sale
from flockbook.roll import ONE_YEAR

USUAL_LAMBING = 4  # April, for a flock that has not lambed yet (common practice in hill flocks)
HALF_YEAR = 6  # months
SAME_PAYMENT_DAYS = 7  # a sale or purchase and a money note of one sum this near are one payment (our own choice)
# What is mostly taken in: a note `for: wool` without `in: yes` is asked about, and left out of the sums until it says.
MOSTLY_IN = frozenset({"wool", "subsidy", "lambs", "lamb sales", "culls", "cull ewes", "skins", "fleeces", "grant"})
SOLD_KG = (12.0, 150.0)  # what a sheep weighs when it is sold (common practice)
LAMB_KG = 90.0  # the most that one under a year weighs (common practice)
# What each sheep may fetch or cost before it is asked about, sold for meat or on (True), and for breeding or as not
# written (False); our own lines. In these currencies, or none that is typed: in others a lamb may cost thousands.
FOR_MEAT = ("slaughter", "store")
DEAREST = {True: Decimal(1000), False: Decimal(5000)}
COINS = ("", "GBP", "EUR", "USD", "CAD", "AUD", "NZD", "CHF", "£", "€", "$")
SOLD_AS = {EWE: "ewes", RAM: "rams", WETHER: "wethers"}
BOUGHT_AS = {EWE: "ewes bought", RAM: "rams bought", WETHER: "wethers bought"}
SHEEP_SOLD, SHEEP_BOUGHT, SHEEP_NOT_IN_BOOK = "sheep", "sheep bought", "sheep not in the book"
OTHER_MONEY = "other"
COMMISSION_KEPT, RAM_HIRE = "commission", "ram hire"
STOCK_MEDICINE, STOCK_FEED, STOCK_SUPPLIES = "medicine", "feed", "supplies"


class SeasonBy(Enum):
    """Which of the four rules gave a sum its season."""

    TYPED = auto()
    BORN = auto()
    SOLD = auto()
    MONEY_YEAR = auto()


class DirectionUnclear(Reason):
    """That a money note does not say whether its sum came in."""


class AmountUnclear(Reason):
    """That a price by weight or by the piece does not say how much there was."""


class PriceUnlikely(Reason):
    """That a sheep hardly ever fetches or costs so much: the sum for each, and the most that is taken unasked."""

    each: Decimal
    most: Decimal


class SamePayment(Reason):
    """That a money note tells again of a sale or a purchase."""

    note: str


class Payment(Value):
    """One sum. `amount` is what came in or went out, 0 or more; `lambs` are the lambs that it was paid for.

    `party` is the buyer or seller. `left_out` is why a sum is not counted (None when it is).
    """

    note: Event
    season: int
    kind: str
    amount: Decimal
    income: bool
    head: int = 0
    lambs: int = 0
    party: str = ""
    rule: SeasonBy = SeasonBy.MONEY_YEAR
    left_out: Reason | None = None

    @property
    def day(self) -> date:
        """The day of the note."""
        assert self.note.date is not None
        return self.note.date


class Year(Value):
    """When money years begin: on the first of this month; `ahead` is 1 when they begin in the calendar year before."""

    month: int

    def season(self, day: date) -> int:
        """The lambing year whose money year holds a day."""
        lambing = (self.month + HALF_YEAR - 1) % 12 + 1
        start_is_year_before = lambing <= HALF_YEAR
        begun = day.month >= self.month
        return day.year + (1 if begun else 0) - (0 if start_is_year_before else 1)


def money_year(births: Iterable[LambingFact]) -> Year:
    """Half a year before the month in which the flock's lambings begin (the middle one of all seasons)."""
    first: dict[int, date] = {}
    for birth in births:
        if birth.event.date:
            first[birth.season] = min(birth.event.date, first.get(birth.season, birth.event.date))
    usual = median_low([day.month for day in first.values()]) if first else USUAL_LAMBING
    return Year((usual - HALF_YEAR - 1) % 12 + 1)


def payments(
    flock: Flock, found: Matings, births: Iterable[LambingFact], today: Moment, currency: str = ""
) -> tuple[tuple[Payment, ...], Year]:
    """Every sum up to the moment asked about in order of time, those left out too; and when money years begin."""
    year = money_year(births)
    sums: list[Payment] = []
    for note in flock.events:
        if note.date is not None and happened(note, today):
            sums += [one if one.left_out else asked_if_dear(one, currency) for one in paid(flock, found, note, year)]
    return tuple(without_doubles(sums)), year


def asked_if_dear(one: Payment, currency: str) -> Payment:
    """A payment, left out where each sheep would have fetched or cost more than sheep do and its note does not confirm
    it; in currencies of which a hundred or so buy a lamb.
    """
    note = one.note
    if not isinstance(note, Sale | Purchase) or note.sure or not one.head or currency.strip().upper() not in COINS:
        return one
    most, each = DEAREST[isinstance(note, Sale) and note.use in FOR_MEAT], one.amount / one.head
    return replace(one, left_out=PriceUnlikely(each, most)) if each > most else one


def paid(flock: Flock, found: Matings, note: Event, year: Year) -> list[Payment]:
    """The sums of one note."""
    if isinstance(note, Sale):
        return sold(flock, found, note)
    if isinstance(note, Purchase):
        return purchase_payment(flock, note, year)
    if isinstance(note, Hire | Stock):
        return hire_or_stock(note, year)
    return money_note(flock, note, year) if isinstance(note, MoneyNote) else []


# Sales and purchases


def sold(flock: Flock, found: Matings, sale: Sale) -> list[Payment]:
    """A sale, its money shared head by head over what was sold and the seasons that it belongs to."""
    assert sale.date is not None
    head = heads(flock, sale)
    price = sale.paid
    if price is None or not head:
        return []
    groups = Counter(sold_as(flock.animals[sheep], sale.date, found) for sheep in flock.who(sale))
    strangers = head - sum(groups.values())
    if strangers > 0:
        groups[(SHEEP_NOT_IN_BOOK, sale.date.year)] = strangers
    total, left_out = counted_sum(price, head, weight_of_all(flock, sale, head))
    kept = sale.commission.of(total, head) if sale.commission else None
    made = [
        Payment(
            sale, season, kind, total * count / head, True, count, count if kind == LAMB_SALES else 0, sale.to or "",
            SeasonBy.BORN if kind == LAMB_SALES else SeasonBy.SOLD, left_out,
        )
        for (kind, season), count in sorted(groups.items())
    ]  # fmt: skip
    return made if kept is None else [*made, *(kept_of(one, kept * one.head / head) for one in made)]


def kept_of(sold: Payment, amount: Decimal) -> Payment:
    """What the mart kept of a part of a sale: a cost of the same season."""
    return replace(sold, kind=COMMISSION_KEPT, amount=amount, income=False, head=0, lambs=0)


def sold_as(animal: Animal, day: date, found: Matings) -> tuple[str, int]:
    """What an animal was sold as, and the lambing year that its price belongs to."""
    if animal.born and (day - animal.born.earliest).days < ONE_YEAR:
        path = animal.birth.note.origin.path if animal.birth else ""
        return LAMB_SALES, found.season_of.get(path, animal.born.year)
    return SOLD_AS.get(animal.sex or "", SHEEP_SOLD), day.year


def purchase_payment(flock: Flock, note: Purchase, year: Year) -> list[Payment]:
    """A purchase of sheep."""
    assert note.date is not None
    if note.price is None:
        return []
    head = max(len(note.lines), 1)
    sexes = {flock.animals[sheep].sex for sheep in flock.who(note)}
    kind = BOUGHT_AS.get(sexes.pop() or "", SHEEP_BOUGHT) if len(sexes) == 1 else SHEEP_BOUGHT
    amount, left_out = counted_sum(note.price, head, None)
    rule = SeasonBy.MONEY_YEAR
    return [Payment(note, year.season(note.date), kind, amount, False, head, 0, note.from_ or "", rule, left_out)]


def hire_or_stock(note: Hire | Stock, year: Year) -> list[Payment]:
    """What the hire of a ram cost, or a thing that was bought for the shed."""
    if note.price is None or note.date is None:
        return []
    amount, left_out = counted_sum(note.price, 1, None)
    kind = RAM_HIRE if isinstance(note, Hire) else stock_kind(note)
    rule = SeasonBy.MONEY_YEAR
    return [Payment(note, year.season(note.date), kind, amount, False, 0, 0, note.from_ or "", rule, left_out)]


def stock_kind(note: Stock) -> str:
    """What kind of money a thing bought is: medicine, feed, or supplies."""
    return STOCK_MEDICINE if note.medicine else STOCK_FEED if is_feed(note.supply or "") else STOCK_SUPPLIES


def heads(flock: Flock, sale: Sale) -> int:
    """How many head were sold: those named, also those that are not in the book; else the count."""
    found = flock.subjects.get(sale.origin.path)
    named = len(found.ids) + len(found.unresolved) if found else 0
    return max(named, sale.count or 0)


def price_in_total(price: Money, head: int, kg: float | None) -> Decimal | None:
    """A price in total; None for one by weight, or by the piece, where nobody says how much there was. One that does
    not say `each` is the total (see the check that asks).
    """
    if not price.rate:
        return price.amount * head if price.basis == "each" else price.amount
    if price.basis not in KG_EACH or kg is None:
        return None
    return (price.amount * Decimal(repr(kg / KG_EACH[price.basis]))).quantize(CENT, ROUND_HALF_UP)


def counted_sum(price: Money, head: int, kg: float | None) -> tuple[Decimal, Reason | None]:
    """A price in total, and why it is left out of the sums (None where it counts)."""
    total = price_in_total(price, head, kg)
    return (total, None) if total is not None else (price.amount, AmountUnclear())


def weight_of_all(flock: Flock, sale: Sale, head: int) -> float | None:
    """What the sheep of a sale weighed together, by its note; None where that could be the weight of each as well, and
    `sure: yes` does not say that it is theirs together.
    """
    weight = sale.weight
    if weight is None or (weight.many > 1 and weight.many != head):
        return None
    if weight.basis or head == 1:
        return weight.kg * head if weight.basis == "each" else weight.kg
    young = all(sold_young(flock.animals[one], sale) for one in flock.who(sale))
    most = LAMB_KG if young else SOLD_KG[1]
    likely = [one for one in (weight.kg, weight.kg / head) if SOLD_KG[0] <= one <= most]
    if len(likely) == 1:
        return likely[0] * head
    return weight.kg if sale.sure else None


def sold_young(animal: Animal, sale: Sale) -> bool:
    """Whether an animal was under a year old when it was sold."""
    return bool(animal.born and sale.date and (sale.date - animal.born.earliest).days < ONE_YEAR)


# Money notes


def money_note(flock: Flock, note: MoneyNote, year: Year) -> list[Payment]:
    """A money note: a cost, unless it says `in: yes`."""
    assert note.date is not None
    if note.amount is None:
        return []
    head = note.count or len(flock.who(note))
    kind = plain(note.for_ or "") or OTHER_MONEY
    typed = typed_season(note)
    season, rule = (typed, SeasonBy.TYPED) if typed else (year.season(note.date), SeasonBy.MONEY_YEAR)
    amount, left_out = counted_sum(note.amount, max(head, 1), None)
    reason = DirectionUnclear() if sign_unclear(note) else left_out
    return [Payment(note, season, kind, amount, bool(note.in_), head, 0, note.to or "", rule, reason)]


def typed_season(note: MoneyNote) -> int | None:
    """The lambing year that a money note names."""
    match = re.search(r"\b(\d{4})\b", note.season or "", re.A)
    return int(match[1]) if match else None


def sign_unclear(note: MoneyNote) -> bool:
    """Whether a note is for something that is mostly taken in, and does not say which way the money went."""
    return note.in_ is None and not note.sure and plain(note.for_ or "") in MOSTLY_IN


# One payment written twice


def without_doubles(sums: list[Payment]) -> Iterator[Payment]:
    """All sums; a money note that tells again of a sale or a purchase is kept and left out of the count."""
    trades = trade_totals(sums)
    for one in sums:
        twin = twin_of(one, trades)
        yield replace(one, left_out=SamePayment(twin.origin.path)) if twin else one


class Trade(Value):
    """A sale (`income`), a purchase, a hire or a thing bought, with its whole price."""

    note: Event
    income: bool
    amount: Decimal


def trade_totals(sums: Iterable[Payment]) -> tuple[Trade, ...]:
    """Every sale and purchase with its whole price."""
    totals: dict[str, Trade] = {}
    for one in sums:
        if not isinstance(one.note, MoneyNote) and one.kind != COMMISSION_KEPT:
            before = totals.get(one.note.origin.path, Trade(one.note, one.income, Decimal(0)))
            totals[one.note.origin.path] = Trade(one.note, one.income, before.amount + one.amount)
    return tuple(totals.values())


def twin_of(one: Payment, trades: Iterable[Trade]) -> Event | None:
    """The sale or purchase that a money note of the same sum, a few days apart, most likely tells of again."""
    if not isinstance(one.note, MoneyNote) or one.note.sure:
        return None
    for trade in trades:
        near = trade.note.date is not None and abs((trade.note.date - one.day).days) <= SAME_PAYMENT_DAYS
        if near and trade.income == one.income and abs(trade.amount - one.amount) < Decimal("0.005"):
            return trade.note
    return None
