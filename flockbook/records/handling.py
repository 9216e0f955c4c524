"""Notes on handling sheep: checks, jobs, tagging."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from compiler.schema import Kind, LineSyntax, key
from compiler.values import TEXT, WEIGHT, Weight
from flockbook.records import check_line, fleece_line, tag_line
from flockbook.records.check_line import CheckLine
from flockbook.records.event import Event, Mention, listed
from flockbook.records.fleece_line import FleeceLine
from flockbook.records.tag_line import TagLine
from flockbook.trade import NO_MORE


class Check(Event):
    """A handling: what was found on each sheep."""

    for_: str | None = key("pre-joining, pre-lambing, worms, post-weaning …", TEXT)
    lines: tuple[CheckLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """The sheep listed and those with a line of their own."""
        yield from listed(self, "sheep")
        for line in self.lines:
            yield Mention(line.sheep, line.span, "lines")


class Job(Event):
    """Work done on sheep."""

    did: str | None = key(
        "tails, rings, shearing, feet, navel dip, horns, tags", TEXT, required=True,
        instead=("job", "work", "what", "done"),
    )  # fmt: skip
    fleece: Weight | None = key("what the fleece weighed; of several sheep, of them all together", WEIGHT)
    fleece_class: str | None = key("how the wool is classed, such as `fine`", TEXT)
    lines: tuple[FleeceLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """The sheep listed, and those whose fleece has a line of its own."""
        yield from listed(self, "sheep")
        for line in self.lines:
            yield Mention(line.sheep, line.span, "lines")


class Tagging(Event):
    """Tags put in, replaced, or read."""

    lines: tuple[TagLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """The sheep tagged."""
        for line in self.lines:
            yield Mention(line.sheep, line.span, "lines")


CHECKED = LineSyntax(
    read=check_line.read,
    is_plain=check_line.is_plain,
    read_row=check_line.read_row,
    columns=check_line.CHECK_COLUMNS,
    help="one sheep a line, commas between: `C230 bcs 2.5, eyelid 3, udder lump left, feet ok, mouth broken, dag "
    "2, 39.2 C`; of a ram `S9 scrotal 34 cm`",
    examples=("C230 bcs 2.5, eyelid 3", "C231 udder lump left, feet ok"),
)
FLEECES = LineSyntax(
    read=fleece_line.read,
    is_plain=fleece_line.is_plain,
    read_row=fleece_line.read_row,
    columns=fleece_line.FLEECE_COLUMNS,
    help="one fleece a line: `C230 fleece 2.1 kg, class fine`; every other line is a remark",
    examples=("C230 fleece 2.1 kg", "C231 fleece 1.9 kg, class coarse"),
)
TAGS = LineSyntax(
    read=tag_line.read,
    is_plain=tag_line.is_plain,
    read_row=tag_line.read_row,
    columns=("sheep", "tag", "eid", "official", "note"),
    help="who got which tag: `Bramble's ewe lamb = 731`, `0412 now 0977` (a new tag for a lost one), `0412 lost` (none "
    "put in yet), `731 eid 826 …`",
    examples=("Bramble's ewe lamb = 731", "0412 now 0977", "0413 lost"),
)
KINDS: tuple[Kind[Any], ...] = (
    Kind(
        "check",
        Check,
        "a handling: scores and findings",
        subject="for_",
        lines=CHECKED,
        aliases=("checked", "handling"),
        says={"famacha": NO_MORE},
    ),
    Kind("job", Job, "work done on sheep", subject="did", lines=FLEECES),
    Kind("tagging", Tagging, "tags put in, replaced or read", lines=TAGS, aliases=("tagged",)),
)
