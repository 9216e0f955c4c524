"""The facts as a set of tables for a spreadsheet: one CSV file for each family (RFC 4180, UTF-8 with its mark).

Every figure that has a unit stands in both systems, in columns named with their unit: the metric one first, as the
facts have it. A list inside a row stands in a table of its own, whose first column says which row it belongs to. Text
that a spreadsheet would take for a formula gets a `'` in front (OWASP, CSV Injection); figures stay figures.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from compiler.amounts import HA_PER_ACRE, KG_PER_LB
from flockbook.measures import FL_OZ, rounded

FORMULA = ("=", "+", "-", "@", "\t", "\r")  # OWASP, CSV Injection
MARK = "\ufeff"  # tells spreadsheets that the file is UTF-8
KEYS = (
    "id",
    "note",
    "sheep",
    "lamb",
    "ewe",
    "test",
    "season",
    "mob",
    "date",
)  # what names a row, the first that it has

# A column in kilograms has one in pounds beside it; drinks of the newborn one in fluid ounces; land one for the acre. A
# dose is in millilitres for everybody.
IN_KG = re.compile(r"(?:(?<=_)|(?<= )|^)kg(?=_a_day|$| )")
IN_KG_UNNAMED = ("indices weight_weaned_per_exposed value",)
BY_AREA = {"sheep_days_per_area": "sheep_days", "density": "sheep"}
DRINKS, WEIGHT_TRAIT, KG_OF_TRAIT = "colostrum", "_weight", ("value", "error")
SMALL = 4  # places of a converted figure

CsvCell = str | int | float
CsvRow = dict[str, Any]


def tables(facts: Mapping[str, Any]) -> dict[str, bytes]:
    """File name → bytes, for every family that has rows; `facts` is the object of `handover facts`."""
    found: dict[str, list[CsvRow]] = {}
    for name, rows in facts.items():
        if isinstance(rows, list):
            for row in rows:
                gather_row(name, row, found)
    return {f"{name}.csv": csv_table(rows) for name, rows in found.items()}


def gather_row(name: str, row: Mapping[str, Any], found: dict[str, list[CsvRow]]) -> None:
    """One row into its table, lists of rows inside it into tables of their own."""
    flat = in_both(name, dict(flat_row(row)))
    owner = next((flat[key] for key in KEYS if key in flat), "")
    for key, value in list(flat.items()):
        if isinstance(value, list) and any(isinstance(item, dict) for item in value):
            for item in flat.pop(key):
                gather_row(f"{name}-{key.replace('_', '-')}", {"of": owner, **item}, found)
    found.setdefault(name, []).append(flat)


def in_both(table: str, row: CsvRow) -> CsvRow:
    """A row with every figure that has a unit in both systems, each column named with its unit."""
    both: CsvRow = {}
    of_weight = str(row.get("trait", "")).endswith(WEIGHT_TRAIT)
    for key, value in row.items():
        if key in BY_AREA:
            both[f"{BY_AREA[key]}_per_hectare"] = value
            both[f"{BY_AREA[key]}_per_acre"] = scaled(value, HA_PER_ACRE)
        elif key in IN_KG_UNNAMED:
            both |= {f"{key}_kg": value, f"{key}_lb": scaled(value, 1 / KG_PER_LB)}
        elif table == "merit" and key in KG_OF_TRAIT:
            both |= {key: value, f"{key}_lb": scaled(value, 1 / KG_PER_LB) if of_weight else None}
        elif table == "merit" and key == "trait":
            both |= {key: value, "unit": "kg" if of_weight else "lambs"}
        else:
            both[key] = value
            both |= beside(table, key, value)
    return both


def beside(table: str, key: str, value: Any) -> CsvRow:
    """The column that stands beside one in kilograms or millilitres; nothing beside any other."""
    if IN_KG.search(key):
        return {IN_KG.sub("lb", key): scaled(value, 1 / KG_PER_LB)}
    if table == DRINKS and key.endswith("_ml"):
        return {f"{key.removesuffix('_ml')}_fl_oz": scaled(value, 1 / FL_OZ)}
    return {}


def scaled(value: Any, factor: float) -> float | None:
    """A figure in the other unit."""
    return None if value is None else float(rounded(float(value) * factor, SMALL))


def flat_row(row: Mapping[str, Any], head: str = "") -> Iterator[tuple[str, Any]]:
    """`{"meat": {"state": "clear"}}` as `meat state`."""
    for key, value in row.items():
        if isinstance(value, dict):
            yield from flat_row(value, f"{head}{key} ")
        else:
            yield f"{head}{key}", value


def csv_table(rows: Sequence[CsvRow]) -> bytes:
    """One table; columns in the order in which they first appear. Text is quoted, figures are not."""
    columns = list(dict.fromkeys(key for row in rows for key in row))
    out = io.StringIO()
    writer = csv.writer(out, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([cell(row.get(column)) for column in columns] for row in rows)
    return (MARK + out.getvalue()).encode("utf-8", "replace")


def cell(value: Any) -> CsvCell:
    """A value as it stands in a cell."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return value
    if isinstance(value, list):
        return harmless("; ".join(members_as_text(value)))
    return harmless(str(value))


def members_as_text(values: Iterable[Any]) -> Iterator[str]:
    """Members of a list as text."""
    return (str(value) for value in values)


def harmless(text: str) -> str:
    """Text that no spreadsheet runs."""
    return f"'{text}" if text.startswith(FORMULA) else text
