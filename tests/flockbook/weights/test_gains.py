"""What lambs gain, from typed notes: published rows and plain arithmetic."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from flockbook.derive.weights.gains import Growth
from flockbook.handover.facts import facts_object
from tests.flockbook.small import read

EWE = {"sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2003\n---\n"}


def grown(born: str, birth: str, weighed: dict[str, str], units: str = "metric") -> Growth:
    """The growth of lamb 627."""
    notes = {
        **EWE,
        "flock.yaml": f"flock: Corrie Hask\nunits: {units}\n",
        f"{born} lambing Bramble.md": f"- ewe{' ' + birth if birth else ''}, tag 627\n",
        **{f"{day} weighing.md": f"- 627 {weight}\n" for day, weight in weighed.items()},
    }
    return read(notes, "2026-11-01").facts.weights.gains["627"]


def after(day: str, days: int) -> str:
    """The day that many days later."""
    return (date.fromisoformat(day) + timedelta(days=days)).isoformat()


def test_a_lamb_of_a_published_flock() -> None:
    """Row W3: lamb 627, born 2.7 kg, 16.3 kg at 125 days: 0.1088 kg a day (ILRI's open Dorper x Red Maasai
    data set).
    """
    assert grown("2026-04-01", "2.7 kg", {after("2026-04-01", 125): "16.3 kg"}).adg == pytest.approx(0.1088, abs=1e-9)


def test_a_lamb_in_pounds() -> None:
    """Row W2: 7.5 lb at birth, 45 lb at 66 days: 0.568182 lb a day (growth references, inputs of a breeder's
    article).
    """
    found = grown("2026-04-01", "7.5 lb", {after("2026-04-01", 66): "45"}, "us").adg
    assert found is not None
    assert found / 0.45359237 == pytest.approx(0.568182, abs=1e-6)


@pytest.mark.parametrize(("year", "days"), [(2023, 61), (2024, 62)])
def test_days_over_a_leap_day(year: int, days: int) -> None:
    """Rows W1 and W1b: 2 Jan to 4 Mar is 61 days, 62 in a leap year; 10 lb to 62 lb (Penn State Extension)."""
    found = grown(f"{year}-01-02", "10 lb", {f"{year}-03-04": "62 lb"}, "us").adg
    assert found is not None
    assert found / 0.45359237 == pytest.approx(52 / days, abs=1e-9)
    assert found / 0.45359237 * 60 + 10 == pytest.approx({61: 61.147541, 62: 60.322581}[days], abs=1e-6)


def test_between_two_weighings() -> None:
    """32.0 kg to 36.2 kg in 14 days is 0.3 kg a day (plain arithmetic)."""
    found = grown("2026-04-01", "", {"2026-08-01": "32.0", "2026-08-15": "36.2"})
    assert [item.gain for item in found.weights] == [None, pytest.approx(0.3)]
    assert found.adg == pytest.approx(0.3)


def test_a_doubtful_weight_takes_no_part() -> None:
    """362 kg is asked about: it is shown, and no gain rests on it until `sure: yes`."""
    found = grown("2026-04-01", "4 kg", {"2026-08-01": "32.0", "2026-08-15": "362"})
    assert [item.sure for item in found.weights] == [True, False]
    assert found.adg == pytest.approx(28 / 122)


def test_a_lamb_weighed_once_without_a_birth_weight() -> None:
    """Nothing is known of its gain, and the facts say null."""
    notes = {**EWE, "2026-04-01 lambing Bramble.md": "- ewe, tag 627\n", "2026-08-01 weighing.md": "- 627 32\n"}
    (found,) = facts_object(read(notes, "2026-11-01"))["growth"]
    assert (found["adg_kg"], found["birth_kg"]) == (None, None)
    assert found["weights"] == [{"date": "2026-08-01", "kg": 32.0}]


def test_a_weighing_still_to_come_counts_for_nothing() -> None:
    """On the day before a weighing the lamb has no gain by it."""
    notes = {
        **EWE,
        "2026-04-01 lambing Bramble.md": "- ewe 4 kg, tag 627\n",
        "2026-08-01 weighing.md": "- 627 32\n",
        "2026-08-15 weighing.md": "- 627 36.2\n",
    }
    assert len(read(notes, "2026-08-15").facts.weights.gains["627"].weights) == 1
    assert len(read(notes, "2026-08-15T20:00").facts.weights.gains["627"].weights) == 2
