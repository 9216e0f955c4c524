"""Paddocks and mobs, and the notes that say who is where and how many."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, ClassVar

from compiler.schema import Band, Context, Fault, Kind, Record, key
from compiler.shape import replace
from compiler.values import AREA, COUNT, SPAN_OF_TIME, TEXT, Amount, Duration
from compiler.written import Written
from flockbook.records.event import Event, Mention, listed

REST_BAND = Band(1, 24 * 731, "two years, in hours: our own line for asking")
AREA_BAND = Band(0.001, 2000, "our own line for asking")


MOVED_TO = re.compile(r"(?:.*\S\s+)?to\s+(?:the\s+)?(?P<place>\S.*)", re.I | re.S)  # `ewes to hill`


def read_place(text: str, context: Context) -> str | Fault:
    """A place as typed; of `ewes to hill` what stands behind the last `to`."""
    match = MOVED_TO.fullmatch(text)
    return TEXT.read(match["place"] if match else text, context)


def read_acres(text: str, context: Context) -> Amount | Fault:
    """`4.5`: acres, unless another unit stands behind it."""
    area = AREA.read(f"{text} ac" if text[-1:].isdigit() else text, context)
    return replace(area, text=text) if isinstance(area, Amount) else area


ACRES = Written("an area", ("4.5",), read_acres)
PLACE = Written("words", ("",), read_place)


class Paddock(Record):
    """A paddock or a hill."""

    name: str | None = key("what move notes call it", TEXT, required=True)
    area: Amount | None = key("its size", AREA, band=AREA_BAND, aliases=("size",))
    acres: Amount | None = key("or its size in acres", ACRES, band=AREA_BAND)
    rest: Duration | None = key("how long it should rest after grazing", SPAN_OF_TIME, band=REST_BAND)
    limit: Duration | None = key("the longest that it should be grazed at a time", SPAN_OF_TIME, band=REST_BAND)
    water: str | None = key("where the water is", TEXT)
    cover: str | None = key("shelter, fences, what grows", TEXT)

    @property
    def hectares(self) -> float:
        """Its size in hectares; 0 where none is written."""
        size = self.area or self.acres
        return size.amount if size else 0.0


class Mob(Record):
    """A mob of sheep that go together."""

    name: str | None = key("what other notes call it", TEXT, required=True)


class Move(Event):
    """Sheep moved to a paddock or a pen."""

    to: str | None = key("where to", PLACE, required=True)
    sward: str | None = key("cover or height, in and out", TEXT, aliases=("forage",))


class Drafting(Event):
    """Sheep sorted into another mob."""

    into: str | None = key("the mob they belong to from now on", TEXT, required=True, aliases=("to",))


class HeadCount(Event):
    """Sheep counted. The count is held against the notes, and may well differ from them."""

    of_the_living: ClassVar[bool] = False
    seen: tuple[str, ...] = key("the tags that were seen, if they were read", TEXT, many=True)

    def mentions(self) -> Iterator[Mention]:
        """Nobody: whom the mob should hold is worked out, and `count` is not checked as in other notes."""
        yield from ()

    def all_mentions(self) -> Iterator[Mention]:
        """The tags seen."""
        yield from listed(self, "seen")


KINDS: tuple[Kind[Any], ...] = (
    Kind("paddock", Paddock, "a paddock or a hill", dated=False, named=("name",)),
    Kind("mob", Mob, "a mob of sheep that go together", dated=False, named=("name",)),
    Kind("move", Move, "sheep moved to a paddock or pen", subject="to", aliases=("moved",)),
    Kind("draft", Drafting, "sheep sorted into another mob", subject="into", aliases=("drafted",)),
    Kind("count", HeadCount, "sheep counted", subject="mob", aliases=("counted",)),
)
__all__ = ["COUNT", "KINDS", "Drafting", "HeadCount", "Mob", "Move", "Paddock"]
