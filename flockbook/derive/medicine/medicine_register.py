"""The medicine register: every treatment with all that a keeper, a vet or an inspector asks for. Nothing is ever
dropped from it.

Fields: the union of Reg. (EU) 2019/6 Art. 108(2), the Veterinary Medicines Regulations 2013 as AHDB lists them, and
21 CFR 530.5.
"""

from __future__ import annotations

from datetime import date, datetime

from compiler.dates import When
from compiler.shape import Value
from flockbook.derive.medicine.medicines import medicines_called
from flockbook.derive.medicine.periods import MEAT, MILK, open_course, own_period
from flockbook.derive.medicine.withdrawal import Guard
from flockbook.flock import Flock
from flockbook.records.health import Treatment
from flockbook.records.sheep import Medicine
from flockbook.settings import Settings


class PeriodTyped(Value):
    """A waiting period as typed: in a treatment's `own` note, or in that of its medicine, and who is its `source`."""

    text: str
    source: str
    own: bool = False


class LastReleased(Value):
    """From when the last of some animals was clear: at once without an `until`, or `never`, as the label says.

    `by_day` says that `until` is the start of a first clear date.
    """

    until: datetime | None = None
    by_day: bool = False
    never: bool = False


class MedicineEntry(Value):
    """One treatment. `meat_until` and `milk_until` say from when the last of its animals was clear of it, None where
    that cannot be known: one of its sheep was not found, or it is struck and says nothing.
    """

    note: str
    event: Treatment
    medicine: Medicine | None
    sheep: tuple[str, ...]
    doses: tuple[When, ...]
    open: bool
    total_ml: float | None
    meat_period: PeriodTyped | None
    milk_period: PeriodTyped | None
    meat_until: LastReleased | None
    milk_until: LastReleased | None
    keep_until: date | None
    struck_by: str


def medicine_register(flock: Flock, guard: Guard, settings: Settings) -> tuple[MedicineEntry, ...]:
    """All treatments ever written, struck ones too, in order of time."""
    years = settings.figure("records_kept")
    return tuple(
        register_entry(flock, guard, event, years)
        for event in sorted(flock.collection.of(Treatment), key=lambda item: (item.date or date.min, item.origin.path))
    )


def register_entry(flock: Flock, guard: Guard, event: Treatment, years: float) -> MedicineEntry:
    """One treatment."""
    path = event.origin.path
    named = medicines_called(flock, event.medicine)
    medicine = named[0] if len(named) == 1 else None
    sheep = flock.who(event)
    doses = event.doses
    total = event.dose.ml * len(sheep) * max(len(doses), 1) if event.dose and sheep else None
    known = everybody_known(flock, path)
    meat, milk = (last_released(guard, path, sheep, product) if known else None for product in (MEAT, MILK))
    return MedicineEntry(
        path, event, medicine, sheep, doses, open_course(event), total,
        period_typed(event, medicine, MEAT), period_typed(event, medicine, MILK), meat, milk,
        kept_until(max((when.date for when in doses), default=event.date), years), flock.struck.get(path, ""),
    )  # fmt: skip


def everybody_known(flock: Flock, path: str) -> bool:
    """Whether a treatment counts, names sheep, and each of them was found."""
    found = flock.subjects.get(path)
    return found is not None and bool(found.ids) and not found.unresolved and found.doubtful == frozenset()


def period_typed(event: Treatment, medicine: Medicine | None, product: str) -> PeriodTyped | None:
    """The period in a treatment's own note, else in that of its medicine; None where there is none."""
    own = own_period(event, product)
    if own:
        return PeriodTyped(own.text, event.vet or "", own=True)
    label = (medicine.meat_withdrawal if product == MEAT else medicine.milk_withdrawal) if medicine else None
    return PeriodTyped(label.text, medicine.source or "") if medicine and label else None


def last_released(guard: Guard, path: str, sheep: tuple[str, ...], product: str) -> LastReleased | None:
    """The last release among the animals of one note; None when it cannot be known."""
    holds = [
        hold
        for animal in sheep
        for hold in guard.holds.get(animal, ())
        if hold.because.note == path and hold.product == product
    ]
    if open_ := [hold for hold in holds if hold.open]:
        return LastReleased(never=True) if all(hold.because.rule == "W7" for hold in open_) else None
    last = max(holds, key=lambda hold: str(hold.until), default=None)
    return LastReleased(last.until, last.by_day) if last else LastReleased()


def kept_until(day: date | None, years: float) -> date | None:
    """The day until which the record must be kept; 29 February runs to 1 March."""
    if day is None:
        return None
    year = day.year + int(years)
    try:
        return day.replace(year=year)
    except ValueError:
        return date(year, 3, 1)
