"""One sheep at a handling: condition, eyelid, udder, feet, mouth, dag, temperature."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from compiler.nearness import clipped
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field, replace
from compiler.source import Span
from compiler.values import SCORE, TEMPERATURE, WEIGHT, Temperature, Weight
from flockbook.records.sheep_line import is_like_a_sheep, opening

CONDITION = SCORE(1, 5, 0.25)  # Russel, Doney & Gunn 1969 (0-5); common use is 1-5 in quarters
EYELID = SCORE(1, 5, 1)  # 1 red to 5 white
DAG = SCORE(0, 5, 1)
UDDERS = ("ok", "normal", "lump", "hard")  # Griffiths et al. 2019: normal, lump, hard
PARTS = re.compile(r";|,(?!(?<=\d,)\d)")  # a comma between two figures is a decimal one, or a slip
LEFT_OVER = re.compile(r"(?=.*\d).*\b(?:bcs|condition|eyelid|dags?|temp)\b.*|[\d.,]+(?: ?(?!ml|cc)[a-z]{1,2})?", re.I)
PLAIN_WORDS = 3
USUAL = re.compile(r"\d|\b(?:ok|normal|lump|hard|broken|full|sound|good|bad|left|right|both)$", re.I)
SIGNS = ("jaw", "nose", "back", "tail")  # with the eyelid, the five points


class CheckLine(Value):
    """What was found on one sheep; None for what was not looked at. `signs` are the five-point signs found (jaw, nose,
    back, tail).
    """

    sheep: str
    condition: float | None = None
    eyelid: int | None = None
    dag: int | None = None
    udder: str | None = None
    udder_side: str | None = None
    feet: str | None = None
    mouth: str | None = None
    temperature: Temperature | None = None
    weight: Weight | None = None
    signs: tuple[str, ...] = ()
    remark: str = ""
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `C230 bcs 2.5, eyelid 3, udder lump left, feet ok, mouth broken, dag 2, 39.2 C`; parts stand between
    commas.
    """
    start = opening(text)
    if start is None:
        return LineReading(remark=True)
    line, faults, place = CheckLine(start.sheep), [], start.start
    for part in PARTS.split(text[start.start :]):
        outcome = taken(line, part.strip(), context)
        if isinstance(outcome, Fault):
            shift = place + len(part) - len(part.lstrip())
            faults.append(replace(outcome, start=shift + outcome.start, length=outcome.length or len(part.strip())))
        else:
            line = outcome
        place += len(part) + 1
    return LineReading(value=line, faults=tuple(faults))


def taken(line: CheckLine, part: str, context: Context) -> CheckLine | Fault:
    """One part of a line."""
    match = re.fullmatch(
        r"(?P<word>bcs|condition|eyelid|eye|dag|dags|udder|feet|foot|mouth|teeth)\s+(?P<value>.+)", part, re.I
    )
    if match:
        return worded(line, match["word"].lower(), match["value"], context)
    if re.fullmatch(r"[\d.,]+ ?° ?[cf]?|[\d.,]+ ?[cf]", part, re.I):
        value = TEMPERATURE.read(part, context)
        return value if isinstance(value, Fault) else replace(line, temperature=value)
    if re.fullmatch(r"[\d.,]+ ?(?:(?:kg|lb)s?|(?:st|stones?)(?: ?\d+(?: ?lbs?)?)?)", part, re.I):
        weight = WEIGHT.read(part, context)
        return weight if isinstance(weight, Fault) else replace(line, weight=weight)
    if part.lower().split(" ")[0] in SIGNS:
        return replace(line, signs=(*line.signs, part.lower().split(" ")[0]), remark=joined(line.remark, part))
    if LEFT_OVER.fullmatch(part):
        return Fault(f"`{clipped(part)}` is not understood", "write it as `bcs 2.5`, `eyelid 3`, `dag 2` or `39.2 C`")
    return replace(line, remark=joined(line.remark, part))


def worded(line: CheckLine, word: str, typed: str, context: Context) -> CheckLine | Fault:
    """A part that begins with what was looked at."""
    scores: dict[str, tuple[str, Any]] = {
        "bcs": ("condition", CONDITION), "condition": ("condition", CONDITION), "eyelid": ("eyelid", EYELID),
        "eye": ("eyelid", EYELID),
        "dag": ("dag", DAG), "dags": ("dag", DAG),
    }  # fmt: skip
    if word in scores:
        name, reader = scores[word]
        value = reader.read(typed, context)
        if isinstance(value, Fault):
            return replace(value, start=len(word) + 1 + value.start)
        kept: dict[str, Any] = {name: value if name == "condition" else int(value)}
        return replace(line, **kept)
    if word == "udder":
        side = re.search(r"\b(left|right|both)\b", typed, re.I)
        state = next((item for item in UDDERS if re.search(rf"\b{item}", typed, re.I)), typed)
        return replace(line, udder="normal" if state == "ok" else state, udder_side=side[1].lower() if side else None)
    plain = typed.strip().lower()
    return replace(line, feet=plain) if word in ("feet", "foot") else replace(line, mouth=plain)


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of a sheep: its first part, of three words at most, names what was
    looked at; behind a name that is a figure or one of the usual words.
    """
    start = opening(text)
    if start is None or not is_like_a_sheep(start.sheep):
        return False
    part = PARTS.split(text[start.start :])[0].strip()
    outcome = taken(CheckLine(start.sheep), part, context)
    told = outcome != CheckLine(start.sheep, remark=part) and len(part.split()) <= PLAIN_WORDS
    return told and bool(re.search(r"\d", start.sheep) or USUAL.search(part))


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """A table row whose headings are the words of a line: sheep, bcs, eyelid, udder, feet, mouth, dag, kg, note."""
    sheep = cells.get("sheep", "").strip()
    if not sheep:
        return LineReading(remark=True)
    parts = [
        f"{name} {cells[name].strip()}"
        for name in ("bcs", "condition", "eyelid", "udder", "feet", "mouth", "dag")
        if cells.get(name, "").strip()
    ]
    parts += [f"{cells[unit].strip()} {unit}" for unit in ("kg", "lb") if cells.get(unit, "").strip()]
    parts += [cells["note"].strip()] if cells.get("note", "").strip() else []
    reading = read(f"{sheep}, {', '.join(parts)}", context)
    return replace(reading, value=replace(reading.value, sheep=sheep)) if reading.value is not None else reading


def joined(one: str, other: str) -> str:
    """Two remarks."""
    return ", ".join(part for part in (one, other) if part)
