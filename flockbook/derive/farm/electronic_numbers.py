"""Every official and electronic number as it was typed: in sheep's own notes, at birth, in taggings and purchases."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

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
    """The official numbers in order: own notes first, then births, then events in order of time."""
    for animal in flock.animals.values():
        if animal.note and animal.note.official:
            yield Typed(animal.note.official, animal.id, animal.note.origin.span("official"))
    for animal in flock.animals.values():
        if animal.birth and animal.birth.line.official:
            yield Typed(animal.birth.line.official, animal.id, animal.birth.line.span)
    for event in flock.events:
        for line in event.lines if isinstance(event, Tagging | Purchase) else ():
            sheep = flock.named(event, line.sheep)
            if line.official and sheep:
                yield Typed(line.official, sheep, line.span)


def official_numbers(flock: Flock) -> Mapping[str, tuple[str, ...]]:
    """Every official number of each sheep, the newest last."""
    found: dict[str, tuple[str, ...]] = {}
    for item in typed_officials(flock):
        found[item.sheep] = (*(one for one in found.get(item.sheep, ()) if one != item.text), item.text)
    return found


def sound_numbers(animal: Animal, officials: Iterable[str], country: str) -> Iterator[str]:
    """A sheep's official numbers and the electronic one of its own note, where they can be such numbers."""
    yield from (one for one in officials if not isinstance(read_official(one, country), NumberFault))
    if animal.note and animal.note.eid and not isinstance(read_eid(animal.note.eid), NumberFault):
        yield animal.note.eid
