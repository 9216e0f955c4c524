"""One weight: a sheep, what it weighed, and any remark."""

from __future__ import annotations

import re
from collections.abc import Mapping

from compiler.diagnostics import Grade
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field, replace
from compiler.source import Span
from compiler.values import WEIGHT, Weight

LINE_WEIGHED = re.compile(
    r"(?P<sheep>(?:\S[^,:=]{0,40}?['’]s (?:\w+ )?lamb(?: \d{4})?(?: \d(?![\d.,]*\d)(?=[\s,:]+\d))?"
    r"|no\.?\s*\d[^\s,:]*|\S(?:.*?[^\s,:])??))[\s,:]++(?:(?:[-–—=…]+|weighs|weighed)\s++)?"
    r"(?P<weight>(?:\d{1,3}(?: ?[½¼¾]|[ -](?:1/2|1/4|3/4)(?![\d/]))|(?:\d|[.,]\d)[\d.,]*+)"
    r"(?:\s*+(?:(?:kg|kilo)s?(?![a-z])|(?:(?:lb|pound)s?(?![a-z])\.?+|#)"
    r"(?:,?\s*+\d++\s*+(?:oz|ounces?)\b\.?+)?)|\s*+(?:st|stones?)(?![a-z])"
    r"(?:\s*+\d++(?![\d.,])(?:\s*+(?:lb|pound)s?)?)?)?)(?=\s|,|$|(?<=,))(?P<rest>.*)",
    re.I,
)
SECOND = re.compile(r"\d[\d.,]*(?=\s|,|$)(?!\s*(?:mls?|cc)\b)", re.I)  # no dose, which has a unit
SECOND_CURE = "write one weight, as in `24.5`, and any other figure after words; or add `sure: yes` to the note"
# A whole line of a sheep and a figure in which a letter stands for 1 or 0.
LETTERED = re.compile(r"\s*+[^\s,:]++[\s,:]++(?P<weight>(?=\S*\d)(?=\S*[lIoO])[\d.,lIoO]++)\s*(?:kgs?|lbs?)?", re.A)
HEADED_UNITS = {**dict.fromkeys(("kg", "kgs", "kilos"), "kg"), **dict.fromkeys(("lb", "lbs", "pounds"), "lb")}
WEIGHT_COLUMNS = ("sheep", "tag", *HEADED_UNITS, "weight", "note", "remark")  # headings of a table of weights
WEIGHED_KG = (0.8, 180.0)  # kg; from a small newborn to a large ram, common practice


class WeightLine(Value):
    """A sheep as named, its weight, and the rest of the line. `unlikely` weights are asked about and left out of
    averages.
    """

    sheep: str
    weight: Weight
    remark: str = ""
    unlikely: bool = False
    span: Span = field(default_factory=lambda: Span(""))


class Unweighed(Value):
    """A sheep that stands in a line by itself: it was there, and not weighed."""

    sheep: str
    span: Span = field(default_factory=lambda: Span(""))


# A whole line of one tag, or of a lamb called after its dam; neither a time nor an amount with its unit.
LONE_SHEEP = re.compile(
    r"(?:[A-Za-z]{0,5}[-/]?\d{1,9}(?:/\d{2,4})?|\S[^,:=]{0,40}?['’]s (?:\w+ )?lamb(?: \d{4})?)", re.A
)


def read_or_lone(text: str, context: Context) -> LineReading:
    """Read a weight line, or a line that is nothing but a sheep: `731`."""
    if LONE_SHEEP.fullmatch(text.strip()):
        return LineReading(value=Unweighed(text.strip()))
    return read(text, context)


def is_plain_or_lone(text: str, context: Context) -> bool:
    """Whether a numbered or indented line is surely a weight line, or nothing but a tag."""
    return isinstance(read_or_lone(text, context).value, Unweighed) or is_plain(text, context)


def read(text: str, context: Context) -> LineReading:
    """Read `731 27.5 dirty behind`; a line without a weight is a remark."""
    match = LINE_WEIGHED.match(text)
    if match is None:
        return lettered(text)
    value = WEIGHT.read(match["weight"].strip(" ,"), context)
    if isinstance(value, Fault):
        return LineReading(faults=(replace(value, start=match.start("weight") + value.start),))
    line = weighed(match["sheep"].strip(), value, match["rest"].strip(" ,"))
    second = SECOND.match(line.remark)
    if second is None:
        return weight_asked(line)
    doubt = f"a second figure, `{second[0]}`, stands after the weight"
    start = match.start("rest") + match["rest"].index(second[0])
    told = Fault(doubt, SECOND_CURE, start, len(second[0]), Grade.ASK)
    return LineReading(value=replace(line, unlikely=True), faults=(told,))


def is_plain(text: str, context: Context) -> bool:
    """Whether a numbered or indented line surely tells of a weight: a tag in one word with a figure, and its weight."""
    line = read(text, context).value
    return line is not None and " " not in line.sheep and re.search(r"\d", line.sheep) is not None


def lettered(text: str) -> LineReading:
    """A line without a weight: a remark, or a figure with a letter in it, which is told."""
    match = LETTERED.fullmatch(text.rstrip())
    if match is None:
        return LineReading(remark=True)
    typed, start = match["weight"], match.start("weight")
    meant = typed.translate(str.maketrans("lIoO", "1100"))
    return LineReading(faults=(Fault(f"`{typed}` has a letter in it", f"write {meant}", start, len(typed)),))


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """Read a table row: `sheep` (or `tag`), `kg`, `lb` or `weight`, and `note`; an empty weight is a sheep not
    weighed.
    """
    sheep = cells.get("sheep") or cells.get("tag") or ""
    headings = [name for name in (*HEADED_UNITS, "weight") if cells.get(name, "").strip()]
    if not sheep.strip() or not headings:
        return LineReading(remark=True)
    if len(headings) > 1:
        told = f"two weights in one row, under `{headings[0]}` and `{headings[1]}`"
        return LineReading(faults=(Fault(told, "keep one of them"),))
    typed, unit = cells[headings[0]].strip(), HEADED_UNITS.get(headings[0], "")
    value = WEIGHT.read(f"{typed} {unit}".strip() if typed[-1:].isdigit() else typed, context)
    if isinstance(value, Fault):
        return LineReading(faults=(value,))
    return weight_asked(weighed(sheep.strip(), value, cells.get("note", cells.get("remark", "")).strip()))


def weight_asked(line: WeightLine) -> LineReading:
    """A weight line with the question, when its weight is unusual."""
    cure = perhaps(line.weight, WEIGHED_KG) + "correct it, or add `sure: yes` to the note"
    doubt = Fault(f"{line.weight.text.strip()} would be unusual for a sheep", cure, grade=Grade.ASK)
    return LineReading(value=line, faults=(doubt,) if line.unlikely else ())


def perhaps(weight: Weight, band: tuple[float, float]) -> str:
    """`did you mean 31.0? ` for a weight of whole figures in which a point may be missing; else ""."""
    match = re.match(r"(\d+)(\d)(?![\d.,])", weight.text.strip())
    likely = match is not None and band[0] <= weight.kg / 10 <= band[1] < weight.kg
    return f"did you mean {match[1]}.{match[2]}? " if match and likely else ""


def weighed(sheep: str, weight: Weight, remark: str) -> WeightLine:
    """A weight line, with the question of whether its weight is likely."""
    return WeightLine(sheep, weight, remark, unlikely=not WEIGHED_KG[0] <= weight.kg <= WEIGHED_KG[1])
