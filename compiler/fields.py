"""The fields of a note: each typed value read as what its kind says, or told to be unreadable; nothing is guessed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any, cast

from compiler.dates import FIGURED, PartialDate, When
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.frontmatter import Entry, Node, Scalar, Sequence
from compiler.nearness import clipped, plain
from compiler.schema import Cell, Context, Fault, Habits, Key, Kind, Record, declared_keys
from compiler.shape import replace
from compiler.source import Span

UNREADABLE = Rule(
    "F103",
    "value-unreadable",
    Grade.ERROR,
    "The words in this field are not a value of the kind it takes. The field is left empty; nothing is guessed.",
    "---\nnote: remark\ndate: 2026-02-30\n---\n",
)
UNLIKELY = Rule(
    "F104",
    "value-unlikely",
    Grade.ASK,
    "The value can be read but lies outside what is usual. It is shown as typed and left out of averages until "
    "`sure: yes` confirms it.",
    "---\nmature weight: 700 kg\n---\n",
)
BLANK_FIELD = Rule(
    "F111",
    "field-left-blank",
    Grade.GAP,
    "A field was begun and nothing is written in it. It counts as left out until something is. Where much hangs on "
    "the note this is an error.",
    "---\nnote: remark\nplace:\n---\n",
)
TWICE = "keep the right one"
ONE_VALUE = "put quotes around the value, or move the words to the body"
LOST_PIECE = "write what was meant, or take a comma out"
PIECE = re.compile(r"[^,;]*")


@cache
def typed_keys(record: type[Record]) -> dict[str, tuple[str, Key]]:
    """Name as it is looked up → (attribute, key), aliases included."""
    return {plain(name): found for name, found in declared_keys(record).items()}


@cache
def attributes(record: type[Record]) -> dict[str, tuple[str, Key]]:
    """Attribute → (name as typed, key)."""
    found: dict[str, tuple[str, Key]] = {}
    for name, (attribute, declared) in declared_keys(record).items():
        found.setdefault(attribute, (name, declared))
    return found


class Fields:
    """The fields of one note as far as they are read, and what is to be said of them."""

    def __init__(self, path: str, kind: Kind[Any], habits: Habits) -> None:
        """Nothing is read yet."""
        self.path, self.kind = path, kind
        self.record = cast(Any, kind.record)
        self.context = Context(habits)
        self.values: dict[str, Any] = {}
        self.spans: dict[str, Span] = {}
        self.broken: set[str] = set()
        self.asked: set[str] = set()
        self.told: list[Diagnostic] = []
        self.figured: list[Cell] = []

    def read_field(self, attribute: str, declared: Key, entry: Entry) -> None:
        """One typed field. A second name of a field that was read already is an error."""
        value = entry.value
        if attribute in self.spans:
            self.values.pop(attribute, None)
            self.fault(
                attribute, self.key_span(entry), Fault(f"`{entry.key.text}` says again what stands above", TWICE)
            )
            return
        self.spans[attribute] = self.value_span(value)
        pieces = list(self.pieces(value, declared.many))
        if not pieces:
            self.blank(attribute, entry)
            return
        read = [self.read_piece(attribute, declared, text, place) for text, place in pieces]
        known = [(value, place) for (_, place), value in zip(pieces, read, strict=True) if not isinstance(value, Fault)]
        for number, (_, place) in enumerate(known):
            self.spans[f"{attribute}[{number}]"] = place
        if declared.many:
            self.values[attribute] = tuple(value for value, _ in known)
        elif attribute not in self.broken:
            self.values[attribute] = known[0][0]

    def pieces(self, value: Node, many: bool) -> Iterator[tuple[str | Fault, Span]]:
        """The texts of a field, each with its place: one, or those between the commas or in the list."""
        if isinstance(value, Sequence) and many:
            for item in value.items:
                yield from self.pieces(item, many)
        elif not isinstance(value, Scalar):
            message = (
                "a list cannot stand here" if isinstance(value, Sequence) else "a colon made this a group of fields"
            )
            yield Fault(message, ONE_VALUE), self.value_span(value)
        elif not many:
            if value.text.strip():
                yield self.cut(value, 0, len(value.text))
        else:
            yield from self.listed(value)

    def listed(self, value: Scalar) -> Iterator[tuple[str | Fault, Span]]:
        """The pieces between commas. Nothing between two of them may be a name that was lost."""
        found = [match.span() for match in PIECE.finditer(value.text)]
        found = [span for place, span in enumerate(found) if place == 0 or span[0] != found[place - 1][1]]
        if len(found) > 1 and not self.kind.guarded and not value.text[slice(*found[-1])].strip():
            found.pop()
        for start, end in found if value.text.strip() else ():
            yield self.cut(value, start, end)

    def cut(self, value: Scalar, start: int, end: int) -> tuple[str | Fault, Span]:
        """A stretch of a text without outer blanks, and its place; a fault when nothing is left."""
        text = value.text[start:end]
        stripped = text.strip()
        start += len(text) - len(text.lstrip())
        place = self.value_span(value)
        place = place.shifted(start, len(stripped)) if value.literal else place
        return stripped or Fault("nothing stands here between the commas", LOST_PIECE, 0, 1), place

    def read_piece(self, attribute: str, declared: Key, text: str | Fault, place: Span) -> Any:
        """One value, or the fault, which is told."""
        outcome = text if isinstance(text, Fault) else declared.reader.read(text, self.context)
        if isinstance(outcome, Fault):
            literal = place.length == (len(text) if isinstance(text, str) else place.length)
            self.fault(attribute, place, outcome if literal else replace(outcome, start=0, length=None))
            return outcome
        if isinstance(outcome, date | PartialDate | When) and isinstance(text, str) and FIGURED.match(text):
            self.figured.append(Cell(text, place.line, place.column))
        if declared.band is not None:
            self.weigh_up(attribute, declared, outcome, place)
        return outcome

    def weigh_up(self, attribute: str, declared: Key, value: Any, place: Span) -> None:
        """Ask about a value outside its plausible band."""
        amount = getattr(value, "amount", value)
        band = declared.band
        if band and isinstance(amount, int | float | Decimal) and not band.low <= amount <= band.high:
            shown = clipped(str(getattr(value, "text", value)))
            self.asked.add(attribute)
            confirm = "correct it, or add `sure: yes`" if "sure" in attributes(self.record) else "correct it"
            self.told.append(UNLIKELY.at(place, f"`{shown}` is unusual here", confirm))

    def blank(self, attribute: str, entry: Entry) -> None:
        """A field with nothing in it."""
        cure = "write the value, or take the line out"
        message = BLANK_FIELD.at(self.key_span(entry), "nothing is written after the colon", cure)
        if self.kind.guarded:
            self.broken.add(attribute)
            message = message.graded(Grade.ERROR)
        del self.spans[attribute]
        self.told.append(message)

    def fault(self, attribute: str, place: Span, fault: Fault) -> None:
        """A value that could not be read."""
        self.broken.add(attribute)
        length = max(place.length - fault.start, 0) if fault.length is None else fault.length
        self.told.append(UNREADABLE.at(place.shifted(fault.start, length), fault.message, fault.help))

    def value_span(self, value: Node) -> Span:
        """The place of a value."""
        length = len(value.text) if isinstance(value, Scalar) and value.literal else 1
        return Span(self.path, value.line, value.column, length)

    def key_span(self, entry: Entry) -> Span:
        """The place of a field's name."""
        return Span(self.path, entry.key.line, entry.key.column, len(entry.key.text))
