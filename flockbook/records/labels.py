"""Readers of what a medicine's label or a vet's letter says: a dose, a dose for the weight, a waiting period."""

from __future__ import annotations

import math
import re

from compiler.amounts import DAYS_IN, FIGURE, UNITED, VOLUME, Unit, Volume, read_duration, read_weight
from compiler.nearness import clipped
from compiler.schema import Context, Fault
from compiler.shape import Value
from compiler.written import Written

FOR_EVERY = r"(?:per|/|for each|for every|every)"
RATE_TEXT = re.compile(rf"(?P<volume>{FIGURE} ?[a-z]*) ?{FOR_EVERY} ?(?P<weight>(?:{FIGURE} ?)?[a-z]+)", re.I)
EACH = re.compile(r"(.+?) ?(?:each|(?:per|a|/) ?(?:head|animal))", re.I)
FORBIDDEN = re.compile(
    r"(?:not|never) (?:for|to be used for|permitted for) (?:use in )?(?:milk|meat|slaughter)[a-z ,]*"
)
MILKINGS = re.compile(r"\bmilkings?\b", re.I)
IN_HOURS = "write the hours or days of the label, as in `72 h`: how long so many milkings last hangs on when you milk"


class DoseRate(Value):
    """`ml` for every `per_kg` kilograms of animal; `per_kg` is None when it is for each animal, whatever it weighs."""

    ml: float
    per_kg: float | None
    text: str = ""

    @property
    def amount(self) -> float:
        """Millilitres a kilogram, or an animal."""
        return self.ml if self.per_kg is None else self.ml / self.per_kg


class Withdrawal(Value):
    """A waiting period as typed: whole `days`, or `hours`, or `never` (not for that use at all). Zero is 0 days."""

    days: int | None = None
    hours: float | None = None
    never: bool = False
    text: str = ""

    @property
    def zero(self) -> bool:
        """Whether it asks for no waiting at all."""
        return not self.never and not self.days and not self.hours


def read_dose_rate(text: str, context: Context) -> DoseRate | Fault:
    """Millilitres for kilograms or pounds of animal, or for each animal."""
    if match := EACH.fullmatch(text):
        volume = VOLUME.read(match[1], context)
        return volume if isinstance(volume, Fault) else DoseRate(volume.ml, None, text)
    match = RATE_TEXT.fullmatch(text)
    if match is None:
        return Fault(f"`{clipped(text)}` is not a dose rate", f"write it as `{rate_example(context)}` or `2 ml each`")
    volume = VOLUME.read(match["volume"].rstrip(), context)
    typed = match["weight"]
    weight = read_weight(typed if typed[0].isdigit() or typed[0] in ".," else f"1 {typed}", context)
    if isinstance(volume, Fault):
        return volume
    if isinstance(weight, Fault):
        return Fault(weight.message, weight.help, match.start("weight"), len(typed))
    if weight.kg <= 0 or volume.ml <= 0:
        return Fault(f"`{clipped(text)}` has a nought in it", f"write it as `{rate_example(context)}`")
    return DoseRate(volume.ml, weight.kg, text)


def rate_example(context: Context) -> str:
    """A rate as a label of the writer's country has it."""
    return "1 ml per 40 lb" if context.habits.units == "us" else "1 ml per 20 kg"


def read_withdrawal(text: str, context: Context) -> Withdrawal | Fault:
    """A length of time, `none`, `0`, or `not for milk`. Parts of days are rounded up to days; hours stay hours."""
    if FORBIDDEN.fullmatch(text.lower()):
        return Withdrawal(never=True, text=text)
    if MILKINGS.search(text):
        return Fault(f"`{clipped(text)}` is counted in milkings", IN_HOURS)
    span = read_duration(text, context)
    if isinstance(span, Fault):
        return Fault(span.message, "write `28 days`, `72 h`, `none` or `not for milk`", span.start, span.length)
    if span.days is not None:
        return Withdrawal(days=span.days, text=text)
    typed = UNITED.fullmatch(text)
    if typed and typed[2].lower() in DAYS_IN:
        return Withdrawal(days=math.ceil(span.hours / 24), text=text)
    return Withdrawal(hours=span.hours, text=text)


DOSE_TEXT = Written("a dose", ("2.5 ml",), Unit("a dose", "2.5 ml", {"ml": 1.0, "cc": 1.0}, Volume, {}))
DOSE_RATE = Written("a dose rate", ("1 ml per 20 kg", "1 mL per 40 lb", "2 ml each"), read_dose_rate)
WITHDRAWAL = Written("a waiting period", ("28 days", "72 h", "none", "not for milk"), read_withdrawal)
