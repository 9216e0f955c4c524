"""Grass and hay: nights grazed, rest, sheep-days, heads on the ground, and how long what there is lasts.

Sums hold in any consistent units. Days are nights: the day in counts, the day out does not (`nights_grazed`).
Whole days are rounded the safe way, down.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import floor

from compiler.shape import Value
from flockbook.derive.plain.numbers import DIGITS

# The classes of sheep that sources print an intake for.
EWE_IN_MILK, EWE_IN_LAMB, DRY_EWE, WEANED_LAMB = "ewe in milk", "ewe in lamb", "dry ewe", "lamb"


class Eats(Value):
    """Dry matter eaten in a day by one class of sheep, as a share of live weight, as one source prints it."""

    sheep: str
    low: float
    high: float
    source: str


# Sources differ by up to 1.5 points for one class: all of them together make the range, none is picked.
PUBLISHED_INTAKES = (
    Eats(EWE_IN_MILK, 0.05, 0.05, "UConn Extension, Four steps to rotational grazing"),
    Eats(EWE_IN_MILK, 0.045, 0.045, "ATTRA, Grazier's Math"),
    Eats(EWE_IN_MILK, 0.035, 0.035, "Dugdale Nutrition, Feeding pregnant ewes"),
    Eats(EWE_IN_LAMB, 0.02, 0.025, "Dugdale Nutrition, Feeding pregnant ewes"),
    Eats(DRY_EWE, 0.02, 0.02, "UConn Extension, Four steps to rotational grazing"),
    Eats(DRY_EWE, 0.025, 0.025, "ATTRA, Grazier's Math"),
    Eats(WEANED_LAMB, 0.04, 0.04, "UConn Extension, Four steps to rotational grazing"),
)


class Grazers(Value):
    """`head` sheep somewhere for `days` nights."""

    head: float
    days: float


def published(sheep: str) -> Eats:
    """What all sources together say of one class: the lowest, the highest, and who says so."""
    rows = [row for row in PUBLISHED_INTAKES if row.sheep == sheep]
    low, high = min(row.low for row in rows), max(row.high for row in rows)
    return Eats(sheep, low, high, "; ".join(row.source for row in rows))


def as_fed(dry_matter: float, dry_share: float) -> float:
    """Feed that holds so much dry matter. Source: New Mexico State Univ., Lactation, table 3 note a."""
    _require_some("share of dry matter", dry_share)
    return dry_matter / dry_share


def days_lasting(available: float, need_per_day: float) -> int:
    """Whole days that feed lasts, rounded down. Source: UMaine Extension, pasture course, app. D; raises ValueError."""
    _require_some("need", need_per_day)
    return floor(round(available / need_per_day, DIGITS))


def stock_density(head: float, area: float) -> float:
    """Head per area at one moment in the paddock they are in. Raises ValueError for no area."""
    _require_some("area", area)
    return head / area


def paddock_rest_ends(left: date, rest_days: int) -> date:
    """The earliest day back. Rest lowers the worm challenge; it never makes a paddock clean."""
    return left + timedelta(days=rest_days)


def leave_by(entered: date, limit_days: int) -> date:
    """The last day to move out without over-staying the paddock's own limit."""
    return entered + timedelta(days=limit_days)


def nights_grazed(entered: date, left: date) -> int:
    """Nights in a paddock: the day in counts, the day out does not. Raises ValueError when it was left before entered.

    No source says which of the two days counts; nights are our choice and the page says so.
    """
    if left < entered:
        raise ValueError(f"left on {left} before it was entered on {entered}")
    return (left - entered).days


def stock_days(stays: Sequence[Grazers]) -> float:
    """Head × days, summed."""
    return sum(stay.head * stay.days for stay in stays)


def stock_days_per_area(stays: Sequence[Grazers], area: float) -> float:
    """Sheep-days per area. Source: Canadian Forage & Grassland Association, Advanced Grazing Systems, module 5."""
    _require_some("area", area)
    return stock_days(stays) / area


def _require_some(what: str, number: float) -> None:
    if not number > 0:
        raise ValueError(f"the {what} cannot be {number}")
