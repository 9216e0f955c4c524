"""Weights that cannot be, through notes: asked about, shown, and out of every mean until confirmed; true ones are not.

Published gains of lambs to weaning lie between 0.08 and 0.45 kg a day, with a mean of 0.29 (Ontario, Predicting lamb
finishing dates); a lamb's belly is 10-22 % of it (OMAFRA 19-009). The flocks of the last test are drawn, not recorded.
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from compiler.shape import Value
from flockbook.handover.facts import facts_object
from flockbook.seen import Seen
from tests.flockbook.small import codes, read, unchecked

POUND = 0.45359237  # kg: Weights and Measures Act 1985, Schedule 1
EWE = {"sheep/A1.md": "---\nnote: ewe\nborn: 2021-04-10\n---\n"}
BIRTH = {"events/2026-03-20 lambing A1.md": "- ewe 4 kg, tag 1\n"}
POUNDS = {"flock.yaml": "flock: Q\nunits: us\n"}


def ten_lambs() -> dict[str, str]:
    """Ten lambs of ten ewes, all of 4 kg, weighed with 28 to 32 kg on 8 July, their 110th day."""
    notes = {}
    for place in range(10):
        notes[f"sheep/E{place}.md"] = "---\nnote: ewe\nborn: 2021\n---\n"
        notes[f"events/2026-03-20 lambing E{place}.md"] = f"- ewe 4 kg, tag {700 + place}\n"
    return notes


def told(seen: Seen, code: str = "K109") -> list[str]:
    """What is asked about weights that cannot be."""
    return [item.message for item in seen.diagnostics if item.code == code]


@pytest.mark.parametrize("kg", ["3", "4.1", "5", "70", "80", "90", "110"])
def test_a_lone_weight_that_cannot_be(kg: str) -> None:
    """A lamb of 4 kg at birth is no lighter at weaning, and gains no 600 g a day for 110 days."""
    seen = read({**EWE, **BIRTH, "events/2026-07-08 weaning.md": f"1 {kg}\n"}, "2026-08-01")
    assert len(told(seen)) == 1
    (row,) = facts_object(seen)["growth"]
    assert (row["adg_kg"], row["adjusted_kg"], row["weights"][0]["kg"]) == (None, None, float(kg))
    assert seen.facts.weights.sessions[0].mean is None


@pytest.mark.parametrize("kg", ["12", "20", "31", "45", "57"])
def test_a_lone_weight_that_can_be(kg: str) -> None:
    """From a poor hill lamb to the best of singles."""
    seen = read({**EWE, **BIRTH, "events/2026-07-08 weaning.md": f"1 {kg}\n"}, "2026-08-01")
    assert told(seen) == []
    assert seen.facts.weights.sessions[0].mean == float(kg)


@pytest.mark.parametrize("kg", ["3", "4.1", "5", "8", "70", "80", "95"])
def test_a_weight_that_cannot_be_among_ten(kg: str) -> None:
    """Nine of 28 to 32 kg and one that cannot be: their mean is the nine's, until the note confirms all ten."""
    others = [28, 29, 30, 31, 32, 28, 29, 30, 31]
    lines = "".join(f"{701 + place} {one}\n" for place, one in enumerate(others)) + f"700 {kg}\n"
    seen = read({**ten_lambs(), "events/2026-07-08 weaning.md": lines}, "2026-08-01")
    (message,) = told(seen)
    assert message.startswith(f"700 (E0): {float(kg):.1f} kg") or "700" in message.split(":")[0]
    assert seen.facts.weights.sessions[0].mean == pytest.approx(sum(others) / 9)
    assert facts_object(seen)["seasons"][0]["counts"]["weaned"] == 10
    sure = {"events/2026-07-08 weaning.md": f"---\nsure: yes\n---\n{lines}"}
    confirmed = read({**ten_lambs(), **sure}, "2026-08-01")
    assert told(confirmed) == []
    assert confirmed.facts.weights.sessions[0].mean == pytest.approx((sum(others) + float(kg)) / 10)


@pytest.mark.parametrize(("typed", "cure"), [("4.1", "did you mean 41? "), ("90", ""), ("3", "did you mean 30? ")])
def test_the_slip_of_ten_is_offered(typed: str, cure: str) -> None:
    """4.1 for 41 is a point too many; 90 kg is no slip of ten."""
    seen = read({**EWE, **BIRTH, "events/2026-07-08 weaning.md": f"1 {typed}\n"}, "2026-08-01")
    (help_,) = [item.help for item in seen.diagnostics if item.code == "K109"]
    assert help_ == f"{cure}correct it, or add `sure: yes` to the note"


@pytest.mark.parametrize("kg", ["6.5", "18", "22"])
def test_a_grown_sheep_under_25_kg(kg: str) -> None:
    """Hill ewes weigh about 45 kg (common practice); the question stands in the flock's own unit."""
    seen = read({**EWE, "events/2026-07-08 weighing.md": f"A1 {kg}\n"}, "2026-08-01")
    assert told(seen) == [f"A1: {float(kg):.1f} kg is too light for a grown sheep: at least 25.0 kg is expected"]
    lb = float(kg) / POUND
    seen = read({**EWE, **POUNDS, "events/2026-07-08 weighing.md": f"A1 {lb:.1f}\n"}, "2026-08-01")
    assert told(seen) == [f"A1: {lb:.1f} lb is too light for a grown sheep: at least 55.1 lb is expected"]


def test_a_flock_of_small_sheep_is_not_asked_about() -> None:
    """Eight grown ewes of 20 to 27 kg are of a small breed (Soay ewes are about 24 kg, from memory)."""
    ewes = {f"sheep/S{place}.md": "---\nnote: ewe\nborn: 2021\n---\n" for place in range(8)}
    lines = "".join(f"S{place} {20 + place}\n" for place in range(8))
    assert told(read({**ewes, "events/2026-07-08 weighing.md": lines}, "2026-08-01")) == []


def test_a_lamb_of_unknown_age_beside_its_like() -> None:
    """Eight bought lambs without a birthday, seven of 28 to 34 kg and one of 3.1: it does not fit them."""
    notes = {f"sheep/B{place}.md": "---\nnote: lamb\nsex: ewe\n---\n" for place in range(8)}
    lines = "".join(f"B{place} {28 + place}\n" for place in range(7)) + "B7 3.1\n"
    seen = read({**notes, "events/2026-07-08 weighing.md": lines}, "2026-08-01")
    (message,) = told(seen)
    assert "B7" in message
    assert seen.facts.weights.sessions[0].mean == 31.0


class Kind(Value):
    """Mean birth weights and daily gains of singles, twins and triplets, and the spread of the gains; kg, invented."""

    births: tuple[float, float, float]
    gains: tuple[float, float, float]
    spread: float


FLOCKS = {
    "lowland": Kind((5.6, 4.6, 3.9), (0.33, 0.28, 0.25), 0.05),
    "heavy": Kind((6.0, 5.0, 4.2), (0.38, 0.33, 0.29), 0.05),
    "hill": Kind((4.2, 3.4, 2.8), (0.21, 0.17, 0.14), 0.04),
}  # fmt: skip


@pytest.mark.parametrize("unit", ["kg", "lb"])
@pytest.mark.parametrize("name", FLOCKS)
def test_true_weights_are_hardly_ever_asked_about(name: str, unit: str) -> None:
    """Of some 900 drawn weights of lambs (seed 20261130) at about 45 and 110 days, no more than one in a thousand."""
    kind, kg = FLOCKS[name], POUND if unit == "lb" else 1.0
    chance = np.random.default_rng(20261130)
    notes = dict(POUNDS) if unit == "lb" else {}
    lambs: list[tuple[str, date, float, float]] = []
    for place in range(250):
        size, day = int(chance.choice([1, 2, 3], p=[0.35, 0.5, 0.15])), date(2026, 3, 10)
        day += timedelta(days=int(chance.integers(0, 34)))
        lines = []
        for _ in range(size):
            birth = round(max(1.2, chance.normal(kind.births[size - 1], 0.5)) / kg, 1)
            lines.append(f"- {chance.choice(['ewe', 'ram'])} {birth} {unit}, tag {len(lambs):04d}")
            lambs.append((f"{len(lambs):04d}", day, birth * kg, chance.normal(kind.gains[size - 1], kind.spread)))
        notes[f"sheep/E{place}.md"] = "---\nnote: ewe\nborn: 2021-04\n---\n"
        notes[f"events/{day} lambing E{place}.md"] = "\n".join(lines) + "\n"
    for on, kind_of in ((date(2026, 5, 10), "weighing"), (date(2026, 7, 14), "weaning")):
        weights = [(tag, (birth + gain * (on - day).days) * chance.normal(1, 0.03)) for tag, day, birth, gain in lambs]
        notes[f"events/{on} {kind_of}.md"] = "".join(f"{tag} {weight / kg:.1f}\n" for tag, weight in weights)
    asked = unchecked(notes, "2026-08-01").facts.weights.unlikely
    assert len(asked) <= 2 * len(lambs) / 1000


def test_a_session_in_the_other_unit_is_asked_about_once() -> None:
    """Nine lambs typed in pounds where kilograms are read: the unit is asked about, and not each weight beside it."""
    lines = "".join(f"{700 + place} {62 + place}\n" for place in range(10))
    seen = read({**ten_lambs(), "events/2026-07-08 weaning.md": lines}, "2026-08-01")
    assert codes(seen).count("K105") == 1
    assert told(seen) == []
