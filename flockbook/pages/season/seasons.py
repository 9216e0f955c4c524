"""Seasons side by side: every index with its counts, what changed in plain sentences, spread, losses and survival."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import replace
from flockbook.derive.plain.intervals import FEW, NEVER_RANK, Share
from flockbook.derive.season.season_indices import FIRST_CYCLE_DAYS, ONE_CYCLE, TWO_CYCLES
from flockbook.derive.season.seasons import Season
from flockbook.derive.weights.weaning import WEANED_RULE
from flockbook.measures import measures_of, trimmed
from flockbook.pages.season.season_figures import cause_table, charts, survival_table
from flockbook.pages.season.season_notes import path_of as notes_path
from flockbook.pages.season.year_changes import changes_beside, old_seasons
from flockbook.pages.sections import Aside, Block, Fold, Points, Section, SectionsView, Subhead, pager
from flockbook.pages.telling.sentences import PAIRS, compared, deaths_compared, stands_out
from flockbook.pages.views import Caution, Cell, Column, LinkView, PageLink, Row, ShareView, Table, day, share_view
from flockbook.pages.wording import plural
from flockbook.regional import local, local_all
from flockbook.saying.season import season_words
from flockbook.seen import Seen

PATH = "seasons.html"
SHOWN = 5  # seasons beside each other, unless flock.yaml says how many (`years`)
INDEX_WORDS = {
    "fertility": "Lambed, of ewes exposed",
    "barren": "Did not lamb, of ewes exposed",
    "scanned_empty": "Empty, of ewes scanned",
    "first_cycle": f"Lambed in the first {FIRST_CYCLE_DAYS} days, of ewes exposed",
    "assisted": "Births helped, of ewes that lambed",
    "mastitis": "Had mastitis, of ewes that lambed",
    "ewe_deaths": "Died before the next joining, of ewes exposed",
    "replacement": "Put to the ram here for the first time, of ewes exposed",
    "scanning": "Lambs scanned for each ewe exposed",
    "scanned_per_in_lamb": "Lambs scanned for each ewe scanned in lamb",
    "prolificacy": "Lambs born for each ewe that lambed",
    "born_per_exposed": "Lambs born for each ewe exposed",
    "alive_per_exposed": "Lambs born alive for each ewe exposed",
    "stillbirth": "Born dead, of lambs born",
    "malpresentation": "Lay wrong, of lambs born",
    "preweaning_loss": "Lost before weaning, of lambs born alive",
    "birth_to_weaning_loss": "Born dead or lost before weaning, of lambs born",
    "weaned_per_exposed": "Lambs weaned for each ewe exposed",
    "weight_weaned_per_exposed": "Weight weaned for each ewe exposed (lambs weighed at weaning)",
}
WEIGHTS = {"weight_weaned_per_exposed"}
PRINTED_RULES = (
    "A season is a round of joining and its lambing. It is named by the year it lambs in; by the month too where two "
    "rounds, a pregnancy or more apart, lamb in one year. Exposed are the ewes put to a ram for it, less those sold "
    "before its first lambing, and with those that lambed without a joining written (bought in lamb). Ewes that died "
    "stay in.",
    f"Born counts the dead. {WEANED_RULE}",
    "Ranges are 95 in a hundred: Wilson's for a share, Newcombe's for a difference, exact Poisson for deaths over the "
    f"time lived, log-minus-log for survival. Under {FEW} is too few for a rate; under {NEVER_RANK} only the counts "
    "are shown.",
    f"Lambed in the first {FIRST_CYCLE_DAYS} days, and in {ONE_CYCLE} and {TWO_CYCLES}: the day of the first birth is "
    "day one.",
)
NO_CHANGE = "Nothing counted differs by more than chance alone would bring."
STANDING_OUT = (
    "Groups of one season against all others of it: age, litter, ram, field, helper, and these together. Named only "
    "where chance would hardly do it, however many groups were looked at."
)
CLUSTERS = Caution(
    "Read with care", (PAIRS, "Too few for a rate does not mean nothing happened: read the notes behind the counts.")
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page of all seasons; before the first it says that there is none: every page's contents lead here."""
    del stamp
    yield Page(PATH, "sections.html", "Seasons side by side", view_of(seen, recent(seen)))


def recent(seen: Seen) -> tuple[Season, ...]:
    """The latest seasons, as many as are set beside each other."""
    return seen.facts.season.seasons[-max(1, seen.settings.file.years or SHOWN) :]


def view_of(seen: Seen, shown: tuple[Season, ...]) -> SectionsView:
    """The page's view."""
    running = [season for season in shown if season.running]
    so_far = still_to_lamb(running[-1]) if running else ""
    crops = [
        PageLink(f"Lamb crop of {season_words(item.name)}", f"crop-{item.part}.html") for item in shown if item.births
    ]
    sections = (
        Section("What stood out", (*standing_out(shown), Aside(STANDING_OUT, "quiet small")), "standouts-head"),
        Section("Counted, season by season", (index_table(shown, seen.settings.units),), "indices-head", broad=False),
        Section("What changed, and what may only be chance", (CLUSTERS, *season_changes(seen, shown)), "changes-head"),
        *changes_beside(seen, shown),
        *old_seasons(seen),
        Section("Spread and losses", (*charts(shown), spread_table(shown)), "spread-head"),
        Section("Causes", (cause_table(shown),), "causes-head"),
        Section("How many lived", (survival_table(shown),), "lived-head"),
        Section("How it is counted", local_all(PRINTED_RULES), "how-head"),
    )
    return SectionsView(f"{plural(len(shown), 'season')}, counts first.{so_far}", sections, foot=pager(crops))


def still_to_lamb(season: Season) -> str:
    """What is said of a season that is not over."""
    ewes = plural(season.counts.exposed - season.counts.lambed, "ewe")
    still = f"{ewes} still to lamb, or {local('barren')}"
    return f" {season_words(season.name)} is not over: {still}; its figures are so far."


def standing_out(shown: tuple[Season, ...]) -> Iterator[Block]:
    """What stood out in each season, the latest first; a season without says so."""
    for season in reversed(shown):
        if season.births:
            yield Subhead(season_words(season.name))
            found = [stands_out(item) for item in season.standouts] or ["Nothing stood out from the rest."]
            yield from (Aside(text, "words") for text in found)


def season_changes(seen: Seen, shown: tuple[Season, ...]) -> tuple[Block, ...]:
    """Each season against the one before, the latest first; what chance alone could do is folded."""
    found: list[Block] = []
    for before, after in reversed(list(pairwise(shown))):
        compare = seen.facts.season.compare
        pairs = compare.between(before.name, after.name)
        rates = [item for item in compare.rates if (item.from_, item.to) == (before.name, after.name)]
        deaths = [deaths_compared(item) for item in rates if item.apart]
        apart = (*(compared(item) for item in pairs if item.apart), *deaths) or (NO_CHANGE,)
        same = (deaths_compared(item) for item in rates if not item.apart)
        rest = (*(compared(item) for item in pairs if not item.apart), *same)
        fold = (Fold("What chance alone could do", (Points(rest, "words"),)),) if rest else ()
        if pairs:
            both = f"{season_words(before.name)} and {season_words(after.name)}"
            found += (Subhead(both), Points(apart, "words"), *fold)
    return tuple(found) or (Aside("Two seasons are needed to compare.", "empty"),)


def index_table(shown: tuple[Season, ...], units: str) -> Table:
    """Every index of every season: counts, share, range."""
    columns = (Column("Counted"), *(Column(season_words(season.name)) for season in shown))
    names = [index.name for index in shown[-1].indices] if shown else []
    rows = [
        Row((index_words(name, units), *(index_view(name, season.index(name), units) for season in shown)))
        for name in names
    ]
    notes = (LinkView(f"notes of {season_words(season.name)}", notes_path(season.part)) for season in shown)
    return Table(columns, tuple(rows), "No season is written yet.", "indices", foot=("Behind it", *notes))


def index_words(name: str, units: str) -> str:
    """An index by its name; that of a weight says in which unit it is counted."""
    unit = f"{measures_of(units).unit_in_full.capitalize()}s"
    return local_all(INDEX_WORDS[name]).replace("Weight", unit) if name in WEIGHTS else local_all(INDEX_WORDS[name])


def index_view(name: str, share: Share, units: str) -> ShareView:
    """The share of an index, its counts alone while it still grows; a weight in the flock's unit, its sum to the tenth
    of the scale.
    """
    if share.value is None and share.of:
        return ShareView(f"{share.count} so far, {share.of} exposed", "", "", "")
    if name not in WEIGHTS or share.value is None:
        return share_view(share)
    each = measures_of(units).in_weight(share.value)
    return replace(share_view(replace(share, value=each)), part=f"{trimmed(each * share.of, 1)} for {share.of}")


def spread_table(shown: tuple[Season, ...]) -> Table:
    """From when to when each season lambed, and how many ewes in one and two heats."""
    columns = (
        Column("Season"),
        Column("First"),
        Column("Last"),
        Column("Days", "number"),
        Column(f"In {ONE_CYCLE} days"),
        Column(f"In {TWO_CYCLES} days"),
    )
    return Table(
        columns, tuple(spread_row(season) for season in shown if season.spread), "No ewe has lambed.", "spread"
    )


def spread_row(season: Season) -> Row:
    """One season's spread."""
    assert season.spread is not None
    found = season.spread
    ends: tuple[Cell, ...] = (day(found.first) or "", day(found.last) or "", found.days)
    return Row((season_words(season.name), *ends, share_view(found.in_one_cycle), share_view(found.in_two_cycles)))


PAGES = (PageMaker("seasons", make),)
NAVIGATION = (Link("Seasons side by side", PATH, "", "The year"),)
