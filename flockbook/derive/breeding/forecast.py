"""How many ewes to expect on each day: the due list added up, ewe by ewe."""

from __future__ import annotations

from flockbook.derive.breeding.due import DueList
from flockbook.derive.breeding.lambing_odds import Forecast, flock_forecast, forecast_span


def forecast(due: DueList) -> Forecast:
    """The running season's forecast from the first to the last possible day; empty where nobody is due."""
    odds = [row.odds for row in due.rows if row.season == due.season]
    span = forecast_span(odds)
    return flock_forecast(odds, span.first, span.last) if span else Forecast((), (), 0.0)
