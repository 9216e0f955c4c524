"""One sheep in a treatment note: its weight, or its own dose, where they differ."""

from __future__ import annotations

import re
from collections.abc import Mapping

from compiler.diagnostics import Grade
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field, replace
from compiler.source import Span
from compiler.values import WEIGHT, Volume, Weight
from flockbook.records.labels import DOSE_TEXT
from flockbook.records.sheep_line import TWO_NAMES

# The figure after a lamb says which of several; it is not one when a unit or more figures follow: that is a dose.
DOSED_SHEEP = re.compile(
    r"(?P<sheep>no\.? ?\d+(?:/\d{4})?|[^\s,:]+(?: [^\s,:]+)?['’]s (?:\w+ )?lamb(?: \d{4})?"
    rf"(?: \d(?![\d.,]*\d)(?!\s*(?:kgs?|lbs?|ml|cc)\b))?|{TWO_NAMES}|[^\s,:]+)",
    re.I,
)
LINE_AMOUNT = re.compile(
    r"[\s,:]*+(?P<figure>\.*+\d++(?:[.,]++\d++)*(?![.,]*\d))(?:\s*+(?P<unit>kgs?|lbs?|ml|cc"
    # Pounds behind stones; a figure that has a unit of volume of its own is a dose.
    r"|(?:st|stones?)(?![a-z])(?:\s*+\d++(?:\s*+(?:lb|pound)s?(?![a-z])|(?![\d.,]*\d)(?!\s*+(?:ml|cc)\b)))?))?(?=[\s,]|$)"
    r"(?!\s*+(?:oz|ounces?|fl)\b)",
    re.I,
)
OUNCES_GIVEN = re.compile(r"[\s,:]*\d[\d.,]* ?(?:fl\.? ?)?(?:oz|ounces?)\b", re.I)
# `1/2 cc`, `2 ½ ml`: what syringes are marked with, and no line is read for.
PART_GIVEN = re.compile(
    r"(?:.*?[\s,:])?(?P<typed>(?:\d{1,2}(?:[ -]|(?=[½¼¾])))?(?:[½¼¾]|[13]/4|[12]/3|1/2) ?(?P<unit>ml|cc)s?)(?![a-z])",
    re.I,
)
OUNCES_CURE = "write the dose in ml, or the weight in lb; or add `sure: yes` to the note"


OF_DOSE = ("dose", "ml", "mls", "dose ml", "dose (ml)", "ml given", "amount", "volume")  # headings of a column of doses


class DoseLine(Value):
    """A sheep as named, with the weight it was dosed by and the dose it got, as far as written."""

    sheep: str
    weight: Weight | None = None
    dose: Volume | None = None
    remark: str = ""
    text: str = ""  # the whole line as typed; "" for a row of a table
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `C230 62 kg`, `C230 62 kg 2.5 ml` or `C230`; the first word, or a name of several words that
    each have a capital, names a sheep.
    """
    match = DOSED_SHEEP.match(text)
    if match is None:
        return LineReading(
            faults=(Fault("this line names no sheep", "begin the line with its tag or name, or leave out the dash"),)
        )
    line, place, faults = DoseLine(match["sheep"], text=text), match.end(), []
    while amount := LINE_AMOUNT.match(text, place):
        outcome = dose_taken(line, amount, context)
        if isinstance(outcome, Fault):
            faults.append(replace(outcome, start=amount.start("figure"), length=len(amount[0].strip(" ,:"))))
        else:
            line = outcome
            faults += in_stones(amount, line)
        place = amount.end()
    if ounces := OUNCES_GIVEN.match(text, place):
        told = f"`{ounces[0].strip(' ,:')}` is read neither as a dose nor as a weight"
        start = ounces.end() - len(ounces[0].strip(" ,:"))
        faults.append(Fault(told, OUNCES_CURE, start, ounces.end() - start, Grade.ASK))
    faults += in_parts_of_one(text, match.end(), context)
    return LineReading(value=replace(line, remark=text[place:].strip(" ,")), faults=tuple(faults))


def in_parts_of_one(text: str, place: int, context: Context) -> list[Fault]:
    """The question about a dose in halves or quarters, of which only figures are read in a line."""
    part = PART_GIVEN.match(text, place)
    volume = DOSE_TEXT.read(part["typed"], context) if part else None
    if part is None or not isinstance(volume, Volume):
        return []
    typed, cure = part["typed"], f"write `{volume.ml:g} {part['unit']}`"
    return [Fault(f"`{typed}` is not read as a dose in a line", cure, part.start("typed"), len(typed), Grade.ASK)]


def in_stones(amount: re.Match[str], line: DoseLine) -> list[Fault]:
    """The question about a weight in stones: what was given is judged by kilograms, or pounds, on the line."""
    if line.weight is None or not (amount["unit"] or "").lower().startswith("st"):
        return []
    typed = amount[0].strip(" ,:")
    cure = f"write `{line.weight.kg:.1f} kg` in its place"
    return [Fault(f"`{typed}` is in stones", cure, amount.start("figure"), len(typed), Grade.ASK)]


def dose_taken(line: DoseLine, amount: re.Match[str], context: Context) -> DoseLine | Fault:
    """A weight or a dose, told apart by the unit; a bare figure is a weight."""
    typed = f"{amount['figure']} {amount['unit'] or ''}".strip()
    if (amount["unit"] or "").lower() in ("ml", "cc"):
        volume = DOSE_TEXT.read(typed, context)
        return volume if isinstance(volume, Fault) else replace(line, dose=volume)
    weight = WEIGHT.read(typed, context)
    return weight if isinstance(weight, Fault) else replace(line, weight=weight)


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """Read a table row: `sheep`, and `kg`, `lb`, `weight` (`9 st 4 lb`), `dose` or `ml` where they were written."""
    sheep = (cells.get("sheep") or cells.get("tag") or "").strip()
    if not sheep:
        return LineReading(faults=(Fault("this row names no sheep", "fill in the first column, or take the row out"),))
    amounts = [f"{cells[unit].strip()} {unit}" for unit in ("kg", "lb") if cells.get(unit, "").strip()]
    amounts += [cells["weight"].strip()] if cells.get("weight", "").strip() else []
    dose = next((text for name in OF_DOSE if (text := cells.get(name, "").strip())), "")
    if dose:
        amounts.append(f"{dose} ml" if re.fullmatch(r"[\d.,]+", dose) else dose)
    reading = read(" ".join([sheep, *amounts]), context)
    return reading if reading.value is None else replace(reading, value=replace(reading.value, sheep=sheep, text=""))
