"""Every official and electronic number as it was typed: in sheep's own notes, in tagging notes and in purchases."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.shape import Value
from compiler.source import Span
from flockbook.derive.farm.official_identity import NumberFault, read_eid, read_official
from flockbook.flock import Animal, Flock
from flockbook.records.handling import Tagging
from flockbook.records.trade import Purchase


class Typed(Value):
    """A number as it was typed, on which sheep, and where."""

    text: str
    sheep: str
    span: Span


def typed_numbers(flock: Flock) -> Iterator[Typed]:
    """The electronic numbers in order: own notes first, then events in order of time, so the last of a sheep is its
    newest.
    """
    for animal in flock.animals.values():
        if animal.note and animal.note.eid:
            yield Typed(animal.note.eid, animal.id, animal.note.origin.span("eid"))
    for event in flock.events:
        for line in event.lines if isinstance(event, Tagging | Purchase) else ():
            sheep = flock.named(event, line.sheep)
            if line.eid and sheep:
                yield Typed(line.eid, sheep, line.span)


def typed_officials(flock: Flock) -> Iterator[Typed]:
    """The official numbers, which stand in sheep's own notes."""
    for animal in flock.animals.values():
        if animal.note and animal.note.official:
            yield Typed(animal.note.official, animal.id, animal.note.origin.span("official"))


def sound_numbers(animal: Animal, country: str) -> Iterator[str]:
    """The official and electronic number of a sheep's own note, where they can be such numbers."""
    note = animal.note
    if note and note.official and not isinstance(read_official(note.official, country), NumberFault):
        yield note.official
    if note and note.eid and not isinstance(read_eid(note.eid), NumberFault):
        yield note.eid
