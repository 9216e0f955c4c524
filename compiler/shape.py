"""Values of a fixed shape, which notes, facts and pages are made of: typed, frozen, equal when of one class and alike.

Their classes are declared like dataclasses and made fifty times as fast; making them was most of the program's start.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar, dataclass_transform

from msgspec import Struct, StructMeta, field
from msgspec.structs import asdict

if TYPE_CHECKING:
    from dataclasses import replace  # the type checker knows which fields this one takes
else:
    from msgspec.structs import replace

__all__ = ["Shaping", "Value", "asdict", "field", "field_names", "replace"]

Shaping = StructMeta  # makes the classes of values


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
class Value(Struct, frozen=True):
    """A value. Its class takes `kw_only`, `order`, `eq=False`, and `dict=True` where it has a cached property."""

    __dataclass_fields__: ClassVar[dict[str, Any]]  # only declared, for the type checker's `replace`


def field_names(kind: type[Value]) -> tuple[str, ...]:
    """The names of a value's fields, in order of declaration."""
    return kind.__struct_fields__
