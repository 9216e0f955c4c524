"""How lambs' weights were brought to one footing, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.growth.footing_reasons import (
    AdjustedBy,
    AtTarget,
    BirthAssumed,
    FactorOf,
    NoBirthWeight,
    NotAtWeaning,
    OutsideWindow,
    RatioInGroup,
)
from flockbook.derive.growth.own_effects import NoOwnEffects
from flockbook.derive.growth.projection import LEAST_DAYS, NoProjection
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.numbers import days_words
from flockbook.derive.weights.gains import GainOver
from flockbook.derive.weights.unlikely import UnlikelyWeight, WhyUnlikely
from flockbook.factors import FROM_MEMORY
from flockbook.measures import measures, rounded
from flockbook.saying.choosing import in_units

FACTOR_PARTS = {"dam": "dam's years", "sex": "sex", "type": "born/reared"}
NO_OWN_EFFECTS = {
    NoOwnEffects.WITHOUT_NUMPY: "The flock's own differences need the optional numpy, which is not installed.",
    NoOwnEffects.TOO_FEW_LAMBS: (
        "Too few lambs with weight, dam's age and rearing are known to work out differences of the flock's own."
    ),
    NoOwnEffects.ENTANGLED: "In these records the classes cannot be told apart from each other or from the years.",
}

NO_PROJECTION = {
    NoProjection.TOO_FEW_WEIGHINGS: f"two weighings at least {LEAST_DAYS} days apart are needed",
    NoProjection.NO_GAIN: "it did not gain",
    NoProjection.TOO_FAR_OFF: "more than a year away",
}


def unlikely_words(item: UnlikelyWeight, units: str) -> str:
    """4.1 kg is too light for a lamb of 110 days: at least 7.6 kg is expected."""
    kg, limit = in_units(item.kg, units), in_units(item.limit, units)
    whom = "a sheep of its age" if item.age is None else f"a lamb of {days_words(item.age)}"
    if item.why is WhyUnlikely.GROWN:
        return f"{kg} is too light for a grown sheep: at least {limit} is expected"
    if item.why is WhyUnlikely.BESIDE_OTHERS:
        return f"{kg} does not fit the others weighed with it: their middle is {limit}"
    if item.why is WhyUnlikely.TOO_LIGHT:
        return f"{kg} is too light for {whom}: at least {limit} is expected"
    return f"{kg} is too heavy for {whom}: at most {limit} is expected"


def no_birth_weight_words(reason: NoBirthWeight) -> str:
    """That there is nothing to begin the line with."""
    del reason
    return "no birth weight, and no lamb of its litter size to take a mean from"


def birth_assumed_words(reason: BirthAssumed) -> str:
    """Which birth weight stands in."""
    return f"birth weight not written; {fine(reason.kg)}, the flock's mean for its sex and litter, stands in for it"


def at_target_words(reason: AtTarget) -> str:
    """(30.00 kg - 4.00 kg) / 100 d x 90 d + 4.00 kg = 27.40 kg."""
    birth = fine(reason.birth)
    line = f"({fine(reason.weighed)} - {birth}) / {reason.age} d x {reason.target} d + {birth}"
    return f"{line} = {fine(reason.kg)}"


def not_at_weaning_words(reason: NotAtWeaning) -> str:
    """That it is no weaning weight."""
    del reason
    return "no weaning weight yet: the last weight stands in for it"


def outside_window_words(reason: OutsideWindow) -> str:
    """weighed at 120 days, outside 90 ± 28 days: less sure."""
    return f"weighed at {reason.age} days, outside {reason.target} ± {reason.window} days: less sure"


def factor_words(reason: FactorOf) -> str:
    """dam's years 2: x 1.08."""
    label = FACTOR_PARTS[reason.part]
    if reason.factor is None:
        return f"{label} {reason.name or 'not known'}: no factor, so no adjusted weight"
    guess = ", by a guessed year of birth" if reason.guessed else ""
    return f"{label} {reason.name}{guess}: x {reason.factor:.2f}{f' ({FROM_MEMORY})' if reason.unsure else ''}"


def adjusted_by_words(reason: AdjustedBy) -> str:
    """27.40 kg x 1.08 x 1.00 x 1.10 = 32.55 kg (Sheep 201)."""
    product = " x ".join([fine(reason.at_target), *(f"{factor:.2f}" for factor in reason.factors)])
    return f"{product} = {fine(reason.kg)} ({reason.source})"


def ratio_words(reason: RatioInGroup) -> str:
    """100 x 32.55 kg / 31.00 kg, the mean of 8 of its group = 105.0."""
    age = "" if reason.age is None else f" at {reason.age} days like its group"
    mean = f"{fine(reason.mean)}, the mean of {reason.of} of its group"
    return f"100 x {fine(reason.kg)}{age} / {mean} = {reason.ratio:.1f}"


def gain_over_words(reason: GainOver) -> str:
    """(30.0 kg - 4.0 kg) / 100 days = 0.260 kg a day."""
    weighed = measures().weight
    gain = f"{rounded(measures().in_weight(reason.gain), 3)} {measures().weight_unit} a day"
    return f"({weighed(reason.last)} - {weighed(reason.first)}) / {reason.days} days = {gain}"


def fine(kg: float) -> str:
    """A weight to the hundredth: 27.40 kg, 60.41 lb."""
    return measures().fine(kg)


SAID: dict[type[Reason], Callable[[Any], str]] = {
    NoBirthWeight: no_birth_weight_words, BirthAssumed: birth_assumed_words, AtTarget: at_target_words,
    NotAtWeaning: not_at_weaning_words, OutsideWindow: outside_window_words, FactorOf: factor_words,
    AdjustedBy: adjusted_by_words, RatioInGroup: ratio_words, GainOver: gain_over_words,
}  # fmt: skip
