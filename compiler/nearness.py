"""Words that are nearly other words: one slip of the finger apart."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import SequenceMatcher


def near(typed: str, known: Iterable[str], most: int = 3, slips: int = 1) -> tuple[str, ...]:
    """Up to `most` of the known words within `slips` edits (or swaps of neighbours) of the typed one, nearest first."""
    lower = typed.lower()
    found = [(distance(lower, word.lower(), slips), -alike(lower, word.lower()), word) for word in known if abs(len(word) - len(typed)) <= slips]
    return tuple(word for steps, _, word in sorted(found) if steps <= slips)[:most]


def alike(one: str, other: str) -> float:
    """How much two words share, 0 to 1, for order among equals."""
    return SequenceMatcher(None, one, other).ratio()


def distance(one: str, other: str, most: int) -> int:
    """Edits and swaps of neighbours between two words (Damerau 1964, optimal string alignment), or `most` + 1 when more."""
    if abs(len(one) - len(other)) > most:
        return most + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        earlier, before, row = before, row, [i]
        for j, sign in enumerate(other, 1):
            steps = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != sign))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == sign:
                steps = min(steps, earlier[j - 2] + 1)
            row.append(steps)
        if min(row) > most:
            return most + 1
    return row[-1]
