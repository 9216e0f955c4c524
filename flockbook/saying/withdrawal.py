"""Why a product of a sheep may not be sold, or not yet, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.medicine.dose_arithmetic import Concern
from flockbook.derive.medicine.doses import OVERDOSE
from flockbook.derive.medicine.hold_reasons import (
    AgainstLabel,
    ClearAgain,
    CourseRuns,
    DatedAhead,
    Early,
    FieldsUnread,
    FinishedBefore,
    FinishedShort,
    FirstClearDate,
    Further,
    InLaterYear,
    LongBeforeNote,
    LongBeforeYear,
    LongerInWords,
    LongerWait,
    MedicineUnread,
    MoreDaysTold,
    NamedAsWell,
    NeverFor,
    NoMedicineNote,
    NoPeriodTyped,
    NoteAheadOfDoses,
    OffTheLabel,
    OfTheCorrected,
    OfTheOther,
    OrganicUnread,
    OtherFileUnused,
    OtherRoute,
    OverOwnDose,
    OverWrittenDose,
    RateOverLabel,
    ToldInWords,
)
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import day_words, moment_words
from flockbook.derive.plain.numbers import days_old, days_words
from flockbook.measures import measures

TWICE = 2
EARLY = {Early.LAST_DOSE: "its last dose", Early.NOTE: "the note itself"}
TOLD_FURTHER = {
    Further.LATER_DAY: "a later day than `given` has",
    Further.OTHER_DAY: "another day than `given` has",
    Further.WEEKDAYS: "doses on several weekdays",
    Further.DAYS: "further days than `given` has",
    Further.DOSE: "a further dose that `given` does not have",
}


def hold_words(reason: Reason) -> str:
    """Why something is held."""
    return SAID[type(reason)](reason)


# When it ends


def first_clear_words(reason: FirstClearDate) -> str:
    """last dose 1 Jun 2026, no time written, so one day is added; meat 28 days: first clear date 30 Jun 2026."""
    dose = f"last dose {day_words(reason.last)}, no time written, so one day is added"
    return f"{dose}; {reason.product} {reason.period}: first clear date {day_words(reason.until)}"


def clear_again_words(reason: ClearAgain) -> str:
    """last dose 1 Jun 2026 08:00; meat 28 days: clear from 29 Jun 2026 08:00."""
    end = moment_words(reason.until)
    return f"last dose {moment_words(reason.last)}; {reason.product} {reason.period}: clear from {end}"


# Why no date can be named


def fields_words(reason: FieldsUnread) -> str:
    """part of this note could not be read (given)."""
    return f"part of this note could not be read ({', '.join(reason.fields)})"


def ahead_words(reason: DatedAhead) -> str:
    """this treatment is dated in the future (1 Jun 2027)."""
    return f"this treatment is dated in the future ({day_words(reason.day)})"


def no_note_words(reason: NoMedicineNote) -> str:
    """there is no medicine note called “moxydectin”."""
    return f"there is no medicine note called “{reason.medicine}”"


def organic_unread_words(reason: OrganicUnread) -> str:
    """That nobody knows how much longer an organic sheep waits."""
    del reason
    return "an organic sheep, and “organic withdrawal” in flock.yaml could not be read"


def course_runs_words(reason: CourseRuns) -> str:
    """That a course is still open."""
    del reason
    return "the course is still open: neither “given” for all its days nor “finished” is written"


def off_label_words(reason: OffTheLabel) -> str:
    """used off the label: a vet's name and a written meat period are needed."""
    return f"used off the label: {written_period(reason.product)}"


def other_route_words(reason: OtherRoute) -> str:
    """given by mouth, the label says skin: a vet's name and a written meat period are needed."""
    return f"given {reason.route}, the label says {reason.label or 'otherwise'}: {written_period(reason.product)}"


def against_words(reason: AgainstLabel) -> str:
    """the rate in this note is over the label's: a vet's name and a written meat period are needed."""
    return f"{'; '.join(map(hold_words, reason.faults))}: {written_period(reason.product)}"


def written_period(product: str) -> str:
    """What is needed wherever the label is not kept."""
    return f"a vet's name and a written {product} period are needed"


def no_period_words(reason: NoPeriodTyped) -> str:
    """no meat period is typed for levamisole oral."""
    return f"no {reason.product} period is typed for {reason.medicine}"


def never_words(reason: NeverFor) -> str:
    """levamisole oral is not for milk until the vet says otherwise."""
    return f"{reason.medicine} is {reason.period} until the vet says otherwise"


# How a dose breaks the label


def concern_words(concern: Concern) -> str:
    """A dose under the label's least, or far from its rate, or an animal too young."""
    if concern.kind == "under minimum":
        return f"{concern.found:.3g} mL is under the label's least dose of {concern.limit:.3g} mL"
    if concern.kind == "under age":
        return f"{days_old(round(concern.found))}, the label begins at {days_words(round(concern.limit))}"
    return f"{concern.found:.3g} mL was recorded where the rate gives {concern.limit:.3g} mL"


def over_dose_words(reason: OverOwnDose) -> str:
    """9 mL is over twice the label's 3 mL for 60 kg, the most that it can weigh by its last weight and its growth."""
    times = "twice" if OVERDOSE == TWICE else f"{OVERDOSE:g} times"
    weight = measures().short(reason.kg)
    how = " (not weighed then: the most that its last weight and its growth allow)" if reason.reckoned else ""
    return f"{reason.ml:.3g} mL is over {times} the label's {reason.own_ml:.3g} mL for {weight}{how}"


def over_written_words(reason: OverWrittenDose) -> str:
    """Its words tell of 30 mL, over twice the 12 mL written as the dose."""
    times = "twice" if OVERDOSE == TWICE else f"{OVERDOSE:g} times"
    return f"its words tell of {reason.said_ml:.3g} mL, over {times} the {reason.written_ml:.3g} mL written as the dose"


def over_rate_words(reason: RateOverLabel) -> str:
    """That the rate is over the label's."""
    del reason
    return "the rate in this note is over the label's"


# Why it is not known what was given


def unread_medicine_words(reason: MedicineUnread) -> str:
    """the note on levamisole oral could not be read whole."""
    return f"the note on {reason.medicine} could not be read whole"


def longer_words(reason: LongerInWords) -> str:
    """What the note on a medicine says in its words."""
    return f"the note on {reason.medicine} says “{reason.sentence}” in its words, which is longer than typed"


def wait_words(reason: LongerWait) -> str:
    """its words say “Vet says 56 days this time”, which is longer than the label's."""
    return f"its words say “{reason.sentence}”, which is longer than the label's"


def other_file_words(reason: OtherFileUnused) -> str:
    """another file on levamisole oral cannot be used (medicines/levamisole.md)."""
    return f"another file on {reason.medicine} cannot be used ({reason.path})"


def as_well_words(reason: NamedAsWell) -> str:
    """the words of this treatment name penicillin as well."""
    return f"the words of this treatment name {reason.product} as well"


# Why the days cannot be trusted


def note_ahead_words(reason: NoteAheadOfDoses) -> str:
    """the note is dated ahead (1 Jun 2027) and its doses are not."""
    return f"the note is dated ahead ({day_words(reason.note)}) and its doses are not"


def before_note_words(reason: LongBeforeNote) -> str:
    """a dose is written for 1 Jun 2025, long before its note of 1 Jun 2026."""
    return f"a dose is written for {day_words(reason.dose)}, long before its note of {day_words(reason.note)}"


def before_year_words(reason: LongBeforeYear) -> str:
    """a dose is written for 1 Jun 2025, long before the year of its folder."""
    return f"a dose is written for {day_words(reason.dose)}, long before the year of its folder"


def later_year_words(reason: InLaterYear) -> str:
    """the note is of 30 Dec 2025 and lies in the folder of 2026."""
    return f"the note is of {day_words(reason.note)} and lies in the folder of {reason.year}"


def finished_words(reason: FinishedBefore) -> str:
    """it was finished on 1 Jun 2026, before its last dose."""
    return f"it was finished on {day_words(reason.day)}, before {EARLY[reason.what]}"


def short_words(reason: FinishedShort) -> str:
    """it was finished before its 3 days were full."""
    return f"it was finished before its {reason.days} days were full"


def further_words(reason: ToldInWords) -> str:
    """its words tell of a later day than `given` has."""
    return f"its words tell of {TOLD_FURTHER[reason.what]}"


def more_days_words(reason: MoreDaysTold) -> str:
    """its words tell of 3 days, `given` has 1."""
    return f"its words tell of {reason.told} days, `given` has {reason.given}"


# Of another note, or of another sheep


def corrected_words(reason: OfTheCorrected) -> str:
    """of the note that it corrects its words tell of a later day than `given` has."""
    return f"of the note that it corrects {hold_words(reason.slip)}"


def other_words(reason: OfTheOther) -> str:
    """tag 731 is written for two sheep, and of the other: no meat period is typed for levamisole oral."""
    of = hold_words(reason.of) if isinstance(reason.of, Reason) else reason.of
    return f"{one_sheep_words(reason.words)}, and of the other: {of}"


def one_sheep_words(words: tuple[str, ...]) -> str:
    """Why two records may be of one sheep: they have one tag, or nothing tells them apart."""
    if len(words) == 1:
        return f"tag {words[0].upper()} is written for two sheep"
    return f"{' and '.join(words)} may be one sheep"


SAID: dict[type[Reason], Callable[[Any], str]] = {
    FirstClearDate: first_clear_words, ClearAgain: clear_again_words, FieldsUnread: fields_words,
    DatedAhead: ahead_words, NoMedicineNote: no_note_words, CourseRuns: course_runs_words,
    OrganicUnread: organic_unread_words,
    OffTheLabel: off_label_words, OtherRoute: other_route_words, AgainstLabel: against_words,
    NoPeriodTyped: no_period_words, NeverFor: never_words, Concern: concern_words, OverOwnDose: over_dose_words,
    OverWrittenDose: over_written_words, RateOverLabel: over_rate_words, MedicineUnread: unread_medicine_words,
    LongerInWords: longer_words, LongerWait: wait_words,
    OtherFileUnused: other_file_words, NamedAsWell: as_well_words, NoteAheadOfDoses: note_ahead_words,
    LongBeforeNote: before_note_words, LongBeforeYear: before_year_words, InLaterYear: later_year_words,
    FinishedBefore: finished_words, FinishedShort: short_words, ToldInWords: further_words,
    MoreDaysTold: more_days_words, OfTheCorrected: corrected_words, OfTheOther: other_words,
}  # fmt: skip
