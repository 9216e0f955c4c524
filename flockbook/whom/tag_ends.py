"""The end of a tag behind a whole one, which stands for another whole tag: `C214, 15`, `731/2`."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from flockbook.whom.lexicon import Lexicon, tokens
from flockbook.whom.pieces import FIGURE, JOINT, RANGE, Piece

STRANGE_TAG = re.compile(r"(?!B12$)[A-Z]{1,3}\d{2,}[A-Z]?", re.I)  # a tag that nobody bears; B12 is a vitamin
RANGE_OF_ENDS = re.compile(r"(\d{2,})\s*(?:-|–|to)\s*(\d{2,})")  # `230-231`, where the tags are C230 and C231
LONGEST_OF_ENDS = 200  # figures of a range that are looked for (our own limit)
FIRST_OF_RANGE = re.compile(r"\w*\d")


def completes(tag: str, figures: str, lexicon: Lexicon) -> bool:
    """Whether figures are the end of another sheep's tag that begins like this one: `215` behind C214."""
    return bool(completed(tag, figures, lexicon))


def completed(tag: str, figures: str, lexicon: Lexicon) -> tuple[str, ...]:
    """The other tags of which figures behind a tag are the end: `C215` for `C214, 15`, `T10` for `T9/10`."""
    if not figures.isdigit() or not tag[-1:].isdigit():
        return ()
    wholes = [tag[: len(tag) - len(figures)] + figures] if len(figures) < len(tag) else []
    wholes.append(tag.rstrip("0123456789") + figures)
    known = (whole for whole in wholes if whole not in (tag, figures) and lexicon.means(tokens(whole), whole))
    return tuple(dict.fromkeys(known))


def completed_in_a_row(pieces: Sequence[Piece], lexicon: Lexicon) -> Iterator[tuple[Piece, tuple[str, ...], bool]]:
    """Every figure of a row behind a whole tag that is the end of another, `731/2/3`, `731 2 3`, with those tags, and
    whether the whole row is joined.
    """
    tag, joined = "", True
    for place, piece in enumerate(pieces):
        ends = piece.text.split(",") if piece.sort == FIGURE and not piece.bearers else []
        if wholes := tuple(whole for end in ends for whole in completed(tag, end, lexicon)):
            joined = joined and pieces[place - 1].sort in (JOINT, RANGE)
            yield piece, wholes, joined
        elif piece.bearers:
            first = FIRST_OF_RANGE.match(piece.text) if piece.sort == RANGE else None  # `731-2-3`
            tag, joined = first[0] if first else piece.text, True
        elif piece.sort != JOINT:
            tag = ""


def shortened(tag: str, figures: str, joint: str) -> bool:
    """Whether figures behind a tag are the end of another, as in `731/2` or `731, 2`: fewer than the tag has, and no
    weight of a sheep, or joined as names are.
    """
    figured = tag[-1:].isdigit() and len(figures) < len(tag)
    return figured and (joint.lower() in ("/", "&", "+", "and") or (joint == "," and len(figures) == 1))


def ends_of_range(piece: Piece) -> range:
    """The figures of a range of ends of tags; empty where it is a range of whole tags or none."""
    ends = RANGE_OF_ENDS.fullmatch(piece.text) if piece.sort == RANGE and not piece.bearers else None
    return range(int(ends[1]), min(int(ends[2]), int(ends[1]) + LONGEST_OF_ENDS) + 1) if ends else range(0)
