"""Readers of numbers with a unit: weights, volumes, temperatures, lengths of time, scores.

Unit factors are exact by definition: 1 lb = 0.45359237 kg, 1 oz = 1/16 lb (NIST Special Publication 811, Appendix B),
1 st = 14 lb (Weights and Measures Act 1985, Schedule 1), 1 US gallon = 231 in³ = 3785.411784 mL, of which a quart is a
fourth, a pint an eighth, a cup a sixteenth and a fluid ounce a hundred and twenty-eighth (NIST Handbook 44, Appendix
C).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Generic, TypeVar

from compiler.nearness import clipped
from compiler.parts import in_parts
from compiler.schema import Context, Fault
from compiler.shape import Value, replace
from compiler.written import Written, moved

T = TypeVar("T")

KG_PER_LB = 0.45359237
OZ_PER_LB = 16
LB_PER_STONE = 14
HA_PER_ACRE = 0.40468564224  # international acre (NIST SP 811)
CM_PER_INCH = 2.54  # exact (NIST SP 811)
FIGURE = r"[\d.,]+"
LONGEST = 36_525  # days: no length of time in a note is longer than a hundred years (our own limit)
LARGEST_COUNT = 1_000_000  # of anything in a note (our own limit)
THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?", re.A)
PLAIN = re.compile(r"\d{1,9}(?:\.\d{1,9})?", re.A)  # no amount in a note needs more figures (our own limit)
UNITED = re.compile(rf"({FIGURE}) ?([a-zµμ°%]*|#)\.?", re.I)
POUNDS_OUNCES = re.compile(rf"({FIGURE}) ?(?:lbs?|pounds?|#)\.?,? ?({FIGURE}) ?(?:oz|ounces?)\.?", re.I)
FLUID = re.compile(
    rf"({FIGURE}) ?(?:(?P<ounce>fl\.? ?oz|fluid ounces?)|(?P<cup>cups?)|(?P<pint>pt|pints?)|(?P<quart>qt|quarts?)"
    r"|(?P<gallon>gal|gallons?)|(?P<plain>oz|ounces?))\.?",
    re.I,
)
STONES = re.compile(rf"({FIGURE}) ?(?:st|stones?)\.?(?: ?({FIGURE}) ?(?:lbs?|pounds?)?\.?)?", re.I)
KG_GRAMS = re.compile(r"(\d{1,3}) ?(?:kgs?|kilos?)\.?,? ?(\d{1,3}) ?(?:g|gr|grams?)\.?", re.I | re.A)
GRAMS = 1000  # of a kilogram
GALLON = 3785.411784  # mL (NIST Handbook 44)
PARTS_OF_GALLON = {"ounce": 128, "plain": 128, "cup": 16, "pint": 8, "quart": 4, "gallon": 1}
# A bare temperature is one of a living body, and no figure can be both: 30 to 45 °C are 86 to 113 °F.
BODY_C, BODY_F = (30.0, 45.0), (86.0, 113.0)
DEGREES = re.compile(rf"({FIGURE}) ?(?:[°º]|deg(?:rees)?)? ?(c|f|celsius|fahrenheit)?\.?", re.I)
NOTHING = ("none", "nil", "zero")
HOURS_IN = {"min": 1 / 60, "mins": 1 / 60, "minute": 1 / 60, "minutes": 1 / 60} | dict.fromkeys(
    ("h", "hr", "hrs", "hour", "hours"), 1.0
)
MONTH = 31  # days: a month counted as the longest month, so that a period is never short
DAYS_IN = {"d": 1, "day": 1, "days": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7, "month": MONTH, "months": MONTH}
HOW_LONG = "write it as `28 days`, `72 h` or `45 min`"


class Amount(Value):
    """A plain number with the text it came from."""

    amount: float
    text: str = ""


class Weight(Value):
    """A weight in kilograms."""

    kg: float
    text: str = ""

    @property
    def amount(self) -> float:
        """Kilograms."""
        return self.kg


class Volume(Value):
    """A volume in millilitres."""

    ml: float
    text: str = ""

    @property
    def amount(self) -> float:
        """Millilitres."""
        return self.ml


class Temperature(Value):
    """A temperature in degrees Celsius."""

    celsius: float
    text: str = ""

    @property
    def amount(self) -> float:
        """Degrees Celsius."""
        return self.celsius


class Duration(Value):
    """A length of time in hours; `days` when it was typed in whole days, weeks or months."""

    hours: float
    days: int | None = None
    text: str = ""

    @property
    def amount(self) -> float:
        """Hours."""
        return self.hours


def number(text: str, context: Context) -> float | Fault:
    """A plain number, not negative: figures, at most one decimal point (or comma, where that is the habit)."""
    typed = text.strip()
    if re.fullmatch(r"[.,]\d+", typed, re.A):
        return Fault(f"`{typed}` is easily misread", f"write 0{typed.replace(',', '.')}", 0, len(text))
    if "," in typed:
        if not context.habits.decimal_comma:
            hint = f"write {typed.replace(',', '.')}" if typed.count(",") == 1 else "write the number without commas"
            if THOUSANDS.fullmatch(typed):
                hint = f"write {typed.replace(',', '')}"
            cure = f"{hint}, or say `decimal comma: yes` in the settings"
            return Fault(f"`{clipped(typed)}` has a comma", cure, 0, len(text))
        typed = typed.replace(",", ".")
    if not PLAIN.fullmatch(typed):
        return Fault(f"`{clipped(typed)}` is not a number", "write figures only, such as 4.1", 0, len(text))
    return float(typed)


class Unit(Value, Generic[T]):
    """How an amount is written: `factors` lead from each unit to the base; `bare` names the unit of a number alone, and
    `us_example` is what is shown to a writer whose units are the US's.
    """

    what: str
    example: str
    factors: Mapping[str, float]
    build: Callable[[float, str], T]
    bare: Mapping[str, str]
    us_example: str = ""

    def example_for(self, context: Context) -> str:
        """An example in the writer's own units."""
        return self.us_example if self.us_example and context.habits.units == "us" else self.example

    def __call__(self, text: str, context: Context) -> T | Fault:
        """A number followed by a unit."""
        match = UNITED.fullmatch(plain := in_parts(text, context))
        if match is None:
            return Fault(f"`{clipped(text)}` is not {self.what}", f"write it as `{self.example_for(context)}`")
        value = number(match[1], context)
        if isinstance(value, Fault):
            return value
        unit = match[2].lower() or self.bare.get(context.habits.units, "")
        if not unit:
            return Fault(f"`{clipped(text)}` has no unit", f"write it as `{match[1]} {next(iter(self.factors))}`")
        if unit not in self.factors:
            start, length = (match.start(2), len(match[2])) if plain == text else (0, None)
            return Fault(f"`{match[2]}` is not a unit of {self.what}", self.units_for(context), start, length)
        return self.build(value * self.factors[unit], text)

    def units_for(self, context: Context) -> str:
        """The units that may be written, one name of each, the writer's own first."""
        own = self.factors.get(self.bare.get(context.habits.units, ""))
        named: dict[float, str] = {} if own is None else {own: self.bare[context.habits.units]}
        for name, factor in self.factors.items():
            named.setdefault(factor, name)
        return f"use {', '.join(named.values())}"


def read_weight(text: str, context: Context) -> Weight | Fault:
    """Kilograms or pounds, pounds and ounces, or stones; a bare number is in the writer's own unit."""
    typed, text = text, in_parts(text, context)
    if typed != text:
        weight = read_weight(text, context)
        return replace(weight, text=typed) if isinstance(weight, Weight) else Fault(weight.message, weight.help)
    if stones := STONES.fullmatch(text):
        return read_stones(stones, context)
    if grams := KG_GRAMS.fullmatch(text):
        return Weight(float(grams[1]) + float(grams[2]) / GRAMS, text)
    both = POUNDS_OUNCES.fullmatch(text)
    if both is None:
        return SIMPLE_WEIGHT(text, context)
    pounds, ounces = number(both[1], context), number(both[2], context)
    if isinstance(pounds, Fault):
        return pounds
    if isinstance(ounces, Fault):
        return moved(ounces, both.start(2))
    if ounces >= OZ_PER_LB:
        cure = "write pounds and fewer than 16 ounces"
        return Fault(f"{both[2]} ounces are a pound or more", cure, both.start(2), len(both[2]))
    return Weight((pounds + ounces / OZ_PER_LB) * KG_PER_LB, text)


def read_stones(match: re.Match[str], context: Context) -> Weight | Fault:
    """`9 st 4 lb`, `9 stone 4`, `9 st`."""
    stones, pounds = number(match[1], context), number(match[2] or "0", context)
    if isinstance(stones, Fault):
        return stones
    if isinstance(pounds, Fault):
        return moved(pounds, match.start(2))
    if stones != int(stones):
        cure = "write stones and pounds, as in `9 st 4 lb`"
        return Fault(f"`{match[1]}` stones can be read two ways", cure, match.start(1), len(match[1]))
    if pounds >= LB_PER_STONE:
        cure = "write stones and fewer than 14 pounds"
        return Fault(f"{match[2]} pounds are a stone or more", cure, match.start(2), len(match[2]))
    return Weight((stones * LB_PER_STONE + pounds) * KG_PER_LB, match[0])


def read_volume(text: str, context: Context) -> Volume | Fault:
    """Millilitres and litres; fluid ounces, cups, pints, quarts and gallons where the writer's units are the US's."""
    match = FLUID.fullmatch(in_parts(text, context))
    if match is None:
        return fluid_cured(SOME_VOLUME(text, context), context)
    if match["plain"]:
        return Fault(f"`{clipped(text)}` can be a weight or a volume", f"write `{match[1]} fl oz`, or millilitres")
    return read_fluid(match, text, context)


def read_drink(text: str, context: Context) -> Volume | Fault:
    """A volume of something to drink, of which an ounce is always a fluid one."""
    match = FLUID.fullmatch(in_parts(text, context))
    return read_volume(text, context) if match is None else read_fluid(match, text, context)


def read_fluid(match: re.Match[str], text: str, context: Context) -> Volume | Fault:
    """Fluid ounces and what they make up: a British one is another amount, so only the settings tell which."""
    value = number(match[1], context)
    if isinstance(value, Fault):
        return value
    if context.habits.units != "us":
        cure = "write millilitres, or say `units: us` in the settings if it is the US measure"
        return Fault(f"`{clipped(match[0])}` is not the same amount in every country", cure)
    return Volume(value * GALLON / PARTS_OF_GALLON[match.lastgroup or "ounce"], text)


def fluid_cured(found: Volume | Fault, context: Context) -> Volume | Fault:
    """A fault of a volume whose cure names the fluid measures, where they are read."""
    if isinstance(found, Volume) or context.habits.units != "us" or not found.help.startswith(("use ", "write it as")):
        return found
    return replace(found, help="write it as `8 fl oz` or `240 ml`; cc, cups, pints, quarts and gallons are read too")


def read_temperature(text: str, context: Context) -> Temperature | Fault:
    """Degrees Celsius or Fahrenheit; without a unit, what a body's temperature can only mean."""
    match = DEGREES.fullmatch(text)
    if match is None:
        example = "102.5 F" if context.habits.units == "us" else "39.2 C"
        return Fault(f"`{clipped(text)}` is not a temperature", f"write it as `{example}`")
    value = number(match[1], context)
    if isinstance(value, Fault):
        return value
    unit = match[2] or body_unit(value)
    if not unit:
        return Fault(f"`{clipped(text)}` has no unit", f"write it as `{match[1]} C` or `{match[1]} F`")
    said = text if match[2] else f"{match[1]} {unit}"
    return Temperature(value if unit[0] in "cC" else (value - 32) / 1.8, said)


def body_unit(value: float) -> str:
    """C or F, by the band that a body's temperature without a unit lies in; "" outside both."""
    return "C" if BODY_C[0] <= value <= BODY_C[1] else "F" if BODY_F[0] <= value <= BODY_F[1] else ""


def read_duration(text: str, context: Context) -> Duration | Fault:
    """Minutes, hours, days, weeks or months; `none` and `0` are no time at all."""
    if text.lower() in NOTHING:
        return Duration(0, 0, text)
    match = UNITED.fullmatch(text)
    if match is None:
        return Fault(f"`{clipped(text)}` is not a length of time", HOW_LONG)
    value, unit = number(match[1], context), match[2].lower()
    if isinstance(value, Fault):
        return value
    if value * (DAYS_IN.get(unit, 0) or HOURS_IN.get(unit, 0) / 24) > LONGEST:
        return Fault(f"`{clipped(text)}` is longer than a hundred years", HOW_LONG)
    if unit in HOURS_IN:
        return Duration(value * HOURS_IN[unit], 0 if value == 0 else None, text)
    if unit in DAYS_IN:
        days = value * DAYS_IN[unit]
        return Duration(days * 24, int(days) if days == int(days) else None, text)
    if unit:
        return Fault(f"`{match[2]}` is not a unit of time", HOW_LONG, match.start(2), len(match[2]))
    if value == 0:
        return Duration(0, 0, text)
    return Fault(f"`{clipped(text)}` has no unit", f"write `{match[1]} days` or `{match[1]} h`")


def read_days(text: str, context: Context) -> int | Fault:
    """A length in whole days: `147 days`, `21 weeks`, or the bare number."""
    span = read_duration(f"{text} days" if text.isdigit() else text, context)
    if isinstance(span, Fault):
        return span
    if span.days is None:
        return Fault(f"`{clipped(text)}` is not a whole number of days", "write it as `147 days`")
    return span.days


def read_share(text: str, context: Context) -> float | Fault:
    """A share as a number, or in hundredths with a percent sign: `0.75` or `75 %`."""
    bare = text.strip().removesuffix("%")
    value = number(bare, context)
    return value if isinstance(value, Fault) or bare == text.strip() else value / 100


def read_hours(text: str, context: Context) -> float | Fault:
    """A number of hours: `120`, `120 h` or `120 hours`."""
    return number(re.sub(r"\s*h(?:ours?|rs?)?\.?$", "", text, flags=re.I), context)


def read_count(text: str, context: Context) -> int | Fault:
    """0, 1, 2 …"""
    del context
    if not re.fullmatch(r"\d{1,9}", text, re.A):
        return Fault(f"`{clipped(text)}` is not a whole number", "write figures only, such as 7")
    if int(text) > LARGEST_COUNT:
        return Fault(f"`{text}` is more than can be counted here", "look at the figures again")
    return int(text)


def read_number(text: str, context: Context) -> float | Fault:
    """A plain number; a percent sign behind it is allowed."""
    return number(text.removesuffix("%"), context)


POUND = dict.fromkeys(("lb", "lbs", "pound", "pounds", "#"), KG_PER_LB)
KILOGRAM = {"kg": 1.0, "kgs": 1.0, "kilo": 1.0, "kilos": 1.0, "g": 0.001}
LITRE = {"ml": 1.0, "cc": 1.0, "cl": 10.0, "l": 1000.0} | dict.fromkeys(("litre", "litres", "liter", "liters"), 1000.0)
HECTARE = {"ha": 1.0, "acre": HA_PER_ACRE, "acres": HA_PER_ACRE, "ac": HA_PER_ACRE}
CENTIMETRE = {"cm": 1.0, "in": CM_PER_INCH, "inches": CM_PER_INCH, "mm": 0.1}
SIMPLE_WEIGHT = Unit("a weight", "4.1 kg", KILOGRAM | POUND, Weight, {"metric": "kg", "us": "lb"}, "9.5 lb")
SOME_VOLUME = Unit("a volume", "2.5 ml", LITRE, Volume, {}, "8 fl oz")
SOME_AREA = Unit("an area", "1.2 ha", HECTARE, Amount, {"metric": "ha", "us": "ac"}, "3 acres")
SOME_HEIGHT = Unit("a height", "8 cm", CENTIMETRE, Amount, {"metric": "cm", "us": "in"}, "3 in")
SOME_SHARE = Unit("a percentage", "25 %", {"%": 1.0, "percent": 1.0}, Amount, {"metric": "%", "us": "%"})
WEIGHT = Written("a weight", ("4.1 kg", "9.5 lb", "9 lb 8 oz", "9 st 4 lb", "4.1"), read_weight)
VOLUME = Written("a volume", ("2.5 ml",), read_volume)
DRINK = Written("a volume to drink", ("150 ml",), read_drink)
AREA = Written("an area", ("1.2 ha", "3 acres"), SOME_AREA)
LENGTH = Written("a height", ("8 cm",), SOME_HEIGHT)
PERCENT = Written("a percentage", ("25 %",), SOME_SHARE)
TEMPERATURE = Written("a temperature", ("39.2 C", "102.5 F", "102.5"), read_temperature)
SPAN_OF_TIME = Written("a length of time", ("28 days", "72 h", "6 weeks", "45 min"), read_duration)
LENGTH_IN_DAYS = Written("a length in days", ("147 days",), read_days)
COUNT = Written("a whole number", ("7",), read_count, "^ *[0-9]+ *$")
NUMBER = Written("a number", ("4.5",), read_number)
SHARE = Written("a share", ("0.75", "75 %"), read_share)
HOURS = Written("a number of hours", ("120", "120 h"), read_hours)
