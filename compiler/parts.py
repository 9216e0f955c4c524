"""Halves, quarters and the like in a typed amount: `2 1/2 cc`, `half a pint`, `9½ lb`."""

from __future__ import annotations

import re

from compiler.schema import Context

PARTS_OF_ONE = {
    "1/2": "5", "½": "5", "1/4": "25", "¼": "25", "3/4": "75", "¾": "75", "1/3": "333333333", "⅓": "333333333",
    "2/3": "666666667", "⅔": "666666667", "1/8": "125", "⅛": "125", "3/8": "375", "5/8": "625", "7/8": "875",
}  # fmt: skip
_PARTS, _SIGNS = "[1357]/8|[13]/4|[12]/3|1/2", "[½¼¾⅓⅔⅛]"
WITH_PART = re.compile(
    rf"(?<![\d/.,])(?:(?P<whole>\d{{1,3}})(?: ?(?={_SIGNS})|[ -]| and ))?(?P<part>{_SIGNS}|{_PARTS})(?![\d/])",
    re.A,
)
HALF = re.compile(r"^(?:a |one )?half(?: an?| of an?)? (?=[a-z])", re.I)


def in_parts(text: str, context: Context) -> str:
    """A text in which halves, quarters and the like stand behind a point: `2 1/2 cc` as 2.5 cc."""
    if "/" not in text and text.isascii() and "half" not in text.lower():
        return text
    mark = "," if context.habits.decimal_comma else "."
    text = HALF.sub(f"0{mark}5 ", text)
    return WITH_PART.sub(lambda one: f"{one['whole'] or 0}{mark}{PARTS_OF_ONE[one['part']]}", text, count=1)
