"""Notes on weighing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from compiler.schema import Kind, LineSyntax, key
from compiler.values import TEXT
from flockbook.records import weight_line
from flockbook.records.event import Event, Mention
from flockbook.records.weight_line import WeightLine


class Weighing(Event):
    """A weigh session: a line (or a table row) for each sheep."""

    stage: str | None = key("birth, 8 weeks, weaning, sale …", TEXT)
    scale: str | None = key("which scale", TEXT)
    lines: tuple[WeightLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """Every sheep weighed."""
        for line in self.lines:
            yield Mention(line.sheep, line.span, "lines")


SESSION_WEIGHTS = LineSyntax(
    read=weight_line.read,
    is_plain=weight_line.is_plain,
    read_row=weight_line.read_row,
    columns=weight_line.WEIGHT_COLUMNS,
    help="one sheep a line: tag, weight, then any remark: `731 27.5 dirty behind`; a table is headed `kg` or `lb`",
    examples=("731 27.5 dirty behind", "732 29.0"),
    bare=True,
)
KINDS: tuple[Kind[Any], ...] = (
    Kind(
        "weighing", Weighing, "a weigh session", subject="stage", lines=SESSION_WEIGHTS, aliases=("weighed", "weights")
    ),
)
