"""What a reminder asks for and what ticks it off, as typed values; `flockbook.saying.year` has the words."""

from __future__ import annotations

from datetime import date
from enum import Enum, auto

from flockbook.derive.medicine.withdrawal import State
from flockbook.derive.plain.because import Reason


class Deed(Enum):
    """What is to be done, where no figure belongs to it."""

    DUE = auto()
    WATCH = auto()
    AFTERBIRTH = auto()
    TAG_LAMBS = auto()
    NEW_TAG = auto()
    NEW_TAG_ASK = auto()
    KEPT_APART = auto()
    RAM_IN = auto()
    RAM_OUT = auto()
    RAM_OUT_UNWRITTEN = auto()
    RAM_OUT_TYPED = auto()
    CRAYON = auto()
    BOOSTER = auto()
    BOOSTER_LATE = auto()
    SCAN = auto()
    SCAN_MISSED = auto()
    SCANNED_EMPTY = auto()
    EMPTY_TOO_SOON = auto()


class Ticks(Enum):
    """What ticks a reminder off."""

    LAMBING = auto()
    FIRST_LAMBING = auto()
    LATER_NOTE = auto()
    GIVEN = auto()
    SECOND_WRITTEN = auto()
    TAGGING = auto()
    NEW_TAG = auto()
    NEW_TAG_ASK = auto()
    TASK_DONE = auto()
    BINNED = auto()
    STOCK = auto()
    BEGINS = auto()
    OUT = auto()
    SEEN_OUT = auto()
    COLOUR = auto()
    VACCINE = auto()
    SCAN = auto()
    SAME_WORDS = auto()
    LET_OUT = auto()
    SAMPLED = auto()


class TickedByNote(Reason):
    """A note of a kind, or of a medicine, that ticks a plan off, as typed."""

    kind: str


class InHerWords(Reason):
    """A task as the shepherd wrote it."""

    text: str


class PlannedWork(Reason):
    """A plan as written ("" where it has no words): `missed` where others had it and these not; `late_dose` where it
    is a medicine whose day is over.
    """

    what: str
    missed: bool = False
    late_dose: bool = False


class SecondSample(Reason):
    """The second sample of a drench that is tested, from one day to another after it, as published."""

    test: str
    medicine: str
    first: date
    last: date


class HayToCount(Reason):
    """Hay that was last written of long ago, and is gone on a day if all the sheep were fed it since."""

    day: date
    since: date


class RamOutTold(Reason):
    """No ram out is written, and a draft or his leaving parts the ram from the ewes on a day."""

    day: date


class LookAgain(Reason):
    """Looks at a ewe, so many hours after help."""

    hours: tuple[int, ...]


class CourseDose(Reason):
    """One dose of a course; `late` where its day is over and it is not written as given, `after_missed` where that is
    so of one before it.
    """

    medicine: str
    dose: int
    of: int
    late: bool = False
    after_missed: bool = False


class SecondDue(Reason):
    """The second dose of a vaccine, from one day to another; `late` where the last of them is over."""

    medicine: str
    first: date
    due_from: date
    late: bool = False


class MeatClear(Reason):
    """From when meat is clear after a medicine; `sucking`: they are lambs that may suck a ewe who is not clear."""

    state: State
    medicine: str
    sucking: bool


class RunsOut(Reason):
    """A thing that is out of date; `opened`: its pack has been open as long as it may be."""

    name: str
    opened: bool = False


class PaddockRested(Reason):
    """A paddock that has had its rest."""

    place: str


class FeedGone(Reason):
    """A feed that is gone at the pace of its last two counts."""

    supply: str


class HayGone(Reason):
    """Hay that is gone between two days if it is all the sheep get, as the feed page reckons."""

    first: date
    last: date
