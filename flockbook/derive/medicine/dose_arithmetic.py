"""Dose arithmetic on the rate the shepherd typed from the label or the vet's letter; no dose is built in.

Volumes in mL, weights in kg, ages in days. A rate in pounds becomes one in kg with `KG_PER_LB` before it comes here.
The label and the vet's written instruction win over every figure worked out here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, floor, isfinite, sqrt
from typing import Literal

from compiler.shape import Value
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.numbers import DIGITS

# A group is split when its lightest would get more than a double dose: Hybu Cig Cymru / Meat Promotion Wales, "Correct
# dosage essential when treating sheep".
DOUBLE = 2.0
# A recorded dose further than this from the label rate is pointed out: our choice. Of 2006's weight guessers 40 % were
# out by more than this (Farmers Weekly).
OFF_RATE = 0.10


class RatePerKg(Value):
    """So many mL for every so many kg, as typed: "1 mL per 20 kg" is `Rate(1, 20)`. Both are above nought."""

    volume_ml: float
    per_kg: float

    def __post_init__(self) -> None:
        """Raises ValueError for a rate that no label can print."""
        _require_positive("volume of a rate", self.volume_ml)
        _require_positive("weight of a rate", self.per_kg)


class DoseLabel(Value):
    """What the shepherd typed from the label: None where nothing was typed, which is never filled in."""

    rate: RatePerKg | None = None
    minimum_ml: float | None = None
    minimum_age_days: int | None = None
    max_per_site_ml: float | None = None


class DoseGroup(Value):
    """Sheep dosed alike: how many, their lightest and heaviest in kg, and the dose of the heaviest in mL."""

    head: int
    lightest_kg: float
    heaviest_kg: float
    dose_ml: float


class Concern(Reason):
    """One thing to put right or ask the vet: the figure found and the typed figure that it is held against.

    `under minimum` and `off rate` are in mL, `under age` in days.
    """

    kind: Literal["under minimum", "under age", "off rate"]
    found: float
    limit: float


class Dose(Value):
    """One sheep's dose: by the label's rate, as recorded, injection sites needed; None where it cannot be known."""

    expected_ml: float | None
    recorded_ml: float | None
    sites: int | None
    concerns: tuple[Concern, ...]


def dose_ml(rate: RatePerKg, weight_kg: float) -> float:
    """Rate × weight, in mL. Raises ValueError for a weight that is not above nought."""
    _require_positive("weight", weight_kg)
    return rate.volume_ml * weight_kg / rate.per_kg


def group_parts(rate: RatePerKg, weights_kg: Sequence[float]) -> tuple[DoseGroup, ...]:
    """The group dosed to its heaviest, lightest part first; split until nobody would get more than a double dose.

    Each split is at the geometric middle of lightest and heaviest, which shares the overdose evenly. No weights give no
    parts. Raises ValueError for a weight that is not above nought. Source of the rule: Hybu Cig Cymru (see `DOUBLE`).
    """
    for weight in weights_kg:
        _require_positive("weight", weight)
    return tuple(
        DoseGroup(len(part), part[0], part[-1], dose_ml(rate, part[-1])) for part in _split(sorted(weights_kg)) if part
    )


def total_ml(parts: Iterable[DoseGroup]) -> float:
    """Medicine used on all parts of a group, each sheep dosed once."""
    return sum(part.head * part.dose_ml for part in parts)


def doses_in_pack(pack_ml: float, dose: float) -> int:
    """Whole doses in a pack, rounded down as labels do. Raises ValueError unless both are above nought."""
    _require_positive("pack", pack_ml)
    _require_positive("dose", dose)
    return floor(round(pack_ml / dose, DIGITS))


def sites_needed(dose: float, max_per_site_ml: float) -> int:
    """Injection sites so that none gets more than the label's most, rounded up. Raises ValueError as above."""
    _require_positive("dose", dose)
    _require_positive("most per site", max_per_site_ml)
    return ceil(round(dose / max_per_site_ml, DIGITS))


def check_dose(
    label: DoseLabel, weight_kg: float | None, recorded_ml: float | None = None, age_days: int | None = None
) -> Dose:
    """One dose against the label as typed. For a group give the heaviest weight of the part, which set the dose.

    Sites are counted on the recorded dose, else on the expected one. What was not typed is not checked.
    Raises ValueError for a weight, volume or limit that is not above nought.
    """
    expected = None if label.rate is None or weight_kg is None else dose_ml(label.rate, weight_kg)
    given = expected if recorded_ml is None else recorded_ml
    sites = None if given is None or label.max_per_site_ml is None else sites_needed(given, label.max_per_site_ml)
    found = (
        _under_minimum(label, expected, recorded_ml),
        _under_age(label, age_days),
        _off_rate(label, expected, recorded_ml),
    )
    return Dose(expected, recorded_ml, sites, tuple(concern for concern in found if concern))


def off_label_floor(longest_label_hours: float) -> int:
    """The least an EU or British vet may write for an off-label use: the longest label period × 1.5, in whole hours
    rounded up.

    Only to hold a typed figure against. Where the product is not authorised for meat or for milk
    animals another floor applies.
    Source: Regulation (EU) 2019/6 Art. 115(1), UK SI 2013/2033 Sch. 4 as amended; rounding up from memory.
    """
    return ceil(round(longest_label_hours * 1.5, DIGITS))


def _split(weights: list[float]) -> list[list[float]]:
    """Parts of a sorted list of weights, in each of which the heaviest is at most `DOUBLE` the lightest."""
    if not weights or weights[-1] <= DOUBLE * weights[0]:
        return [weights]
    cut = sqrt(weights[0]) * sqrt(weights[-1])
    return [*_split([w for w in weights if w <= cut]), *_split([w for w in weights if w > cut])]


def _under_minimum(label: DoseLabel, expected: float | None, recorded: float | None) -> Concern | None:
    volumes = [volume for volume in (expected, recorded) if volume is not None]
    if label.minimum_ml is None or not volumes or round(min(volumes) - label.minimum_ml, DIGITS) >= 0:
        return None
    return Concern("under minimum", min(volumes), label.minimum_ml)


def _under_age(label: DoseLabel, age_days: int | None) -> Concern | None:
    if label.minimum_age_days is None or age_days is None or age_days >= label.minimum_age_days:
        return None
    return Concern("under age", age_days, label.minimum_age_days)


def _off_rate(label: DoseLabel, expected: float | None, recorded: float | None) -> Concern | None:
    """Further than a tenth from the rate; where the label's own minimum is more than the rate gives, also from that."""
    if expected is None or recorded is None:
        return None
    right = {expected, max(expected, label.minimum_ml or 0.0)}
    if any(round(abs(recorded - volume) / volume - OFF_RATE, DIGITS) <= 0 for volume in right):
        return None
    return Concern("off rate", recorded, expected)


def _require_positive(what: str, number: float) -> None:
    if not isfinite(number) or number <= 0:
        raise ValueError(f"the {what} cannot be {number}")
