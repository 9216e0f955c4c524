"""Readers of words: free text, one word of a set, yes or no."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from compiler.amounts import Score
from compiler.schema import Context, Fault

MOST_TEXT = 2_000  # characters in one field; longer writing belongs in the body (our own limit)


@dataclass(frozen=True, slots=True)
class Text:
    """Any words, as typed."""

    name: str = "words"
    example: str = "Bramble"

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


@dataclass(frozen=True, slots=True)
class Choice:
    """One word (or phrase) of a set, without regard to case."""

    words: tuple[str, ...]
    name: str = "one of"

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
        near = get_close_matches(plain[:40], [word.lower() for word in self.words], n=1)
        hint = f"did you mean `{near[0]}`? " if near else ""
        return Fault(f"`{short(text)}` is not one of the words for this field", f"{hint}write one of: {', '.join(self.words)}")

    def schema(self) -> dict[str, Any]:
        """An enumeration."""
        return {"type": "string", "enum": list(self.words)}


@dataclass(frozen=True, slots=True)
class Flag:
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
        return Fault(f"`{short(text)}` is neither yes nor no", "write `yes` or `no`")

    def schema(self) -> dict[str, Any]:
        """Yes or no."""
        return {"type": "string", "enum": ["yes", "no"]}


def short(text: str) -> str:
    """Text as it can be shown in a message: one line, at most forty characters."""
    plain = " ".join(text.split())
    return plain if len(plain) <= 40 else plain[:39] + "…"


TEXT = Text()
FLAG = Flag()


def CHOICE(*words: str) -> Choice:  # noqa: N802 - reads like the other constants where fields are declared
    """A reader of one of these words."""
    return Choice(words)


def SCORE(low: float, high: float, step: float) -> Score:  # noqa: N802 - as above
    """A reader of a score on a scale."""
    return Score(low, high, step)
