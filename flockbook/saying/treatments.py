"""The waiting periods of a treatment, and from when its sheep were clear of it, in the words of the register."""

from __future__ import annotations

from flockbook.derive.medicine.medicine_register import LastReleased, PeriodTyped
from flockbook.derive.plain.days import day_words, moment_words


def typed_period(period: PeriodTyped | None) -> str:
    """`28 days (label)`; `not written`."""
    if period is None:
        return "not written"
    return f"{period.text} ({period.source or ('this note' if period.own else 'medicine note')})"


def typed_release(released: LastReleased | None) -> str:
    """A release in words: `unknown`, `no hold`, `not for milk`, a day, or a day and a time."""
    if released is None or released.never:
        return "not for milk" if released else "unknown"
    if released.until is None:
        return "no hold"
    return day_words(released.until.date()) if released.by_day else moment_words(released.until)
