"""Ages and numbers of days in words."""

from __future__ import annotations


def days_words(days: int) -> str:
    """1 day, 12 days."""
    return f"{days} day" if days == 1 else f"{days} days"


def days_old(days: int) -> str:
    """1 day old, 12 days old."""
    return f"{days_words(days)} old"
