"""One hold of one product of one animal, one that reaches everybody of some days, and the state that holds make."""

from __future__ import annotations

from datetime import date, datetime

from compiler.shape import Value
from flockbook.derive.plain.because import Because
from flockbook.whom.whereabouts import Window


class Hold(Value):
    """One reason why one product of one animal may not be sold. `until` None: no date can be named.

    `by_day` says that only the day of the dose was known, so that `until` is the start of the first clear date.
    `begins` is
    the day it began (None: unknown). `gap` marks holds that come from a note that cannot be read. `doubt` marks those
    of sheep that were perhaps not dosed at all: unknown until they would end. `cure` is what to type; "" where
    nothing can be mended.
    """

    product: str
    until: datetime | None
    by_day: bool
    begins: date | None
    because: Because
    medicine: str = ""
    gap: bool = False
    doubt: bool = False
    cure: str = ""

    @property
    def open(self) -> bool:
        """Whether it leaves unknown what may be done: it has no end, or it is not known whether it holds at all."""
        return self.until is None or self.doubt


class Gap(Value):
    """A hold that reaches everybody who was here on some day of a window; an `organic` one only those who are."""

    hold: Hold
    days: Window
    organic: bool = False


class State(Value):
    """clear, held (until a moment, or the start of a first clear date), or unknown: `mend` says whether some note can
    be mended so that it is known, else only the vet can say.
    """

    state: str
    until: datetime | None = None
    by_day: bool = False
    mend: bool = False

    @property
    def shown(self) -> str | None:
        """The release as an ISO date (first clear date) or date and time, or None."""
        if self.until is None:
            return None
        return self.until.date().isoformat() if self.by_day else self.until.strftime("%Y-%m-%dT%H:%M")
