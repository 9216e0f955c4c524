"""The flock's measures: every figure with a unit as this flock prints it, in pounds or in kilograms, rounded half up.

Facts are metric; whatever prints one goes through here. Factors are exact by definition (`compiler.amounts`). A dose
stays in millilitres, as labels print it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from decimal import Decimal
from math import floor

from compiler.amounts import CM_PER_INCH, GALLON, HA_PER_ACRE, KG_PER_LB
from compiler.shape import Value

FL_OZ = GALLON / 128  # mL
KM_PER_MILE = 1.609344  # exact (NIST SP 811)
GRAM_FROM_KG = 1000
# A figure in a text that stands for every flock: {0.29 kg a day}, {3.5 kg published}, {10 mL a kg}.
FIGURE_IN_TEXT = re.compile(r"\{([\d.]+) (kg a day|g a day|kg|mL a kg|km)( published)?\}")
# An amount that somebody may type, by way of example, and a round one of such a size in pounds or inches.
TYPED_LIKE = {
    "18 kg": "40 lb",
    "1.8 kg": "4 lb",
    "4.1 kg": "9 lb",
    "40 kg": "90 lb",
    "31 kg": "70 lb",
    "2.1 kg": "4.6 lb",
    "84 kg": "185 lb",
    "281 kg": "620 lb",
    "34 cm": "13.5 in",
    "4.6 kg": "10 lb",
    "1.9 kg": "4.2 lb",
    "62 kg": "140 lb",
    "55 kg": "120 lb",
    "20 kg": "40 lb",
    "39.2 C": "102.5 F",
    "150 ml": "5 oz",
    "1.2 ha": "3 acres",
    "8 cm": "3 in",
}
# Weights of a line that has no unit, and what the same sheep weigh in pounds.
BARE_LIKE = {
    "731 27.5": "731 60.5", "732 29.0": "732 64.0", "731 17.5": "731 38.5", "Bramble 61": "Bramble 135",
    "ewe 4.1; ram 4.6": "ewe 9; ram 10",
}  # fmt: skip
EXAMPLE_IN_TEXT = re.compile(rf"\{{({'|'.join(map(re.escape, TYPED_LIKE))})\}}")
TYPED_IN_TEXT = re.compile(
    rf"(?<![\w.])(?:{'|'.join(map(re.escape, sorted({**TYPED_LIKE, **BARE_LIKE}, key=len, reverse=True)))})(?![\w.])"
)
WHOLE_FROM_LB = 100  # what weighs so much is told in whole pounds (our own choice)
HAIR = 1e-7  # what a conversion there and back may leave short of a half


class Measures(Value):
    """How a flock measures: `units` is metric or us."""

    units: str

    @property
    def us(self) -> bool:
        """Whether the flock is in pounds."""
        return self.units == "us"

    @property
    def weight_unit(self) -> str:
        """kg or lb."""
        return "lb" if self.us else "kg"

    @property
    def small_unit(self) -> str:
        """The unit of a gain a day: g or lb."""
        return "lb" if self.us else "g"

    @property
    def area_unit(self) -> str:
        """ha or ac."""
        return "ac" if self.us else "ha"

    @property
    def unit_in_full(self) -> str:
        """kilogram or pound."""
        return "pound" if self.us else "kilogram"

    def in_weight(self, kg: float) -> float:
        """A weight as a bare figure in the flock's unit."""
        return kg / KG_PER_LB if self.us else kg

    def to_kg(self, figure: float) -> float:
        """A bare figure in the flock's unit in kilograms."""
        return figure * KG_PER_LB if self.us else figure

    def weight(self, kg: float) -> str:
        """27.5 kg; 60.6 lb, and from a hundred pounds on whole ones, 154 lb."""
        return f"{rounded(self.in_weight(kg), self._places(kg))} {self.weight_unit}"

    def fine(self, kg: float) -> str:
        """A weight in a working: 27.40 kg or 60.41 lb."""
        return f"{rounded(self.in_weight(kg), 2)} {self.weight_unit}"

    def _places(self, kg: float) -> int:
        """Tenths, but whole pounds where a pound is enough."""
        return 0 if self.us and self.in_weight(kg) >= WHOLE_FROM_LB else 1

    def grown(self, kg: float) -> str:
        """What a grown sheep weighs: 62.5 kg, or whole pounds, 138 lb."""
        return f"{rounded(self.in_weight(kg), 0)} lb" if self.us else self.weight(kg)

    def mass(self, kg: float) -> str:
        """A heap of feed or a whole crop, in whole ones: 1,728 kg or 3,810 lb."""
        return f"{floor(self.in_weight(kg) + 0.5 + HAIR):,d} {self.weight_unit}"

    def short(self, kg: float) -> str:
        """A weight without noughts behind the point: 18 kg, 45 lb, 24.6 lb."""
        return f"{trimmed(self.in_weight(kg), self._places(kg))} {self.weight_unit}"

    def gain(self, kg_a_day: float) -> str:
        """285 g a day or 0.63 lb a day."""
        return f"{self.bare_gain(kg_a_day)} {self.small_unit} a day"

    def bare_gain(self, kg_a_day: float) -> str:
        """285 or 0.63."""
        return rounded(kg_a_day / KG_PER_LB, 2) if self.us else rounded(kg_a_day * GRAM_FROM_KG, 0)

    def degrees(self, celsius: float) -> str:
        """37.0 °C or 98.6 °F."""
        return f"{rounded(celsius * 1.8 + 32, 1)} °F" if self.us else f"{rounded(celsius, 1)} °C"

    def drink(self, ml: float) -> str:
        """Colostrum or milk: 200 mL; 6.8 fl oz (200 mL), as bottles and syringes are marked."""
        whole = f"{rounded(ml, 0)} mL"
        return f"{trimmed(ml / FL_OZ, 1)} fl oz ({whole})" if self.us else whole

    def drinks(self, litres: float) -> str:
        """Colostrum for a litter: 1.65 L, or 1.7 qt (1,650 mL)."""
        if self.us:
            return f"{rounded(litres * 1000 / (GALLON / 4), 1)} qt ({rounded(litres * 1000, 0, comma=True)} mL)"
        return f"{rounded(litres, 2)} L"

    def bottle(self, ml: float) -> str:
        """What is in a bottle of medicine: 120 mL, 1.25 L; a flock in pounds has it in millilitres, as the label."""
        return f"{rounded(ml / 1000, 2)} L" if ml >= 1000 and not self.us else f"{rounded(ml, 0, comma=True)} mL"

    def rate(self, ml_per_kg: float) -> str:
        """10 mL a kg; 4.54 mL a lb."""
        return f"{trimmed(ml_per_kg * KG_PER_LB, 2)} mL a lb" if self.us else f"{ml_per_kg:g} mL a kg"

    def per_weight(self, per_kg: Decimal) -> Decimal:
        """A price for a kilogram as one for the flock's unit."""
        return per_kg * Decimal(repr(KG_PER_LB)) if self.us else per_kg

    def area(self, hectares: float) -> str:
        """1.2 ha or 3 ac."""
        return f"{trimmed(hectares / HA_PER_ACRE if self.us else hectares, 2)} {self.area_unit}"

    def per_area(self, per_hectare: float) -> float:
        """A count for a hectare as one for the flock's unit of area."""
        return per_hectare * HA_PER_ACRE if self.us else per_hectare

    def said(self, text: str) -> str:
        """A text with its figures in the flock's units: `{0.2 kg}` as 0.2 kg or 0.4 lb."""
        return FIGURE_IN_TEXT.sub(self._figure, text)

    def example(self, text: str) -> str:
        """A text with amounts as they are typed by way of example: `{18 kg}` as 18 kg or 40 lb."""
        return EXAMPLE_IN_TEXT.sub(lambda match: TYPED_LIKE[match[1]] if self.us else match[1], text)

    def typed(self, text: str) -> str:
        """A text of examples, all of them as this flock types them: `- ewe 4.1 kg` as - ewe 9 lb."""
        text = self.example(text)
        if not self.us:
            return text
        return TYPED_IN_TEXT.sub(lambda match: TYPED_LIKE.get(match[0]) or BARE_LIKE[match[0]], text)

    def _figure(self, match: re.Match[str]) -> str:
        """One figure of a text; a published one says beside it what the source prints."""
        figure, unit, published = float(match[1]), match[2], bool(match[3])
        own = f"{match[1]} {unit}"
        if not self.us:
            return own
        said = {
            "kg a day": lambda: f"{trimmed(self.in_weight(figure), 2)} lb a day", "kg": lambda: self.short(figure),
            "g a day": lambda: self.gain(figure / GRAM_FROM_KG), "mL a kg": lambda: self.rate(figure),
            "km": lambda: self.distance(figure),
        }[unit]()  # fmt: skip
        return f"{said} ({own} as published)" if published else said

    def height(self, cm: float) -> str:
        """8 cm or 3.1 in."""
        return f"{trimmed(cm / CM_PER_INCH if self.us else cm, 1)} {'in' if self.us else 'cm'}"

    def distance(self, km: float) -> str:
        """100 km or 62 miles."""
        return f"{rounded(km / KM_PER_MILE, 0)} miles" if self.us else f"{km:g} km"


IN_KILOGRAMS, IN_POUNDS = Measures("metric"), Measures("us")
_IN_USE: ContextVar[Measures] = ContextVar("measures", default=IN_KILOGRAMS)


def measure_in(units: str) -> None:
    """From here on, figures are said in a flock's units: the stage that learns of the flock begins with it."""
    _IN_USE.set(measures_of(units))


def measures() -> Measures:
    """The measures of the flock that is being told of, for words that know no settings."""
    return _IN_USE.get()


@contextmanager
def measuring(wanted: Measures) -> Iterator[None]:
    """Figures said in these measures, and then again as before."""
    before = _IN_USE.set(wanted)
    try:
        yield
    finally:
        _IN_USE.reset(before)


def measures_of(units: str) -> Measures:
    """The measures of a flock, by what its settings say."""
    return IN_POUNDS if units == "us" else IN_KILOGRAMS


def rounded(value: float, places: int, comma: bool = False) -> str:
    """A figure to so many places, a half always up: 0.25 to one place is 0.3; no minus before a nought."""
    scaled = floor(abs(value) * 10**places + 0.5 + HAIR) / 10**places
    text = f"{scaled:,.{places}f}" if comma else f"{scaled:.{places}f}"
    return f"-{text}" if value < 0 and scaled else text


def in_hundred(share: float, places: int = 0) -> str:
    """A share of one in a hundred, a half always up: 0.125 is 13."""
    return rounded(share * 100, places)


def trimmed(value: float, places: int) -> str:
    """The same without noughts at the end: 4, 4.5."""
    text = rounded(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def in_all(ml: float) -> str:
    """A dose or what is left of one, to the hundredth and no farther than typed: 0.25 mL, 14 mL, 6.75 mL."""
    return f"{trimmed(ml, 2)} mL"
