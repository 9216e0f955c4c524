"""Days to a target weight, dressing, prices and ewe efficiency: published rows and plain arithmetic."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from flockbook.derive.growth.projection import (
    NoProjection,
    Projection,
    carcass_price,
    dressing,
    ewe_efficiency,
    live_price,
    project,
)

PAIR = [(date(2026, 7, 1), 32.0), (date(2026, 7, 15), 36.2)]


def found(weights: list[tuple[date, float]], target: float, precision: float = 0.2) -> Projection:
    """A projection that must be there."""
    result = project(weights, target, precision)
    assert isinstance(result, Projection)
    return result


def test_days_to_a_target() -> None:
    """Row 25: 32.0 kg to 36.2 kg in 14 days, target 45: 29.33, so 30 days, 14 August (growth references 6)."""
    result = found(PAIR, 45)
    assert (result.days, result.day) == (30, date(2026, 8, 14))
    assert result.gain == pytest.approx(0.3)


def test_the_scale_leaves_a_range() -> None:
    """Both weighings off by 0.2 kg: 0.02 kg a day, two days either way, 12 to 16 August (growth references 6)."""
    result = found(PAIR, 45)
    assert (result.earliest, result.latest) == (date(2026, 8, 12), date(2026, 8, 16))


def test_a_perfect_scale_leaves_none() -> None:
    """Without error both ends are the day itself."""
    result = found(PAIR, 45, 0)
    assert result.earliest == result.day == result.latest


def test_no_figure_without_two_fit_weighings() -> None:
    """One weight, or two within 14 days, give a reason and no date."""
    for weights in ([], PAIR[:1], [PAIR[0], (date(2026, 7, 14), 36.2)]):
        assert project(weights, 45) is NoProjection.TOO_FEW_WEIGHINGS


def test_a_weighing_too_near_is_passed_over() -> None:
    """The last weight is set against the last one two weeks or more before it, not against last week's."""
    assert found([*PAIR, (date(2026, 7, 10), 50.0)], 45).days == 30


@pytest.mark.parametrize(("last", "reason"), [(32.0, "NO_GAIN"), (31.0, "NO_GAIN"), (32.1, "TOO_FAR_OFF")])
def test_no_figure_without_gain(last: float, reason: str) -> None:
    """A lamb that stood still, lost, or gained next to nothing has no date."""
    assert project([PAIR[0], (date(2026, 7, 15), last)], 45) is NoProjection[reason]


def test_a_slow_lamb_has_no_latest_day() -> None:
    """Where the scale's error alone could hide that it stood still, the range is open at its end."""
    result = found([PAIR[0], (date(2026, 7, 15), 32.2)], 33, 0.2)
    assert result.latest is None


def test_a_lamb_that_is_there_already() -> None:
    """At its target: no days."""
    assert found(PAIR, 36).days == 0


@pytest.mark.parametrize(("target", "precision"), [(0, 0.2), (-1, 0.2), (45, -0.1)])
def test_figures_that_are_no_weights(target: float, precision: float) -> None:
    """Nonsense is refused."""
    with pytest.raises(ValueError, match="above zero"):
        project(PAIR, target, precision)


def test_dressing() -> None:
    """Row 25: 80 lb live, 40 lb carcass: 50 % (Cornell, dressing percentages)."""
    assert dressing(80, 40) == 0.5
    for live, carcass in ((0, 0), (40, 80), (80, 0)):
        with pytest.raises(ValueError, match="carcass"):
            dressing(live, carcass)


def test_prices() -> None:
    """3.60 a pound of carcass at 50 % is 1.80 a pound live (growth references 6)."""
    half = Decimal("0.5")
    assert live_price(Decimal("3.60"), half) == Decimal("1.80")
    assert carcass_price(Decimal("1.80"), half) == Decimal("3.60")
    with pytest.raises(ValueError, match="no carcass"):
        carcass_price(Decimal("1.80"), Decimal(0))


def test_ewe_efficiency() -> None:
    """Row 6: 1 500 lambs of 30 kg from 1 000 ewes of 90 kg: 50 % (Bevan)."""
    assert ewe_efficiency(1500 * 30, 1000 * 90) == 0.5
    with pytest.raises(ValueError, match="weigh something"):
        ewe_efficiency(30, 0)
