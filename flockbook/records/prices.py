"""Sums of money as a shepherd writes them: for each animal, or for all of them together."""

from __future__ import annotations

import re
from decimal import Decimal

from compiler.amounts import FIGURE, number
from compiler.nearness import clipped
from compiler.schema import Context, Fault
from compiler.shape import Value
from compiler.written import Written, moved

PRICED = re.compile(rf"[£$€]? ?({FIGURE}) ?(each|a head|per head|total|in all|altogether)?", re.I)


class Money(Value):
    """A sum of money, for `each` animal or in `total`; "" when the note does not say which."""

    amount: Decimal
    basis: str = ""
    text: str = ""


def read_money(text: str, context: Context) -> Money | Fault:
    """`92`, `92.50 each`, `640 total`; a currency sign in front is allowed."""
    match = PRICED.fullmatch(text)
    if match is None:
        return Fault(f"`{clipped(text)}` is not a sum of money", "write it as `92`, `92.50 each` or `640 total`")
    value = number(match[1], context)
    if isinstance(value, Fault):
        return moved(value, match.start(1))
    word = (match[2] or "").lower()
    basis = "each" if word in ("each", "a head", "per head") else "total" if word else ""
    return Money(Decimal(match[1].replace(",", ".")), basis, text)


MONEY = Written("a sum of money", ("92 each", "92.50", "640 total"), read_money)
