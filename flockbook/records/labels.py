"""Readers of what a medicine's label or a vet's letter says: a dose, a dose for the weight, a waiting period."""

from __future__ import annotations

import math
import re

from compiler.amounts import (
    DAYS_IN,
    FIGURE,
    FLUID,
    UNITED,
    VOLUME,
    Unit,
    Volume,
    Weight,
    read_duration,
    read_fluid,
    read_weight,
)
from compiler.nearness import clipped
from compiler.parts import in_parts
from compiler.schema import Context, Fault
from compiler.shape import Value, replace
from compiler.written import Written

FOR_EVERY = r"(?:per|/|for each|for every|every)"
RATE_TEXT = re.compile(
    rf"(?P<volume>{FIGURE} ?(?:fl\.? ?oz|[a-z]*))\.? ?{FOR_EVERY} ?(?P<weight>(?:(?:{FIGURE}|a hundred|hundred) ?)?"
    r"(?:[a-z]+|#))\.?(?: ?(?:of )?(?:(?:body|live) ?-?weight|b\.?w\.?))?",
    re.I,
)
HUNDREDWEIGHT = re.compile(rf"({FIGURE})? ?(?:cwt|hundred ?-?weight)|(?:a )?hundred(?= )", re.I)
EACH = re.compile(r"(.+?),? ?(?:each|ea\.?|apiece|(?:per|a|/) ?(?:head|animal|sheep|ewe|lamb|ram))", re.I)
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
    match = RATE_TEXT.fullmatch(in_parts(text, context))
    if match is None:
        return Fault(f"`{clipped(text)}` is not a dose rate", f"write it as `{rate_example(context)}` or `2 ml each`")
    volume = VOLUME.read(match["volume"].rstrip(), context)
    weight = weight_dosed(match["weight"], context)
    if isinstance(volume, Fault):
        return Fault(volume.message, volume.help)
    if isinstance(weight, Fault):
        return Fault(weight.message, weight.help)
    if weight.kg <= 0 or volume.ml <= 0:
        return Fault(f"`{clipped(text)}` has a nought in it", f"write it as `{rate_example(context)}`")
    return DoseRate(volume.ml, weight.kg, text)


def weight_dosed(typed: str, context: Context) -> Weight | Fault:
    """The weight that a rate is for: `100 lb`, `lb`, `100#`; `cwt` where it is a hundred pounds."""
    if context.habits.units == "us":
        typed = HUNDREDWEIGHT.sub(lambda match: f"{match[1] or 1}00" + ("" if match[0].endswith("d") else " lb"), typed)
    return read_weight(typed if typed[0].isdigit() or typed[0] in ".," else f"1 {typed}", context)


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


class Lengthening(Value):
    """By how much a waiting period is longer: so many `times` as long, and at `least` so long."""

    times: float = 1.0
    least: Withdrawal | None = None
    text: str = ""


def read_lengthening(text: str, context: Context) -> Lengthening | Fault:
    """`twice`, `3 times`, `14 days`, `twice, at least 48 h`."""
    times, least = 1.0, None
    for part in re.split(r"\s*(?:,|;|\band\b)\s*", text):
        if match := SO_MANY_TIMES.fullmatch(part):
            times = TIMES_SAID.get(part.lower()) or float((match[1] or "0").replace(",", "."))
            continue
        read = read_withdrawal(re.sub(r"^at least ", "", part, flags=re.I), context)
        if isinstance(read, Fault) or read.never:
            return Fault(f"`{clipped(text)}` does not say how much longer", HOW_LONGER)
        least = read
    if not 1 <= times <= MOST_TIMES:
        return Fault(f"`{clipped(text)}` would not lengthen a period, or beyond all measure", HOW_LONGER)
    return Lengthening(times, least, text)


SO_MANY_TIMES = re.compile(rf"(?:twice|double|thrice|({FIGURE}) ?(?:times|x))", re.I)
TIMES_SAID = {"twice": 2.0, "double": 2.0, "thrice": 3.0}
MOST_TIMES = 10.0  # our own limit
HOW_LONGER = "write `twice`, `3 times`, `14 days`, or `twice, at least 48 h`; it may only lengthen"
LENGTHENING = Written(
    "how much longer a waiting period is", ("twice", "twice, at least 48 h", "14 days"), read_lengthening
)
SYRINGE = Unit("a dose", "2.5 ml", {"ml": 1.0, "mls": 1.0, "cc": 1.0, "ccs": 1.0}, Volume, {})


def read_dose(text: str, context: Context) -> Volume | Fault:
    """`2.5 ml`, `1/2 cc`, `2.5 cc each`; `1 fl oz` where the writer's units are the US's."""
    match = EACH.fullmatch(text)
    bare = re.sub(r"['’]s$", "s", match[1] if match else text)
    fluid = FLUID.fullmatch(in_parts(bare, context))
    if fluid is None:
        outcome = SYRINGE(bare, context)
    elif fluid["ounce"]:
        outcome = read_fluid(fluid, bare, context)
    else:
        cure = f"write `{fluid[1]} fl oz` or millilitres, as the label has it"
        outcome = Fault(f"`{clipped(text)}` is not a dose", cure)
    return replace(outcome, text=text) if isinstance(outcome, Volume) else outcome


DOSE_TEXT = Written("a dose", ("2.5 ml",), read_dose)
DOSE_RATE = Written("a dose rate", ("1 ml per 20 kg", "1 mL per 40 lb", "2 ml each"), read_dose_rate)
WITHDRAWAL = Written("a waiting period", ("28 days", "72 h", "none", "not for milk"), read_withdrawal)
