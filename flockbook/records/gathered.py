"""Where a note was gathered from: the file, its rows, and an id of what each of these rows said."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from compiler.nearness import clipped
from compiler.schema import Context, Fault
from compiler.shape import Value
from compiler.written import Written

ROW_ID = 10  # letters of an id in base 32: fifty bits, so that no two of a million rows are likely to share one
GATHERED_TEXT = re.compile(
    r"(?P<file>.+?)(?:, sheet (?P<sheet>.+))?"
    r", rows? (?P<rows>\d{1,6}(?:(?:-|, )\d{1,6})*), ids? (?P<ids>[a-z2-7]{10}(?: [a-z2-7]{10})*)"
)
HOW_GATHERED = "take the line out: only `flockbook gather` writes it; whom the note is about goes under `sheep`"
EXAMPLE = "ewes.csv, row 14, id mzxw6ytboi"


class GatheredFrom(Value):
    """The rows of a file that a note was made of, each with the id of what it said; `text` is how pages show them."""

    file: str
    sheet: str
    rows: tuple[int, ...]
    ids: tuple[str, ...]
    text: str


def read_gathered(text: str, context: Context) -> GatheredFrom | Fault:
    """Read `ewes.csv, row 14, id mzxw6ytboi`: nothing else may stand here, so that no name is ever lost in it."""
    del context
    found = GATHERED_TEXT.fullmatch(text)
    if found is None:
        return Fault(f"`{clipped(text)}` is no file with rows and ids", HOW_GATHERED)
    rows, ids = tuple(row_numbers(found["rows"])), tuple(found["ids"].split())
    if len(rows) != len(ids):
        return Fault(f"{len(rows)} rows and {len(ids)} ids stand here", HOW_GATHERED)
    return GatheredFrom(found["file"], found["sheet"] or "", rows, ids, text[: text.rindex(", id")])


def row_numbers(text: str) -> Iterable[int]:
    """The numbers of `14, 17-19`."""
    for part in text.replace(" ", "").split(","):
        first, _, last = part.partition("-")
        if first.isdecimal():
            yield from range(int(first), int(last) + 1 if last.isdecimal() else int(first) + 1)


def rows_said(numbers: Sequence[int]) -> str:
    """`14, 17-19`: rows in order, runs of three and more drawn together."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts = ([f"{run[0]}-{run[-1]}"] if len(run) > 2 else map(str, run) for run in runs)
    return ", ".join(part for run in parts for part in run)


def gathered_text(file: str, sheet: str, numbers: Sequence[int], ids: Sequence[str]) -> str:
    """The field as it is written: rows and ids in the same order."""
    many = "s" if len(numbers) > 1 else ""
    where = f", sheet {on_a_line(sheet)}" if sheet else ""
    return f"{on_a_line(file)}{where}, row{many} {rows_said(numbers)}, id{many} {' '.join(ids)}"


def on_a_line(text: str) -> str:
    """The name of a file or sheet on one line."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())


GATHERED = Written("where it was gathered", (EXAMPLE,), read_gathered)
