"""The one value that a domain hands to the compiler."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, Generic, TypeVar

from compiler.collection import Collection
from compiler.diagnostics import Diagnostic, Rule
from compiler.history import History
from compiler.moment import Moment as Moment
from compiler.pages import Asset, Link, Page
from compiler.pictures import Picture
from compiler.schema import Habits, Kind
from compiler.shape import Value
from compiler.source import Source

S = TypeVar("S")  # settings
L = TypeVar("L")  # linked notes
F = TypeVar("F")  # facts

Told = tuple[Diagnostic, ...]


class Stamp(Value):
    """What the build stamp says: read = placed + holes + others, and the problems by grade."""

    on: Moment
    made: str
    read: int
    placed: int
    listed: int
    newest: str
    errors: int
    asks: int
    warnings: int
    gaps: int


class Findings(Value, Generic[S, L, F]):
    """Everything known before pages are made: what checks and pages see.

    When linking or deriving `failed` (a fault in the program), `linked` and `facts` may be None, and no page is made.
    `pictures` are all that stand in the notes folder; a page shows one by naming its path in `Page.pictures`. `history`
    is what git knows of the notes, where the settings ask for it.
    """

    settings: S
    collection: Collection
    linked: L
    facts: F
    today: Moment
    diagnostics: Told = ()
    failed: bool = False
    pictures: tuple[Picture, ...] = ()
    history: History | None = None


class Frame(Value):
    """What every page shows alike, where a book has no frame of its own."""

    title: str
    stamp: Stamp


class Check(Value, Generic[S, L, F]):
    """One rule of the book's own, by name; a crash in it is reported and the rest goes on."""

    name: str
    run: Callable[[Findings[S, L, F]], Iterable[Diagnostic]]


class PageMaker(Value, Generic[S, L, F]):
    """One group of pages, by name; a crash in it is reported and the other groups are made. Gives pages and assets.

    One that is `shared` gives a `Many`.
    """

    name: str
    make: Callable[[Findings[S, L, F], Stamp], Iterable[Page | Asset]]
    shared: bool = False


class Many(Value):
    """Pages of many things alike, those of each made for themselves, so that several hands can share the work."""

    things: Sequence[Any]
    make: Callable[[Any], Iterable[Page | Asset]]

    def __iter__(self) -> Iterator[Page | Asset]:
        """All of them, one thing after another."""
        for thing in self.things:
            yield from self.make(thing)


class Contents(Value, Generic[S, L, F]):
    """What makes the pages, and how they are found. `frame(findings, stamp)` is what templates see as `book` on every
    page (by default a `Frame`).
    """

    pages: tuple[PageMaker[S, L, F], ...]
    navigation: tuple[Link, ...]
    frame: Callable[[Findings[S, L, F], Stamp], Any] | None = None


class Book(Value, Generic[S, L, F]):
    """A domain, whole.

    * `settings_file` is the one file that is not a note; `read_settings(source or None)` gives the settings (defaults
      for what is missing or wrong) and its messages; `habits(settings)` is how this writer writes values.
    * `named(settings)` are the paths of other files that the settings name, no notes either; `take(settings, files)`
      gives the settings with what was read of them (a file that is not there is missing from `files`).
    * `skip(settings)` names folders and files (globs) that are not read.
    * `link(collection, settings, today)` finds out which things the notes speak of.
    * `derive(linked, settings, today)` works everything out.
    * `meanwhile(kind)` is what the book does about a note of that kind that could not be read.
    * `tracked(settings)` is whether the pages tell of changes of the notes, as git knows them.
    * `worded(settings, message)` is a message in this writer's own words and order of days.
    * `theme` is the path of the book's own theme folder.
    * `lines_in` is the folder whose files without a head are lists of lines, each for itself ("" for none).
    * `code` are the folders of the program: what is remembered between runs is of no use to another state of it (none:
      nothing is).
    * `contents()` loads what makes the pages; it is called only when pages are made, so that a proof loads none of it.
    """

    name: str
    kinds: tuple[Kind[Any], ...]
    settings_file: str
    read_settings: Callable[[Source | None], tuple[S, Told]]
    habits: Callable[[S], Habits]
    skip: Callable[[S], tuple[str, ...]]
    title: Callable[[S], str]
    link: Callable[[Collection, S, Moment], tuple[L, Told]]
    derive: Callable[[L, S, Moment], tuple[F, Told]]
    checks: tuple[Check[S, L, F], ...]
    contents: Callable[[], Contents[S, L, F]]
    rules: tuple[Rule, ...]
    theme: str
    meanwhile: Callable[[str], str]
    named: Callable[[S], tuple[str, ...]] = lambda _: ()
    lines_in: str = ""
    take: Callable[[S, Mapping[str, Source]], tuple[S, Told]] = lambda settings, _: (settings, ())
    worded: Callable[[S, Diagnostic], Diagnostic] = lambda _, message: message
    tracked: Callable[[S], bool] = lambda _: False
    code: tuple[str, ...] = ()
