"""Checks of what the notes say together, one family a file; a crash in one of `CHECKS` leaves the others standing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Rule
from flockbook.checks import (
    accounts,
    breeding,
    choosing,
    courses,
    dates,
    doses,
    extremes,
    findings,
    growth,
    health,
    identity,
    isolation,
    joinings,
    jotted,
    lambing_year,
    land,
    leaving,
    medicines,
    papers,
    parents,
    season,
    unread,
)
from flockbook.manner import speaking
from flockbook.seen import Seen

_CHECKS: tuple[Check[Any, Any, Any], ...] = (
    *dates.CHECKS,
    *breeding.CHECKS,
    *medicines.CHECKS,
    *doses.CHECKS,
    *leaving.CHECKS,
    *courses.CHECKS,
    *health.CHECKS,
    *joinings.CHECKS,
    *lambing_year.CHECKS,
    *isolation.CHECKS,
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
    *jotted.CHECKS,
    *extremes.CHECKS,
)


def in_her_manner(check: Check[Any, Any, Any]) -> Check[Any, Any, Any]:
    """A check whose messages are in the flock's own words, whichever flock was read before."""

    def run(findings: Seen) -> Iterable[Diagnostic]:
        with speaking(findings.settings.manner):
            return list(check.run(findings))

    return Check(check.name, run)


CHECKS = tuple(map(in_her_manner, _CHECKS))
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
    *isolation.RULES,
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
    *jotted.RULES,
    *extremes.RULES,
)
