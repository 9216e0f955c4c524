"""What the shed needs and has, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.farm.kit import AmountFault, Crowd, CrowdOf, NeedForEach, NeedTyped, StockWritten
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import day_words
from flockbook.regional import local

TYPED_SHOWN = 40  # letters of what was typed


def crowd_words(crowd: Crowd) -> str:
    """Whom the shed must hold for."""
    words = {
        CrowdOf.NOBODY: local("no ewe has been put to a ram"),
        CrowdOf.STILL_DUE: f"{crowd.ewes} ewes still due",
        CrowdOf.LAST_SEASON: f"the {crowd.ewes} ewes of {crowd.season}, as none is due now",
    }
    return words[crowd.of]


def amount_fault_words(fault: AmountFault) -> str:
    """Why an amount is not counted."""
    shown = f"`{fault.typed[:TYPED_SHOWN]}`"
    if fault.unit is None:
        return f"{shown} is not an amount: write the figure first, such as `12` or `500 ml`"
    return f"{shown} cannot be compared with {fault.unit}"


def need_words(reason: NeedTyped) -> str:
    """need: 2 bottles."""
    return f"need: {reason.need}"


def need_for_each_words(reason: NeedForEach) -> str:
    """2 per ewe × 38: 38 ewes still due."""
    carried = f", {reason.crowd.lambs} lambs" if reason.per_lamb else ""
    return f"{reason.need} × {reason.head}: {crowd_words(reason.crowd)}{carried}"


def stock_words(reason: StockWritten) -> str:
    """bought 400 kg on 31 Jan 2026."""
    day = day_words(reason.day) if reason.day else "a day that cannot be read"
    return f"{', '.join(map(' '.join, reason.amounts)) or 'no amount'} on {day}"


SAID: dict[type[Reason], Callable[[Any], str]] = {
    AmountFault: amount_fault_words, NeedTyped: need_words, NeedForEach: need_for_each_words, StockWritten: stock_words,
}  # fmt: skip
