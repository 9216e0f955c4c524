"""The watch board: ewes in due order with what to fear, labours, newborns; the sheet for the shed; the forecast."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page
from flockbook.derive.due import DueRow
from flockbook.derive.gestation import watch_from
from flockbook.derive.labours import OpenLabour
from flockbook.derive.newborns import Newborn
from flockbook.pages.drawing import Sheet, draw
from flockbook.pages.seen import Seen
from flockbook.pages.views import Chart, Column, Directory, Row, Table, Tag, Words, day, directory, moment
from flockbook.pages.wording import MONTHS, day_words, plural

PATH, SHEET, FORECAST = "watch.html", "shed-sheet.html", "forecast.html"
SHEET_ROWS = 11  # rows of ten millimetres or more that one landscape sheet holds
AHEAD_DAYS = 21  # ewes due later than this are not watched for yet (our own choice)


@dataclass(frozen=True, slots=True)
class WatchView:
    """The board."""

    lead: str
    labours: Table
    limits: str
    board: Table
    newborns: Table
    owed: Table
    fosters: Table


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One row of the printed sheet; the blank columns are the template's."""

    sheep: Tag
    due: str
    lambs: str
    fear: str


@dataclass(frozen=True, slots=True)
class SheetView:
    """The printed sheet."""

    caption: str
    lines: tuple[SheetLine, ...]
    empty: str


@dataclass(frozen=True, slots=True)
class ForecastView:
    """Ewes expected by day and by week."""

    lead: str
    chart: Chart | None
    weeks: Table
    note: str


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """Board, sheet and forecast."""
    del stamp
    tags = directory(seen.linked, seen.today)
    rows = watched(seen)
    board = WatchView(
        lead(seen, rows), labours_table(seen.facts.labours, tags), limit_words(seen), board_table(seen, rows, tags),
        newborns_table(seen.facts.newborns, tags), owed_table(seen, tags), fosters_table(seen, tags),
    )  # fmt: skip
    yield Page(PATH, "watch.html", "Watch board", board)
    more = len(rows) - SHEET_ROWS
    rest = f" {more} more stand on the watch board." if more > 0 else ""
    caption = f"{seen.settings.flock}, {day_words(seen.today.day)}: rows in due order. Pencil now, notes later.{rest}"
    lines = tuple(sheet_line(seen, row, tags) for row in rows[:SHEET_ROWS])
    yield Page(SHEET, "shed-sheet.html", "Shed sheet", SheetView(caption, lines, "Nobody is due within three weeks."))
    yield Page(FORECAST, "forecast.html", "Forecast", forecast_view(seen))


def watched(seen: Seen) -> list[DueRow]:
    """The ewes due within three weeks, those past their day first of all."""
    last = seen.today.day + timedelta(days=AHEAD_DAYS)
    return [row for row in seen.facts.due.rows if row.due.p10 and row.due.p10 <= last]


def lead(seen: Seen, rows: list[DueRow]) -> str:
    """Who is to be watched, and from when."""
    if rows:
        return f"{plural(len(rows), 'ewe')} may lamb within three weeks. In due order; what to fear stands beside each."
    season = [item for item in seen.facts.matings.by_ewe.values() if item.season == seen.facts.due.season]
    if not season:
        return "No ewe is in lamb as far as the notes tell."
    return (
        f"Nobody is due within three weeks. Watch from {day_words(watch_from(min(item.first_in for item in season)))}."
    )


def labours_table(labours: tuple[OpenLabour, ...], tags: Directory) -> Table:
    """Labours that no lambing note has closed."""
    columns = (
        Column("Ewe"),
        Column("Since"),
        Column("Look again by"),
        Column("Step in by"),
        Column("Last looked"),
        Column("What shows"),
    )
    rows = [
        Row((
            tags.tag(item.ewe), moment(item.clock.since), moment(item.clock.look_again), moment(item.clock.step_in),
            moment(item.last_looked), item.shows,
        ))
        for item in labours
    ]  # fmt: skip
    return Table(columns, tuple(rows), "No ewe is in labour as far as the notes tell.")


def limit_words(seen: Seen) -> str:
    """The limits in force, where they come from, and whose word wins."""
    minutes = {name: seen.settings.figure(name) * 60 for name in ("look_again", "step_in", "call_vet")}
    vet = seen.settings.file.vet or "your vet"
    phone = f", {seen.settings.file.vet_phone}" if seen.settings.file.vet_phone else ""
    return (
        f"Look again {minutes['look_again']:.0f} minutes after the water bag, step in after {minutes['step_in']:.0f} "
        "without progress "
        f"({seen.settings.source('step_in')}); ring {vet}{phone} after {minutes['call_vet']:.0f} minutes of trying "
        "without progress. "
        "When in doubt, ring sooner: your vet's word goes before these limits."
    )


def board_table(seen: Seen, rows: list[DueRow], tags: Directory) -> Table:
    """Ewes in due order."""
    columns = (
        Column("Ewe"),
        Column("Most likely"),
        Column("8 times in 10 between", wide=True),
        Column("Lambs"),
        Column("What to fear", wide=True),
        Column("Mob"),
    )
    found = []
    for row in rows:
        item = row.due
        between = f"{day_words(item.p10)} and {day_words(item.p90)}" if item.p10 and item.p90 else ""
        late = "past her last day; " if row.odds.overdue else ""
        fear = late + "; ".join(seen.facts.fears.get(row.ewe, ()))
        mob = seen.linked.animals[row.ewe].mob_on(seen.today.day) or ""
        found.append(
            Row((tags.tag(row.ewe), day(item.likely) or "", Words(between), lambs_words(row), Words(fear), mob))
        )
    return Table(columns, tuple(found), "Nobody is due within three weeks.", "board")


def lambs_words(row: DueRow) -> str:
    """What the scan saw."""
    return {None: "not scanned", 1: "single", 2: "twins", 3: "triplets"}.get(row.lambs_scanned, str(row.lambs_scanned))


def newborns_table(newborns: tuple[Newborn, ...], tags: Directory) -> Table:
    """Colostrum by weight, and what is written as given by hand."""
    columns = (
        Column("Lamb"),
        Column("Dam"),
        Column("A feed", "number"),
        Column("In the first day", "number"),
        Column("Written as given", "number"),
        Column("First by"),
    )
    rows = [
        Row((
            tags.tag(item.lamb.id), tags.tag(item.lamb.dam or ""),
            f"{item.need.feed_ml:.0f} mL" if item.need else "not weighed",
            f"{item.need.day_ml:.0f} mL" if item.need else "",
            f"{item.recorded_ml:.0f} mL" if item.recorded_ml else "none by hand",
            moment(item.first.by) if item.first else "",
        ))
        for item in newborns
    ]  # fmt: skip
    return Table(columns, tuple(rows), "No lamb was born in the last two days.")


def owed_table(seen: Seen, tags: Directory) -> Table:
    """What is still owed after the births of the last two days, as far as the notes tell."""
    rows = [
        Row((tags.tag(item.sheep), item.what, moment(item.by) if item.by else "")) for item in seen.facts.open_items
    ]
    return Table(
        (Column("Sheep"), Column("What", wide=True), Column("By")),
        tuple(rows),
        "Nothing is owed to a newborn or its dam.",
    )


def fosters_table(seen: Seen, tags: Directory) -> Table:
    """Lambs reared by another ewe this season; the dam that bore them stays their dam."""
    season = max((birth.season for birth in seen.facts.lambings), default=0)
    lambs = [lamb for birth in seen.facts.lambings if birth.season == season for lamb in birth.lambs if lamb.reared_by]
    rows = [Row((tags.tag(lamb.id), tags.tag(lamb.dam or ""), tags.tag(lamb.reared_by or ""))) for lamb in lambs]
    return Table(
        (Column("Lamb"), Column("Born to"), Column("Reared by")), tuple(rows), "No lamb is fostered this season."
    )


def sheet_line(seen: Seen, row: DueRow, tags: Directory) -> SheetLine:
    """One row of the printed sheet."""
    shown = f"{row.due.likely.day} {MONTHS[row.due.likely.month - 1]}" if row.due.likely else ""
    return SheetLine(tags.tag(row.ewe), shown, lambs_words(row), "; ".join(seen.facts.fears.get(row.ewe, ())))


def forecast_view(seen: Seen) -> ForecastView:
    """Ewes expected by day, with the band in which the count falls eight times in ten."""
    found = seen.facts.forecast
    busiest = found.busiest
    lead_words = (
        f"About {found.total:.0f} ewes still to lamb; most on {day_words(busiest.day)}, about {busiest.expected:.1f} "
        "that day."
        if busiest
        else "No ewe is in lamb as far as the notes tell."
    )
    columns = (Column("Week from"), Column("Ewes expected", "number"), Column("Share lambed by its end", "number"))
    weeks = [
        Row((day(item.span.first) or "", f"{item.expected:.1f}", f"{item.share_by_end * 100:.0f}\u00a0%"))
        for item in found.weeks
        if item.expected >= 0.05
    ]
    note = "Ewes are taken one by one; weather or feed that shifts all of them together is not in the band."
    return ForecastView(
        lead_words, chart(seen) if busiest else None, Table(columns, tuple(weeks), "Nobody is due."), note
    )


def chart(seen: Seen) -> Chart:
    """Bars by day with the band, and today's line where it falls among them."""
    days = [item for item in seen.facts.forecast.days if item.expected >= 0.005]
    first, last = days[0].day, days[-1].day
    shapes = today_line(seen.today.day) if first <= seen.today.day <= last else []
    figure = {
        "data": [
            {
                "type": "bar", "name": "ewes expected", "x": [item.day.isoformat() for item in days],
                "y": [round(item.expected, 3) for item in days],
                "error_y": {"type": "data", "symmetric": False, "array": [max(0.0,
                item.high - item.expected) for item in days], "arrayminus": [max(0.0,
                item.expected - item.low) for item in days]},
            }
        ],
        "layout": {
            "title": "Ewes expected to lamb, by day",
            "meta": {"says": f"bars from {day_words(first)} to {day_words(last)}; lines show where the count falls "
                "eight times in ten"},
            "xaxis": {"type": "date", "title": "day"}, "yaxis": {"title": "ewes"}, "shapes": shapes,
        },
    }  # fmt: skip
    columns = (Column("Day"), Column("Expected", "number"), Column("Low", "number"), Column("High", "number"))
    rows = tuple(Row((day(item.day) or "", f"{item.expected:.2f}", item.low, item.high)) for item in days)
    svg = Html(draw(figure, "forecast", Sheet(800, 220)))
    return Chart(
        "forecast-chart",
        "Ewes expected to lamb, by day",
        "the lines: 8 times in 10",
        svg,
        Table(columns, rows, ""),
        wide=True,
    )


def today_line(on: date) -> list[dict[str, object]]:
    """The line of the day asked about."""
    return [
        {"type": "line", "name": "today", "x0": on.isoformat(), "x1": on.isoformat(), "y0": 0, "y1": 1, "yref": "paper"}
    ]


PAGES = (PageMaker("watch board", make),)
NAVIGATION = (
    Link("Watch", PATH, ""),
    Link("Forecast", FORECAST, "", "The season"),
    Link("Shed sheet", SHEET, "", "On paper"),
)
