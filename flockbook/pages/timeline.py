"""Notes as entries of a timeline: what was written, in the shepherd's own words, and the file it stands in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from datetime import date, datetime, time
from typing import Any

from compiler.pages import Html
from compiler.schema import Key
from flockbook.flock import Animal, Flock
from flockbook.pages.views import Cell, Day, Directory, NoteEntry, TagList, day
from flockbook.pages.wording import day_words, plural
from flockbook.records.breeding import Lambing
from flockbook.records.event import Event
from flockbook.records.lamb_line import LambLine

# Fields that an entry shows elsewhere, or that only serve the reading of the note.
PLACED = frozenset(
    {"date", "time", "sheep", "mob", "except_", "count", "corrects", "sure", "ewe", "lamb", "lambs", "ewes"}
)
FEW = 8  # sheep named one by one in an entry; more are counted


def entries(flock: Flock, events: Iterable[Event], tags: Directory, subject: str = "") -> tuple[NoteEntry, ...]:
    """Notes, the newest first. `subject` is the sheep whose page they stand on: she is not named again."""
    ordered = sorted(events, key=lambda event: (event.date or date.min, event.time or time.min, event.origin.path))
    return tuple(entry(flock, event, tags, subject) for event in reversed(ordered))


def entry(flock: Flock, event: Event, tags: Directory, subject: str = "") -> NoteEntry:
    """One note."""
    path = event.origin.path
    told: tuple[Cell, ...] = (
        *told_of(flock, event, tags, subject),
        *typed(event),
        *lamb_words(event),
        *line_words(flock, event, subject),
    )
    shown = day(event.date) or Day("", "no date")
    clock = event.time.strftime("%H:%M") if event.time else ""
    title = event.origin.kind
    return NoteEntry(shown, clock, title, "", told, Html(event.origin.html), path, 0, path in flock.struck)


def told_of(flock: Flock, event: Event, tags: Directory, subject: str) -> tuple[Cell, ...]:
    """The sheep that a note is about, when the page is not her own."""
    others = [sheep for sheep in flock.who(event) if sheep != subject]
    if not others:
        return ()
    if len(others) > FEW:
        besides, mob = " besides" if subject else "", f", mob {event.mob}" if event.mob else ""
        return (
            f"{plural(len(others), 'sheep', 'sheep')}{besides}{mob}",
        )
    return (TagList(tuple(tags.tag(sheep) for sheep in others)),)


def typed(event: Event) -> tuple[str, ...]:
    """The fields of a note as they were typed, in one line."""
    parts = []
    for item in fields(event):
        declared = item.metadata.get("key")
        value = getattr(event, item.name)
        if isinstance(declared, Key) and item.name not in PLACED and value not in (None, ()):
            name = declared.name or item.name.rstrip("_").replace("_", " ")
            parts.append(f"{name}: {value_words(value)}")
    return ("; ".join(parts),) if parts else ()


def value_words(value: Any) -> str:
    """A value in words: as typed where that is known."""
    if isinstance(value, tuple):
        return ", ".join(value_words(item) for item in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return f"{day_words(value.date())} {value:%H:%M}"
    if isinstance(value, date):
        return day_words(value)
    if isinstance(value, time):
        return value.strftime("%H:%M")
    if isinstance(value, float):
        return f"{value:g}"
    return str(getattr(value, "text", "") or value)


def lamb_words(event: Event) -> tuple[str, ...]:
    """The lambs of a lambing note, one a line."""
    return tuple(lamb(line) for line in event.lines) if isinstance(event, Lambing) else ()


def lamb(line: LambLine) -> str:
    """One lamb in words."""
    parts = [line.sex or "lamb", line.weight.text if line.weight else "", f"tag {line.tag}" if line.tag else ""]
    parts += [f"no {line.number}" if line.number else "", "" if line.alive else line.state, "weak" if line.weak else ""]
    parts += [
        "hung" if line.hung else "",
        "helped" if line.assisted else "",
        line.presentation if line.presented else "",
    ]
    parts += [
        f"tubed {line.tubed_ml:g} ml" if line.tubed_ml else "",
        f"fostered to {line.fostered_to}" if line.fostered_to else "",
    ]
    return ", ".join(part for part in (*parts, line.remark) if part)


def line_words(flock: Flock, event: Event, subject: str) -> tuple[str, ...]:
    """What the data lines of a note say of one sheep; on a page of all notes, how many lines there are."""
    lines = getattr(event, "lines", ())
    if isinstance(event, Lambing) or not lines:
        return ()
    if not subject:
        return (plural(len(lines), "line"),)
    return tuple(line_text(line) for line in flock.own_lines.get((event.origin.path, subject), ()))


def line_text(line: Any) -> str:
    """A data line in words, without the sheep's own name."""
    parts = []
    for item in fields(line):
        value = getattr(line, item.name)
        if item.name not in ("sheep", "span", "unlikely", "remark") and value not in (None, (), "", False):
            parts.append(f"{item.name.replace('_', ' ')} {value_words(value)}")
    return ", ".join([*parts, *([line.remark] if getattr(line, "remark", "") else [])])


def pages_of(animal: Animal, tags: Directory) -> str:
    """Where an animal's page is."""
    return tags.paths.get(animal.id, "")
