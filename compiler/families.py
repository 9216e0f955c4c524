"""Families of facts: each is made when it is first asked for and remembered, and so is its failure."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, Self, TypeVar, overload

H = TypeVar("H")
T = TypeVar("T")


class Unmade(Exception):
    """A family that could not be made. Everybody who asks for it is told the same; the cause is what went wrong."""

    def __init__(self, family: str) -> None:
        """`family` names it as it is asked for: `catch.fish`."""
        super().__init__(f"the facts `{family}` could not be made")
        self.family = family


class once(Generic[H, T]):
    """Makes a method's value when it is first asked for, and remembers it in the object as a plain attribute.

    A family that fails is not tried again: it raises the same `Unmade` to everybody who asks, and families made from
    it pass that on. One that asks for itself, by whatever way round, fails too.
    """

    def __init__(self, make: Callable[[H], T]) -> None:
        """`make` takes the object that the family belongs to."""
        self.make, self.__doc__ = make, make.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        """`CatchFacts` and `fish` are `catch.fish`."""
        self.name, self.failure = name, f"why no {name}"
        self.label = f"{owner.__name__.removesuffix('Facts').lower()}.{name}"

    @overload
    def __get__(self, home: None, owner: type) -> Self: ...

    @overload
    def __get__(self, home: H, owner: type) -> T: ...

    def __get__(self, home: H | None, owner: type) -> Self | T:
        """The value; asked for only until it stands in the object itself."""
        if home is None:
            return self
        known = vars(home)
        if self.failure not in known:
            return self._made(home, known)
        if known[self.failure] is None:
            raise RecursionError(f"`{self.label}` cannot be made from itself")
        raise known[self.failure].with_traceback(None)

    def _made(self, home: H, known: dict[str, Any]) -> T:
        known[self.failure] = None  # as long as it is being made
        try:
            value = known[self.name] = self.make(home)
        except Unmade as of_another:
            known[self.failure] = of_another
            raise
        except Exception as error:
            known[self.failure] = Unmade(self.label)
            raise known[self.failure] from error
        except BaseException:
            del known[self.failure]
            raise
        del known[self.failure]
        return value
