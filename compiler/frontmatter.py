"""The head of a note: YAML between two fences, read with the place of every word and every value kept as text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.source import Source, Span

UNCLOSED = Rule(
    "N101", "fence-left-open", Grade.ERROR,
    "The head of a note stands between two lines of three dashes. Without the second line nobody can tell where the head ends, "
    "so the note may have been cut off.", "---\nnote: remark\n",
)  # fmt: skip
NOT_YAML = Rule(
    "N102", "head-unreadable", Grade.ERROR,
    "The head of a note is lines of `field: value`. Some signs mean something else there: a value that begins with one of them, "
    "or that has a colon and a blank inside, must stand in quotes, or move to the body.", "---\nnote: @vet came\n---\n",
)  # fmt: skip
DUPLICATE = Rule(
    "N103", "field-twice", Grade.ERROR,
    "A field that is written twice could mean either value, so neither is used.", "---\ndam: Sorrel\ndam: Teasel\n---\n",
)  # fmt: skip
REFUSED = Rule(
    "N104", "sign-not-allowed", Grade.ERROR,
    "Anchors (`&`), aliases (`*`), merge keys (`<<`) and tags (`!`) let one place of a file change another; notes do not use them.",
    "---\nname: &bess Bess\n---\n",
)  # fmt: skip
WORDS_LOST = Rule(
    "N105", "words-after-hash", Grade.WARNING,
    "In the head of a note everything after a blank and `#` is a comment, so these words are not part of the value.",
    "---\nremark: twins #2 weak\n---\n",
)  # fmt: skip
TOO_MUCH = Rule(
    "N106", "head-too-big", Grade.ERROR,
    "The head of a note is a few short lines. One that is very long or deeply nested is not a head that a person wrote.",
    "---\na: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[]\n---\n",
)  # fmt: skip
RULES = (UNCLOSED, NOT_YAML, DUPLICATE, REFUSED, WORDS_LOST, TOO_MUCH)

FENCE = re.compile(r"[\s\u00a0]*(?:-{3,}|[—–]{1,3}-?|-[—–]|\*{3,}|(?:- ){2,}-)[\s\u00a0]*")
MOST_HEAD = 64_000  # characters of a head (our own limit)
DEEPEST = 30  # open brackets, or dashes on one line (our own limit)
QUOTE = "put quotes around the value, or move the words to the body below the second `---`"


@dataclass(frozen=True, slots=True)
class Scalar:
    """A value, always as text, and the place of its first character."""

    text: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list of values."""

    items: tuple[Node, ...]
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Entry:
    """One field: its name as typed, and its value."""

    key: Scalar
    value: Node


@dataclass(frozen=True, slots=True)
class Mapping:
    """Fields in the order of writing."""

    entries: tuple[Entry, ...]
    line: int
    column: int


Node = Scalar | Sequence | Mapping


@dataclass(frozen=True, slots=True)
class Front:
    """The head of a note: its fields (None when there is none or it is damaged), and where the body begins (line, from 1)."""

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
    first = next((place for place, line in enumerate(lines) if line.strip("\u00a0 \t")), None)
    if first is None or not FENCE.fullmatch(lines[first]):
        return Front(None, 1, False)
    last = next((place for place in range(first + 1, len(lines)) if FENCE.fullmatch(lines[place])), None)
    if last is None:
        told = UNCLOSED.at(Span(source.path, first + 1, 1, 3), "the head of this note has no end", "put a line of three dashes below its last field")
        fields, more = read_yaml(source.path, lines[first + 1 :], first + 2)
        return Front(fields, len(lines) + 1, True, (told, *more))
    fields, more = read_yaml(source.path, lines[first + 1 : last], first + 2)
    return Front(fields, last + 2, True, more)


def read_yaml(path: str, lines: list[str], first_line: int) -> tuple[Mapping | None, tuple[Diagnostic, ...]]:
    """Lines of YAML as a mapping of text, with what is wrong in them. `first_line` is the number of the first line in its file."""
    tidy = [straightened(line) for line in lines]
    text = "\n".join(tidy)
    if too_much(text):
        return None, (TOO_MUCH.at(Span(path, first_line), "this head is too long or too deeply nested", "keep it to plain `field: value` lines"),)
    walker = Walker(path, tidy, first_line)
    try:
        root = composed(text)
        fields = walker.mapping(root) if root is not None else Mapping((), first_line, 1)
    except Refusal as refusal:
        return None, (refusal.told,)
    except RecursionError:
        return None, (TOO_MUCH.at(Span(path, first_line), "this head is too deeply nested", "keep it to plain `field: value` lines"),)
    except Exception as error:  # noqa: BLE001 - the YAML library lets several kinds of error out; each means: not readable
        return None, (explained(error, path, tidy, first_line),)
    return fields, tuple(walker.told)


class Refusal(Exception):
    """A head that is readable YAML but not a head of ours."""

    def __init__(self, told: Diagnostic) -> None:
        """Keep the message."""
        super().__init__(told.message)
        self.told = told


class Walker:
    """Turns YAML nodes into ours, noting places, duplicates and lost words."""

    def __init__(self, path: str, lines: list[str], first_line: int) -> None:
        """`lines` are the head's own lines."""
        self.path, self.lines, self.first_line = path, lines, first_line
        self.told: list[Diagnostic] = []

    def mapping(self, node: Any) -> Mapping:
        """A mapping whose keys are words, each once."""
        self.plain(node)
        if node.id != "mapping":
            raise Refusal(NOT_YAML.at(self.span(node), "this is not a list of fields", not_a_field(self.line(node))))
        entries: list[Entry] = []
        seen: dict[str, Scalar] = {}
        for key_node, value_node in node.value:
            key = self.scalar(key_node, is_key=True)
            entry = Entry(key, self.node(value_node))
            name = " ".join(key.text.lower().split())
            if name == "<<":
                raise Refusal(REFUSED.at(self.span(key_node, 2), "`<<` takes over fields from elsewhere", "write the fields out"))
            if name in seen:
                self.twice(key, seen[name])
                entries = [item for item in entries if " ".join(item.key.text.lower().split()) != name]
                continue
            seen[name] = key
            entries.append(entry)
        return Mapping(tuple(entries), *self.place(node))

    def node(self, node: Any) -> Node:
        """Any value."""
        self.plain(node)
        if node.id == "scalar":
            return self.scalar(node)
        if node.id == "sequence":
            return Sequence(tuple(self.node(item) for item in node.value), *self.place(node))
        return self.mapping(node)

    def scalar(self, node: Any, is_key: bool = False) -> Scalar:
        """A text, with a warning when words behind it are lost."""
        self.plain(node)
        if node.id != "scalar":
            raise Refusal(NOT_YAML.at(self.span(node), "a list or a group of fields cannot stand here", QUOTE))
        if not is_key:
            self.note_lost_words(node)
        line, column = self.place(node)
        shift = 1 if node.style in ("'", '"') else 0
        return Scalar(uncurled(node.value), line, column + shift)

    def note_lost_words(self, node: Any) -> None:
        """Warn of words that stand behind a value as a comment."""
        end = node.end_mark
        rest = self.lines[end.line][end.column :] if end.line < len(self.lines) and node.style not in ("|", ">") else ""
        match = re.match(r"\s*#\s*(\S.*)", rest)
        if match and (rest[0] in " \t" or not node.value):
            place = Span(self.path, self.first_line + end.line, end.column + 1 + rest.index("#"), len(match[0].strip()))
            words = f"the words `{match[0].strip()[:60]}` are lost: after a blank, `#` begins a comment"
            self.told.append(WORDS_LOST.at(place, words, "put quotes around the whole value if they belong to it"))

    def plain(self, node: Any) -> None:
        """Refuse anchors, aliases and tags."""
        sign = self.line(node)[node.start_mark.column : node.start_mark.column + 1]
        if node.id == "scalar" and node.style in ("'", '"', "|", ">"):
            sign = "" if sign in ("'", '"', "|", ">") else sign
        if sign in ("&", "*", "!"):
            what = {"&": "an anchor", "*": "an alias", "!": "a tag"}[sign]
            raise Refusal(REFUSED.at(self.span(node), f"`{sign}` begins {what}, which notes do not use", QUOTE))

    def twice(self, key: Scalar, earlier: Scalar) -> None:
        """A field written twice."""
        here = Span(self.path, key.line, key.column, len(key.text))
        there = Span(self.path, earlier.line, earlier.column, len(earlier.text))
        self.told.append(
            DUPLICATE.at(here, f"`{key.text}` is written twice (first on line {earlier.line})", "keep the right one", also=(there,))
        )

    def place(self, node: Any) -> tuple[int, int]:
        """Line and column in the file."""
        return self.first_line + node.start_mark.line, node.start_mark.column + 1

    def span(self, node: Any, length: int = 1) -> Span:
        """The place of a node's first character."""
        return Span(self.path, *self.place(node), length)

    def line(self, node: Any) -> str:
        """The line on which a node begins."""
        return self.lines[node.start_mark.line] if node.start_mark.line < len(self.lines) else ""


@cache
def text_loader() -> Any:
    """libyaml's loader with its guesses at types taken out, so that every scalar stays text."""
    import yaml

    base: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    return type("TextLoader", (base,), {"yaml_implicit_resolvers": {}})


def composed(text: str) -> Any:
    """The YAML node tree of a text, or None for an empty one."""
    import yaml

    return yaml.compose(text, Loader=text_loader())


def straightened(line: str) -> str:
    """A line with the damage undone that telephones do: non-breaking blanks, and curly quotes that enclose a value."""
    line = line.replace("\u00a0", " ")
    if "\u201c" in line or "\u201d" in line or "\u201e" in line:
        line = re.sub(r"(:\s+)[\u201c\u201d\u201e]([^\u201c\u201d\u201e]*)[\u201c\u201d](\s*)$", r'\1"\2"\3', line)
    return re.sub(r"(:\s+)[\u2018\u2019]([^\u2018\u2019']*)[\u2018\u2019](\s*)$", r"\1'\2'\3", line)


def uncurled(text: str) -> str:
    """A value without curly quotes around the whole of it."""
    return text[1:-1] if len(text) > 1 and text[0] in "\u201c\u2018" and text[-1] in "\u201d\u2019" else text


def too_much(text: str) -> bool:
    """Whether a head is longer or deeper than any person writes."""
    if len(text) > MOST_HEAD:
        return True
    opened = max(text.count("["), text.count("{"))
    return opened > DEEPEST or re.search(r"(?:[-?:]\s){%d}" % DEEPEST, text) is not None


# What stands on the line, what is wrong with it, what to type. The first pattern that fits explains the error.
CAUSES: tuple[tuple[str, str, str], ...] = (
    (r"\s*\t", "a tab stands at the start of the line", "use blanks, or begin at the edge"),
    (r"[^:]+:\s+([@`%&*!|>])", "a value cannot begin with `{0}`", QUOTE),
    (r"[^:]+:\s+-\s", "a value cannot begin with a dash and a blank", QUOTE),
    (r"[^:]+:\s+([\[{])", "`{0}` opens a list that is never closed", QUOTE),
    (r"[^:]+:\s+([\"'])", "`{0}` opens a quotation that does not close at the end of the value", QUOTE),
    (r"[^:]+:\s+.*:\s", "there is a second colon on the line", QUOTE),
    (r"[^:\s]+:\S", "there is no blank after the colon", "put a blank after the colon"),
    (r"[^:]+$", "this line is not `field: value`", "put a field's name and a colon before it, or move it to the body below the second `---`"),
)


def explained(error: Exception, path: str, lines: list[str], first_line: int) -> Diagnostic:
    """A YAML error in plain words, at the line that is the likely cause."""
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    line = min(mark.line, len(lines) - 1) if mark is not None and lines else 0
    column = mark.column + 1 if mark is not None and lines and mark.line < len(lines) else 1
    for place in candidates(line, lines):
        for pattern, what, cure in CAUSES[:-1]:
            if match := re.match(pattern, lines[place]):
                told = what.format(*match.groups())
                start = match.start(1) + 1 if match.groups() else column if place == line else 1
                return NOT_YAML.at(Span(path, first_line + place, max(start, 1)), f"the head cannot be read: {told}", cure)
    typed = lines[line].strip() if lines else ""
    return NOT_YAML.at(Span(path, first_line + line, column), f"the head cannot be read near `{typed[:40]}`", not_a_field(typed))


def candidates(line: int, lines: list[str]) -> Iterator[int]:
    """The line that an error names, then the ones above it, where its cause often stands."""
    yield from range(min(line, len(lines) - 1), max(-1, line - 3), -1)


def not_a_field(line: str) -> str:
    """What to type instead of a line that is no field."""
    if match := re.match(r"\s*([A-Za-z][\w ]*):(\S.*)", line):
        return f"put a blank after the colon: `{match[1]}: {match[2][:40]}`"
    return "write `field: value`, or move the words to the body below the second `---`"
