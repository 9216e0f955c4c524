"""Days and moments as a shepherd says them, the same in every locale."""

from __future__ import annotations

from datetime import date, datetime

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_words(value: date) -> str:
    """25 Jun 2026."""
    return f"{value.day} {MONTHS[value.month - 1]} {value.year}"


def moment_words(value: datetime) -> str:
    """25 Jun 2026 08:00."""
    return f"{day_words(value.date())} {value:%H:%M}"
