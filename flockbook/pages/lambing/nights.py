"""How long the ewes went without a written look, night by night."""

from __future__ import annotations

from datetime import timedelta

from flockbook.derive.lambing.looks import Night
from flockbook.pages.views import Column, Row, Table, day
from flockbook.pages.wording import clock_words
from flockbook.regional import local
from flockbook.seen import Seen


def nights_table(found: tuple[Night, ...]) -> Table:
    """How long the ewes went without a written look, night by night."""
    columns = (Column("Night of"), Column("Looks written", "number"), Column("Longest without one"), Column("So"))
    rows = [
        Row((
            day(item.evening) or "", item.looks,
            f"{hours(item.longest.length)}, {clock_words(item.longest.start)} to {clock_words(item.longest.end)}",
            "longer than your limit" if item.too_long else "within it",
        ))
        for item in found
    ]  # fmt: skip
    return Table(columns, tuple(rows), "No night of the watch lies behind.")


def hours(length: timedelta) -> str:
    """5 h 30."""
    minutes = int(length.total_seconds() // 60)
    return f"{minutes // 60} h {minutes % 60:02}"


def nights_note(seen: Seen) -> str:
    """What counts as a look, and the limit."""
    limit = f"{seen.settings.figure('look_every'):g}"
    return (
        f"Only notes with a time of day, {local('from 20:00 to 08:00')}, count as a look; one that nobody wrote is not "
        f"seen here. Your limit is {limit} hours ({seen.settings.source('look_every')})."
    )
