"""The table of factors that bring lambs' weights to one footing, read from a file that carries its own source.

The table in the package is generic; the setting `adjustment factors` names a flock's own, in the same form.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

from compiler.shape import Value, field, replace

GENERIC = Path(__file__).parent / "data" / "adjustment_factors.csv"
PARTS = ("dam", "sex", "type")
FACTOR_COLUMNS = ("part", "class", "factor", "known")
FROM_MEMORY = "from memory"
FACTOR_SEXES = ("ewe", "wether", "ram")
MOST_BORN = 3  # three stands for three and more
SMALLEST, LARGEST = 0.5, 2.0  # what can be a factor (our own limits)


class Unfit(ValueError):
    """A table that is not used: what is wrong, at which line of the file, and what to do."""

    def __init__(self, what: str, line: int, cure: str) -> None:
        super().__init__(what)
        self.line, self.cure = line, cure


class Factors(Value):
    """Factors by (part, class): part is dam (years at birth), sex, or type (born/reared). `unsure` cells were not read
    in print; `generic` is the table of the package.
    """

    values: Mapping[tuple[str, str], float] = field(default_factory=dict)
    unsure: frozenset[tuple[str, str]] = frozenset()
    source: str = ""
    generic: bool = False

    def of(self, part: str, name: str) -> float | None:
        """One factor, or None where the table has no such class."""
        return self.values.get((part, name))

    def dam_class(self, years: int) -> str | None:
        """The class of a dam of so many years: `1`, `3-6` and `7+` are one year, a span, and so many or more."""
        return next((name for part, name in self.values if part == "dam" and within(years, name)), None)


@cache
def generic_factors() -> Factors:
    """The table of the package."""
    return replace(parse_factors(GENERIC.read_text("utf-8")), generic=True)


def parse_factors(text: str) -> Factors:
    """A table with the columns part, class, factor, known; lines with # are remarks, one of them `# source: ...`.

    Raises Unfit, naming the line, for a missing source, an unknown part or class, a class twice, a part without any
    class, or a factor outside 0.5-2.
    """
    lines = text.splitlines()
    source = next((line[9:].strip() for line in lines if line.startswith("# source:")), "")
    if not source:
        raise Unfit("a table of factors names its source", 1, "add a line `# source: …` with who found them, and when")
    values: dict[tuple[str, str], float] = {}
    unsure = set()
    for line, cells in rows(lines):
        part, name, factor = checked(line, cells)
        if (part, name) in values:
            raise Unfit(f"{part} {name} stands in the table twice", line, "take one of the two lines out")
        values[part, name] = factor
        if cells[3] == FROM_MEMORY:
            unsure.add((part, name))
    for part in PARTS:
        if not any(key[0] == part for key in values):
            raise Unfit(f"the table has no line for {part}", len(lines), f"add its classes, such as {EXAMPLES[part]}")
    return Factors(values, frozenset(unsure), source)


EXAMPLES = {"dam": "`dam,3-6,1.00,own`", "sex": "`sex,ram,0.91,own`", "type": "`type,2/2,1.21,own`"}


def rows(lines: list[str]) -> Iterator[tuple[int, list[str]]]:
    """The rows below the heading with their line numbers. Raises Unfit for a heading or a row of other columns."""
    kept = [(place, line) for place, line in enumerate(lines, 1) if line.strip() and not line.startswith("#")]
    read = [(place, [cell.strip() for cell in next(csv.reader([line]))]) for place, line in kept]
    heading = f"the columns of a table of factors are {', '.join(FACTOR_COLUMNS)}"
    if not read or tuple(read[0][1]) != FACTOR_COLUMNS:
        raise Unfit(heading, read[0][0] if read else 1, f"write `{','.join(FACTOR_COLUMNS)}` above the rows")
    for place, cells in read[1:]:
        if len(cells) != len(FACTOR_COLUMNS):
            cure = "write four values with commas between them, and a point in the factor (1.08)"
            raise Unfit(f"{len(cells)} values where four belong", place, cure)
        yield place, cells


def checked(line: int, cells: list[str]) -> tuple[str, str, float]:
    """Part, class and factor of one row. Raises Unfit where one of them is none."""
    part, name, typed, _ = cells
    if part not in PARTS:
        raise Unfit(f"{part}: the part is {', '.join(PARTS)}", line, "correct the first value of the row")
    if not is_class(part, name):
        known = {
            "dam": "years, written 2, 3-6 or 7+",
            "sex": ", ".join(FACTOR_SEXES),
            "type": "born/reared, 1/1 to 3/3",
        }
        raise Unfit(f"{part} {name}: its classes are {known[part]}", line, f"write it as {EXAMPLES[part]}")
    try:
        factor = float(typed)
    except ValueError:
        factor = 0.0
    if not SMALLEST <= factor <= LARGEST:
        cure = "write a number with a point, such as 1.08"
        raise Unfit(f"{part} {name}: {typed} is no factor between {SMALLEST:g} and {LARGEST:g}", line, cure)
    return part, name, factor


def is_class(part: str, name: str) -> bool:
    """Whether a word can be a class of a part."""
    if part == "sex":
        return name in FACTOR_SEXES
    if part == "dam":
        return all(years.isdecimal() for years in name.removesuffix("+").split("-", 1))
    born, slash, reared = name.partition("/")
    return bool(slash) and all(count.isdecimal() and 1 <= int(count) <= MOST_BORN for count in (born, reared))


def within(years: int, name: str) -> bool:
    """Whether a dam of so many years belongs to a class."""
    low, dash, high = name.removesuffix("+").partition("-")
    return int(low) <= years and (name.endswith("+") or years <= int(high if dash else low))
