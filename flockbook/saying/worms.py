"""Egg counts, what weakens a test of a drench, and what is published on treating for worms, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.health.egg_counts import (
    COLES_GROUP,
    COLES_MEAN,
    EGGS_SEEN,
    FEWEST_NONZERO,
    FEWEST_SHEEP,
    LATEST,
    SOONEST,
    NoRange,
    Weak,
    Weakness,
)
from flockbook.derive.health.reduction_tests import SamplesCounted
from flockbook.derive.health.worms import Published, Worm
from flockbook.derive.plain.because import Reason
from flockbook.regional import local

ASK_SOMEBODY = "so no range is given; ask your vet or laboratory"
NO_RANGE = {
    NoRange.SAME_FALL: "the counts fell alike in every sheep, so they show no spread to make a range from",
    NoRange.WITHOUT_SCIPY: "a range needs the optional scipy, which is not installed",
    NoRange.NO_EGGS_BEFORE: "no eggs before the drench, so there is nothing to compare",
    NoRange.NO_EGGS_AFTER: "no eggs at all afterwards, so a range cannot be worked out",
    NoRange.FEW_SHEEP: f"fewer than {FEWEST_SHEEP} sheep, {ASK_SOMEBODY}",
    NoRange.FEW_COUNTS: f"fewer than {FEWEST_NONZERO} counts above nought afterwards, {ASK_SOMEBODY}",
}
WORMS = {
    Worm.BARBERS_POLE: "barber's pole worm, sheep",
    Worm.SCOUR: "scour worms, sheep",
    Worm.ANY_IN_SUMMER: "any, in summer",
    Worm.BARBERS_POLE_OF_GOATS: "barber's pole worm, goats",
}
PUBLISHERS = {
    Published.TABLELANDS: "WormBoss, Australian tablelands (by sheep and pasture)",
    Published.TABLELANDS_AGAIN: "the same",
    Published.SOUTH_AUSTRALIA: "South Australia 2012, ParaBoss (consider above)",
    Published.MARYLAND: "University of Maryland 2015 (usually matters)",
}


def no_range_words(missing: NoRange | None) -> str:
    """Why counts get no range."""
    return local(NO_RANGE[missing]) if missing else ""


def weakness_words(weakness: Weakness) -> str:
    """What weakens a test."""
    return OF_WEAKNESS[weakness.what](weakness.figure)


def timed_words(days: float, how: str) -> str:
    """sampled again after 6 days, too soon to rely on: published times lie within 7 to 17."""
    published = f"published times lie within {SOONEST} to {LATEST}"
    return f"sampled again after {days:g} days, too {how} to rely on: {published}"


def samples_words(reason: SamplesCounted) -> str:
    """10 samples, factor 50."""
    return f"{reason.samples} samples{f', factor {reason.factor:g}' if reason.factor else ''}"


OF_WEAKNESS: dict[Weak, Callable[[float], str]] = {
    Weak.TOO_SOON: lambda days: timed_words(days, "soon"),
    Weak.TOO_LATE: lambda days: timed_words(days, "late"),
    Weak.NOTHING_BEFORE: lambda _: "no counts before the drench",
    Weak.SMALL_GROUP: lambda head: f"{head:g} sheep; the published design asks for {COLES_GROUP} or more",
    Weak.LOW_MEAN: lambda mean: f"mean before {mean:.0f}; the published design asks for {COLES_MEAN:.0f} or more",
    Weak.FEW_EGGS: lambda seen: f"{seen:g} eggs seen before the drench; {EGGS_SEEN} is the figure given",
    Weak.DAY_NOT_WRITTEN: lambda _: (
        "the day of the second sample is not written, so the time since the drench is not known"
    ),
    Weak.SAMPLED_ONCE: lambda head: f"{head:g} sheep sampled only once are left out",
    Weak.UNPAIRED: lambda _: "different sheep were sampled before and after, so this is the weaker, unpaired form",
    Weak.HALF_WRITTEN: lambda _: "the counts after the drench are still to be written",
    Weak.WITHOUT_FACTOR: lambda counts: f"{counts:g} counts have no `factor`, so they could not be used",
}
SAID: dict[type[Reason], Callable[[Any], str]] = {Weakness: weakness_words, SamplesCounted: samples_words}
