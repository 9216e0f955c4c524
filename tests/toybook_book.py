"""The boat log as a whole book: settings, links, facts, a check, pages and a theme, with no sheep in sight."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from functools import partial
from pathlib import Path

from compiler.book import Book, Check, Contents, Findings, Many, Moment, PageMaker, Stamp, Told
from compiler.collection import Collection
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.pages import Asset, Link, Page, slug
from compiler.report import short
from compiler.schema import Habits
from compiler.shape import Value, replace
from compiler.source import Source
from tests.toybook import KINDS, Boat, Repair, Voyage, meanwhile

THEME = Path(__file__).parent / "toytheme"
ON = Moment(datetime(2026, 5, 1))
NO_BOAT = Rule("V101", "boat-unknown", Grade.ERROR, "A voyage is of a boat that is known.", "---\nboat: Grebe\n---\n")
NO_LOG = Rule("V102", "no-settings", Grade.GAP, "The log has a name.", "")


class Log(Value):
    """The settings: the harbour's name, and what is not read."""

    harbour: str = "Harbour"
    skip: tuple[str, ...] = ()


class Fleet(Value):
    """The linked notes: each boat with the notes about it, and voyages of no known boat."""

    boats: tuple[tuple[Boat, tuple[Voyage | Repair, ...]], ...]
    strays: tuple[Voyage, ...]


class Facts(Value):
    """What is worked out of each boat, by number: kilograms caught, and whether she is fit for sea."""

    catch: dict[str, float]
    fit: dict[str, str]


class Telling(Value):
    """One note as told on a page."""

    path: str
    day: str
    facts: str
    remark: str


class BoatRow(Value):
    """One boat in the harbour's list."""

    label: str
    href: str
    fitness: str
    catch: str


class HarbourView(Value):
    """The front page."""

    boats: tuple[BoatRow, ...]


class BoatView(Value):
    """A boat's page."""

    fitness: str
    notes: tuple[Telling, ...]


class ProblemsView(Value):
    """The list of all messages, holes and other files."""

    lines: tuple[str, ...]


Found = Findings[Log, Fleet, Facts]


def read_settings(source: Source | None) -> tuple[Log, Told]:
    """`harbour: NAME` and `skip: GLOB` lines."""
    if source is None:
        return Log(), ()
    pairs = dict(line.split(": ", 1) for line in source.text.splitlines() if ": " in line)
    return Log(pairs.get("harbour", "Harbour"), tuple(pairs.get("skip", "").split())), ()


def link(collection: Collection, settings: Log, today: Moment) -> tuple[Fleet, Told]:
    """Voyages and repairs to boats, by number or name."""
    del settings, today
    boats = collection.of(Boat)
    known = {word for boat in boats for word in (boat.number, boat.name) if word}
    about: dict[str, list[Voyage | Repair]] = {}
    notes: tuple[Voyage | Repair, ...] = (*collection.of(Voyage), *collection.of(Repair))
    for note in sorted(notes, key=lambda note: note.origin.path):
        for word in named(note):
            about.setdefault(str(word), []).append(note)
    fleet = tuple((boat, (*about.get(str(boat.number), ()), *about.get(str(boat.name), ()))) for boat in boats)
    strays = tuple(voyage for voyage in collection.of(Voyage) if voyage.boat and voyage.boat not in known)
    return Fleet(fleet, strays), ()


def named(note: Voyage | Repair) -> set[str | None]:
    """The boats that a note names."""
    return {note.boat} if isinstance(note, Voyage) else set(note.boats)


def derive(fleet: Fleet, settings: Log, today: Moment) -> tuple[Facts, Told]:
    """Catch and fitness of each boat; a boat under repair is not fit."""
    del settings, today
    catch = {
        str(boat.number): sum(line.weight.kg for note in notes if isinstance(note, Voyage) for line in note.lines)
        for boat, notes in fleet.boats
    }
    fit = {
        str(boat.number): "ashore" if any(isinstance(note, Repair) for note in notes) else "fit for sea"
        for boat, notes in fleet.boats
    }
    return Facts(catch, fit), ()


def strays(found: Found) -> Iterator[Diagnostic]:
    """Voyages of boats that nobody knows."""
    for voyage in found.linked.strays:
        yield NO_BOAT.at(voyage.origin.span("boat"), f"there is no boat `{voyage.boat}`", "write a note of her")


def harbour(found: Found, stamp: Stamp) -> Iterator[Page]:
    """The front page."""
    del stamp
    rows = tuple(
        BoatRow(label(boat), path_of(boat), fitness(found, boat), f"{found.facts.catch[str(boat.number)]:.1f}")
        for boat, _ in found.linked.boats
    )
    yield Page("index.html", "harbour.html", found.settings.harbour, HarbourView(rows), "front")


def boats(found: Found, stamp: Stamp) -> Many:
    """A page for each boat."""
    del stamp
    return Many(found.linked.boats, partial(boat_pages, found))


def boat_pages(found: Found, one: tuple[Boat, tuple[Voyage | Repair, ...]]) -> Iterator[Page]:
    """The page of one boat."""
    boat, notes = one
    told = tuple(Telling(note.origin.path, str(note.date), what(note), note.origin.html) for note in notes)
    own = Telling(boat.origin.path, boat.built.text if boat.built else "", label(boat), boat.origin.html)
    view = BoatView(fitness(found, boat), (own, *told))
    yield Page(path_of(boat), "boat.html", label(boat), view, "boats", tuple(item.path for item in view.notes))


def problems(found: Found, stamp: Stamp) -> Iterator[Page | Asset]:
    """Everything that is to be told, and everything that is on no other page."""
    del stamp
    lines = [line for line in short(found.diagnostics).split("\n") if line]
    lines += [f"not read: {hole.path}: {hole.text}" for hole in found.collection.holes]
    lines += [f"other file: {other.path}: {other.why}" for other in found.collection.others]
    lines += [f"stray: {note.origin.path}: {note.origin.written}" for note in found.linked.strays]
    yield Page("problems.html", "problems.html", "Problems", ProblemsView(tuple(lines)), "problems")
    yield Asset("count.txt", f"{len(lines)}\n".encode())


def label(boat: Boat) -> str:
    """Number and name."""
    return f"{boat.number} {boat.name or ''}".strip()


def path_of(boat: Boat) -> str:
    """Where a boat's page stands."""
    return f"boats/{slug(label(boat))}.html"


def fitness(found: Found, boat: Boat) -> str:
    """Whether she is fit; nobody is while a note of a guarded kind cannot be read."""
    if any(hole.guarded for hole in found.collection.holes):
        return "UNKNOWN"
    return found.facts.fit[str(boat.number)]


def what(note: Voyage | Repair) -> str:
    """The facts of a note in a few words."""
    if isinstance(note, Repair):
        return f"mended: {note.part}"
    return ", ".join(f"{line.fish} {line.weight.kg:.1f} kg" for line in note.lines)


CONTENTS: Contents[Log, Fleet, Facts] = Contents(
    (PageMaker("harbour", harbour), PageMaker("boats", boats, shared=True), PageMaker("problems", problems)),
    (Link("Harbour", "index.html", "front"), Link("Problems", "problems.html", "problems")),
)
BOOK: Book[Log, Fleet, Facts] = Book(
    name="boat-log",
    kinds=KINDS,
    settings_file="log.yaml",
    read_settings=read_settings,
    habits=lambda _: Habits(),
    skip=lambda settings: settings.skip,
    title=lambda settings: settings.harbour,
    link=link,
    derive=derive,
    checks=(Check("strays", strays),),
    contents=lambda: CONTENTS,
    rules=(NO_BOAT, NO_LOG),
    theme=str(THEME),
    meanwhile=meanwhile,
)


def with_check(run: Check[Log, Fleet, Facts]) -> Book[Log, Fleet, Facts]:
    """The book with one more check."""
    return replace(BOOK, checks=(*BOOK.checks, run))


def with_pages(*makers: PageMaker[Log, Fleet, Facts]) -> Book[Log, Fleet, Facts]:
    """The book with more pages."""
    return replace(BOOK, contents=lambda: replace(CONTENTS, pages=(*makers, *CONTENTS.pages)))
