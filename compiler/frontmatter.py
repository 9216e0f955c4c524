"""The head of a note: YAML between two fences, read with the place of every word and every value kept as text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from compiler.cures import MOVE, QUOTE, diagnosed, not_a_field
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.nearness import clipped, plain
from compiler.quotes import straightened, uncurled
from compiler.shape import Value
from compiler.source import Source, Span

UNCLOSED = Rule(
    "N101",
    "fence-left-open",
    Grade.ERROR,
    "The head of a note stands between two lines of three dashes. Without the second line nobody can tell where the "
    "head ends, so the note may have been cut off.",
    "---\nnote: remark\n",
)
NOT_YAML = Rule(
    "N102",
    "head-unreadable",
    Grade.ERROR,
    "The head of a note is lines of `field: value`. Some signs mean something else there: a value that begins with one "
    "of them, or that has a colon and a blank inside, must stand in quotes, or move to the body.",
    "---\nnote: @vet came\n---\n",
)
DUPLICATE = Rule(
    "N103",
    "field-twice",
    Grade.ERROR,
    "A field that is written twice could mean either value, so neither is used.",
    "---\nplace: yard\nplace: shed\n---\n",
)
REFUSED = Rule(
    "N104",
    "sign-not-allowed",
    Grade.ERROR,
    "Anchors (`&`), aliases (`*`), merge keys (`<<`) and tags (`!`) let one place of a file change another; notes do "
    "not use them.",
    "---\nname: &bess Bess\n---\n",
)
WORDS_LOST = Rule(
    "N105",
    "words-after-hash",
    Grade.WARNING,
    "In the head of a note everything after a blank and `#` is a comment, so these words are not part of the value. "
    "Where much hangs on the note this is an error.",
    "---\nremark: twins #2 weak\n---\n",
)
TOO_MUCH = Rule(
    "N106",
    "head-too-big",
    Grade.ERROR,
    "The head of a note is a few short lines. One that is very long or deeply nested is no head that a person wrote.",
    "---\na: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[]\n---\n",
)
RULES = (UNCLOSED, NOT_YAML, DUPLICATE, REFUSED, WORDS_LOST, TOO_MUCH)

DASHES = "-–—―−"
FENCE = re.compile(rf"\s*(?:-{{3,}}|(?=-?[{DASHES[1:]}])[{DASHES}]{{1,3}}|\*{{3,}}|(?:- ){{2,}}-)\s*")
MOST_HEAD = 64_000  # characters of a head (our own limit)
DEEPEST = 12  # lists and groups inside one another (our own limit)


class Scalar(Value):
    """A value, always as text, and the place of its first character.

    `literal` says that the text stands in the file exactly so, on one line: then each of its characters has a place.
    """

    text: str
    line: int
    column: int
    literal: bool = True


class Sequence(Value):
    """A list of values."""

    items: tuple[Node, ...]
    line: int
    column: int


class Entry(Value):
    """One field: its name as typed, and its value."""

    key: Scalar
    value: Node


class Mapping(Value):
    """Fields in the order of writing."""

    entries: tuple[Entry, ...]
    line: int
    column: int


Node = Scalar | Sequence | Mapping


def as_text(node: Node) -> str:
    """A value as text, whatever its shape."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return ", ".join(as_text(item) for item in node.items)
    return ", ".join(f"{entry.key.text}: {as_text(entry.value)}" for entry in node.entries)


class Front(Value):
    """The head of a note: its fields (None when it has none or is damaged), and the line on which the body begins."""

    fields: Mapping | None
    body_line: int
    fenced: bool
    told: tuple[Diagnostic, ...] = ()

    @property
    def sound(self) -> bool:
        """Whether all that was written in the head is known."""
        return not any(item.grade is Grade.ERROR for item in self.told)


def read_front(source: Source) -> Front:
    """The head of a note, if it has one. Never raises."""
    lines = source.text.split("\n")
    first = next((place for place, line in enumerate(lines) if line and not line.isspace()), None)
    if first is None or not FENCE.fullmatch(lines[first]):
        return Front(None, 1, False)
    last = next((place for place in range(first + 1, len(lines)) if FENCE.fullmatch(lines[place])), len(lines))
    fields, told = read_yaml(source.path, lines[first + 1 : last], first + 2)
    if last == len(lines):
        here = Span(source.path, first + 1, 1, len(lines[first]))
        cure = "put a line of three dashes below its last field"
        told = (UNCLOSED.at(here, "the head of this note has no end", cure), *told)
    return Front(fields, last + 2, True, told)


def read_yaml(path: str, lines: list[str], first_line: int) -> tuple[Mapping | None, tuple[Diagnostic, ...]]:
    """Lines of YAML as fields of text, or None, and what is wrong in them. Never raises.

    `first_line` is the number of the first line in its file.
    """
    lines = straightened(lines)
    walk = Walk(path, lines, first_line)
    try:
        fields = walk.fields()
    except Refusal as refusal:
        return None, (refusal.told,)
    except Exception as error:  # the YAML library lets several kinds of error out; each means: not readable
        trouble = diagnosed(error, lines)
        place = Span(path, first_line + trouble.line, trouble.column + 1)
        return None, (NOT_YAML.at(place, trouble.message, trouble.cure),)
    return fields, tuple(walk.told)


class Refusal(Exception):
    """A head that is readable YAML but not a head of ours."""

    def __init__(self, told: Diagnostic) -> None:
        """Keep the message."""
        super().__init__(told.message)
        self.told = told


class Walk:
    """A walk along the events of a YAML text that makes our own nodes of them, and notes duplicates and lost words."""

    def __init__(self, path: str, lines: list[str], first_line: int) -> None:
        """`lines` are the head's own lines."""
        self.path, self.lines, self.first_line = path, lines, first_line
        self.text = "\n".join(lines)
        self.told: list[Diagnostic] = []
        self.depth = 0
        self.events: Iterator[Any] = iter(())

    def fields(self) -> Mapping:
        """The whole head. Raises Refusal, or whatever the YAML library raises."""
        if len(self.text) > MOST_HEAD:
            raise self.too_much(self.first_line)
        parsed = yaml_events(self.text)
        self.events = self.watched(parsed) if "#" in self.text else parsed
        for _ in range(2):  # the stream and the document begin
            event = next(self.events)
        if type(event).__name__ == "StreamEndEvent":
            return Mapping((), self.first_line, 1)
        event = next(self.events)
        if type(event).__name__ != "MappingStartEvent":
            raise Refusal(NOT_YAML.at(self.span(event), "this is not a list of fields", self.cure(event)))
        fields = self.mapping(event)
        for event in self.events:
            if type(event).__name__ == "DocumentStartEvent":
                raise Refusal(NOT_YAML.at(self.span(event), "a second head begins here", "a note has one head"))
        return fields

    def node(self, event: Any) -> Node:
        """Any value, from the event that begins it."""
        name = type(event).__name__
        if name == "ScalarEvent":
            return self.scalar(event)
        self.depth += 1
        if self.depth > DEEPEST:
            raise self.too_much(self.first_line + event.start_mark.line)
        self.refuse_signs(event)
        node = self.sequence(event) if name == "SequenceStartEvent" else self.mapping(event)
        self.depth -= 1
        return node

    def mapping(self, start: Any) -> Mapping:
        """Fields whose names are words, each once."""
        self.refuse_signs(start)
        entries: dict[str, Entry | None] = {}
        first: dict[str, Scalar] = {}
        while type(event := next(self.events)).__name__ != "MappingEndEvent":
            key = self.key(event)
            entry = Entry(key, self.node(next(self.events)))
            name = plain(key.text)
            if name in first:
                self.twice(key, first[name])
            entries[name] = None if name in first else entry
            first.setdefault(name, key)
        return Mapping(tuple(entry for entry in entries.values() if entry), *self.place(start))

    def sequence(self, start: Any) -> Sequence:
        """A list of values."""
        items: list[Node] = []
        while type(event := next(self.events)).__name__ != "SequenceEndEvent":
            items.append(self.node(event))
        return Sequence(tuple(items), *self.place(start))

    def key(self, event: Any) -> Scalar:
        """The name of a field."""
        self.refuse_signs(event)
        if type(event).__name__ != "ScalarEvent":
            raise Refusal(NOT_YAML.at(self.span(event), "a list or a group of fields cannot stand here", QUOTE))
        if event.value == "<<":
            message = "`<<` takes over fields from elsewhere"
            raise Refusal(REFUSED.at(self.span(event, 2), message, "write the fields out"))
        return self.scalar(event)

    def scalar(self, event: Any) -> Scalar:
        """A text."""
        self.refuse_signs(event)
        text = event.value
        line, column = event.start_mark.line, event.start_mark.column + (event.style in ("'", '"'))
        if text and text[0] in "“„‘" and (bare := uncurled(text)) != text:
            text, column = bare, column + 1
        literal = not text or self.lines[line].startswith(text, column)
        return Scalar(text, self.first_line + line, column + 1, literal)

    def refuse_signs(self, event: Any) -> None:
        """Refuse anchors, aliases and tags."""
        name = type(event).__name__
        sort = {"MappingStartEvent": "mapping", "SequenceStartEvent": "sequence"}.get(name, "scalar")
        tagged = getattr(event, "tag", None) is not None
        if name == "AliasEvent":
            sign, what = "*", "an alias"
        elif event.anchor is not None:
            sign, what = "&", "an anchor"
        elif tagged or (sort == "scalar" and event.style is None and event.implicit == (False, True)):
            sign, what = "!", "a tag"
        else:
            return
        raise Refusal(REFUSED.at(self.span(event), f"`{sign}` begins {what}, which notes do not use", QUOTE))

    def twice(self, key: Scalar, earlier: Scalar) -> None:
        """A field written twice."""
        here = Span(self.path, key.line, key.column, len(key.text))
        there = Span(self.path, earlier.line, earlier.column, len(earlier.text))
        message = f"`{clipped(key.text)}` is written twice (first on line {earlier.line})"
        self.told.append(DUPLICATE.at(here, message, "keep the right one", also=(there,)))

    def watched(self, events: Iterator[Any]) -> Iterator[Any]:
        """The events, with a warning for every comment between them that follows a value: its words are lost."""
        end, value = 0, False
        for event in events:
            gap = self.text[end : event.start_mark.index]
            if "#" in gap:
                self.note_lost_words(end, gap, value)
            elif getattr(event, "style", None) in ("|", ">"):
                self.note_block_comment(event)
            end = max(end, event.end_mark.index)
            line = self.lines[event.start_mark.line] if event.start_mark.line < len(self.lines) else ""
            value = type(event).__name__ == "ScalarEvent" and not line.lstrip().startswith("-")
            yield event

    def note_lost_words(self, start: int, gap: str, value: bool) -> None:
        """Comments in a gap: those on the line of a value or a name, and indented ones below a field's value."""
        parts = gap.split("\n")
        same_line = start > 0 and self.text[start - 1] != "\n"
        runs_on = value and ":" not in parts[0]
        for part in parts:
            sign = part.find("#")
            if sign >= 0 and (same_line or (runs_on and sign > 0)):
                self.lost(start + sign, part[sign:])
            start, same_line = start + len(part) + 1, False

    def note_block_comment(self, event: Any) -> None:
        """A comment behind the sign that begins a text of several lines."""
        line = self.lines[event.start_mark.line]
        sign = line.find("#", event.start_mark.column)
        if sign > 0:
            self.lost(event.start_mark.index - event.start_mark.column + sign, line[sign:])

    def lost(self, index: int, words: str) -> None:
        """Warn of words that stand behind a value as a comment."""
        line = self.text.count("\n", 0, index)
        column = index - self.text.rfind("\n", 0, index)
        words = words.strip()
        if words.strip("# "):
            message = f"the words `{clipped(words)}` are lost: after a blank, `#` begins a comment"
            place = Span(self.path, self.first_line + line, column, len(words))
            self.told.append(WORDS_LOST.at(place, message, "put quotes around the whole value if they belong to it"))

    def too_much(self, line: int) -> Refusal:
        """What is said of a head that no person wrote."""
        message = "this head is too long or too deeply nested"
        return Refusal(TOO_MUCH.at(Span(self.path, line), message, "keep it to plain `field: value` lines"))

    def cure(self, event: Any) -> str:
        """What to type instead of something that is no list of fields."""
        return not_a_field(self.lines[event.start_mark.line]) if self.lines else MOVE

    def place(self, event: Any) -> tuple[int, int]:
        """Line and column in the file."""
        return self.first_line + event.start_mark.line, event.start_mark.column + 1

    def span(self, event: Any, length: int = 1) -> Span:
        """The place of an event's first character."""
        return Span(self.path, *self.place(event), length)


def yaml_events(text: str) -> Iterator[Any]:
    """The events of a YAML text, by libyaml where it is there. They build nothing, expand nothing, and never nest."""
    import yaml

    events: Iterator[Any] = yaml.parse(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return events
