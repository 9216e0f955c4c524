"""Values: equal when alike, never changed, and as quick to copy as to trust."""

from __future__ import annotations

import pickle
from dataclasses import is_dataclass
from functools import cached_property

import pytest

from compiler.schema import Key, Origin, Record, declared_keys, key
from compiler.shape import Value, asdict, field, field_names, replace
from compiler.values import COUNT, TEXT


class Buoy(Value, dict=True):
    """A buoy and what hangs on it."""

    name: str
    depth: float = 0.0
    ropes: list[str] = field(default_factory=list)

    @cached_property
    def seen(self) -> list[str]:
        """Who passed; no part of the value."""
        return []


class Light(Value):
    """Not a buoy, though its parts may be the same."""

    name: str
    depth: float = 0.0


class Bell(Light, order=True):
    """A light with a bell."""

    strokes: int = 1


def test_values_are_equal_when_of_one_class_and_alike() -> None:
    """The parts decide, and the class; values that are equal have one place in a set."""
    assert Light("North", 4.0) == Light("North", 4.0)
    assert len({Light("North"), Light("North"), Light("South")}) == 2
    assert Light("North") != Bell("North")
    assert Bell("North", 1.0, 2) < Bell("North", 1.0, 3)


def test_values_cannot_be_changed() -> None:
    """Neither a field nor anything new can be set; subclasses are as fixed."""
    with pytest.raises(AttributeError):
        Light("North").depth = 3  # type: ignore[misc]
    with pytest.raises(AttributeError):
        Bell("North").strokes = 3  # type: ignore[misc]


def test_a_copy_forgets_what_was_worked_out() -> None:
    """A cached property belongs to one value: a copy with other parts works it out again, and equality ignores it."""
    first = Buoy("North")
    first.seen.append("gull")
    assert replace(first, depth=2.0).seen == []
    assert replace(first) == first
    assert pickle.loads(pickle.dumps(first)) == first


def test_a_copy_takes_known_fields_only() -> None:
    """A field that is not there is refused when the program runs, as it is by the type checker."""
    with pytest.raises(TypeError):
        replace(Light("North"), colour="red")  # type: ignore[call-arg]


def test_fields_and_parts() -> None:
    """Names in order of declaration, those of the base first; every value has lists of its own; none is a dataclass."""
    assert field_names(Bell) == ("name", "depth", "strokes")
    assert asdict(Bell("North")) == {"name": "North", "depth": 0.0, "strokes": 1}
    assert Buoy("North").ropes is not Buoy("North").ropes
    assert not is_dataclass(Buoy)


class Wreck(Record):
    """A note with fields of its own."""

    place: str | None = key("where it lies", TEXT, required=True)
    masts: tuple[int, ...] = key("masts that stand", COUNT, many=True, aliases=("spars",))


class Hulk(Wreck):
    """A note that adds a field to those of another kind."""

    for_sale: str | None = key("by whom it is offered", TEXT)


def test_records_remember_what_was_declared() -> None:
    """What `key` declared is found again, that of the base first; the fields are absent until they are typed."""
    names = [(name, attribute) for name, (attribute, _) in declared_keys(Hulk).items()]
    assert names == [("place", "place"), ("masts", "masts"), ("spars", "masts"), ("for sale", "for_sale")]
    assert all(isinstance(declared, Key) for _, declared in declared_keys(Hulk).values())
    assert "for_sale" not in field_names(Wreck)
    assert field_names(Hulk) == ("origin", "place", "masts", "for_sale")


def test_fields_of_a_record_are_given_by_name() -> None:
    """No field of a note can be filled by its place among the others."""
    with pytest.raises(TypeError):
        Wreck(Origin("a.md", "wreck", {}), "reef")  # type: ignore[call-arg]
