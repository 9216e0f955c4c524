"""A boat log: a domain without a sheep in it, which shows that the engine knows nothing of what notes are about."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, time
from typing import Any

from compiler.collection import Collection, Given, Other, collect, sorting
from compiler.diagnostics import Diagnostic
from compiler.filenames import sort_of
from compiler.notes import read_csv, read_note
from compiler.schema import Band, Context, Fault, Habits, Kind, LineReading, LineSyntax, Record, key
from compiler.shape import Value, field, replace
from compiler.source import Span, plain_text, read_source
from compiler.values import (
    CHOICE,
    COUNT,
    DATE,
    DATES,
    FLAG,
    PARTIAL_DATE,
    SCORE,
    SPAN_OF_TIME,
    TEXT,
    TIME,
    WEIGHT,
    Duration,
    PartialDate,
    Weight,
    When,
)


class Boat(Record):
    """A boat. Her note is named after her number and her name."""

    number: str | None = key("the number on her bow", TEXT, required=True)
    name: str | None = key("her name", TEXT)
    built: PartialDate | None = key("when she was built", PARTIAL_DATE)
    rig: str | None = key("how she is rigged", CHOICE("lugger", "cutter", "bare poles"))
    owners: tuple[str, ...] = key("who owns her", TEXT, many=True)


class Catch(Value):
    """One line of a voyage: a fish and its weight."""

    fish: str
    weight: Weight
    remark: str = ""
    span: Span = field(default_factory=lambda: Span(""))


class Voyage(Record):
    """A day at sea, with a line for each fish."""

    date: date | None = key("the day she sailed", DATE, required=True)
    time: time | None = key("when she sailed", TIME)
    boat: str | None = key("the boat", TEXT, required=True, aliases=("ship",))
    seen: tuple[When, ...] = key("when she was seen", DATES, many=True)
    crew: tuple[str, ...] = key("who was aboard", TEXT, many=True)
    ice: Weight | None = key("ice taken aboard", WEIGHT, band=Band(5, 500, "common practice, no source"))
    wind: float | None = key("force of the wind", SCORE(0, 12, 1))
    sure: bool | None = key("`yes` confirms an unusual value", FLAG)
    lines: tuple[Catch, ...] = ()


class Sounding(Record):
    """Depths at buoys: a bare line, a table row or a CSV row for each."""

    date: date | None = key("the day", DATE, required=True)
    place: str | None = key("where", TEXT)
    lines: tuple[Catch, ...] = ()


class Repair(Record):
    """A repair, after which a boat stays ashore: this kind is guarded."""

    date: date | None = key("the day of the repair", DATE, required=True)
    boats: tuple[str, ...] = key("the boats", TEXT, many=True)
    part: str | None = key("what was mended", TEXT, required=True)
    given: tuple[When, ...] = key("when coats of tar were given", DATES, many=True)
    days: int | None = key("how many days the work is meant to last", COUNT)
    ashore: Duration | None = key("how long she stays ashore", SPAN_OF_TIME)
    for_: str | None = key("what for", TEXT)
    off_plan: bool | None = key("`yes` when it was not planned", FLAG)
    subject: str | None = None


def read_catch(text: str, context: Context) -> LineReading:
    """`cod 4.1 kg thin`; a line without a figure is a remark."""
    match = re.match(r"(\S+)[\s,]+([.,]?[0-9][0-9.,]*(?:\s*(?:kg|lb)\b)?)(.*)", text)
    if match is None:
        return LineReading(remark=True)
    weight = WEIGHT.read(match[2], context)
    if isinstance(weight, Fault):
        return LineReading(faults=(replace(weight, start=match.start(2) + weight.start),))
    return LineReading(value=Catch(match[1], weight, match[3].strip(" ,")))


def read_catch_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """A row with the columns buoy, kg and note; a row without a weight says nothing."""
    if not cells.get("kg"):
        return LineReading(remark=True)
    weight = WEIGHT.read(cells.get("kg", ""), context)
    if isinstance(weight, Fault):
        return LineReading(faults=(weight,))
    return LineReading(value=Catch(cells["buoy"], weight, cells.get("note", "")))


COLUMNS = ("buoy", "kg", "note")
CATCHES = LineSyntax(read_catch, "a fish and its weight", ("cod 4.1 kg",), read_catch_row, COLUMNS)
DEPTHS = LineSyntax(read_catch, "a buoy and a weight", ("b3 12.5",), read_catch_row, COLUMNS, bare=True)
KINDS: tuple[Kind[Any], ...] = (
    Kind("boat", Boat, "a boat", dated=False, named=("number", "name"), aliases=("ship",)),
    Kind("voyage", Voyage, "a day at sea", subject="boat", lines=CATCHES, aliases=("sailed", "put to sea")),
    Kind("sounding", Sounding, "depths", subject="place", lines=DEPTHS),
    Kind("repair", Repair, "a repair", guarded=True, aliases=("mended",)),
)
HABITS = Habits()
MEANWHILE = "no boat in this note is shown as fit for sea"


def meanwhile(kind_name: str) -> str:
    """What is said of a guarded note that could not be read."""
    del kind_name
    return MEANWHILE


def gather(files: Mapping[str, str | bytes], habits: Habits = HABITS) -> tuple[Collection, tuple[Diagnostic, ...]]:
    """What a folder of these files gives; a `.csv` beside a note is its companion, other endings are no notes."""
    data = {path: text.encode() if isinstance(text, str) else text for path, text in files.items()}
    given, asides = [], []
    for path, written in data.items():
        if not path.endswith((".csv", ".md", ".txt")):
            sort, why = sort_of(path.rpartition("/")[2])
            asides.append(Other(path, why, plain_text(written), sort))
        elif not path.endswith(".csv"):
            beside = data.get(path.rsplit(".", 1)[0] + ".csv")
            table = None if beside is None else read_csv(read_source(path.rsplit(".", 1)[0] + ".csv", beside))
            given.append(Given(read_note(read_source(path, written)), table))
    return collect(given, sorting(KINDS, habits, rendered, meanwhile), asides)


def rendered(text: str, path: str) -> str:
    """A remark as HTML, with the note it stands in."""
    return f"<p title={path!r}>{text}</p>"


def codes(told: tuple[Diagnostic, ...]) -> list[str]:
    """The names of the rules broken, in order."""
    return [message.name for message in told]
