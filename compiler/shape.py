"""Values of a fixed shape, which all notes, facts and pages are made of: typed, frozen, and alike when their parts are.

A class of them is declared like a dataclass, and made fifty times as fast; the start of the program is mostly that.
"""

from __future__ import annotations

from typing import dataclass_transform

from msgspec import Struct, StructMeta, field
from msgspec.structs import asdict, replace

__all__ = ["Shaping", "Value", "asdict", "field", "field_names", "replace"]

Shaping = StructMeta  # makes the classes of values


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
class Value(Struct, frozen=True):
    """A value. Its class takes `kw_only`, `order`, `eq=False`, and `dict=True` where it has a cached property."""


def field_names(kind: type[Value]) -> tuple[str, ...]:
    """The names of a value's fields, in order of declaration."""
    return kind.__struct_fields__
