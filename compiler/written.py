"""A reader of one kind of value: a function from text, with its name, its examples and its schema."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, TypeVar

from compiler.schema import Context, Fault
from compiler.shape import Value, replace

T = TypeVar("T")


class Written(Value, Generic[T]):
    """A reader made of one function, which sees the text with single plain blanks and none around it.

    The offsets of its faults are moved back to the text as typed; where blanks were run together they are left out.
    """

    name: str
    examples: tuple[str, ...]
    parse: Callable[[str, Context], T | Fault]
    pattern: str = ""

    @property
    def example(self) -> str:
        """The first example."""
        return self.examples[0]

    def read(self, text: str, context: Context) -> T | Fault:
        """The value, or the fault that says what is wrong and what to type."""
        squeezed = " ".join(text.split())
        outcome = self.parse(squeezed, context)
        if not isinstance(outcome, Fault) or squeezed == text:
            return outcome
        start = text.find(squeezed)
        return moved(outcome, start) if start >= 0 else replace(outcome, start=0, length=None)

    def schema(self) -> dict[str, Any]:
        """Text, with the examples."""
        return {"type": "string", "examples": list(self.examples)} | ({"pattern": self.pattern} if self.pattern else {})


def moved(fault: Fault, start: int) -> Fault:
    """A fault in a piece of a text, as a fault of the whole: the piece begins at `start`."""
    return replace(fault, start=fault.start + start) if start else fault
