"""Waiting periods over clock changes, leap days and year ends: free neither before the wall clock nor before the hours.

The days on which clocks change are those of the IANA time zone database (Europe/London: last Sundays of March and
October, 01:00 UTC; America/Chicago: second Sunday of March, first Sunday of November, 02:00). The sums are by hand.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flockbook.derive.medicine.periods import forward_days
from tests.flockbook.small import meat, milk, read
from tests.plainreading.until import days_skipping

LONDON, CHICAGO, ADELAIDE = "Europe/London", "America/Chicago", "Australia/Adelaide"


def flock(zone: str, doses: str, period: str) -> dict[str, str]:
    """One ewe, dosed once or more, in a time zone."""
    day = doses[:10]
    return {
        "flock.yaml": f"flock: Nether Yarrow\ntimezone: {zone}\n",
        "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "medicines/pen.md": f"---\nnote: medicine\nname: pen\nmeat withdrawal: {period}\nmilk withdrawal: "
        f"{period}\n---\n",
        f"events/{day} treatment C214.md": f"---\nmedicine: pen\ngiven: {doses}\n---\n",
    }


# W1, W10 and the house's own cautious rule: by the clock on the wall and by the hours gone by, whichever is later.
@pytest.mark.parametrize(
    ("zone", "doses", "period", "until"),
    [
        (LONDON, "2026-03-28 10:00", "72 h", "2026-03-31T11:00"),  # an hour was skipped: 10:00 is only 71 h later
        (LONDON, "2026-03-28 10:00", "7 days", "2026-04-04T11:00"),
        (LONDON, "2026-03-28 23:30", "2 days", "2026-03-31T00:30"),  # the hour leads into the next day
        (LONDON, "2026-03-29 00:30", "24 h", "2026-03-30T01:30"),
        (LONDON, "2026-03-28 01:30", "24 h", "2026-03-29T02:30"),  # 01:30 does not exist on the 29th
        (LONDON, "2026-10-24 10:00", "72 h", "2026-10-27T10:00"),  # 72 h are over at 09:00 by the wall: it waits on
        (LONDON, "2026-10-24 10:00", "7 days", "2026-10-31T10:00"),
        (LONDON, "2026-10-25 00:30", "24 h", "2026-10-26T00:30"),
        (CHICAGO, "2026-03-07 10:00", "48 h", "2026-03-09T11:00"),
        (CHICAGO, "2026-03-07 02:30", "24 h", "2026-03-08T03:30"),  # 02:30 does not exist on the 8th
        (CHICAGO, "2026-10-31 10:00", "48 h", "2026-11-02T10:00"),
        (CHICAGO, "2026-03-28 10:00", "72 h", "2026-03-31T10:00"),  # the day of London's change is like any other there
        (ADELAIDE, "2026-10-03 10:00", "24 h", "2026-10-04T11:00"),
        (LONDON, "2024-02-28 10:00", "2 days", "2024-03-01T10:00"),  # over a leap day
        (LONDON, "2025-02-28 10:00", "2 days", "2025-03-02T10:00"),  # and where there is none
        (LONDON, "2024-02-29 10:00", "365 days", "2025-02-28T10:00"),
        (LONDON, "2025-12-31 23:45", "30 min", "2026-01-01T00:15"),
        (LONDON, "2025-12-30 06:00", "72 h", "2026-01-02T06:00"),
        (LONDON, "2026-03-27 10:00, 2026-03-28 10:00", "48 h", "2026-03-30T11:00"),  # from the last of two
    ],
)
def test_a_dose_with_its_time(zone: str, doses: str, period: str, until: str) -> None:
    """W1, W4, W5, W10: the last dose and so many hours, never cut short by a clock."""
    notes = flock(zone, doses, period)
    before = datetime.fromisoformat(until) - timedelta(minutes=1)
    assert meat(read(notes, f"{before:%Y-%m-%dT%H:%M}"), "C214") == f"held {until}"
    assert meat(read(notes, until), "C214") == "clear"
    assert milk(read(notes, until), "C214") == f"held {until}"  # W8: the milking at that minute is thrown away too


@pytest.mark.parametrize(
    ("zone", "day", "period", "until"),
    [
        (LONDON, "2026-10-24", "72 h", "2026-10-28"),
        (LONDON, "2026-10-24", "7 days", "2026-11-01"),
        (LONDON, "2026-06-02", "7 days", "2026-06-10"),
        (LONDON, "2026-06-02", "60 h", "2026-06-06"),  # the end of the 2nd and 60 h: noon of the 5th, so the 6th
        (LONDON, "2024-02-28", "1 day", "2024-03-01"),
        (LONDON, "2024-02-29", "1 day", "2024-03-02"),
        (LONDON, "2025-12-31", "1 day", "2026-01-02"),
        (LONDON, "2026-03-28", "72 h", "2026-04-02"),  # the end of the 28th and 72 h: 1 April, 01:00, so the 2nd
        (LONDON, "2026-03-28", "7 days", "2026-04-06"),
        (CHICAGO, "2026-03-07", "24 h", "2026-03-10"),
        (CHICAGO, "2026-03-08", "24 h", "2026-03-10"),  # from the end of the day of the change: nothing is skipped
    ],
)
def test_a_dose_without_a_time(zone: str, day: str, period: str, until: str) -> None:
    """W2, W10: it counts from the end of its day; what ends within a day ends with it."""
    notes = flock(zone, day, period)
    before = datetime.fromisoformat(until) - timedelta(minutes=1)
    assert meat(read(notes, f"{before:%Y-%m-%dT%H:%M}"), "C214") == f"held {until}"
    assert meat(read(notes, f"{until}T00:00"), "C214") == "clear"


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from([LONDON, CHICAGO, ADELAIDE]),
    st.sampled_from(["2026-03-05", "2026-03-26", "2026-04-02", "2026-10-01", "2026-10-22", "2026-10-29", "2024-02-27"]),
    st.integers(0, 5 * 24 * 60),
    st.integers(1, 240),
    st.booleans(),
)
def test_never_free_before_the_hours_have_gone_by(zone: str, day: str, minutes: int, hours: int, timed: bool) -> None:
    """At the minute shown, so many hours have gone by since the latest moment at which the dose can have been given."""
    dose = datetime.fromisoformat(day) + timedelta(minutes=minutes)
    notes = flock(zone, f"{dose:%Y-%m-%d %H:%M}" if timed else f"{dose:%Y-%m-%d}", f"{hours} h")
    until = datetime.fromisoformat(meat(read(notes, f"{dose:%Y-%m-%dT%H:%M}"), "C214").removeprefix("held "))
    latest = dose if timed else datetime(dose.year, dose.month, dose.day, 23, 59)
    here = ZoneInfo(zone)
    real = latest.replace(tzinfo=here).astimezone(UTC).replace(second=0)
    imaginary = real.astimezone(here).replace(tzinfo=None) != latest  # a time that the clocks skipped
    assert until - latest >= timedelta(hours=hours)
    assert imaginary or until.replace(tzinfo=here).astimezone(UTC) - real >= timedelta(hours=hours)


@pytest.mark.parametrize(
    ("doses", "period", "until"),
    [
        ("2026-03-28 20:00", "36 h", "2026-03-30T09:00"),  # the clocks of London go forward on the 29th
        ("2026-03-28 20:00", "28 days", "2026-04-25T21:00"),
        ("2026-03-09 10:00", "48 h", "2026-03-11T10:00"),  # between the changes of New York and of London
        ("2026-10-03 10:00", "24 h", "2026-10-04T11:00"),  # Adelaide
        ("2026-06-02 10:00", "7 days", "2026-06-09T10:00"),  # none anywhere
        ("2026-10-25 00:30", "24 h", "2026-10-26T00:30"),  # back, never forward
    ],
)
def test_where_no_time_zone_is_written(doses: str, period: str, until: str) -> None:
    """An hour more over a day on which the clocks go forward in some land, never one less."""
    notes = flock(LONDON, doses, period)
    notes["flock.yaml"] = "flock: Nether Yarrow\n"
    assert meat(read(notes, doses[:10]), "C214") == f"held {until}"


@pytest.mark.parametrize("year", [2024, 2025, 2026, 2027])
def test_no_land_is_left_out(year: int) -> None:
    """The days are those of all zones that this machine knows (IANA time zone database)."""
    assert set(forward_days(year)) == days_skipping(year)
