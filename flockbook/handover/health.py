"""Illness and egg counts for the facts file: dates ISO, reductions in per cent, what is not known is null."""

from __future__ import annotations

from statistics import fmean
from typing import Any

from flockbook.derive.health.cases import Cases
from flockbook.derive.health.egg_counts import ReductionLimits
from flockbook.derive.health.reduction_tests import EggCounts, ReductionTest
from flockbook.derive.year.early_losses import EarlyLoss
from flockbook.handover.season import share
from flockbook.handover.values import figure, iso


def illness(found: Cases) -> list[dict[str, Any]]:
    """Every case, in order of time."""
    return [
        {
            "sheep": case.sheep,
            "problem": case.problem,
            "since": case.since.isoformat(),
            "recovered": case.recovered.isoformat() if case.recovered else None,
            "open": case.open,
            "sample": "; ".join(note.sample for note in case.notes if note.sample) or None,
            "result": "; ".join(note.result for note in case.notes if note.result) or None,
            "result_date": iso(max((note.result_date for note in case.notes if note.result_date), default=None)),
        }
        for case in found.all
    ]


def early_loss_row(item: EarlyLoss) -> dict[str, Any]:
    """Lambs lost before their time, with the season's share and who stood with the ewe."""
    return {
        "ewe": item.ewe, "date": item.day.isoformat(), "before_due": item.before_due, "season": item.season,
        "apart_until": item.apart_until.isoformat(), "sample": item.event.sample, "rate": share(item.rate),
        "ground": item.ground or None, "with_her_in_lamb": list(item.carrying), "with_her": list(item.others),
        "note": item.note,
    }  # fmt: skip


def reduction_rows(found: EggCounts) -> list[dict[str, Any]]:
    """Every reduction test."""
    return [one_test(item) for item in found.tests]


def one_test(item: ReductionTest) -> dict[str, Any]:
    """One test; all figures but the first mean are null while the counts afterwards are still to be written."""
    result = item.result
    if result is None:
        return {
            "test": item.name,
            "before_mean": figure(fmean(item.before)) if item.before else None,
            "after_mean": None,
            "reduction": None,
            "coles": None,
            "delta": None,
        }
    coles, delta = result.coles, result.delta
    return {
        "test": item.name, "before_mean": figure(result.before_mean), "after_mean": figure(result.after_mean),
        "reduction": figure(result.reduction), "coles": {**limits_row(coles.limits), "class": coles.grade},
        "delta": {**limits_row(delta.limits), "class_clinical": delta.clinical, "class_research": delta.research},
    }  # fmt: skip


def limits_row(found: ReductionLimits) -> dict[str, float | None]:
    """An interval in per cent."""
    return {"low": figure(found.low), "high": figure(found.high)}
