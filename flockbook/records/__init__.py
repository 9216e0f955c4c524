"""Kinds of note, one family a file; `KINDS` is all that the flock book knows how to read."""

from __future__ import annotations

from typing import Any

from compiler.schema import Kind
from flockbook.records import breeding, growth, health, remarks, sheep, trade

KINDS: tuple[Kind[Any], ...] = (
    *sheep.KINDS,
    *breeding.KINDS,
    *health.KINDS,
    *growth.KINDS,
    *trade.KINDS,
    *remarks.KINDS,
)
