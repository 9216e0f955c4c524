"""Every note by its day, whatever it is about; notes on things that have no day; pages in the shepherd's own words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page, slug
from compiler.schema import Record
from compiler.shape import Value, replace
from flockbook.flock import Flock
from flockbook.pages.sections import NoteEntry, Pager, Said, Section, SectionsView, Timeline, Whence
from flockbook.pages.telling.telling import HEADED
from flockbook.pages.telling.timeline import Teller, entry_in_full, in_time
from flockbook.pages.views import Cell, Column, Day, LinkView, PageLink, Row, Table, directory
from flockbook.pages.wording import LONG_MONTHS, plural
from flockbook.records.event import Event
from flockbook.records.sheep import Medicine, Sheep
from flockbook.records.year import FreePage
from flockbook.regional import local
from flockbook.seen import Seen

PATH, THINGS, CHANGES = "notes.html", "things.html", "what-changed.html"
SECTION = "All notes"
MOST_NOTES = 50  # notes on one page: each takes up to some twenty elements


class Leaf(Value):
    """One page of notes, in order of time: its file, its title, and its notes."""

    path: str
    title: str
    notes: tuple[Record, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The list of all pages of notes, these pages, and the shepherd's own."""
    del stamp
    dated, things, own = dated_leaves(seen.linked), thing_leaves(seen.linked), own_pages(seen.linked)
    told = Teller(directory(seen.linked, seen.today), seen.settings.units, places_of((*dated, *things)))
    links = tuple(PageLink(note.title or "Untitled", path) for path, note in own)
    view = all_notes(dated, things, links)
    top = (Pager((PageLink("What changed, and by whom", CHANGES),)),) if seen.history else ()
    yield Page(PATH, "sections.html", "All notes", replace(view, top=top), SECTION)
    for leaf in (*dated, *things):
        yield notes_page(leaf, (*dated, *things), told)
    for path, note in own:
        said = (Said(Html(note.origin.html)),) if note.origin.html else ()
        view = SectionsView("", (Section("", (*said, Whence(note.origin.path)), broad=False),))
        yield Page(path, "sections.html", note.title or "Untitled", view, SECTION, (note.origin.path,))


def all_notes(dated: Sequence[Leaf], things: Sequence[Leaf], own: tuple[PageLink, ...]) -> SectionsView:
    """The list of pages, the newest first."""
    rows = [month_row(leaf) for leaf in (*reversed(dated), *things)]
    count = sum(len(leaf.notes) for leaf in dated)
    lead = f"{plural(count, 'note')} with a day, the newest first; then notes on things that have none."
    table = Table((Column("Notes"), Column("How many", "number")), tuple(rows), "No note yet.")
    free = (Section("Your own pages", (Pager(own),), "own", broad=False),) if own else ()
    return SectionsView(lead, (*free, Section("By date", (table,), "by-date", broad=False)))


def month_row(leaf: Leaf) -> Row:
    """One page in the list."""
    cells: tuple[Cell, ...] = (LinkView(leaf.title, leaf.path), len(leaf.notes))
    return Row(cells)


def notes_page(leaf: Leaf, leaves: Sequence[Leaf], told: Teller) -> Page:
    """One page of notes with links to those before and after it."""
    place = leaves.index(leaf)
    near = [leaves[other] for other in (place - 1, place + 1) if 0 <= other < len(leaves)]
    entries = tuple(told_whole(told, note) for note in reversed(leaf.notes))
    links = (*(PageLink(other.title, other.path) for other in near), PageLink("All notes", PATH))
    view = SectionsView(plural(len(entries), "note"), top=(Timeline(entries), Pager(links)))
    return Page(leaf.path, "sections.html", leaf.title, view, SECTION, tuple(note.origin.path for note in leaf.notes))


def told_whole(told: Teller, note: Record) -> NoteEntry:
    """A note in full; one on a thing bears its name, with what kind of thing it is in the place of the day."""
    entry = entry_in_full(told, note)
    if isinstance(note, Event):
        return entry
    name = getattr(note, HEADED.get(note.origin.kind, ""), None)
    return replace(entry, day=Day("", local(note.origin.kind)), kind=str(name or "without a name"))


# Which note stands on which page


def note_places(flock: Flock) -> dict[str, str]:
    """Where each note is told in full: `notes-2026-04.html#2026-04-19-0340-lambing-bramble`."""
    return places_of((*dated_leaves(flock), *thing_leaves(flock)))


def places_of(leaves: Iterable[Leaf]) -> dict[str, str]:
    """The page and the place on it of every note."""
    found: dict[str, str] = {}
    for leaf in leaves:
        for path, anchor in anchors(note.origin.path for note in leaf.notes).items():
            found[path] = f"{leaf.path}#{anchor}"
    return found


def dated_leaves(flock: Flock) -> tuple[Leaf, ...]:
    """The pages of all events, in order of time; notes whose day could not be read come first."""
    events = sorted(flock.collection.of(Event), key=in_time)
    found: list[Leaf] = list(leaves("notes-undated", "Notes without a readable day", undated(events)))
    years = groupby((event for event in events if event.date), key=lambda event: event.date.year if event.date else 0)
    for year, of_year in years:
        found += year_leaves(year, list(of_year))
    return tuple(found)


def undated(events: Iterable[Event]) -> list[Event]:
    """The events whose day could not be read."""
    return [event for event in events if event.date is None]


def year_leaves(year: int, events: list[Event]) -> Iterator[Leaf]:
    """A year on one page, or month by month where that would be too long."""
    if len(events) <= MOST_NOTES:
        yield from leaves(f"notes-{year}", str(year), events)
        return
    for month, of_month in groupby(events, key=lambda event: event.date.month if event.date else 0):
        yield from leaves(f"notes-{year}-{month:02}", f"{LONG_MONTHS[month - 1]} {year}", list(of_month))


def leaves(name: str, title: str, notes: Sequence[Record]) -> Iterator[Leaf]:
    """As many pages as these notes need, none for none."""
    for start in range(0, len(notes), MOST_NOTES):
        number = start // MOST_NOTES + 1
        more = (f"-part-{number}", f", part {number}") if number > 1 else ("", "")
        yield Leaf(f"{name}{more[0]}.html", f"{title}{more[1]}", tuple(notes[start : start + MOST_NOTES]))


def thing_leaves(flock: Flock) -> tuple[Leaf, ...]:
    """Notes on things without a day that have no page of their own: paddocks, mobs, plans, supplies."""
    others = [note for note in flock.collection.records if not isinstance(note, Event | Sheep | Medicine | FreePage)]
    others.sort(key=lambda note: (note.origin.kind, note.origin.path))
    name = THINGS.removesuffix(".html")
    return tuple(leaves(name, "Places, plans and supplies", list(reversed(others))))


def own_pages(flock: Flock) -> tuple[tuple[str, FreePage], ...]:
    """The shepherd's own pages and where they stand."""
    notes = flock.collection.of(FreePage)
    names = anchors(note.origin.path for note in notes)
    return tuple((f"page-{names[note.origin.path]}.html", note) for note in notes)


def anchors(paths: Iterable[str]) -> dict[str, str]:
    """A short name for each note from that of its file, made different where two would be the same."""
    taken: set[str] = set()
    found: dict[str, str] = {}
    for path in paths:
        base = slug(path.rsplit("/", 1)[-1].rsplit(".", 1)[0])
        name, count = base, 1
        while name in taken:
            count += 1
            name = f"{base}-{count}"
        taken.add(name)
        found[path] = name
    return found


PAGES = (PageMaker("notes", make),)
NAVIGATION = (Link("All notes", PATH, SECTION, "The book"),)
