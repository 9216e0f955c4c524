"""From a note to a record of its kind: every field read, every problem told, nothing guessed."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time
from functools import cache
from typing import Any

from compiler import datalines
from compiler.datalines import Data, read_data
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.fields import BLANK_FIELD, UNLIKELY, UNREADABLE, Fields, attributes, typed_keys
from compiler.frontmatter import WORDS_LOST, Entry, Mapping, as_text
from compiler.leftovers import leftovers
from compiler.names import KIND_KEY, Name, day_begun
from compiler.nearness import clipped, did_you_mean, plain
from compiler.notes import Note, Table
from compiler.schema import Fault, Habits, Key, Kind, Origin, Record
from compiler.shape import field_names, replace
from compiler.source import Span
from compiler.values import DATE

UNKNOWN_FIELD = Rule(
    "F101",
    "unknown-field",
    Grade.ERROR,
    "Each kind of note has its own fields, so that a slip in a field's name is found and not quietly passed over. "
    "Words that fit no field belong in the body.",
    "---\nnote: remark\nwheather: cold\n---\n",
)
MISSING = Rule(
    "F102",
    "field-missing",
    Grade.ERROR,
    "This kind of note cannot be understood without the field.",
    "---\nnote: treatment\ndose: 2 ml\n---\n",
)
DIFFERS = Rule(
    "F105",
    "name-and-head-differ",
    Grade.ERROR,
    "The file's name and the head of the note say different things, and nobody but the writer knows which is right.",
    "2026-04-19 remark.md with `date: 2026-04-20`",
)
EMPTY = Rule(
    "G101",
    "details-to-follow",
    Grade.GAP,
    "The note is empty but its name says what happened. It stands until the details are written.",
    "2026-04-19 0340 remark.md, an empty file",
)
RULES = (UNKNOWN_FIELD, MISSING, UNREADABLE, UNLIKELY, DIFFERS, BLANK_FIELD, EMPTY, *datalines.RULES)

Render = Callable[[str, str], str]  # (remark, path of the note) → HTML


def decode(
    note: Note, name: Name, kind: Kind[Any], habits: Habits, render: Render, companion: Table | None = None
) -> tuple[Record, tuple[Diagnostic, ...]]:
    """The record of a note whose kind is known, and everything that is to be said about it.

    `companion` is the CSV file beside it. A field that could not be read is absent and named in the origin as broken.
    """
    reading = Reading(note, name, kind, habits)
    reading.read_head()
    reading.add_from_name()
    reading.check_required(to_follow=note.empty and companion is None)
    data = read_data(note, kind.lines, companion, reading.context)
    if kind.lines is not None:
        reading.values.update(kind.lines.by_field(data.values))
        reading.broken |= {"lines"} if data.broken else set()
    remark = written(note, data)
    html = render(remark, note.path) if remark else ""
    origin = replace(
        reading.origin(remark, html), rest=leftovers(note, data), cut=last_line(note), data=data.said,
        figured=tuple(reading.figured),
    )  # fmt: skip
    record: Record = kind.record(origin=origin, **reading.values)
    return record, reading.settled(data)


def decode_fields(
    path: str, typed: Mapping, record: type[Any], habits: Habits
) -> tuple[dict[str, Any], Origin, tuple[Diagnostic, ...]]:
    """The values of a bare list of fields (a settings file): attribute → value of what was typed and could be read."""
    note = Note(path, "", typed, True, (), 1, (), ())
    reading = Reading(note, Name(), Kind("settings", record, "", dated=False), habits)
    reading.read_head()
    return reading.values, reading.origin("", ""), reading.settled(Data())


def written(note: Note, data: Data) -> str:
    """The body without the lines that became data."""
    return "\n".join(line for place, line in enumerate(note.body) if place not in data.used).strip()


def last_line(note: Note) -> int:
    """The number of the last line where a file ends without a line end, and so may have been cut off; else 0."""
    return note.text.count("\n") + 1 if note.text and not note.text.endswith("\n") else 0


@cache
def has_subject(record: type[Record]) -> bool:
    """Whether a record keeps the subject of its file name as such."""
    return "subject" in field_names(record)


class Reading(Fields):
    """The work of decoding one note."""

    def __init__(self, note: Note, name: Name, kind: Kind[Any], habits: Habits) -> None:
        """Nothing is read yet."""
        super().__init__(note.path, kind, habits)
        self.note, self.name = note, name
        entries = note.fields.entries if note.fields else ()
        head = [as_text(entry.value) for entry in entries if plain(entry.key.text) == KIND_KEY]
        self.context = replace(self.context, called=" ".join((plain(name.words), *map(plain, head))))
        self.keys = typed_keys(self.record)
        self.here = Span(note.path)
        self.unread: dict[str, str] = {}

    def read_head(self) -> None:
        """Every field that was typed, the date first, because other dates are completed by it."""
        entries = {plain(entry.key.text): entry for entry in (self.note.fields.entries if self.note.fields else ())}
        if self.kind.dated and "date" in self.keys:
            self.read_date(entries.pop("date", None))
        for name, entry in entries.items():
            if name in self.keys:
                self.read_field(*self.keys[name], entry)
            elif name != KIND_KEY:
                self.unknown(entry)
        self.raise_lost_words(entries)
        word = plain(as_text(entries[KIND_KEY].value)) if KIND_KEY in entries else ""
        said = self.kind.says.get(word, ("", ""))
        if said[0]:
            self.add(*said)

    def read_date(self, entry: Entry | None) -> None:
        """The note's own date, from the head and from the file name."""
        named = DATE.read(self.name.date, self.context) if self.name.date else None
        if isinstance(named, date):
            self.context = replace(self.context, date=named)
        if entry is not None:
            self.read_field("date", self.keys["date"][1], entry)
        typed = self.values.get("date")
        if isinstance(named, Fault):
            self.fault("date", self.here, named)
        elif isinstance(named, date) and isinstance(typed, date) and typed != named:
            self.differs("date", named.isoformat(), typed.isoformat())
        elif isinstance(named, date) and "date" not in self.broken:
            self.values["date"] = named
            self.spans.setdefault("date", self.here)
        elif isinstance(typed, date):
            self.context = replace(self.context, date=typed)

    def differs(self, attribute: str, named: str, typed: str) -> None:
        """The file name against the head."""
        self.broken.add(attribute)
        self.values.pop(attribute, None)
        label = attributes(self.record)[attribute][0]
        message = f"the file name says {label} {named}, the note says {typed}"
        self.told.append(DIFFERS.at(self.spans[attribute], message, "make them the same", also=(self.here,)))

    def unknown(self, entry: Entry) -> None:
        """A field that this kind does not have."""
        name = plain(entry.key.text)
        self.unread[name] = as_text(entry.value)
        own = ", ".join(label for label, declared in attributes(self.record).values() if not declared.by_program)
        cure = f"{self.likely(name)}its fields are {own}; anything else goes into the body"
        article = "an" if self.kind.name[:1] in "aeiou" else "a"
        message = f"{article} {self.kind.name} note has no field `{clipped(entry.key.text)}`"
        self.told.append(UNKNOWN_FIELD.at(self.key_span(entry), message, cure))

    def likely(self, name: str) -> str:
        """Which field is meant by a word that is none: the one that people write so, else those that are near."""
        for label, declared in attributes(self.record).values():
            if name in declared.instead:
                return f"did you mean `{label}`? "
        return did_you_mean(name, (one for one, (_, declared) in self.keys.items() if not declared.by_program))

    def raise_lost_words(self, entries: dict[str, Entry]) -> None:
        """In a guarded note words lost after ` #` may be a name or an amount: their field is not trusted."""
        if not self.kind.guarded:
            return
        for message in self.note.told:
            if message.code == WORDS_LOST.code:
                above = [name for name, entry in entries.items() if entry.key.line <= message.span.line]
                name = max(above, key=lambda name: entries[name].key.line, default="date")
                self.broken.add(self.keys[name][0] if name in self.keys else name)
                self.told.append(message.graded(Grade.ERROR))

    def add_from_name(self) -> None:
        """Time, subject, or the name of an undated thing, where the head leaves them out."""
        if not self.kind.dated:
            other = self.name.kind not in ("", self.kind.name)  # a word for another kind is part of what it is called
            self.add_own_name(self.name.words if other else self.name.subject)
            return
        self.add_time()
        subject = self.name.subject if self.name.date else self.name.about
        if subject and has_subject(self.record):
            self.values["subject"], self.spans["subject"] = subject, self.here
        if subject and self.kind.subject:
            self.add(self.kind.subject, subject)

    def add_time(self) -> None:
        """The time in the file name."""
        typed = self.values.get("time")
        if not self.name.time or "time" not in self.keys:
            return
        if isinstance(typed, time) and typed.strftime("%H:%M") != self.name.time:
            self.differs("time", self.name.time, typed.strftime("%H:%M"))
        elif typed is None:
            self.add("time", self.name.time)

    def add_own_name(self, words: str) -> None:
        """What an undated thing is called, from its file: for two fields, the first word and the rest.

        `C214 Teal.md` with another number in its head is an error; a file that is named after the second field alone
        is not.
        """
        if len(self.kind.named) < 2:
            for attribute in self.kind.named:
                self.add(attribute, words)
            return
        first, second = self.kind.named[:2]
        word, _, rest = words.partition(" ")
        typed = self.values.get(first)
        if typed is None and plain(words) != plain(str(self.values.get(second))):
            self.add(first, word)
            self.add(second, rest)
        elif typed is not None and plain(str(typed)) == plain(word):
            self.add(second, rest)
        elif typed is not None and rest and re.search(r"\d", word):
            self.differs(first, word, str(typed))
        elif typed is not None:
            self.add(second, words)

    def add(self, attribute: str, text: str) -> None:
        """A value from the file name, unless the head gave it or tried to."""
        if not text or attribute in self.values or attribute in self.broken:
            return
        _, declared = attributes(self.record)[attribute]
        parts = [part.strip() for part in text.split(",")] if declared.many else [text]
        read = [self.read_piece(attribute, declared, part, self.here) for part in parts if part]
        if attribute in self.broken:
            return
        self.values[attribute] = tuple(read) if declared.many else read[0]
        self.spans[attribute] = self.here
        self.spans.update({f"{attribute}[{number}]": self.here for number in range(len(read) if declared.many else 1)})

    def check_required(self, to_follow: bool) -> None:
        """Fields that may not be missing; a note that is empty on purpose only leaves a gap."""
        gap = to_follow and self.kind.dated and not self.kind.guarded
        if gap:
            cure = "write the details into the note when you can"
            self.told.append(EMPTY.at(self.here, f"{self.kind.name}: details to follow", cure))
        for attribute, (name, declared) in attributes(self.record).items():
            if not declared.required or attribute in self.values or attribute in self.broken:
                continue
            self.broken.add(attribute)
            if not gap:
                message = f"this {self.kind.name} note does not say: {name}"
                self.told.append(MISSING.at(self.here, message, self.to_be_added(name, declared)))

    def to_be_added(self, name: str, declared: Key) -> str:
        """What to type for a field that is missing: of the day what the file's name begins with, where it does."""
        day = day_begun(self.note.path, self.context.habits.dates) if name == "date" else ""
        if day:
            return f"add `date: {day}`, if its file's name begins with that day"
        return f"add `{name}: {declared.reader.example or '…'}` ({declared.help})"

    def settled(self, data: Data) -> tuple[Diagnostic, ...]:
        """Everything to be said; questions are answered when the note says `sure: yes`."""
        told = (*self.told, *data.told)
        sure = self.values.get("sure") is True
        return tuple(message for message in told if not sure or message.grade is not Grade.ASK)

    def origin(self, remark: str, html: str) -> Origin:
        """Where the record came from."""
        asked = frozenset(() if self.values.get("sure") is True else self.asked)
        broken = frozenset(self.broken)
        typed = self.typed() if broken else {}
        return Origin(self.note.path, self.kind.name, self.spans, broken, asked, self.unread, remark, html, (), typed)

    def typed(self) -> dict[str, str]:
        """Attribute → text of the fields that are not to be trusted."""
        found: dict[str, list[str]] = {}
        for entry in self.note.fields.entries if self.note.fields else ():
            attribute = self.keys[name][0] if (name := plain(entry.key.text)) in self.keys else ""
            if attribute in self.broken:
                found.setdefault(attribute, []).append(as_text(entry.value))
        return {attribute: ", ".join(texts) for attribute, texts in found.items()}
