"""The moment that a book speaks of."""

from __future__ import annotations

from datetime import date, datetime

from compiler.shape import Value


class Moment(Value):
    """The day (or moment) that the book speaks of; `timed` when a time of day was asked for. Always naive local time.

    `clock` is the day on which the program runs: a note dated after both is from the future. The command line reads it.
    """

    at: datetime
    timed: bool = False
    clock: date | None = None

    @property
    def day(self) -> date:
        """The day asked about."""
        return self.at.date()
