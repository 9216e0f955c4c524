"""One line of marks in a joining note: who was marked on a day, or a new crayon colour."""

from __future__ import annotations

import re
from datetime import date

from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field
from compiler.source import Span
from compiler.values import DATE
from flockbook.records.sheep_line import is_like_a_sheep

COLOURS = frozenset(
    [
        "yellow",
        "orange",
        "red",
        "green",
        "blue",
        "purple",
        "violet",
        "black",
        "brown",
        "pink",
        "white",
        "grey",
        "gray",
        "silver",
        "turquoise",
    ]
)
MONTH_OF_MARKS = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]{0,6}\.?"
DATED = re.compile(
    r"(?P<date>\d{4}-\d{1,2}-\d{1,2}|\d{1,2}(?:st|nd|rd|th)?\s+[a-z]{3,9}\.?(?:\s+\d{4})?|"
    rf"{MONTH_OF_MARKS}\s+\d{{1,2}}(?:st|nd|rd|th)?(?:,?\s+\d{{4}})?|\d{{1,2}}/\d{{1,2}}(?:/\d{{4}})?)[\s,:]+(?P<rest>.+)",
    re.I,
)


class Named(Value):
    """A ewe named in a line and where in the line she stands."""

    text: str
    start: int

    def span(self, line: Span) -> Span:
        """Her place, from the line's own place."""
        return line.shifted(self.start, len(self.text))


class MarkLine(Value):
    """Marks seen on one day: the ewes, or the `colour` that the crayon was changed to. `again`: they had been marked
    before.
    """

    date: date
    ewes: tuple[Named, ...] = ()
    colour: str | None = None
    again: bool = False
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read one dash line of a joining note. A line that begins with no date is a remark."""
    match = DATED.match(text)
    if match is None:
        return LineReading(remark=True)
    day = DATE.read(match["date"], context)
    if isinstance(day, Fault):
        return LineReading(faults=(day,))
    rest, start = match["rest"], match.start("rest")
    colour = colour_of(rest)
    if colour:
        return LineReading(value=MarkLine(day, colour=colour))
    again = re.search(r"\bagain\b", rest, re.I)
    return LineReading(value=MarkLine(day, tuple(ewes_named(rest, start)), again=again is not None))


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of marks: after its day stand sheep, or a colour, and nothing else."""
    line = read(text, context).value
    if line is None:
        return False
    words = [word for ewe in line.ewes for word in ewe.text.split()]
    return bool(line.colour) or (bool(words) and all(map(is_like_a_sheep, words)))


def colour_of(rest: str) -> str | None:
    """The colour, when the line says nothing but a colour."""
    bare = re.sub(r"\b(?:crayon|raddle|colou?r|changed|change|now|to|on)\b", " ", rest.lower()).split()
    return bare[0].strip(".,") if len(bare) == 1 and bare[0].strip(".,") in COLOURS else None


def ewes_named(rest: str, start: int) -> list[Named]:
    """The ewes named, commas or `and` between; the word `again` is not part of a name."""
    bare = re.sub(r"\bagain\b", " " * len("again"), rest, flags=re.I)
    found, place = [], 0
    for joint in (*re.finditer(r"[,;]|(?<!\S)and(?!\S)", bare, re.I), None):
        part = bare[place : joint.start() if joint else len(bare)].rstrip(" \t.")
        if part.strip():
            found.append(Named(part.strip(), start + place + len(part) - len(part.lstrip())))
        place = joint.end() if joint else place
    return found
