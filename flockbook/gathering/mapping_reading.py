"""A mapping read line by line, with a message for each line that says nothing."""

from __future__ import annotations

import re
from collections.abc import Callable

from compiler.diagnostics import Diagnostic
from compiler.nearness import did_you_mean
from compiler.shape import Value, replace
from flockbook.gathering.mappings import (
    DECIMALS,
    ONE_FILE,
    ORDERS,
    ColumnUse,
    FileMapping,
    SheetMapping,
    WordUse,
)
from flockbook.gathering.open_questions import questions
from flockbook.gathering.sheets import DELIMITERS_SAID, column_place
from flockbook.gathering.targets import GATHERED_KINDS, NO_DOSE, NOT_USED, OPEN, targets_of
from flockbook.records.gathered import row_numbers

SECTION_LINE = re.compile(r"\[(?P<name>.+)\]")
COLUMN_LINE = re.compile(
    r"(?P<letters>[A-Z]{1,3}): (?P<heading>.*) -> (?P<target>.+?)(?: in (?P<unit>[a-z?]+(?: each| total)?))?"
    r"(?:, on (?P<day>\?|\d{4}-\d{2}-\d{2}))?(?:, blank (?P<blank>as above|refused|\?))?"
)
WORD_LINE = re.compile(r"word (?P<word>.+) under (?P<heading>.+) -> (?P<means>.+)")
SAID_LINE = re.compile(
    r"(?P<name>as|headings in row|encoding|delimiter|dates|decimal|leave out|new medicine|columns are for)"
    r":\s*(?P<said>.*)"
)
HOW_LINES = "write it as the lines above it, or take the file away: the command proposes it anew"


class MappingLine(Value):
    """One line of a mapping that says something."""

    number: int
    text: str


def read_mapping(path: str, text: str) -> tuple[FileMapping, tuple[Diagnostic, ...]]:
    """The mapping that a text says, with a message for each line that says nothing or asks."""
    mapping, told = FileMapping(path), []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        outcome = line_taken(mapping, MappingLine(number, line.strip()))
        if isinstance(outcome, Diagnostic):
            told.append(outcome)
        else:
            mapping = outcome
    return mapping, (*told, *(item for one in mapping.sheets for item in questions(mapping, one)))


def line_taken(mapping: FileMapping, line: MappingLine) -> FileMapping | Diagnostic:
    """The mapping with what one line says."""
    if section := SECTION_LINE.fullmatch(line.text):
        name = "" if section["name"] == ONE_FILE else section["name"]
        return replace(mapping, sheets=(*mapping.sheets, SheetMapping(name, line=line.number)))
    if not mapping.sheets:
        return mapping.told(line.number, "this line stands before the first `[sheet]`", HOW_LINES)
    outcome = said_of_sheet(mapping.sheets[-1], line.text)
    if outcome is None:
        return mapping.told(line.number, f"`{line.text[:60]}` is no line of a mapping", HOW_LINES)
    if isinstance(outcome, str):
        return mapping.told(line.number, outcome, HOW_LINES)
    return replace(mapping, sheets=(*mapping.sheets[:-1], outcome))


def said_of_sheet(one: SheetMapping, text: str) -> SheetMapping | str | None:
    """A section with what one of its lines says; words about what is wrong; None where it is no such line."""
    if column := COLUMN_LINE.fullmatch(text):
        parts = (column[name] or "" for name in ("heading", "target", "unit", "day", "blank"))
        use = ColumnUse(column_place(column["letters"]), *parts)
        return replace(one, columns=(*one.columns, use))
    if word := WORD_LINE.fullmatch(text):
        return replace(one, words=(*one.words, WordUse(word["word"], word["heading"], word["means"])))
    if said := SAID_LINE.fullmatch(text):
        outcome: SheetMapping | str = SETTERS[said["name"]](one, said["said"])
        return outcome
    return None


def set_kind(one: SheetMapping, said: str) -> SheetMapping | str:
    """`as: ewe`."""
    known = (*GATHERED_KINDS, NOT_USED, NO_DOSE, OPEN)
    wrong = f"`{said}` is nothing that rows can become: {did_you_mean(said, known)}one of {', '.join(known)}"
    return replace(one, kind=said) if said in known else wrong


def set_headings(one: SheetMapping, said: str) -> SheetMapping | str:
    """`headings in row: 3`."""
    return replace(one, headings=int(said)) if re.fullmatch(r"\d{1,6}", said) else f"`{said}` is no row"


def set_delimiter(one: SheetMapping, said: str) -> SheetMapping | str:
    """`delimiter: comma`."""
    fits = said in DELIMITERS_SAID
    return replace(one, delimiter=said) if fits else f"write one of {', '.join(DELIMITERS_SAID)}"


def set_dates(one: SheetMapping, said: str) -> SheetMapping | str:
    """`dates: day-month`."""
    return replace(one, dates=said) if said in (*ORDERS, OPEN) else f"write one of {', '.join(ORDERS)}"


def set_decimal(one: SheetMapping, said: str) -> SheetMapping | str:
    """`decimal: point`."""
    return replace(one, decimal=said) if said in (*DECIMALS, OPEN) else f"write one of {', '.join(DECIMALS)}"


def set_left_out(one: SheetMapping, said: str) -> SheetMapping | str:
    """`leave out: 14, 17-19`."""
    fits = re.fullmatch(r"\d{1,6}(?: ?- ?\d{1,6})?(?:, ?\d{1,6}(?: ?- ?\d{1,6})?)*", said)
    return replace(one, left_out=(*one.left_out, *row_numbers(said))) if fits else f"`{said}` names no rows"


def set_encoding(one: SheetMapping, said: str) -> SheetMapping | str:
    """`encoding: utf-8`."""
    return replace(one, encoding=said)


def set_new_medicine(one: SheetMapping, said: str) -> SheetMapping | str:
    """`new medicine: ivermectin oral`: a note is made for it, whose label is still to be typed, or stands behind it."""
    name, *fields = said.split(";")
    known = targets_of("medicine")
    strange = [part.strip() for part in fields if part.partition(":")[0].strip() not in known]
    if not name.strip() or strange:
        return f"`{strange[0] if strange else said}` is no field of a medicine, such as `meat withdrawal: 21 days`"
    return replace(one, new_medicines=(*one.new_medicines, said))


def set_made_for(one: SheetMapping, said: str) -> SheetMapping:
    """`columns are for: treatment, row 2`: written by the command."""
    return replace(one, made_for=said)


SETTERS: dict[str, Callable[[SheetMapping, str], SheetMapping | str]] = {
    "as": set_kind, "headings in row": set_headings, "delimiter": set_delimiter, "dates": set_dates,
    "decimal": set_decimal, "leave out": set_left_out,
    "new medicine": set_new_medicine,
    "encoding": set_encoding,
    "columns are for": set_made_for,
}  # fmt: skip
