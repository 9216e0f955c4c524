"""The ends of a row of tags."""

from __future__ import annotations

import re

SPREAD = re.compile(
    r"([^\W\d_]*)(\d+)\s*(?P<sign>[-–—=]?>|--|[-–—‐‑‒―−~]|→|…|\.\.+|_|/|(?:to|till?|thru|through|up to|bis)\b)"
    r"\s*([^\W\d_]*)(\d+)(?![\w])",
    re.I,
)
RANGE_SIGNS = ("-", "–", "—", "to")  # with these a range is written plainly; with others it is asked about
LONGEST_RANGE = 500  # tags in one range (our own limit)


def ends_of(first: str, last: str) -> tuple[int, int]:
    """The lower and the upper figure of a range, whichever stands first; `738-40` is 738 to 740."""
    low, high = int(first), int(last)
    if len(last) < len(first):
        high = int(first[: len(first) - len(last)] + last)
        high += 10 ** len(last) if high < low else 0
    low, high = min(low, high), max(low, high)
    return low, min(high, low + LONGEST_RANGE)
