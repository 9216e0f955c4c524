"""Lengths of days, and days as the flock says them."""

from __future__ import annotations

from datetime import timedelta

from flockbook.manner import MONTHS as MONTHS
from flockbook.manner import day_words as day_words
from flockbook.manner import moment_words as moment_words
from flockbook.roll import ONE_YEAR

DAY = timedelta(1)
WEEK_DAYS = 7
YEAR = timedelta(ONE_YEAR)
MEAN_YEAR_DAYS = 365.25  # with its share of leap years
