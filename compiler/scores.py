"""Scores by eye, in whole or half steps."""

from __future__ import annotations

from typing import Any

from compiler.amounts import number
from compiler.parts import in_parts
from compiler.schema import Context, Fault
from compiler.shape import Value, replace


class Score(Value):
    """A score between `low` and `high` in steps of `step`."""

    low: float
    high: float
    step: float
    name: str = "a score"

    @property
    def example(self) -> str:
        """The step nearest to the middle of the scale."""
        return f"{self.low + round((self.high - self.low) / 2 / self.step) * self.step:g}"

    def read(self, text: str, context: Context) -> float | Fault:
        """The score; outside the scale or between its steps is an error."""
        plain = in_parts(text.strip(), context)
        value = number(plain, context)
        if isinstance(value, Fault):
            value = value if plain == text.strip() else replace(value, start=0, length=None)
            one = f"write one figure from {self.low:g} to {self.high:g}, such as {self.example}"
            return replace(value, help=one) if value.help.startswith("write figures only") else value
        if not self.low <= value <= self.high:
            return Fault(f"`{text.strip()}` is off the scale", f"the scale runs from {self.low:g} to {self.high:g}")
        steps = (value - self.low) / self.step
        if abs(steps - round(steps)) > 1e-6:
            cure = f"the scale goes in steps of {self.step:g}"
            return Fault(f"`{text.strip()}` lies between two steps of the scale", cure)
        return value

    def schema(self) -> dict[str, Any]:
        """Text: a number of the scale."""
        scale = f"{self.low:g} to {self.high:g} in steps of {self.step:g}"
        return {"type": "string", "description": scale, "examples": [self.example]}
