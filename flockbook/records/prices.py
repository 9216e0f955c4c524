"""Sums of money as a shepherd writes them: for each animal, for all of them together, or by weight."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal

from compiler.amounts import FIGURE, KG_PER_LB, number, read_weight
from compiler.nearness import clipped
from compiler.schema import Context, Fault
from compiler.shape import Value
from compiler.written import Written, moved

# Signs and words of currencies, with the codes that they can stand for (ISO 4217).
DOLLARS = frozenset({"USD", "CAD", "AUD", "NZD"})
CURRENCY_SIGNS = {
    "$": DOLLARS, "dollar": DOLLARS, "dollars": DOLLARS, "£": frozenset({"GBP"}), "€": frozenset({"EUR"}),
    "euro": frozenset({"EUR"}), "euros": frozenset({"EUR"}),
}  # fmt: skip
_SIGN = r"[$£€]|dollars?\b|euros?\b|[a-z]{3}\b"
_EACH = r"each|ea\.?|apiece|a ?head|(?:per|/) ?head|(?:a|per|/) ?hd"
_TOTAL = r"total|in all|altogether|for (?:the )?(?:both|all|lot|pair|two|three|\d{1,4})(?: of them)?"
_MEASURED = "lbs?|pounds?|kgs?|kilos?|cwt|hundredweight|bales?|bags?|sacks?|tons?|tonnes?|loads?"
_THING = rf"(?:per|a|an|the|/) ?(?P<thing>{_MEASURED})"
PRICED = re.compile(
    rf"(?:(?P<many>\d{{1,6}}) ?(?P<what>[a-z]{{3,12}}) ?(?:at|@|x|×) ?)?(?P<before>{_SIGN})? ?(?P<figure>{FIGURE}) ?"
    rf"(?P<after>(?!per\b|the\b){_SIGN})? ?(?:(?P<each>{_EACH})|(?P<total>{_TOTAL})|{_THING})?",
    re.I | re.A,
)
KG, LB, CWT = "kg", "lb", "cwt"
WEIGHTS_SAID = {
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "lb"), **dict.fromkeys(("kg", "kgs", "kilo", "kilos"), KG),
    **dict.fromkeys((CWT, "hundredweight"), CWT),
}  # fmt: skip
KG_EACH = {"lb": KG_PER_LB, KG: 1.0, CWT: 100 * KG_PER_LB}  # a US hundredweight is 100 lb (NIST Handbook 44)
HOW_PRICED = "write it as `92`, `92.50 each`, `640 total`, `2.45 per lb` or `40 bales at 6.50`"
TWO_SEPARATORS = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d{1,2})?", re.A)  # `1,234.50`
EITHER_WAY = re.compile(r"\d{1,3}\.\d{3}", re.A)  # `1.234`: a thousand and more, or one and a bit
MOST_KEPT = 50.0  # per cent of a price; no mart keeps half (our own limit)
HOW_KEPT = "write it as `4 %` of the price, `3 each` or `25 total`"
HUNDREDTH = Decimal("0.01")
MOST_PARTS = re.compile(r"\d+(?:\.\d{1,2})?", re.A)  # money has hundredths


class Money(Value):
    """A sum of money, for `each` animal or in `total`; a price by weight has `lb`, `kg` or `cwt` for its basis, one by
    the piece its name (`bale`); "" when the note does not say which.
    """

    amount: Decimal
    basis: str = ""
    text: str = ""

    @property
    def rate(self) -> bool:
        """Whether it is for so much of something, and no sum by itself."""
        return self.basis not in ("", "each", "total")


def read_money(text: str, context: Context) -> Money | Fault:
    """`92`, `92.50 each`, `640 total`, `$1,234.50`, `1.85/lb`, `40 bales at 6.50`."""
    match = PRICED.fullmatch(text)
    if match is None:
        return Fault(f"`{clipped(text)}` is not a sum of money", HOW_PRICED)
    if foreign := strange_sign(match, context):
        return foreign
    basis = basis_of(match, context)
    if isinstance(basis, Fault):
        return basis
    amount = sum_read(match["figure"], context, basis in KG_EACH)
    if isinstance(amount, Fault):
        return moved(amount, match.start("figure"))
    if match["many"]:
        return Money(amount * int(match["many"]), "total", text)
    return Money(amount, basis, text)


def strange_sign(match: re.Match[str], context: Context) -> Fault | None:
    """A currency that is not the flock's own; a code is known only where it is."""
    own = context.habits.currency.strip()
    codes = CURRENCY_SIGNS.get(own.lower(), frozenset({own.upper()}))
    for name in ("before", "after"):
        meant = CURRENCY_SIGNS.get((match[name] or "").lower(), frozenset({(match[name] or "").upper()}))
        if not match[name] or not codes.isdisjoint(meant) or (not own and match[name].lower() in CURRENCY_SIGNS):
            continue
        cure = f"write the amount in {own} and put the other sum into the body" if own else HOW_PRICED
        told = f"`{match[name]}` is not the flock's currency{f', which is {own}' if own else ''}"
        return Fault(told, cure, match.start(name), len(match[name]))
    return None


def basis_of(match: re.Match[str], context: Context) -> str | Fault:
    """What a price is for."""
    if match["each"]:
        return "each"
    thing = (match["thing"] or "").lower()
    if match["many"] and thing and thing.rstrip("s") != match["what"].lower().rstrip("s"):
        return Fault(f"`{clipped(match[0])}` counts one thing and prices another", HOW_PRICED)
    if WEIGHTS_SAID.get(thing) == CWT and context.habits.units != "us":
        cure = "write the price for a pound or a kilogram, or say `units: us` in the settings"
        return Fault(f"`{match['thing']}` is not the same weight in every country", cure, match.start("thing"))
    return WEIGHTS_SAID.get(thing, thing.rstrip("s")) or ("total" if match["total"] else "")


def sum_read(typed: str, context: Context, by_weight: bool) -> Decimal | Fault:
    """The figures of a sum, thousands apart or not; what could be a thousand as well as a fraction is asked about."""
    comma = context.habits.decimal_comma
    if EITHER_WAY.fullmatch(typed.replace(",", ".") if comma else typed) and not by_weight:
        whole, sign, parts = re.split(r"([.,])", typed)
        cure = f"write {whole}{parts}, or {whole}{sign}{parts[:2]}"
        return Fault(f"`{typed}` can be {whole}{parts} or {whole} and a part", cure, 0, len(typed))
    plain = typed.translate(str.maketrans(",.", ".,")) if comma else typed
    if TWO_SEPARATORS.fullmatch(plain) and not by_weight and ("." in plain or context.habits.units == "us"):
        return Decimal(plain.replace(",", ""))
    value = number(typed, context)
    if isinstance(value, Fault):
        return comma_told(typed, value)
    figures = typed.replace(",", ".")
    if not MOST_PARTS.fullmatch(figures) and not by_weight:
        return Fault(f"`{typed}` has too many figures for money", "write at most two figures behind the point")
    return Decimal(figures)


def comma_told(typed: str, fault: Fault) -> Fault:
    """A fault of the number; its cure makes nothing less of a thousand."""
    bare = re.sub(r"[.,]", "", typed)
    if "," in typed and "." in typed:
        return Fault(f"`{clipped(typed)}` has a comma and a point", "write it as in 1234.50", 0, len(typed))
    if EITHER_WAY.fullmatch(typed.replace(",", ".")):
        return Fault(fault.message, f"write {bare}, or {typed.replace(',', '.')[:-1]}", 0, len(typed))
    return fault


class Commission(Value):
    """What was kept of a price: a `share` of it, or a sum; as typed."""

    share: Decimal | None
    sum: Money | None
    text: str = ""

    def of(self, total: Decimal, head: int) -> Decimal:
        """The commission on a price for so many head, to the hundredth."""
        if self.share is not None:
            return (total * self.share).quantize(HUNDREDTH, ROUND_HALF_UP)
        assert self.sum is not None
        return self.sum.amount * head if self.sum.basis == "each" else self.sum.amount


def read_commission(text: str, context: Context) -> Commission | Fault:
    """`4 %`, `3 each`, `25 total`."""
    if text.endswith("%"):
        share = number(text[:-1].strip(), context)
        if isinstance(share, Fault):
            return share
        if not 0 <= share < MOST_KEPT:
            return Fault(f"`{clipped(text)}` cannot be kept of a price", HOW_KEPT)
        return Commission(Decimal(repr(share)) / 100, None, text)
    money = read_money(text, context)
    if isinstance(money, Fault):
        return Fault(money.message, HOW_KEPT, money.start, money.length)
    return Fault(f"`{clipped(text)}` is a price", HOW_KEPT) if money.rate else Commission(None, money, text)


class SoldWeight(Value):
    """What sheep that were sold weighed: `each` of them, or in `total`; "" when the note does not say which. `many` is
    how many weights were written, where it was several.
    """

    kg: float
    basis: str = ""
    many: int = 1
    text: str = ""

    @property
    def amount(self) -> float:
        """Kilograms."""
        return self.kg


def read_sold_weight(text: str, context: Context) -> SoldWeight | Fault:
    """`248 lb`, `248 lb total`, `124 each`, `2 x 124 lb`, `130 + 118`."""
    match = SOLD_AT.fullmatch(text)
    assert match is not None
    parts = re.split(SEVERAL_WEIGHTS, match["weight"])
    read = [read_weight(without_thousands(part, context), context) for part in parts]
    for one, part in zip(read, parts, strict=True):
        if isinstance(one, Fault):
            return Fault(one.message, HOW_SOLD, text.index(part), len(part))
    kg = sum(one.kg for one in read if not isinstance(one, Fault))
    each = match["times"] or match["each"] or match["before"]
    if each and len(parts) > 1:
        return Fault(f"`{clipped(text)}` says more than one thing", HOW_SOLD)
    basis = "each" if each else "total" if match["total"] or match["all"] or len(parts) > 1 else ""
    return SoldWeight(kg, basis, len(parts), text)


def without_thousands(typed: str, context: Context) -> str:
    """`1,240 lb` as 1240 lb, where a comma parts thousands."""
    return re.sub(r"^(\d{1,3}),(\d{3})(?![\d,])", r"\1\2", typed) if context.habits.units == "us" else typed


AVERAGE = r"(?:avg\.?|averag(?:e|ed|ing)|mean)"
SOLD_AT = re.compile(
    rf"(?:(?P<times>\d{{1,4}} ?[x×@])|(?P<before>each|{AVERAGE})|(?P<all>total|together|in all|all together))? ?:? ?"
    rf"(?P<weight>.+?)(?: live(?: ?weight)?| on the hoof)?,? ?(?:(?P<each>{_EACH}|{AVERAGE})"
    r"|(?P<total>total|in total|in all|altogether|all together|together|all told|combined"
    r"|(?:for|between|of) (?:the )?(?:both|all|lot|pair|two|three|four|five|six|\d+)(?: of them)?|both|all))?",
    re.I,
)
SEVERAL_WEIGHTS = re.compile(r" ?[+;&] ?|, (?=\d+(?:\.\d+)? ?(?:lbs?|kgs?|#)?(?:,|$| and))|,? and ", re.I)
HOW_SOLD = "write it as `620 lb total`, `124 lb each`, or one by one, `130 lb + 118 lb`"
LIVE_WEIGHT = Written("a live weight", ("620 lb total", "124 lb each", "281 kg total"), read_sold_weight)
COMMISSION = Written("a commission", ("4 %", "3 each", "25 total"), read_commission)
MONEY = Written("a sum of money", ("92 each", "92.50", "640 total", "2.45 per lb", "40 bales at 6.50"), read_money)
