"""What may be written in a kind of note, told from its declaration: field reference, blank note, JSON Schema."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import Any

from compiler.schema import Band, Key, Kind, Record, declared_keys
from compiler.shape import Value

DIALECT = "https://json-schema.org/draft/2020-12/schema"
WIDTH = 100  # columns of the plain text


class FieldReference(Value):
    """One field: how it is typed, what it holds, whether it must be there, and what it is taken from when left out."""

    name: str
    help: str
    value: str
    example: str
    required: bool = False
    many: bool = False
    aliases: tuple[str, ...] = ()
    from_name: bool = False
    band: Band | None = None
    asked: str = ""  # outside what the writer is asked, in words


class KindReference(Value):
    """Everything that may be written in one kind of note; fields that must be there come first."""

    name: str
    help: str
    aliases: tuple[str, ...]
    file_name: str
    fields: tuple[FieldReference, ...]
    guarded: bool = False
    lines: str = ""
    line_examples: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    bare: bool = False


def reference(kind: Kind[Any]) -> KindReference:
    """The field reference of a kind."""
    named = from_file_name(kind)
    found = [described(name, declared, attribute in named) for name, attribute, declared in fields_of(kind.record)]
    ordered = sorted(found, key=lambda item: not item.required)
    syntax, words = kind.lines, (*kind.aliases, *kind.says)
    if syntax is None:
        return KindReference(kind.name, kind.help, words, file_name(kind), tuple(ordered), kind.guarded)
    return KindReference(
        kind.name, kind.help, words, file_name(kind), tuple(ordered), kind.guarded,
        syntax.help, syntax.examples, syntax.columns if syntax.read_row else (), syntax.bare,
    )  # fmt: skip


def as_text(told: KindReference) -> str:
    """A field reference for the terminal."""
    also = f" (also {', '.join(told.aliases)})" if told.aliases else ""
    rows = [f"{told.name}{also}: {told.help}", f"  file name: {told.file_name}", ""]
    for item in told.fields:
        rows += field_rows(item)
    rows += line_rows(told)
    return "\n".join(rows) + "\n"


def blank(told: KindReference) -> str:
    """A note of this kind with nothing filled in: what must be written, and the rest as comments with examples."""
    wanted = [f"{item.name}:" for item in told.fields if item.required and not item.from_name]
    offered = [f"# {item.name}: {item.example}".rstrip() for item in told.fields if not item.required or item.from_name]
    below = [f"# below the second line of dashes: - {example}" for example in told.line_examples]
    return "\n".join(["---", f"note: {told.name}", *wanted, *offered, *below, "---", ""])


def json_schema(kind: Kind[Any]) -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of the head of a note of this kind, for editors that check YAML.

    Such editors guess types (`412` is a number to them), so every text may be a number or a truth value there. Names of
    fields are matched without case; only those in lower case are looked into.
    """
    named = from_file_name(kind)
    properties: dict[str, Any] = {"note": {"description": "the kind of note", "type": "string"}}
    needed: list[dict[str, Any]] = []
    for name, attribute, declared in fields_of(kind.record):
        for word in (name, *declared.aliases):
            properties[word] = value_schema(declared)
        if declared.required and attribute not in named:
            needed.append({"anyOf": [{"required": [word]} for word in (name, *declared.aliases)]})
    schema = {
        "$schema": DIALECT, "title": kind.name, "description": kind.help, "type": "object", "properties": properties,
        "patternProperties": {any_case(properties): True}, "additionalProperties": False,
    }  # fmt: skip
    return schema | ({"allOf": needed} if needed else {})


def fields_of(record: type[Record]) -> Iterable[tuple[str, str, Key]]:
    """Typed name, attribute and declaration of every field, aliases left out, in order of declaration."""
    seen: set[str] = set()
    for name, (attribute, declared) in declared_keys(record).items():
        if attribute not in seen:
            seen.add(attribute)
            yield name, attribute, declared


def from_file_name(kind: Kind[Any]) -> frozenset[str]:
    """The attributes that a file name can fill."""
    return frozenset(("date", "time", kind.subject) if kind.dated else kind.named) - {""}


def file_name(kind: Kind[Any]) -> str:
    """How a note of this kind is named, in capitals what varies."""
    if not kind.dated:
        return f"{' '.join(kind.named).upper() or 'ANY NAME'}.md"
    subject = f" [{kind.subject.upper()}]" if kind.subject else " [WORDS]"
    return f"DATE [TIME] {kind.name}{subject}.md"


def described(name: str, declared: Key, from_name: bool) -> FieldReference:
    """One field of the reference."""
    reader = declared.reader
    words = getattr(reader, "words", None) or reader.schema().get("enum")
    value = f"one of {', '.join(words)}" if words else reader.name
    band = declared.band
    return FieldReference(
        name, declared.help, value, reader.example, declared.required, declared.many, declared.aliases, from_name, band,
        f"{band.low:g} to {band.high:g}" if band else "",
    )  # fmt: skip


def field_rows(item: FieldReference) -> list[str]:
    """A field as lines of text."""
    facts = [f"{item.value}, such as {item.example}" if item.example else item.value]
    facts += ["several, with commas between"] if item.many else []
    facts += [f"also written {', '.join(item.aliases)}"] if item.aliases else []
    facts += ["may stand in the file's name instead"] if item.from_name else []
    facts += [f"outside {item.asked} you are asked"] if item.asked else []
    head = f"  {item.name}{' *' if item.required else ''}: {item.help}"
    return [*folded(head, "    "), *folded("    " + "; ".join(facts), "    ")]


def line_rows(told: KindReference) -> list[str]:
    """Data lines as lines of text."""
    if not told.lines:
        return ["  * must be there"] if any(item.required for item in told.fields) else []
    rows = ["", *folded(f"  lines in the body: {told.lines}", "    ")]
    rows += [f"    {'' if told.bare else '- '}{example}" for example in told.line_examples]
    if told.columns:
        rows.append(f"    or a table, or a CSV file of the same name, with the columns {', '.join(told.columns)}")
    return [*rows, "  * must be there"]


def folded(text: str, indent: str) -> list[str]:
    """Text in lines of at most `WIDTH` columns."""
    return textwrap.wrap(text, WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


def value_schema(declared: Key) -> dict[str, Any]:
    """The schema of one field's value."""
    one = guessable(declared.reader.schema())
    told = {"description": declared.help}
    if not declared.many:
        return told | one
    return told | {"anyOf": [{"type": ["string", "number"]}, {"type": "array", "items": one}]}


def guessable(schema: dict[str, Any]) -> dict[str, Any]:
    """A schema of text, as a reader of YAML sees it that guesses types."""
    if schema.get("type") != "string":
        return schema
    words = schema.get("enum")
    if words is None:
        return schema | {"type": ["string", "number", "boolean"]}
    rest = {name: value for name, value in schema.items() if name not in ("type", "enum")}
    truths = [True, False] if {"yes", "no"} <= set(words) else []
    return rest | {"anyOf": [{"enum": [*words, *truths]}, {"type": "string", "pattern": any_case(words)}]}


def any_case(words: Iterable[str]) -> str:
    """A pattern (ECMA 262) of these words, whatever the case of their letters."""
    return f"^(?:{'|'.join(''.join(one_letter(letter) for letter in word) for word in words)})$"


def one_letter(letter: str) -> str:
    """A pattern of one letter in either case."""
    if letter.isascii() and letter.isalpha():
        return f"[{letter.upper()}{letter.lower()}]"
    return letter if letter.isalnum() or letter in " -_" else f"\\u{ord(letter):04x}"
