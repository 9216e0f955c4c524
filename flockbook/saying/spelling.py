"""Small numbers as words, so that a sentence takes its figure from where the figure stands; and words to be typed."""

from __future__ import annotations

import re

IN_LETTERS = (
    "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip


def in_letters(count: int) -> str:
    """none, one, two to twelve; in figures from there on."""
    return IN_LETTERS[count] if 0 <= count < len(IN_LETTERS) else str(count)


def quoted(text: str) -> str:
    """Words to be typed, in the marks that print."""
    return re.sub(r"`([^`]*)`", "\u2018\\1\u2019", text)
