"""The text of a settings file: groups of settings opened, each value as text."""

from __future__ import annotations

from compiler.frontmatter import Entry, Mapping, Node, Scalar
from compiler.names import plain


def groups_opened(fields: Mapping) -> Mapping:
    """Fields with groups opened: `vet: {name: …, phone: …}` reads as `vet` and `vet phone`; `breed gestation: {Merino:
    150}` as a list.
    """
    from compiler.frontmatter import Sequence

    entries: list[Entry] = []
    for entry in fields.entries:
        if not isinstance(entry.value, Mapping):
            entries.append(entry)
            continue
        name = plain(entry.key.text)
        if name == "vet":
            for part in entry.value.entries:
                word = plain(part.key.text)
                entries.append(
                    Entry(
                        Scalar("vet" if word == "name" else f"vet {word}", part.key.line, part.key.column), part.value
                    )
                )
            continue
        items = tuple(
            Scalar(f"{part.key.text} {text_of(part.value)}", part.key.line, part.key.column)
            for part in entry.value.entries
        )
        entries.append(Entry(entry.key, Sequence(items, entry.value.line, entry.value.column)))
    return Mapping(tuple(entries), fields.line, fields.column)


def text_of(value: Node) -> str:
    """What stands behind a name inside a group: a value as typed; more than one value, which has no place there, in
    words that no setting takes, so that it is told and not lost.
    """
    return value.text if isinstance(value, Scalar) else "(several values)"
