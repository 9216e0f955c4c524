"""Readers of numbers with a unit: weights, volumes, dose rates, temperatures, lengths of time, money, scores.

Unit factors are exact by definition: 1 lb = 0.45359237 kg, 1 oz = 1/16 lb (NIST Special Publication 811, Appendix B).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from compiler.schema import Context, Fault

KG_PER_LB = 0.45359237
OZ_PER_LB = 16
HA_PER_ACRE = 0.40468564224  # international acre (NIST SP 811)
CM_PER_INCH = 2.54  # exact (NIST SP 811)
MOST = 1e9  # no amount in a note reaches this (our own limit)
FIGURE = r"[\d.,]+"
MINUTES = {"min": 1, "mins": 1, "minute": 1, "minutes": 1}
HOURS = {"h": 1, "hr": 1, "hrs": 1, "hour": 1, "hours": 1}
DAYS = {"d": 1, "day": 1, "days": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7}
MONTH_DAYS = 31  # a month counted as the longest month, so that a period is never short


@dataclass(frozen=True, slots=True)
class Amount:
    """A plain number with the text it came from."""

    amount: float
    text: str = ""


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight in kilograms."""

    kg: float
    text: str = ""

    @property
    def amount(self) -> float:
        """Kilograms."""
        return self.kg


@dataclass(frozen=True, slots=True)
class Volume:
    """A volume in millilitres."""

    ml: float
    text: str = ""

    @property
    def amount(self) -> float:
        """Millilitres."""
        return self.ml


@dataclass(frozen=True, slots=True)
class DoseRate:
    """`ml` for every `per_kg` kilograms of animal."""

    ml: float
    per_kg: float
    text: str = ""

    @property
    def amount(self) -> float:
        """Millilitres a kilogram."""
        return self.ml / self.per_kg


@dataclass(frozen=True, slots=True)
class Temperature:
    """A temperature in degrees Celsius."""

    celsius: float
    text: str = ""

    @property
    def amount(self) -> float:
        """Degrees Celsius."""
        return self.celsius


@dataclass(frozen=True, slots=True)
class Duration:
    """A length of time in hours; `days` when it was typed in whole days or weeks."""

    hours: float
    days: int | None = None
    text: str = ""

    @property
    def amount(self) -> float:
        """Hours."""
        return self.hours


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """A waiting period as typed: whole `days`, or `hours`, or `never` (not for that use at all). Zero is 0 days."""

    days: int | None = None
    hours: float | None = None
    never: bool = False
    text: str = ""

    @property
    def zero(self) -> bool:
        """Whether it asks for no waiting at all."""
        return not self.never and not self.days and not self.hours


@dataclass(frozen=True, slots=True)
class Money:
    """A sum of money, for `each` animal or in `total`; "" when the note does not say which."""

    amount: Decimal
    basis: str = ""
    text: str = ""


def number(text: str, context: Context) -> float | Fault:
    """A plain positive number: figures, at most one decimal point (or comma, where that is the habit)."""
    typed = text.strip()
    if re.fullmatch(r"[.,]\d+", typed, re.A):
        return Fault(f"`{typed}` is easily misread", f"write 0{typed.replace(',', '.')}", 0, len(text))
    if "," in typed:
        if not context.habits.decimal_comma:
            hint = f"write {typed.replace(',', '.')}" if typed.count(",") == 1 else "write the number without commas"
            return Fault(f"`{typed[:40]}` has a comma", f"{hint}, or say `decimal comma: yes` in the settings", 0, len(text))
        typed = typed.replace(",", ".")
    if not re.fullmatch(r"\d{1,12}(?:\.\d{1,9})?", typed, re.A):
        return Fault(f"`{typed[:40]}` is not a number", "write figures only, such as 4.1", 0, len(text))
    value = float(typed)
    return value if value < MOST else Fault(f"`{typed[:40]}` cannot be meant", "look at the figures again", 0, len(text))


@dataclass(frozen=True, slots=True)
class UnitReader:
    """A number followed by a unit. `units` maps a unit to the factor that makes the base unit; `bare` names the unit of a number alone."""

    name: str
    example: str
    units: dict[str, float]
    build: Callable[[float, str], Any]
    bare: dict[str, str]

    def read(self, text: str, context: Context) -> Any:
        """The amount in base units."""
        plain = " ".join(text.split())
        match = re.fullmatch(rf"({FIGURE})\s*([a-zµ°%]*)\.?", plain, re.I)
        if match is None:
            return Fault(f"`{plain[:40]}` is not {self.name}", f"write it as `{self.example}`")
        value = number(match[1], context)
        if isinstance(value, Fault):
            return value
        unit = match[2].lower() or self.bare.get(context.habits.units, "")
        if not unit:
            return Fault(f"`{plain[:40]}` has no unit", f"write it as `{match[1]} {next(iter(self.units))}`")
        if unit not in self.units:
            return Fault(f"`{match[2]}` is not a unit of {self.name}", f"use {', '.join(self.units)}", match.start(2), len(match[2]))
        return self.build(value * self.units[unit], text.strip())

    def schema(self) -> dict[str, Any]:
        """A string such as the example."""
        return {"type": "string", "examples": [self.example]}


@dataclass(frozen=True, slots=True)
class WeightReader:
    """A weight; a bare number is in the flock's own unit."""

    name: str = "a weight"
    example: str = "4.1 kg"

    def read(self, text: str, context: Context) -> Weight | Fault:
        """Kilograms or pounds, or pounds and ounces."""
        plain = " ".join(text.split())
        both = re.fullmatch(rf"({FIGURE}) ?(?:lbs?|pounds?) ?({FIGURE}) ?(?:oz|ounces?)", plain, re.I)
        if both is None:
            simple: Weight | Fault = SIMPLE_WEIGHT.read(text, context)
            return simple
        pounds, ounces = number(both[1], context), number(both[2], context)
        if isinstance(pounds, Fault):
            return pounds
        if isinstance(ounces, Fault):
            return ounces
        if ounces >= OZ_PER_LB:
            return Fault(f"{both[2]} ounces are more than a pound", "write pounds and fewer than 16 ounces")
        return Weight((pounds + ounces / OZ_PER_LB) * KG_PER_LB, text.strip())

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["4.1 kg", "9.5 lb", "9 lb 8 oz", "4.1"]}


@dataclass(frozen=True, slots=True)
class DoseRateReader:
    """A dose for a weight."""

    name: str = "a dose rate"
    example: str = "1 ml per 20 kg"

    def read(self, text: str, context: Context) -> DoseRate | Fault:
        """Millilitres for kilograms or pounds."""
        plain = " ".join(text.split())
        match = re.fullmatch(rf"({FIGURE} ?[a-z]*) ?(?:per|/|for each|every|to) ?(?:({FIGURE}) ?)?([a-z]+)", plain, re.I)
        if match is None:
            return Fault(f"`{plain[:40]}` is not a dose rate", "write it as `1 ml per 20 kg`")
        volume = VOLUME.read(match[1], context)
        weight = WEIGHT.read(f"{match[2] or 1} {match[3]}", context)
        if isinstance(volume, Fault):
            return volume
        if isinstance(weight, Fault):
            return weight
        if weight.kg <= 0 or volume.ml <= 0:
            return Fault(f"`{plain[:40]}` has a nought in it", "write it as `1 ml per 20 kg`")
        return DoseRate(volume.ml, weight.kg, text.strip())

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["1 ml per 20 kg", "1 mL per 40 lb"]}


@dataclass(frozen=True, slots=True)
class DurationReader:
    """A length of time."""

    name: str = "a length of time"
    example: str = "28 days"

    def read(self, text: str, context: Context) -> Duration | Fault:
        """Minutes, hours, days, weeks or months."""
        plain = " ".join(text.split())
        match = re.fullmatch(rf"({FIGURE}) ?([a-z]*)\.?", plain, re.I)
        if match is None:
            return Fault(f"`{plain[:40]}` is not a length of time", "write it as `28 days`, `72 h` or `45 min`")
        value = number(match[1], context)
        if isinstance(value, Fault):
            return value
        unit = match[2].lower()
        if value == 0:
            return Duration(0, 0, text.strip())
        hours = hours_of(value, unit)
        if hours is None:
            what = f"`{match[2]}` is not a unit of time" if unit else f"`{plain[:40]}` has no unit"
            return Fault(what, f"write `{match[1]} days` or `{match[1]} h`", match.start(2) if unit else 0, len(match[2]) or len(plain))
        whole = hours / 24
        days = int(whole) if unit not in HOURS and unit not in MINUTES and whole == int(whole) else None
        return Duration(hours, days, text.strip())

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["28 days", "72 h", "6 weeks", "45 min"]}


@dataclass(frozen=True, slots=True)
class WithdrawalReader:
    """A waiting period."""

    name: str = "a waiting period"
    example: str = "28 days"

    def read(self, text: str, context: Context) -> Withdrawal | Fault:
        """A length of time, `none`, `0`, or `not for milk`. Part days are rounded up; hours stay hours."""
        plain = " ".join(text.lower().split())
        if plain in ("none", "nil", "zero"):
            return Withdrawal(days=0, text=text.strip())
        if re.fullmatch(r"(?:not|never) (?:for|to be used for|permitted for) (?:use in )?(?:milk|meat|slaughter)[a-z ,]*", plain):
            return Withdrawal(never=True, text=text.strip())
        span = SPAN_OF_TIME.read(text, context)
        if isinstance(span, Fault):
            return Fault(span.message, "write `28 days`, `72 h`, `none` or `not for milk`", span.start, span.length)
        if span.days is None and not re.search(r"h|min", plain):
            return Withdrawal(days=math.ceil(span.hours / 24), text=text.strip())
        if span.days is None:
            return Withdrawal(hours=span.hours, text=text.strip())
        return Withdrawal(days=span.days, text=text.strip())

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["28 days", "72 h", "none", "not for milk"]}


@dataclass(frozen=True, slots=True)
class MoneyReader:
    """A sum of money in the settings' currency."""

    name: str = "a sum of money"
    example: str = "92 each"

    def read(self, text: str, context: Context) -> Money | Fault:
        """`92`, `92.50 each`, `640 total`; a currency sign in front is allowed."""
        plain = " ".join(text.split())
        match = re.fullmatch(rf"[£$€]? ?({FIGURE}) ?(each|a head|total|in all|altogether)?", plain, re.I)
        if match is None:
            return Fault(f"`{plain[:40]}` is not a sum of money", "write it as `92`, `92.50 each` or `640 total`")
        value = number(match[1], context)
        if isinstance(value, Fault):
            return value
        basis = {"": "", "each": "each", "a head": "each"}.get((match[2] or "").lower(), "total")
        return Money(Decimal(match[1].replace(",", ".")), basis, text.strip())

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["92", "92.50 each", "640 total"]}


@dataclass(frozen=True, slots=True)
class CountReader:
    """A whole number."""

    name: str = "a whole number"
    example: str = "7"

    def read(self, text: str, context: Context) -> int | Fault:
        """0, 1, 2 …"""
        del context
        plain = text.strip()
        if not re.fullmatch(r"\d{1,9}", plain, re.A):
            return Fault(f"`{plain[:40]}` is not a whole number", "write figures only, such as 7")
        return int(plain)

    def schema(self) -> dict[str, Any]:
        """A string of figures."""
        return {"type": "string", "pattern": "^[0-9]+$"}


@dataclass(frozen=True, slots=True)
class NumberReader:
    """A plain number."""

    name: str = "a number"
    example: str = "4.5"

    def read(self, text: str, context: Context) -> float | Fault:
        """The number."""
        return number(text.removesuffix("%"), context)

    def schema(self) -> dict[str, Any]:
        """A string of figures."""
        return {"type": "string"}


@dataclass(frozen=True, slots=True)
class Score:
    """A score between `low` and `high` in steps of `step`."""

    low: float
    high: float
    step: float
    name: str = "a score"

    @property
    def example(self) -> str:
        """The middle of the scale."""
        return f"{(self.low + self.high) / 2:g}"

    def read(self, text: str, context: Context) -> float | Fault:
        """The score; outside the scale or between its steps is an error."""
        value = number(text, context)
        if isinstance(value, Fault):
            return value
        if not self.low <= value <= self.high:
            return Fault(f"`{text.strip()}` is off the scale", f"the scale runs from {self.low:g} to {self.high:g}")
        if ((value - self.low) / self.step) % 1:
            return Fault(f"`{text.strip()}` lies between two steps of the scale", f"the scale goes in steps of {self.step:g}")
        return value

    def schema(self) -> dict[str, Any]:
        """A string of figures."""
        return {"type": "string", "description": f"{self.low:g} to {self.high:g} in steps of {self.step:g}"}


def hours_of(value: float, unit: str) -> float | None:
    """Hours in `value` of a unit, or None for an unknown unit."""
    if unit in MINUTES:
        return value / 60
    if unit in HOURS:
        return value
    if unit in DAYS:
        return value * DAYS[unit] * 24
    return value * MONTH_DAYS * 24 if unit in ("month", "months") else None


def celsius(value: float, text: str) -> Temperature:
    """A temperature typed in Celsius."""
    return Temperature(value, text)


@dataclass(frozen=True, slots=True)
class TemperatureReader:
    """A temperature; the unit may be left out where only one can be meant."""

    name: str = "a temperature"
    example: str = "39.2 C"

    def read(self, text: str, context: Context) -> Temperature | Fault:
        """Degrees Celsius or Fahrenheit."""
        plain = " ".join(text.split())
        match = re.fullmatch(rf"({FIGURE}) ?°? ?([cf])?", plain, re.I)
        if match is None:
            return Fault(f"`{plain[:40]}` is not a temperature", "write it as `39.2 C` or `102.5 F`")
        value = number(match[1], context)
        if isinstance(value, Fault):
            return value
        if match[2] is None:
            return Fault(f"`{plain[:40]}` has no unit", f"write it as `{match[1]} C` or `{match[1]} F`")
        return Temperature(value if match[2].lower() == "c" else (value - 32) / 1.8, text.strip())

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": ["39.2 C", "102.5 F"]}


POUND = {"lb": KG_PER_LB, "lbs": KG_PER_LB, "pound": KG_PER_LB, "pounds": KG_PER_LB}
KILOGRAM = {"kg": 1.0, "kgs": 1.0, "kilo": 1.0, "kilos": 1.0, "g": 0.001}
SIMPLE_WEIGHT = UnitReader("a weight", "4.1 kg", KILOGRAM | POUND, Weight, {"metric": "kg", "us": "lb"})
WEIGHT = WeightReader()
VOLUME = UnitReader("a volume", "2.5 ml", {"ml": 1.0, "l": 1000.0, "litre": 1000.0, "litres": 1000.0, "cc": 1.0}, Volume, {})
DOSE = UnitReader("a dose", "2.5 ml", {"ml": 1.0, "cc": 1.0}, Volume, {})
AREA = UnitReader("an area", "1.2 ha", {"ha": 1.0, "acre": HA_PER_ACRE, "acres": HA_PER_ACRE, "ac": HA_PER_ACRE}, Amount, {"metric": "ha", "us": "ac"})
LENGTH = UnitReader("a height", "8 cm", {"cm": 1.0, "in": CM_PER_INCH, "inches": CM_PER_INCH, "mm": 0.1}, Amount, {"metric": "cm", "us": "in"})
PERCENT = UnitReader("a percentage", "25 %", {"%": 1.0, "percent": 1.0}, Amount, {"metric": "%", "us": "%"})
DOSE_RATE = DoseRateReader()
TEMPERATURE = TemperatureReader()
SPAN_OF_TIME = DurationReader()
WITHDRAWAL = WithdrawalReader()
MONEY = MoneyReader()
COUNT = CountReader()
NUMBER = NumberReader()
