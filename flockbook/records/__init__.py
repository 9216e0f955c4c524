"""Kinds of note, one family a file; `KINDS` is all that the flock book knows how to read."""

from __future__ import annotations

from typing import Any

from compiler.schema import Kind
from flockbook.records import (
    breeding,
    cupboard,
    growth,
    handling,
    health,
    places,
    pregnancy,
    rearing,
    remarks,
    sheep,
    trade,
    year,
)

KINDS: tuple[Kind[Any], ...] = (
    *sheep.KINDS,
    *breeding.KINDS,
    *pregnancy.KINDS,
    *rearing.KINDS,
    *handling.KINDS,
    *health.KINDS,
    *growth.KINDS,
    *places.KINDS,
    *year.KINDS,
    *trade.KINDS,
    *cupboard.KINDS,
    *remarks.KINDS,
)
