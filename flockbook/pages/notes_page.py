"""All notes, year by year: whatever was written can be found here, also what names no sheep; and free pages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page, slug
from flockbook.pages.seen import Seen
from flockbook.pages.timeline import entries
from flockbook.pages.views import NoteEntry, PageLink, directory
from flockbook.pages.wording import plural
from flockbook.records.cupboard import Supply
from flockbook.records.event import Event
from flockbook.records.places import Mob, Paddock
from flockbook.records.year import FreePage, Plan

PATH = "notes.html"
PER_PAGE = 60  # notes on one page


@dataclass(frozen=True, slots=True)
class NotesView:
    """Some notes, the newest first, and the pages of the rest."""

    lead: str
    notes: tuple[NoteEntry, ...]
    pager: tuple[PageLink, ...]


@dataclass(frozen=True, slots=True)
class Saying:
    """An undated note: what it is about, its remark, its file."""

    heading: str
    remark: Html
    path: str


@dataclass(frozen=True, slots=True)
class SayingsView:
    """Undated notes in the shepherd's own words."""

    lead: str
    sayings: tuple[Saying, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """Pages of notes, a page of undated ones, and the free pages."""
    del stamp
    yield from dated(seen)
    yield undated(seen)
    for item in seen.collection.of(FreePage):
        view = SayingsView("", (Saying("", Html(item.origin.html), item.origin.path),))
        yield Page(
            f"page-{slug(item.title or item.origin.path)}.html",
            "sayings.html",
            item.title or "A page",
            view,
            "",
            (item.origin.path,),
        )


def dated(seen: Seen) -> Iterator[Page]:
    """All events, struck ones too, the newest first."""
    tags = directory(seen.linked, seen.today)
    notes = entries(seen.linked, seen.collection.of(Event), tags)
    parts = [notes[start : start + PER_PAGE] for start in range(0, len(notes), PER_PAGE)] or [()]
    names = [PATH if number == 0 else f"notes-{number + 1}.html" for number in range(len(parts))]
    for number, part in enumerate(parts):
        links = (
            tuple(PageLink(str(place + 1), name, place == number) for place, name in enumerate(names))
            if len(parts) > 1
            else ()
        )
        lead = f"{plural(len(notes), 'dated note')}, the newest first."
        yield Page(
            names[number],
            "notes.html",
            "All notes",
            NotesView(lead, part, links),
            "",
            tuple(item.path for item in part),
        )


def undated(seen: Seen) -> Page:
    """Paddocks, mobs, supplies, plans: what the notes on them say besides their figures."""
    kinds = (Paddock, Mob, Supply, Plan)
    found = [item for item in seen.collection.records if isinstance(item, kinds)]
    sayings = tuple(
        Saying(
            f"{item.origin.kind}: {getattr(item, 'name', None) or getattr(item, 'what', None) or ''}",
            Html(item.origin.html),
            item.origin.path,
        )
        for item in found
    )
    return Page(
        "things.html",
        "sayings.html",
        "Places, plans and supplies",
        SayingsView("Notes that have no date, in her own words.", sayings),
        "",
        tuple(item.origin.path for item in found),
    )


PAGES = (PageMaker("", make),)
NAVIGATION = (
    Link("All notes", PATH, "", "The book"),
    Link("Places, plans and supplies", "things.html", "", "The book"),
)
