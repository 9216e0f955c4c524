"""One reminder, what reminders are built from, and how an id is made that stays the same."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import date

from compiler.shape import Value
from flockbook.derive.breeding.due import DueList
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.health.reduction_tests import ReductionTest
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.land.feed import FeedBook
from flockbook.derive.land.grazing import Grazing
from flockbook.derive.medicine.cupboard import Cupboard
from flockbook.derive.medicine.withdrawal import Guard
from flockbook.derive.plain.because import Because, Reason
from flockbook.derive.year.deeds import Deed, Ticks
from flockbook.settings import Settings

OVERDUE_DAYS = 30  # what is done, and what only passes, stays this long after its day (our own choice)
REMINDED_DAYS = 370  # how far ahead the list reaches: one year round (our own choice)
# What comes round is ticked off from four weeks before its day until its next round is as near (our own choice).
TICKS_BEFORE, ROUND_DAYS = 28, 365
TICKS_AFTER = ROUND_DAYS - TICKS_BEFORE


class Reminder(Value):
    """One thing to do. `kind` groups it, `ticked_by` says what would tick it off (None where only the day passes)."""

    id: str
    kind: str
    date: date
    what: Deed | Reason
    sheep: tuple[str, ...] = ()
    because: tuple[Because, ...] = ()
    done: bool = False
    ticked_by: Ticks | Reason | None = None


class ReminderSources(Value):
    """The families of facts that reminders are built from."""

    settings: Settings
    matings: Matings
    due: DueList
    lambings: tuple[LambingFact, ...]
    guard: Guard
    cupboard: Cupboard
    grazing: Grazing
    feed: FeedBook
    tests: tuple[ReductionTest, ...] = ()


def stable_id(kind: str, rule: str, sheep: Iterable[str] = ()) -> str:
    """Twelve hexadecimal digits from the kind, the rule and the animals in whatever order."""
    text = "\x1f".join((kind, rule, *sorted(set(sheep))))
    return hashlib.sha256(text.encode()).hexdigest()[:12]
