"""Words and figures as the book prints them: plain, short, counts before shares."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from datetime import date

from compiler.amounts import CM_PER_INCH
from compiler.dates import PartialDate
from flockbook.derive.plain.numbers import plural as plural
from flockbook.flock import Animal
from flockbook.manner import LONG_MONTHS as LONG_MONTHS
from flockbook.manner import MONTHS as MONTHS
from flockbook.manner import clock_words as clock_words
from flockbook.manner import day_span_words as day_span_words
from flockbook.manner import day_words as day_words
from flockbook.manner import long_day_words as long_day_words
from flockbook.manner import moment_words as moment_words
from flockbook.manner import month_words as month_words
from flockbook.manner import short_day_words as short_day_words
from flockbook.manner import short_days_words as short_days_words
from flockbook.manner import short_moment_words as short_moment_words
from flockbook.manner import when_words as when_words
from flockbook.measures import in_hundred, measures_of, rounded
from flockbook.regional import local
from flockbook.roll import ONE_YEAR
from flockbook.saying.spelling import quoted as quoted

FIGURES = re.compile(r"(\d+)")
NONE = "–"  # in a cell that has nothing to say
SHEARLING_DAYS = 2 * ONE_YEAR  # a gimmer until then (common practice)


def share_words(value: float) -> str:
    """90 %."""
    return f"{in_hundred(value)}\u00a0%"


def per_head_words(value: float) -> str:
    """1.71 each."""
    return f"{rounded(value, 2)} each"


def hundred_words(low: float, high: float) -> str:
    """60 to 98 in a hundred."""
    return f"{in_hundred(low)} to {in_hundred(high)} in a hundred"


def weight_words(kg: float | None, units: str) -> str:
    """A weight in the flock's unit: 27.5 kg or 60.6 lb."""
    return "" if kg is None else with_unit(measures_of(units).weight(kg))


def grown_words(kg: float | None, units: str) -> str:
    """What a grown sheep weighs: 62.5 kg, or whole pounds, 138 lb."""
    return "" if kg is None else with_unit(measures_of(units).grown(kg))


def girth_words(cm: float | None, units: str) -> str:
    """A girth in the flock's unit: 34 cm or 13.4 in."""
    if cm is None:
        return ""
    return f"{cm:.1f}".removesuffix(".0") + " cm" if units == "metric" else f"{cm / CM_PER_INCH:.1f} in"


def gain_words(kg_a_day: float | None, units: str) -> str:
    """A gain in the flock's unit: 285 g a day or 0.63 lb a day."""
    return "" if kg_a_day is None else with_unit(measures_of(units).gain(kg_a_day))


def with_unit(text: str) -> str:
    """A figure that is never parted from its unit at the end of a line."""
    return text.replace(" ", "\u00a0", 1)


def and_listed(words: list[str]) -> str:
    """a, b and c."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def chance_words(chance: float) -> str:
    """about 4 in 100; none below one in two hundred, certain above the last."""
    if chance < 0.005:
        return "under 1 in 100"
    return "certain" if chance > 0.995 else f"about {in_hundred(chance)} in 100"


def later_words(written: date | None, asked: date) -> str:
    """What is said of a note dated later than the day that the book was asked about; "" of any other."""
    return "dated later than this book’s day" if written and written > asked else ""


def as_sentence(text: str) -> str:
    """A text with a capital in front and a stop behind."""
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?', ':')) else '.'}" if text else ""


def partial_words(value: PartialDate) -> str:
    """As much of a date as is known: 19 Apr 2026; Apr 2023; 2023; about 2021."""
    if value.exact:
        return day_words(value.exact)
    month = f"{MONTHS[value.month - 1]} " if value.month else ""
    return f"{'about ' if value.about else ''}{month}{value.year}"


def age_class(animal: Animal, on: date) -> str:
    """lamb, hogget, shearling or grown, with the sex in the trade's words (common practice)."""
    sex = animal.sex or "sheep"
    if animal.born is None:
        return sex
    age = (on - animal.born.latest).days
    if age < ONE_YEAR:
        return f"{sex} lamb" if sex != "sheep" else "lamb"
    if age < SHEARLING_DAYS:
        return {"ewe": local("gimmer"), "ram": local("shearling ram")}.get(sex, f"{local('shearling')} {sex}")
    return sex


def told_apart(titles: Iterable[str]) -> list[str]:
    """Titles in order, each its own: those that stood before are numbered from the second on."""
    times: Counter[str] = Counter()
    apart = []
    for title in titles:
        times[title] += 1
        apart.append(f"{title}, page {times[title]}" if times[title] > 1 else title)
    return apart


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """Sort key in which figures count as numbers: C9 before C10."""
    parts = FIGURES.split(text.casefold())
    return tuple((part.isdigit(), int(part) if part.isdigit() else 0, part) for part in parts)
