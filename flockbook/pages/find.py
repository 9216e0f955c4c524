"""Finding: one script file of titles, links and words, and indexes that need no script."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from compiler.book import PageMaker, Stamp
from compiler.pages import Asset, Link, Page
from flockbook.pages.notes_page import PER_PAGE
from flockbook.pages.seen import Seen
from flockbook.pages.views import Directory, PageLink, Tag, directory
from flockbook.pages.wording import day_words
from flockbook.records.event import Event

PATH, DATA = "find.html", "find-data.js"
LONGEST = 200  # characters of a note that can be searched


@dataclass(frozen=True, slots=True)
class Shelf:
    """Sheep under one letter or figure."""

    letter: str
    sheep: tuple[Tag, ...]


@dataclass(frozen=True, slots=True)
class FindView:
    """One index, and links to the others."""

    shelves: tuple[Shelf, ...]
    pager: tuple[PageLink, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page | Asset]:
    """The index page and the script's data."""
    del stamp
    tags = directory(seen.linked, seen.today)
    animals = list(seen.linked.animals.values())
    named = [(animal.name[0].upper(), animal.name, tags.tag(animal.id)) for animal in animals if animal.name]
    tagged = [(animal.tag[0].upper(), animal.tag, tags.tag(animal.id)) for animal in animals if animal.tag]
    ends = [
        (match[0], match[0], tags.tag(animal.id))
        for animal in animals
        if animal.tag and (match := re.search(r"\d{1,3}$", animal.tag))
    ]
    indexes = (
        (PATH, "By name", shelves(named)),
        ("find-by-tag.html", "By tag", shelves(tagged)),
        ("find-by-end.html", "By the last figure", shelves([(end[-1], end, tag) for end, _, tag in ends])),
    )
    for path, title, found in indexes:
        links = tuple(PageLink(label, other, other == path) for other, label, _ in indexes)
        yield Page(path, "find.html", "Find" if path == PATH else f"Find: {title.lower()}", FindView(found, links))
    rows = [*sheep_rows(seen, tags), *note_rows(seen)]
    yield Asset(
        DATA, ("window.FLOCKBOOK_FIND=" + json.dumps(rows, ensure_ascii=False, separators=(",", ":")) + ";\n").encode()
    )


def shelves(found: list[tuple[str, str, Tag]]) -> tuple[Shelf, ...]:
    """Sheep sorted onto shelves."""
    groups: dict[str, list[Tag]] = {}
    for letter, _, tag in sorted(found, key=lambda item: (item[0], item[1], item[2].tag)):
        groups.setdefault(letter, []).append(tag)
    return tuple(Shelf(letter, tuple(sheep)) for letter, sheep in groups.items())


def sheep_rows(seen: Seen, tags: Directory) -> Iterator[list[str]]:
    """Title, link and words of every sheep."""
    for animal in seen.linked.animals.values():
        note = animal.note
        words = [
            *animal.tags,
            animal.sex or "",
            note.official or "" if note else "",
            note.eid or "" if note else "",
            note.marks or "" if note else "",
        ]
        yield [
            f"{animal.tag or ''} {animal.name or ''}".strip() or animal.id,
            tags.paths[animal.id],
            " ".join(word for word in words if word),
        ]


def note_rows(seen: Seen) -> Iterator[list[str]]:
    """Title, link and first words of every dated note."""
    ordered = sorted(
        seen.collection.of(Event),
        key=lambda item: (str(item.date or ""), str(item.time or ""), item.origin.path),
        reverse=True,
    )
    for place, event in enumerate(ordered):
        page = "notes.html" if place < PER_PAGE else f"notes-{place // PER_PAGE + 1}.html"
        title = f"{day_words(event.date) if event.date else ''} {event.origin.kind} {event.subject or ''}".strip()
        yield [title, page, " ".join(event.origin.written.split())[:LONGEST]]


PAGES = (PageMaker("find", make),)
NAVIGATION = (Link("Find", PATH, "", "The book"),)
