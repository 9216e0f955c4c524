"""Grass and hay: how long a paddock lasts, how much ground a mob needs, how long it rests, how many bales to buy.

The grazing sums hold in any consistent units: weights in kg with kg of dry matter per hectare and hectares, or pounds
with pounds per acre and acres. Days are nights: the day in counts, the day out does not (`nights_grazed`).
Every whole number is rounded the safe way: head and days down, paddocks and bales up.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from compiler.shape import Value

# Digits kept before rounding up or down, so that a sum that is whole on paper stays whole.
DIGITS = 9
SQUARE_YARDS_PER_ACRE = 4840  # exact


class Intake(Value):
    """Dry matter eaten in a day by one class of sheep, in per cent of live weight, as one source prints it."""

    sheep: str
    low: float
    high: float
    source: str


# Sources differ by up to 1.5 points for one class, so these are shown beside what the shepherd typed and never used.
PUBLISHED_INTAKES = (
    Intake("ewe in milk", 5.0, 5.0, "UConn Extension, Four steps to rotational grazing"),
    Intake("ewe in milk", 4.5, 4.5, "ATTRA, Grazier's Math"),
    Intake("ewe in milk", 3.5, 3.5, "Dugdale Nutrition, Feeding pregnant ewes (UK)"),
    Intake("ewe in lamb", 2.0, 2.5, "Dugdale Nutrition, Feeding pregnant ewes (UK)"),
    Intake("dry ewe", 2.0, 2.0, "UConn Extension, Four steps to rotational grazing"),
    Intake("dry ewe", 2.5, 2.5, "ATTRA, Grazier's Math"),
    Intake("lamb at grass", 4.0, 4.0, "UConn Extension, Four steps to rotational grazing"),
)


class Stay(Value):
    """`head` sheep (or animal units) somewhere for `days` nights (or months)."""

    head: float
    days: float


class Stage(Value):
    """Part of the hay season: head, dry matter each a day, days. Decimal, so that no bale is bought for a rounding."""

    head: int
    each_per_day: Decimal
    days: int


class Hay(Value):
    """The hay itself: its share of dry matter (0–1], the share wasted on top (0 or more), and the weight of a bale."""

    dry_share: Decimal
    waste_share: Decimal
    bale_weight: Decimal


class HayBudget(Value):
    """Dry matter eaten, the same as fed, the same with waste, and whole bales, all in the unit of the bale's weight."""

    dry_matter: Decimal
    as_fed: Decimal
    with_waste: Decimal
    bales: int


def height_forage(height_in: float, height_out: float, per_height: float) -> float:
    """Dry matter per area between two heights. Raises ValueError when the sward leaves taller than it came.

    Source: UMaine Extension, pasture course, appendix D (Cornell/NRCS pasture stick).
    """
    if not 0 <= height_out <= height_in:
        raise ValueError(f"nothing is grazed from a height of {height_in} to {height_out}")
    return (height_in - height_out) * per_height


def available_forage(per_area: float, area: float, use: float) -> float:
    """What a paddock offers: dry matter per area × area × the share meant to be eaten (0–1].

    Source: USDA National Plant Materials Manual. Raises ValueError for a share outside 0–1.
    """
    if not 0 < use <= 1:
        raise ValueError(f"a share of {use} cannot be eaten")
    return per_area * area * use


def days_lasting(available: float, need_per_day: float) -> float:
    """Days a paddock lasts a mob. Raises ValueError for no need. Source: UMaine Extension, pasture course, app. D."""
    _require_positive("need", need_per_day)
    return available / need_per_day


def head_carried(available: float, each_per_day: float, days: float) -> int:
    """Whole head a paddock keeps for that many days, rounded down. Source as `days_lasting`; raises ValueError."""
    _require_positive("need", each_per_day * days)
    return floor(round(available / (each_per_day * days), DIGITS))


def area_needed(need_per_day: float, days: float, available_per_area: float) -> float:
    """Ground that feeds a mob for so many days. `available_per_area` already counts the share meant to be eaten.

    Source: the same formula turned round; printed by example in UConn, Four steps to rotational grazing.
    """
    _require_positive("forage", available_per_area)
    return need_per_day * days / available_per_area


def head_per_area(available_per_area: float, each_per_day: float, days: float) -> float:
    """Head an area feeds: with a grazing period's days it is stock density, with a season's days the stocking rate.

    Source: UMaine Extension, Grazier's Arithmetic, equations 1 and 2.
    """
    _require_positive("need", each_per_day * days)
    return available_per_area / (each_per_day * days)


def stock_density(head: float, area: float) -> float:
    """Head per area at one moment in the paddock they are in. Raises ValueError for no area."""
    _require_positive("area", area)
    return head / area


def paddock_count(rest_days: int, graze_days: int) -> int:
    """Paddocks that give a rest: rest ÷ grazing days, and the one being grazed, rounded up. Raises ValueError.

    Source: UConn Extension, Four steps to rotational grazing.
    """
    _require_positive("grazing period", graze_days)
    return -(-rest_days // graze_days) + 1


def rest_given(paddocks: int, graze_days: int) -> int:
    """Days each of so many equal paddocks rests. Source: Farm Advisory Service Scotland, New Entrants, 2019."""
    return max(paddocks - 1, 0) * graze_days


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


def stock_days(stays: Sequence[Stay]) -> float:
    """Head × days, summed; with animal units and months it is animal-unit months."""
    return sum(stay.head * stay.days for stay in stays)


def stock_days_per_area(stays: Sequence[Stay], area: float) -> float:
    """Sheep-days per area. Source: Canadian Forage & Grassland Association, Advanced Grazing Systems, module 5."""
    _require_positive("area", area)
    return stock_days(stays) / area


def paced_stock_days(animal_day_area: float, whole: float = SQUARE_YARDS_PER_ACRE) -> float:
    """Stock-days in one area from the ground, paced out, that one animal needs for a day.

    Both in one unit; the whole is an acre in square yards unless given. Source: Estimating carrying capacity in ADA.
    """
    _require_positive("ground of one animal-day", animal_day_area)
    return whole / animal_day_area


def average_mob(stays: Sequence[Stay]) -> float | None:
    """Average head over a season: head-days ÷ days; None for no days. Source: grazing-planning handbook, app. 2.C."""
    days = sum(stay.days for stay in stays)
    return stock_days(stays) / days if days else None


def growth_per_day(forage: float, days: float) -> float:
    """Dry matter grown a day between two cuts. Source: Rinehart, Grazier's Math, ATTRA. Raises ValueError."""
    _require_positive("time between cuts", days)
    return forage / days


def hay_budget(stages: Sequence[Stage], hay: Hay) -> HayBudget:
    """Hay for a season: dry matter ÷ its share of dry matter, with waste on top, in whole bales rounded up.

    As fed: New Mexico State Univ., Lactation, table 3 note a; the rest is worked out. Raises ValueError for hay that
    cannot be.
    """
    if not 0 < hay.dry_share <= 1 or hay.waste_share < 0 or hay.bale_weight <= 0:
        raise ValueError(f"hay cannot be {hay.dry_share} dry, {hay.waste_share} wasted, {hay.bale_weight} a bale")
    dry = sum((stage.head * stage.each_per_day * stage.days for stage in stages), Decimal(0))
    fed = Fraction(dry) / Fraction(hay.dry_share)
    wanted = fed * (1 + Fraction(hay.waste_share))
    return HayBudget(dry, _decimal(fed), _decimal(wanted), ceil(wanted / Fraction(hay.bale_weight)))


def _decimal(exact: Fraction) -> Decimal:
    return Decimal(exact.numerator) / Decimal(exact.denominator)


def _require_positive(what: str, number: float) -> None:
    if not number > 0:
        raise ValueError(f"the {what} cannot be {number}")
