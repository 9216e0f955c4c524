"""The most that the words of a treatment say somebody got: `She had 30 ml.` below a `dose` of 12 ml (V12)."""

from __future__ import annotations

import re

from flockbook.whom.dosing_words import IN_ML

IN_NO_SHEEP = re.compile(  # a bottle, what is left in it, what the gun or the flush held
    r"\s*(?:-\s*)?(?:(?:plastic |glass |old |new |big |small )?(?:bottles?|packs?|drums?|cans?|containers?|bags?"
    r"|flasks?|vials?|syringes?|guns?|pots?|jugs?)\b"
    r"|(?:left|over|remain\w*|spare|spilt|spat|wasted|too (?:much|little|few))\b"
    r"|(?:of )?(?:warm |boiled |sterile )?(?:milk|colostrum|saline|water|glucose|replacer)\b|(?:in )?(?:total|all)\b)",
    re.I,
)
NOT_THAT = re.compile(
    r"\b(?:not|no|never|total|altogether|instead of|label (?:says|said)|per|from (?:a|the))\W*$", re.I
)


def most_said(text: str) -> float:
    """The largest amount in mL that a text can tell of as given to one sheep; 0 where it tells of none."""
    told = (
        float(match[1].replace(",", "."))
        for match in IN_ML.finditer(text)
        if not IN_NO_SHEEP.match(text, match.end()) and not NOT_THAT.search(text[: match.start()])
    )
    return max(told, default=0.0)
