"""How many are still alive on each day, from animals that died and animals that were only watched for a while.

Kaplan–Meier: an animal that was sold or is still alive counts as at risk up to and including its last day, so one that
left on the day another died was still at risk of that death. Deaths on day 0 (the day of birth) are deaths like others.
Source: Kaplan & Meier 1958; standard errors by Greenwood 1926. Litter mates are not independent: see `intervals`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from math import exp, log, sqrt

from compiler.shape import Value
from flockbook.derive.plain.intervals import Z


class Step(Value):
    """A day on which animals died: at risk that day, died, share alive after it, and its standard error.

    `se` is None once none are left alive: Greenwood's formula has no value there.
    """

    day: int
    at_risk: int
    died: int
    share: float
    se: float | None


def life_table(times: Sequence[int], died: Sequence[bool]) -> tuple[Step, ...]:
    """One step for each day with a death, in order; empty where nobody died.

    `times` is each animal's age in days at death or when last known alive, `died` says which.
    Raises ValueError for lists of unequal length or a day below 0.
    """
    if len(times) != len(died):
        raise ValueError(f"{len(times)} times but {len(died)} fates")
    if times and min(times) < 0:
        raise ValueError(f"day {min(times)} is before birth")
    deaths = Counter(day for day, dead in zip(times, died, strict=True) if dead)
    leavers = Counter(times)
    steps: list[Step] = []
    at_risk, share, variance = len(times), 1.0, 0.0
    for day in sorted(leavers):
        dead = deaths[day]
        if dead:
            share *= (at_risk - dead) / at_risk
            variance += dead / (at_risk * (at_risk - dead)) if dead < at_risk else 0.0
            steps.append(Step(day, at_risk, dead, share, share * sqrt(variance) if share else None))
        at_risk -= leavers[day]
    return tuple(steps)


def alive_after(steps: Sequence[Step], day: int) -> float:
    """The share still alive after `day`: that of the last step up to it, 1.0 before the first."""
    return next((step.share for step in reversed(steps) if step.day <= day), 1.0)


def limits(step: Step) -> tuple[float, float] | None:
    """95 % limits of a step's share, which stay within 0–1; None where the step has no standard error.

    Source: Kalbfleisch & Prentice (log-minus-log scale).
    """
    if step.se is None:
        return None
    reach = exp(Z * step.se / (step.share * -log(step.share)))
    return step.share**reach, step.share ** (1 / reach)
