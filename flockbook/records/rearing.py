"""Notes on rearing: foster mothers, feeds, weaning."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from compiler.schema import Band, Kind, LineSyntax, key
from compiler.values import CHOICE, DATE, DRINK, FLAG, TEMPERATURE, TEXT, Temperature, Volume
from flockbook.records import weight_line
from flockbook.records.check_line import TEMPERATURE_BAND
from flockbook.records.event import Event, Mention, listed, single
from flockbook.records.weight_line import Unweighed, WeightLine
from flockbook.trade import NO_MORE

FEEDS = ("ewe colostrum", "frozen", "replacer", "milk replacer")
FEED_ML = Band(10, 1000, "our own line for asking; published feeds are 125-275 mL (50 mL a kg)")


class Foster(Event):
    """A lamb given to another ewe, or to the bottle. Its birth dam stays its dam."""

    lamb: str | None = key("the lamb", TEXT, required=True)
    onto: str | None = key("the ewe that takes it", TEXT, instead=("to", "ewe", "dam", "mother"))
    pet: bool | None = key("`yes` when it is reared on the bottle", FLAG, aliases=("bottle", "bummer", "bottle lamb"))

    def mentions(self) -> Iterator[Mention]:
        """The lamb."""
        yield from single(self, "lamb")

    def all_mentions(self) -> Iterator[Mention]:
        """The lamb and the ewe that takes it."""
        yield from self.mentions()
        yield from single(self, "onto")


class Feeding(Event):
    """Colostrum or milk given by hand; `amount` is for each lamb."""

    lambs: tuple[str, ...] = key("the lambs", TEXT, many=True, aliases=("lamb",))
    amount: Volume | None = key("how much each got", DRINK, band=FEED_ML)
    what: str | None = key("ewe colostrum, frozen, replacer or milk replacer", CHOICE(*FEEDS))
    how: str | None = key("tube, bottle or teat", CHOICE("tube", "bottle", "teat"))
    from_: str | None = key("the ewe whose colostrum it was, such as `Bramble`, or where it came from", TEXT)
    frozen: date | None = key("the day it was put into the freezer", DATE)
    temp: Temperature | None = key("the lamb's temperature", TEMPERATURE, band=TEMPERATURE_BAND)

    def mentions(self) -> Iterator[Mention]:
        """The lambs."""
        yield from listed(self, "lambs")
        yield from listed(self, "sheep")


class Weaning(Event):
    """Lambs taken from their mothers, weighed or not."""

    lambs: tuple[str, ...] = key("the lambs (or `mob`)", TEXT, many=True)
    lines: tuple[WeightLine, ...] = ()
    unweighed: tuple[Unweighed, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """The lambs listed and the lambs weighed or named in lines of their own."""
        yield from listed(self, "lambs")
        yield from listed(self, "sheep")
        for line in self.lines:
            yield Mention(line.sheep, line.span, "lines")
        for lone in self.unweighed:
            yield Mention(lone.sheep, lone.span, "lines")


WEANED_WEIGHTS = LineSyntax(
    read=weight_line.read_or_lone,
    is_plain=weight_line.is_plain_or_lone,
    read_row=weight_line.read_row,
    columns=weight_line.WEIGHT_COLUMNS,
    help="a weaned lamb a line, with its weight if it was weighed: `731 27.5 dirty behind`, `733`",
    examples=("731 27.5", "732 29.0 lame off fore", "733"),
    bare=True,
    aside=Unweighed,
    aside_in="unweighed",
)
KINDS: tuple[Kind[Any], ...] = (
    Kind(
        "foster",
        Foster,
        "a lamb given to another ewe",
        subject="lamb",
        aliases=("fostered",),
        says=dict.fromkeys(("graft", "grafted"), NO_MORE),
    ),
    Kind("feeding", Feeding, "colostrum or milk given by hand", subject="lambs", aliases=("fed", "tubed")),
    Kind("weaning", Weaning, "lambs taken from their mothers", lines=WEANED_WEIGHTS, aliases=("weaned",)),
)
