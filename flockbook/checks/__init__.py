"""Checks of what the notes say together, one family a file; a crash in one of `CHECKS` leaves the others standing."""

from __future__ import annotations

from typing import Any

from compiler.book import Check
from compiler.diagnostics import Rule
from flockbook.checks import (
    accounts,
    breeding,
    choosing,
    courses,
    dates,
    doses,
    findings,
    growth,
    health,
    identity,
    joinings,
    lambing_year,
    land,
    leaving,
    medicines,
    papers,
    parents,
    season,
    unread,
)

CHECKS: tuple[Check[Any, Any, Any], ...] = (
    *dates.CHECKS,
    *breeding.CHECKS,
    *medicines.CHECKS,
    *doses.CHECKS,
    *leaving.CHECKS,
    *courses.CHECKS,
    *health.CHECKS,
    *joinings.CHECKS,
    *lambing_year.CHECKS,
    *season.CHECKS,
    *growth.CHECKS,
    *land.CHECKS,
    *accounts.CHECKS,
    *identity.CHECKS,
    *choosing.CHECKS,
    *parents.CHECKS,
    *papers.CHECKS,
    *findings.CHECKS,
    *unread.CHECKS,
)
RULES: tuple[Rule, ...] = (
    *dates.RULES,
    *breeding.RULES,
    *medicines.RULES,
    *doses.RULES,
    *leaving.RULES,
    *courses.RULES,
    *health.RULES,
    *joinings.RULES,
    *lambing_year.RULES,
    *season.RULES,
    *growth.RULES,
    *land.RULES,
    *accounts.RULES,
    *identity.RULES,
    *choosing.RULES,
    *parents.RULES,
    *papers.RULES,
    *findings.RULES,
    *unread.RULES,
)
