"""The lamb crop of a season: every lamb with its dam, sire, weights, gain and fate, and the births by one thing and
another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.lambing.birth_lines import BirthLines
from flockbook.derive.lambing.birth_spread import LitterWeights, birth_spread
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import Breakdown, litter_label
from flockbook.derive.lambing.newborn import BirthWeight
from flockbook.derive.season.seasons import Season
from flockbook.derive.weights.gains import Growth, birth_weight
from flockbook.derive.weights.weaning import WEANED_RULE
from flockbook.flock import Animal, gone, nurse_of
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.sections import Aside, Block, Pager, Section, SectionsView, Subhead, Tally
from flockbook.pages.telling.sentences import stands_out
from flockbook.pages.views import (
    Caution,
    Cell,
    Column,
    Count,
    Day,
    Directory,
    PageLink,
    Row,
    Table,
    directory,
    share_view,
)
from flockbook.pages.wording import day_words, gain_words, plural, short_day_words, weight_words
from flockbook.records import lamb_line
from flockbook.records.health import Death
from flockbook.records.trade import Sale
from flockbook.regional import local, local_all
from flockbook.saying.newborns import birth_lines_words
from flockbook.saying.season import season_words
from flockbook.seen import Seen

ALL_SEASONS = "seasons.html"
CROP_HEADINGS = {1: "Singles", 2: "Twins", 3: "Triplets"}
NEW_LAMBING = Caution(
    "Mind yourself at lambing",
    (
        "Anyone who is or may be pregnant keeps away from lambing ewes, newborn lambs and afterbirth, and from clothes "
        "worn among them. Gloves for every ewe that slips her lambs, and ring your vet.",
    ),
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """One page for each season that has lambed."""
    del stamp
    where = directory(seen.linked, seen.today)
    for season in seen.facts.season.seasons:
        if season.births:
            seat = Seat(crop_path(season.part), f"Lamb crop of {season_words(season.name)}", "Seasons side by side")
            lambs, more = over_pages(lamb_table(seen, season, where), seat)
            yield Page(seat.path, "sections.html", seat.title, view_of(seen, season, lambs), seat.section)
            yield from more


def crop_path(part: str) -> str:
    """Where a crop's page stands."""
    return f"crop-{part}.html"


def view_of(seen: Seen, season: Season, lambs: Table) -> SectionsView:
    """The view of one crop."""
    others = [
        PageLink(season_words(item.name), crop_path(item.part), item is season)
        for item in seen.facts.season.seasons
        if item.births
    ]
    groups = tuple(block for item in season.breakdowns if len(item.parts) > 1 for block in births_grouped(item))
    return SectionsView(
        lead(season),
        (
            Section("The lambs", (lambs, weights_told(seen, season), local_all(NEW_LAMBING)), "lambs-head"),
            Section("The same births, looked at by one thing and another", groups, "groups"),
        ),
        (
            Tally(crop_counts(season)),
            *(Aside(stands_out(item), "words") for item in season.standouts),
            Aside(WEANED_RULE),
        ),
        (Pager((*others, PageLink("Seasons side by side", ALL_SEASONS))),),
    )


def lead(season: Season) -> str:
    """From when to when, and whether it is over."""
    if season.spread is None:
        return ""
    ewes = f"{season.counts.lambed} of {plural(season.counts.exposed, 'ewe')} exposed have lambed"
    days = f"from {day_words(season.spread.first)} to {day_words(season.spread.last)}"
    return f"{ewes}, {days}." + (" More may still lamb." if season.running else "")


def crop_counts(season: Season) -> tuple[Count, ...]:
    """The counts that are read first."""
    counts = season.counts
    lost = sum(count for stage, count in counts.dead_by_stage.items() if stage not in ("scan to birth", "born dead"))
    return (
        Count(str(counts.born), "lambs born"),
        Count(str(counts.alive), "born alive"),
        Count(str(lost), "lost before weaning"),
        Count(str(counts.weaned) if counts.fate_known else "–", "weaned"),
        Count(str(counts.helped), "births helped"),
    )


def lamb_table(seen: Seen, season: Season, where: Directory) -> Table:
    """Every lamb, in order of birth; the year stands in the page's heading."""
    unit, gain = seen.settings.measures.weight_unit, seen.settings.measures.small_unit
    columns = (
        Column("Lamb", sort=True),
        Column("Dam", sort=True),
        Column("Sire", sort=True),
        Column("Born", sort=True),
        Column("As"),
        Column("Birth", "number", sort=True),
        Column("Last", "number", sort=True),
        Column("A day", "number", sort=True),
        Column("Fate", wide=True),
    )
    rows = [Row(crop_lamb_cells(seen, lamb, birth, where)) for birth in season.births for lamb in birth.lambs]
    caption = f"Weights at birth and last in {unit}, gain in {gain} a day."
    return Table(
        columns, tuple(rows), "The lambs are still to be written.", "lambs", caption, filter="Lamb, dam or ram"
    )


def weights_told(seen: Seen, season: Season) -> str:
    """How the birth weights lie, a sentence for each litter size, and the lines' source; then what is written."""
    lines, units = seen.facts.lambing.birth_lines, seen.settings.units
    told = [litter_words(item, units) for item in birth_spread(season.births, lines)]
    weighed = ["At birth.", *told, birth_lines_words(lines, units)] if told else ["No birth weight is written."]
    return " ".join([*weighed, *written_of(season)])


def written_of(season: Season) -> Iterator[str]:
    """`Written of the lambs: 6 helped, 3 tubed, 2 weak.`: every word of their lines that can be counted."""
    words = lamb_line.lambs_with_word(line for birth in season.births for line in birth.event.lines)
    told = [f"{count} {word}" for word, count in sorted(words.items(), key=lambda item: (-item[1], item[0]))]
    if told:
        yield f"Written of the lambs: {', '.join(told)}."


def litter_words(item: LitterWeights, units: str) -> str:
    """`Singles: 16 weighed, the middle one 5.2 kg, eight in ten from 4.6 kg to 6.0 kg; none light, 5 heavy.`"""
    name = CROP_HEADINGS.get(item.size, f"Litters of {item.size}")
    span = f"from {weight_words(item.low, units)} to {weight_words(item.high, units)}"
    most = f"all {span}" if item.few else f"eight in ten {span}"
    flags = f"{item.light or 'none'} light, {item.heavy or 'none'} heavy"
    return f"{name}: {item.weighed} weighed, the middle one {weight_words(item.middle, units)}, {most}; {flags}."


def weight_flag(kg: float | None, lines: BirthLines) -> str:
    """`, light` or `, heavy`, by the lines in force."""
    line = lines.of(kg) if kg else BirthWeight.USUAL
    return "" if line is BirthWeight.USUAL else f", {line.value}"


def crop_lamb_cells(seen: Seen, lamb: Animal, birth: LambingFact, where: Directory) -> tuple[Cell, ...]:
    """One lamb's row."""
    units, grown = seen.settings.units, seen.facts.weights.gains.get(lamb.id)
    weight, lines = birth_weight(lamb), seen.facts.lambing.birth_lines
    return (
        where.tag(lamb.id),
        where.tag(birth.ewe) if birth.ewe else "not found",
        sires_cell(seen, birth),
        short_day(birth.event.date).text if birth.event.date else "",
        f"{litter_label(birth).removesuffix('s')}{', ' + lamb.sex if lamb.sex else ''}{weight_flag(weight, lines)}",
        bare_figure(weight_words(weight, units)),
        bare_figure(crop_weight(grown, units)),
        bare_figure(gain_words(grown.adg if grown else None, units)),
        lamb_fate(seen, lamb, where),
    )


def bare_figure(words: str) -> str:
    """A figure whose unit stands at the head of its column."""
    return words.split("\u00a0")[0]


def short_day(value: date) -> Day:
    """A day without its year."""
    return Day(value.isoformat(), short_day_words(value))


def sires_cell(seen: Seen, birth: LambingFact) -> str:
    """The ram, or the rams it could be."""
    return " or ".join(seen.linked.animals[ram].called for ram in birth.sires) or "not known"


def crop_weight(grown: Growth | None, units: str) -> str:
    """The last weight that was not asked about."""
    sure = [weight for weight in grown.weights if weight.sure] if grown else []
    return weight_words(sure[-1].kg, units) if sure else ""


def lamb_fate(seen: Seen, lamb: Animal, where: Directory) -> str:
    """What became of a lamb."""
    left = gone(lamb, seen.today)
    nurse = seen.linked.animals.get(nurse_of(lamb, seen.today) or "")
    reared = f", reared by {nurse.called}" if nurse else ""
    if left is None:
        return f"{lamb.mob_on(where.today.day) or 'here'}{reared}"
    if left.how == "born dead":
        return "born dead"
    note = left.note
    if isinstance(note, Death):
        return f"died {day_spoken(left.date, lamb)}, {(note.cause or 'cause not written').lower()}{reared}"
    use = f", {note.use}" if isinstance(note, Sale) and note.use else ""
    return f"sold {day_spoken(left.date, lamb)}{use}{reared}"


def day_spoken(value: date, lamb: Animal) -> str:
    """A day, with its year only where that is not the year of birth."""
    same = lamb.birthday is not None and lamb.birthday.year == value.year
    return short_day(value).text if same else day_words(value)


def births_grouped(item: Breakdown) -> tuple[Block, ...]:
    """The births by one thing: counts always, a share only where there are enough."""
    columns = (
        Column(item.by.capitalize()),
        Column("Births", "number"),
        Column("Helped"),
        Column("Lambs lost so far"),
        Column(local("Lay wrong")),
    )
    rows = [
        Row((part.label, part.births, share_view(part.helped), share_view(part.lost), share_view(part.malpresented)))
        for part in item.parts
    ]
    return Subhead(f"By {item.by}"), Table(columns, tuple(rows), "")


PAGES = (PageMaker("lamb crops", make),)
NAVIGATION: tuple[Link, ...] = ()
