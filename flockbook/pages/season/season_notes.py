"""What each figure of a season rests on: every ewe and every lamb that was counted, with links to the notes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value, replace
from flockbook.derive.season.season_notes import Counted, EweCounted, LambCounted, behind_seasons, counted_in_season
from flockbook.derive.season.seasons import Season
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.sections import Pager, Section, SectionsView
from flockbook.pages.telling.notes_page import note_places
from flockbook.pages.views import Cell, Column, Directory, LinkView, PageLink, Row, Table, directory
from flockbook.pages.wording import NONE, plural, short_day_words
from flockbook.regional import local, scan_local
from flockbook.saying.season import season_words
from flockbook.seen import Seen

LEAD = "Every figure of the season counts rows of these two tables; each word leads to the note that says so."


class Shown(Value):
    """What the tables are made with: the ear tags, and where each note is told."""

    tags: Directory
    places: Mapping[str, str]
    running: bool

    def link(self, words: str, note: str) -> Cell:
        """Words that lead to a note; the words alone where it is not told."""
        return LinkView(words, self.places[note]) if note in self.places else words


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """A page for every season."""
    del stamp
    tags, places = directory(seen.linked, seen.today), note_places(seen.linked)
    known = behind_seasons(seen.linked, seen.facts.breeding.matings, seen.facts.weights.weanings, seen.today)
    for season in seen.facts.season.seasons:
        yield from season_notes_pages(season, counted_in_season(known, season), Shown(tags, places, season.running))


def path_of(part: str) -> str:
    """Where the notes behind a season's figures are."""
    return f"season-{part}-notes.html"


def season_notes_pages(season: Season, found: Counted, shown: Shown) -> Iterable[Page]:
    """One season's page, and those where its tables go on."""
    seat = Seat(path_of(season.part), f"Behind the figures of {season_words(season.name)}", "Season")
    tables = (counted_ewes_table(found.ewes, shown), counted_lambs_table(found.lambs, shown))
    (ewes, more), (lambs, rest) = (over_pages(table, replace(seat, room=seat.room // 2)) for table in tables)
    sections = (
        Section("Ewes", (ewes,), "of-ewes", plural(len(found.ewes), "row")),
        Section("Lambs", (lambs,), "of-lambs", plural(len(found.lambs), "row")),
    )
    back = Pager((PageLink(f"Lambing {season_words(season.name)}", f"season-{season.part}.html"),))
    yield Page(seat.path, "sections.html", seat.title, SectionsView(LEAD, sections, foot=(back,)), seat.section)
    yield from (*more, *rest)


def counted_ewes_table(ewes: Iterable[EweCounted], shown: Shown) -> Table:
    """The ewes exposed and scanned."""
    columns = (
        Column("Ewe", sort=True), Column(local("Put to the ram")), Column("Scanned"), Column("Lambed"),
        Column("Helped"),
        Column("Mastitis"), Column("Died"),
    )  # fmt: skip
    return Table(columns, tuple(counted_ewe_row(item, shown) for item in ewes), "No ewe was exposed.", "ewes")


def counted_ewe_row(item: EweCounted, shown: Shown) -> Row:
    """One ewe, and what was counted of her."""
    first = item.births[0] if item.births else None
    day = first.event.date if first else None
    waiting = local("still to lamb, or barren") if shown.running else "did not lamb"
    seen = "in lamb" if item.lambs_seen is None else plural(item.lambs_seen, "lamb") if item.lambs_seen else "empty"
    helped = next((birth for birth in item.births if birth.helped), None)
    return Row((
        shown.tags.tag(item.ewe) if item.ewe else "not in the book",
        shown.link(local("joined"), item.joined) if item.joined else NONE,
        shown.link(scan_local(seen), item.scanned) if item.scanned else NONE,
        shown.link(day_of(day), first.note) if first else waiting,
        shown.link("helped", helped.note) if helped else NONE,
        shown.link("mastitis", item.mastitis) if item.mastitis else NONE,
        shown.link("died", item.died) if item.died else NONE,
    ))  # fmt: skip


def counted_lambs_table(lambs: Iterable[LambCounted], shown: Shown) -> Table:
    """The lambs born."""
    columns = (
        Column("Lamb", sort=True), Column("Born"), Column("Alive or dead"), Column(local("Lay wrong")), Column("Lost"),
        Column("Weaned"),
    )  # fmt: skip
    return Table(columns, tuple(counted_lamb_row(item, shown) for item in lambs), "No lamb is born yet.", "lambs")


def counted_lamb_row(item: LambCounted, shown: Shown) -> Row:
    """One lamb, and what was counted of it."""
    line = item.lamb.birth.line if item.lamb.birth else None
    alive = line is None or line.alive
    reached = {True: "counted as weaned", False: "not weaned", None: "not known yet" if alive else NONE}[item.reached]
    return Row((
        shown.tags.tag(item.lamb.id),
        shown.link(day_of(item.birth.event.date), item.birth.note),
        "alive" if alive else "born dead",
        shown.link(line.lay_wrong, item.birth.note) if line and line.lay_wrong else NONE,
        shown.link(f"{item.lost.stage}, {item.lost.cause}", item.lost.note) if item.lost else NONE,
        shown.link("weaned", item.weaned) if item.reached and item.weaned else reached,
    ))  # fmt: skip


def day_of(day: date | None) -> str:
    """A day in a cell."""
    return short_day_words(day) if day else "day not known"


PAGES = (PageMaker("notes behind a season", make),)
NAVIGATION: tuple[Link, ...] = ()
