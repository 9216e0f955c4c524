"""What was born and what was given, a row for each lamb and each sheep dosed, so that the tables can be gathered again.

A treatment is handed on row by row only where its fields are all that it says and nobody else can be meant. Any other
is one row without a sheep: gathered, it stops the file until its note was written by hand.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from compiler.dates import When
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.medicine.medicine_register import MedicineEntry
from flockbook.flock import Flock
from flockbook.handover.values import iso
from flockbook.records.health import Treatment
from flockbook.records.lamb_line import LambLine

# How what is said of a lamb besides sex, weight, tag, number and state stands on its line.
LINE_SAYS = {
    "weak": "weak", "hung": "hung", "malformed": "malformed", "assisted": "assisted", "lay": "{}",
    "vigour": "vigour {}", "tubed_ml": "tubed {:g} ml", "fostered_to": "fostered to {}", "by_hand": "pet lamb",
    "pen": "{}", "official": "official {}", "remark": "{}",
}  # fmt: skip


def born(births: Iterable[LambingFact]) -> list[dict[str, Any]]:
    """A row for each lamb that a birth's note has."""
    return [born_row(fact, line) for fact in births for line in fact.event.lines]


def born_row(fact: LambingFact, line: LambLine) -> dict[str, Any]:
    """One lamb."""
    event = fact.event
    return {
        "ewe": fact.ewe, "date": iso(event.date), "time": event.time.strftime("%H:%M") if event.time else None,
        "help": event.help, "lamb_sex": line.sex, "lamb_weight_kg": line.weight.kg if line.weight else None,
        "lamb_tag": line.tag, "lamb_number": line.number, "lamb_state": line.state,
        "lamb_words": ", ".join(words_on_line(line)), "note": fact.note,
    }  # fmt: skip


def words_on_line(line: LambLine) -> Iterator[str]:
    """What a line says besides, as it is typed."""
    for name, said in LINE_SAYS.items():
        if value := getattr(line, name):
            yield said.format(value)
    if line.temperature:
        yield f"temp {line.temperature.celsius:g} C"


def given(flock: Flock, register: Iterable[MedicineEntry]) -> list[dict[str, Any]]:
    """A row for each sheep that a treatment names, or one without a sheep where rows cannot say all of it."""
    rows = []
    for entry in register:
        sheep = entry.sheep if is_whole(flock, entry) else (None,)
        rows += [given_row(entry, one) for one in sheep]
    return rows


def is_whole(flock: Flock, entry: MedicineEntry) -> bool:
    """Whether the fields of a treatment say all of it: nobody is in doubt, and it has neither words nor lines."""
    event, concerned = entry.event, flock.concerned.get(entry.note)
    known = concerned is not None and concerned.sure and not concerned.trouble and not concerned.at_foot
    beside = event.lines or event.rate or event.days or event.origin.rest or event.origin.unread or event.origin.broken
    answered = event.corrects or event.not_dosed or event.dates_sure
    return known and bool(entry.sheep) and not (beside or answered or entry.struck_by or entry.open)


def given_row(entry: MedicineEntry, sheep: str | None) -> dict[str, Any]:
    """One treatment of one sheep, as its note says it."""
    event = entry.event
    return {
        "date": iso(event.date), "time": event.time.strftime("%H:%M") if event.time else None, "sheep": sheep,
        "medicine": event.medicine, "dose": event.dose.text if event.dose else None, "given": days_given(event),
        "route": event.route, "site": event.site, "for": event.for_, "batch": event.batch, "vet": event.vet,
        "meat_withdrawal": event.meat_withdrawal.text if event.meat_withdrawal else None,
        "milk_withdrawal": event.milk_withdrawal.text if event.milk_withdrawal else None,
        "off_label": event.off_label, "by": event.by, "note": entry.note,
    }  # fmt: skip


def days_given(event: Treatment) -> str | None:
    """The days on which doses were given, where they are written."""
    return ", ".join(map(when_said, event.doses)) if event.given or event.finished else None


def when_said(moment: When) -> str:
    """A day, with its time where one is written."""
    return f"{moment.date.isoformat()} {moment.time:%H:%M}" if moment.time else moment.date.isoformat()
