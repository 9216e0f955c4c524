"""The paper of a chart, what its edges keep free, and how wide words are on it."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.shape import Value

LETTER = 7.9  # width of a letter of the 13-unit chart face in the widest of the system fonts (measured by eye)
LINE = 16.0  # from one line of words to the next


class Sheet(Value):
    """The size of the picture in its own units, in which letters are 13 high."""

    width: float = 360.0
    height: float = 220.0


class Inset(Value):
    """The paper kept free around the plot for names and numbers."""

    left: float
    top: float
    right: float
    bottom: float


def widest(texts: Iterable[str]) -> float:
    """The paper that the longest of some words takes."""
    return max((len(text) for text in texts), default=0) * LETTER
