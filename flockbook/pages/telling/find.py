"""Finding: one script file of titles, links and words, and indexes that need no script."""

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
from flockbook.pages.views import Directory, LinkView, PageLink, directory
from flockbook.pages.wording import day_words
from flockbook.records.event import Event
from flockbook.regional import local
from flockbook.seen import Seen

PATH, BY_NAME, BY_END, DATA = "find.html", "find-by-name.html", "find-by-end.html", "find-data.js"
SECTION = "Find"
LONGEST = 200  # characters of a note that can be searched
MOST_FIND_LINES = 400  # lines of an index on one page: two elements each
LAST_DIGITS = re.compile(r"\d{1,3}$")
FIGURES = re.compile(r"(\d+)")


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
    """The index pages and the script's data."""
    del stamp
    tags, country = directory(seen.linked, seen.today), seen.settings.file.country or ""
    indexes = (
        FindIndex(PATH, "Find by tag", "Type into the box above, or look below: every tag ever worn.", tag_lines(tags)),
        FindIndex(BY_NAME, "Find by name", "Every sheep that has a name.", name_lines(tags)),
        FindIndex(
            BY_END, "Find by the last figures", "When only the end of a tag can be read.", end_lines(tags, country)
        ),
    )
    others = tuple(PageLink(index.title, index.path) for index in indexes)
    for index in indexes:
        yield from index_pages(index, others)
    rows = [*sheep_rows(tags, country), *note_rows(seen)]
    text = json.dumps(rows, ensure_ascii=False, separators=(",", ":"))
    yield Asset(DATA, f"window.FLOCKBOOK_FIND={text};\n".encode("utf-8", "replace"))


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


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """Sort key in which figures count as numbers: C9 before C10."""
    parts = FIGURES.split(text.casefold())
    return tuple((part.isdigit(), int(part) if part.isdigit() else 0, part) for part in parts)


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


def sheep_rows(tags: Directory, country: str) -> Iterator[list[str]]:
    """Title, link and words of every sheep."""
    officials = official_numbers(tags.flock)
    for animal in tags.flock.animals.values():
        note, numbers = animal.note, sound_numbers(animal, officials.get(animal.id, ()), country)
        words = [*animal.tags, *numbers, animal.sex or "", note.marks or "" if note else ""]
        title = f"{animal.tag or ''} {animal.name or ''}".strip() or animal.id
        yield [title, tags.paths[animal.id], " ".join(word for word in words if word)]


def note_rows(seen: Seen) -> Iterator[list[str]]:
    """Title, link and first words of every dated note, the newest first."""
    places = note_places(seen.linked)
    for event in sorted(seen.collection.of(Event), key=in_time, reverse=True):
        day, kind = day_words(event.date) if event.date else "", local(event.origin.kind)
        title = f"{day} {kind} {event.subject or ''}".strip()
        yield [title, places[event.origin.path], " ".join(event.origin.written.split())[:LONGEST]]


PAGES = (PageMaker("find", make),)
NAVIGATION = (Link("Find", PATH, SECTION, "The book"),)
