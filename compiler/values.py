"""Readers of typed values: every scalar is text until the field that holds it says what it is."""

from __future__ import annotations

from compiler.amounts import (
    AREA,
    COUNT,
    DRINK,
    HOURS,
    LENGTH,
    LENGTH_IN_DAYS,
    NUMBER,
    PERCENT,
    SHARE,
    SPAN_OF_TIME,
    TEMPERATURE,
    VOLUME,
    WEIGHT,
    Amount,
    Duration,
    Temperature,
    Volume,
    Weight,
)
from compiler.dates import DATE, DATES, PARTIAL_DATE, TIME, WHEN, PartialDate, When
from compiler.scores import Score
from compiler.words import CHOICE, DATE_OR_SPAN, FLAG, SCORE, TEXT, Choice

__all__ = [
    "AREA",
    "CHOICE",
    "COUNT",
    "DATE",
    "DATES",
    "DATE_OR_SPAN",
    "DRINK",
    "FLAG",
    "HOURS",
    "LENGTH",
    "LENGTH_IN_DAYS",
    "NUMBER",
    "PARTIAL_DATE",
    "PERCENT",
    "SCORE",
    "SHARE",
    "SPAN_OF_TIME",
    "TEMPERATURE",
    "TEXT",
    "TIME",
    "VOLUME",
    "WEIGHT",
    "WHEN",
    "Amount",
    "Choice",
    "Duration",
    "PartialDate",
    "Score",
    "Temperature",
    "Volume",
    "Weight",
    "When",
]
