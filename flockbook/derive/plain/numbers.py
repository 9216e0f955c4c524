"""Numbers with the word they count."""

from __future__ import annotations

# Kept before rounding up or down and before a figure is held against a limit, so that what is whole on paper stays
# whole: 15.000000000000002 mL at 5 mL a site is three sites, and 104.0 F is 40.0 C.
DIGITS = 9


def plural(count: int, one: str, many: str = "") -> str:
    """1 lamb, 2 lambs."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def days_words(days: int) -> str:
    """1 day, 12 days."""
    return plural(days, "day")


def days_old(days: int) -> str:
    """1 day old, 12 days old."""
    return f"{days_words(days)} old"
