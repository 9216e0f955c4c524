"""The mapping: what each column of a file becomes, in plain text that is proposed once, mended by hand, and kept."""

from __future__ import annotations

import re
from collections.abc import Iterator

from compiler.diagnostics import Diagnostic
from compiler.shape import Value
from compiler.source import Span
from flockbook.gathering.rules import MAPPING_WRONG
from flockbook.gathering.sheets import column_letters, on_one_line
from flockbook.gathering.targets import GATHERED_KINDS, NO_DOSE, NOT_USED, OPEN
from flockbook.records.gathered import rows_said

ORDERS = ("day-month", "month-day", "written out")
DECIMALS = ("point", "comma")
AS_ABOVE, REFUSED = "as above", "refused"  # what a blank cell means: what stands above it, or that its row lacks it
BLANKS_ASKED = ("ewe", "date", "medicine")  # what a blank cell often leaves to the row above: the second twin
MEANS_NOTHING = "-"  # what a word becomes that says nothing: `word alive under Status -> -`
ONE_FILE = "the file"  # the section of a file that has no sheets
MAPPING_LEAD = """\
# What `flockbook gather` makes of {file}. It was proposed, and nothing is assumed: read every line, mend it, and give
# the command again. A `?` is a question that has to be answered first. A column can become: the name of a field,
# `remark` (its words go into the note), `not used`, or `no dose` (not used, and no sheep got anything, though it sounds
# so). `word F under Sex -> ewe` says what a word means, `-` for nothing; `leave out: 14, 17-19` leaves rows out.
# `new medicine: NAME` makes a note for a product that has none; until you type its label whoever got it is held. Or
# type it here, as its label says: `new medicine: NAME; meat withdrawal: 21 days; source: label`.
# `weight in lb, on 2025-10-01` is a column of one day; `ewe, blank as above` takes a blank cell from the row above it.
# Where `as` or `headings in row` is mended, the command proposes the columns anew.
"""
# Words over a column that says how long a treated sheep waits.
WAIT_IN_HEADING = re.compile(
    r"\b(?:w/?d|withdraw\w*|withh\w*|clear\w*|safe|release\w*|until|wait\w*|periods?|sell|sale|slaughter|meat|milk)\b",
    re.I,
)


class ColumnUse(Value):
    """One column: its place from 0, its heading, what it becomes, the unit of its bare figures, the day that its
    heading names, and what its blank cells mean.
    """

    place: int
    heading: str
    target: str
    unit: str = ""
    day: str = ""
    blank: str = ""

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
    made_for: str = ""
    line: int = 1

    @property
    def used(self) -> bool:
        """Whether notes are made of it."""
        return self.kind not in (NOT_USED, NO_DOSE)

    @property
    def form(self) -> str:
        """What its columns are proposed for."""
        return f"{self.kind}, row {self.headings}"

    @property
    def outdated(self) -> bool:
        """Whether its columns were proposed for other rows than it says now, or never."""
        return self.kind in GATHERED_KINDS and (not self.columns or self.made_for not in ("", self.form))


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
    yield from map(column_line, one.columns)
    yield from map(word_line, one.words)
    yield from (f"new medicine: {name}" for name in one.new_medicines)
    if one.left_out:
        yield f"leave out: {rows_said(one.left_out)}"


def column_line(use: ColumnUse) -> str:
    """One column as it is kept."""
    unit = f" in {use.unit}" if use.unit else ""
    day = f", on {use.day}" if use.day else ""
    blank = f", blank {use.blank}" if use.blank else ""
    return f"{column_letters(use.place)}: {use.heading} -> {use.target}{unit}{day}{blank}"


def word_line(word: WordUse) -> str:
    """What a word means, as it is kept."""
    return f"word {word.word} under {word.heading} -> {word.means}"


def said_lines(one: SheetMapping) -> Iterator[str]:
    """The lines that say how the whole sheet is read."""
    yield f"headings in row: {one.headings}"
    if one.made_for:
        yield f"columns are for: {one.made_for}"
    if one.encoding:
        yield f"encoding: {one.encoding}"
        yield f"delimiter: {one.delimiter}"
    yield f"dates: {one.dates}"
    yield f"decimal: {one.decimal}"
