"""How the weight of a newborn lamb is found in its line: in kilograms, pounds, pounds and ounces, or ounces alone."""

from __future__ import annotations

import re

from compiler.amounts import OZ_PER_LB
from compiler.schema import Context, Fault
from compiler.values import WEIGHT, Weight

# Never begun inside another number, and given up whole, so that a long run of figures costs no time.
NUMERAL = r"(?<!\d)(?<!\d[.,])(?:\d++(?:[.,]\d++|(?![.,]\d))|[.,]\d++(?![.,]\d))"
# A number, or one with a part: `2 1/2`, `1/2`, `half a`.
SOME = rf"(?:(?:\d{{1,2}}[ -]?)?(?:[½¼¾⅓⅔]|[13]/4|[12]/3|1/2)(?![\d/])|half(?: an?)?|{NUMERAL})"
OUNCES = r"(?:oz|ounces?)\b\.?"
OF_MILK = r"(?!\s*(?:of )?(?:colostrum|milk|replacer))"
WITH_A_PART = (
    r"(?<![\d.,/])\d{1,2}(?: ?[½¼¾⅓⅔⅛]|(?:[ -]| and )(?:[1357]/8|[13]/4|[12]/3|1/2))\s*"
    r"(?:(?:lbs?|pounds?)(?![a-z])\.?|#)"
)
LAMB_WEIGHED = (
    rf"(?P<weight>{WITH_A_PART}|{NUMERAL}\s*(?:kgs?\b|(?:(?:lbs?|pounds?)(?![a-z])\.?|#)(?:,?\s*{NUMERAL}\s*{OUNCES})?)|"
    rf"(?<![\w/.]){NUMERAL}\s*{OUNCES}{OF_MILK}|(?<![\w/.#]){NUMERAL}(?![\w/]|\.\d|\s*(?:ml|cc|fl|oz|ounces?)\b))"
)
ALL_OUNCES = re.compile(rf"({NUMERAL})\s*{OUNCES}", re.I)


def weight_read(typed: str, context: Context) -> Weight | Fault:
    """A weight as any other, or a small lamb's in ounces alone."""
    ounces = ALL_OUNCES.fullmatch(typed)
    if ounces is None:
        return WEIGHT.read(typed, context)
    value = WEIGHT.read(f"{ounces[1]} lb", context)
    return value if isinstance(value, Fault) else Weight(value.kg / OZ_PER_LB, typed)


def second_weight(rest: str, weight: Weight | None) -> list[Fault]:
    """A second bare number could be a tag or a weight: nobody guesses."""
    match = re.search(LAMB_WEIGHED, rest, re.I)
    if match is None or weight is None:
        return []
    first, second = weight.text.strip(), match[0].strip()
    told, cure = f"two numbers: `{first}` and `{second}`; either could be a tag or a weight", f"write `tag {second}`"
    if not second.isdigit():
        told = f"two numbers: `{first}` and `{second}`; only one is read"
        cure = f"write `temp {second}` if it is a temperature; else take it out, or say in words what it is"
    elif rest[: match.start()].endswith("-") and first.isdigit():
        told, cure = f"`{first}-{second}` is not understood", f"write `{first} lb {second} oz`"
    return [Fault(told, cure, match.start(), len(match[0]))]


def unit_taken(weight: Weight) -> str:
    """read as kg: in what unit a bare figure was taken."""
    figure = float(weight.text.strip().replace(",", "."))
    return "read as kg" if abs(figure - weight.kg) < figure / 100 else "read as lb"
