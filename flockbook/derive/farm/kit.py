"""The shed's kit: what each supply's note says is needed, what there is, what is short, and what expires too soon.

`need: 2 per ewe` counts the ewes still due to lamb (between seasons: those put to the ram for the last one), `per lamb`
the lambs that they carry. What there is: `have` in the supply's own note, then every stock note in order of time:
bought is added, used and binned are taken off, counted starts anew.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from enum import Enum, auto

from compiler.book import Moment
from compiler.dates import PartialDate
from compiler.nearness import plain
from compiler.shape import Value, field
from flockbook.derive.breeding.due import DueList
from flockbook.derive.plain.because import Because, Reason
from flockbook.derive.season.seasons import Season
from flockbook.flock import Flock, happened
from flockbook.records.cupboard import Stock, Supply

KIT_FIGURE = r"(?P<figure>\d{1,9}(?:[.,]\d{1,6})?)"
SIZES = r"(?:(?:small|big|large|round|square|full|old|new|good)\s+)*"  # before the word that counts: 12 round bales
KIT_AMOUNT = re.compile(rf"\s*{KIT_FIGURE}\s*{SIZES}(?P<unit>(?!x\b)[a-zµ]*)", re.I)
KIT_RATE = re.compile(
    rf"\s*{KIT_FIGURE}\s*(?P<unit>[a-zµ]*?)s?\s*(?:per|/|for each|for every|each)\s*(?P<per>ewe|lamb)s?\b", re.I
)
# Units in the smallest of their kind; exact (NIST SP 811 for pounds). Any other word is its own unit: bales, boxes.
UNIT_SIZES: Mapping[str, tuple[str, Decimal]] = {
    "ml": ("ml", Decimal(1)), "cc": ("ml", Decimal(1)), "l": ("ml", Decimal(1000)), "litre": ("ml", Decimal(1000)),
    "liter": ("ml", Decimal(1000)),
    "g": ("g", Decimal(1)), "kg": ("g", Decimal(1000)), "t": ("g", Decimal(1_000_000)),
    "tonne": ("g", Decimal(1_000_000)), "lb": ("g", Decimal("453.59237")),
}  # fmt: skip
LITTER = Decimal(2)  # lambs a ewe, where nothing was scanned and no season is in the book (the safe side)
KIT_SOON_DAYS = 30  # an expiry this near is told whoever is due (our own choice)


class StockWritten(Reason):
    """What a stock note says came, went or was counted: its fields that have an amount, and each amount as typed."""

    amounts: tuple[tuple[str, str], ...]
    day: date | None


class AmountFault(Reason):
    """An amount that cannot be read (`unit` None), or cannot be compared with that unit."""

    typed: str
    unit: str | None = None


class CrowdOf(Enum):
    """Whom the shed must hold for."""

    NOBODY = auto()
    STILL_DUE = auto()
    LAST_SEASON = auto()


class Crowd(Value):
    """Whom the shed must hold for: ewes, lambs, the last day any is due; `season` where none is due now."""

    ewes: int
    lambs: int
    last_due: date | None
    of: CrowdOf
    season: int | None = None


class NeedTyped(Reason):
    """A need as typed, the same for however many."""

    need: str


class NeedForEach(Reason):
    """A need as typed for each ewe or lamb, and for whom it is reckoned."""

    need: str
    per_lamb: bool
    crowd: Crowd

    @property
    def head(self) -> int:
        """How many it is needed for."""
        return self.crowd.lambs if self.per_lamb else self.crowd.ewes


class Quantity(Value):
    """An amount in its own unit ("" for pieces), as typed."""

    amount: Decimal
    unit: str

    def within(self, unit: str) -> Decimal | None:
        """The same in another unit; a missing unit is taken to be the other. None when the two cannot be compared."""
        mine, theirs = UNIT_SIZES.get(self.unit, (self.unit, Decimal(1))), UNIT_SIZES.get(unit, (unit, Decimal(1)))
        if self.unit in ("", unit) or not unit:
            return self.amount
        return self.amount * mine[1] / theirs[1] if mine[0] == theirs[0] else None


class SupplyFact(Value):
    """One supply. Amounts are in `unit`; None where no note tells. `doubts` say what could not be read or compared."""

    name: str
    note: Supply | None
    unit: str
    have: Decimal | None
    need: Decimal | None
    expires: PartialDate | None
    too_soon: bool
    expired: bool
    stock: tuple[Stock, ...]
    doubts: tuple[AmountFault, ...]
    because: tuple[Because, ...]

    @property
    def short(self) -> Decimal | None:
        """How much is missing; 0 when there is enough, None when that cannot be known."""
        if self.need is None:
            return None
        return max(self.need - max(self.have or Decimal(0), Decimal(0)), Decimal(0))


class Kit(Value):
    """All supplies, the short ones first, then those that expire too soon, then by name."""

    supplies: tuple[SupplyFact, ...] = ()
    crowd: Crowd = field(default_factory=lambda: Crowd(0, 0, None, CrowdOf.NOBODY))


def kit(flock: Flock, due: DueList, seasons: tuple[Season, ...], today: Moment) -> Kit:
    """The kit on the day asked about."""
    crowd = crowd_of(due, seasons)
    notes: dict[str, Supply] = {}
    for supply in flock.collection.of(Supply):
        notes.setdefault(plain(supply.name or ""), supply)
    stock: dict[str, list[Stock]] = {key: [] for key in notes}
    for event in flock.events:
        if isinstance(event, Stock) and event.supply and happened(event, today):
            stock.setdefault(plain(event.supply), []).append(event)
    found = [supply_fact(notes.get(key), tuple(items), crowd, today.day) for key, items in stock.items()]
    return Kit(
        tuple(sorted(found, key=lambda item: (not item.short, not (item.too_soon or item.expired), item.name))), crowd
    )


def crowd_of(due: DueList, seasons: tuple[Season, ...]) -> Crowd:
    """The ewes still due, else those of the last season; lambs as scanned, else as last season's ewes bore."""
    last = seasons[-1].counts if seasons else None
    litter = Decimal(last.born) / last.detailed if last and last.detailed else LITTER
    if due.rows:
        lambs = sum(
            (Decimal(row.lambs_scanned) if row.lambs_scanned is not None else litter for row in due.rows), Decimal(0)
        )
        days = [row.due.latest for row in due.rows if row.due.latest]
        return Crowd(len(due.rows), up(lambs), max(days, default=None), CrowdOf.STILL_DUE)
    if last is None:
        return Kit().crowd
    return Crowd(last.exposed, up(litter * last.exposed), None, CrowdOf.LAST_SEASON, seasons[-1].season)


def up(number: Decimal) -> int:
    """Whole lambs, rounded up."""
    return int(number.to_integral_value(ROUND_CEILING))


# One supply


def supply_fact(note: Supply | None, stock: tuple[Stock, ...], crowd: Crowd, today: date) -> SupplyFact:
    """One supply: what is needed held against what there is."""
    doubts: list[AmountFault] = []
    unit = unit_of(note, stock)
    have = supply_balance(note, stock, unit, doubts)
    need, why = needed(note, crowd, unit, doubts)
    expires = earliest_expiry(note, stock)
    last = max(crowd.last_due or today, today + timedelta(KIT_SOON_DAYS))
    because = [
        *(
            [Because(note.origin.path, note.origin.span("need").line or None, "kit", reason=why)]
            if note and why
            else []
        ),
        *(
            Because(one.origin.path, one.origin.span("supply").line or None, "kit", reason=written_stock(one))
            for one in stock
        ),
    ]
    name = (note.name if note else stock[0].supply) or ""
    return SupplyFact(
        name, note, unit, have, need, expires, bool(expires and expires.latest < last),
        bool(expires and expires.latest < today), stock, tuple(dict.fromkeys(doubts)), tuple(because),
    )  # fmt: skip


def unit_of(note: Supply | None, stock: tuple[Stock, ...]) -> str:
    """The unit in which a supply is counted: the first that is written, in its own note before all others."""
    typed = [
        *((note.have, note.need) if note else ()),
        *(text for one in stock for text in (one.counted, one.bought, one.used)),
    ]
    for text in typed:
        read = KIT_RATE.match(text or "") or KIT_AMOUNT.match(text or "")
        if read and unit_word(read["unit"]):
            return unit_word(read["unit"])
    return ""


def unit_word(typed: str) -> str:
    """A unit without case and without the s of several; a word that opens a remark is none."""
    word = typed.lower()
    return word if word in UNIT_SIZES or len(word) <= 2 else word.removesuffix("s")


def supply_balance(
    note: Supply | None, stock: tuple[Stock, ...], unit: str, doubts: list[AmountFault]
) -> Decimal | None:
    """How much there is, or None when nothing was ever written."""
    have = supply_quantity(note.have, unit, doubts) if note and note.have else None
    for one in stock:
        if one.counted:
            have = supply_quantity(one.counted, unit, doubts) if one.counted else have
        for text, sign in ((one.bought, 1), (one.used, -1), (one.binned, -1)):
            amount = supply_quantity(text, unit, doubts) if text else None
            have = have if amount is None else (have or Decimal(0)) + sign * amount
    return have


def supply_quantity(text: str, unit: str, doubts: list[AmountFault]) -> Decimal | None:
    """An amount in the supply's unit; otherwise None and a doubt."""
    found = KIT_AMOUNT.match(text)
    if found is None:
        doubts.append(AmountFault(text))
        return None
    amount = Quantity(Decimal(found["figure"].replace(",", ".")), unit_word(found["unit"]))
    within = amount.within(unit)
    if within is None:
        doubts.append(AmountFault(text, unit))
    return within


def needed(
    note: Supply | None, crowd: Crowd, unit: str, doubts: list[AmountFault]
) -> tuple[Decimal | None, Reason | None]:
    """How much must be there, and how that was worked out."""
    if note is None or not note.need:
        return None, None
    rate = KIT_RATE.match(note.need)
    if rate is None:
        return supply_quantity(note.need, unit, doubts), NeedTyped(note.need)
    each = supply_quantity(f"{rate['figure']} {rate['unit']}", unit, doubts)
    why = NeedForEach(note.need, rate["per"].lower() == "lamb", crowd)
    return (None if each is None else each * why.head), why


def earliest_expiry(note: Supply | None, stock: Iterable[Stock]) -> PartialDate | None:
    """The earliest expiry date that is written; a count of nought starts anew."""
    dates = [note.expires] if note and note.expires else []
    for one in stock:
        amount = KIT_AMOUNT.match(one.counted or "")
        if amount and Decimal(amount["figure"].replace(",", ".")) == 0:
            dates = []
        dates += [one.expires] if one.expires else []
    return min(dates, key=lambda day: day.latest, default=None)


def written_stock(one: Stock) -> StockWritten:
    """A stock note as typed."""
    parts = tuple((word, text) for word in ("counted", "bought", "used", "binned") if (text := getattr(one, word)))
    return StockWritten(parts, one.date)
