"""When a lamb will weigh what is wanted, as a range; dressing, prices, and what ewes wean for their own weight.

A projection goes on from the last two weighings in a straight line; the range is what the scale's own precision leaves
open. It does not know of grass, worms or weather.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from enum import Enum, auto

from compiler.shape import Value
from flockbook.derive.plain.days import YEAR

# Two weighings nearer than this say more of gut fill than of growth (our own choice; gut fill is 10-22 % of live
# weight, OMAFRA 19-009).
LEAST_DAYS = 14
# Precision of one weighing in kg (growth references 6; a usual division of a farm scale, from memory).
SCALE_KG = 0.2
# Farther ahead than this a straight line is not drawn (our own choice).
MOST_DAYS = YEAR.days
# What the page of workings prints of target weights.
TARGET_RULE = (
    "Reached after (target - last weight) / gain days, rounded up; the gain is that of the last two weighings at least "
    f"{LEAST_DAYS} days apart. The range is what {{{SCALE_KG:g} kg}} of the scale at each weighing leaves open (from "
    "memory)."
)


class Projection(Value):
    """Days from the last weighing and the day itself; `latest` None where the slow end never gets there in a year."""

    days: int
    day: date
    earliest: date
    latest: date | None
    gain: float


class NoProjection(Enum):
    """Why there is none."""

    TOO_FEW_WEIGHINGS = auto()
    NO_GAIN = auto()
    TOO_FAR_OFF = auto()


def project(
    weights: Sequence[tuple[date, float]], target: float, precision: float = SCALE_KG
) -> Projection | NoProjection:
    """When a target weight in kg is reached, from the last weight and the last one at least 14 days before it.

    days = ceil((target - last) / gain); each end of the range takes both weighings off by `precision` kg, each its own
    way, so the gain is off by root 2 x precision / days between (growth references 6). ValueError for a target or
    precision that is no weight.
    """
    if target <= 0 or precision < 0:
        raise ValueError("a target is above zero and a precision not below it")
    pair = last_two(weights)
    if pair is None:
        return NoProjection.TOO_FEW_WEIGHINGS
    (first, old), (last, new) = pair
    if new >= target:
        return Projection(0, last, last, last, (new - old) / (last - first).days)
    gain, slack = (new - old) / (last - first).days, math.sqrt(2) * precision / (last - first).days
    days = days_to(target - new, gain)
    if days is None:
        return NoProjection.NO_GAIN if gain <= 0 else NoProjection.TOO_FAR_OFF
    soon, late = days_to(target - new, gain + slack), days_to(target - new, gain - slack)
    end = None if late is None else last + timedelta(days=late)
    return Projection(days, last + timedelta(days=days), last + timedelta(days=soon or days), end, gain)


def last_two(weights: Sequence[tuple[date, float]]) -> tuple[tuple[date, float], tuple[date, float]] | None:
    """The last weight, and the last one that lies far enough before it; earlier first."""
    ordered = sorted(weights)
    fit = [item for item in ordered if (ordered[-1][0] - item[0]).days >= LEAST_DAYS]
    return (fit[-1], ordered[-1]) if fit else None


def days_to(kg: float, gain: float) -> int | None:
    """Whole days until so many kg are gained, rounded up; None for no gain, or more than a year."""
    if gain <= 0:
        return None
    days = math.ceil(kg / gain - 1e-9)
    return days if days <= MOST_DAYS else None


def dressing(live: float, carcass: float) -> float:
    """Hot carcass weight / live weight, as a share (Cornell, dressing percentages). ValueError where it cannot be."""
    if not 0 < carcass <= live:
        raise ValueError("a carcass weighs something, and no more than the live sheep")
    return carcass / live


def live_price(carcass_price: Decimal, share: Decimal) -> Decimal:
    """What a weight unit of the live sheep fetches when the carcass fetches so much (price x dressing share)."""
    return carcass_price * share


def carcass_price(live: Decimal, share: Decimal) -> Decimal:
    """What a weight unit of carcass costs at a live price (price / dressing share). ValueError for a share of none."""
    if share <= 0:
        raise ValueError("no carcass, no price for it")
    return live / share


def ewe_efficiency(lamb_kg: float, ewe_kg: float) -> float:
    """Weight of lamb weaned / weight of ewes put to the ram, as a share (Bevan, Darlington & Stockton Times).
    ValueError for ewes that weigh nothing.
    """
    if ewe_kg <= 0:
        raise ValueError("the ewes must weigh something")
    return lamb_kg / ewe_kg
