"""Why a product of a sheep may not be sold, or not yet: figures, days and names; `flockbook.saying` has the words.

Two of them are equal exactly when the same is said of both, whichever note says so.
"""

from __future__ import annotations

from datetime import date, datetime
from enum import Enum, auto

from flockbook.derive.plain.because import Because, Reason

# W1, W2: when it ends


class FirstClearDate(Reason):
    """That only the day of the last dose is known, the period as typed, and the first clear date that follows."""

    last: date
    product: str
    period: str
    until: date


class ClearAgain(Reason):
    """The moment of the last dose, the period as typed, and the moment of release."""

    last: datetime
    product: str
    period: str
    until: datetime


# W5, W6, W7, W9, W11: why no date can be named


class FieldsUnread(Reason):
    """The fields of a treatment that could not be read."""

    fields: tuple[str, ...]


class DatedAhead(Reason):
    """A day of a treatment that lies in the future."""

    day: date


class NoMedicineNote(Reason):
    """A product that has no note."""

    medicine: str


class CourseRuns(Reason):
    """That a planned course is neither given for all its days nor finished."""


class OffTheLabel(Reason):
    """Use off the label, for which a product needs a vet's name and a written period."""

    product: str


class OtherRoute(Reason):
    """A route that is not the label's (`label` is "" where it gives none), for which a written period is needed."""

    route: str
    label: str
    product: str


class AgainstLabel(Reason):
    """How one animal's dose breaks the label, for which a written period is needed."""

    faults: tuple[Reason, ...]
    product: str


class NoPeriodTyped(Reason):
    """A product of a medicine for which no period is typed."""

    product: str
    medicine: str


class OrganicUnread(Reason):
    """That the rule for organic sheep in the settings could not be read."""


class NeverFor(Reason):
    """A medicine whose period has no end, as typed."""

    medicine: str
    period: str


# W9: how a dose breaks the label; figures to the three digits that are said of them


class OverOwnDose(Reason):
    """A dose of over twice what the label gives for a weight, in mL and kg; `reckoned`: nobody weighed it then, the kg
    are the most that it can weigh.
    """

    ml: float
    own_ml: float
    kg: float
    reckoned: bool = False


class OverWrittenDose(Reason):
    """Words that tell of over twice the dose that is written, both in mL."""

    said_ml: float
    written_ml: float


class RateOverLabel(Reason):
    """That the rate typed in a note is over the label's."""


# W11, V11: why it is not known what was given


class MedicineUnread(Reason):
    """A medicine whose note could not be read whole."""

    medicine: str


class LongerInWords(Reason):
    """A sentence of a medicine's own note that speaks of a longer waiting than is typed."""

    medicine: str
    sentence: str


class LongerWait(Reason):
    """A sentence of a treatment that speaks of a longer waiting than the label's."""

    sentence: str


class OtherFileUnused(Reason):
    """A second file on a medicine that cannot be used."""

    medicine: str
    path: str


class NamedAsWell(Reason):
    """A second product in the words of a treatment."""

    product: str


# V9: why the days of a treatment cannot be trusted


class NoteAheadOfDoses(Reason):
    """A note that is dated ahead, and its doses are not."""

    note: date


class LongBeforeNote(Reason):
    """A dose long before its note."""

    dose: date
    note: date


class LongBeforeYear(Reason):
    """A dose long before the year of the folder that its note lies in."""

    dose: date


class InLaterYear(Reason):
    """A note that lies in the folder of a later year."""

    note: date
    year: int


class Early(Enum):
    """What the end of a course comes before."""

    LAST_DOSE = auto()
    NOTE = auto()


class FinishedBefore(Reason):
    """A course that ended before its last dose, or before its note."""

    day: date
    what: Early


class FinishedShort(Reason):
    """A course that ended before its days were full."""

    days: int


class Further(Enum):
    """What the words of a treatment tell of that `given` does not have."""

    LATER_DAY = auto()
    OTHER_DAY = auto()
    WEEKDAYS = auto()
    DAYS = auto()
    DOSE = auto()


class ToldInWords(Reason):
    """Something further that the words of a treatment tell of."""

    what: Further


class MoreDaysTold(Reason):
    """How many days the words of a treatment tell of, and how many `given` has."""

    told: int
    given: int


# What is so of another note, or of another sheep


class OfTheCorrected(Reason):
    """A slip of days in the note that a treatment corrects."""

    slip: Reason


class OfTheOther(Reason):
    """What holds another sheep that may be the same: `words` are the tag of both, or the records that may be one."""

    words: tuple[str, ...]
    of: Reason | str


def told_of(why: Because) -> Reason | str:
    """What a hold rests on, whichever note says so: its reason, else the text of its rule."""
    return why.reason if isinstance(why.reason, Reason) else why.text
