"""Messages as text: for people, for editors, for programs and for a forge's annotations."""

from __future__ import annotations

import json
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable

from compiler.diagnostics import Diagnostic, Grade, settled
from compiler.shape import asdict
from compiler.source import Span

WIDEST = 100  # characters of a note's line that are shown; a longer one is cut around the place
COLOURS = {
    Grade.ERROR: "31",
    Grade.ASK: "35",
    Grade.WARNING: "33",
    Grade.GAP: "36",
}  # ECMA-48, select graphic rendition
MANY = {Grade.ERROR: "errors", Grade.ASK: "asks", Grade.WARNING: "warnings", Grade.GAP: "gaps"}
ANNOTATIONS = {Grade.ERROR: "error", Grade.ASK: "warning", Grade.WARNING: "warning", Grade.GAP: "notice"}

LineOf = Callable[[Span], str]


def full(told: Iterable[Diagnostic], line_of: LineOf, colour: bool) -> str:
    """Each message with its place, the line itself, a caret, what to type and what the book did meanwhile.

    `line_of` gives the line of a note at a place ("" if it cannot be read). Colour is ECMA-48.
    """
    return "\n".join(_one_full(message, line_of, colour) for message in settled(told))


def short(told: Iterable[Diagnostic]) -> str:
    """`path:line:col: grade[code]: message`, one a line."""
    return "".join(f"{_head(message)}\n" for message in settled(told))


def as_json(told: Iterable[Diagnostic]) -> str:
    """An array of objects with every part of each message, in ASCII."""
    return json.dumps([_as_object(message) for message in settled(told)], indent=1) + "\n"


def github(told: Iterable[Diagnostic]) -> str:
    """Annotations of a change on GitHub (its documentation, "Workflow commands": `::error file=…::…`)."""
    return "".join(f"{_annotation(message)}\n" for message in settled(told))


def summary(told: Iterable[Diagnostic], read: int) -> str:
    """One line: how many messages of each grade in how many files read."""
    counts = Counter(message.grade for message in settled(told))
    parts = [f"{counts[grade]} {MANY[grade] if counts[grade] > 1 else grade}" for grade in Grade if counts[grade]]
    return f"{', '.join(parts) or 'no problems'} in {read} {'file' if read == 1 else 'files'}"


def visible(text: str) -> str:
    """Text in which control characters, which could steer a terminal, are shown as signs."""
    return "".join(_visible(character) for character in text)


def _visible(character: str) -> str:
    if character < " ":
        return chr(0x2400 + ord(character))  # Unicode, Control Pictures
    hidden = unicodedata.category(character) in ("Cc", "Cf", "Cs", "Zl", "Zp")
    return "\N{REPLACEMENT CHARACTER}" if hidden else character


def _place(span: Span) -> str:
    return f"{visible(span.path)}:{span.line}:{span.column}"


def _head(message: Diagnostic, start: str = "", end: str = "") -> str:
    grade = f"{start}{message.grade}[{message.code}]{end}"
    return f"{_place(message.span)}: {grade}: {visible(message.message)}"


def _one_full(message: Diagnostic, line_of: LineOf, colour: bool) -> str:
    start, end = (f"\x1b[1;{COLOURS[message.grade]}m", "\x1b[0m") if colour else ("", "")
    told = [*_advice(message), *(("also", _place(span)) for span in message.also)]
    tail = [f"    {word}: {visible(text)}" for word, text in told if text]
    shown = _quoted(message.span, line_of(message.span), start, end)
    return "\n".join([_head(message, start, end), *shown, *tail, ""])


def _quoted(span: Span, line: str, start: str, end: str) -> list[str]:
    """The line with a caret under the place; nothing for a line that is empty or that the place lies beyond."""
    if not line.strip() or span.column > len(line) + 1:
        return []
    first = max(0, span.column - 1 - WIDEST // 2) if len(line) > WIDEST else 0
    cut = line[first : first + WIDEST]
    offset = span.column - 1 - first
    before, marked = cut[:offset], cut[offset : offset + max(1, span.length)]
    gutter = f"    {span.line} | "
    caret = f"{' ' * (len(gutter) - 2)}| "
    return [
        f"{gutter}{'…' if first else ''}{visible(cut)}{'…' if first + WIDEST < len(line) else ''}",
        f"{caret}{' ' * (_width(before) + bool(first))}{start}{'^' * max(1, _width(marked))}{end}",
    ]


def _width(text: str) -> int:
    """Columns that a terminal gives to a text (Unicode Standard Annex 11: wide characters take two, marks none)."""
    return sum(
        0 if unicodedata.combining(character) else 2 if unicodedata.east_asian_width(character) in "WF" else 1
        for character in text
    )


def _as_object(message: Diagnostic) -> dict[str, object]:
    span = asdict(message.span)
    return {
        "code": message.code,
        "name": message.name,
        "grade": str(message.grade),
        "message": message.message,
        **span,
        "help": message.help,
        "meanwhile": message.meanwhile,
        "also": [asdict(other) for other in message.also],
    }


def _annotation(message: Diagnostic) -> str:
    span = message.span
    ends = f",endColumn={span.column + span.length}" if span.length else ""
    place = f"file={_property(span.path)},line={span.line},col={span.column}{ends}"
    parts = [message.message, *(f"{word}: {text}" for word, text in _advice(message) if text)]
    title = _property(f"{message.grade} {message.code}")
    return f"::{ANNOTATIONS[message.grade]} {place},title={title}::{_escaped(chr(10).join(parts))}"


def _advice(message: Diagnostic) -> tuple[tuple[str, str], ...]:
    return (("help", message.help), ("meanwhile", message.meanwhile))


def _escaped(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _escaped(text).replace(":", "%3A").replace(",", "%2C")
