"""Notes on sheep that leave alive."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from compiler.schema import Kind, key
from compiler.values import CHOICE, MONEY, TEXT, WEIGHT, Money, Weight
from flockbook.records.event import Event

USES = ("slaughter", "breeding", "store", "private")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale(Event):
    """Sheep sold. `use: slaughter` and `use: private` run the clear-to-sell guard."""

    to: str | None = key("the buyer or the mart", TEXT)
    use: str | None = key("slaughter, breeding, store or private", CHOICE(*USES))
    price: Money | None = key("`92 each` or `640 total`", MONEY)
    weight: Weight | None = key("live weight, when they were weighed together or alone", WEIGHT)
    document: str | None = key("movement document or licence number", TEXT)


KINDS: tuple[Kind[Any], ...] = (Kind("sale", Sale, "sheep sold", aliases=("sold",)),)
