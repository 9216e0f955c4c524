"""Every electronic number as it was typed: in sheep's own notes, in tagging notes and in purchases."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.shape import Value
from compiler.source import Span
from flockbook.flock import Flock
from flockbook.records.handling import Tagging
from flockbook.records.trade import Purchase


class Typed(Value):
    """An electronic number as it was typed, on which sheep, and where."""

    text: str
    sheep: str
    span: Span


def typed_numbers(flock: Flock) -> Iterator[Typed]:
    """The numbers in order: own notes first, then events in order of time, so the last of a sheep is its newest."""
    for animal in flock.animals.values():
        if animal.note and animal.note.eid:
            yield Typed(animal.note.eid, animal.id, animal.note.origin.span("eid"))
    for event in flock.events:
        for line in event.lines if isinstance(event, Tagging | Purchase) else ():
            sheep = flock.named(event, line.sheep)
            if line.eid and sheep:
                yield Typed(line.eid, sheep, line.span)
