"""What stands on a medicine's label, and sums of money: what is read, what is refused, what to type instead."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given

from compiler.schema import Fault, Reader
from flockbook.records.labels import DOSE_RATE, DOSE_TEXT, WITHDRAWAL, DoseRate, Withdrawal
from flockbook.records.prices import MONEY
from tests.compiler.test_values import (
    ABSURD,
    ANY_TEXT,
    JUNE,
    fault,
    points_into_the_text,
    reads_its_own_examples,
    survives,
)

READERS: tuple[Reader[Any], ...] = (DOSE_TEXT, DOSE_RATE, MONEY, WITHDRAWAL)


def test_a_dose_needs_its_unit() -> None:
    """`4` as a dose could be anything: what to type is shown with the figure in it."""
    assert "`4 ml`" in fault(DOSE_TEXT, "4").help


def test_a_dilution_is_no_dose() -> None:
    """`1:10` is 70 in YAML 1.1 (measured); here it is told apart from a volume."""
    assert fault(DOSE_TEXT, "1:10").help


@pytest.mark.parametrize(
    ("typed", "ml", "per_kg"),
    [
        ("1 ml per 20 kg", 1, 20), ("1 mL per 40 lb", 1, 18.1436948), ("1 ml/20 kg", 1, 20),
        ("0.2 ml per kg", 0.2, 1),
        ("2 ml each", 2, None), ("2ml per head", 2, None), ("2 ml a head", 2, None), ("1ml per 10kg", 1, 10),
    ],
)  # fmt: skip
def test_dose_rates(typed: str, ml: float, per_kg: float | None) -> None:
    """A dose for a weight, or for each animal."""
    found = DOSE_RATE.read(typed, JUNE)
    assert isinstance(found, DoseRate)
    assert found.ml == ml
    assert found.per_kg == pytest.approx(per_kg)
    assert found.amount == pytest.approx(ml if per_kg is None else ml / per_kg)


@pytest.mark.parametrize(
    "typed",
    [
        "1 ml",
        "1 per 20 kg",
        "1 ml per 0 kg",
        "0 ml per 20 kg",
        "0.2 mg/kg",
        "1 ml per 20 ml",
        ".5 ml per 10 kg",
        "",
        "1 ml per",
    ],
)
def test_no_dose_rates(typed: str) -> None:
    """A rate with a part missing, a nought in it, or a mass of substance, is a fault with a cure."""
    assert fault(DOSE_RATE, typed).help


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("28 days", Withdrawal(28, None, False, "28 days")),
        ("72 h", Withdrawal(None, 72, False, "72 h")),
        ("1.5 days", Withdrawal(2, None, False, "1.5 days")),
        ("1.5 months", Withdrawal(47, None, False, "1.5 months")),
        ("90 min", Withdrawal(None, 1.5, False, "90 min")),
        ("none", Withdrawal(0, None, False, "none")),
        ("0", Withdrawal(0, None, False, "0")),
        ("not for milk", Withdrawal(None, None, True, "not for milk")),
        ("Not for use in milk, sheep", Withdrawal(None, None, True, "Not for use in milk, sheep")),
    ],
)
def test_waiting_periods(typed: str, found: Withdrawal) -> None:
    """Parts of days are rounded up to days, hours stay hours, and a ban is a ban."""
    assert WITHDRAWAL.read(typed, JUNE) == found
    assert found.zero == (typed in ("none", "0"))


@pytest.mark.parametrize("typed", ["28", "unknown", "none known", "see label", "0.", "n/a", "", "-"])
def test_no_waiting_periods(typed: str) -> None:
    """Nothing that is not plainly a period, or plainly none, is taken for one."""
    assert fault(WITHDRAWAL, typed).help


@pytest.mark.parametrize(
    ("typed", "amount", "basis"),
    [
        ("92", "92", ""),
        ("92.50 each", "92.50", "each"),
        ("640 total", "640", "total"),
        ("£92 a head", "92", "each"),
        ("92.10 per head", "92.10", "each"),
    ],
)
def test_money(typed: str, amount: str, basis: str) -> None:
    """A sum stays exact, and says whether it is for each or for all."""
    found = MONEY.read(typed, JUNE)
    assert not isinstance(found, Fault)
    assert (str(found.amount), found.basis, found.text) == (amount, basis, typed)
    assert isinstance(found.amount, Decimal)


@pytest.mark.parametrize("typed", ["1,204", "a lot", "-5", ".50", "92 EUR each", ""])
def test_no_money(typed: str) -> None:
    """What is no sum is a fault with a cure."""
    assert fault(MONEY, typed).help


def test_a_fault_in_a_sum_marks_the_figures() -> None:
    """The currency sign in front is not what is wrong."""
    assert (fault(MONEY, "£1,204").start, fault(MONEY, "£1,204").length) == (1, 5)


@pytest.mark.parametrize("figures", ABSURD)
@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.name)
def test_absurd_numbers_do_not_crash(figures: str, reader: Reader[Any]) -> None:
    """Thousands of figures are a fault, never an error of the program."""
    survives(reader, figures)


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.name)
def test_each_reader_reads_its_own_examples(reader: Reader[Any]) -> None:
    """The reference page prints these: they must be right."""
    reads_its_own_examples(reader)


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.name)
@given(ANY_TEXT)
def test_any_text(reader: Reader[Any], text: str) -> None:
    """No text makes a reader raise; a fault lies inside the text and says something."""
    points_into_the_text(reader, text)
