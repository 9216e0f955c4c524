"""Money from notes: what came in, what it cost, which season it belongs to, to the cent."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.derive.farm.budget import break_even, cents
from flockbook.derive.farm.money import MoneyBook, MoneySeason
from flockbook.derive.farm.payments import Year
from flockbook.handover.facts import facts_object
from flockbook.saying.because import words_of_reason
from tests.flockbook.small import read

Notes = dict[str, str]
FLOCK: Notes = {
    "sheep/R1 Pike.md": "---\nnote: ram\nborn: 2023-04-01\n---\n",
    "sheep/E1 Bramble.md": "---\nnote: ewe\nborn: 2021-04-01\n---\n",
    "sheep/E2 Fern.md": "---\nnote: ewe\nborn: 2021-04-01\n---\n",
    "events/2024-11-15 joining Pike.md": "---\nnote: joining\nrams: Pike\newes: E1, E2\nout: 2024-12-20\n---\n",
    "events/2025-04-14 lambing E1.md": "---\nnote: lambing\newe: E1\n---\n- ewe 4 kg, tag 601\n- ram 4 kg, tag 602\n",
    "events/2025-04-15 lambing E2.md": "---\nnote: lambing\newe: E2\n---\n- ram 4 kg, tag 603\n",
}


def note(name: str, *fields: str) -> Notes:
    """One note by its file name and fields."""
    return {f"events/{name}.md": "---\n" + "\n".join(fields) + "\n---\n"}


def book(*notes: Notes, on: str = "2026-06-10", settings: str = "flock: Small\n") -> MoneyBook:
    """The money of the small flock with some notes more."""
    every = dict(FLOCK) | {"flock.yaml": settings}
    for one in notes:
        every |= one
    return read(every, on).facts.farm.money


def season(found: MoneyBook, year: int) -> MoneySeason:
    """One season."""
    return next(item for item in found.seasons if item.season == year)


def test_lambs_by_the_head_and_in_total() -> None:
    """Two lambs at 92.50 each and one for 88 in all are 273, in the season they were born."""
    found = book(
        note("2025-09-06 sale fat lambs", "sheep: 601, 602", "use: slaughter", "price: 92.50 each"),
        note("2026-02-06 sale last lamb", "sheep: 603", "use: store", "price: 88"),
    )
    made = season(found, 2025)
    assert (made.budget.income, made.lambs_sold, made.price) == (Decimal("273.00"), 3, Decimal(91))
    assert made.exposed == 2


def test_rutgers_table_62_through_notes() -> None:
    """Rutgers, Table 62, Costs and returns for spring lamb (1996): receipts 94.00, variable 194.95, return -100.95.

    Its 6 hours of work at 14.48 are this flock's own labour, its interest is 9.28.
    """
    costs = {"feed": "27.20", "hay": "35.21", "pasture": "11.08", "vet": "8.80", "bedding": "6.00", "haulage": "7.50",
             "shearing": "3.00", "interest": "9.28"}  # fmt: skip
    income = {"lamb sales": "76.50", "wool": "10.00", "culls": "7.50"}
    notes = [note(f"2025-05-0{n} money {kind}", f"amount: {sum_}") for n, (kind, sum_) in enumerate(costs.items(), 1)]
    notes += [
        note(f"2025-06-0{n} money {kind}", f"amount: {sum_}", "in: yes")
        for n, (kind, sum_) in enumerate(income.items(), 1)
    ]
    made = season(book(*notes, settings="flock: Small\nown hours: 6\nhour worth: 14.48\n"), 2025).budget
    assert made.income == Decimal("94.00")
    assert made.costs + made.own_labour == Decimal("194.95")
    assert made.margin_after_labour == Decimal("-100.95")
    assert made.margin == Decimal("-14.07")


def test_break_even_per_lamb() -> None:
    """(costs - all other income) ÷ lambs sold, the form of the AgriLife budgets of 2016; it may be below nought."""
    sale = note("2025-09-06 sale fat lambs", "sheep: 601, 602, 603", "price: 90 each")
    feed, wool = note("2025-02-01 money feed", "amount: 200"), note("2025-07-01 money wool", "amount: 20.01", "in: yes")
    made = season(book(sale, feed, wool), 2025).budget
    assert made.break_even is not None
    assert cents(made.break_even) == Decimal("60.00")
    subsidy = note("2025-07-02 money subsidy", "amount: 1510", "in: yes")
    below = season(book(sale, feed, wool, subsidy), 2025).budget.break_even
    assert below == break_even(Decimal(200), Decimal("1530.01"), Decimal(3))
    assert below is not None
    assert below < 0


def test_own_labour_is_counted_apart() -> None:
    """The margin stands twice: unpaid, and after what own hours are worth."""
    made = season(book(note("2025-02-01 money feed", "amount: 50"), settings="own hours: 10\nhour worth: 12.5\n"), 2025)
    assert made.budget.margin == -50
    assert made.budget.margin_after_labour == -175
    assert made.budget.margin_per_ewe == -25


@pytest.mark.parametrize(
    ("month", "day", "expected"),
    [
        (10, date(2024, 9, 30), 2024),
        (10, date(2024, 10, 1), 2025),
        (10, date(2025, 4, 1), 2025),
        (3, date(2025, 2, 28), 2024),  # lambing in September: money year from March
        (3, date(2025, 3, 1), 2025),
        (7, date(2025, 7, 1), 2026),  # lambing in January
        (12, date(2025, 11, 30), 2025),  # lambing in June
    ],
)
def test_money_year_begins_half_a_year_before_lambing(month: int, day: date, expected: int) -> None:
    """What is bought from autumn on belongs to the lambs of the coming spring, whenever the flock's spring is."""
    assert Year(month).season(day) == expected


def test_the_note_itself_has_the_last_word() -> None:
    """`season: 2026` in a note puts it there."""
    found = book(note("2024-12-20 money subsidy", "amount: 5", "in: yes", "season: 2024"))
    assert [item.season for item in found.seasons] == [2024]


def test_old_ewes_belong_to_the_year_they_are_sold_in() -> None:
    """A cull ewe sold in October is income of the season whose lambs she reared last, though feed is next season's."""
    found = book(
        note("2025-10-06 sale cull", "sheep: E1", "use: slaughter", "price: 71"),
        note("2025-10-07 money feed", "amount: 30"),
    )
    assert season(found, 2025).budget.income == 71
    assert season(found, 2026).budget.costs == 30


def test_one_payment_written_twice_counts_once() -> None:
    """A purchase and a money note of the same sum are one payment; the second is listed as left out."""
    purchase = note("2025-10-03 purchase ram", "from: Netherhope", "price: 720")
    purchase = {name: text + "- P233 Harrow, ram, born 2024-04-02\n" for name, text in purchase.items()}
    again = note("2025-10-04 money ram", "amount: 720")
    found = book(purchase, again)
    assert season(found, 2026).budget.costs_by_kind[0].kind == "rams bought"
    assert season(found, 2026).budget.costs == 720
    assert [words_of_reason(one.left_out) for one in found.left_out if one.left_out] == [
        "the same payment as events/2025-10-03 purchase ram.md"
    ]
    sure = book(purchase, note("2025-10-04 money ram", "amount: 720", "sure: yes"))
    assert season(sure, 2026).budget.costs == 1440


def test_wool_without_a_direction_is_left_out() -> None:
    """`for: wool` without `in: yes` could be either; it waits outside the sums until the note says."""
    found = book(note("2025-07-01 money wool", "amount: 31.20"))
    assert not found.seasons
    assert found.left_out[0].amount == Decimal("31.20")
    paid = book(note("2025-07-01 money wool", "amount: 31.20", "in: no"))
    assert season(paid, 2025).budget.costs == Decimal("31.20")


def test_a_group_total_is_shared_and_loses_no_cent() -> None:
    """Of a price for two lambs and an old ewe a third is hers; the three shares are 100.01 again, to the cent."""
    found = book(note("2025-11-05 sale mixed", "sheep: 601, 602, E1", "price: 100.01 total"))
    made = season(found, 2025).budget
    assert cents(made.income) == Decimal("100.01")
    assert {line.kind for line in made.income_by_kind} == {"lambs", "ewes"}


def test_sheep_that_are_not_in_the_book_were_paid_for_too() -> None:
    """A tag that was not found does not make its price vanish."""
    found = book(note("2025-09-06 sale fat lambs", "sheep: 601, 699", "price: 90 each"))
    assert season(found, 2025).budget.income == 180


def test_nothing_happens_before_its_day() -> None:
    """Sums dated after the day asked about are not counted yet."""
    assert not book(note("2025-09-06 sale fat lambs", "sheep: 601", "price: 90"), on="2025-09-06").seasons


def test_what_if_of_two_numbers() -> None:
    """As many lambs at as good a price gives the season's own margin; ten more lambs at another price gives theirs."""
    made = season(
        book(
            note("2025-09-06 sale", "sheep: 601, 602, 603", "price: 90 each"),
            note("2025-02-01 money feed", "amount: 70"),
        ),
        2025,
    )
    middle = next(cell for row in made.what_ifs for cell in row if cell.lambs_sold == 3 and cell.price == 90)
    assert middle.margin == made.budget.margin == 200


def test_facts_file_is_to_the_cent() -> None:
    """The facts file holds every sum rounded once."""
    notes = (
        dict(FLOCK)
        | note("2025-02-01 money feed", "amount: 10.10")
        | note("2025-09-06 sale", "sheep: 601, 602, 603", "price: 100 total")
    )
    row = facts_object(read(notes))["money"][0]
    assert (row["season"], row["income"], row["costs"], row["margin"]) == (2025, 100.0, 10.1, 89.9)
    assert (row["per_ewe_exposed"], row["break_even_per_lamb"]) == (44.95, 3.37)
    assert row["by_kind"] == {"feed": 10.1}


@given(st.lists(st.tuples(st.integers(1, 99_999), st.booleans()), min_size=1, max_size=6))
def test_margin_is_what_the_notes_add_up_to(sums: list[tuple[int, bool]]) -> None:
    """Whatever is written, the margin over all seasons is income less costs, to the cent."""
    notes = [
        note(
            f"2025-0{1 + n}-11 money thing{n}",
            f"amount: {pence // 100}.{pence % 100:02d}",
            f"in: {'yes' if came else 'no'}",
        )
        for n, (pence, came) in enumerate(sums)
    ]
    margin = sum((item.budget.margin for item in book(*notes).seasons), Decimal(0))
    assert margin == sum(Decimal(pence if came else -pence) / 100 for pence, came in sums)
