"""Dates that cannot be."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from flockbook.derive.plain.days import day_words
from flockbook.derive.plain.numbers import days_words
from flockbook.records.breeding import Joining
from flockbook.records.health import Treatment
from flockbook.records.trade import Sale
from flockbook.seen import Seen

FUTURE = Rule(
    "D101", "date-in-future", Grade.ERROR, "A note tells what has happened; a date still to come is a slip of the "
        "pen, mostly in the year.",
    "---\nnote: death\nsheep: 744\ndate: 2062-05-03\n---\n",
)  # fmt: skip
DOSE_BEFORE_NOTE = Rule(
    "D102", "dose-before-note", Grade.ASK,
    "A dose dated well before its own note may have the wrong year, and an older dose makes a waiting period look "
    "shorter.",
    "2026-06-02 treatment foot.md with `given: 2 Jun 2025`",
)  # fmt: skip
RULES = (FUTURE, DOSE_BEFORE_NOTE)
PLANNED = "correct the date; `sure: yes` if the {} is planned for that day"
LATE_WRITTEN_DAYS = 60  # a treatment written down later than this is asked about (our own choice)


def future(seen: Seen) -> Iterator[Diagnostic]:
    """Notes and doses dated after both the day asked about and the day on which the program runs; a sale or
    a joining may be planned, if its note says so with `sure: yes`.
    """
    last = max(seen.today.day, seen.today.clock or seen.today.day)
    for event in seen.linked.events:
        days = [event.date] if event.date else []
        if isinstance(event, Treatment):
            days += [when.date for when in event.doses]
        late = [day for day in days if day > last]
        if late and not (isinstance(event, Sale | Joining) and event.sure):
            where = event.origin.span("date" if event.date and event.date > last else "given")
            meanwhile = (
                "nobody in this note is shown as clear to sell"
                if isinstance(event, Treatment)
                else "the note counts for nothing until that day"
            )
            cure = PLANNED.format(event.origin.kind) if isinstance(event, Sale | Joining) else "correct the date"
            yield FUTURE.at(where, f"{day_words(max(late))} is still to come", cure, meanwhile)


def early_dose_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Doses long before the note that tells of them."""
    for event in seen.linked.of(Treatment):
        if event.date is None or event.sure:
            continue
        for place, when in enumerate(event.given):
            days = (event.date - when.date).days
            if days > LATE_WRITTEN_DAYS:
                here, text = event.origin.span(f"given[{place}]"), f"this dose lies {days_words(days)} before the note"
                yield DOSE_BEFORE_NOTE.at(here, text, "correct the year, or add `sure: yes`")


CHECKS = (Check("dates in the future", future), Check("doses before their note", early_dose_faults))
