"""Notes made of rows: one for each row, or for rows that belong together, such as a litter or a weigh session."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from compiler.diagnostics import Diagnostic, Grade
from compiler.schema import Context, Fault, Kind
from compiler.shape import Value, replace
from flockbook.gathering.doses_told import DoseEar, product_key
from flockbook.gathering.mappings import SheetMapping
from flockbook.gathering.row_reading import (
    RowRead,
    SheetRead,
    or_left_out,
    told_of_rows,
)
from flockbook.gathering.sheets import RowSheet
from flockbook.gathering.targets import (
    DAY_ALONE,
    IN_TABLE,
    MOMENT,
    NAMED_TOGETHER,
    ON_LAMB_LINE,
    OVER_COLUMNS,
    REMARK,
    ROWED,
    SHEEP_BY_SEX,
    Target,
    targets_of,
)
from flockbook.jotting.new_note import NewNote, named_by
from flockbook.jotting.note_draft import NoteDraft
from flockbook.records import KINDS, lamb_line
from flockbook.records.gathered import gathered_text, rows_said
from flockbook.roll import CLASS_WORDS, LAMB_WORDS, key_of
from flockbook.seen import Seen
from flockbook.trade import CLASSES, SEX_WORDS

MOST_TOGETHER = 100  # rows in one note (our own limit)
NUMBERED_TARGET = re.compile(r"lamb (?:(?P<place>\d) )?(?P<what>\w+)")
NOT_OF_ALL = ("weight",)  # fields of a sale that are of one sheep alone
ALL_OF = re.compile(r"^(?:all (?:of )?)?(?:the )?")
WORDS_FOR_MANY = frozenset((*CLASS_WORDS, *CLASSES, *LAMB_WORDS))
NO_LABEL = "its label is still to be typed here."
HOW_LAMB = "sex, weight, tag and state each stand in a column of their own; other words in `lamb words`"


class GatheredNote(Value):
    """A note that is to be written, the rows that it was made of, and how many data lines it must be read with.

    The note of a new medicine is made of no row: its label is still to be typed.
    """

    note: NewNote
    sheet: RowSheet
    rows: tuple[RowRead, ...]
    lines: int

    @property
    def numbers(self) -> tuple[int, ...]:
        """The rows of the file."""
        return tuple(row.number for row in self.rows)


class Maker(Value):
    """What notes are made by: the sheet as it was read, what the book says now, and who bears which name."""

    read: SheetRead
    seen: Seen
    bearers: frozenset[str]
    mobs: frozenset[str]

    @property
    def how(self) -> SheetMapping:
        """The mapping of the sheet."""
        return self.read.how

    @property
    def context(self) -> Context:
        """How this flock writes values."""
        return Context(self.seen.settings.habits, self.seen.today.day)

    def kind(self, row: RowRead) -> Kind[Any]:
        """The kind of note that a row becomes: of `sheep`, what its sex says; of a fate, a sale or a death."""
        name = row.becomes or self.how.kind
        name = name if name != SHEEP_BY_SEX else SEX_WORDS.get(row.says("sex").lower(), "ewe")
        return next(kind for kind in KINDS if kind.name == name)

    def made(self) -> Iterator[GatheredNote | Diagnostic]:
        """Every note, or why none is made of some rows."""
        yield from self.new_medicines()
        for rows in self.together():
            outcome = self.note(rows)
            yield self.refused(rows, outcome) if isinstance(outcome, Fault) else outcome

    def refused(self, rows: Sequence[RowRead], why: Fault) -> Diagnostic:
        """Rows of which no note can be made."""
        cure = or_left_out(why.help, rows_said([row.number for row in rows]))
        span = self.read.sheet.span(rows[0].number)
        return told_of_rows(any(row.dose for row in rows), span, why.message, cure)

    def new_medicines(self) -> Iterator[GatheredNote]:
        """A note for each product that the mapping calls new, that rows name, and that has none."""
        kind = next(kind for kind in KINDS if kind.name == "medicine")
        noted = set(DoseEar.of(self.seen).noted)
        named = {product_key(row.says("medicine")) for row in self.read.rows}
        for said in self.how.new_medicines:
            name, *label = (part.strip() for part in said.split(";"))
            if product_key(name) in named - noted:
                noted.add(product_key(name))
                fields = tuple((key.strip(), text.strip()) for key, _, text in (part.partition(":") for part in label))
                told = f"Named in {self.read.sheet.file}{'' if label else f'; {NO_LABEL}'}"
                draft = NoteDraft(kind.name, (("name", name), *fields), (), (told,))
                yield GatheredNote(NewNote(draft, named_by(kind, draft, self.seen)), self.read.sheet, (), 0)

    # Which rows belong together

    def together(self) -> list[list[RowRead]]:
        """The rows by the note that they become, in the order of the file."""
        found: dict[object, list[RowRead]] = {}
        for row in self.read.rows:
            group = self.group_of(row)
            while self.how.kind in NAMED_TOGETHER and self.names_her(found.get(group, ()), row):
                group = (group, "again")  # one that is named twice got it twice
            found.setdefault(group, []).append(row)
        starts = [(group, start) for group in found.values() for start in range(0, len(group), MOST_TOGETHER)]
        return [group[start : start + MOST_TOGETHER] for group, start in starts]

    def names_her(self, rows: Iterable[RowRead], row: RowRead) -> bool:
        """Whether rows name the sheep of another row already."""
        return any(one.says("sheep") == row.says("sheep") for one in rows)

    def group_of(self, row: RowRead) -> object:
        """What rows of one note have in common; the row's own number where it stands alone."""
        fields = dict(row.fields)
        if row.becomes:
            return row.number, row.becomes
        if self.how.kind == "lambing" and not self.is_litter(row):
            return fields.get("ewe"), dict(with_day_apart(row.fields)).get("date")
        if self.how.kind in ROWED:
            return tuple(sorted(item for item in row.fields if self.target(item[0]).part != IN_TABLE))
        if self.how.kind in NAMED_TOGETHER and key_of(row.says("sheep")) in self.bearers and not self.of_one(fields):
            return tuple(sorted(item for item in row.fields if item[0] != "sheep")), row.words
        return row.number

    def of_one(self, fields: Mapping[str, str]) -> bool:
        """Whether a row says what is of one sheep alone: its weight, or the price of all that it names."""
        return any(name in fields for name in NOT_OF_ALL) or "total" in fields.get("price", "")

    def is_litter(self, row: RowRead) -> bool:
        """Whether a row has all lambs of a litter."""
        return any(re.match(r"lamb \d", name) for name, _ in row.fields)

    def target(self, name: str) -> Target:
        """What a column becomes."""
        return targets_of(self.how.kind)[name]

    # The note

    def note(self, rows: Sequence[RowRead]) -> GatheredNote | Fault:
        """The note of some rows, or why it cannot be made."""
        kind = self.kind(rows[0])
        fields = self.fields(rows)
        lines = self.lines(kind, rows)
        if isinstance(fields, Fault):
            return fields
        if isinstance(lines, Fault):
            return lines
        table = self.how.kind in ROWED
        words = [line for place, row in enumerate(rows, 1) for line in self.words(row, place if rows[1:] else 0)]
        gathered = gathered_text(
            self.read.sheet.file, self.read.sheet.name, [row.number for row in rows], [row.id for row in rows]
        )
        draft = NoteDraft(
            kind.name, (*fields, ("gathered", gathered)), () if table else lines,
            (*lines, *([""] if words else []), *words) if table else tuple(words),
        )  # fmt: skip
        named = NewNote(draft, named_by(kind, draft, self.seen))
        return GatheredNote(named, self.read.sheet, tuple(rows), len(rows) if table else len(lines))

    def fields(self, rows: Sequence[RowRead]) -> tuple[tuple[str, str], ...] | Fault:
        """The head of a note: what its rows say alike, and all the sheep that they name."""
        kept: dict[str, str] = {}
        for row in rows:
            for name, text in map(self.of_many, with_day_apart(row.fields)):
                if self.target_part(name) in (IN_TABLE, ON_LAMB_LINE) or (
                    name == "sex" and self.how.kind == SHEEP_BY_SEX
                ):
                    continue
                if name == "sheep" and kept.get(name, text) != text:
                    text = f"{kept[name]}, {text}"
                elif kept.get(name, text) != text:
                    said = f"row {row.number} says {name} `{text}`, another row of the same note `{kept[name]}`"
                    return Fault(said, "make them alike, or map the column to `remark`")
                kept[name] = text
        return tuple(kept.items())

    def of_many(self, field: tuple[str, str]) -> tuple[str, str]:
        """A field of a treatment that names a class or a mob where it should name a sheep: the mob."""
        name, text = field
        many = self.how.kind == "treatment" and name == "sheep" and key_of(text) not in self.bearers
        named = ALL_OF.sub("", text.casefold()) in WORDS_FOR_MANY or key_of(text) in self.mobs
        return ("mob", text) if many and named else field

    def target_part(self, name: str) -> str:
        """The part of a note that a field goes into."""
        known = targets_of(self.how.kind)
        return known[name].part if name in known else ""

    def words(self, row: RowRead, place: int) -> Iterator[str]:
        """The remark of a row; in a note of several rows it says whose it is. A table has a column for it, mostly."""
        if self.how.kind in ROWED and "note" in self.columns_known():
            return
        whose = row.says("sheep") or row.says("ewe") if self.how.kind in ROWED else f"lamb {place}"
        apart = place and self.how.kind in (*ROWED, "lambing")
        yield from (f"Of {whose}: {line}" if apart else line for line in row.words)

    def columns_known(self) -> tuple[str, ...]:
        """The headings that a table of this kind may have."""
        kind = next(kind for kind in KINDS if kind.name == self.how.kind)
        return kind.lines.columns if kind.lines else ()

    def lines(self, kind: Kind[Any], rows: Sequence[RowRead]) -> tuple[str, ...] | Fault:
        """The data of a note: lambs on lines, many rows as a table."""
        if self.how.kind in ROWED:
            return self.table(kind, rows)
        if self.how.kind == "lambing":
            return self.lamb_lines(rows)
        return ()

    def table(self, kind: Kind[Any], rows: Sequence[RowRead]) -> tuple[str, ...] | Fault:
        """The rows as a table, each read as the book will read it."""
        assert kind.lines is not None
        assert kind.lines.read_row is not None
        known = [name for name in self.columns_known() if any(row.says(name) for row in rows)]
        noted = "note" in self.columns_known() and any(row.words for row in rows)
        heads = [*known, *(["note"] if noted and "note" not in known else [])]
        body = []
        for row in rows:
            note = "; ".join(map(without_heading, row.words))
            cells = {name: row.says(name) for name in known} | ({"note": note} if noted else {})
            if fault := grave(kind.lines.read_row(cells, self.context).faults):
                return replace(fault, message=f"row {row.number}: {fault.message}")
            body.append(cells)
        said = [table_line(heads), table_line(["---"] * len(heads))]
        return (*said, *(table_line([escaped_cell(cells.get(name, "")) for name in heads]) for cells in body))

    def lamb_lines(self, rows: Sequence[RowRead]) -> tuple[str, ...] | Fault:
        """A line for each lamb."""
        found = []
        for row in rows:
            for lamb in lambs_in(row):
                line = self.lamb_line(lamb)
                if isinstance(line, Fault):
                    return replace(line, message=f"row {row.number}: {line.message}")
                found.append(line)
        return tuple(found)

    def lamb_line(self, lamb: Mapping[str, str]) -> str | Fault:
        """One lamb as it is written, if it is read back as the file says it."""
        sex, tag, number = lamb.get("sex", ""), lamb.get("tag", ""), lamb.get("number", "")
        sex = SEX_WORDS.get(sex.lower().removesuffix(" lamb"), sex)
        parts = [" ".join(part for part in (sex, lamb.get("weight", "")) if part), tag and f"tag {tag}"]
        parts += [number and f"no {number}", lamb.get("state", ""), lamb.get("words", "")]
        line = ", ".join(part for part in parts if part)
        reading = lamb_line.read(line, self.context)
        if fault := grave(reading.faults):
            return replace(fault, message=f"the lamb `{line}`: {fault.message}")
        back = reading.value
        wanted = (sex or None, tag or None, number or None)
        if back is None or (back.sex, back.tag, back.number) != wanted:
            return Fault(f"the lamb `{line}` would not be read as the row says it", HOW_LAMB)
        return line


def with_day_apart(fields: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """The fields of a row with its day, and its time of day where one stands with it."""
    for name, text in fields:
        if name in (MOMENT, DAY_ALONE):
            day, _, clock = text.partition(" ")
            yield "date", day
            yield from [("time", clock)] if clock else []
        else:
            yield name, text


def lambs_in(row: RowRead) -> Iterator[dict[str, str]]:
    """The lambs that a row tells of, each by what is said of it."""
    found: dict[str, dict[str, str]] = {}
    for name, text in row.fields:
        if match := NUMBERED_TARGET.fullmatch(name):
            found.setdefault(match["place"] or "", {})[match["what"]] = text
    yield from (found[place] for place in sorted(found))


def grave(faults: Iterable[Fault]) -> Fault | None:
    """The first fault that is an error."""
    return next((fault for fault in faults if fault.grade is Grade.ERROR), None)


def without_heading(words: str) -> str:
    """Words of a remark without a heading that says no more than that they are one; a cell of a table needs none."""
    heading, _, rest = words.partition(": ")
    return rest if heading.lower() in (REMARK, *OVER_COLUMNS[REMARK]) else words


def table_line(cells: Sequence[str]) -> str:
    """One line of a table."""
    return f"| {' | '.join(cells)} |"


def escaped_cell(text: str) -> str:
    """A cell of a table, its bars marked as no ends of cells."""
    return text.replace("|", "\\|")


def makers(reads: Sequence[SheetRead], seen: Seen, bearers: Mapping[str, str]) -> Iterator[Maker]:
    """A maker for each sheet; the sheep of all sheets are known to each. `bearers` gives a mob's name nobody."""
    of_sheets = (row.says(name) for read in reads for row in read.rows for name in ("tag", "name", "lamb tag"))
    known = frozenset((*filter(bearers.get, bearers), *(key_of(name) for name in of_sheets if name)))
    return (Maker(read, seen, known, frozenset(bearers) - known) for read in reads)
