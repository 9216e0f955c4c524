"""What plans and reminders rest on, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import day_words
from flockbook.derive.plain.numbers import days_words
from flockbook.derive.year.plans import (
    BeforeDue,
    BoosterWeeks,
    CountedOn,
    CrayonEvery,
    EveryYear,
    ScanDays,
    Start,
)
from flockbook.derive.year.reminders import CourseOf, Noticed, OldestBorn, WatchFrom

STARTS = {
    Start.LAMBED: "she lambed",
    Start.BIRTH: "birth",
    Start.RAM_IN: "ram in",
    Start.RAM_OUT: "ram out",
}


def yearly_words(reason: EveryYear) -> str:
    """every year on 1 Oct."""
    return f"every year on {reason.day}"


def counted_on_words(reason: CountedOn) -> str:
    """6 weeks after ram in (14 Nov 2025)."""
    day = f" ({day_words(reason.day)})" if reason.day else ""
    return f"{reason.length} after {STARTS[reason.start]}{day}"


def before_due_words(reason: BeforeDue) -> str:
    """4 weeks before the first ewe of Top mob is due (10 Apr 2026)."""
    mob = f" of {reason.mob}" if reason.mob else ""
    return f"{reason.length} before the first ewe{mob} is due ({day_words(reason.due)})"


def crayon_words(reason: CrayonEvery) -> str:
    """every 16 days from ram in, light to dark."""
    return f"every {reason.days} days from ram in, light to dark"


def booster_words(reason: BoosterWeeks) -> str:
    """From when to when a booster is given."""
    return (
        f"{reason.first} to {reason.last} weeks before the first ewe is due ({day_words(reason.due)}); the label and "
        "your vet come first"
    )


def scan_days_words(reason: ScanDays) -> str:
    """The days that suit a scan, and who says so."""
    return (
        f"from {day_words(reason.first)}, {reason.after_out} days after the last ram out, to {reason.after_in} days "
        "after the first in (Rural News NZ)"
    )


def watch_words(reason: WatchFrom) -> str:
    """138 days after the first ram went in."""
    return f"{reason.days} days after the first ram went in or the first service ({day_words(reason.met)})"


def course_of_words(reason: CourseOf) -> str:
    """a course of 3 days."""
    return f"a course of {days_words(reason.days)}"


def oldest_words(reason: OldestBorn) -> str:
    """How old the untagged lambs are, and whose rule that is."""
    return f"the oldest of them was born on {day_words(reason.day)}; gov.uk, SMR 8; your own authority decides"


def noticed_words(reason: Noticed) -> str:
    """noticed on 2 Mar 2026."""
    return f"noticed on {day_words(reason.day)}"


SAID: dict[type[Reason], Callable[[Any], str]] = {
    EveryYear: yearly_words, CountedOn: counted_on_words, BeforeDue: before_due_words, CrayonEvery: crayon_words,
    BoosterWeeks: booster_words, ScanDays: scan_days_words, WatchFrom: watch_words, CourseOf: course_of_words,
    OldestBorn: oldest_words, Noticed: noticed_words,
}  # fmt: skip
