"""What a cell says of who died or was sold, and when."""

from __future__ import annotations

import re

from compiler.shape import Value

FATE_SAID = re.compile(
    r"\b(?:dead|died|doa|still ?born|sold|culled|butchered|slaughtered|put down|euthani[sz]ed|lost)\b", re.I
)
# A day in a cell or over a column, in figures or with its month written out.
DAY_SAID = re.compile(
    r"(?<![\d/.-])(?:\d{4}-\d{2}-\d{2}|\d{1,2}/\d{1,2}/\d{2,4}|\d{1,2}\.\d{1,2}\.\d{2,4}|\d{1,2}-\d{1,2}-\d{2,4}"
    r"|\d{1,2} [A-Za-z]{3,9}\.?,? \d{2,4}|[A-Za-z]{3,9}\.? \d{1,2},? \d{4})(?![\d/.-])"
)
SALE_BEGINS = re.compile(r"sold\b", re.I)
DEATH_BEGINS = re.compile(r"(?:dead|died|butchered|slaughtered|put down|euthani[sz]ed)\b", re.I)
SALE, DEATH = "sale", "death"


class Fate(Value):
    """What became of a sheep, `sale` or `death`, and the day as it was typed."""

    kind: str
    day: str


def fate_in(text: str) -> Fate | None:
    """The fate that a cell begins with, if it also says one day; else None."""
    kind = SALE if SALE_BEGINS.match(text) else DEATH if DEATH_BEGINS.match(text) else ""
    days = DAY_SAID.findall(text)
    return Fate(kind, days[0]) if kind and len(days) == 1 else None
