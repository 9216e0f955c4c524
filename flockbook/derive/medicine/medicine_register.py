"""The medicine register: every treatment with all that a keeper, a vet or an inspector asks for. Nothing is ever
dropped from it.

Fields: the union of Reg. (EU) 2019/6 Art. 108(2), the Veterinary Medicines Regulations 2013 as AHDB lists them, and
21 CFR 530.5.
"""

from __future__ import annotations

from datetime import date

from compiler.dates import When
from compiler.shape import Value
from flockbook.derive.medicine.medicines import medicines_called
from flockbook.derive.medicine.periods import MEAT, MILK, open_course, own_period
from flockbook.derive.medicine.withdrawal import Guard
from flockbook.flock import Flock
from flockbook.records.health import Treatment
from flockbook.records.sheep import Medicine
from flockbook.settings import Settings

NEVER = "not for milk"


class MedicineEntry(Value):
    """One treatment. `meat_until` and `milk_until` say from when the last of its animals was clear of it: "" at once,
    NEVER where the label says so, None where that cannot be known: one of its sheep was not found, or it is struck and
    says nothing.
    """

    note: str
    event: Treatment
    medicine: Medicine | None
    sheep: tuple[str, ...]
    doses: tuple[When, ...]
    open: bool
    total_ml: float | None
    meat_period: str
    milk_period: str
    meat_until: str | None
    milk_until: str | None
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
    meat, milk = (latest(guard, path, sheep, product) if known else None for product in (MEAT, MILK))
    return MedicineEntry(
        path, event, medicine, sheep, doses, open_course(event), total,
        period_text(event, medicine, MEAT), period_text(event, medicine, MILK), meat, milk,
        kept_until(max((when.date for when in doses), default=event.date), years), flock.struck.get(path, ""),
    )  # fmt: skip


def everybody_known(flock: Flock, path: str) -> bool:
    """Whether a treatment counts, names sheep, and each of them was found."""
    found = flock.subjects.get(path)
    return found is not None and bool(found.ids) and not found.unresolved and found.doubtful == frozenset()


def period_text(event: Treatment, medicine: Medicine | None, product: str) -> str:
    """The period as typed, with where it comes from; "not written" where there is none."""
    own = own_period(event, product)
    label = (medicine.meat_withdrawal if product == MEAT else medicine.milk_withdrawal) if medicine else None
    if own:
        return f"{own.text} ({event.vet or 'this note'})"
    return (
        f"{label.text} ({medicine.source if medicine and medicine.source else 'medicine note'})"
        if label
        else "not written"
    )


def latest(guard: Guard, path: str, sheep: tuple[str, ...], product: str) -> str | None:
    """The last release among the animals of one note: "" when nothing is held, NEVER where only the vet can say, None
    when it cannot be known.
    """
    holds = [
        hold
        for animal in sheep
        for hold in guard.holds.get(animal, ())
        if hold.because.note == path and hold.product == product
    ]
    if open_ := [hold for hold in holds if hold.open]:
        return NEVER if all(hold.because.rule == "W7" for hold in open_) else None
    until = max((hold for hold in holds), key=lambda hold: str(hold.until), default=None)
    if until is None or until.until is None:
        return ""
    return until.until.date().isoformat() if until.by_day else until.until.strftime("%Y-%m-%dT%H:%M")


def kept_until(day: date | None, years: float) -> date | None:
    """The day until which the record must be kept; 29 February runs to 1 March."""
    if day is None:
        return None
    year = day.year + int(years)
    try:
        return day.replace(year=year)
    except ValueError:
        return date(year, 3, 1)
