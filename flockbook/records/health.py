"""Notes on treatments and deaths."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time
from typing import Any

from compiler.schema import Kind, LineSyntax, key
from compiler.values import CHOICE, COUNT, DATE, DATES, DOSE, DOSE_RATE, FLAG, TEXT, TIME, WITHDRAWAL, DoseRate, Volume, When, Withdrawal
from flockbook.records import dose_line
from flockbook.records.dose_line import DoseLine
from flockbook.records.event import Event, Mention, listed

CAUSES = (
    "abortion", "stillbirth", "hard birth", "birth injury", "starved", "exposure", "infection", "predator", "accident",
    "malformed", "worms", "old age", "put down", "unknown",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Treatment(Event):
    """A medicine given. `given` are the doses really given; `days` without them is a plan, and nobody is clear on a plan."""

    medicine: str | None = key("the product, as a `medicine` note calls it", TEXT, required=True, aliases=("product",))
    dose: Volume | None = key("dose for each animal, e.g. `2.5 ml`", DOSE)
    rate: DoseRate | None = key("dose for the weight, e.g. `1 ml per 20 kg` (needs weights)", DOSE_RATE)
    given: tuple[When, ...] = key("the dates, or dates and times, on which it was really given", DATES, many=True)
    days: int | None = key("how many days the course is meant to last; nobody is clear until `given` or `finished`", COUNT)
    route: str | None = key("by mouth, under the skin, into muscle …", TEXT)
    site: str | None = key("where on the animal", TEXT)
    for_: str | None = key("what for", TEXT)
    batch: str | None = key("batch number", TEXT)
    off_label: bool | None = key("`yes` when dose, route, animal or use is not on the label: needs `vet` and written periods", FLAG)
    vet: str | None = key("the vet who ordered it, and how", TEXT)
    meat_withdrawal: Withdrawal | None = key("the vet's written meat period, in place of the label's", WITHDRAWAL)
    milk_withdrawal: Withdrawal | None = key("the vet's written milk period, in place of the label's", WITHDRAWAL)
    finished: When | None = key("the day of the last dose of a course", DATES)
    lines: tuple[DoseLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """The sheep listed, and those that have a line of their own."""
        yield from listed(self, "sheep")
        for line in self.lines:
            yield Mention(line.sheep, line.span, "lines")


@dataclass(frozen=True, slots=True, kw_only=True)
class Death(Event):
    """A sheep found dead, put down, or lost."""

    cause: str | None = key("cause of death: " + ", ".join(CAUSES), TEXT)
    found: time | None = key("when it was found", TIME)
    disposal: str | None = key("what became of the body", TEXT)
    post_mortem: str | None = key("what was found inside", TEXT, name="post-mortem", aliases=("post mortem",))


DOSES = LineSyntax(
    read=dose_line.read,
    read_row=dose_line.read_row,
    columns=("sheep", "kg", "dose"),
    help="a line for each sheep that has a weight or a dose of its own: `- C230 62 kg`, `- C231 55 kg 2.5 ml`",
    examples=("C230 62 kg", "C231 55 kg 2.5 ml"),
)
KINDS: tuple[Kind[Any], ...] = (
    Kind("treatment", Treatment, "a medicine given", lines=DOSES, guarded=True, aliases=("treated", "dosed", "injected")),
    Kind("death", Death, "a sheep that died", subject="sheep", aliases=("died",)),
)
__all__ = ["CAUSES", "CHOICE", "DATE", "KINDS", "Death", "Treatment", "date"]
