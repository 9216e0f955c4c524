"""What each ewe weaned for her own weight, season by season, and kilograms weaned for each ewe put to the ram."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.growth.ewe_efficiency import Reared, of_season
from flockbook.derive.season.seasons import Season
from flockbook.pages.growth.growth import EWES_PATH, PATH
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.sections import Pager, Section, SectionsView
from flockbook.pages.views import Column, Directory, PageLink, Row, Table, Words, directory
from flockbook.pages.wording import day_words, grown_words, plural, share_words, weight_words
from flockbook.regional import local_all
from flockbook.seen import Seen

PRINTED_RULES = (
    "A ewe's share is the weight of all lambs she reared to weaning, a fostered one with her foster mother, over "
    "her own weight: her last weighing within a year before it, else the mature weight of her note. Weights are as "
    "they were weighed, not brought to one age. A litter with an unweighed lamb, or a ewe whose "
    "weight nobody knows, has no share.",
    "Published lines for crossbred flocks, all ewes tupped counted: up to 50 % look into it, 51 to 60 moderate, 61 "
    "to 70 good, above 70 excellent (Bevan, Darlington & Stockton Times). Shares here leave out ewes that weaned "
    "nothing, so they stand higher.",
    "A share favours light ewes, and one litter is one year's luck: read it beside both weights, and over several "
    "years (McHugh et al. 2018, J. Anim. Sci. 96:2051, on such ratios).",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page of the newest season that was weaned; older seasons stand in one row each."""
    del stamp
    years = sorted({row.season for row in seen.facts.growth.reared})
    newest = years[-1] if years else None
    seat = Seat(EWES_PATH, "Weaned for her weight", "Growth")
    ewes, more = over_pages(ewe_table(seen, newest), seat)
    head = f"Ewe by ewe, {newest}" if newest else "Ewe by ewe"
    sections = (
        Section("Season by season", (season_table(seen),), "by-season"),
        Section(head, (ewes,), "by-ewe"),
        Section("How to read them", local_all(PRINTED_RULES), "how"),
    )
    view = SectionsView(lead(seen, newest), sections, foot=(Pager((PageLink("Growth", PATH),)),))
    yield Page(seat.path, "sections.html", seat.title, view, seat.section)
    yield from more


def lead(seen: Seen, season: int | None) -> str:
    """What the ewes of the newest season weaned."""
    if season is None:
        return "No weaning is written yet."
    lambs, ewes, count = of_season(seen.facts.growth.reared, season)
    if not count:
        return f"Of no ewe that weaned lambs in {season} are her weight and her lambs' all known."
    units = seen.settings.units
    return (
        f"{plural(count, 'ewe')} weaned {weight_words(lambs, units)} of lamb in {season} and weigh "
        f"{grown_words(ewes, units)} themselves: {share_words(lambs / ewes)} of their own weight."
    )


def season_table(seen: Seen) -> Table:
    """One row a season, the latest first."""
    columns = (
        Column("Season"), Column("Ewes exposed"), Column("Lambs weaned"), Column("They weighed"),
        Column("Each ewe exposed"), Column("Of own weight", wide=True),
    )  # fmt: skip
    rows = [season_row(seen, item) for item in reversed(seen.facts.season.years) if item.counts.weighed]
    return Table(columns, tuple(rows), "No lambs were weighed at weaning yet.", "seasons")


def season_row(seen: Seen, item: Season) -> Row:
    """One season."""
    counts, units = item.counts, seen.settings.units
    each = item.index("weight_weaned_per_exposed").value
    lambs, ewes, known = of_season(seen.facts.growth.reared, item.season)
    own = f"{share_words(lambs / ewes)} ({plural(known, 'ewe')})" if known else "weights not known"
    per_ewe = weight_words(each, units) if each is not None else "not yet known"
    weight = weight_words(counts.weaned_kg, units)
    weaned = f"{counts.weaned} ({counts.weighed} weighed)"
    return Row((str(item.season), str(counts.exposed), weaned, weight, per_ewe, Words(own)))


def ewe_table(seen: Seen, season: int | None) -> Table:
    """Every ewe that weaned lambs in a season, the most for her weight first."""
    where = directory(seen.linked, seen.today)
    columns = (
        Column("Ewe", sort=True), Column("Her lambs", wide=True), Column("They weighed", "number", sort=True),
        Column("She weighs", wide=True), Column("Share", "number", sort=True),
    )  # fmt: skip
    rows = [ewe_row(where, row, seen.settings.units) for row in seen.facts.growth.reared if row.season == season]
    return Table(columns, tuple(rows), "No weaning is written yet.", "ewes")


def ewe_row(where: Directory, row: Reared, units: str) -> Row:
    """One ewe."""
    weight = grown_words(row.ewe_kg, units)
    weighed = f"{weight}, {day_words(row.weighed_on)}" if row.weighed_on else f"{weight}, mature weight of her note"
    litter = weight_words(row.litter_kg, units) + (f", {row.unweighed} not weighed" if row.unweighed else "")
    share = share_words(row.share) if row.share is not None else ""
    her = weighed if row.ewe_kg is not None else "not known"
    return Row((where.tag(row.ewe), where.tags(row.lambs), litter, Words(her), share))


PAGES = (PageMaker("ewes' weights", make),)
NAVIGATION: tuple[Link, ...] = ()
