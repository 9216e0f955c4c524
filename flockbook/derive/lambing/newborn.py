"""What a newborn lamb needs: colostrum, warmth, and a second look at its weight.

Published figures as the book shows them, each with its source; the flock's vet always has the last word.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta, tzinfo
from enum import StrEnum

from compiler.shape import Value
from flockbook.derive.lambing.labour_limits import later

# Colostrum: 50 mL/kg a feed, first within 2 h: Vet Times 17 Dec 2018. 180–210 mL/kg in the first 18 h: Mellor,
# Vet. Rec. 1986. 200 mL/kg in 24 h, and at least one feed by 6 h: Drummonds Ireland; Teagasc as quoted by Lionel's Vet.
FEED_ML_PER_KG = 50
DAY_ML_PER_KG = 200
NOT_WORTH_A_TUBE = 0.25  # of a feed: nobody tubes a lamb for less than this (our own choice)
DAY_ML_PER_KG_RANGE = (180, 210)
FIRST_FEED = timedelta(hours=2)
FIRST_FEED_LATEST = timedelta(hours=6)

# Rectal temperature: normal 39–40, mild 37–39, severe under 37 °C: NADIS in Farmers Weekly, March 2006, and Eales et
# al. 1984, Vet. Rec. 114:469; over 40 °C ask the vet: leaflet "Treating hypothermia in lambs". The sources print
# touching bands; which band has the boundary is our choice: 37.0 is mild, 39.0 and 40.0 are normal.
MILD_FROM_C = 37.0
NORMAL_FROM_C = 39.0
FEVER_ABOVE_C = 40.0
# No lamb lives outside this band, so a figure in °F or a slipped digit gets no advice: common practice, no source.
LIVING_C = (20.0, 44.0)
# A chilled lamb this old has used up its own fuel: Eales et al. 1984 (over 5 h) and later leaflets; Eales et al. 1982
# printed 6 h. Our choice: at 5 h exactly it counts as the older one.
SPENT_FROM = timedelta(hours=5)
# 10 mL/kg of 20 % glucose: Eales, Small & Gilmour 1982, Vet. Rec. 110:121; Eales et al. 1984; Clutha Vets NZ.
GLUCOSE_ML_PER_KG = 10

# Under 3.5 kg at risk of exposure, over 5.5 kg at risk of a hard birth: Making More From Sheep, tool 10.9. The lines
# themselves are neither.
LIGHT_UNDER_KG = 3.5
HEAVY_OVER_KG = 5.5
# The publication is Australian and its flocks are mostly Merino (from memory).
PUBLISHED_FOR = "Making More From Sheep, tool 10.9, of Australian flocks, mostly Merino"
# What the page of workings prints of weights at birth.
BIRTH_WEIGHT_RULE = (
    f"Light is under {{{LIGHT_UNDER_KG:g} kg published}} and heavy over {{{HEAVY_OVER_KG:g} kg published}} "
    f"({PUBLISHED_FOR}), unless `light lamb` and `heavy lamb` in flock.yaml say otherwise, or 150 lambs of the flock's "
    "own were weighed at birth: then the lightest and the heaviest tenth of them are (our own choice). Beside it the "
    "flock's own lambs of that litter size: the middle one, and the middle eight in ten where there are ten."
)


class ColostrumNeed(Value):
    """What a lamb needs on its first day, in mL: at most a feed, the day's total, and the published range for it."""

    feed_ml: float
    day_ml: float
    day_low_ml: float
    day_high_ml: float

    def owed(self, recorded_ml: float) -> float:
        """What is still to come today, in mL, after what was recorded; never below 0."""
        return max(0.0, self.day_ml - recorded_ml)

    def left_of_first_feed(self, recorded_ml: float) -> float:
        """What is left of the first full feed, in mL; 0 where so little is left that the feed is as good as given."""
        left = self.feed_ml - recorded_ml
        return left if left > self.feed_ml * NOT_WORTH_A_TUBE else 0.0


class FirstFeed(Value):
    """Local times by which the first colostrum should be, and at the very latest must be, inside the lamb."""

    by: datetime
    latest: datetime


class LambState(StrEnum):
    """What a rectal temperature says about a lamb."""

    SEVERE = "severe"
    MILD = "mild"
    NORMAL = "normal"
    FEVER = "fever"


class Care(StrEnum):
    """One step of care; the pages put it in words. A tube feed is only ever for a lamb that swallows."""

    CALL_VET = "call vet"
    DRY = "dry"
    GLUCOSE = "glucose"
    WARM = "warm"
    SUCKLE = "suckle"
    TUBE_ONCE_SWALLOWING = "tube once swallowing"
    NO_TUBE = "no tube"
    SHELTER = "shelter"
    BACK_TO_EWE = "back to ewe"
    RECHECK = "recheck"


class Advice(Value):
    """The published action for a lamb, steps in order, and who says so.

    `spent` and `head_up` say which lamb it is for; `vet_taught` where a step wants a vet to have taught it.
    """

    state: LambState
    steps: tuple[Care, ...]
    source: str
    head_up: bool = True
    spent: bool = False

    @property
    def vet_taught(self) -> bool:
        """Whether a caution must stand beside the steps."""
        return Care.GLUCOSE in self.steps


class Glucose(Value):
    """Glucose for a chilled lamb, in mL: of 20 %, or the 40 % and boiled water that make it. Shown with the caution
    of its `Advice`.
    """

    ml_of_20_percent: float
    ml_of_40_percent: float
    ml_of_water: float


class BirthWeight(StrEnum):
    """Where a birth weight lies against the published lines."""

    LIGHT = "light"
    USUAL = "usual"
    HEAVY = "heavy"


_NADIS = "NADIS in Farmers Weekly, March 2006"
_RACKLEY = "D. Rackley, Farm World"
_CLUTHA = "Clutha Vets NZ"
_EALES = "Eales, Small & Gilmour 1982, Vet. Rec. 110:121; Eales et al. 1984, Vet. Rec. 114:469"
_LEAFLET = "leaflet “Treating hypothermia in lambs”"

NO_TUBE_SOURCE = f"{_LEAFLET}: never tube an unconscious lamb"
_LIFESTYLE = "NZ Lifestyle Block, June 2016"

_HEAD_UP = {
    LambState.NORMAL: Advice(LambState.NORMAL, (Care.SUCKLE,), f"{_NADIS}; {_LEAFLET}"),
    LambState.FEVER: Advice(LambState.FEVER, (Care.CALL_VET,), _LEAFLET),
    LambState.MILD: Advice(
        LambState.MILD,
        (Care.DRY, Care.SUCKLE, Care.SHELTER, Care.BACK_TO_EWE, Care.RECHECK),
        _NADIS,
    ),
    LambState.SEVERE: Advice(
        LambState.SEVERE,
        (Care.DRY, Care.WARM, Care.TUBE_ONCE_SWALLOWING, Care.BACK_TO_EWE, Care.RECHECK),
        f"{_RACKLEY}; {_NADIS}",
    ),
}
# That a lamb is told apart by whether it holds its head up is from memory; calling the vet for one that cannot is ours.
_HEAD_DOWN = {
    LambState.NORMAL: Advice(
        LambState.NORMAL, (Care.CALL_VET, Care.NO_TUBE, Care.RECHECK), NO_TUBE_SOURCE, head_up=False
    ),
    LambState.FEVER: Advice(LambState.FEVER, (Care.CALL_VET, Care.NO_TUBE), NO_TUBE_SOURCE, head_up=False),
    LambState.MILD: Advice(
        LambState.MILD,
        (Care.CALL_VET, Care.DRY, Care.SHELTER, Care.NO_TUBE, Care.RECHECK),
        f"{_NADIS}; {NO_TUBE_SOURCE}",
        head_up=False,
    ),
    LambState.SEVERE: Advice(
        LambState.SEVERE,
        (Care.CALL_VET, Care.DRY, Care.WARM, Care.NO_TUBE, Care.RECHECK),
        f"{_RACKLEY}; {_NADIS}; {NO_TUBE_SOURCE}",
        head_up=False,
    ),
}
_SPENT_HEAD_UP = Advice(
    LambState.SEVERE,
    (Care.DRY, Care.GLUCOSE, Care.WARM, Care.TUBE_ONCE_SWALLOWING, Care.BACK_TO_EWE, Care.RECHECK),
    f"{_EALES}; {_RACKLEY}; {_CLUTHA}",
    spent=True,
)
_SPENT_HEAD_DOWN = Advice(
    LambState.SEVERE,
    (Care.CALL_VET, Care.DRY, Care.GLUCOSE, Care.WARM, Care.NO_TUBE, Care.RECHECK),
    f"{_EALES}; {_CLUTHA}; {_LIFESTYLE}; {NO_TUBE_SOURCE}",
    head_up=False,
    spent=True,
)
# Every row of the table, coldest first, as a card shows it.
CHILLED_LAMB_TABLE = (
    _SPENT_HEAD_DOWN,
    _SPENT_HEAD_UP,
    *(rows[state] for state in LambState for rows in (_HEAD_DOWN, _HEAD_UP)),
)


def colostrum_need(weight_kg: float) -> ColostrumNeed:
    """What a lamb of this weight needs, in mL. Raises ValueError for a weight of 0 or less."""
    _require_weight(weight_kg)
    low, high = DAY_ML_PER_KG_RANGE
    return ColostrumNeed(weight_kg * FEED_ML_PER_KG, weight_kg * DAY_ML_PER_KG, weight_kg * low, weight_kg * high)


def litter_litres(weights_kg: Iterable[float]) -> float:
    """Colostrum for a whole litter on its first day, in litres. Raises ValueError for a weight of 0 or less."""
    return sum(colostrum_need(weight).day_ml for weight in weights_kg) / 1000


def first_feed(born: datetime, zone: tzinfo | None = None) -> FirstFeed:
    """When the first colostrum is due for a lamb born at this local time; hours that really pass, as `later` has it."""
    return FirstFeed(later(born, FIRST_FEED, zone), later(born, FIRST_FEED_LATEST, zone))


def lamb_state(temperature_c: float) -> LambState | None:
    """What the temperature says, to the hundredth of a degree; None for one that no living lamb has."""
    degrees = round(temperature_c, 2)
    if not LIVING_C[0] <= degrees <= LIVING_C[1]:
        return None
    if degrees < MILD_FROM_C:
        return LambState.SEVERE
    if degrees < NORMAL_FROM_C:
        return LambState.MILD
    return LambState.FEVER if degrees > FEVER_ABOVE_C else LambState.NORMAL


def chilled_lamb(temperature_c: float, age: timedelta | None, head_up: bool = True) -> Advice | None:
    """The published action for a lamb of this rectal temperature and age; None for a temperature no living lamb has.

    A lamb of unknown age counts as the older one (our choice: warming a spent lamb that had no glucose is the greater
    harm). `head_up` is whether it can hold its head up; one that cannot is never tubed, and the vet
    is asked.
    """
    state = lamb_state(temperature_c)
    if state is None:
        return None
    if state is LambState.SEVERE and (age is None or age >= SPENT_FROM):
        return _SPENT_HEAD_UP if head_up else _SPENT_HEAD_DOWN
    return _HEAD_UP[state] if head_up else _HEAD_DOWN[state]


def glucose(weight_kg: float) -> Glucose:
    """The published volume for a chilled lamb of this weight, in mL; for a shepherd whose vet has taught the technique.

    20 g in 100 mL is 20 %, whatever a label says. Raises ValueError for a weight of 0 or less.
    """
    _require_weight(weight_kg)
    volume = weight_kg * GLUCOSE_ML_PER_KG
    return Glucose(volume, volume / 2, volume / 2)


def _require_weight(weight_kg: float) -> None:
    if not weight_kg > 0:
        raise ValueError(f"a lamb cannot weigh {weight_kg} kg")
