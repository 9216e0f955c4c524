"""One season: counts first, then every share with its range and what it is a share of, losses, and the births."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import FIRST_LAMBING, parity_label
from flockbook.derive.lambing.newborn import BirthWeight
from flockbook.derive.season.season_indices import YearIndex
from flockbook.derive.season.seasons import EXPOSED_RULE, Season
from flockbook.derive.weights.weaning import WEANED_RULE
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.season.season_figures import cause_table, charts, stage_table
from flockbook.pages.season.season_notes import path_of as notes_path
from flockbook.pages.season.seasons import index_view, index_words
from flockbook.pages.sections import Aside, Pager, Section, SectionsView, Tally
from flockbook.pages.telling.sentences import stands_out
from flockbook.pages.telling.telling import line_words
from flockbook.pages.views import (
    Column,
    Count,
    Directory,
    LinkView,
    PageLink,
    Row,
    Table,
    Tag,
    Words,
    day,
    directory,
)
from flockbook.records.lamb_line import LambLine
from flockbook.regional import local, local_all
from flockbook.saying.newborns import birth_weight_words
from flockbook.saying.season import counted_of_words, season_words
from flockbook.seen import Seen
from flockbook.targets import target_weaned


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """A page for every season."""
    del stamp
    tags = directory(seen.linked, seen.today)
    for season in seen.facts.season.seasons:
        seat = Seat(season_path(season.part), f"Lambing {season_words(season.name)}", "Season")
        births, more = over_pages(births_table(season, tags), seat)
        yield Page(seat.path, "sections.html", seat.title, season_view(seen, season, births), seat.section)
        yield from more


def season_path(part: str) -> str:
    """Where a season's page is."""
    return f"season-{part}.html"


def season_view(seen: Seen, season: Season, births: Table) -> SectionsView:
    """One season's view."""
    counts = season.counts
    so_far = "" if counts.fate_known == counts.alive and not season.running else " so far"
    lead = (
        f"{counts.exposed} ewes exposed, {counts.lambed} lambed, {counts.born} lambs born, {counts.alive} of them "
        f"alive, {counts.weaned} weaned{so_far}."
    )
    tally = (
        Count(str(counts.exposed), "ewes exposed"), Count(str(counts.lambed), "lambed"), Count(str(counts.born),
        "lambs born"),
        Count(str(counts.alive), "born alive"), Count(str(counts.weaned), "weaned"), Count(str(counts.helped),
        "births helped"),
        *((Count(str(counts.exposed - counts.lambed), local("still to lamb, or barren")),) if season.running else ()),
    )  # fmt: skip
    found = (Aside(stands_out(item), "words") for item in season.standouts)
    pictures = charts((season,)) or (Aside("Nothing to draw yet.", "empty"),)
    sections = (
        Section("Counted", (Tally(tally), *found, Aside(WEANED_RULE)), "counted", broad=False),
        Section("Shares", (shares_table(seen, season), Aside(local_all(EXPOSED_RULE))), "shares"),
        Section("Losses by stage and cause", (stage_table((season,)), cause_table((season,))), "losses", broad=False),
        Section("Pictures", pictures, "pictures", broad=False),
        Section("How lambs lay", (lay_table(seen, season),), "lay"),
        Section("Births", (births,), "births-head"),
    )
    return SectionsView(lead, sections, foot=(Pager(others(season)),))


def others(season: Season) -> tuple[PageLink, ...]:
    """The pages that tell more of a season."""
    crop = [PageLink(f"Lamb crop of {season_words(season.name)}", f"crop-{season.part}.html")] if season.births else []
    notes = PageLink("The ewes and lambs counted, and their notes", notes_path(season.part))
    return (notes, *crop, PageLink("Seasons side by side", "seasons.html"))


def shares_table(seen: Seen, season: Season) -> Table:
    """Every index: counts first, then the rate and its range, and what was counted of what."""
    columns = (
        Column("What"), Column("Count, share, range", wide=True), Column("Counted of", wide=True), Column("Notes"),
    )  # fmt: skip
    units, target = seen.settings.units, target_weaned(seen.settings.file.targets)
    rows = [
        Row(
            (
                index_words(item.name, units),
                index_view(item.name, item.share, units),
                Words(f"{counted_of_words(item, units)}{target_words(item, target)}"),
                LinkView("lambs" if item.lambs else "ewes", notes_behind(season, item)),
            )
        )
        for item in season.indices
    ]
    return Table(columns, tuple(rows), "Nothing to count yet.")


def notes_behind(season: Season, item: YearIndex) -> str:
    """Where the notes stand that a figure rests on."""
    return f"{notes_path(season.part)}#{'of-lambs' if item.lambs else 'of-ewes'}"


def target_words(item: YearIndex, target: float | None) -> str:
    """The flock's own target beside the figure it is for."""
    return f"; your target: {target:g}" if target is not None and item.name == "weaned_per_exposed" else ""


def lay_table(seen: Seen, season: Season) -> Table:
    """How lambs lay, by the ewe's lambing, litter, sire and birth weight: counts, for one season is few for shares."""
    heavy = birth_weight_words(BirthWeight.HEAVY, seen.facts.lambing.birth_lines, seen.settings.units)
    groups: dict[str, list[tuple[LambingFact, LambLine]]] = {}
    for birth in season.births:
        for line in birth.event.lines:
            groups.setdefault(line.presentation, []).append((birth, line))
    columns = (
        Column("How it lay"), Column("Lambs", "number"), Column("Ewe's first lambing", "number"),
        Column("Singles, twins, more", wide=True), Column("Sire", wide=True),
        Column(heavy.capitalize(), "number"),
    )  # fmt: skip
    ordered = sorted(groups.items(), key=lambda item: (item[0] == "normal", -len(item[1]), item[0]))
    return Table(columns, tuple(lay_row(seen, *item) for item in ordered), "No lamb is written.")


def lay_row(seen: Seen, name: str, found: list[tuple[LambingFact, LambLine]]) -> Row:
    """One way of lying; whether it was her first lambing is told as everywhere else (`parity_label`)."""
    tags = directory(seen.linked, seen.today)
    first = sum(parity_label(seen.linked, birth) == FIRST_LAMBING for birth, _ in found)
    litters = [sum(birth.born == size for birth, _ in found) for size in (1, 2)]
    litter = f"{litters[0]}, {litters[1]}, {len(found) - sum(litters)}"
    rams = Counter(" or ".join(ram_in_text(tags.tag(sire)) for sire in birth.sires) or "unknown" for birth, _ in found)
    sires = "; ".join(f"{ram} {number}" for ram, number in sorted(rams.items(), key=lambda item: (-item[1], item[0])))
    line_in_force = seen.facts.lambing.birth_lines.heavy.kg
    heavy = sum(line.weight is not None and line.weight.kg > line_in_force for _, line in found)
    return Row((name, len(found), first, Words(litter), Words(sires), heavy))


def ram_in_text(tag: Tag) -> str:
    """A ram in running text."""
    return tag.name or tag.tag


def births_table(season: Season, tags: Directory) -> Table:
    """Every birth."""
    columns = (
        Column("Ewe", sort=True),
        Column("Day", sort=True),
        Column("Lambs", wide=True),
        Column("Help"),
        Column("Sire"),
    )
    rows = [
        Row((
            tags.tag(birth.ewe or ""), day(birth.event.date) or "",
            Words("; ".join(line_words(birth.event, line, "") for line in birth.event.lines) or "details to follow"),
            local(birth.event.help or "") or ("helped" if birth.helped else "none"), tags.tags(birth.sires),
        ))
        for birth in season.births
    ]  # fmt: skip
    return Table(columns, tuple(rows), "No birth is written.", "births")


PAGES = (PageMaker("season pages", make),)
NAVIGATION: tuple[Link, ...] = ()
