"""Checks of what the notes say together, one family a file. `CHECKS` is the list; a crash in one leaves the others standing."""

from __future__ import annotations

from typing import Any

from compiler.book import Check
from compiler.diagnostics import Rule
from flockbook.checks import breeding, dates, doses, leaving, medicines, season

CHECKS: tuple[Check[Any, Any, Any], ...] = (
    *dates.CHECKS,
    *breeding.CHECKS,
    *medicines.CHECKS,
    *doses.CHECKS,
    *leaving.CHECKS,
    *season.CHECKS,
)
RULES: tuple[Rule, ...] = (*dates.RULES, *breeding.RULES, *medicines.RULES, *doses.RULES, *leaving.RULES, *season.RULES)
