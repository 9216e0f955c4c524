"""Readers of words: free text, one word of a set, yes or no, and a date or a length of time."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from compiler.amounts import SPAN_OF_TIME, Duration
from compiler.dates import DATE
from compiler.nearness import clipped, did_you_mean
from compiler.schema import Context, Fault
from compiler.scores import Score
from compiler.shape import Value, field
from compiler.written import Written

MOST_TEXT = 2_000  # characters in one field; longer writing belongs in the body (our own limit)


class Text(Value):
    """Any words, as typed."""

    name: str = "words"
    example: str = ""

    def read(self, text: str, context: Context) -> str | Fault:
        """The words without outer blanks."""
        del context
        plain = text.strip()
        if not plain:
            return Fault("nothing is written here", "write the value, or leave the line out")
        if len(plain) > MOST_TEXT:
            return Fault(f"{len(plain):,} characters in one field", "put long writing into the body of the note")
        return plain

    def schema(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string"}


class Choice(Value):
    """One word (or phrase) of a set, without regard to case; `same` leads from other words to those of the set."""

    words: tuple[str, ...]
    name: str = "one of"
    same: Mapping[str, str] = field(default_factory=dict)

    @property
    def example(self) -> str:
        """The first word of the set."""
        return self.words[0]

    def read(self, text: str, context: Context) -> str | Fault:
        """The word as the set spells it."""
        del context
        plain = " ".join(text.lower().split())
        for word in self.words:
            if plain == word.lower():
                return word
        if plain in self.same:
            return self.same[plain]
        hint = did_you_mean(plain, self.words, slips=2 if len(plain) > 4 else 1)
        cure = f"{hint}write one of: {', '.join(self.words)}"
        return Fault(f"`{clipped(text)}` is not one of the words for this field", cure)

    def schema(self) -> dict[str, Any]:
        """An enumeration."""
        return {"type": "string", "enum": [*self.words, *self.same]}


class Flag(Value):
    """Yes or no."""

    name: str = "yes or no"
    example: str = "yes"

    def read(self, text: str, context: Context) -> bool | Fault:
        """True for yes, False for no."""
        del context
        plain = text.strip().lower()
        if plain in ("yes", "y", "true"):
            return True
        if plain in ("no", "n", "false"):
            return False
        return Fault(f"`{clipped(text)}` is neither yes nor no", "write `yes` or `no`")

    def schema(self) -> dict[str, Any]:
        """Yes or no."""
        return {"type": "string", "enum": ["yes", "no"]}


def read_date_or_span(text: str, context: Context) -> date | Duration | Fault:
    """`2026-04-19`, or `6 weeks`."""
    span = SPAN_OF_TIME.read(text, context)
    if not isinstance(span, Fault):
        return span
    day = DATE.read(text, context)
    if not isinstance(day, Fault):
        return day
    return Fault(f"`{clipped(text)}` is neither a date nor a length of time", "write it as `19 Apr 2026` or `6 weeks`")


TEXT = Text()
FLAG = Flag()
DATE_OR_SPAN = Written("a date or a length of time", ("2026-04-19", "6 weeks"), read_date_or_span)


def CHOICE(*words: str) -> Choice:
    """A reader of one of these words (in capitals like the constants beside which it is used)."""
    return Choice(words)


def SCORE(low: float, high: float, step: float) -> Score:
    """A reader of a score on a scale."""
    return Score(low, high, step)
