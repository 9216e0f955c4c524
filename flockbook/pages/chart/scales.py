"""Scales of a chart: where a value stands on the paper, and which marks are worth printing beside the axis."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from compiler.shape import Value
from flockbook.manner import MONTHS, month_words, short_day_words

SCALE_STEPS = (1.0, 2.0, 5.0, 10.0)  # steps that a reader counts in, times a power of ten; common practice
DAY_STEPS = (1, 2, 7, 14, 28)  # days between marks of a date axis before it goes over to months
MONTH_STEPS = (1, 2, 3, 6, 12, 24, 60, 120)

Tick = tuple[float, str]


class Scale(Value):
    """One axis: `low`…`high` in its own values runs from `start` to `end` on the paper; `names` are its categories."""

    kind: str  # "linear", "date" or "category"
    low: float
    high: float
    start: float
    end: float
    names: tuple[str, ...] = ()

    def at(self, value: Any) -> float:
        """Where a value stands on the paper."""
        return self.at_number(self.number(value))

    def at_number(self, number: float) -> float:
        """Where a number on this axis stands on the paper; an axis without length puts everything in its middle."""
        if self.high == self.low:
            return (self.start + self.end) / 2
        return self.start + (number - self.low) / (self.high - self.low) * (self.end - self.start)

    def number(self, value: Any) -> float:
        """A value as a number on this axis: a date in days, a category by its place."""
        return number_of(value, self.kind, self.names)

    @property
    def unit(self) -> float:
        """The paper that one whole step (a day, a category, a unit) takes; always positive."""
        return abs((self.end - self.start) / ((self.high - self.low) or 1.0))


def number_of(value: Any, kind: str, names: Sequence[str]) -> float:
    """A value of an axis of this kind as a number. ValueError for what cannot stand on it."""
    if kind == "category":
        return float(names.index(str(value)))
    if kind == "date":
        return days_of(value)
    return float(value)


def days_of(value: Any) -> float:
    """A date, a date-time or their ISO text as days since year 1, hours as parts of a day."""
    moment = datetime.fromisoformat(value) if isinstance(value, str) else value
    if isinstance(moment, datetime):
        return moment.toordinal() + (moment.hour * 60 + moment.minute) / 1440
    return float(moment.toordinal())


def make_scale(axis: Mapping[str, Any], values: Sequence[Any], paper: tuple[float, float]) -> Scale:
    """The scale of an axis as the figure describes it (`type`, `range`, `autorange`), reaching over all values."""
    known = [value for value in values if value is not None]
    kind = axis.get("type") or guess_kind(known)
    names = category_names(axis, known) if kind == "category" else ()
    low, high = extent(axis, kind, [number_of(value, kind, names) for value in known])
    if axis.get("autorange") == "reversed":
        low, high = high, low
    return Scale(kind, low, high, *paper, names)


def guess_kind(values: Sequence[Any]) -> str:
    """Numbers make a linear axis, dates a date axis, words a category axis."""
    if all(isinstance(value, int | float) for value in values):
        return "linear"
    return "date" if all(is_date(value) for value in values) else "category"


def is_date(value: Any) -> bool:
    """Whether a value is a date, or the ISO text of one. A bare number or a year alone is not."""
    if isinstance(value, date):
        return True
    try:
        return isinstance(value, str) and len(value) >= 10 and bool(datetime.fromisoformat(value))
    except ValueError:
        return False


def category_names(axis: Mapping[str, Any], values: Sequence[Any]) -> tuple[str, ...]:
    """The categories in the order given by the axis (`categoryarray`), then as they come."""
    return tuple(dict.fromkeys(str(name) for name in (*axis.get("categoryarray", ()), *values)))


def extent(axis: Mapping[str, Any], kind: str, numbers: Sequence[float]) -> tuple[float, float]:
    """The first and last value of an axis: its own `range`, else all its values, from zero if that is near."""
    if "range" in axis:
        low, high = (number_of(end, kind, ()) if kind != "category" else float(end) for end in axis["range"])
        return low, high
    if not numbers:
        return 0.0, 1.0
    low, high = min(numbers), max(numbers)
    if kind == "category":
        return low - 0.5, high + 0.5
    if kind == "date":
        return (low, high) if high > low else (low - 1, high + 1)
    if axis.get("rangemode") == "tozero" or 0 < low < high / 2 or low == high:
        low = min(low, 0.0)
    return low, high if high > low else low + 1


def ticks(axis: Mapping[str, Any], scale: Scale, most: int) -> list[Tick]:
    """About `most` marks of an axis at most, each a number on the scale with its text; `tickvals`, `ticktext` win."""
    if "tickvals" in axis:
        texts = axis.get("ticktext") or [plain(value) for value in axis["tickvals"]]
        return [(scale.number(value), str(text)) for value, text in zip(axis["tickvals"], texts, strict=True)]
    low, high = sorted((scale.low, scale.high))
    if scale.kind == "category":
        return [(float(place), name) for place, name in enumerate(scale.names) if low <= place <= high]
    found = date_ticks(low, high, most) if scale.kind == "date" else number_ticks(low, high, most)
    return [tick for tick in found if low - 1e-9 <= tick[0] <= high + 1e-9]


def number_ticks(low: float, high: float, most: int) -> list[Tick]:
    """Round numbers between two ends, in steps of 1, 2 or 5 times a power of ten."""
    rough = (high - low) / max(most, 1)
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * step for step in SCALE_STEPS if power * step >= rough * 0.999)
    first = math.ceil(low / step - 1e-9)
    places = range(first, math.floor(high / step + 1e-9) + 1)
    return [(place * step, plain(round(place * step, 10))) for place in places]


def date_ticks(low: float, high: float, most: int) -> list[Tick]:
    """Days ("4 Mar"), or first days of months ("Mar", a January with its year), between two ends."""
    span = max(high - low, 1.0)
    for step in DAY_STEPS:
        if span / step <= most:
            days = range(math.ceil(low), math.floor(high) + 1, step)
            return [(float(day), day_text(date.fromordinal(day))) for day in days]
    step = next((step for step in MONTH_STEPS if span / 30.4 / step <= most), MONTH_STEPS[-1])
    return [(float(first.toordinal()), month_text(first, step)) for first in month_starts(low, high, step)]


def month_starts(low: float, high: float, step: int) -> list[date]:
    """First days of every `step`-th month between two ends, counted from January."""
    day = date.fromordinal(math.ceil(low))
    place = -(-(day.year * 12 + day.month - 1 + (day.day > 1)) // step) * step
    found = []
    while (first := date(place // 12, place % 12 + 1, 1)).toordinal() <= high:
        found.append(first)
        place += step
    return found


def day_text(day: date) -> str:
    """A day as printed beside an axis: "4 Mar"."""
    return short_day_words(day)


def month_text(first: date, step: int) -> str:
    """A month as printed beside an axis: "Mar"; a January carries its year; years alone where only they are marked."""
    if step >= 12:
        return str(first.year)
    return month_words(first) if first.month == 1 else MONTHS[first.month - 1]


def plain(value: Any) -> str:
    """A number without needless zeros and with a true minus sign; anything else as text."""
    if not isinstance(value, int | float):
        return str(value)
    return f"{value:.10g}".replace("-", "−")
