"""Dash lines that begin with a sheep: how the sheep is told from what is said of it."""

from __future__ import annotations

import re

from compiler.schema import Fault
from compiler.shape import Value

# A name of several words, each with a capital (`Old Nan`); a word that tells what was found is no part of a name.
FINDINGS = (
    "empty|barren|dry|open|bred|singles?|twins?|triplets?|quads?|in|bcs|condition|eyelids?|eye|famacha|dags?|udder|feet|foot|mouth|teeth|"
    "before|after|lame|left|right|weak|none"
)
TWO_NAMES = rf"(?-i:[A-Z][a-z]++(?: (?!(?i:{FINDINGS})\b)[A-Z][a-z]++){{1,2}})(?![\w'’])"
# A sheep at the start of a line: a paint number, a dam's lamb, a name of several words, or one word (tag or name).
LINE_SHEEP = re.compile(
    r"(?P<sheep>no\.? ?\d+(?:/\d{4})?|[^\s,:=]+(?: [^\s,:=]+)?['’]s (?:\w+ )?lamb(?: \d{4})?(?: \d)?(?= *[=,:]|\s|$)"
    rf"|{TWO_NAMES}|[^\s,:=]+)[\s,:]*(?P<rest>.*)",
    re.I | re.S,
)


class Opening(Value):
    """The sheep named at the start of a line, the rest of the line, and where the rest begins."""

    sheep: str
    rest: str
    start: int


def opening(text: str) -> Opening | None:
    """The sheep a line begins with, or None for an empty line."""
    match = LINE_SHEEP.match(text)
    return Opening(match["sheep"], match["rest"].strip(), match.start("rest")) if match else None


def taken_out(rest: str, match: re.Match[str]) -> str:
    """What is left of a line when a piece of it was taken; every letter keeps its place."""
    return rest[: match.start()] + " " * len(match[0]) + rest[match.end() :]


# A second sheep behind a joint, or a second tag behind a comma, and what is said of both.
SECOND_SHEEP = re.compile(
    r"(?:(?:[&+;/]|(?i:and)\b)\s*(?P<name>[A-Z][\w'’-]*|\d{3,}\w*)|(?P<tag>[A-Z]+\d{2,}))(?![\w.])[\s,:]*"
    r"(?P<rest>.*)",
    re.S,
)


def second_sheep(start: Opening) -> Fault | None:
    """What is wrong with a line that says one thing of two sheep: only the first would be read."""
    match = SECOND_SHEEP.match(start.rest)
    other = (match["name"] or match["tag"]) if match else ""
    if match is None or other.lower() in BEGINNINGS:
        return None
    each = " and ".join(f"`- {name} {match['rest']}`" for name in (start.sheep, other))
    return Fault("this line names two sheep", f"write a line for each: {each}", start.start, match.start("rest"))


# Words with which a sentence about the flock or the weather begins; whatever else begins with a capital may be a name.
BEGINNINGS = frozenset({
    "a", "all", "and", "any", "average", "both", "cold", "dry", "each", "eight", "ewe", "ewes", "few", "fine", "five",
    "fog", "foggy", "four", "frost", "frosty", "half", "hot", "just", "lamb", "lambs", "lots", "many", "more", "most",
    "mostly", "nearly", "nine", "no", "none", "nothing", "now", "one", "only", "other", "others", "plenty", "rain",
    "rainy", "rams", "rest", "scanned", "seven", "several", "sheep", "six", "snow", "some", "still", "sunny", "ten",
    "the", "then", "there", "these", "they", "this", "those", "three", "today", "total", "two", "warm", "we", "wet",
    "wind", "windy",
})  # fmt: skip


def is_like_a_sheep(text: str) -> bool:
    """Whether words can be what a sheep is called: a tag with a figure in it, a dam's lamb, or a name."""
    return bool(re.search(r"\d|['’]s\b", text)) or (text[:1].isupper() and text.lower() not in BEGINNINGS)
