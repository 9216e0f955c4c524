"""Who stays, and the rams' records, as plain values for the facts file."""

from __future__ import annotations

from typing import Any

from flockbook.derive.choosing.ewe_file import EweReason
from flockbook.derive.choosing.ram_record import Mean, RamBook, RamRecord
from flockbook.derive.choosing.reasons import Choice
from flockbook.handover.season import share
from flockbook.handover.values import figure
from flockbook.saying.because import step_words
from flockbook.saying.choosing import TOO_LITTLE_KNOWN, ewe_reason_words


def choice(item: Choice) -> dict[str, Any]:
    """One ewe's reasons and what follows by the flock's rule; `meat` says whether she may be sold."""
    meat = item.standing.meat if item.standing else None
    return {
        "ewe": item.ewe,
        "for": [reason_row(one) for one in item.for_],
        "against": [reason_row(one) for one in item.against],
        "suggest": item.suggest,
        "too_little": TOO_LITTLE_KNOWN if item.little else None,
        "meat": {"state": meat.state, "until": meat.shown} if meat else None,
    }


def reason_row(item: EweReason) -> dict[str, Any]:
    """One reason with its notes; `to_go` says that it meets a rule of the flock in full."""
    return {
        "rule": item.rule,
        "text": ewe_reason_words(item),
        "count": item.count,
        "of": item.of,
        "seasons": list(item.seasons),
        "to_go": item.full,
        "because": [{"note": one.note, "line": one.line, "text": step_words(one)} for one in item.because],
    }


def rams(book: RamBook) -> dict[str, Any]:
    """Every ram's record, and the births that stand with no ram alone."""
    return {
        "births": book.births,
        "several_possible": book.shared,
        "unexplained": book.unexplained,
        "rams": [ram(item) for item in book.rams],
    }


def ram(item: RamRecord) -> dict[str, Any]:
    """One ram."""
    return {
        "ram": item.ram, "here": item.here, "seasons": list(item.seasons), "ewes": item.ewes,
        "helped": share(item.helped), "malpresented": share(item.malpresented), "alive": share(item.alive),
        "weaned": share(item.weaned), "birth_kg": mean_row(item.birth_kg), "gain_kg": mean_row(item.gain_kg),
        "lost": dict(item.lost), "births_perhaps_his": item.shared_births,
    }  # fmt: skip


def mean_row(item: Mean) -> dict[str, Any]:
    """A mean with its number and range."""
    return {"n": item.n, "mean": figure(item.mean), "low": figure(item.low), "high": figure(item.high)}
