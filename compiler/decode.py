"""From a note to a record of its kind: every field read, every problem told, nothing guessed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from datetime import date
from typing import Any

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.frontmatter import WORDS_LOST, Mapping, Node, Scalar, Sequence
from compiler.names import Name, plain
from compiler.nearness import near
from compiler.notes import Item, Note, Table
from compiler.schema import Context, Fault, Habits, Key, Kind, LineReading, LineSyntax, Origin, Record
from compiler.source import Span
from compiler.values import DATE

UNKNOWN_FIELD = Rule(
    "F101", "unknown-field", Grade.ERROR,
    "Each kind of note has its own fields, so that a slip in a field's name is found and not quietly passed over. Words that fit "
    "no field belong in the body.", "---\nnote: lambing\newe: Bramble\nwheight: 4.1 kg\n---\n",
)  # fmt: skip
MISSING = Rule(
    "F102", "field-missing", Grade.ERROR, "This kind of note cannot be understood without the field.", "---\nnote: treatment\ndose: 2 ml\n---\n"
)  # fmt: skip
UNREADABLE = Rule(
    "F103", "value-unreadable", Grade.ERROR,
    "The words in this field are not a value of the kind it takes. The field is left empty; nothing is guessed.",
    "---\nnote: lambing\ndate: 2026-02-30\n---\n",
)  # fmt: skip
UNLIKELY = Rule(
    "F104", "value-unlikely", Grade.ASK,
    "The value can be read but lies outside what is usual. It is shown as typed and left out of averages until `sure: yes` confirms it.",
    "- ewe 41 kg\n",
)  # fmt: skip
DIFFERS = Rule(
    "F105", "name-and-head-differ", Grade.ERROR,
    "The file's name and the head of the note say different things, and nobody but the writer knows which is right.",
    "2026-04-19 lambing Bramble.md with `date: 2026-04-20`",
)  # fmt: skip
LINE_UNREADABLE = Rule(
    "F106", "line-unreadable", Grade.ERROR, "A data line of this note could not be read, so it is not counted.", "- 731 .25\n"
)  # fmt: skip
LINE_IS_REMARK = Rule(
    "F107", "line-is-remark", Grade.WARNING,
    "A dash line that does not look like data for this kind of note is kept as a remark and shown as written.", "- cold night\n",
)  # fmt: skip
DATA_TWICE = Rule(
    "F108", "data-twice", Grade.ERROR,
    "Dash lines, a table, and a CSV file are three ways to write the same thing; a note has one of them.", "- 731 27.5\n\n| sheep | kg |\n",
)  # fmt: skip
EMPTY = Rule(
    "G101", "details-to-follow", Grade.GAP, "The note is empty but its name says what happened. It stands until the details are written.", ""
)  # fmt: skip
LINE_ASKED = Rule(
    "F109", "line-doubtful", Grade.ASK, "A line could be read in more than one way, or its figure is unusual.", "- ewe was quiet all day\n"
)  # fmt: skip
RULES = (UNKNOWN_FIELD, MISSING, UNREADABLE, UNLIKELY, DIFFERS, LINE_UNREADABLE, LINE_IS_REMARK, DATA_TWICE, EMPTY, LINE_ASKED)
SKIPPED_KEYS = ("note",)

Render = Callable[[str, str], str]  # (remark, path of the note) → HTML


def decode(note: Note, name: Name, kind: Kind[Any], habits: Habits, render: Render) -> tuple[Record, tuple[Diagnostic, ...]]:
    """The record of a note whose kind is known, and everything that is to be said about it."""
    reading = Reading(note, name, kind, habits)
    reading.read_fields()
    reading.read_lines()
    reading.check_required()
    return reading.record(render), tuple(reading.told)


def decode_fields(path: str, typed: Mapping, record: type[Any], habits: Habits) -> tuple[dict[str, Any], Origin, tuple[Diagnostic, ...]]:
    """The values of a bare list of fields (a settings file): attribute → value for what was typed and could be read."""
    note = Note(path, "", typed, True, (), 1, (), None)
    reading = Reading(note, Name(), Kind("settings", record, "", dated=False), habits)
    reading.read_fields()
    return reading.values, reading.origin(""), tuple(reading.told)


class Reading:
    """The work of decoding one note."""

    def __init__(self, note: Note, name: Name, kind: Kind[Any], habits: Habits) -> None:
        """Nothing is read yet."""
        self.note, self.name, self.kind, self.habits = note, name, kind, habits
        self.keys = kind.keys()
        self.values: dict[str, Any] = {}
        self.spans: dict[str, Span] = {}
        self.broken: set[str] = set()
        self.asked: set[str] = set()
        self.unread: dict[str, str] = {}
        self.told: list[Diagnostic] = []
        self.consumed: set[int] = set()
        self.context = Context(habits)

    def read_fields(self) -> None:
        """Head first, then what the file name adds."""
        entries = self.note.fields.entries if self.note.fields else ()
        known = [(plain(entry.key.text), entry) for entry in entries]
        if self.kind.dated:
            self.read_date(dict(known).get("date"))
        for name, entry in known:
            if name in self.keys:
                attribute, declared = self.keys[name]
                if attribute != "date" or not self.kind.dated:
                    self.field(attribute, declared, entry.value, entry.key)
            elif name not in SKIPPED_KEYS:
                self.unknown(entry.key, entry.value)
        self.raise_lost_words()
        self.add_from_name()

    def read_date(self, entry: Any) -> None:
        """The note's own date, by which the other dates are completed."""
        named = DATE.read(self.name.date, self.context) if self.name.date else None
        if isinstance(named, date):
            self.context = Context(self.habits, named)
            self.values["date"] = named
            self.spans["date"] = Span(self.note.path)
        elif isinstance(named, Fault):
            self.fault("date", Span(self.note.path), named)
        if entry is None or "date" not in self.keys:
            return
        self.field("date", self.keys["date"][1], entry.value, entry.key)
        typed = self.values.get("date")
        if isinstance(named, date) and isinstance(typed, date) and typed != named:
            self.differs("date", self.name.date, typed.isoformat())
        if isinstance(typed, date) and "date" not in self.broken:
            self.context = Context(self.habits, typed)

    def field(self, attribute: str, declared: Key, value: Node, key: Scalar) -> None:
        """One typed field."""
        self.spans[attribute] = Span(self.note.path, value.line, value.column, len(value.text) if isinstance(value, Scalar) else 1)
        parts = list(self.pieces(value, declared))
        if not parts and isinstance(value, Scalar):
            self.fault(attribute, Span(self.note.path, key.line, key.column, len(key.text)), Fault("nothing is written after the colon", "write the value, or leave the line out"))
            return
        read: list[Any] = []
        for text, place in parts:
            outcome = declared.reader.read(text, self.context) if text is not None else Fault("a group of fields cannot stand here", "write one value")
            if isinstance(outcome, Fault):
                self.fault(attribute, place, outcome)
                continue
            self.spans[f"{attribute}[{len(read)}]"] = place
            read.append(outcome)
            self.weigh_up(attribute, declared, outcome, place)
        if attribute in self.broken and not declared.many:
            self.values.pop(attribute, None)
        else:
            self.values[attribute] = tuple(read) if declared.many else read[0]

    def pieces(self, value: Node, declared: Key) -> Iterator[tuple[str | None, Span]]:
        """The texts of a field, each with its place."""
        if isinstance(value, Sequence):
            if not declared.many:
                yield None, Span(self.note.path, value.line, value.column, 1)
                return
            for item in value.items:
                yield from self.pieces(item, declared)
        elif isinstance(value, Scalar):
            for match in re.finditer(r"[^,;]+" if declared.many else r"(?s).+", value.text):
                if match[0].strip():
                    shift = match.start() + len(match[0]) - len(match[0].lstrip())
                    yield match[0].strip(), Span(self.note.path, value.line, value.column + shift, len(match[0].strip()))
        else:
            yield None, Span(self.note.path, value.line, value.column, 1)

    def weigh_up(self, attribute: str, declared: Key, value: Any, place: Span) -> None:
        """Ask about a value outside its plausible band."""
        amount = getattr(value, "amount", value)
        if declared.band and isinstance(amount, int | float) and not declared.band.low <= amount <= declared.band.high:
            self.asked.add(attribute)
            self.told.append(UNLIKELY.at(place, f"{getattr(value, 'text', value)} is unusual here", "correct it, or add `sure: yes`"))

    def fault(self, attribute: str, place: Span, fault: Fault) -> None:
        """A value that could not be read."""
        self.broken.add(attribute)
        length = place.length if fault.length is None else fault.length
        self.told.append(UNREADABLE.at(place.shifted(fault.start, length), fault.message, fault.help))

    def differs(self, attribute: str, named: str, typed: str) -> None:
        """The file name against the head."""
        self.broken.add(attribute)
        self.values.pop(attribute, None)
        self.told.append(
            DIFFERS.at(self.spans[attribute], f"the file name says {attribute} {named}, the note says {typed}", "make them the same")
        )

    def unknown(self, key: Scalar, value: Node) -> None:
        """A field that this kind does not have."""
        self.unread[plain(key.text)] = value.text if isinstance(value, Scalar) else "…"
        guesses = near(plain(key.text), self.keys)
        hint = f"did you mean `{guesses[0]}`? " if guesses else ""
        own = ", ".join(name for name in self.keys if name not in ("sure", "corrects"))
        self.told.append(
            UNKNOWN_FIELD.at(
                Span(self.note.path, key.line, key.column, len(key.text)),
                f"a {self.kind.name} note has no field `{key.text.strip()[:40]}`",
                f"{hint}its fields are {own}; anything else goes into the body",
            )
        )

    def raise_lost_words(self) -> None:
        """In a guarded note words lost after ` #` may be a sheep or a dose: the field is not trusted."""
        if not self.kind.guarded:
            return
        for message in self.note.told:
            if message.code == WORDS_LOST.code:
                self.told.append(replace(message.graded(Grade.ERROR), meanwhile=""))
                hit = [name for name, span in self.spans.items() if span.line == message.span.line and "[" not in name]
                self.broken.update(hit or ("sheep",))

    def add_from_name(self) -> None:
        """Time, subject and the name of an undated thing, where the head leaves them out."""
        here = Span(self.note.path)
        if self.kind.dated:
            self.add_time(here)
            if self.name.subject and any(item.name == "subject" for item in fields(self.kind.record)):
                self.values["subject"], self.spans["subject"] = self.name.subject, here
            if self.name.subject and self.kind.subject:
                self.add(self.kind.subject, self.name.subject, here)
            return
        words = self.name.subject.split(None, 1) if len(self.kind.named) > 1 else [self.name.subject]
        first = self.values.get(self.kind.named[0]) if self.kind.named else None
        if first is not None and len(words) > 1 and plain(str(first)) != plain(words[0]):
            if "name" not in self.values:
                self.differs(self.kind.named[0], words[0], str(first))
            return
        for attribute, text in zip(self.kind.named, words, strict=False):
            if text:
                self.add(attribute, text, here)

    def add_time(self, here: Span) -> None:
        """The time in the file name."""
        typed = self.values.get("time")
        if not self.name.time or "time" not in self.keys:
            return
        if typed is not None and typed.strftime("%H:%M") != self.name.time:
            self.differs("time", self.name.time, typed.strftime("%H:%M"))
        elif typed is None and "time" not in self.broken:
            self.add("time", self.name.time, here)

    def add(self, attribute: str, text: str, here: Span) -> None:
        """One value from the file name, unless the head gave it or tried to."""
        if attribute in self.values or attribute in self.broken:
            return
        declared = next(declared for name, declared in self.keys.values() if name == attribute)
        outcome = declared.reader.read(text, self.context)
        if isinstance(outcome, Fault):
            self.fault(attribute, here, outcome)
            return
        self.values[attribute] = (outcome,) if declared.many else outcome
        self.spans[attribute] = self.spans[f"{attribute}[0]"] = here

    def check_required(self) -> None:
        """Fields that may not be missing; an empty note with a good name only leaves a gap."""
        if self.note.empty and self.kind.dated and not self.kind.guarded:
            self.told.append(EMPTY.at(Span(self.note.path), f"{self.kind.name}: details to follow", "write the details into the note when you can"))
        for name, (attribute, declared) in self.keys.items():
            if declared.required and name not in declared.aliases and attribute not in self.values and attribute not in self.broken:
                self.broken.add(attribute)
                if not (self.note.empty and self.kind.dated and not self.kind.guarded):
                    self.told.append(
                        MISSING.at(Span(self.note.path), f"this {self.kind.name} note does not say: {name}", f"add `{name}: {declared.reader.example}` ({declared.help})")
                    )

    def read_lines(self) -> None:
        """Dash lines, a table or a CSV file, as the kind reads them."""
        syntax = self.kind.lines
        if syntax is None:
            return
        found: list[Any] = []
        table = self.note.table
        if table is not None and syntax.read_row and table.header and table.header[0] in ("sheep", "tag", syntax.columns[0]):
            found += self.rows(table, syntax)
        by_line = [value for item in self.note.items if item.dash or syntax.bare for value in self.line(item, syntax)]
        if found and by_line:
            self.told.append(DATA_TWICE.at(Span(self.note.path, self.note.body_line), "this note has its data twice, in lines and in a table", "keep one of them"))
            self.broken.add("lines")
        self.values["lines"] = (*found, *by_line)

    def rows(self, table: Table, syntax: LineSyntax) -> list[Any]:
        """The rows of a table."""
        assert syntax.read_row is not None
        found = []
        for row in table.rows:
            cells = dict(zip(table.header, (cell.text for cell in row), strict=False))
            place = Span(table.path or self.note.path, row[0].line, row[0].column, len(row[0].text)) if row else Span(self.note.path)
            found += self.taken(syntax.read_row(cells, self.context), place, by_hand=False)
        self.consumed.update(range(table.first, table.last + 1))
        return found

    def line(self, item: Item, syntax: LineSyntax) -> list[Any]:
        """One dash line (or a bare line, where the kind allows it)."""
        place = Span(self.note.path, item.cell.line, item.cell.column, len(item.cell.text))
        reading = syntax.read(item.cell.text, self.context)
        found = self.taken(reading, place, by_hand=item.dash)
        if found or (reading.faults and not reading.remark):
            self.consumed.update(range(item.first, item.last + 1))
        return found

    def taken(self, reading: LineReading, place: Span, by_hand: bool) -> list[Any]:
        """The value of a line with its place, and its faults told."""
        for fault in reading.faults:
            asked = fault.grade is Grade.ASK
            if asked and self.values.get("sure"):
                continue
            rule = LINE_ASKED if asked else LINE_UNREADABLE
            self.told.append(rule.at(place.shifted(fault.start, place.length if fault.length is None else fault.length), fault.message, fault.help))
            if not asked:
                self.broken.add("lines")
        if reading.remark and by_hand and not reading.faults:
            self.told.append(LINE_IS_REMARK.at(place, "this line is kept as a remark", "leave out the dash, or write it as this kind's lines are written"))
        return [replace(reading.value, span=place)] if reading.value is not None else []

    def origin(self, html: str) -> Origin:
        """Where the record came from."""
        return Origin(
            self.note.path, self.kind.name, self.spans, frozenset(self.broken), frozenset(self.asked), self.unread, self.written(), html
        )

    def written(self) -> str:
        """The body without its data lines."""
        kept = [line for place, line in enumerate(self.note.body) if place not in self.consumed]
        return "\n".join(kept).strip()

    def record(self, render: Render) -> Record:
        """The record itself."""
        remark = self.written()
        made: Record = self.kind.record(origin=self.origin(render(remark, self.note.path) if remark else ""), **self.values)
        return made
