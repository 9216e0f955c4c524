"""Notes between joining and lambing: scanning, labours under way, abortions."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, time
from typing import Any

from compiler.schema import Kind, LineSyntax, key
from compiler.values import COUNT, DATE, TEXT, TIME
from flockbook.records import scan_line
from flockbook.records.event import Event, Mention, single
from flockbook.records.scan_line import ScanLine
from flockbook.trade import NO_MORE

NOTHING_SENT = re.compile(r"\s*(?:no(?:ne|t|thing)?\b|nil\b|never\b|n/a|-|–|to (?:do|be|send|take|go)\b|will\b)", re.I)


class Scan(Event):
    """A scanning day: a line for each ewe."""

    method: str | None = key("how they were scanned", TEXT)
    lines: tuple[ScanLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """Every ewe scanned."""
        for line in self.lines:
            yield Mention(line.sheep, line.span, "lines")


class Labour(Event):
    """A ewe in labour. It stays open until a lambing note closes it."""

    ewe: str | None = key("the ewe in labour", TEXT, required=True)
    seen: time | None = key("when the first signs were seen", TIME)
    waters: time | None = key("when the water bag was seen", TIME)
    helped: time | None = key("when hands went in: the time to ring the vet counts from there", TIME)
    shows: str | None = key("what shows: bag, one foot, nose …", TEXT)

    def mentions(self) -> Iterator[Mention]:
        """The ewe."""
        yield from single(self, "ewe")


class Abortion(Event):
    """Lambs lost before their time. Anyone who is or may be pregnant keeps away; gloves, isolate, ring the vet."""

    ewe: str | None = key("the ewe", TEXT, required=True)
    days: int | None = key("days before she was due, where the joining does not tell", COUNT)
    lambs: int | None = key("how many lambs were lost, if seen", COUNT)
    sample: str | None = key("what was sent to the laboratory", TEXT)
    result: str | None = key("what the laboratory found, such as `Toxoplasma`", TEXT)
    isolated_until: date | None = key("kept apart until", DATE)

    @property
    def sent(self) -> str:
        """What was sent to the laboratory; "" where the words say that nothing was, or is only to be."""
        return "" if NOTHING_SENT.match(self.sample or "") else self.sample or ""

    def mentions(self) -> Iterator[Mention]:
        """The ewe."""
        yield from single(self, "ewe")


SCANS = LineSyntax(
    read=scan_line.read,
    is_plain=scan_line.is_plain,
    read_row=scan_line.read_row,
    columns=("sheep", "lambs", "days", "mark"),
    help="one ewe a line: `C230 twins`, `C231 empty`, `C214 single, 80 days`; the paint mark she got behind it: `C230 "
    "twins, red dot`",
    examples=("C230 twins, red dot", "C231 empty", "C214 single, 80 days"),
)
KINDS: tuple[Kind[Any], ...] = (
    Kind(
        "scan",
        Scan,
        "a scanning day",
        lines=SCANS,
        aliases=("scanning", "scanned"),
        says=dict.fromkeys(("preg check", "pregnancy check", "preg checked", "ultrasound"), NO_MORE),
    ),
    Kind("labour", Labour, "a ewe in labour", subject="ewe", aliases=("labor",)),
    Kind("abortion", Abortion, "lambs lost before their time", subject="ewe", aliases=("aborted",)),
)
