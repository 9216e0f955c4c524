"""Values of a fixed shape, which notes, facts and pages are made of: typed, frozen, equal when of one class and alike.

Their classes are declared like dataclasses and made fifty times as fast; making them was most of the program's start.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar, dataclass_transform

from msgspec import MsgspecError, Struct, StructMeta, field
from msgspec.structs import asdict

if TYPE_CHECKING:
    from dataclasses import replace  # the type checker knows which fields this one takes
else:
    from msgspec.structs import replace

__all__ = [
    "UNPACKABLE",
    "Shaping",
    "Value",
    "asdict",
    "field",
    "field_names",
    "packed",
    "packed_alike",
    "replace",
    "unpacked",
]

T = TypeVar("T")
UNPACKABLE = (MsgspecError, ValueError, TypeError, OverflowError, RecursionError)  # what packing may raise
Shaping = StructMeta  # makes the classes of values


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
class Value(Struct, frozen=True):
    """A value. Its class takes `kw_only`, `order`, `eq=False`, and `dict=True` where it has a cached property."""

    __dataclass_fields__: ClassVar[dict[str, Any]]  # only declared, for the type checker's `replace`


def field_names(kind: type[Value]) -> tuple[str, ...]:
    """The names of a value's fields, in order of declaration."""
    return kind.__struct_fields__


def packed(value: object) -> bytes:
    """A value as bytes (MessagePack). Raises one of `UNPACKABLE` for what has no such form."""
    from msgspec import msgpack

    return msgpack.encode(value, enc_hook=_plain)


def packed_alike(value: object) -> bytes:
    """A value as bytes, the same ones for equal mappings and sets whatever their order."""
    from msgspec import msgpack

    return msgpack.encode(value, enc_hook=_plain, order="deterministic")


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, str):  # markup: whoever unpacks it says again that it is
        return str(value)
    raise TypeError(f"{type(value)} has no form in bytes")


def unpacked(data: bytes, kind: type[T]) -> T:
    """The value of a type that bytes hold. Raises one of `UNPACKABLE` where they hold none."""
    asked: Any = kind
    found: T = _reader(asked)(data)
    return found


@cache
def _reader(kind: Any) -> Any:
    from msgspec import msgpack

    return msgpack.Decoder(kind).decode
