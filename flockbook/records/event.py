"""What every event note may say, and how a note names sheep."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time
from typing import ClassVar

from compiler.schema import Record, key
from compiler.shape import Value
from compiler.source import Span
from compiler.values import COUNT, DATE, FLAG, TEXT, TIME
from flockbook.records.gathered import GATHERED, GatheredFrom


class Mention(Value):
    """A sheep as typed in a note: a tag, a name, an official number, a range of tags, or `731/2026`."""

    text: str
    span: Span
    field: str


class Event(Record):
    """A dated note. `date` is None only when it could not be read; `subject` is what the file name says after the
    kind.
    """

    date: date | None = key("the day it happened (from the file name if left out)", DATE, required=True)
    time: time | None = key("the time of day, local", TIME)
    by: str | None = key("who did it", TEXT, instead=("who",))
    place: str | None = key("where: paddock, shed, portable pen", TEXT)
    sheep: tuple[str, ...] = key("which sheep: tags or names, commas between; a range needs `count`", TEXT, many=True)
    mob: str | None = key("a whole mob, as it stood that day", TEXT, instead=("group", "flock"))
    except_: tuple[str, ...] = key("sheep of the mob that were left out", TEXT, many=True)
    count: int | None = key(
        "how many sheep, checked against those named", COUNT, instead=("counted", "head", "number", "total")
    )
    corrects: str | None = key("the file name of an earlier note that this one replaces", TEXT)
    sure: bool | None = key("`yes` confirms an unusual value", FLAG)
    dates_sure: bool | None = key("`yes` confirms the days of a medicine that look like a slip", FLAG)
    not_dosed: tuple[str, ...] = key("sheep that a question asks about and that got no medicine", TEXT, many=True)
    jotted: str | None = key(
        "the line from which this note was made, as it was jotted; it names nobody", TEXT, by_program=True
    )
    gathered: GatheredFrom | None = key(
        "the file, rows and ids that it was gathered from; it names nobody", GATHERED, by_program=True
    )
    subject: str | None = None
    of_the_living: ClassVar[bool] = True  # whether it can only happen to a sheep that is there
    whom: ClassVar[str] = "sheep"  # what to call the field that names its sheep, in messages

    def mentions(self) -> Iterator[Mention]:
        """The sheep that this note is about."""
        yield from listed(self, "sheep")

    def all_mentions(self) -> Iterator[Mention]:
        """Every sheep named anywhere in the note: each must exist."""
        yield from self.mentions()
        yield from listed(self, "except_")

    @property
    def moment(self) -> datetime | None:
        """When it happened: at the typed time, else at the end of that day (used for order only)."""
        return datetime.combine(self.date, self.time or time.max) if self.date else None


def listed(record: Event, name: str) -> Iterator[Mention]:
    """The mentions in a field that holds a list of sheep."""
    for place, text in enumerate(getattr(record, name)):
        yield Mention(text, record.origin.span(f"{name}[{place}]"), name)


def single(record: Event, name: str) -> Iterator[Mention]:
    """The mention in a field that holds one sheep, if it was typed."""
    text = getattr(record, name)
    if text is not None:
        yield Mention(text, record.origin.span(name), name)
