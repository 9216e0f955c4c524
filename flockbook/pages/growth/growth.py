"""How a crop grows: each weighing read back, every lamb's weight on one footing, who is behind, who is ready when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from statistics import fmean

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.growth.adjusted_weights import LATE_TARGET, TARGETS, Adjusted, Class
from flockbook.derive.growth.projection import LEAST_DAYS, SCALE_KG
from flockbook.derive.weights.sessions import Session, weighed_near
from flockbook.flock import Animal
from flockbook.pages.growth.growth_behind import BEHIND_RULE, behind, behind_table
from flockbook.pages.growth.growth_chart import drawn, group_chart
from flockbook.pages.growth.growth_lambs import grown_lambs_table
from flockbook.pages.growth.weighed_crop import WeighedCrop, lead, sessions_of, weighed_crops
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.sections import Aside, Pager, Section, SectionsView
from flockbook.pages.views import Column, Day, PageLink, Row, Table, Words, directory
from flockbook.pages.wording import day_words, gain_words, plural, weight_words
from flockbook.regional import local
from flockbook.seen import Seen
from flockbook.settings import Settings

PATH = "growth.html"
FOOTING_PATH, EWES_PATH, SALES_PATH = "growth-footing.html", "growth-ewes.html", "growth-sales.html"
MORE = (
    PageLink("What dam, sex and litter are worth", FOOTING_PATH),
    PageLink("Weaned for her weight", EWES_PATH),
    PageLink("Weight and price", SALES_PATH),
)
PRINTED_RULES = (
    f"Weights are brought to {TARGETS[0][1]}, {TARGETS[1][1]} or {LATE_TARGET} days, by the mean age of the group at "
    "weaning, then to that of a single ewe "
    "lamb of a ewe of three to six years. A group is the lambs of one season, mob and sex; its mean is 100. Small "
    "differences say nothing: factors differ from flock to flock and year to year, so the ratio by the flock's own "
    "differences stands beside it where enough lambs are written. The day on which a target is "
    f"reached goes on in a straight line from the last two weighings at least {LEAST_DAYS} days apart; its range is "
    f"what ± {{{SCALE_KG:g} kg}} of the scale leaves open at each of them, and knows nothing of grass, worms or "
    "weather."
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """One page a crop that was weighed, the newest under the plain name; one page saying so where none was."""
    del stamp
    crops = weighed_crops(seen)
    names = {season: PATH if place == 0 else f"growth-{season}.html" for place, season in enumerate(crops)}
    tags = directory(seen.linked, seen.today)
    if not crops:
        yield from crop_pages(WeighedCrop(seen, tags, seen.today.day.year, frozenset(), ()), PATH, ())
    for season, lambs in crops.items():
        others = tuple(PageLink(str(other), name, other == season) for other, name in names.items())
        yield from crop_pages(WeighedCrop(seen, tags, season, lambs, sessions_of(seen, lambs)), names[season], others)


def crop_pages(crop: WeighedCrop, path: str, others: tuple[PageLink, ...]) -> Iterator[Page]:
    """The page of one crop, and those where its long tables go on."""
    seat = Seat(path, f"Growth of the crop of {crop.season}", "Growth")
    late, said = behind(crop), crop.seen.settings.measures.said
    laggards, more = over_pages(behind_table(crop, late), seat)
    lambs, rest = over_pages(grown_lambs_table(crop), seat)
    charts = (group_chart(crop, tuple(late)),) if len(drawn(crop)) > 1 else ()
    sections = (
        Section("Who is behind", (laggards, Aside(local(said(BEHIND_RULE)), "quiet small")), "behind-head"),
        Section("Weighings", (*charts, session_table(crop)), "weighings-head"),
        Section("Groups compared", (group_table(crop), Aside(said(PRINTED_RULES))), "groups-head"),
        Section("On one footing", (lambs, Aside(source_words(crop.seen.settings), "quiet small")), "lambs-head"),
    )
    view = SectionsView(lead(crop), sections, foot=(Pager((*(others if len(others) > 1 else ()), *MORE)),))
    yield Page(path, "sections.html", seat.title, view, seat.section)
    yield from (*more, *rest)


def source_words(settings: Settings) -> str:
    """Whose factors they are; that a table of the flock's own could not be used."""
    table, typed = settings.factors, settings.file.adjustment_factors
    own = "your own" if not table.generic else "generic"
    lost = f" Your own table `{typed}` could not be used; see the problems." if typed and table.generic else ""
    cells = f" {plural(len(table.unsure), 'factor')} of {len(table.values)} are from memory." if table.unsure else ""
    return f"Factors ({own}): {table.source}.{cells}{lost}"


def session_table(crop: WeighedCrop) -> Table:
    """The weighings, newest first."""
    columns = (
        Column("Day"), Column("Weighed"), Column("Mean, lightest to heaviest", wide=True),
        Column("Gain since the last, and who was missed", wide=True),
    )  # fmt: skip
    rows = [session_row(crop, item) for item in reversed(crop.sessions)]
    return Table(columns, tuple(rows), "No weighing of this crop is written yet.", "weighings")


def session_row(crop: WeighedCrop, item: Session) -> Row:
    """One weighing."""
    low, high = weight_words(item.lowest, crop.units), weight_words(item.highest, crop.units)
    span = f"{weight_words(item.mean, crop.units)} ({low} to {high})" if item.mean is not None else ""
    gain = f"{gain_words(item.gain, crop.units)} ({item.regained} in both)" if item.since else "the first"
    if item.slip is not None:
        gain = f"{item.slip:.1f} times what was to be expected: pounds or kilograms"
    day = Day(item.day.isoformat(), day_words(item.day))
    weighed = f"{item.count}, {item.stage}" if item.stage else str(item.count)
    return Row((day, weighed, Words(span), Words(f"{gain}; {missed_words(crop, item)}")))


def missed_words(crop: WeighedCrop, item: Session) -> str:
    """Who of the crop's living lambs was not weighed that day or within a week of it."""
    living = [sheep for sheep in lambs_of_crop(crop) if lived_on(crop.seen.linked.animals[sheep], item.day)]
    grew = crop.seen.facts.weights.gains
    left = [sheep for sheep in living if not weighed_near(grew.get(sheep), item.day)]
    if item.missing:
        return f"there and not weighed: {', '.join(called(crop, item.missing))}"
    return f"{len(living) - len(left)} of {plural(len(living), 'living lamb')} weighed" if left else "nobody missed"


def lambs_of_crop(crop: WeighedCrop) -> Iterator[str]:
    """All lambs of a crop's season, weighed or not."""
    season = next(item for item in crop.seen.facts.season.years if item.season == crop.season)
    yield from (lamb.id for birth in season.births for lamb in birth.lambs)


def lived_on(lamb: Animal, day: date) -> bool:
    """Whether a lamb was born alive and there on a day."""
    return lamb.present(day) and (lamb.birth is None or lamb.birth.line.alive)


def called(crop: WeighedCrop, sheep: Iterable[str]) -> list[str]:
    """Sheep as they are called, in order of tags."""
    animals = crop.seen.linked.animals
    return sorted((animals[one].called for one in sheep), key=lambda name: (len(name), name))


def group_table(crop: WeighedCrop) -> Table:
    """The groups within which lambs are compared, with their number and mean."""
    groups: dict[Class, list[Adjusted]] = {}
    for lamb in sorted(crop.lambs & crop.seen.facts.growth.adjusted.keys()):
        row = crop.seen.facts.growth.adjusted[lamb]
        groups.setdefault(row.group, []).append(row)
    columns = (
        Column("Group"), Column("Compared", "number"), Column("Mean on one footing", "number"),
        Column("Ratios", wide=True),
    )  # fmt: skip
    order = sorted(groups, key=lambda group: (group.mob or "", group.sex or ""))
    rows = [group_row(crop, group, groups[group]) for group in order]
    return Table(columns, tuple(rows), "No lamb can be compared yet.", "groups")


def group_row(crop: WeighedCrop, group: Class, rows: list[Adjusted]) -> Row:
    """One group."""
    weights = [row.in_group for row in rows if row.in_group is not None]
    ratios = [row.ratio for row in rows if row.ratio is not None]
    told = f"{min(ratios):.0f} to {max(ratios):.0f}" if ratios else "none: a group of one has nobody to stand beside"
    if not weights:
        told = "none: a class or a birth weight is not known"
    mean = f"{weight_words(fmean(weights), crop.units)} at {rows[0].group_target} days" if weights else ""
    compared = f"{len(weights)} of {len(rows)}"
    mob = f", {group.mob or 'no mob'}" if crop.seen.linked.keeps_mobs else ""
    name = f"{group.sex or 'sex not known'}{mob}"
    return Row((name, compared, mean, Words(told)))


PAGES = (PageMaker("growth", make),)
NAVIGATION = (Link("Growth", PATH, "", "The flock"),)
