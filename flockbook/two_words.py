"""One sheep by two of her words, or by one with what she is before it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

Called = TypeVar("Called")
SAID_BEFORE = frozenset({"ewe", "ram", "tup", "buck", "wether", "tag", "sheep", "no", "number"})  # of a name or a tag


def by_two_words(plain: str, called: Callable[[str], Sequence[Called]]) -> list[Called]:
    """Whom `Bramble (C214)`, `C214 Bramble`, `ewe Bramble` or `#C214` mean; `called` gives those of a word."""
    words = plain.replace("(", " ").replace(")", " ").lstrip("#").split()
    if len(words) > 1 and words[0].lower() in SAID_BEFORE:
        return list(called(" ".join(words[1:])))
    for place in range(1, len(words)):
        ones, others = called(" ".join(words[:place])), called(" ".join(words[place:]))
        if same := [sheep for sheep in ones if any(sheep is other for other in others)]:
            return same
    return list(called(words[0])) if len(words) == 1 and words[0] != plain else []
