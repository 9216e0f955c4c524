"""The flock's own differences between classes of lambs, against an independent least-squares program."""

from __future__ import annotations

import random
from datetime import date

import pytest

from flockbook.derive.growth.adjusted_weights import Adjusted, Class
from flockbook.derive.growth.own_effects import NoOwnEffects, own_effects
from flockbook.derive.weights.gains import Weighed

WORTH = {"2": -3.0, "3-6": 0.0, "ewe": 0.0, "ram": 2.5, "1/1": 0.0, "2/2": -4.0}


def lamb(number: int, season: int, classes: tuple[str, str, str], kg: float) -> Adjusted:
    """One lamb weighed at 90 days; nothing beyond its classes and weight matters here."""
    weighed = Weighed(date(season, 8, 1), kg, "events/weaning.md", number, "")
    return Adjusted(
        f"L{number}", weighed, 90, 90, 4.0, kg, None, classes, (1.0, 1.0, 1.0), kg,
        Class(season, "hill", classes[1]), True, True, group_target=90, in_group=kg,
    )  # fmt: skip


def flock(count: int = 90) -> list[Adjusted]:
    """Lambs of two seasons whose classes are worth what `WORTH` says, with a scatter of 2 kg."""
    chance = random.Random(4)
    made = []
    for number in range(count):
        season = chance.choice((2025, 2026))
        classes = (chance.choice(("2", "3-6", "3-6")), chance.choice(("ewe", "ram")), chance.choice(("1/1", "2/2")))
        kg = 30 + (season - 2025) * 1.5 + sum(WORTH[name] for name in classes) + chance.gauss(0, 2)
        made.append(lamb(number, season, classes, kg))
    return made


def test_effects_agree_with_an_independent_program() -> None:
    """Effects, standard errors and 95 % limits are those of statsmodels' ordinary least squares (OLS)."""
    import pandas as pd
    import statsmodels.formula.api as smf

    rows = flock()
    names = ["kg", "season", "dam", "sex", "kind"]
    table = pd.DataFrame([(row.weighed.kg, row.group.season, *row.classes) for row in rows], columns=names)
    found = own_effects({row.lamb: row for row in rows})
    base = found.base
    formula = (
        f"kg ~ C(season) + C(dam, Treatment('{base['dam']}')) + C(sex, Treatment('{base['sex']}')) "
        f"+ C(kind, Treatment('{base['type']}'))"
    )
    model = smf.ols(formula, table).fit()
    assert len(found.rows) == 3
    for effect in found.rows:
        key = next(name for name in model.params.index if name.endswith(f"[T.{effect.name}]"))
        assert (effect.kg, effect.se) == (pytest.approx(model.params[key]), pytest.approx(model.bse[key]))
        assert (effect.low, effect.high) == tuple(pytest.approx(limit) for limit in model.conf_int().loc[key])
    assert found.spread == pytest.approx(model.mse_resid**0.5)


def test_a_lambs_weight_is_brought_to_the_commonest_classes() -> None:
    """What its classes are worth is taken off; a lamb of the commonest classes keeps its weight (definition)."""
    rows = flock()
    found = own_effects({row.lamb: row for row in rows})
    worth = {item.name: item.kg for item in found.rows}
    for row in rows:
        taken = sum(worth.get(name or "", 0.0) for name in row.classes)
        assert found.weights[row.lamb] == pytest.approx(row.weighed.kg - taken)


def test_a_class_of_few_lambs_says_nothing() -> None:
    """Four triplets are left out, and get no weight (our own line of five)."""
    rows = [*flock(), *(lamb(900 + n, 2026, ("3-6", "ewe", "3/3"), 24.0) for n in range(4))]
    found = own_effects({row.lamb: row for row in rows})
    assert "3/3" not in {item.name for item in found.rows}
    assert "L900" not in found.weights


def test_a_handful_of_lambs_says_nothing() -> None:
    """Twenty lambs are too few, and the reason is told."""
    assert own_effects({row.lamb: row for row in flock(20)}).why is NoOwnEffects.TOO_FEW_LAMBS


def test_what_cannot_be_told_apart_is_not_told() -> None:
    """All two-year-olds' lambs are twins and all others' single: nobody can say which of the two it was."""
    rows = [lamb(n, 2026, ("2", "ewe", "2/2") if n % 2 else ("3-6", "ewe", "1/1"), 25.0 + n % 7) for n in range(60)]
    assert own_effects({row.lamb: row for row in rows}).why is NoOwnEffects.ENTANGLED
