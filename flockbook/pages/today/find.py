"""Finding: indexes that need no script, and one script file of titles, links and words."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator

from compiler.book import PageMaker, Stamp
from compiler.pages import Asset, Link, Page
from compiler.shape import Value
from flockbook.derive.farm.electronic_numbers import official_numbers, sound_numbers
from flockbook.pages.sections import Aside, Names, Pager, Section, SectionsView
from flockbook.pages.telling.notes_page import note_places
from flockbook.pages.telling.timeline import in_time
from flockbook.pages.today.find_things import (
    FOUND_NOTE,
    FOUND_SHEEP,
    SHELVES,
    FindRow,
    cases_found,
    looked_for,
    pages_found,
    things_found,
)
from flockbook.pages.views import Directory, LinkView, PageLink, directory
from flockbook.pages.wording import day_words, natural
from flockbook.records.event import Event
from flockbook.regional import local
from flockbook.seen import Seen

PATH, BY_NAME, BY_END, WORD_INDEX = "find.html", "find-by-name.html", "find-by-end.html", "find-by-word.html"
DATA = "find-data.js"
SECTION = "Find"
LONGEST = 200  # characters of a note that can be searched
MOST_FIND_LINES = 400  # lines of an index on one page: two elements each
LAST_DIGITS = re.compile(r"\d{1,3}$")


class FindLine(Value):
    """One line of an index: where it stands, what it is sorted by, what it says."""

    letter: str
    order: str
    label: str
    href: str


class FindIndex(Value):
    """One way to find a sheep: its first page, what it is called, what it is for, and its lines in any order."""

    path: str
    title: str
    lead: str
    lines: Iterable[FindLine]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page | Asset]:
    """The index pages, which need no script."""
    del stamp
    tags, country = directory(seen.linked, seen.today), seen.settings.file.country or ""
    indexes = (
        FindIndex(PATH, "Find by tag", "Type into the box above, or look below: every tag ever worn.", tag_lines(tags)),
        FindIndex(BY_NAME, "Find by name", "Every sheep that has a name.", name_lines(tags)),
        FindIndex(
            BY_END, "Find by the last figures", "When only the end of a tag can be read.", end_lines(tags, country)
        ),
        FindIndex(WORD_INDEX, "Find by word", "Illnesses, medicines, paddocks, mobs, settings.", word_lines(seen)),
    )
    others = (*(PageLink(index.title, index.path) for index in indexes), PageLink("All pages", "pages.html"))
    for index in indexes:
        yield from index_pages(index, others)


def find_data(seen: Seen, links: Iterable[Link]) -> Asset:
    """What the script finds: pages first, then sheep, then what stands in the book by a name of its own, then notes."""
    tags, country = directory(seen.linked, seen.today), seen.settings.file.country or ""
    things = (*things_found(seen), *cases_found(seen, tags))
    rows = (*pages_found(links), *sheep_found(tags, country), *things, *notes_found(seen))
    text = json.dumps([row.packed() for row in rows], ensure_ascii=False, separators=(",", ":"))
    return Asset(DATA, f"window.FLOCKBOOK_FIND={text};\n".encode("utf-8", "replace"))


def index_pages(index: FindIndex, others: tuple[PageLink, ...]) -> Iterator[Page]:
    """One index on as many pages as it needs."""
    path, lines = index.path, sorted(index.lines, key=lambda line: natural(line.order))
    parts = [lines[start : start + MOST_FIND_LINES] for start in range(0, len(lines), MOST_FIND_LINES)] or [[]]
    names = [path if place == 0 else path.replace(".html", f"-{place + 1}.html") for place in range(len(parts))]
    for place, part in enumerate(parts):
        more = tuple(
            PageLink(f"{lines[at * MOST_FIND_LINES].label} …", name, at == place)
            for at, name in enumerate(names)
            if lines
        )
        ways = (
            *(PageLink(link.label, link.href, link.href == path) for link in others),
            *(more if len(parts) > 1 else ()),
        )
        nobody = () if part else (Aside("Nobody yet.", "empty"),)
        view = SectionsView(index.lead, shelves(part), (Pager(ways), *nobody))
        yield Page(names[place], "sections.html", index.title, view, SECTION)


def shelves(lines: Iterable[FindLine]) -> tuple[Section, ...]:
    """Lines sorted onto shelves, one for each letter or figure."""
    groups: dict[str, list[LinkView]] = {}
    for line in lines:
        groups.setdefault(line.letter, []).append(LinkView(line.label, line.href))
    return tuple(Section(letter, (Names(tuple(sheep)),), broad=False) for letter, sheep in groups.items())


def tag_lines(tags: Directory) -> Iterator[FindLine]:
    """Every tag that was ever worn, and sheep that wear none yet."""
    for animal in tags.flock.animals.values():
        for tag in dict.fromkeys(animal.tags):
            now = f", now {animal.tag}" if animal.tag and tag != animal.tag else ""
            yield FindLine(tag[:1].upper(), tag, f"{tag} {animal.name or ''}".strip() + now, tags.paths[animal.id])
        if not animal.tags:
            yield FindLine("No tag", f"~{animal.id}", animal.name or animal.id, tags.paths[animal.id])


def name_lines(tags: Directory) -> Iterator[FindLine]:
    """Every name."""
    for animal in tags.flock.animals.values():
        if animal.name:
            label = f"{animal.name} {animal.tag or ''}".strip()
            yield FindLine(animal.name[:1].upper(), label, label, tags.paths[animal.id])


def end_lines(tags: Directory, country: str) -> Iterator[FindLine]:
    """The last three figures of every tag and official number, sorted by the very last."""
    officials = official_numbers(tags.flock)
    for animal in tags.flock.animals.values():
        for number in dict.fromkeys((*animal.tags, *sound_numbers(animal, officials.get(animal.id, ()), country))):
            if match := LAST_DIGITS.search(number):
                end = match[0]
                label = f"{end}: {animal.tag or number} {animal.name or ''}".strip()
                yield FindLine(f"… {end[-1]}", f"{end[-1]} {end}", label, tags.paths[animal.id])


def word_lines(seen: Seen) -> Iterator[FindLine]:
    """What is neither sheep nor note, on a shelf for each sort."""
    for row in things_found(seen):
        yield FindLine(SHELVES[row.sort], f"{row.sort} {row.title}", row.title, row.href)


def sheep_found(tags: Directory, country: str) -> Iterator[FindRow]:
    """Title, link and words of every sheep."""
    officials = official_numbers(tags.flock)
    for animal in tags.flock.animals.values():
        note, numbers = animal.note, sound_numbers(animal, officials.get(animal.id, ()), country)
        words = [*animal.tags, *numbers, animal.sex or "", note.marks or "" if note else ""]
        title = f"{animal.tag or ''} {animal.name or ''}".strip() or animal.id
        yield FindRow(title, tags.paths[animal.id], " ".join(word for word in words if word), FOUND_SHEEP)


def notes_found(seen: Seen) -> Iterator[FindRow]:
    """Title, link, fields and first words of every dated note, the newest first."""
    places = note_places(seen.linked)
    for event in sorted(seen.collection.of(Event), key=in_time, reverse=True):
        day, kind = day_words(event.date) if event.date else "", local(event.origin.kind)
        title = f"{day} {kind} {event.subject or ''}".strip()
        words = " ".join(f"{looked_for(event)} {event.origin.written}".split())[:LONGEST]
        yield FindRow(title, places[event.origin.path], words, FOUND_NOTE)


PAGES = (PageMaker("find", make),)
NAVIGATION = (Link("Find", PATH, SECTION, "The book"),)
