"""Ground, money, supplies and the register as plain values for the facts file: per hectare, money to the cent."""

from __future__ import annotations

from datetime import date
from typing import Any

from flockbook.derive.grazing import Grazing, Ground

ROUND = 9  # decimal places of figures that were worked out


def paddocks(found: Grazing) -> list[dict[str, Any]]:
    """One row for each ground, pens too."""
    return [paddock(ground) for ground in found.ground.values()]


def paddock(ground: Ground) -> dict[str, Any]:
    """One ground: the grazing that is running, else the last one; sheep-days of the last 365 nights per hectare."""
    last = ground.periods[-1] if ground.periods else None
    return {
        "paddock": ground.name,
        "mob": ground.standing[0][0] if ground.standing else None,
        "head": sum(head for _, head in ground.standing),
        "since": iso(ground.now.entered) if ground.now else None,
        "days_grazed": last.nights if last else None,
        "last_left": iso(ground.last_left),
        "days_rested": ground.rested,
        "return_from": iso(ground.return_from),
        "leave_by": iso(ground.leave_by),
        "days_over": ground.over,
        "sheep_days": round(ground.sheep_days, ROUND),
        "sheep_days_per_area": None if ground.per_hectare is None else round(ground.per_hectare, ROUND),
        "because": [
            {"note": item.note, "line": item.line, "rule": item.rule, "text": item.text} for item in ground.because
        ],
    }


def iso(day: date | None) -> str | None:
    """A date as text."""
    return day.isoformat() if day else None
