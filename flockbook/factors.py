"""The table of factors that bring lambs' weights to one footing, read from a file that carries its own source.

The table in the package is generic. A flock's own table (the setting `adjustment factors`) is not read yet.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

GENERIC = Path(__file__).parent / "data" / "adjustment_factors.csv"
PARTS = ("dam", "sex", "type")
COLUMNS = ("part", "class", "factor", "known")
FROM_MEMORY = "from memory"


@dataclass(frozen=True)
class Factors:
    """Factors by (part, class): part is dam (years at birth), sex, or type (born/reared). `unsure` cells were not read
    in print.
    """

    values: Mapping[tuple[str, str], float] = field(default_factory=dict)
    unsure: frozenset[tuple[str, str]] = frozenset()
    source: str = ""

    def of(self, part: str, name: str) -> float | None:
        """One factor, or None where the table has no such class."""
        return self.values.get((part, name))

    def dam_class(self, years: int) -> str | None:
        """The class of a dam of so many years: `1`, `3-6` and `7+` are one year, a span, and so many or more."""
        for part, name in self.values:
            low, dash, high = name.rstrip("+").partition("-")
            if part == "dam" and int(low) <= years and (name.endswith("+") or years <= int(high if dash else low)):
                return name
        return None


@cache
def generic_factors() -> Factors:
    """The table of the package."""
    return parse_factors(GENERIC.read_text("utf-8"))


def parse_factors(text: str) -> Factors:
    """A table with the columns part, class, factor, known; lines with # are remarks, one of them `# source: ...`.

    Raises ValueError, naming the row, for a missing source, an unknown part, a class twice, a span of years that is
    none, or a factor outside 0.5-2.
    """
    lines = text.splitlines()
    source = next((line[9:].strip() for line in lines if line.startswith("# source:")), "")
    if not source:
        raise ValueError("a table of factors names its source in a line `# source: ...`")
    table = csv.DictReader(line for line in lines if line.strip() and not line.startswith("#"))
    if tuple(table.fieldnames or ()) != COLUMNS:
        raise ValueError(f"the columns of a table of factors are {', '.join(COLUMNS)}")
    values: dict[tuple[str, str], float] = {}
    unsure = set()
    for row in table:
        cell = (row["part"], row["class"])
        if cell in values:
            raise ValueError(f"{' '.join(cell)} stands in the table twice")
        values[cell] = checked(row)
        if row["known"] == FROM_MEMORY:
            unsure.add(cell)
    return Factors(values, frozenset(unsure), source)


def checked(row: Mapping[str, str]) -> float:
    """The factor of one row."""
    place = f"{row['part']} {row['class']}"
    if row["part"] not in PARTS:
        raise ValueError(f"{place}: the part is {', '.join(PARTS)}")
    if row["part"] == "dam" and not all(years.isdecimal() for years in row["class"].rstrip("+").split("-")):
        raise ValueError(f"{place}: years are written 2, 3-6 or 7+")
    try:
        factor = float(row["factor"] or "")
    except ValueError:
        factor = 0.0
    if not 0.5 <= factor <= 2:
        raise ValueError(f"{place}: {row['factor']} is no factor between 0.5 and 2")
    return factor
