"""Readers of what is fed: what a sheep eats in a day, and what a bale weighs."""

from __future__ import annotations

import re

from compiler.amounts import FIGURE, UNITED, number, read_weight
from compiler.nearness import clipped
from compiler.schema import Context, Fault
from compiler.shape import Value
from compiler.written import Written

SHARE_MOST, KG_MOST = 10.0, 10.0  # no sheep eats a tenth of its weight, nor 10 kg, in a day (our own limit)
HOW_MUCH = "write a weight a head as `{1.8 kg}`, or dry matter as a share of live weight, `2.5 %`"
# What each bale weighs: `96 bales of 18 kg`, `40 bales @ 40 lb`; `12 bales, 250 kg each`; `30 18 kg bales`. A weight
# behind a comma alone could be that of them all, and says nothing.
COUNTED, A_WEIGHT = r"^\D{0,40}\d[\d.,]* ?", rf"(?:about |some |~ ?)?({FIGURE} ?(?:kgs?|kilos?|lbs?|pounds?))\b"
EACH_WEIGHS = (
    re.compile(rf"{COUNTED}(?:[a-z][a-z ]*)?(?:\b(?:of|at|x)\b|[@×]) ?{A_WEIGHT}", re.I),
    re.compile(rf"{COUNTED}(?:[a-z][a-z ]*)?[,(]? ?{A_WEIGHT} ?(?:each|apiece|a bale|per bale|the bale)\b", re.I),
    re.compile(rf"{COUNTED}{A_WEIGHT} (?:[a-z]+ )?bales?\b", re.I),
)

# Words that make a supply a feed, one that makes it hay, and those of things that only hold feed (our own choice).
FEED = re.compile(
    r"\b(hay|haylage|silage|cake|nuts|pellets|concentrates?|creep|beet|barley|oats|wheat|maize|corn|grain|soya|alfalfa|"
    r"lucerne|feed|licks?|minerals?)\b",
    re.I,
)
HOLDS_FEED = re.compile(
    r"\b(nets?|racks?|feeders?|rings?|hoppers?|bins?|bags?|troughs?|knife|knives|forks?|scoops?|scales?|barriers?|drench)\b",
    re.I,
)


class Intake(Value):
    """What a sheep eats in a day: so much of the feed as it is (`kg`), or dry matter as a `share` of its weight."""

    kg: float | None
    share: float | None
    text: str = ""


def read_intake(text: str, context: Context) -> Intake | Fault:
    """A weight with its unit, or a percentage; a bare number could be either, so it is refused."""
    match = UNITED.fullmatch(text)
    if match is None or not match[2]:
        return Fault(f"`{clipped(text)}` does not say what a sheep eats in a day", HOW_MUCH)
    if match[2] == "%":
        return percentage(match[1], text, context)
    weight = read_weight(text, context)
    if isinstance(weight, Fault):
        return weight
    return Intake(weight.kg, None, text) if 0 < weight.kg <= KG_MOST else too_much(text)


def percentage(figure: str, text: str, context: Context) -> Intake | Fault:
    """A share of live weight."""
    value = number(figure, context)
    if isinstance(value, Fault):
        return value
    return Intake(None, value / 100, text) if 0 < value <= SHARE_MOST else too_much(text)


def too_much(text: str) -> Fault:
    """Nothing, or more than any sheep eats."""
    return Fault(f"`{clipped(text)}` is nothing, or more than a sheep eats in a day", HOW_MUCH)


def bale_weight(text: str, context: Context) -> float | None:
    """What each piece weighs in kilograms, where an amount says so: `96 bales of 18 kg`; else None."""
    match = next((found for how in EACH_WEIGHS if (found := how.search(text))), None)
    weight = read_weight(match[1], context) if match else None
    return weight.kg if weight is not None and not isinstance(weight, Fault) and weight.kg > 0 else None


def is_feed(name: str) -> bool:
    """Whether a supply is eaten: hay is, a hay net is not."""
    return FEED.search(name) is not None and HOLDS_FEED.search(name) is None


INTAKE = Written("what a sheep eats in a day", ("1.8 kg", "4 lb", "2.5 %"), read_intake)
