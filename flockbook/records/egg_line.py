"""One sample of a worm egg count, and how its slide was made."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from compiler.diagnostics import Grade
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field
from compiler.source import Span
from compiler.written import Written
from flockbook.records.sheep_line import Opening, is_like_a_sheep, opening, second_sheep

EGG_FIGURE = r"(?<![\d.,])(\d[\d.,]*+)"
EGGS_COUNTED = re.compile(rf"{EGG_FIGURE} ?eggs?\b", re.I)
EGGS_BEFORE = re.compile(rf"\bbefore\s+[-−]?{EGG_FIGURE}", re.I)
AFTER = re.compile(rf"\bafter\s+[-−]?{EGG_FIGURE}", re.I)
EPG = re.compile(rf"{EGG_FIGURE} ?epg\b", re.I)
WHOLE_COUNT = re.compile(r"\d{1,3}(?:,\d{3})+|\d+", re.A)  # a count, thousands apart or not

MINUS = re.compile(r"(?<![^\s,:=])[-−]$")  # a sign that touches the figure behind it

EGG_JOINTS = ("", "epg", "and", "in", "counted")
MOST_EGGS = 1_000_000  # eggs, or eggs per gram; no worm burden comes near it (our own limit)
# Asked about (our own lines): counts of lambs full of barber's pole worm reach some tens of thousands a gram.
MANY_COUNTED, MANY_PER_GRAM = 4_000, 200_000


# How a slide was made: so many grams of dung, so much fluid in all, so much of it counted; in any order.
GRAMS_WEIGHED = re.compile(r"(?<![\d.,])(\d+(?:\.\d+)?) ?g(?:rams?)?\b", re.I)
IN_ALL = re.compile(r"(?<![\d.,])(\d+(?:\.\d+)?) ?ml in all\b", re.I)
ML_COUNTED = re.compile(r"(?<![\d.,])(\d+(?:\.\d+)?) ?ml counted\b", re.I)
SLIDE_HELP = "write it as `2 g, 30 ml in all, 0.3 ml counted`; `in all` is dung and fluid together"


class Slide(Value):
    """How a slide was made: grams of dung, mL of dung and fluid together, and mL of that which were counted."""

    grams: float
    total_ml: float
    counted_ml: float
    text: str = ""


def read_slide(text: str, context: Context) -> Slide | Fault:
    """The recipe of a slide; all three figures are needed, and no more can be counted than there is."""
    del context
    found = [pattern.findall(text) for pattern in (GRAMS_WEIGHED, IN_ALL, ML_COUNTED)]
    if any(len(figures) != 1 for figures in found):
        return Fault("this does not say how the slide was made", SLIDE_HELP)
    grams, total, counted = (float(figures[0]) for figures in found)
    if not (grams > 0 and 0 < counted <= total):
        return Fault("no slide can be made so", SLIDE_HELP)
    return Slide(grams, total, counted, text)


SLIDE = Written("the recipe of a slide", ("2 g, 30 ml in all, 0.3 ml counted",), read_slide)


class EggLine(Value):
    """A sheep (or `pooled`), eggs counted under the microscope, or eggs per gram; before and after for a test; what the
    line says besides.
    """

    sheep: str
    eggs: int | None = None
    epg: float | None = None
    before: float | None = None
    after: float | None = None
    also: str = ""
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `731 12 eggs`, `731 before 3500 after 200` (eggs per gram) or `731 600 epg`."""
    del context
    start = opening(text)
    if start is None:
        return LineReading(remark=True)
    if two := second_sheep(start):
        return LineReading(faults=(two,))
    if odd := odd_count(text, start):
        return LineReading(remark=True, faults=(odd,))
    before, after = count_found(EGGS_BEFORE, start.rest), count_found(AFTER, start.rest)
    eggs, epg = count_found(EGGS_COUNTED, start.rest), count_found(EPG, start.rest)
    if before is None and after is None and eggs is None and epg is None:
        return LineReading(
            faults=(Fault("this line has no count", "write `731 12 eggs` or `731 before 3500 after 200`", start.start),)
        )
    if any(count is not None and count > MOST_EGGS for count in (before, after, eggs, epg)):
        cure = "write the eggs counted, or the eggs per gram"
        return LineReading(faults=(Fault("no count can be as high as that", cure, start.start),))
    rest = egg_remark(start.rest)
    line = EggLine(start.sheep, None if eggs is None else int(eggs), epg, before, after, rest)
    return LineReading(value=line, faults=tuple(eggs_asked(line, start.start)))


def eggs_asked(line: EggLine, start: int) -> Iterator[Fault]:
    """The question about more eggs than a slide, or a gram, has in common practice."""
    counts = (line.eggs, MANY_COUNTED), *((count, MANY_PER_GRAM) for count in (line.epg, line.before, line.after))
    for count, many in counts:
        if count is not None and count > many:
            told = f"{count:,.0f} eggs would be unusual"
            yield Fault(told, "correct it, or add `sure: yes` to the note", start, grade=Grade.ASK)


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of a sample: a sheep (or `pooled`) and a count."""
    start, reading = opening(text), read(text, context)
    named = start is not None and (start.sheep.lower() == "pooled" or is_like_a_sheep(start.sheep))
    return named and reading.value is not None and not reading.value.also


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """Read a table row: `sheep` and `eggs`, `epg`, or `before` and `after`."""
    parts = [f"{name} {cells[name].strip()}" for name in ("before", "after") if cells.get(name, "").strip()]
    parts += [f"{cells[name].strip()} {name}" for name in ("eggs", "epg") if cells.get(name, "").strip()]
    return read(f"{cells.get('sheep', '').strip()} {' '.join(parts)}", context)


def egg_remark(rest: str) -> str:
    """What a line says besides its counts."""
    for pattern in (EGGS_BEFORE, AFTER, EGGS_COUNTED, EPG):
        rest = pattern.sub(",", rest, 1)
    parts = (" ".join(part.split()) for part in re.split(r"[,;]", rest))
    return ", ".join(part for part in parts if part not in EGG_JOINTS)


def odd_count(text: str, start: Opening) -> Fault | None:
    """The question about a figure that is no whole count: `12.5 eggs`."""
    for pattern in (EGGS_BEFORE, AFTER, EGGS_COUNTED, EPG):
        match = pattern.search(start.rest)
        if match and (signed := MINUS.search(start.rest[: match.start(1)])):
            typed = f"{signed[0]}{match[1]}"
            told = f"`{typed}` is no count of eggs"
            return Fault(told, "write the count without its sign", text.rfind(typed), len(typed))
        if match and not WHOLE_COUNT.fullmatch(typed := match[1].rstrip(".,")):
            place = text.rfind(typed)
            told = f"`{typed}` is no count of eggs, so the line is not counted"
            return Fault(told, "write a whole number, as in `12 eggs` or `600 epg`", place, len(typed), Grade.ASK)
    return None


def count_found(pattern: re.Pattern[str], text: str) -> float | None:
    """A count found in a line."""
    match = pattern.search(text)
    return float(match[1].rstrip(".,").replace(",", "")) if match else None
