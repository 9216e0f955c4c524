"""Seasons, comparisons, counts and reminders as plain values for the facts file."""

from __future__ import annotations

from math import isfinite
from typing import Any

from flockbook.derive.farm.head_counts import CountFact, LastSeen
from flockbook.derive.plain.intervals import Share
from flockbook.derive.season.compare import Comparison, Comparisons, RateComparison
from flockbook.derive.season.season_indices import YearIndex
from flockbook.derive.season.seasons import Season
from flockbook.derive.year.reminder import Reminder
from flockbook.handover.values import figure, iso
from flockbook.saying.because import step_words
from flockbook.saying.year import deed_words, ticks_words


def season(item: Season) -> dict[str, Any]:
    """One season's counts, indices and survival."""
    counts = item.counts
    return {
        "season": item.season,
        "month": item.month,
        "counts": {
            "exposed": counts.exposed,
            "lambed": counts.lambed,
            "born": counts.born,
            "alive": counts.alive,
            "scanned": counts.scanned,
            "weaned": counts.weaned,
            "helped": counts.helped,
            "malpresented": counts.malpresented,
            "dead_by_stage": dict(counts.dead_by_stage),
        },
        "indices": {index.name: share_of(index) for index in item.indices},
        "survival": [
            {
                "day": step.day,
                "at_risk": step.at_risk,
                "died": step.died,
                "share": figure(step.share),
                "se": figure(step.se),
            }
            for step in item.survival
        ],
        "running": item.running,
        "spread": season_spread(item),
        "dead_by_cause": [
            {"lamb": one.lamb, "stage": one.stage, "cause": one.cause, "date": iso(one.date), "place": one.place}
            for one in item.lost
        ],
    }


def share_of(index: YearIndex) -> dict[str, Any]:
    """The share of an index; where kilograms are counted, their sum as it is."""
    found = share(index.share)
    if index.weighed and index.share.value is not None:
        found["count"] = figure(index.share.value * index.share.of)
    return found


def share(item: Share) -> dict[str, Any]:
    """A share with its interval."""
    return {
        "count": item.count,
        "of": item.of,
        "value": figure(item.value),
        "low": figure(item.low),
        "high": figure(item.high),
        "few": item.few,
    }


def season_spread(item: Season) -> dict[str, Any] | None:
    """How the lambing was spread."""
    found = item.spread
    if found is None:
        return None
    one, two = share(found.in_one_cycle), share(found.in_two_cycles)
    return {
        "first": iso(found.first),
        "last": iso(found.last),
        "days": found.days,
        "in_17_days": one,
        "in_34_days": two,
    }


def compare_rows(items: Comparisons) -> list[dict[str, Any]]:
    """Every share of consecutive seasons, then the death rates."""
    return [*map(comparison, items.shares), *map(death_rates, items.rates)]


def comparison(item: Comparison) -> dict[str, Any]:
    """One share in two seasons; the difference is the later less the earlier."""
    found = item.difference
    return {
        "index": item.index.name,
        "from": item.from_.year,
        "to": item.to.year,
        "months": [item.from_.month, item.to.month],
        "difference": figure(found.value),
        "low": figure(found.low),
        "high": figure(found.high),
        "fisher_p": figure(found.fisher_p),
        "few": found.few,
    }


def death_rates(item: RateComparison) -> dict[str, Any]:
    """One death rate in two seasons: a ratio, with exact Poisson limits, in place of a difference."""
    found = item.ratio
    return {
        "index": item.name,
        "from": item.from_.year,
        "to": item.to.year,
        "months": [item.from_.month, item.to.month],
        "difference": None,
        "ratio": finite(found.value),
        "to_age_days": item.age,
        "low": finite(found.low),
        "high": finite(found.high),
        "fisher_p": None,
        "p": figure(found.p),
        "few": found.few,
    }


def finite(value: float | None) -> float | None:
    """A figure, or None where it has no end (JSON knows no infinity)."""
    return figure(value) if value is not None and isfinite(value) else None


def head_count(item: CountFact) -> dict[str, Any]:
    """One count held against the roll; `begin_with` only where no tags were read."""
    return {
        "mob": item.mob,
        "date": iso(item.date),
        "counted": item.counted,
        "expected": len(item.expected),
        "missing": [one.sheep for one in item.missing],
        "last_seen": [last_seen_row(one) for one in item.missing],
        "begin_with": [last_seen_row(one) for one in item.begin_with],
        "strangers": list(item.strangers),
        "put_right": iso(item.put_right),
        "note": item.note,
    }


def last_seen_row(item: LastSeen) -> dict[str, Any]:
    """A sheep and when it was last seen."""
    return {"sheep": item.sheep, "date": iso(item.date), "note": item.note}


def reminder(item: Reminder) -> dict[str, Any]:
    """One thing still to do; what has been done is left out."""
    return {
        "id": item.id,
        "date": iso(item.date),
        "what": deed_words(item.what),
        "sheep": list(item.sheep),
        "because": [
            {"note": one.note, "line": one.line, "rule": one.rule, "text": step_words(one)} for one in item.because
        ],
        "kind": item.kind,
        "ticked_by": ticks_words(item.ticked_by),
    }
