"""The rows of a sheet: what each says by its mapping, or what else it is. Every row has one fate, and no other."""

from __future__ import annotations

import hashlib
import re
from base64 import b32encode
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from compiler.diagnostics import Diagnostic
from compiler.nearness import clipped
from compiler.schema import Context, Fault
from compiler.shape import Value, replace
from compiler.source import Span
from compiler.values import DATE
from flockbook.gathering.cell_values import CellReader
from flockbook.gathering.doses_told import DoseEar
from flockbook.gathering.fates import FATE_SAID, fate_in
from flockbook.gathering.mappings import AS_ABOVE, BLANKS_ASKED, ColumnUse, SheetMapping
from flockbook.gathering.open_questions import FATE_EXAMPLE
from flockbook.gathering.rules import ALL_STOPS, CELLS_EMPTY, DOSE_STOPS, NO_NOTE_OF_IT, ROW_REFUSED, ROWS_ALIKE
from flockbook.gathering.sheets import RowSheet, SheetCell, SheetRow, cells_said, on_one_line
from flockbook.gathering.targets import (
    FATE,
    IN_FATE,
    IN_HEAD,
    IN_REMARK,
    NO_DOSE,
    NOT_USED,
    Target,
    said_by_each,
    targets_of,
)
from flockbook.records.gathered import ROW_ID, rows_said

HEADING_ROW, ABOVE, BLANK_ROW, TOTAL_ROW, HEADINGS_AGAIN, ROW_LEFT_OUT, NO_FIGURE = (
    "headings", "above the headings", "blank", "a total", "the headings again", "left out in the mapping",
    "without a figure under any day",
)  # fmt: skip
# The other fates of a row.
ROW_KEPT_BACK, GATHERED_BEFORE, ROW_WRITTEN, ROW_PARTLY = "refused", "gathered before", "written", "written in part"
TOTALS_SAID = re.compile(r"(?:grand |sub-?)?(?:totals?|sum|averages?|avg|mean|count|min|max|median)\b[ :]*.*", re.I)
MAY_BE_EMPTY = re.compile(r"remark$|fate$|lamb [2-9]")  # targets of which many rows have nothing to say
LEADING_SIGNS = re.compile(r"[^\w]+")


class RowFate(Value):
    """What became of a row."""

    number: int
    fate: str


class RowRead(Value):
    """A row as it says: targets with their texts, words for the remark, whether it may tell of a dose, and an id.

    A row of several days, or of a sheep that died or was sold, is several of these; `becomes` is the kind of note of a
    fate, "" for what the rows of the sheet are.
    """

    number: int
    fields: tuple[tuple[str, str], ...]
    words: tuple[str, ...]
    dose: bool = False
    id: str = ""
    becomes: str = ""

    def says(self, name: str) -> str:
        """What it says of a target; "" for nothing."""
        return dict(self.fields).get(name, "")


class SheetRead(Value):
    """The rows of a sheet that say something, the fates of all others, and what of it is not used, in words."""

    sheet: RowSheet
    how: SheetMapping
    rows: tuple[RowRead, ...] = ()
    fates: tuple[RowFate, ...] = ()
    unused: tuple[str, ...] = ()


def read_rows(
    sheet: RowSheet, how: SheetMapping, context: Context, ear: DoseEar
) -> tuple[SheetRead, tuple[Diagnostic, ...]]:
    """Every row of a sheet, read or refused."""
    reader = _SheetReader(sheet, how, CellReader(how, context), ear)
    return reader.read()


class _SheetReader:
    """The work of reading one sheet."""

    def __init__(self, sheet: RowSheet, how: SheetMapping, cells: CellReader, ear: DoseEar) -> None:
        self.sheet, self.how, self.cells, self.ear = sheet, how, cells, ear
        self.known: Mapping[str, Target] = targets_of(how.kind) if how.used else {}
        self.used = [use for use in how.columns if use.target in self.known]
        self.headings = next((row.texts for row in sheet.rows if row.number == how.headings), ())
        self.told: list[Diagnostic] = []
        self.ids = Counter[str]()
        self.by_number = {row.number: row for row in sheet.rows}

    def read(self) -> tuple[SheetRead, tuple[Diagnostic, ...]]:
        """The rows read, and everything else by name."""
        rows: list[RowRead] = []
        fates: list[RowFate] = []
        for row in self.sheet.rows:
            fate = self.beside(row) if self.how.used else BLANK_ROW if row.blank else ROW_LEFT_OUT
            outcome = () if fate else self.row(row)
            rows += outcome or ()
            fate = fate or (ROW_KEPT_BACK if outcome is None else NO_FIGURE)
            fates += [] if outcome else [RowFate(row.number, fate)]
            if fate in (ABOVE, TOTAL_ROW) or (fate == ROW_LEFT_OUT and not self.how.used):
                self.overheard(row)
        self.alike(rows)
        self.columns_heard()
        unused = (*self.cells_unused(), *self.rows_unused(fates))
        return SheetRead(self.sheet, self.how, tuple(rows), tuple(fates), unused), (*self.told, *self.empty(rows))

    def beside(self, row: SheetRow) -> str:
        """The fate of a row of which no note is made; "" for one that may say something."""
        if row.blank:
            return BLANK_ROW
        if row.number <= self.how.headings:
            return HEADING_ROW if row.number == self.how.headings else ABOVE
        if row.number in self.how.left_out:
            return ROW_LEFT_OUT
        if row.texts == self.headings:
            return HEADINGS_AGAIN
        return TOTAL_ROW if self.is_total(row) else ""

    def is_total(self, row: SheetRow) -> bool:
        """Whether a row sums up others: it begins with such a word, and has neither a day nor a medicine."""
        first = next((text for text in row.texts if text), "")
        told = [use for use in self.used if self.known[use.target].is_day or use.target == "medicine"]
        full = any(row.cell(use.place).text for use in told)
        return TOTALS_SAID.fullmatch(first) is not None and not full

    def row(self, row: SheetRow) -> tuple[RowRead, ...] | None:
        """What a row says; None, with the reason told, where it cannot be used whole."""
        if over := self.over(row):
            cure = "put a cell that holds the sign between cells in quotes, or give its column a heading"
            self.refuse(row, over[0], Fault(f"`{clipped(row.texts[over[0]])}` stands under no heading", cure))
            return None
        said, words = dict[str, dict[str, str]](), list[str]()  # by the day of the column, "" for the others
        for use in self.used:
            target = self.known[use.target]
            text = self.cells.written(self.cell(row, use), use, target)
            if isinstance(text, Fault):
                self.refuse(row, use.place, replace(text, message=f"{use.called}: {text.message}"))
                return None
            if text and target.part == IN_FATE and not FATE_SAID.search(text):
                words += remark_lines(use, row.texts[use.place])
            elif text and target.part == IN_REMARK:
                words += remark_lines(use, text)
            elif text:
                said.setdefault(use.day, {})[use.target] = text
        return self.parts(row, said, tuple(words))

    def cell(self, row: SheetRow, use: ColumnUse) -> SheetCell:
        """The cell of a row; a blank one whose column says so is the one above it, as far as rows touch."""
        cell, above = row.cell(use.place), row.number
        while use.blank == AS_ABOVE and not cell.text and above > self.how.headings + 1:
            above -= 1
            higher = self.by_number.get(above)
            if higher is None or higher.blank or self.is_total(higher):
                break
            cell = higher.cell(use.place)
        return cell

    def parts(
        self, row: SheetRow, said: Mapping[str, dict[str, str]], words: tuple[str, ...]
    ) -> tuple[RowRead, ...] | None:
        """A row as the notes that it becomes: one for each day, and one for a fate; None where it lacks something."""
        own = dict(said.get("", {}))
        fate = self.fate(row, own)
        if isinstance(fate, Fault):
            self.refuse(row, 0, fate)
            return None
        days = sorted(day for day in said if day)
        if not days and any(use.day for use in self.used):
            return ()
        found = []
        for day in days or [""]:
            fields = {**own, **({"date": day, **said[day]} if day else {})}
            if lacking := self.lacking(fields):
                self.refuse(row, 0, lacking)
                return None
            told = words if day == (days or [""])[-1] else ()  # what is said of her beside is of the last day
            found.append(RowRead(row.number, tuple(fields.items()), told, self.is_dose(row)))
        return tuple(map(self.with_id, (*found, *fate)))

    def fate(self, row: SheetRow, own: dict[str, str]) -> tuple[RowRead, ...] | Fault:
        """The row of her death or sale, taken out of what is said of her."""
        if FATE not in own or self.known[FATE].part != IN_FATE:
            return ()
        text = own.pop(FATE)
        told = fate_in(text)
        use = next(use for use in self.used if use.target == FATE)
        if told is None:
            cure = f"write `word {text} under {use.heading} -> {FATE_EXAMPLE}` in the mapping"
            return Fault(f"{use.called}: `{clipped(text)}` does not say whether she was sold or died, and when", cure)
        day = self.cells.day(SheetCell(told.day), Target("date", IN_HEAD, DATE))
        if isinstance(day, Fault):
            return replace(day, message=f"{use.called}: {day.message}")
        fields = (("sheep", own.get("tag") or own.get("name", "")), ("date", day))
        words = tuple(remark_lines(use, row.texts[use.place]))
        return (RowRead(row.number, fields, words, self.is_dose(row), becomes=told.kind),)

    def over(self, row: SheetRow) -> list[int]:
        """The places of cells that stand in no column of the mapping."""
        places = {use.place for use in self.how.columns}
        return [place for place, text in enumerate(row.texts) if text and place not in places]

    def lacking(self, fields: Mapping[str, str]) -> Fault | None:
        """What a row must say and does not."""
        for group in said_by_each(self.how.kind):
            if not any(name in fields for name in group):
                more = f"; or, if it is what the row above says, write `{group[0]}, blank {AS_ABOVE}` for its column"
                cure = f"fill in the cell{more if group[0] in BLANKS_ASKED else ''}"
                return Fault(f"the row does not say {' or '.join(group[:2])}", cure)
        return None

    def refuse(self, row: SheetRow, place: int, why: Fault) -> None:
        """A row that cannot be used: if it may tell of a dose, nothing is written at all."""
        cure = or_left_out(why.help, str(row.number))
        self.told.append(told_of_rows(self.is_dose(row), self.sheet.span(row.number, place), why.message, cure))

    def is_dose(self, row: SheetRow) -> bool:
        """Whether a row is a treatment, or may tell of one."""
        return self.how.kind == "treatment" or self.tells(row)

    def tells(self, row: SheetRow) -> bool:
        """Whether a row may tell of a dose, by any of its cells but those answered for."""
        answered = {use.place for use in self.how.columns if use.target == NO_DOSE}
        heads = [*self.headings, *("" for _ in row.cells)]
        texts = enumerate(row.texts)
        return any(self.ear.hears(heads[place], text) for place, text in texts if place not in answered)

    def overheard(self, row: SheetRow) -> None:
        """A row beside the data that may tell of a dose: a title, a total, a row of a sheet that is not used."""
        above, lone = row.number <= self.how.headings, len([text for text in row.texts if text]) == 1
        speaks = not self.ear.is_title("".join(row.texts)) if above and lone else self.tells(row)
        if self.how.kind != NO_DOSE and row.number not in self.how.left_out and speaks:
            words = clipped(" ".join(text for text in row.texts if text))
            cure = f"write its note by hand, then `leave out: {row.number}` in the mapping"
            if not self.how.used:
                cure = "say what the rows of this sheet are; or `as: no dose` if no sheep got anything"
            told = f"“{words}” may tell of a dose, and no note is made of it"
            self.told.append(DOSE_STOPS.at(self.sheet.span(row.number), told, cure, ALL_STOPS))

    def columns_heard(self) -> None:
        """Each column that is not used, though a cell of it may tell of a dose."""
        for use in self.how.columns if self.how.used else ():
            rows = [row for row in self.data() if row.number not in self.how.left_out] if use.target == NOT_USED else []
            found = next((row for row in rows if self.ear.hears(use.heading, row.cell(use.place).text)), None)
            if found:
                cure = "map it to `remark`, which is read with care; or to `no dose` if no sheep got anything"
                told = f"{use.called} is not used, and `{clipped(found.cell(use.place).text)}` may tell of a dose"
                self.told.append(DOSE_STOPS.at(self.sheet.span(found.number, use.place), told, cure, ALL_STOPS))

    def data(self) -> Iterator[SheetRow]:
        """The rows below the headings."""
        return (row for row in self.sheet.rows if row.number > self.how.headings and row.texts != self.headings)

    def with_id(self, row: RowRead) -> RowRead:
        """A row with the id of what it says; of equal rows each has its own, by its place among them."""
        said = repr((row.becomes or self.how.kind, sorted(row.fields), row.words))
        self.ids[said] += 1
        digest = hashlib.sha256(f"{said}{self.ids[said]}".encode()).digest()
        return replace(row, id=b32encode(digest).decode().lower()[:ROW_ID])

    # What is listed

    def alike(self, rows: Sequence[RowRead]) -> None:
        """The rows that say the same."""
        same: dict[tuple[object, ...], list[int]] = {}
        for row in rows:
            same.setdefault((tuple(sorted(row.fields)), row.words), []).append(row.number)
        for numbers in same.values():
            if len(numbers) > 1:
                told = f"rows {rows_said(numbers)} say the same; all {len(numbers)} are counted"
                cure = f"if it is one thing typed twice, write `leave out: {rows_said(numbers[1:])}` in the mapping"
                self.told.append(ROWS_ALIKE.at(self.sheet.span(numbers[1]), told, cure))

    def empty(self, rows: Sequence[RowRead]) -> Iterator[Diagnostic]:
        """For each column that becomes a field the rows in which it is empty."""
        read = {row.number: row for row in rows}
        for use in self.used:
            none = [row.number for row in self.sheet.rows if row.number in read and not row.cell(use.place).text]
            asked = use.blank != AS_ABOVE and not use.day and not MAY_BE_EMPTY.match(use.target)
            if none and len(none) < len(read) and asked:
                told = f"{use.called} is empty in row{'s' if len(none) > 1 else ''} {rows_said(none)}"
                yield CELLS_EMPTY.at(self.sheet.span(none[0], use.place), told, "fill them in, or leave them so")

    def cells_unused(self) -> Iterator[str]:
        """Every column that is not used, with all its cells."""
        mapped = {use.place: use for use in self.how.columns} if self.how.used else {}
        for place in range(max((len(row.cells) for row in self.sheet.rows), default=0)):
            use = mapped.get(place, ColumnUse(place, "", NOT_USED))
            cells = [(row.number, on_one_line(row.cell(place).text)) for row in self.data() if row.cell(place).text]
            if use.target not in self.known and cells:
                yield f"{use.called} is not used: {'; '.join(cells_said(cells))}"

    def rows_unused(self, fates: Sequence[RowFate]) -> Iterator[str]:
        """The rows of which no note is made, by their fate; those with words in full."""
        texts = {row.number: " | ".join(text for text in row.texts if text) for row in self.sheet.rows}
        for fate in (BLANK_ROW, HEADINGS_AGAIN, ABOVE, TOTAL_ROW, ROW_LEFT_OUT):
            numbers = [one.number for one in fates if one.fate == fate]
            if numbers:
                words = (
                    ""
                    if fate in (BLANK_ROW, HEADINGS_AGAIN)
                    else ": " + "; ".join(f"`{texts[one]}`" for one in numbers)
                )
                yield f"row{'s' if len(numbers) > 1 else ''} {rows_said(numbers)}: {fate}{words}"


def told_of_rows(dose: bool, span: Span, message: str, cure: str) -> Diagnostic:
    """Rows of which no note is made: where one may be a dose, nothing is written at all."""
    rule, meanwhile = (DOSE_STOPS, ALL_STOPS) if dose else (ROW_REFUSED, NO_NOTE_OF_IT)
    return rule.at(span, message, cure, meanwhile)


def or_left_out(cure: str, rows: str) -> str:
    """A cure, and the line of the mapping that does without the rows."""
    joint = "" if not cure else f"{cure} " if cure.endswith("?") else f"{cure}; "
    return f"{joint}or write `leave out: {rows}` in the mapping"


def remark_lines(use: ColumnUse, text: str) -> list[str]:
    """The words of a cell, each line behind the heading of its column: so none is ever read as data or as a head."""
    heading = LEADING_SIGNS.sub("", use.heading, count=1) if LEADING_SIGNS.match(use.heading) else use.heading
    return [f"{heading or use.called}: {on_one_line(line)}" for line in text.splitlines() if line.strip()]
