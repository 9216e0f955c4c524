"""Which season a sum belongs to, and why one is left out, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.farm.payments import AmountUnclear, DirectionUnclear, PriceUnlikely, SamePayment, SeasonBy
from flockbook.derive.plain.because import Reason

SEASON_BY = {
    SeasonBy.TYPED: "written in the note",
    SeasonBy.BORN: "born that season",
    SeasonBy.SOLD: "sold in that year",
    SeasonBy.MONEY_YEAR: "money year",
}


def direction_words(reason: DirectionUnclear) -> str:
    """That it may be a cost or an income."""
    del reason
    return "it does not say whether this came in"


def amount_unclear_words(reason: AmountUnclear) -> str:
    """That a price is one by weight or by the piece."""
    del reason
    return "it does not say for how much this is"


def price_unlikely_words(reason: PriceUnlikely) -> str:
    """25000 for each sheep, more than they fetch."""
    return f"{reason.each:.0f} for each sheep; over {reason.most:f} is asked about"


def same_payment_words(reason: SamePayment) -> str:
    """the same payment as events/2025-10-03 purchase ram.md."""
    return f"the same payment as {reason.note}"


SAID: dict[type[Reason], Callable[[Any], str]] = {
    DirectionUnclear: direction_words, AmountUnclear: amount_unclear_words, SamePayment: same_payment_words,
    PriceUnlikely: price_unlikely_words,
}  # fmt: skip
