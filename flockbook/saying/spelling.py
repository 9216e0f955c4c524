"""Small numbers as words, so that a sentence takes its figure from where the figure stands."""

from __future__ import annotations

SPELLED = (
    "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip


def spelled(count: int) -> str:
    """none, one, two to twelve; in figures from there on."""
    return SPELLED[count] if 0 <= count < len(SPELLED) else str(count)
