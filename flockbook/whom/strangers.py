"""Words of a bare line that stand where a name should, and those that only say how a dose was given (V1, V3)."""

from __future__ import annotations

import re
from collections.abc import Sequence

from flockbook.whom.lexicon import NARROW_LETTERS, Lexicon, folded, letters, tokens
from flockbook.whom.line_reading import NOISE, named
from flockbook.whom.pieces import FIGURE, PREFIX, WORD, Piece, taken_apart
from flockbook.whom.products import Products

STRANGER_WORDS = 8  # words up to which a bare line with an amount is one of doses and no remark (our own choice)
# Words of a remark on the dose itself: such a line names nobody.
OF_THE_DOSE = frozenset(
    tokens(
        "left bottle syringe needle spilt spat wasted label rate per says said gun needed need should instead more "
        "less total used over under out short full half about by mouth"
    )
)
BESIDE_AN_AMOUNT = frozenset(
    tokens("both she he it they them him her his so makes needs is was were weighed weighing therefore that")
)
# How or where a dose was given: such words, all small and near no name, are no sheep's.
HOW_GIVEN = frozenset(
    tokens(
        "behind in under into by on at over down through with went slowly quickly easily well carefully gently straight"
    )
)
TOO_WORDS = frozenset(tokens("too also likewise same done dosed drenched"))


def says_how(words: Sequence[Piece], pieces: Sequence[Piece], lexicon: Lexicon) -> bool:
    """Whether the words beside an amount tell how or where it was given: `behind the shoulder`, `went down well`."""
    plain = not any(piece.proper or lexicon.nearly(piece.text) for piece in words)
    amount = next((piece.start for piece in pieces if piece.dose), 0)
    behind = all(piece.start > amount for piece in words)
    return plain and behind and not HOW_GIVEN.isdisjoint(folded(piece.text) for piece in pieces)


def dosed_stranger(text: str, lexicon: Lexicon, products: Products) -> str:
    """The words of a bare line that stand where a name should: beside an amount and nothing known (`Teazel 3 ml`, `the
    one with the cut ear 3 ml`), or one slip from a name beside a number or `too`; "" for a remark.
    """
    if any(named(piece) for piece in taken_apart(text, lexicon)) or products.product(text):
        return ""
    sentences = [part for part in re.split(r"(?<=\w)[.!?]\s+", text) if part.strip()]
    text = next((part for part in sentences if any(one.dose for one in taken_apart(part, lexicon))), text)
    pieces = taken_apart(text, lexicon)
    words = [
        piece for piece in pieces if piece.sort in (WORD, PREFIX) and folded(piece.text) not in NOISE | BESIDE_AN_AMOUNT
    ]
    if any(piece.dose for piece in pieces):
        if (
            says_how(words, pieces, lexicon)
            or len(words) > STRANGER_WORDS
            or not OF_THE_DOSE.isdisjoint(folded(piece.text) for piece in words)
        ):
            return ""
        return text[words[0].start : words[-1].end] if words else "?" if text.lstrip().startswith("?") else ""
    near_one = [piece for piece in words if letters(piece.text) >= NARROW_LETTERS and lexicon.nearly(piece.text)]
    alone = len(words) - len(near_one) <= 1 and all(
        folded(piece.text) in TOO_WORDS for piece in words if piece not in near_one
    )
    numbered = any(piece.sort == FIGURE for piece in pieces) or any(folded(piece.text) in TOO_WORDS for piece in pieces)
    return near_one[0].text if near_one and alone and numbered else ""
