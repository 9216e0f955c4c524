"""How days and figures stand in the facts file."""

from __future__ import annotations

from datetime import date

ROUND = 9  # decimal places of figures that were worked out


def iso(value: date | None) -> str | None:
    """A date as text."""
    return value.isoformat() if value else None


def figure(value: float | None) -> float | None:
    """A figure without the last noise of floating point."""
    return None if value is None else round(value, ROUND)
