"""Notes as entries of a timeline: what was written, in the shepherd's own words, and the file it stands in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, time
from functools import cached_property

from compiler.pages import Html
from compiler.schema import Record
from compiler.shape import Value, field, replace
from flockbook.flock import Animal, Flock
from flockbook.pages.sections import NoteEntry
from flockbook.pages.telling.telling import (
    beside_words,
    field_words,
    heading,
    line_words,
    named_line,
    own_lines,
    unread_words,
)
from flockbook.pages.views import Cell, Day, Directory, day
from flockbook.pages.wording import clock_words, later_words, plural
from flockbook.records.breeding import Lambing
from flockbook.records.event import Event

FEW_TAGS = 6  # sheep shown with their tags in one entry; more are named in a line
SHOWN_LINES = 8  # data lines that stand one below the other; more are told in one paragraph
NO_DAY = Day("", "day not readable")


class Company(Value):
    """Who else a note is about: how many, and who they are where they are few."""

    count: int
    few: tuple[str, ...] = ()


class Teller(Value, dict=True):
    """What entries are made from: the sheep's pages, the flock's unit, and where each note is told in full."""

    tags: Directory
    units: str
    places: Mapping[str, str] = field(default_factory=dict)

    def words(self, record: Record) -> tuple[str, ...]:
        """The fields of a note in a line, and what of it could not be read: alike on the pages of all its sheep."""
        path = record.origin.path
        if path not in self.told:
            beside = f"also written: {words}" if (words := beside_words(record)) else ""
            self.told[path] = field_words(record, self.units), unread_words(record), beside
        return self.told[path]

    @cached_property
    def told(self) -> dict[str, tuple[str, ...]]:
        """The words of the notes told so far, by path."""
        return {}

    @cached_property
    def members(self) -> dict[str, Mapping[str, int]]:
        """The sheep of the notes told so far, each with its place among them, by path."""
        return {}

    def company_of(self, event: Event, one: str) -> Company:
        """Who a note is about beside one; of a whole mob this is asked for every member, so none is copied for it."""
        path, sheep = event.origin.path, self.flock.who(event)
        if path not in self.members:
            self.members[path] = {each: place for place, each in reversed(list(enumerate(sheep)))}
        place = self.members[path].get(one)
        if len(sheep) > FEW_TAGS + 1 and not isinstance(event, Lambing):
            return Company(len(sheep) - (place is not None))
        others = sheep if place is None else sheep[:place] + sheep[place + 1 :]
        return Company(len(others), others)

    @property
    def flock(self) -> Flock:
        """The flock."""
        return self.tags.flock


def entry_for(told: Teller, event: Event, sheep: str) -> NoteEntry:
    """A note as it stands on the page of one of its sheep: what it says of her, and whom else it is about."""
    others = told.company_of(event, sheep)
    lines = [line_words(event, line, told.units) for line in own_lines(told.flock, event, sheep)]
    facts = (*company(told, event, others), *lines, *told.words(event))
    shortened = others.count or len(lines) < len(getattr(event, "lines", ()))
    whole = told.places.get(event.origin.path, "") if shortened else ""
    return entry_made(told, event, facts, whole)


def entry_in_full(told: Teller, record: Record) -> NoteEntry:
    """A note with everything in it: every sheep, every line, every field."""
    lines = tuple(named_line(record, line, told.units) for line in getattr(record, "lines", ()))
    shown = lines if len(lines) <= SHOWN_LINES else ("; ".join(lines),)
    facts = (*everybody(told, record), *shown, *told.words(record))
    return entry_made(told, record, facts, "")


def entries(flock: Flock, events: Iterable[Event], tags: Directory, subject: str = "") -> tuple[NoteEntry, ...]:
    """Notes, the newest first, their amounts as typed. `subject` is the sheep whose page they stand on, "" for none."""
    told = Teller(replace(tags, flock=flock), "")
    ordered = sorted(events, key=in_time, reverse=True)
    return tuple(entry_for(told, event, subject) if subject else entry_in_full(told, event) for event in ordered)


def entry_made(told: Teller, record: Record, facts: tuple[Cell, ...], href: str) -> NoteEntry:
    """An entry with the facts that say something."""
    path = record.origin.path
    shown, clock = NO_DAY, ""
    if isinstance(record, Event):
        shown, clock = day(record.date) or NO_DAY, clock_words(record.time) if record.time else ""
    place = told.places.get(path, "").partition("#")[2] if not href else ""
    later = later_words(record.date, told.tags.today.day) if isinstance(record, Event) else ""
    said = tuple(fact for fact in (later, *facts) if fact)
    remark = Html(record.origin.html)
    struck = told.flock.struck.get(path, "")
    return NoteEntry(shown, clock, heading(record), href, said, remark, path, 0, bool(struck), place, struck)


def company(told: Teller, event: Event, others: Company) -> Iterator[Cell]:
    """Who else a note is about, or whose lambing a lamb was born in."""
    if isinstance(event, Lambing):
        yield from (f"born to {told.flock.animals[dam].called_in_full}" for dam in others.few)
    elif others.count > FEW_TAGS:
        yield f"with {plural(others.count, 'other')}{f', mob {event.mob}' if event.mob else ''}"
    elif others.count:
        yield f"with {names(told.flock, others.few)}"


def everybody(told: Teller, record: Record) -> Iterator[Cell]:
    """The sheep that a note is about: a few as tags, many in a line, and names that no sheep has as they were typed."""
    if not isinstance(record, Event):
        return
    known = told.flock.who(record)
    if 0 < len(known) <= FEW_TAGS:
        yield told.tags.tags(known)
    elif known:
        yield f"{plural(len(known), 'sheep', 'sheep')}: {names(told.flock, known)}"
    found = told.flock.subjects.get(record.origin.path)
    lost = [mention.text for mention in (found.unresolved if found else record.mentions())]
    if lost:
        yield f"named in the note: {', '.join(dict.fromkeys(lost))}"


def names(flock: Flock, sheep: Iterable[str]) -> str:
    """Several sheep in running text."""
    return ", ".join(flock.animals[item].called_in_full for item in sheep)


# Which notes belong to whom


def notes_by_sheep(flock: Flock) -> dict[str, tuple[Event, ...]]:
    """Every note that speaks of each sheep, by time, struck ones too: as its subject, in a line, as its birth."""
    found: dict[str, dict[str, Event]] = {sheep: {} for sheep in flock.animals}
    by_path = {event.origin.path: event for event in flock.events}
    for event in flock.events:
        for sheep in flock.who(event):
            found[sheep][event.origin.path] = event
    for (path, _), sheep in flock.names.items():
        if path in by_path and sheep in found:
            found[sheep][path] = by_path[path]
    for animal in flock.animals.values():
        if animal.birth:
            found[animal.id][animal.birth.note.origin.path] = animal.birth.note
    for event, sheep in struck_notes(flock):
        found[sheep][event.origin.path] = event
    return {sheep: tuple(sorted(notes.values(), key=in_time)) for sheep, notes in found.items()}


def struck_notes(flock: Flock) -> Iterator[tuple[Event, str]]:
    """Corrected notes with their sheep: those of the note that corrected them, and those that they name themselves."""
    if not flock.struck:
        return
    words = sheep_by_word(flock.animals.values())
    subjects = {event.origin.path: flock.who(event) for event in flock.events}
    for event in flock.collection.of(Event):
        if event.origin.path in flock.struck:
            typed = [mention.text for mention in event.mentions()] or [event.subject or ""]
            own = [sheep for text in typed for sheep in words.get(text.casefold(), ())]
            for sheep in dict.fromkeys((*subjects.get(final(flock, event), ()), *own)):
                yield event, sheep


def final(flock: Flock, event: Event) -> str:
    """The path of the note that stands in place of a corrected one, however often it was corrected."""
    path, steps = event.origin.path, 0
    while path in flock.struck and steps < len(flock.struck):
        path, steps = flock.struck[path], steps + 1
    return path


def sheep_by_word(animals: Iterable[Animal]) -> dict[str, tuple[str, ...]]:
    """The sheep that every tag and name means."""
    found: dict[str, list[str]] = {}
    for animal in animals:
        for word in {*animal.tags, animal.name or ""} - {""}:
            found.setdefault(word.casefold(), []).append(animal.id)
    return {word: tuple(sheep) for word, sheep in found.items()}


def in_time(event: Event) -> tuple[date, time, str]:
    """Sort key by time; notes without a readable day come first, so that they are met last behind the newest."""
    return (event.date or date.min, event.time or time.min, event.origin.path)


# How many fit on a page


def dates_of(part: Sequence[NoteEntry]) -> str:
    """From when to when a portion of notes reaches."""
    return f"{part[-1].day.text} to {part[0].day.text}"


def portions(entries: Sequence[NoteEntry], most: int, full: int) -> list[tuple[NoteEntry, ...]]:
    """Entries in portions of so many entries and bytes that a page can carry, each of at least one; none for none."""
    found: list[list[NoteEntry]] = []
    load = 0
    for entry in entries:
        if not found or len(found[-1]) >= most or load + entry.weight > full:
            found.append([])
            load = 0
        found[-1].append(entry)
        load += entry.weight
    return [tuple(portion) for portion in found]
