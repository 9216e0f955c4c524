"""One fleece in a note on shearing: whose, how heavy, how classed."""

from __future__ import annotations

import re
from collections.abc import Mapping

from compiler.amounts import FIGURE
from compiler.nearness import clipped
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field
from compiler.source import Span
from compiler.values import WEIGHT, Weight
from flockbook.records.sheep_line import is_like_a_sheep, opening, second_sheep

FLEECE = re.compile(
    rf"fleece:?\s+(?P<weight>{FIGURE}\s*(?:[a-z#]+(?:\s+{FIGURE}\s*oz)?)?)\s*(?:[,;]?\s*class:?\s+(?P<class>[^,;]+?))?"
    r"(?:[,;]\s*(?P<remark>.+))?",
    re.I,
)
FLEECE_COLUMNS = ("sheep", "fleece", "kg", "lb", "class", "note")
MOST_FLEECE = 20.0  # kilograms; no sheep bears more in a year (our own limit)
HOW_FLEECE = "write `C230 fleece {2.1 kg}`, and `, class fine` behind it"


class FleeceLine(Value):
    """One sheep's fleece: its weight, its class, and what else is said."""

    sheep: str
    weight: Weight
    fleece_class: str | None = None
    remark: str = ""
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `C230 fleece 2.1 kg, class fine`; a line that speaks of no fleece is a remark."""
    start = opening(text)
    if start is None or not re.match(r"fleece\b", start.rest, re.I):
        return LineReading(remark=True)
    if two := second_sheep(start):
        return LineReading(faults=(two,))
    match = FLEECE.fullmatch(start.rest)
    if match is None:
        return LineReading(faults=(Fault(f"`{clipped(start.rest)}` is no fleece", HOW_FLEECE, start.start),))
    return fleece_of(start.sheep, match, context, start.start)


def fleece_of(sheep: str, match: re.Match[str], context: Context, place: int) -> LineReading:
    """The value of a line that has all its parts."""
    weight = WEIGHT.read(match["weight"].strip(), context)
    if isinstance(weight, Fault):
        where = place + match.start("weight")
        return LineReading(faults=(Fault(weight.message, HOW_FLEECE, where, len(match["weight"])),))
    if not 0 < weight.kg <= MOST_FLEECE:
        told = f"`{clipped(match['weight'].strip())}` is no fleece's weight"
        return LineReading(faults=(Fault(told, HOW_FLEECE, place + match.start("weight"), len(match["weight"])),))
    return LineReading(value=FleeceLine(sheep, weight, match["class"], (match["remark"] or "").strip()))


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of a fleece."""
    start = opening(text)
    return start is not None and is_like_a_sheep(start.sheep) and read(text, context).value is not None


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """A table row: `sheep`, the weight under `fleece`, `kg` or `lb`, `class`, `note`."""
    sheep = cells.get("sheep", "").strip()
    typed = [(name, text) for name in ("fleece", "kg", "lb") if (text := cells.get(name, "").strip())]
    if not sheep or not typed:
        return LineReading(remark=True)
    unit = "" if typed[0][0] == "fleece" else f" {typed[0][0]}"
    parts = [f"fleece {typed[0][1]}{unit}"]
    parts += [f"class {cells['class'].strip()}"] if cells.get("class", "").strip() else []
    parts += [cells["note"].strip()] if cells.get("note", "").strip() else []
    match = FLEECE.fullmatch(", ".join(parts))
    if match is None:
        return LineReading(faults=(Fault("this row is no fleece", HOW_FLEECE),))
    return fleece_of(sheep, match, context, 0)
