"""What is owed now, as typed values; `flockbook.saying.owed` has the words."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta, tzinfo
from enum import IntEnum, auto
from functools import cached_property

from compiler.shape import Value
from flockbook.derive.breeding.due import DueList
from flockbook.derive.farm.head_counts import CountFact
from flockbook.derive.health.cases import Cases
from flockbook.derive.health.check_findings import OpenFinding
from flockbook.derive.health.lame_words import LameLine
from flockbook.derive.lambing.after_birth import BirthPoint, OpenItem
from flockbook.derive.lambing.labour_limits import LabourClock, LabourState
from flockbook.derive.lambing.labours import OpenLabour
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.newborn import Care, LambState
from flockbook.derive.lambing.newborns import ByHand, Newborn
from flockbook.derive.market.leaving import Gone, Load
from flockbook.derive.plain.because import Reason
from flockbook.derive.year.reminder import Reminder
from flockbook.settings import Settings


class OwedFamily(IntEnum):
    """Of what sort a thing owed is; what stands first cannot wait."""

    WENT = auto()
    LABOUR = auto()
    GRAVE = auto()
    CHILLED = auto()
    ABORTION = auto()
    BIRTH = auto()
    DOSE = auto()
    SALE = auto()
    OVERDUE = auto()
    CASE = auto()
    COUNT = auto()


class WentHeld(Reason):
    """A sheep that was sold on a day on which a medicine held it, or might have."""

    day: date
    medicines: tuple[str, ...]


class SaleAhead(Reason):
    """A sale to come that names sheep of whom some may not go (`barred`), or somebody is to be asked first; `free` is
    the first day on which no medicine keeps any of them, where nothing else does.
    """

    day: date
    to: str
    barred: bool
    free: date | None = None


class InLabour(Reason):
    """A ewe in labour: what her clock asks for (None where no time of day was asked about), what shows, and whether
    that is amiss.
    """

    clock: LabourClock
    standing: LabourState | None
    shows: str = ""
    amiss: bool = False


class NeverWrittenUp(Reason):
    """A labour of days ago of which nothing came, as far as the notes tell."""

    day: date


class ColdLamb(Reason):
    """A lamb that was chilled or feverish when last measured, what is to be done first, and whether it holds its head
    up (None: not written).
    """

    celsius: float
    at: datetime | None
    state: LambState
    dam: str | None
    first_step: Care
    head_up: bool | None = None


class CalledColdLamb(Reason):
    """A newborn lamb that a note calls weak or cold, in its word, without a temperature."""

    word: str
    day: date
    at: time | None
    dam: str | None
    limp: bool = False


class OpenPoint(Reason):
    """One open point after a birth."""

    item: OpenItem


class NotHeardOf(Reason):
    """A lamb that was cold or fed by hand when last written of, and since when nothing is heard of it or its dam."""

    day: date
    at: time | None
    by_hand: ByHand | None
    state: LambState


class Aborted(Reason):
    """An abortion: until when she is kept apart, by her note where it is `written`, whether that is `over`, and what
    was sent to the laboratory, as far as it is written.
    """

    day: date
    apart_until: date
    sample: str
    written: bool = False
    over: bool = False


class DosesOwed(Reason):
    """The doses of a course that are owed: those of today, and those whose day is over."""

    medicine: str
    today: tuple[int, ...]
    late: tuple[int, ...]
    of: int


class PastLastDay(Reason):
    """A ewe past the last day on which she could lamb: how many days, and how many lambs a scan saw (None: no scan)."""

    last: date
    days: int
    scanned: int | None = None


class CaseOpen(Reason):
    """An illness not written as over, with the signs last written; `grave` where it may kill in hours."""

    problem: str
    side: str
    since: date
    last: date
    signs: str = ""
    grave: bool = False
    ketones: float | None = None
    celsius: float | None = None


class PaleEyelid(Reason):
    """A pale eyelid or a swollen jaw that a check found, and no drench nor remark since."""

    day: date
    eyelid: int | None
    jaw: bool


class HotAtCheck(Reason):
    """A temperature outside the published range that a check found, with the other words of its line."""

    day: date
    celsius: float
    udder: str
    feet: str
    remark: str


class LameTold(Reason):
    """A sheep that a line calls lame, in so many words, and how many days ago; None is the day of its own note, which
    has none.
    """

    words: str
    day: date | None
    days: int = 0


class CountShort(Reason):
    """A count that fell short: how many were counted and expected; `by_tag`: those missing are named."""

    mob: str
    day: date
    counted: int
    expected: int
    by_tag: bool


class OwedItem(Value):
    """One thing owed to some sheep, and by when: at an hour, on a whole day, or at once (`by` None). `late`: how long
    ago that was, None where it is not over. `zone`: the flock's, where it is known.
    """

    family: OwedFamily
    sheep: tuple[str, ...]
    what: Reason
    by: datetime | None
    note: str
    whole_day: bool = False
    late: timedelta | None = None
    zone: tzinfo | None = None

    @property
    def when_you_can(self) -> bool:
        """Whether it can wait for a quiet hour: tags and weights of newborns."""
        return isinstance(self.what, OpenPoint) and self.what.item.what.what in (BirthPoint.NUMBER, BirthPoint.WEIGHT)


class OwedRow(Value):
    """Everything owed to one ewe and the lambs at her foot, the first thing first; several sheep that are owed the very
    same stand together. `sheep` is nobody where only a mob is known. `now`: some of it cannot wait. `old`: all of it is
    of so long ago that how it ended is to be written, and no more.
    """

    id: str
    sheep: tuple[str, ...]
    items: tuple[OwedItem, ...]
    now: bool
    old: bool = False


class OwedNow(Value, dict=True):
    """All rows, what cannot wait first; `stands_for` are the ids of the reminders that they take the place of."""

    rows: tuple[OwedRow, ...] = ()
    stands_for: frozenset[str] = frozenset()

    @property
    def now(self) -> tuple[OwedRow, ...]:
        """What cannot wait."""
        return tuple(row for row in self.rows if row.now and not row.old)

    @property
    def old(self) -> tuple[OwedRow, ...]:
        """What is of long ago, and whose end nobody wrote."""
        return tuple(row for row in self.rows if row.now and row.old)

    @property
    def soon(self) -> tuple[OwedRow, ...]:
        """What is owed after births later on."""
        return tuple(row for row in self.rows if not row.now)

    def in_hours(self, at: datetime) -> tuple[OwedRow, ...]:
        """What is owed in the next hours, cold lambs among it, which stand among what cannot wait as well."""
        cold = (row for row in self.now if row.items[0].family is OwedFamily.CHILLED)
        return (*(row for row in cold if row.items[0].by and row.items[0].by > at), *self.soon)

    def of(self, sheep: str) -> tuple[OwedRow, ...]:
        """What concerns one sheep: her row, or what stands for her in the row of another."""
        return tuple(self.rows[place] for place in self.places.get(sheep, ()))

    @cached_property
    def places(self) -> Mapping[str, tuple[int, ...]]:
        """The rows that concern each sheep, by their place."""
        found: dict[str, list[int]] = {}
        for place, row in enumerate(self.rows):
            for sheep in dict.fromkeys((*row.sheep, *(one for item in row.items for one in item.sheep))):
                found.setdefault(sheep, []).append(place)
        return {sheep: tuple(places) for sheep, places in found.items()}


class OwedSources(Value):
    """The families of facts that know of something owed."""

    settings: Settings
    labours: tuple[OpenLabour, ...]
    newborns: tuple[Newborn, ...]
    births: tuple[LambingFact, ...]
    open_items: tuple[OpenItem, ...]
    due: DueList
    cases: Cases
    counts: tuple[CountFact, ...]
    reminders: tuple[Reminder, ...]
    gone: tuple[Gone, ...] = ()
    lame: tuple[LameLine, ...] = ()
    loads: tuple[Load, ...] = ()
    findings: tuple[OpenFinding, ...] = ()


class Owing(Value):
    """One thing owed, and the sheep in whose row it stands ("" for a mob)."""

    head: str
    item: OwedItem


def end_of(day: date) -> datetime:
    """The end of a day."""
    return datetime.combine(day, time.max)
