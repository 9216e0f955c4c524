"""The mapping: what each column of a file becomes, in plain text that is proposed once, mended by hand, and kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

from compiler.diagnostics import Diagnostic
from compiler.nearness import did_you_mean
from compiler.shape import Value, replace
from compiler.source import Span
from flockbook.gathering.rules import MAPPING_WRONG
from flockbook.gathering.sheets import DELIMITERS_SAID, column_letters, column_place, on_one_line
from flockbook.gathering.targets import GATHERED_KINDS, NO_DOSE, NOT_USED, OPEN, REMARK, said_by_each, targets_of
from flockbook.records.gathered import row_numbers, rows_said

ORDERS = ("day-month", "month-day", "written out")
DECIMALS = ("point", "comma")
MEANS_NOTHING = "-"  # what a word becomes that says nothing: `word alive under Status -> -`
ONE_FILE = "the file"  # the section of a file that has no sheets
MAPPING_LEAD = """\
# What `flockbook gather` makes of {file}. It was proposed, and nothing is assumed: read every line, mend it, and give
# the command again. A `?` is a question that has to be answered first. A column can become: the name of a field,
# `remark` (its words go into the note), `not used`, or `no dose` (not used, and no sheep got anything, though it sounds
# so). `word F under Sex -> ewe` says what a word means, `-` for nothing; `leave out: 14, 17-19` leaves rows out.
# `new medicine: NAME` makes a note for a product that has none: until you type its label, whoever got it is held.
"""
SECTION_LINE = re.compile(r"\[(?P<name>.+)\]")
COLUMN_LINE = re.compile(r"(?P<letters>[A-Z]{1,3}): (?P<heading>.*) -> (?P<target>.+?)(?: in (?P<unit>[a-z?]+))?")
WORD_LINE = re.compile(r"word (?P<word>.+) under (?P<heading>.+) -> (?P<means>.+)")
SAID_LINE = re.compile(
    r"(?P<name>as|headings in row|encoding|delimiter|dates|decimal|leave out|new medicine):\s*(?P<said>.*)"
)
# Words over a column that says how long a treated sheep waits.
WAIT_IN_HEADING = re.compile(
    r"\b(?:w/?d|withdraw\w*|withh\w*|clear\w*|safe|release\w*|until|wait\w*|periods?|sell|sale|slaughter|meat|milk)\b",
    re.I,
)
HOW_LINES = "write it as the lines above it, or take the file away: the command proposes it anew"


class ColumnUse(Value):
    """One column: its place from 0, its heading, what it becomes, and the unit of its bare figures."""

    place: int
    heading: str
    target: str
    unit: str = ""

    @property
    def called(self) -> str:
        """The column in messages."""
        return f"column {column_letters(self.place)} `{self.heading}`"


class WordUse(Value):
    """What a word means that stands under a heading."""

    word: str
    heading: str
    means: str


class SheetMapping(Value):
    """How one sheet is read. `line` is where its section begins in the mapping."""

    sheet: str
    kind: str = OPEN
    headings: int = 1
    encoding: str = ""
    delimiter: str = ""
    dates: str = ORDERS[2]
    decimal: str = DECIMALS[0]
    columns: tuple[ColumnUse, ...] = ()
    words: tuple[WordUse, ...] = ()
    left_out: tuple[int, ...] = ()
    new_medicines: tuple[str, ...] = ()
    line: int = 1

    @property
    def used(self) -> bool:
        """Whether notes are made of it."""
        return self.kind not in (NOT_USED, NO_DOSE)


class FileMapping(Value):
    """How a file is read, sheet by sheet."""

    path: str
    sheets: tuple[SheetMapping, ...] = ()

    def of(self, sheet: str) -> SheetMapping | None:
        """How a sheet is read."""
        return next((one for one in self.sheets if one.sheet == sheet), None)

    def told(self, line: int, message: str, help: str) -> Diagnostic:
        """What is wrong with a line of it."""
        return MAPPING_WRONG.at(Span(self.path, line), message, help, "nothing was taken from the file")


def mapping_text(file: str, mapping: FileMapping) -> str:
    """The mapping as it is kept."""
    return MAPPING_LEAD.format(file=on_one_line(file)) + "".join(
        f"{line}\n" for one in mapping.sheets for line in lines_for(one)
    )


def lines_for(one: SheetMapping) -> Iterator[str]:
    """The lines of one section."""
    yield from ("", f"[{one.sheet or ONE_FILE}]", f"as: {one.kind}")
    if not one.used:
        return
    yield from said_lines(one)
    for use in one.columns:
        unit = f" in {use.unit}" if use.unit else ""
        yield f"{column_letters(use.place)}: {use.heading} -> {use.target}{unit}"
    yield from (f"word {use.word} under {use.heading} -> {use.means}" for use in one.words)
    yield from (f"new medicine: {name}" for name in one.new_medicines)
    if one.left_out:
        yield f"leave out: {rows_said(one.left_out)}"


def said_lines(one: SheetMapping) -> Iterator[str]:
    """The lines that say how the whole sheet is read."""
    yield f"headings in row: {one.headings}"
    if one.encoding:
        yield f"encoding: {one.encoding}"
        yield f"delimiter: {one.delimiter}"
    yield f"dates: {one.dates}"
    yield f"decimal: {one.decimal}"


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
        use = ColumnUse(column_place(column["letters"]), column["heading"], column["target"], column["unit"] or "")
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
    """`new medicine: ivermectin oral`: a note is made for it, whose label is still to be typed."""
    return replace(one, new_medicines=(*one.new_medicines, said)) if said else "write the name of the product"


SETTERS: dict[str, Callable[[SheetMapping, str], SheetMapping | str]] = {
    "as": set_kind, "headings in row": set_headings, "delimiter": set_delimiter, "dates": set_dates,
    "decimal": set_decimal, "leave out": set_left_out,
    "new medicine": set_new_medicine,
    "encoding": set_encoding,
}  # fmt: skip


# What is still to be answered


def questions(mapping: FileMapping, one: SheetMapping) -> Iterator[Diagnostic]:
    """What a section leaves open, or cannot mean."""
    if one.kind == OPEN:
        cure = f"write what its rows are, one of {', '.join(GATHERED_KINDS)}, or `{NOT_USED}`"
        yield mapping.told(one.line, f"`as: ?` asks what the rows of {one.sheet or ONE_FILE} are", cure)
    elif one.used:
        yield from open_lines(mapping, one)
        known = targets_of(one.kind)
        for use in one.columns:
            yield from column_questions(mapping, one, use, known)


def open_lines(mapping: FileMapping, one: SheetMapping) -> Iterator[Diagnostic]:
    """The lines of a section that ask."""
    if one.decimal == OPEN:
        yield mapping.told(one.line, "`decimal: ?` asks how 4,1 is meant", "write `decimal: point` or `decimal: comma`")
    mapped = {use.target for use in one.columns}
    for group in said_by_each(one.kind):
        if mapped.isdisjoint(group):
            cure = f"map the column that says it to `{group[0]}`"
            yield mapping.told(one.line, f"no column says {' or '.join(group[:2])}, which each row must say", cure)
    taken = [use.target for use in one.columns if use.target not in (NOT_USED, NO_DOSE, OPEN, REMARK)]
    for target in sorted({target for target in taken if taken.count(target) > 1}):
        yield mapping.told(one.line, f"two columns become `{target}`", "make one of them `remark` or `not used`")


def column_questions(
    mapping: FileMapping, one: SheetMapping, use: ColumnUse, known: Iterable[str]
) -> Iterator[Diagnostic]:
    """What a column leaves open, or cannot become."""
    if use.target == OPEN:
        born, gone = "`lamb state`, ", "; who died or was sold has a `death` or `sale` note of its own"
        said = (born, "") if "lamb state" in known else ("", gone)
        cure = f"write what it becomes: {said[0]}`remark`, a field, or `no dose` if no sheep got anything{said[1]}"
        doubt = f"{use.called} may tell of a medicine, or of who died or was sold, and nothing is made of it"
        yield mapping.told(one.line, doubt, cure)
    elif one.kind == "treatment" and use.target in (REMARK, NOT_USED) and WAIT_IN_HEADING.search(use.heading):
        cure = (
            "make it `meat withdrawal in days` or `milk withdrawal in days`; or `no dose`, if your labels say as much"
        )
        yield mapping.told(one.line, f"{use.called} may say how long to wait, and would not be heard", cure)
    elif use.target not in (*known, NOT_USED, NO_DOSE):
        cure = f"{did_you_mean(use.target, known)}write one of: {', '.join(sorted(known))}, {NOT_USED}"
        yield mapping.told(one.line, f"{use.called} cannot become `{use.target}` in a {one.kind} note", cure)
