"""Types of views, followed by name: what a field holds, what a loop goes through. None stands for a type not known."""

from __future__ import annotations

import types
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from compiler.shape import Value, field_names


def attribute(owner: Any, name: str) -> tuple[bool, Any]:
    """Whether values of a type have an attribute, and its type. Of a choice of types, one must have it."""
    if owner is None:
        return True, None
    if is_choice(owner):
        found = [attribute(one, name) for one in get_args(owner) if one is not type(None)]
        kinds = [kind for has, kind in found if has]
        return bool(kinds), kinds[0] if len(kinds) == 1 else None
    plain = get_origin(owner) or owner
    if not isinstance(plain, type) or plain is object:
        return True, None
    hints = field_types(plain)
    if name in hints:
        return True, hints[name]
    return hasattr(plain, name), None


def element(owner: Any) -> Any:
    """The type of one of several, or None."""
    if is_choice(owner):
        several = [one for one in get_args(owner) if one is not type(None)]
        return element(several[0]) if len(several) == 1 else None
    origin, inside = get_origin(owner), get_args(owner)
    if not inside or not isinstance(origin, type) or not issubclass(origin, Iterable):
        return None
    if origin is tuple and not (len(inside) == 2 and inside[1] is Ellipsis):
        return None
    return None if issubclass(origin, Mapping) else known(inside[0])


def is_choice(owner: Any) -> bool:
    """Whether a type is a union."""
    return get_origin(owner) in (Union, types.UnionType)


def known(kind: Any) -> Any:
    """A type, or None for one that says nothing."""
    return None if kind is Any or kind is object else kind


@cache
def field_types(owner: type[Any]) -> dict[str, Any]:
    """The fields and properties of a class with their types."""
    hints = hints_of(owner)
    names = field_names(owner) if issubclass(owner, Value) else tuple(hints)
    found = {name: known(hints.get(name)) for name in names}
    for name in dir(owner):
        if isinstance(method := getattr(owner, name), property) and method.fget:
            found[name] = known(hints_of(method.fget).get("return"))
    return found


def hints_of(owner: Any) -> dict[str, Any]:
    """The annotations of a class or function, or none where they cannot be resolved."""
    try:
        return get_type_hints(owner)
    except (NameError, TypeError, AttributeError):
        return {}
