"""What changed in the notes: when, by whom and which, as git has it; asked for with `history: git` in the settings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime

from compiler.book import PageMaker, Stamp
from compiler.history import Change
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.flock import Animal
from flockbook.pages.sections import Aside, Section, SectionsView
from flockbook.pages.telling.notes_page import CHANGES, SECTION, note_places
from flockbook.pages.views import Column, LinkView, Row, Stack, Table, Words, moment_view
from flockbook.pages.wording import plural
from flockbook.seen import Seen
from flockbook.settings import zone_of

TITLE = "What changed"
MOST_SHOWN = 200  # changes on the page
MOST_OF_ONE = 12  # changes on a sheep's own page
NOTES_NAMED = 6  # notes named in one row
CURE = "Keep the notes with git (git init, git add, git commit), or take `history: git` out of flock.yaml."
CHANGE_COLUMNS = (Column("When"), Column("Who"), Column("Notes", wide=True), Column("What was said", wide=True))


class Committed(Value):
    """A change that had been made by the moment of the book, at its time in the flock's zone."""

    at: datetime
    change: Change


class Changes(Value):
    """Every change, the newest first; those of each note; and where each note is told."""

    all: tuple[Committed, ...] = ()
    by_note: Mapping[str, tuple[Committed, ...]] = {}
    places: Mapping[str, str] = {}

    def of(self, paths: Iterable[str]) -> Iterator[tuple[Committed, list[str]]]:
        """The changes of these notes, the newest first, each with which of them it changed."""
        wanted = set(paths)
        found = {one.change.number: one for path in wanted for one in self.by_note.get(path, ())}
        for one in sorted(found.values(), key=lambda item: item.at, reverse=True):
            yield one, [path for path in one.change.paths if path in wanted]


def changes_of(seen: Seen) -> Changes:
    """What git knows, up to the moment of the book."""
    if seen.history is None:
        return Changes()
    zone = zone_of(seen.settings)
    known = []
    for change in seen.history.changes:
        at = datetime.fromisoformat(change.when)
        known.append(Committed((at.astimezone(zone) if zone else at).replace(tzinfo=None), change))
    there = tuple(one for one in known if one.at <= seen.today.at)
    by_note: dict[str, list[Committed]] = {}
    for one in there:
        for path in one.change.paths:
            by_note.setdefault(path, []).append(one)
    return Changes(there, {path: tuple(ones) for path, ones in by_note.items()}, note_places(seen.linked))


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page, where the settings ask for it."""
    del stamp
    if seen.history is None:
        return
    found = changes_of(seen)
    rows = tuple(change_row(found, one, one.change.paths) for one in found.all[:MOST_SHOWN])
    told = f"{seen.history.trouble}. {CURE}" if seen.history.trouble else ""
    trouble = (Aside(told, "loud"),) if told else ()
    table = Table(CHANGE_COLUMNS, rows, "No change of a note is committed.")
    section = Section("The newest first", (*trouble, table), "changes")
    yield Page(CHANGES, "sections.html", TITLE, SectionsView(lead(found), (section,)), SECTION)


def lead(found: Changes) -> str:
    """How many changes there are, and that only what was committed is known."""
    more = f" The newest {MOST_SHOWN} are shown." if len(found.all) > MOST_SHOWN else ""
    return f"{plural(len(found.all), 'commit')} changed the notes.{more} What is not committed yet is not told here."


def change_row(found: Changes, one: Committed, paths: Sequence[str]) -> Row:
    """One change, with the notes that it changed."""
    named = [note_cell(found, path, "" if path == paths[-1] else ",") for path in paths[:NOTES_NAMED]]
    more = [Words(f"and {len(paths) - NOTES_NAMED} more")] if len(paths) > NOTES_NAMED else []
    return Row((moment_view(one.at), one.change.who, Stack((*named, *more)), Words(one.change.said)))


def note_cell(found: Changes, path: str, after: str) -> LinkView | Words:
    """A note, which leads to where it is told, and the sign that parts it from the next."""
    text = f"{path}{after}"
    return LinkView(text, found.places[path]) if path in found.places else Words(text)


def sheep_changes(seen: Seen, found: Changes, animal: Animal) -> Table:
    """The last changes of a sheep's own note and of those that speak of it."""
    own = (animal.note,) if animal.note else ()
    paths = [note.origin.path for note in (*own, *seen.linked.by_animal.get(animal.id, ()))]
    rows = [change_row(found, one, changed) for one, changed in found.of(paths)]
    return Table(CHANGE_COLUMNS, tuple(rows[:MOST_OF_ONE]), "")


PAGES = (PageMaker("what changed", make),)
NAVIGATION: tuple[Link, ...] = ()
