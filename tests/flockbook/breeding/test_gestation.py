"""Due dates, windows, returns, scan and booster days, against printed dates and published figures.

Rows marked (D) are worked out from the published constants by counting days; the other expected dates are printed.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.derive.breeding.gestation import (
    BREEDS,
    Cycle,
    Gestation,
    Span,
    breed_length,
    crayon_changes,
    lengths,
    moved_to_length,
    return_gaps,
    scan_window,
    shift,
)

FLOCK = Gestation()
DAYS = st.dates(date(1990, 1, 1), date(2060, 12, 31))


def carried(days: int) -> Gestation:
    """A gestation of so many days, with the usual five days either side."""
    return Gestation(mean=days, shortest=days - 5, longest=days + 5)


@pytest.mark.parametrize(
    ("service", "days", "due"),
    [
        # Peeper Hollow Farm, "Due dates": 29 Sep → 26 Feb and 10 Oct → 9 Mar, 150 days, any spring without a leap day.
        (date(2006, 9, 29), 150, date(2007, 2, 26)),
        (date(2006, 10, 10), 150, date(2007, 3, 9)),
        # The Derby Farm, Feb 2012.
        (date(2011, 9, 20), 145, date(2012, 2, 12)),
        # A flock diary of 13 Sep 2009 (service date inferred): "about 4 Feb".
        (date(2009, 9, 12), 145, date(2010, 2, 4)),
        # New Liberty Farm, 23 Mar 2006: Thursday 30 Mar 2006 is day 144.
        (date(2005, 11, 6), 144, date(2006, 3, 30)),
    ],
)
def test_printed_due_dates(service: date, days: int, due: date) -> None:
    """Five pairs of dates printed by breeders fix the convention: the day of service is day 0."""
    assert carried(days).due(service) == due


@pytest.mark.parametrize(
    ("service", "due"),
    [
        (date(2025, 1, 1), date(2025, 5, 28)),
        (date(2024, 1, 1), date(2024, 5, 27)),  # a leap day inside
        (date(2025, 8, 1), date(2025, 12, 26)),
        (date(2025, 10, 15), date(2026, 3, 11)),
        (date(2025, 11, 5), date(2026, 4, 1)),
        (date(2023, 10, 15), date(2024, 3, 10)),  # a leap day inside
        (date(2027, 10, 1), date(2028, 2, 25)),  # ends before the leap day
    ],
)
def test_due_at_147_days(service: date, due: date) -> None:
    """The mean of 147 days (New Mexico State University) counted by hand, leap days included (D)."""
    assert FLOCK.due(service) == due


def test_other_lengths_from_new_year() -> None:
    """148 and 150 days from 1 January 2025 end on 29 and 31 May (D)."""
    assert carried(148).due(date(2025, 1, 1)) == date(2025, 5, 29)
    assert carried(150).due(date(2025, 1, 1)) == date(2025, 5, 31)


def test_window_of_a_service() -> None:
    """A service on 15 October 2025 has the window 6 to 16 March 2026 (142–152 d, Schoenian; D)."""
    assert FLOCK.window(date(2025, 10, 15)) == Span(date(2026, 3, 6), date(2026, 3, 16))


def test_joining_dates() -> None:
    """Ram in 15 October, out 19 November 2025: watch, first, last and scan days.

    Watch from day 138: Current Therapy in Large Animal Theriogenology. First + 142, last + 152: Streamland NZ.
    Scan window: Rural News NZ. Dates counted by hand (D).
    """
    ram_in, ram_out = date(2025, 10, 15), date(2025, 11, 19)
    assert shift(ram_in, FLOCK.watch_day) == date(2026, 3, 2)
    assert FLOCK.season(ram_in, ram_out) == Span(date(2026, 3, 6), date(2026, 4, 20))
    assert scan_window(ram_in, ram_out) == Span(date(2026, 1, 3), date(2026, 1, 23))


@pytest.mark.parametrize(("length", "days"), [(35, 21), (54, 2), (55, 1), (56, 0), (90, 0)])
def test_scan_window_closes_after_55_days(length: int, days: int) -> None:
    """A joining of 55 days leaves one day for the scan, a longer one none (worked out from Rural News NZ)."""
    ram_in = date(2025, 10, 15)
    window = scan_window(ram_in, ram_in + timedelta(days=length))
    assert len(list(window or ())) == days


def test_next_heat() -> None:
    """A ewe marked on 12 September 2009 is watched for on 29 September; the return band is 26 September to 1 October.

    The pair of dates is printed in a flock diary of 13 Sep 2009; the band 14–19 d is New Mexico State University's.
    """
    cycle, mark = Cycle(), date(2009, 9, 12)
    assert cycle.next_heat(mark) == date(2009, 9, 29)
    assert cycle.return_band(mark) == Span(date(2009, 9, 26), date(2009, 10, 1))


@pytest.mark.parametrize("cycle", [Cycle(), Cycle(17, 17, 17), Cycle(16, 13, 19), Cycle(14, 14, 19), Cycle(19, 14, 19)])
def test_return_gaps_keep_limits_and_mean(cycle: Cycle) -> None:
    """The spread of return intervals adds up to 1, stays in the band and has the cycle's mean exactly."""
    gaps = return_gaps(cycle)
    assert [days for days, _ in gaps] == list(range(cycle.shortest, cycle.longest + 1))
    assert sum(chance for _, chance in gaps) == pytest.approx(1)
    assert sum(days * chance for days, chance in gaps) == pytest.approx(cycle.mean)


def test_lengths_agree_with_metodiev() -> None:
    """Normal(150.59, 2.032) puts 77.21 % of pregnancies on days 149–153, 18.55 % on 150 and 18.19 % on 151.

    Metodiev 2019, IJIAAR 3(4):636–641, 830 Île-de-France records. The first figure fixes the spread; the two
    single days need only agree within what 830 records can tell.
    """
    spread = lengths(Gestation(150.59, 2.032, 145, 157))
    chance = dict(enumerate(spread.chances, spread.first))
    assert sum(chance[day] for day in range(149, 154)) == pytest.approx(0.7721, abs=0.0005)
    sampling = 2 * (0.1855 * 0.8145 / 830) ** 0.5
    assert chance[150] == pytest.approx(0.1855, abs=sampling)
    assert chance[151] == pytest.approx(0.1819, abs=sampling)


def test_most_ewes_lamb_at_145_to_149_days() -> None:
    """After a mark most ewes lamb at 145–149 days: J. Morgan, Sheep Canada, spring 2011."""
    spread = lengths(FLOCK)
    near = sum(chance for day, chance in enumerate(spread.chances, spread.first) if 145 <= day <= 149)
    assert 0.5 < near < 0.9


def test_lengths_stay_within_the_extremes() -> None:
    """The default runs over 138–159 days (Schoenian), sums to 1 and keeps its mean and spread."""
    spread = lengths(FLOCK)
    days = range(spread.first, spread.first + len(spread.chances))
    mean = sum(day * chance for day, chance in zip(days, spread.chances, strict=True))
    variance = sum((day - mean) ** 2 * chance for day, chance in zip(days, spread.chances, strict=True))
    assert (days[0], days[-1]) == (138, 159)
    assert sum(spread.chances) == pytest.approx(1)
    assert mean == pytest.approx(147, abs=0.01)
    assert variance == pytest.approx(2.3**2 + 1 / 12, abs=0.02)  # a twelfth comes from cutting into whole days


def test_extremes_of_a_broken_mean_are_whole_days_outward() -> None:
    """A mean of 150.59 days runs from 141 (9 below, rounded down) to 163 (12 above, rounded up)."""
    spread = lengths(Gestation(150.59, 2.032, 145, 157))
    assert (spread.first, spread.first + len(spread.chances) - 1) == (141, 163)


def test_lengths_reach_as_far_as_the_window() -> None:
    """A window wider than the extremes widens the run of days."""
    spread = lengths(Gestation(147, 2.3, 130, 165))
    assert (spread.first, spread.first + len(spread.chances) - 1) == (130, 165)


@given(st.floats(100, 200), st.floats(1e-9, 30))
def test_lengths_always_sum_to_one(mean: float, sd: float) -> None:
    """Any gestation the settings accept gives chances that sum to 1."""
    assert sum(lengths(Gestation(mean, sd, 100, 200)).chances) == pytest.approx(1)


@given(DAYS, DAYS)
def test_sire_window_mirrors_the_due_window(service: date, lambing: date) -> None:
    """A service lies in the sire window of a lambing exactly when the lambing lies in the window of the service."""
    lambing = min(max(lambing, service + timedelta(days=130)), service + timedelta(days=165))
    assert (service in FLOCK.sire_window(lambing)) == (lambing in FLOCK.window(service))


def test_sire_window() -> None:
    """Lambs born on 11 March 2026 have a sire who was there between 10 and 20 October 2025 (D)."""
    assert FLOCK.sire_window(date(2026, 3, 11)) == Span(date(2025, 10, 10), date(2025, 10, 20))


def test_unlisted_breeds_have_no_published_length() -> None:
    """Crosses and unlisted breeds have none (reproduction references 1.1 list no others)."""
    assert [breed_length(breed) for breed in ("Cheviot", "Suffolk x Cheviot", "")] == [None, None, None]


@pytest.mark.parametrize("flock", [Gestation(147.5), Gestation(100, 2, 100, 200), Gestation(200, 2, 100, 200)])
def test_every_breed_moves_any_flock(flock: Gestation) -> None:
    """No setting that is accepted alone fails when a breed moves it."""
    assert [moved_to_length(row.days, flock).days for row in BREEDS] == [row.days for row in BREEDS]


@pytest.mark.parametrize(
    "wrong",
    [
        {"mean": 17},
        {"mean": float("nan")},
        {"mean": 153},
        {"shortest": 148},
        {"longest": 146},
        {"longest": 201},
        {"shortest": 99},
        {"sd": 0},
        {"sd": -1},
        {"sd": 31},
        {"sd": float("nan")},
    ],
)
def test_implausible_lengths_are_refused(wrong: dict[str, float]) -> None:
    """A length no sheep has is refused with a message that names it."""
    with pytest.raises(ValueError, match="gestation"):
        Gestation(**wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize("wrong", [(13, 14, 19), (20, 14, 19), (17, 0, 19), (17, 14, 101)])
def test_implausible_cycles_are_refused(wrong: tuple[int, int, int]) -> None:
    """A cycle outside its own band is refused with a message that names it."""
    with pytest.raises(ValueError, match="heat cycle"):
        Cycle(*wrong)


def test_edges_that_are_accepted() -> None:
    """The limits themselves are allowed."""
    assert Gestation(100, 30, 100, 200).days == 100
    assert Gestation(200, 30, 100, 200).days == 200
    assert Cycle(1, 1, 100).mean == 1
    assert Gestation(147.5).days == 148
    assert Gestation(147.49).days == 147


def test_crayon_changes() -> None:
    """Every 16 days, so that a return (17 d) shows in the next colour; never on the day the ram leaves."""
    ram_in = date(2025, 10, 15)
    assert crayon_changes(Span(ram_in, date(2025, 11, 19))) == (date(2025, 10, 31), date(2025, 11, 16))
    assert crayon_changes(Span(ram_in, date(2025, 10, 31))) == ()
    assert crayon_changes(Span(ram_in, date(2025, 11, 1))) == (date(2025, 10, 31),)
    assert crayon_changes(Span(ram_in, date(2025, 11, 19)), every=17) == (date(2025, 11, 1), date(2025, 11, 18))


@given(st.dates(), st.integers(-(10**7), 10**7))
def test_shift_never_leaves_the_calendar(day: date, days: int) -> None:
    """Any date moved by any number of days is a date: the exact one, or the edge of the calendar."""
    moved = shift(day, days)
    assert moved in (date.min, date.max) or (moved - day).days == days


def test_span_holds_both_ends() -> None:
    """A span holds its first and last day, and none where the last comes before the first."""
    span = Span(date(2026, 3, 1), date(2026, 3, 3))
    assert list(span) == [date(2026, 3, 1), date(2026, 3, 2), date(2026, 3, 3)]
    assert [date(2026, 2, 28) in span, date(2026, 3, 1) in span, date(2026, 3, 3) in span] == [False, True, True]
    assert date(2026, 3, 4) not in span
    assert list(Span(date(2026, 3, 3), date(2026, 3, 1))) == []
