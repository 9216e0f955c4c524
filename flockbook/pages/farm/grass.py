"""The grass page: where everyone is, what rests and until when, a year of paddocks by weeks, and every stay."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from compiler.book import PageMaker, Stamp
from compiler.nearness import plain
from compiler.pages import Html, Link, Page
from flockbook.derive.land.grazing import LOOSE, Grazing, Ground, Period
from flockbook.derive.land.weeks_grazed import by_week
from flockbook.derive.plain.days import WEEK_DAYS, YEAR
from flockbook.measures import measures_of, rounded
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.farm.farm_map import farm_map
from flockbook.pages.sections import Aside, Block, Section, SectionsView, Working
from flockbook.pages.views import Caution, Cell, Chart, Column, Row, Table, day, directory, reasons
from flockbook.pages.wording import NONE, and_listed, day_words, plural
from flockbook.regional import local, local_all
from flockbook.seen import Seen

PATH = "grass.html"
WIDE = 760.0  # the chart's width in its own units: a letter fits into the cell of one week
ROW = 26.0  # the height of one paddock in the chart
PRINTED_RULES = (
    "A stay is counted in nights: the day in counts, the day out does not. No source says which of the two should.",
    "A sheep stands where the last note put it: a move, a joining that names its paddock, a purchase, a draft into a "
    "mob that stands somewhere; a lamb lies where its dam does. Every sheep is one head, sucking lambs too.",
    f"Sheep-days are those of the last {YEAR.days} nights. The first day back is the day it was left and the rest that "
    "its own note asks for.",
)
NEVER_CLEAN = Caution(
    "Rested is not clean",
    (
        "Rest brings the grass back and lowers the number of worm larvae; they can outlive a winter. No paddock is "
        "called clean here. Dung counts and your vet decide what is dosed and when.",
    ),
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The grass page."""
    del stamp
    found = seen.facts.land.grazing
    drawn, farm = paddock_chart(seen), farm_map(seen, directory(seen.linked, seen.today))
    rests = (Aside("In nights. Each figure is the rest before sheep came back."), rests_table(found, seen.today.day))
    sections = (
        *((Section("The farm", (farm,), "farm"),) if farm else ()),
        Section("Where everyone is", (standing_table(seen), *nowhere(seen)), "where-head"),
        Section("Grazed and rested", (ground_table(found, seen.settings.units), local_all(NEVER_CLEAN)), "ground-head"),
        Section("Rest given, rest planned", rests, "rests-head"),
        *((Section("The year on the ground", (drawn,), "weeks-head"),) if drawn else ()),
        Section("How it is counted", (*local_all(PRINTED_RULES), *workings(found)), "how-head"),
    )
    yield Page(PATH, "sections.html", "Grass", SectionsView("", sections), "The farm")


def nowhere(seen: Seen) -> tuple[Block, ...]:
    """Living sheep of which no note says where they are."""
    found = seen.facts.land.grazing
    if not found.nowhere or not found.places:
        return ()
    words = f"No note says where {plural(len(found.nowhere), 'sheep', 'sheep')} stand."
    return words, directory(seen.linked, seen.today).tags(found.nowhere)


# Where everyone is


def standing_table(seen: Seen) -> Table:
    """Every mob on every paddock where it stands."""
    columns = (
        Column("Mob", sort=True),
        Column("Where", sort=True),
        Column("Sheep", "number"),
        Column("Since"),
        Column("Nights", "number"),
        Column("Move by"),
    )
    since = arrivals(seen)
    rows = [
        Row(
            (
                mob,
                ground.name,
                head,
                day(since[(key, mob)]) or NONE,
                (seen.today.day - since[(key, mob)]).days,
                move_by(ground),
            ),
        )
        for key, ground in seen.facts.land.grazing.ground.items()
        for mob, head in ground.standing
    ]
    rows.sort(key=lambda row: (row.cells[0] == LOOSE, plain(str(row.cells[0]))))
    return Table(columns, tuple(rows), "No move is written, so nobody knows where anybody stands.", "where")


def arrivals(seen: Seen) -> dict[tuple[str, str], date]:
    """Since when any sheep of a mob has stood on its paddock."""
    found: dict[tuple[str, str], date] = {}
    for sheep, at in seen.facts.land.grazing.places.items():
        key = (at.place, seen.linked.animals[sheep].mob_on(seen.today.day) or LOOSE)
        found[key] = min(at.since, found.get(key, at.since))
    return found


def move_by(ground: Ground) -> Cell:
    """The last day by the paddock's own limit, and by how much it is past."""
    if ground.leave_by is None:
        return NONE
    return (
        f"{day_words(ground.leave_by)}: {plural(ground.over, 'day')} over"
        if ground.over
        else (day(ground.leave_by) or NONE)
    )


# The ground


def ground_table(found: Grazing, units: str) -> Table:
    """Every paddock and pen: what it carries, how long it rested, when it may be grazed again."""
    area, per = measures_of(units).area_unit, measures_of(units).per_area(1.0)
    columns = (
        Column("Paddock"),
        Column("Now"),
        Column("Last left"),
        Column("Back from"),
        Column(f"Sheep-days per {area}", "number"),
    )
    rows = tuple(Row(ground_cells(ground, area, per)) for ground in sorted(found.ground.values(), key=ground_order))
    return Table(
        columns, rows, "No paddock is written yet: a note in `paddocks/` gives its area, rest and limit.", "ground"
    )


def ground_order(ground: Ground) -> tuple[bool, int, str]:
    """Order of the ground: the longest rested first, then what is being grazed."""
    return (ground.rested is None, -(ground.rested or 0), plain(ground.name))


def ground_cells(ground: Ground, area: str, per: float) -> tuple[Cell, ...]:
    """One paddock's cells; `area` is the flock's unit of area, `per` the same in hectares."""
    return (
        f"{ground.name}, {rounded(ground.area / per, 1)}\u00a0{area}" if ground.area else ground.name,
        now_words(ground, area, per),
        unbroken(day_words(ground.last_left)) if ground.last_left else NONE,
        back_from(ground),
        f"{ground.sheep_days:,.0f} in all"
        if ground.per_hectare is None
        else rounded(ground.per_hectare * per, 0, comma=True),
    )


def unbroken(text: str) -> str:
    """A short text that stays on one line in a narrow column."""
    return text.replace(" ", "\u00a0")


def now_words(ground: Ground, area: str, per: float) -> str:
    """Whether it is grazed, for how long, against which limit, and by how many to the hectare or acre."""
    if ground.now is None:
        return (
            f"rested {unbroken(plural(ground.rested, 'night'))}"
            if ground.rested is not None
            else "not grazed in these notes"
        )
    limit = f" of {ground.limit_days}" if ground.limit_days else ""
    dense = f", {rounded(ground.density * per, 1)}\u00a0per\u00a0{area}" if ground.density is not None else ""
    return f"grazed, {ground.now.nights}{limit} nights{dense}"


def back_from(ground: Ground) -> Cell:
    """The first day back."""
    if ground.return_from is None:
        return NONE if ground.now or not ground.periods else "no rest written"
    return day(ground.return_from) or NONE


# Rest given, rest planned


def rests_table(found: Grazing, today: date) -> Table:
    """Each paddock with a rest of its own: what was planned, what it was given in the last year, what fell short."""
    columns = (
        Column("Paddock"), Column("Planned", "number"), Column("Given, the last year", wide=True), Column("Too short"),
        Column("Now"),
    )  # fmt: skip
    planned = [ground for ground in found.ground.values() if ground.rest_days]
    rows = tuple(Row(rest_cells(ground, found.rests(ground, today))) for ground in planned)
    return Table(columns, rows, "No paddock's note says how long it should rest, such as “rest: 28 days”.", "rests")


def rest_cells(ground: Ground, given: tuple[int, ...]) -> tuple[Cell, ...]:
    """One paddock's cells, lengths in nights."""
    planned = ground.rest_days or 0
    short = [planned - nights for nights in given if nights < planned]
    words = ", ".join(map(str, given)) or "not grazed twice"
    most = f"by {'up to ' if len(short) > 1 else ''}{max(short)}" if short else ""
    times = f"{len(short)} of {len(given)}, {most}" if short else "never" if given else NONE
    now = "grazed" if ground.now else NONE
    if ground.rested is not None:
        now = f"{ground.rested} of {planned}" if ground.rested < planned else f"rested, {ground.rested}"
    return ground.name, planned, words, times, now


def workings(found: Grazing) -> tuple[Working, ...]:
    """The notes behind each paddock's last time of grazing."""
    return tuple(
        Working(f"{ground.name}: the notes of its last grazing", reasons(ground.because))
        for ground in found.ground.values()
        if ground.because
    )


# A year of weeks


def paddock_chart(seen: Seen) -> Chart | None:
    """Paddocks by weeks: the deeper the cell the more sheep-nights, with a letter for the mob that had most of them."""
    found = seen.facts.land.grazing
    keys = [key for key in found.ground if any((key, week) in found.grid for week in found.weeks)]
    if not keys:
        return None
    keys.sort(key=lambda key: found.ground[key].name, reverse=True)
    owners = main_mobs(seen)
    letters = letters_of(mob for mob, _ in Counter(owners.values()).most_common())
    figure = {
        "data": [
            {
                "type": "heatmap",
                "x": [week.isoformat() for week in found.weeks],
                "y": [found.ground[key].name for key in keys],
                "z": [[found.grid.get((key, week)) for week in found.weeks] for key in keys],
                "text": [[letters.get(owners.get((key, week), ""), "") for week in found.weeks] for key in keys],
                "zmin": 0,
            }
        ],
        "layout": {
            "title": {"text": "Paddocks by weeks"},
            "meta": {"says": "Which paddock was grazed in which week; the table below has every stay."},
            "xaxis": {"type": "date", "autorange": "reversed"},  # a phone opens at this week, by the names
            "yaxis": {"type": "category"},
        },
    }
    told = and_listed([f"{letter} {mob}" for mob, letter in letters.items()])
    note = "The latest week stands first. "
    note += f"A cell is a week, deeper with more sheep-nights; its letter is the mob that had most of them: {told}."
    svg = Html(draw(figure, "weeks", Sheet(WIDE, 50 + ROW * len(keys))))
    return Chart("weeks", "Paddocks by weeks, the last year", note, svg, stays_table(found), True)


def main_mobs(seen: Seen) -> dict[tuple[str, date], str]:
    """The mob that had the most sheep-nights on each ground in each week."""
    found = seen.facts.land.grazing
    nights: dict[tuple[str, date], Counter[str]] = {}
    for stint in found.stints:
        animal = seen.linked.animals[stint.sheep]
        for week, count in by_week(stint, found.weeks[0], seen.today.day):
            mob = animal.mob_on(max(week, stint.entered)) or LOOSE
            nights.setdefault((stint.place, week), Counter())[mob] += count
    return {cell: min(mobs, key=lambda mob: (-mobs[mob], mob)) for cell, mobs in nights.items()}


def letters_of(mobs: Iterable[str]) -> Mapping[str, str]:
    """A letter for each mob, the ones most seen first: the first of its own that is still free, else a figure."""
    found: dict[str, str] = {}
    for place, mob in enumerate(mobs):
        free = (letter.upper() for letter in mob if letter.isalpha() and letter.upper() not in found.values())
        found[mob] = next(free, str(place % 10))
    return found


def stays_table(found: Grazing) -> Table:
    """Every stay of the last year, the latest first."""
    columns = (
        Column("Paddock", sort=True),
        Column("Mob"),
        Column("In", sort=True),
        Column("Out"),
        Column("Nights", "number"),
        Column("Most sheep", "number"),
        Column("Sheep-days", "number"),
        Column("Rest before", "number"),
        Column(local("Sward")),
    )
    stays = [
        (ground, one)
        for ground in found.ground.values()
        for one in ground.periods
        if one.left is None or one.left > found.weeks[0] - timedelta(WEEK_DAYS)
    ]
    stays.sort(key=lambda stay: (stay[1].entered, stay[0].name), reverse=True)
    return Table(
        columns, tuple(Row(stay_cells(*stay)) for stay in stays), "Nothing was grazed in the last year.", "stays"
    )


def stay_cells(ground: Ground, one: Period) -> tuple[Cell, ...]:
    """One stay's cells; nights over the paddock's own limit are told beside the nights."""
    over = one.nights - ground.limit_days if ground.limit_days is not None else 0
    return (
        ground.name,
        and_listed(list(one.mobs)),
        day_words(one.entered),
        day_words(one.left) if one.left else "there now",
        f"{one.nights} ({over} over)" if over > 0 else one.nights,
        one.head,
        f"{one.sheep_days:,.0f}",
        rest_before(ground, one),
        "; ".join(one.swards) or NONE,
    )


def rest_before(ground: Ground, one: Period) -> str | int:
    """The nights of rest before a stay, against those planned where they fell short."""
    if one.rested is None:
        return NONE
    return f"{one.rested} of {ground.rest_days}" if one.rested < (ground.rest_days or 0) else one.rested


PAGES = (PageMaker("grass", make),)
NAVIGATION = (Link("Grass", PATH, "", "The farm"),)
