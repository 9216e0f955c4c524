"""The words by which a line of doses says whom it means, without a name."""

from __future__ import annotations

import re
from collections.abc import Sequence

from flockbook.whom.lexicon import folded
from flockbook.whom.line_reading import (
    KIN,
    NOISE,
    named,
)
from flockbook.whom.numbers_said import NUMBER_WORDS
from flockbook.whom.pieces import AMOUNT, DATE, FIGURE, JOINT, Piece

# Signs in a line of doses that more sheep are meant than it names.
AND_MORE = re.compile(
    r"&c\b|\betc\b|\b(?:others?"
    r"|another|ditto|lot|group|gang)\b|\b\d{1,2} more\b|[&+] ?\d{1,2}(?= |$)(?! ?(?:ml|cc|kg|lb))|…(?=\s*\w)"
    r"|^\W*\w*\d\s*[+-]\s*(?=,|;|$)|^\W*\w*\d\s*(?:& up|and up|up|upwards|onwards?)\b",
    re.I,
)
YEARLINGS = frozenset({"hogg", "hogget", "gimmer"})  # of an age, which the class does not tell
LATER = re.compile(
    r"\b(?:mon|tues?|wed(?:nes)?|thu(?:r|rs)?|fri|sat(?:ur)?|sun)(?:day)?\b"
    r"|\b(?:next|following) (?:day|morning|night)\b"
    r"|\b(?:day after|tomorrow)\b"
    r"|\b\d{1,2}(?:st|nd|rd|th)\b",
    re.I,
)
OF_GROUPS = frozenset(
    {*NUMBER_WORDS, "all", "the", "both", "every", "old", "young", "other", "ditto", "same", "too"}
    | {"dry", "thin", "lame", "fat", "last", "first", "few", "big", "small", "late", "early", "main"}
)  # beside a mob or class
LIST_HEAD = re.compile(r"^\W*(?:total|did|done|list|dosed|drenched|these|in all)\b[^:\n]{0,12}:\s*", re.I)
BRACKETED = re.compile(r"\([^()\n]{0,40}\)")
TAGS_ALONE = re.compile(r"[#\s]*\d+(?:(?:[,;&+/#\s]|and)+\d+)+\s*")  # `also: #4, #5`, where a sign begins a comment
OF_CLOCK = re.compile(r"\d{1,2}:\d{2}")


def lone_kin(pieces: Sequence[Piece]) -> str:
    """The word of a line that is nothing but one of a class, an amount aside: `+ tup`, `ram lamb 2 ml`; "" for others,
    and for a lamb of hers.
    """
    aside = (JOINT, AMOUNT, FIGURE, DATE)
    said = [folded(piece.text) for piece in pieces if piece.sort not in aside and folded(piece.text) not in NOISE]
    kin = bool(said) and all(word in KIN for word in said) and not any(named(piece) for piece in pieces)
    return said[-1] if kin and (KIN[said[-1]] or said[-1] == "lamb") else ""


def follows(tag: str, other: str) -> bool:
    """Whether a tag is the next in number."""
    one, two = (int(re.sub(r"\D", "", text) or 0) for text in (tag, other))
    return two == one + 1
