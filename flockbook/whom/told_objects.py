"""Who is the object of the words of a dose: `Drenched Bramble`; not of `Jabbed, put in with Teasel` (V8)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache

from flockbook.whom.course_words import either
from flockbook.whom.dosing_words import AT_WORK, HURRIED, REMEDY_BESIDE, TO_DO, VERBS
from flockbook.whom.line_reading import named
from flockbook.whom.pieces import Piece

_FIGURES = r"\d+(?:[.,]\d+)?"
# Between a name and the words of the dose behind it: nothing but signs, or words that hold the two together.
SIGNS = re.compile(rf"(?:[\s:,;/&+'’-]|\b(?:and|{_FIGURES}|ml|mls|cc|kg|lb)\b)*", re.I)
JOINED = re.compile(
    rf"(?:[\s:/&+'’-]|\b(?:and|was|were|has|have|had|got|gets|is|are|been|being|also|too|both|all|each|the|with|to|her|his"
    rf"|their|a|an|some|of|on|by|for|given|gave|needs?|today|yesterday|this|morning|evening|{_FIGURES}|ml|mls|cc|kg|s)\b)*",
    re.I,
)
# Between the words of the dose and a name behind them.
TO_WHOM = re.compile(
    rf"(?:[\s:/&+'’-]|\b(?:the|my|our|ewes?|rams?|tups?|lambs?|sheep|tags?|no|and|both|all|of|to|for|into|in|with|her|his"
    rf"|some|a|an|dose|jab|drench|injection|{_FIGURES}|mls?|cc|up|down|off|today|again|out|whole|every|each|also)\b)*",
    re.I,
)
# Those whom such words name were left out: everybody else whom the note can mean was dosed.
EXCEPTING = re.compile(
    r"\b(?:except\w*|bar|minus|apart from|missed|missing|could ?n[o']t (?:catch|get)|couldn't|got away|escaped|left out"
    r"|left to|not done|the rest|rest)\b|[,;] not\b|\bbut not\b",
    re.I,
)
# Work on many at once: of a ewe who is named for something else it is not said.
OF_MANY = re.compile(
    r"\b(?:drench\w*|worm\w*|dos(?:ed|ing)|dipp\w*|vaccinat\w*|fluk\w*|spray\w*|shower\w*|bolus\w*|pour\w*)\b", re.I
)


@cache
def dose_marks() -> re.Pattern[str]:
    """All words of a dose in one pattern; made when it is first needed, not when the program starts."""
    return either(VERBS.pattern, HURRIED.pattern, REMEDY_BESIDE.pattern, AT_WORK.pattern, TO_DO.pattern)


def names_its_object(text: str, pieces: Sequence[Piece], marks: Iterable[tuple[int, int]]) -> bool:
    """Whether somebody who is named in a sentence stands straight at the words of its dose; True where no such words
    are found.
    """
    places = [match.span() for match in dose_marks().finditer(text)] + list(marks)
    names = [piece for piece in pieces if named(piece)]
    return not places or any(stands_at(text, piece, names, place) for piece in names for place in places)


def stands_at(text: str, piece: Piece, names: Sequence[Piece], place: tuple[int, int]) -> bool:
    """Whether a name stands straight at the words at a place, other names between them left out."""
    start, end = place
    if piece.end <= start:
        gap = without(text, piece.end, start, names)
        return SIGNS.fullmatch(gap) is not None or JOINED.fullmatch(gap) is not None
    if end <= piece.start:
        return TO_WHOM.fullmatch(without(text, end, piece.start, names)) is not None
    return True


def without(text: str, start: int, end: int, names: Sequence[Piece]) -> str:
    """A stretch of a text without the names in it and the commas behind them."""
    kept = list(text[start:end])
    for name in names:
        if start <= name.start and name.end <= end:
            last = name.end + (text[name.end : name.end + 1] == ",")
            kept[name.start - start : last - start] = " " * (last - name.start)
    return "".join(kept)[: end - start]
