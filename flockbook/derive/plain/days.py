"""Days and moments as a shepherd says them, the same in every locale."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from flockbook.roll import ONE_YEAR

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
DAY = timedelta(1)
WEEK_DAYS = 7
YEAR = timedelta(ONE_YEAR)
MEAN_YEAR_DAYS = 365.25  # with its share of leap years


def day_words(value: date) -> str:
    """25 Jun 2026."""
    return f"{value.day} {MONTHS[value.month - 1]} {value.year}"


def moment_words(value: datetime) -> str:
    """25 Jun 2026 08:00."""
    return f"{day_words(value.date())} {value:%H:%M}"
