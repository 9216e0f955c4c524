"""The due list: window, likely day, chance of being barren, and what it rests on; who is expected no longer; and the
days that follow from each joining.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import replace
from flockbook.derive.breeding.due import DueRow, NotExpected, WhyNot
from flockbook.derive.breeding.joining_dates import EWES_A_RAM, EWES_A_RAM_LAMB, JoiningDates
from flockbook.derive.family.family import close_pairs
from flockbook.derive.plain.numbers import days_words
from flockbook.derive.year.owings import PastLastDay
from flockbook.measures import in_hundred
from flockbook.pages.breeding.forecast import PATH as FORECAST
from flockbook.pages.breeding.forecast import births_chart, drawn_days
from flockbook.pages.sections import Block, Pager, Section, SectionsView, how_worked_out
from flockbook.pages.views import (
    FIRST,
    SPARE,
    Cell,
    Column,
    Day,
    Directory,
    PageLink,
    Pair,
    Row,
    Table,
    Words,
    WorkingStep,
    day,
    directory,
    reasons,
)
from flockbook.pages.wording import (
    and_listed,
    chance_words,
    day_span_words,
    day_words,
    plural,
    short_day_words,
    short_days_words,
)
from flockbook.records.breeding import Joining
from flockbook.regional import local, local_all
from flockbook.saying.breeding import NOT_EXPECTED, over_words
from flockbook.seen import Seen

PATH = "due.html"
BASIS_SHORT = {"service": "service seen", "mark": "mark", "joining": "joining only", "scan": "scan"}
BASIS_WORDS = {
    "service": "a service that was seen",
    "mark": "a mark",
    "joining": "the joining alone",
    "scan": "the scan",
}

# What a published guide has, beside a joining with more ewes.
RAM_GUIDE = f"Univ. of Wyoming Extension 2017: {EWES_A_RAM} a grown ram, {EWES_A_RAM_LAMB} a ram lamb"


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    tags = directory(seen.linked, seen.today)
    rows = seen.facts.breeding.due.rows
    ahead = [row for row in rows if not row.odds.overdue]
    running = [item for item in seen.facts.breeding.joinings if item.lambs.last >= seen.today.day]
    gone, heats = seen.facts.breeding.due.not_expected, heats_table(running, tags)
    nothing = [item for item in gone if item.why is not WhyNot.PAST_LAST_DAY]
    steps, chart = due_steps(rows, gone, running), forecast_chart(seen)
    sections = (
        *late_first(past_table(seen, tags), due_table(ahead, tags, seen.today.day)),
        *((Section("By day", chart, "by-day"),) if chart else ()),
        Section("No longer expected", (not_lambing_table(nothing, tags),), "gone"),
        *((Section("May come round again", (heats,), "heats"),) if heats else ()),
        Section("From ram in to lambs", (joinings_table(running, seen, tags), *how_worked_out(steps)), "joinings"),
    )
    yield Page(PATH, "sections.html", "Who is due", SectionsView(lead(seen), sections))


def late_first(past: Table, ahead: Table) -> tuple[Section, Section]:
    """Those past their last day, where there are any, before those in due order."""
    late, in_order = Section("Past their last day", (past,), "late"), Section("In due order", (ahead,), "in-order")
    return (late, in_order) if past.rows else (in_order, late)


def lead(seen: Seen) -> str:
    """How many, and from when to when."""
    rows = [row for row in seen.facts.breeding.due.rows if row.due.likely]
    if not rows:
        late = len(past_owed(seen))
        past = f"Nobody is expected any more; {plural(late, 'ewe is', 'ewes are')} past the last day, and no note says "
        return f"{past}what came." if late else "No ewe is in lamb as far as the notes tell."
    expected = sum(1 - row.due.barren_chance for row in rows)
    first, last = rows[0].due.likely, rows[-1].due.likely
    days = f", {short_days_words(first, last)}" if first and last else ""
    return f"{plural(len(rows), 'ewe')} still to lamb, about {expected:.0f} will{days}."


def past_owed(seen: Seen) -> list[tuple[str, PastLastDay]]:
    """The ewes past their last day of whom no note says what came, as Today has them."""
    items = (item for row in seen.facts.year.owed.rows for item in row.items)
    return [(sheep, item.what) for item in items if isinstance(item.what, PastLastDay) for sheep in item.sheep]


def past_table(seen: Seen, tags: Directory) -> Table:
    """Who should have lambed, since when, and what a scan saw."""
    columns = (Column("Ewe", sort=True), Column("Last day", sort=True), Column("Over", sort=True), Column("Scanned"))
    rows = [
        Row((tags.tag(ewe), day(what.last) or "", days_words(what.days), lambs_seen_words(what.scanned)))
        for ewe, what in past_owed(seen)
    ]
    return Table(columns, tuple(rows), "Nobody is past her last day.", "past")


def lambs_seen_words(lambs: int | None) -> str:
    """What a scan saw."""
    return "not scanned" if lambs is None else plural(lambs, "lamb")


def forecast_chart(seen: Seen) -> tuple[Block, ...]:
    """The forecast's picture; its figures, and the weeks, stand on the page of the forecast."""
    drawn = births_chart(seen, drawn_days(seen))
    figures = Pager((PageLink("The figures, day by day and week by week", FORECAST),))
    return (replace(drawn, table=None), figures) if drawn else ()


def due_table(rows: Iterable[DueRow], tags: Directory, today: date) -> Table:
    """One row for each ewe that may lamb."""
    columns = (
        Column("Ewe", sort=True), Column("Most likely", sort=True, looks=FIRST), Column("8 times in 10"),
        Column("Window", looks=SPARE), Column(local("Barren"), "number", looks=SPARE), Column("Rests on"),
        Column("Rams"),
    )  # fmt: skip
    return Table(columns, tuple(due_row(row, tags, today) for row in rows), "Nobody is due.", "due", lines=True)


def likely_cell(row: DueRow, today: date) -> Cell:
    """The day on which a ewe is most likely to lamb; once that is past how many days she is over."""
    over = over_words(row, today)
    likely = row.due.likely
    return Words(over) if over else Day(likely.isoformat(), short_day_words(likely)) if likely else "–"


def due_pairs(row: DueRow, today: date) -> Iterator[Pair]:
    """When a ewe is due, for a look at her."""
    item = row.due
    yield Pair("Most likely to lamb", likely_cell(row, today))
    if item.p10 and item.p90:
        yield Pair("8 times in 10", day_span_words(item.p10, item.p90))
    if item.earliest and item.latest:
        yield Pair("Possible", day_span_words(item.earliest, item.latest))
    yield Pair(local("Chance barren"), chance_words(item.barren_chance))
    yield Pair("Rests on", local_all(BASIS_WORDS.get(item.basis.value, item.basis.value)))


def due_row(row: DueRow, tags: Directory, today: date) -> Row:
    """One ewe."""
    item = row.due
    middle = short_days_words(item.p10, item.p90) if item.p10 and item.p90 else "–"
    window = short_days_words(item.earliest, item.latest) if item.earliest and item.latest else "–"
    barren = f"{in_hundred(item.barren_chance)} in 100"
    rests = local_all(BASIS_SHORT.get(item.basis.value, item.basis.value))
    rams = ram_words(row.rams, tags)
    return Row((tags.tag(row.ewe), likely_cell(row, today), middle, window, barren, rests, rams))


def ram_words(rams: tuple[str, ...], tags: Directory) -> str:
    """Rams in running text."""
    names = [tag.name or tag.tag for tag in map(tags.tag, rams)]
    return and_listed(names) if names else "not known"


def not_lambing_table(items: Iterable[NotExpected], tags: Directory) -> Table:
    """Ewes put to the ram that will not lamb, and why."""
    rows = [Row((tags.tag(item.ewe), NOT_EXPECTED[item.why], day(item.since) or "")) for item in items]
    return Table(
        (Column("Ewe"), Column("Why"), Column("Since")), tuple(rows), "No ewe has left the list but by lambing."
    )


def joinings_table(items: Iterable[JoiningDates], seen: Seen, tags: Directory) -> Table:
    """The days that follow from each joining that still runs."""
    marked = any(event.lines for event in seen.linked.of(Joining))
    columns = (
        Column("Rams"), Column("In and out"), Column("Ewes"), *((Column("Crayon"),) if marked else ()),
        Column("Scan"), Column("Watch from"), Column("Lambs"), Column("Close kin"),
    )  # fmt: skip
    rows = [
        Row((
            ram_words(item.rams, tags), stay_words(item), ewes_a_ram(item),
            *((and_listed([short_day_words(one) for one in item.crayons]) or "–",) if marked else ()),
            day_span_words(item.scan.first, item.scan.last) if item.scan else local("too long a joining for one scan"),
            day(item.watch_from) or "", day_span_words(item.lambs.first, item.lambs.last),
            kin_words(item, seen, tags),
        ))
        for item in items
    ]  # fmt: skip
    return Table(columns, tuple(rows), local("No joining is running."))


def kin_words(item: JoiningDates, seen: Seen, tags: Directory) -> str:
    """The ewes of a joining whose lambs would be over the flock's limit of inbreeding, and how much."""
    limit = seen.settings.figure("inbreeding_limit")
    pairs = close_pairs(seen.facts.family.kin, item.rams, item.ewes, limit)
    return and_listed([f"{ram_words((pair.ewe,), tags)} ({pair.inbreeding:.1%})" for pair in pairs]) or "–"


def ewes_a_ram(item: JoiningDates) -> str:
    """34; 70, 35 a ram; and where they are more than a published guide has for these rams, that guide."""
    ewes, rams = len(item.ewes), len(item.rams)
    each = f", {ewes / rams:.0f} a ram" if rams > 1 else ""
    return f"{ewes}{each}{over_guide(item)}"


def over_guide(item: JoiningDates) -> str:
    """That the ewes are more than a published guide has for the rams; "" where they are not."""
    if not item.ewes_served or len(item.ewes) <= item.ewes_served:
        return ""
    return f", more than published for {'them' if len(item.rams) > 1 else 'him'} ({RAM_GUIDE})"


def stay_words(item: JoiningDates) -> str:
    """When the rams went in and came out, or are to."""
    if item.planned:
        return f"planned: {day_span_words(item.ram_in, item.ram_out) if item.ram_out else day_words(item.ram_in)}"
    if item.by_hand:
        return f"{day_words(item.ram_in)}, {local('served')} by hand"
    if item.ram_out:
        return day_span_words(item.ram_in, item.ram_out)
    if item.told_out:
        return f"{day_words(item.ram_in)}, drafted away or gone on {day_words(item.told_out)}: write the day out"
    still = f"still in for all the notes say, {plural(item.still_in or 0, 'day')}"
    return f"{day_words(item.ram_in)}, {still}{': write the day out' if item.too_long_in else ''}"


def heats_table(items: Iterable[JoiningDates], tags: Directory) -> Table | None:
    """Marked ewes that may yet come round; None when nobody can."""
    rows = [
        Row((tags.tag(heat.ewe), day(heat.mark) or "", day(heat.day) or "", short_days_words(heat.band.first,
        heat.band.last)))
        for item in items for heat in item.next_heats
    ]  # fmt: skip
    columns = (Column("Ewe"), Column("Last mark"), Column("Next heat, if she did not hold"), Column("Between"))
    return Table(columns, tuple(rows), "") if rows else None


def due_steps(
    rows: tuple[DueRow, ...], gone: tuple[NotExpected, ...], running: list[JoiningDates]
) -> tuple[WorkingStep, ...]:
    """The model's figures once, then what the notes say of each joining and each ewe."""
    told = (*(row.because for row in rows), *(item.because for item in gone), *(item.because for item in running))
    steps = [step for because in told for step in because]
    model = dict.fromkeys(item for item in steps if item.rule == "model")
    others = dict.fromkeys(item for item in steps if item.rule != "model")
    return (*reasons(model), *reasons(others))


PAGES = (PageMaker("due list", make),)
NAVIGATION = (Link("Due", PATH, "due"),)
