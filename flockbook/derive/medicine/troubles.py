"""Why no date can be named for a treatment, and how a date is reached (W1, W2, W5 to W7, W9, W11, V9 to V11)."""

from __future__ import annotations

from datetime import datetime

from compiler.book import Moment
from compiler.dates import When
from compiler.shape import replace
from flockbook.derive.medicine.dose_days import further_dose, slip_of_days
from flockbook.derive.medicine.doses import DoseFact
from flockbook.derive.medicine.hold_reasons import (
    AgainstLabel,
    ClearAgain,
    CourseRuns,
    DatedAhead,
    FieldsUnread,
    FirstClearDate,
    NeverFor,
    NoMedicineNote,
    NoPeriodTyped,
    OffTheLabel,
    OfTheCorrected,
    OtherRoute,
)
from flockbook.derive.medicine.medicines import medicine_in_doubt, medicines_called
from flockbook.derive.medicine.periods import against_route, open_course, own_period, period_of
from flockbook.derive.plain.because import Because, Reason
from flockbook.flock import Flock
from flockbook.records.health import Treatment
from flockbook.records.labels import Withdrawal


def general_trouble(flock: Flock, event: Treatment, product: str, today: Moment) -> Because | None:
    """What is wrong with a treatment for all that had it."""
    return damaged(event, today) or day_left_out(flock, event) or period_trouble(flock, event, product)


def day_left_out(flock: Flock, event: Treatment) -> Because | None:
    """V10: the words of a note that this one corrects tell of a further dose, and this one has no more doses."""
    if event.dates_sure:
        return None
    for path in (old for old, new in flock.struck.items() if new == event.origin.path):
        old = next((one for one in flock.collection.of(Treatment) if one.origin.path == path), None)
        if old is None or len(event.doses) > len(old.doses) or old.dates_sure:
            continue
        if slip := further_dose(old):
            return because(event, "V9", OfTheCorrected(slip))
    return None


def damaged(event: Treatment, today: Moment) -> Because | None:
    """W11: something in the note could not be read. A date that lies in the future cannot be right either."""
    if event.origin.broken or event.origin.unread:
        names = (name.rstrip("_").replace("_", " ") for name in (*event.origin.broken, *event.origin.unread))
        return because(event, "W11", FieldsUnread(tuple(sorted(names))))
    latest = max((when.date for when in event.doses), default=event.date)
    clock = max(today.day, today.clock or today.day)
    if latest is not None and latest > clock:
        return because(event, "W11", DatedAhead(latest))
    if not event.dates_sure and (slip := slip_of_days(event, clock)):
        return because(event, "V9", slip)
    return None


def period_trouble(flock: Flock, event: Treatment, product: str) -> Because | None:
    """W5, W6, W7, W9: why no date can be named for anybody in this treatment."""
    medicines, called = medicines_called(flock, event.medicine), event.medicine or ""
    if not medicines:
        return because(event, "W6", NoMedicineNote(called))
    if doubt := medicine_in_doubt(flock, event):
        return because(event, doubt.rule, doubt.reason)
    if open_course(event):
        return because(event, "W5", CourseRuns())
    if event.off_label and not (event.vet and own_period(event, product)):
        return because(event, "W9", OffTheLabel(product))
    if any(against_route(event, medicine) for medicine in medicines) and not (event.vet and own_period(event, product)):
        return because(event, "W9", OtherRoute(event.route or "", medicines[0].route or "", product))
    period = period_of(flock, event, product)
    if period is None:
        return because(event, "W6", NoPeriodTyped(product, called))
    if period.never:
        return because(event, "W7", NeverFor(called, period.text))
    return None


def against_label(event: Treatment, product: str, dose: DoseFact | None) -> Because | None:
    """W9 for one animal: too young, or a dose that its own weight shows to be another than the label's."""
    if dose is None or not dose.against or (event.vet and own_period(event, product)):
        return None
    found = because(event, "W9", AgainstLabel(dose.against, product))
    return replace(found, line=dose.line or found.line)


def worked(event: Treatment, product: str, last: When, period: Withdrawal, until: datetime) -> Because:
    """How a release was reached."""
    if last.time is None:
        return because(event, "W2", FirstClearDate(last.date, product, period.text, until.date()))
    given = datetime.combine(last.date, last.time)
    return because(event, "W1", ClearAgain(given, product, period.text, until))


def because(event: Treatment, rule: str, reason: Reason) -> Because:
    """A reason that rests on a treatment note."""
    line = event.origin.span("given" if event.given else "medicine").line
    return Because(event.origin.path, line, rule, reason=reason)
