"""Supplies, stock and money."""

from __future__ import annotations

from datetime import date
from typing import Any, ClassVar

from compiler.dates import PARTIAL_DATE, PartialDate
from compiler.schema import Kind, Record, key
from compiler.values import DATE, FLAG, TEXT
from flockbook.records.event import Event
from flockbook.records.prices import MONEY, Money

MONEY_KINDS = ("feed", "vet", "medicine", "ram", "fencing", "haulage", "shearing", "wool", "subsidy")


class Supply(Record):
    """Something for the shed that must be there when it is needed."""

    name: str | None = key("what it is", TEXT, required=True)
    need: str | None = key("how many: `2 per ewe` or a number", TEXT, instead=("minimum", "keep", "at least"))
    have: str | None = key("how many there are; for feed `96 bales of 18 kg`", TEXT)
    expires: PartialDate | None = key("expiry date", PARTIAL_DATE)
    where: str | None = key("where it is kept", TEXT)


class Stock(Event):
    """Something bought, used, binned or counted, of a supply or a medicine; amounts with or without a unit."""

    of_the_living: ClassVar[bool] = False
    supply: str | None = key("the supply", TEXT)
    medicine: str | None = key("or the medicine", TEXT)
    bought: str | None = key("how much was bought, or put in", TEXT, aliases=("put in",))
    used: str | None = key("how much was used", TEXT)
    binned: str | None = key("how much was thrown away, and how", TEXT, aliases=("thrown out",))
    counted: str | None = key("how much there is", TEXT)
    batch: str | None = key("batch number", TEXT)
    expires: PartialDate | None = key("expiry date of this batch", PARTIAL_DATE)
    from_: str | None = key("supplier; of frozen colostrum the ewe that gave it", TEXT)
    frozen: date | None = key("of colostrum: the day it was put into the freezer", DATE)
    price: Money | None = key("what it cost: `31.20`, or `40 bales at 6.50`", MONEY)


class MoneyNote(Event):
    """Money spent, or taken in with `in: yes`."""

    of_the_living: ClassVar[bool] = False
    amount: Money | None = key(
        "how much", MONEY, required=True, instead=("paid", "cost", "price", "spent", "received", "total")
    )
    for_: str | None = key("what for: " + ", ".join(MONEY_KINDS), TEXT)
    in_: bool | None = key("`yes` for income", FLAG)
    to: str | None = key("to or from whom", TEXT)
    season: str | None = key("the lambing year it belongs to, where that is not plain", TEXT)


KINDS: tuple[Kind[Any], ...] = (
    Kind("supply", Supply, "something the shed must hold", dated=False, named=("name",)),
    Kind("stock", Stock, "stock bought, used, binned or counted", aliases=("stocktake",)),
    Kind("money", MoneyNote, "money spent or taken in", subject="for_"),
)
