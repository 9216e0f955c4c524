"""Dose arithmetic against doses printed on labels and in the US code; no dose here is advice."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.amounts import KG_PER_LB
from flockbook.derive.medicine.dose_arithmetic import (
    DoseLabel,
    RatePerKg,
    check_dose,
    dose_ml,
    doses_in_pack,
    group_parts,
    off_label_floor,
    sites_needed,
    total_ml,
)

LB = KG_PER_LB
DRENCH = RatePerKg(3, 26 * LB)  # 3 mL per 26 lb: US label, oral ivermectin 0.08 %, DailyMed, ANADA 200-327
PENICILLIN = RatePerKg(0.7, 10)  # Canadian label text, procaine penicillin, at most 5 mL a site in sheep

weights = st.lists(st.floats(1.5, 200), min_size=1, max_size=40)


@pytest.mark.parametrize(
    ("rate", "kg", "dose"),
    [
        (DRENCH, 100 * LB, 11.538),
        (DRENCH, 57 * LB, 6.577),
        (RatePerKg(1, 5), 70, 14.0),  # 21 CFR 520.1454, moxidectin: 1 mL per 5 kg …
        (RatePerKg(1, 11 * LB), 154 * LB, 14.0),  # … is 1 mL per 11 lb
        (RatePerKg(3.4 / 113.6, LB), 100 * LB, 2.993),  # 21 CFR 520.38a, albendazole 3.4 mg/lb
        (RatePerKg(3.4 / 45.5, LB), 100 * LB, 7.473),
        (RatePerKg(0.5 / 50, LB), 150 * LB, 1.5),  # 21 CFR 522.313c, ceftiofur 0.5–1.0 mg/lb
        (RatePerKg(1.0 / 50, LB), 150 * LB, 3.0),
        (RatePerKg(3000 / 300_000, LB), 150 * LB, 1.5),  # US product page, penicillin 3,000 units/lb
        (PENICILLIN, 70, 4.9),
        (PENICILLIN, 80, 5.6),
        (RatePerKg(10 / 300, 1), 60, 2.0),  # 21 CFR 522.2471, tilmicosin 10 mg/kg
        (RatePerKg(0.5, 25), 70, 1.4),  # UK data sheet, ivermectin injection
        (RatePerKg(1, 4), 45, 11.25),  # UK/IE product page, oral ivermectin 0.08 %
        (RatePerKg(2.5, 100 * LB), 150 * LB, 3.75),  # selenium + vitamin E, ewes: from memory
        (RatePerKg(1, 40 * LB), 10 * LB, 0.25),  # the newborn habit: arithmetic only
    ],
)
def test_doses_worked_on_labels(rate: RatePerKg, kg: float, dose: float) -> None:
    """Rate × weight gives the volumes that the labels' own rates give."""
    assert dose_ml(rate, kg) == pytest.approx(dose, abs=6e-4)


def test_milligrams_agree_with_the_volume() -> None:
    """57 lb of the drench is 5.262 mg at 0.8 mg/mL; 45 kg at 1 mL per 4 kg is 9.0 mg (same two labels)."""
    assert dose_ml(DRENCH, 57 * LB) * 0.8 == pytest.approx(5.262, abs=6e-4)
    assert dose_ml(RatePerKg(1, 4), 45) * 0.8 == pytest.approx(9.0)


def test_packs_count_down_as_printed() -> None:
    """240 and 960 mL are 20 and 83 doses for 100 lb: both are printed on the label (DailyMed, ANADA 200-327)."""
    dose = dose_ml(DRENCH, 100 * LB)
    assert (doses_in_pack(240, dose), doses_in_pack(960, dose)) == (20, 83)
    assert doses_in_pack(0.3, 0.1) == 3  # 2.9999999999999996 in binary


def test_a_day_adds_up() -> None:
    """Ceftiofur for 150 lb is 1.5 to 3.0 mL a day (rate: 21 CFR 522.313c)."""
    for mg, in_all in ((0.5, 1.5), (1.0, 3.0)):
        assert total_ml(group_parts(RatePerKg(mg / 50, LB), [150 * LB])) == pytest.approx(in_all)


@pytest.mark.parametrize(
    ("dose", "most", "sites"), [(4.9, 5, 1), (5.6, 5, 2), (5, 5, 1), (15.000000000000002, 5, 3), (0.3, 0.1, 3)]
)
def test_sites_are_rounded_up(dose: float, most: float, sites: int) -> None:
    """Penicillin at 70 and 80 kg takes one and two sites of at most 5 mL (Canadian label text); sums are float-safe."""
    assert sites_needed(dose, most) == sites


def test_group_is_split_only_beyond_a_double_dose() -> None:
    """30–58 kg stays whole (1.933), 28–58 kg is split (2.071): Hybu Cig Cymru's double-dose rule."""
    whole = group_parts(RatePerKg(1, 5), [45, 30, 58])
    assert [(part.head, part.lightest_kg, part.heaviest_kg, part.dose_ml) for part in whole] == [(3, 30, 58, 11.6)]
    split = group_parts(RatePerKg(1, 5), [58, 28, 40, 41, 57])
    assert [(part.head, part.heaviest_kg) for part in split] == [(2, 40), (3, 58)]
    assert total_ml(split) == pytest.approx(2 * 8 + 3 * 11.6)
    assert len(group_parts(RatePerKg(1, 5), [29, 58])) == 1
    assert group_parts(RatePerKg(1, 5), []) == ()


def test_lamb_under_the_labels_minimum_and_age() -> None:
    """10 lb at 1 mL per 40 lb is 0.25 mL: with 1 mL and 14 days typed, both are pointed out (arithmetic only)."""
    label = DoseLabel(RatePerKg(1, 40 * LB), minimum_ml=1, minimum_age_days=14)
    found = check_dose(label, 10 * LB, age_days=1)
    assert found.expected_ml == pytest.approx(0.25)
    assert [(concern.kind, concern.limit) for concern in found.concerns] == [("under minimum", 1), ("under age", 14)]
    assert [concern.found for concern in found.concerns] == pytest.approx([0.25, 1])
    assert [concern.kind for concern in check_dose(label, 10 * LB, 0.25, 1).concerns] == ["under minimum", "under age"]
    assert [concern.kind for concern in check_dose(label, 10 * LB, 1.0, 30).concerns] == ["under minimum"]


@pytest.mark.parametrize(
    ("recorded", "kinds"),
    [(14.0, []), (15.4, []), (12.6, []), (15.41, ["off rate"]), (12.59, ["off rate"]), (7.0, ["off rate"])],
)
def test_more_than_a_tenth_off_the_rate(recorded: float, kinds: list[str]) -> None:
    """Exactly a tenth either way passes, more does not (the tenth is our choice; rate 21 CFR 520.1454)."""
    assert [concern.kind for concern in check_dose(DoseLabel(RatePerKg(1, 5)), 70, recorded).concerns] == kinds


def test_what_was_not_typed_is_not_checked() -> None:
    """No rate, weight, age or site limit: no figure is filled in and nothing is pointed out."""
    nothing = check_dose(DoseLabel(), 70, 5)
    assert (nothing.expected_ml, nothing.recorded_ml, nothing.sites, nothing.concerns) == (None, 5, None, ())
    unweighed = check_dose(DoseLabel(RatePerKg(1, 5), max_per_site_ml=2), None, 5)
    assert (unweighed.expected_ml, unweighed.sites, unweighed.concerns) == (None, 3, ())
    assert check_dose(DoseLabel(RatePerKg(1, 5), minimum_ml=1), None).sites is None
    assert check_dose(DoseLabel(minimum_age_days=14), None).concerns == ()
    assert check_dose(DoseLabel(PENICILLIN, max_per_site_ml=5), 80).sites == 2


def test_off_label_floor_is_half_as_long_again_rounded_up() -> None:
    """20 d → 30, 14 → 21, 7 → 10.5, 60 h → 90, all in hours: Reg. (EU) 2019/6 Art. 115 (rounding from memory)."""
    assert [off_label_floor(period) for period in (480, 336, 168, 60, 0.5)] == [720, 504, 252, 90, 1]


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_numbers_that_cannot_be_are_refused(bad: float) -> None:
    """Nothing is dosed by nought, by less, or by what is no number."""
    for call in (
        lambda: RatePerKg(bad, 5),
        lambda: RatePerKg(1, bad),
        lambda: dose_ml(RatePerKg(1, 5), bad),
        lambda: group_parts(RatePerKg(1, 5), [40, bad]),
        lambda: doses_in_pack(bad, 1),
        lambda: sites_needed(1, bad),
    ):
        with pytest.raises(ValueError, match="cannot be"):
            call()


@given(weights)
def test_nobody_gets_less_than_due_or_more_than_double(kilograms: list[float]) -> None:
    """Every sheep lands in exactly one part; none is under her own dose nor over twice it."""
    rate = RatePerKg(1, 5)
    parts = group_parts(rate, kilograms)
    assert sum(part.head for part in parts) == len(kilograms)
    for kg in kilograms:
        part = next(part for part in parts if kg <= part.heaviest_kg)
        assert part.lightest_kg <= kg
        assert dose_ml(rate, kg) <= part.dose_ml <= 2 * dose_ml(rate, kg) * (1 + 1e-12)
    assert len(parts) == 1 or max(kilograms) > 2 * min(kilograms)


@given(st.integers(1, 4000), st.integers(1, 400))
def test_sites_and_doses_agree_with_exact_fractions(dose_cl: int, most_cl: int) -> None:
    """Typed hundredths of a mL are rounded as exact fractions are (Python's fractions, independent of floats)."""
    exact = Fraction(dose_cl, most_cl)
    assert sites_needed(dose_cl / 100, most_cl / 100) == ceil(exact)
    assert doses_in_pack(dose_cl / 100, most_cl / 100) == exact.numerator // exact.denominator


@given(st.floats(0.05, 20), st.floats(1, 100), st.floats(1, 150))
def test_a_dose_at_its_rate_raises_no_concern(volume: float, per_kg: float, kg: float) -> None:
    """What the rate gives is never off the rate."""
    rate = RatePerKg(volume, per_kg)
    assert check_dose(DoseLabel(rate), kg, dose_ml(rate, kg)).concerns == ()
