"""What a note of any kind says in words, where a dose could be told, and whether it looks like a treatment (V8)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import zip_longest

from compiler.schema import Cell, Record
from compiler.shape import field_names
from compiler.source import Span
from flockbook.records.cupboard import MoneyNote, Stock
from flockbook.records.event import Event
from flockbook.records.health import EggCount
from flockbook.records.sheep import Medicine
from flockbook.records.trade import Purchase
from flockbook.records.year import Task
from flockbook.whom.dosing_words import (
    COLUMN,
    GIVEN,
    HURRIED,
    IN_FIELD,
    NONE_GIVEN,
    REMEDY,
    REMEDY_FIELDS,
    VERBS,
    WAITING,
    WAITING_FIELD,
    dipped,
)
from flockbook.whom.glance import Glance
from flockbook.whom.measures import DOSE
from flockbook.whom.products import Products

MEDICINE_FIELDS = ("medicine",)
OF_TREATMENTS = frozenset(
    {"medicine", "dose", "given"}
)  # two of these in a note of another kind: a treatment by mistake
CORRECTED = re.compile(r"treat|drench|dos|jab|inject|worm|vaccin", re.I)
NOT_TEXT = ("origin", "lines", "corrects", "subject", "jotted", "not_dosed", "except_", "document", "official", "eid")

TELLS_OF_A_DOSE = Glance(VERBS, GIVEN, DOSE, COLUMN, HURRIED, WAITING)


def is_mistaken(record: Record) -> bool:
    """Whether a note of another kind has fields of a treatment, or one for a medicine that says one."""
    unread = record.origin.unread.keys()
    if len(unread & OF_TREATMENTS) > 1 or "dose" in unread:
        return True
    if isinstance(record, Medicine | Stock | EggCount | MoneyNote | Task):
        return False
    return any(
        (
            " ".join(name.lower().split()) in REMEDY_FIELDS
            or VERBS.search(name)
            or REMEDY.search(name)
            or WAITING_FIELD.search(name)
        )
        and text.strip().lower() not in NONE_GIVEN
        for name, text in record.origin.unread.items()
    )


def corrects_a_dose(record: Record) -> bool:
    """Whether a note of another kind says that it corrects a treatment: `corrects: 2026-06-02 treatment Bramble`."""
    corrected = getattr(record, "corrects", None)
    return bool(corrected) and CORRECTED.search(str(corrected)) is not None


def speaks(text: str, products: Products) -> bool:
    """Whether a text could tell of a dose at all: a quick look before it is taken apart."""
    return bool(TELLS_OF_A_DOSE(text) or products.product(text) or dipped(text))


def texts_of(record: Record) -> Iterator[tuple[str, Span]]:
    """Everything in words that a note says: its remark line by line, its text fields, what its lines have left over."""
    for cell, text in headed(record.origin.rest):
        yield text, Span(cell.path or record.origin.path, cell.line, cell.column, len(cell.text))
    if isinstance(record, Event) and record.subject:
        yield record.subject, record.origin.span("subject")
    for name in telling_fields(type(record)):
        value = getattr(record, name)
        if isinstance(value, str) and not is_colostrum(record, name, value) and not own_medicine(record, name):
            yield value, record.origin.span(name)
    for name, text in (*record.origin.unread.items(), *record.origin.typed.items()):
        yield text, record.origin.span(name)
    for line in getattr(record, "lines", ()):
        remark = getattr(line, "remark", "") or (
            getattr(line, "name", None) or "" if isinstance(record, Purchase) else ""
        )
        if remark:
            yield f"{getattr(line, 'sheep', '')} {remark}", line.span
    told = {line.span.line: remark for line in getattr(record, "lines", ()) if (remark := getattr(line, "remark", ""))}
    for cell in record.origin.data:
        if cell.line not in told or cell.path or loses_a_dose(cell, told[cell.line]) or IN_FIELD.search(cell.text):
            yield cell.text, Span(cell.path or record.origin.path, cell.line, cell.column, len(cell.text))


@cache
def telling_fields(kind: type[Record]) -> tuple[str, ...]:
    """The fields of a kind that may tell something; `treated` of a purchase is read with its name before it."""
    bought = issubclass(kind, Purchase)
    mute = {*NOT_TEXT, "treated"} - {"document"} if bought else {*NOT_TEXT}
    return tuple(name for name in field_names(kind) if name not in mute)


def loses_a_dose(cell: Cell, remark: str) -> bool:
    """Whether a line has a dose that the remark it left over has not."""
    return DOSE.search(cell.text) is not None and DOSE.search(remark) is None


COLOSTRUM_STORE = re.compile(r"\s*\d{1,5}(?:[.,]\d+)? ?(?:ml|l|litres?|liters?)\.?\s*", re.I)


def is_colostrum(record: Record, name: str, value: object) -> bool:
    """Whether a field of a stock note is an amount of colostrum and nothing else: that is no dose (V8)."""
    return (
        isinstance(record, Stock)
        and not record.medicine
        and name in ("bought", "used", "binned", "counted")
        and "colostrum" in (record.supply or "").lower()
        and COLOSTRUM_STORE.fullmatch(str(value)) is not None
    )


def headed(cells: Sequence[Cell]) -> Iterator[tuple[Cell, str]]:
    """Lines with their texts; the cells of a table's row behind the headings of its first: `sheep C214, ml 3`."""
    heads: list[str] = []
    for cell in cells:
        row = [part.strip() for part in cell.text.strip().strip("|").split("|")] if cell.sort == "row" else []
        if heads and row:
            yield cell, ", ".join(f"{head} {part}".strip() for head, part in zip_longest(heads, row, fillvalue=""))
        else:
            yield cell, cell.text
        heads = (heads or row) if row else []


def own_medicine(record: Record, name: str) -> bool:
    """Stock and egg-count notes may have their medicine field."""
    return name in MEDICINE_FIELDS and isinstance(record, Stock | EggCount)
