"""The watch from ram in to weaning as plain values: joinings, who is expected no longer, what newborns are owed,
fosters, nights, and how lambs lay.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from flockbook.derive.breeding.due import NotExpected
from flockbook.derive.breeding.gestation import Span
from flockbook.derive.breeding.joining_dates import JoiningDates
from flockbook.derive.lambing.after_birth import OpenItem
from flockbook.derive.lambing.birth_lines import BirthLines
from flockbook.derive.lambing.fosters import Fostering
from flockbook.derive.lambing.looks import Night
from flockbook.derive.lambing.patterns import Against, Patterns
from flockbook.derive.market.barriers import Barrier
from flockbook.handover.season import share
from flockbook.handover.values import figure, iso
from flockbook.saying.because import step_words
from flockbook.saying.breeding import NOT_EXPECTED
from flockbook.saying.going import GOING
from flockbook.saying.newborns import birth_point_words, group_words


def joining(item: JoiningDates) -> dict[str, Any]:
    """One joining and the days that follow from it."""
    return {
        "note": item.note, "season": item.season, "rams": list(item.rams), "ewes": list(item.ewes),
        "ram_in": iso(item.ram_in), "ram_out": iso(item.ram_out), "by_hand": item.by_hand,
        "still_in_days": item.still_in, "crayon_changes": [iso(day) for day in item.crayons],
        "scan": span_row(item.scan), "watch_from": iso(item.watch_from), "lambs": span_row(item.lambs),
        "next_heats": [
            {"ewe": heat.ewe, "mark": iso(heat.mark), "day": iso(heat.day), "between": span_row(heat.band)}
            for heat in item.next_heats
        ],
    }  # fmt: skip


def span_row(days: Span | None) -> dict[str, Any] | None:
    """A run of days."""
    return {"first": iso(days.first), "last": iso(days.last)} if days else None


def not_expected(item: NotExpected) -> dict[str, Any]:
    """A ewe that will not lamb this season."""
    because = [{"note": one.note, "line": one.line, "rule": one.rule, "text": step_words(one)} for one in item.because]
    return {
        "ewe": item.ewe,
        "season": item.season,
        "why": NOT_EXPECTED[item.why],
        "since": iso(item.since),
        "because": because,
    }


def owed_row(item: OpenItem) -> dict[str, Any]:
    """One thing owed after a birth."""
    return {"sheep": item.sheep, "what": birth_point_words(item.what), "by": minute(item.by), "note": item.note}


def going(item: Barrier) -> dict[str, Any]:
    """One reason besides medicines against a sheep's going: `may not go` or `ask first`."""
    why = item.because
    return {
        "sheep": item.sheep, "answer": GOING[item.grade], "note": why.note, "line": why.line, "text": step_words(why),
    }  # fmt: skip


def minute(at: datetime | None) -> str | None:
    """A moment to the minute."""
    return at.strftime("%Y-%m-%dT%H:%M") if at else None


def foster(item: Fostering) -> dict[str, Any]:
    """One lamb given away; its dam stays its dam."""
    return {
        "lamb": item.lamb, "date": iso(item.date), "dam": item.dam, "onto": item.onto, "pet": item.pet,
        "season": item.season, "note": item.note,
    }  # fmt: skip


def night(item: Night) -> dict[str, Any]:
    """One night of the watch."""
    gap = item.longest
    return {
        "evening": iso(item.evening), "looks": item.looks, "longest_hours": figure(gap.length.total_seconds() / 3600),
        "from": minute(gap.start), "to": minute(gap.end), "too_long": item.too_long,
    }  # fmt: skip


def pattern_rows(told: Patterns, lines: BirthLines) -> dict[str, Any]:
    """How lambs lay: every way of lying, every group, and what came of holding it against the others."""
    return {
        "births": told.births,
        "lambs": len(told.cases),
        "comparisons": told.comparisons,
        "lies": [
            {
                "lay": lie.lay, "lambs": lie.lambs, "helped": lie.helped, "born_dead": lie.dead,
                "first_lambings": lie.first_lambings, "over_5_5_kg": lie.over_published, "heavy": lie.heavy,
                "litters": dict(lie.litters),
                "sires": dict(lie.sires),
            }
            for lie in told.lies
        ],
        "groups": [
            {
                "by": view.by, "group": group_words(group.label, lines, "metric"),
                **{outcome.value.replace(" ", "_"): share(item) for outcome, item in group.shares},
                "against": [against_row(item) for item in group.against],
            }
            for view in told.views
            for group in view.groups
        ],
    }  # fmt: skip


def against_row(item: Against) -> dict[str, Any]:
    """A group held against all others."""
    found = item.difference
    return {
        "what": item.outcome.value.replace(" ", "_"), "difference": figure(found.value), "low": figure(found.low),
        "high": figure(found.high), "fisher_p": figure(found.fisher_p), "p_all": figure(item.p_all),
        "stands_out": item.stands_out,
    }  # fmt: skip
