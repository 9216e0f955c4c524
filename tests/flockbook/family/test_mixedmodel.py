"""Breeding values against textbook solutions, a frozen flock, and the same equations solved densely by numpy."""

from __future__ import annotations

import csv
import random
from collections.abc import Iterable
from math import sqrt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flockbook.derive.family.kinship import inbreeding, relationship
from flockbook.derive.family.merit import (
    LEAST_RELIABILITY,
    Evaluation,
    MeritRecord,
    Trial,
    chance_right,
    evaluate,
    too_little,
)
from flockbook.derive.family.pedigree import Parentage, Pedigree, order_pedigree
from flockbook.heritabilities import Heritability
from flockbook.saying.family import LEFT_OUT, dropped_words

DATA = Path(__file__).parent / "data" / "ped44.csv"

# Mrode, Linear Models for the Prediction of Animal Breeding Values, 3rd ed. 2014: pedigree and records of p. 73 (Table
# 5.1), solutions of p. 39 to eight places and standard errors as printed in a tutorial of the book's examples (Masuda
# 2025); p. 45 prints 0.058 and 4.341 for animal 1.
MRODE = ((1, 0, 0), (2, 0, 0), (3, 0, 0), (4, 1, 0), (5, 3, 2), (6, 1, 2), (7, 4, 5), (8, 3, 6))
GAINS = {"4": ("male", 4.5), "5": ("female", 2.9), "6": ("female", 3.9), "7": ("male", 3.5), "8": ("male", 5.0)}
SOLUTIONS = {
    "1": 0.09844458, "2": -0.01877010, "3": -0.04108420, "4": -0.00866312,
    "5": -0.18573210, "6": 0.17687209, "7": -0.24945855, "8": 0.18261469,
}  # fmt: skip
RELIABILITIES = {
    "1": 0.057812, "2": 0.015809, "3": 0.087082, "4": 0.144640,
    "5": 0.143787, "6": 0.115434, "7": 0.116288, "8": 0.155272,
}  # fmt: skip
ERRORS = {
    "1": 4.340941, "2": 4.436646, "3": 4.272979, "4": 4.136086,
    "5": 4.138148, "6": 4.206104, "7": 4.204075, "8": 4.110300,
}  # fmt: skip


def pedigree(entries: Iterable[tuple[object, object, object]]) -> Pedigree:
    """A pedigree of (animal, sire, dam), 0 or "" for an unknown parent."""
    ordered, faults = order_pedigree(
        [
            Parentage(str(animal), str(sire) if sire else None, str(dam) if dam else None)
            for animal, sire, dam in entries
        ]
    )
    assert faults == ()
    return ordered


def worked_out(family: Pedigree, trial: Trial, heritability: Heritability) -> Evaluation:
    """An evaluation that took place."""
    found = evaluate(family, inbreeding(family), trial, heritability)
    assert isinstance(found, Evaluation)
    return found


def mrode() -> Evaluation:
    """Example 3.1: σ²a 20, σ²e 40."""
    records = tuple(MeritRecord(animal, value, (sex,)) for animal, (sex, value) in GAINS.items())
    return worked_out(pedigree(MRODE), Trial(("sex",), records), Heritability("gain", 1 / 3, None, "Mrode"))


def test_mrodes_solutions() -> None:
    """Breeding values and both sexes' means to the printed places (Mrode p. 39)."""
    found = mrode()
    assert {item.animal: item.value for item in found.merits} == pytest.approx(SOLUTIONS, abs=5e-7)
    male, female = found.mean, (found.mean or 0) + found.estimates[1].value
    assert (male, female) == pytest.approx((4.35850233, 3.40443010), abs=5e-7)


def test_mrodes_reliabilities_and_standard_errors() -> None:
    """Reliabilities, and their standard errors with σ²a = 20 (Mrode p. 45 and the tutorial's eight places)."""
    found = mrode()
    assert {item.animal: item.reliability for item in found.merits} == pytest.approx(RELIABILITIES, abs=5e-7)
    errors = {item.animal: sqrt((1 - item.reliability) * 20) for item in found.merits}
    assert errors == pytest.approx(ERRORS, abs=5e-6)


def flock44() -> tuple[Pedigree, Trial]:
    """The 44-animal flock and its records: 25 + 0.5 ((37k) mod 17) + 1.5 for a male (references, growth §3.4)."""
    with DATA.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    family = pedigree((row["id"], row["sire"], row["dam"]) for row in rows)
    records = [
        MeritRecord(
            row["id"], 25 + 0.5 * ((37 * int(row["id"][1:])) % 17) + (1.5 if row["sex"] == "M" else 0), (row["sex"],)
        )
        for row in rows
        if row["id"].startswith("L")
    ]
    return family, Trial(("sex",), tuple(records))


FIFTH = Heritability("weight", 0.2, None, "λ = 4")


def test_the_44_animal_flock() -> None:
    """Values with inbreeding in the inverse, not those without it (references, growth §3.4, two methods)."""
    found = worked_out(*flock44(), FIFTH)
    values = {item.animal: item.value for item in found.merits}
    printed = {"R01": -0.167126, "L02": -0.355466, "L08": 0.112911, "L25": 0.268092, "L33": 0.676739, "L35": -0.453819}
    assert {animal: values[animal] for animal in printed} == pytest.approx(printed, abs=5e-7)
    assert values["L25"] != pytest.approx(0.274889, abs=1e-3)
    level = {item.level.name: item.value for item in found.estimates}
    assert (level["M"] - level["F"], (found.mean or 0) + level["F"]) == pytest.approx((2.009050, 28.758301), abs=5e-7)


def test_reliabilities_of_inbred_animals() -> None:
    """1 − PEV / ((1 + F) σ²a): forgetting F would give L25 0.045 (references, growth §3.4)."""
    reliability = {item.animal: item.reliability for item in worked_out(*flock44(), FIFTH).merits}
    printed = {"L02": 0.249441, "L25": 0.297579, "L33": 0.272249}
    assert {animal: reliability[animal] for animal in printed} == pytest.approx(printed, abs=5e-7)


def dense(
    family: Pedigree, trial: Trial, h2: float, repeatability: float | None
) -> tuple[list[float], list[float], float]:
    """The same model from V = ZAZ' + WW' + I by generalised least squares in numpy: values, reliabilities, σ²a."""
    names = list(family.ids)
    relations = np.array([[relationship(family, a, b) for b in names] for a in names])
    whole = repeatability if repeatability is not None else h2
    owned = np.array([[float(record.animal == name) for name in names] for record in trial.records])
    levels = sorted({record.levels for record in trial.records})
    fixed = np.array([[float(record.levels == level) for level in levels] for record in trial.records])
    values = np.array([record.value for record in trial.records])
    variance = h2 * owned @ relations @ owned.T + (whole - h2) * owned @ owned.T + (1 - whole) * np.eye(len(values))
    inverse = np.linalg.inv(variance)
    projected = inverse - inverse @ fixed @ np.linalg.inv(fixed.T @ inverse @ fixed) @ fixed.T @ inverse
    covariance = h2 * relations @ owned.T
    predicted = covariance @ projected @ values
    explained = np.diag(covariance @ projected @ covariance.T) / (h2 * np.diag(relations))
    freedom = len(values) - len(levels)
    return list(predicted), list(explained), float(h2 * (values @ projected @ values) / freedom)


@given(seed=st.integers(0, 10**6), repeated=st.booleans())
@settings(max_examples=25, deadline=None)
def test_a_dense_solution_agrees(seed: int, repeated: bool) -> None:
    """Values, reliabilities and scale of made flocks agree with numpy's dense solution of the same model."""
    family, trial = made(random.Random(seed), repeated)
    item = Heritability("trait", 0.15, 0.25 if repeated else None, "made")
    found = worked_out(family, trial, item)
    values, reliabilities, additive = dense(family, trial, item.h2, item.repeatability)
    assert [merit.value for merit in found.merits] == pytest.approx(values, abs=1e-8)
    assert [merit.reliability for merit in found.merits] == pytest.approx(reliabilities, abs=1e-8)
    errors = [
        sqrt((1 - part) * additive * (1 + inbreeding(family)[name]))
        for part, name in zip(reliabilities, family.ids, strict=True)
    ]
    assert [merit.error for merit in found.merits] == pytest.approx(errors, abs=1e-8)


def made(chance: random.Random, repeated: bool) -> tuple[Pedigree, Trial]:
    """A small random flock of two seasons with records of some of its animals."""
    entries: list[tuple[str, str, str]] = [(f"r{n}", "", "") for n in range(3)] + [(f"e{n}", "", "") for n in range(5)]
    for n in range(20):
        rams = [name for name, *_ in entries if name[0] == "r"]
        ewes = [name for name, *_ in entries if name[0] == "e"]
        sire = chance.choice([*rams, ""])
        entries.append((f"{chance.choice('re')}{n + 10}", sire, chance.choice(ewes)))
    owners = [name for name, *_ in entries[4:]]
    owners += chance.choices(owners, k=15) if repeated else []
    records = (MeritRecord(name, chance.gauss(30, 4), (chance.choice("ab"),)) for name in owners)
    return pedigree(entries), Trial(("season",), tuple(records))


@given(seed=st.integers(0, 10**6))
@settings(max_examples=15, deadline=None)
def test_order_and_names_do_not_matter(seed: int) -> None:
    """The same flock with its notes shuffled and its animals renamed has the same values, whoever is called what."""
    chance = random.Random(seed)
    entries = [(*entry, name) for name, *entry in shuffled_entries(chance)]
    names = {
        name: f"x{place}" for place, name in enumerate(chance.sample([name for *_, name in entries], len(entries)))
    }
    records = [MeritRecord(name, chance.gauss(30, 4), (chance.choice("ab"),)) for *_, name in entries[5:]]
    plain = worked_out(pedigree((n, s, d) for s, d, n in entries), Trial(("season",), tuple(records)), FIFTH)
    chance.shuffle(entries)
    chance.shuffle(records)
    renamed = [MeritRecord(names[record.animal], record.value, record.levels) for record in records]
    other = worked_out(
        pedigree((names[n], names.get(s, ""), names.get(d, "")) for s, d, n in entries),
        Trial(("season",), tuple(renamed)),
        FIFTH,
    )
    before = {names[item.animal]: (item.value, item.reliability) for item in plain.merits}
    after = {item.animal: (item.value, item.reliability) for item in other.merits}
    assert {name: pytest.approx(pair, abs=1e-9) for name, pair in before.items()} == after


def shuffled_entries(chance: random.Random) -> list[tuple[str, str, str]]:
    """Animals with parents among those before them."""
    entries: list[tuple[str, str, str]] = [("r0", "", ""), ("r1", "", ""), ("e0", "", ""), ("e1", "", "")]
    for n in range(16):
        sire = chance.choice([name for name, *_ in entries if name[0] == "r"] + [""])
        dam = chance.choice([name for name, *_ in entries if name[0] == "e"])
        entries.append((f"{chance.choice('re')}{n + 5}", sire, dam))
    return entries


def test_what_cannot_be_told_apart_is_dropped_and_said() -> None:
    """Where each season had a mob of its own, season and mob cannot both be allowed for, and that is said."""
    family = pedigree([(f"l{n}", "", "") for n in range(8)])
    records = tuple(
        MeritRecord(f"l{n}", 4.0 + n / 10, ("2025" if n < 4 else "2026", "hill" if n < 4 else "low")) for n in range(8)
    )
    found = worked_out(family, Trial(("season", "mob"), records), FIFTH)
    assert [(drop.level.effect, drop.level.name) for drop in found.dropped] == [("mob", "low")]
    assert [(level.effect, level.name) for level in found.dropped[0].beside] == [("season", "2026")]
    assert "cannot tell it apart from season 2026" in dropped_words(found.dropped[0])


def test_records_that_cannot_be_used_are_named() -> None:
    """No number, an animal of no pedigree, a second record of a trait shown once: left out with the reason."""
    family = pedigree([("a", "", ""), ("b", "", ""), ("c", "", "")])
    records = (
        MeritRecord("a", 4.0),
        MeritRecord("b", float("nan")),
        MeritRecord("d", 4.0),
        MeritRecord("c", 3.0),
        MeritRecord("c", 4.0),
    )
    found = worked_out(family, Trial((), records), FIFTH)
    assert [(item.record.animal, LEFT_OUT[item.why].split()[-1]) for item in found.unused] == [
        ("b", "number"), ("d", "pedigree"), ("c", "once"), ("c", "once"),
    ]  # fmt: skip
    assert found.records == 1
    assert {item.error for item in found.merits} == {None}


def test_no_records_say_nothing() -> None:
    """Without a record every value is 0 with reliability 0, which is too little to say."""
    found = worked_out(pedigree([("a", "", "")]), Trial((), ()), FIFTH)
    assert [(item.value, item.reliability, item.records) for item in found.merits] == [(0.0, 0.0, 0)]
    assert (found.mean, found.records) == (None, 0)
    assert too_little(found.merits[0].reliability)


def test_one_own_record_has_the_reliability_of_the_heritability() -> None:
    """The reliability of one own record is h² (Mrode, before example 1.1), to within what a mean of many costs."""
    family = pedigree([(f"l{n}", "", "") for n in range(400)])
    records = tuple(MeritRecord(f"l{n}", float(n % 7)) for n in range(400))
    found = worked_out(family, Trial((), records), FIFTH)
    assert [item.reliability for item in found.merits] == pytest.approx([0.2] * 400, abs=0.001)


def test_how_often_the_better_of_two_is_named() -> None:
    """The quadrant probability by simulation with numpy: two in three at the threshold, a half for no reliability."""
    chance = np.random.default_rng(4)
    true = chance.normal(size=(200_000, 2))
    told = LEAST_RELIABILITY * true + sqrt(LEAST_RELIABILITY * (1 - LEAST_RELIABILITY)) * chance.normal(
        size=(200_000, 2)
    )
    right = np.mean((true[:, 0] > true[:, 1]) == (told[:, 0] > told[:, 1]))
    assert chance_right(LEAST_RELIABILITY) == pytest.approx(right, abs=0.005)
    assert (chance_right(0.0), chance_right(1.0)) == pytest.approx((0.5, 1.0))


@pytest.mark.parametrize(("h2", "again"), [(0.0, None), (1.0, None), (-0.1, None), (0.2, 0.1), (0.2, 1.0)])
def test_impossible_shares_are_refused(h2: float, again: float | None) -> None:
    """A heritability lies between 0 and 1, a repeatability between it and 1."""
    with pytest.raises(ValueError, match="cannot be"):
        Heritability("trait", h2, again, "")


@pytest.mark.parametrize("lambs", [2, 3, 5, 30])
def test_the_range_holds_the_true_value_eighty_times_in_a_hundred(lambs: int) -> None:
    """Simulated with numpy, few records or many: a range from the normal distribution would hold 58 of 100 with two."""
    chance, h2 = np.random.default_rng(lambs), 0.45
    family, held, told = pedigree([(f"l{n}", "", "") for n in range(lambs)]), 0, 0
    for _ in range(400 if lambs < 10 else 60):
        true = dict(zip(family.ids, chance.normal(0, sqrt(h2), lambs), strict=True))
        records = tuple(MeritRecord(name, value + chance.normal(0, sqrt(1 - h2))) for name, value in true.items())
        found = worked_out(family, Trial((), records), Heritability("trait", h2, None, "made"))
        assert found.reach
        held += sum(abs(item.value - true[item.animal]) < found.reach * (item.error or 0) for item in found.merits)
        told += lambs
    assert held / told == pytest.approx(0.8, abs=0.05)
