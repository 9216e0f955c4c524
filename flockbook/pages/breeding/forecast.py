"""The forecast: how many ewes lambed and how many to expect, day by day and week by week."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date, timedelta

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page
from flockbook.derive.breeding.lambing_odds import ForecastDay
from flockbook.measures import in_hundred
from flockbook.pages.chart.drawing import draw
from flockbook.pages.sections import Aside, Section, SectionsView
from flockbook.pages.views import Chart, Column, Row, Table, day
from flockbook.pages.wording import day_words, plural, short_days_words
from flockbook.seen import Seen

PATH = "forecast.html"
LEAST_DAY, LEAST_WEEK = 0.005, 0.05  # less than this many ewes in a day (a week) is not drawn (our own choice)
ONE_BY_ONE = (
    "Ewes are taken one by one: weather, feed or a ram that failed would shift many of them together, and that is not "
    "in the range. Overdue and empty ewes are not in it either."
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    days = drawn_days(seen)
    drawn = births_chart(seen, days)
    sections = (
        *((Section("By day", (drawn,), "by-day"),) if drawn else ()),
        Section("By week", (weeks(seen), Aside(ONE_BY_ONE)), "by-week"),
    )
    yield Page(PATH, "sections.html", "Forecast", SectionsView(lead(seen), sections))


def lead(seen: Seen) -> str:
    """How many are still to come, and the busiest day."""
    found = seen.facts.breeding.forecast
    busiest = found.busiest
    if busiest is None:
        late = sum(row.odds.overdue for row in seen.facts.breeding.due.rows)
        past = f"Nobody is expected any more; {plural(late, 'ewe is', 'ewes are')} past their last day."
        return past if late else "No ewe is in lamb as far as the notes tell."
    lambed = len(seen.facts.breeding.due.lambed)
    done = f"{plural(lambed, 'ewe has', 'ewes have')} lambed. " if lambed else ""
    return (
        f"{done}About {found.total:.0f} still to lamb. The busiest day is {day_words(busiest.day)}: "
        f"{band_in_words(busiest)} that day, eight times in ten."
    )


def band_in_words(item: ForecastDay) -> str:
    """How many in a day: 0 to 3 ewes."""
    if item.low == item.high:
        return plural(item.low, "ewe")
    return f"{item.low} to {plural(item.high, 'ewe')}"


def drawn_days(seen: Seen) -> list[ForecastDay]:
    """The days on which anything is to be expected."""
    return [item for item in seen.facts.breeding.forecast.days if item.expected >= LEAST_DAY]


def lambed_by_day(seen: Seen) -> Counter[date]:
    """Births of the running season, by day."""
    season = seen.facts.breeding.due.season
    births = seen.facts.lambing.births
    return Counter(birth.event.date for birth in births if birth.season == season and birth.event.date)


def births_chart(seen: Seen, days: list[ForecastDay]) -> Chart | None:
    """Bars of the births that were and of those expected, with the range of each day to come."""
    if not days:
        return None
    born = lambed_by_day(seen)
    svg = Html(draw(forecast_figure(seen, days, born), "forecast"))
    note = "The shade shows where the count of a day falls eight times in ten."
    return Chart("forecast-chart", "Ewes lambing, by day", note, svg, day_table(days, born))


def forecast_figure(seen: Seen, days: list[ForecastDay], born: Counter[date]) -> dict[str, object]:
    """The figure as plain values: the band first, so that the bars stand before it."""
    first, last = min([*born, days[0].day]), days[-1].day
    bars = [bar("lambed", {one: born[one] for one in sorted(born)}, 2)] if born else []
    bars.append(bar("expected", {item.day: round(item.expected, 3) for item in days}, 1))
    said = f"from {day_words(first)} to {day_words(last)}; {sum(born.values())} lambed"
    return {
        "data": [*band_shade(days), *bars],
        "layout": {
            "title": "Ewes lambing, by day",
            "meta": {"says": f"{said}; bars of days to come show the ewes expected, the shade the range"},
            "xaxis": {"type": "date"},
            "yaxis": {"title": "ewes"},
            "barmode": "stack",
            "shapes": today_line(seen.today.day) if first < seen.today.day <= last else [],
        },
    }


def bar(name: str, counts: dict[date, float], colour: int) -> dict[str, object]:
    """One row of bars."""
    return {
        "type": "bar",
        "name": name,
        "x": [one.isoformat() for one in counts],
        "y": list(counts.values()),
        "meta": {"ink": colour},
    }


def band_shade(days: list[ForecastDay]) -> list[dict[str, object]]:
    """The 80 % band of every day as a shade, each step as wide as its day."""
    edges = [*(item.day for item in days), days[-1].day + timedelta(1)]
    x = [f"{one - timedelta(1)}T12:00" for one in edges]
    line = {"width": 0, "shape": "hv"}
    shared = {"type": "scatter", "mode": "lines", "x": x, "line": line, "showlegend": False, "meta": {"ink": 4}}
    low, high = [item.low for item in days], [item.high for item in days]
    return [
        {**shared, "name": "low", "y": [*low, low[-1]]},
        {**shared, "name": "high", "y": [*high, high[-1]], "fill": "tonexty"},
    ]


def today_line(on: date) -> list[dict[str, object]]:
    """The line of the day asked about, before its bar."""
    at = f"{on - timedelta(1)}T12:00"
    line = {"type": "line", "name": "today", "x0": at, "x1": at, "y0": 0, "y1": 1, "yref": "paper"}
    return [{**line, "label": {"text": "today"}}]


def day_table(days: list[ForecastDay], born: Counter[date]) -> Table:
    """The figures of the chart."""
    columns = (Column("Day"), Column("Lambed", "number"), Column("Expected", "number"), Column("8 times in 10"))
    coming = {item.day: item for item in days}
    rows = [
        Row((day(one) or "", born[one] or "", *expected_cells(coming.get(one)))) for one in sorted({*born, *coming})
    ]
    return Table(columns, tuple(rows), "")


def expected_cells(item: ForecastDay | None) -> tuple[str, str]:
    """What is expected of a day, and its range."""
    return (f"{item.expected:.2f}", band_in_words(item)) if item else ("", "")


def weeks(seen: Seen) -> Table:
    """Week by week, with the births of the weeks gone by."""
    found, born = seen.facts.breeding.forecast, lambed_by_day(seen)
    lambed, rows = sum(born.values()), []
    for one in earlier_weeks(seen, born):
        count = sum(born[day_] for day_ in born if one <= day_ < one + timedelta(7))
        rows.append(Row((short_days_words(one, one + timedelta(6)), count or "", "", "")))
    for item in found.weeks:
        count = sum(born[day_] for day_ in born if day_ in item.span)
        if item.expected >= LEAST_WEEK or count:
            by_end = sum(born[day_] for day_ in born if day_ <= item.span.last)
            share = (by_end + found.total * item.share_by_end) / (lambed + found.total) if found.total else 1.0
            span = short_days_words(item.span.first, item.span.last)
            rows.append(Row((span, count or "", f"{item.expected:.1f}", f"{in_hundred(share)} in 100")))
    columns = (
        Column("Week"),
        Column("Lambed", "number"),
        Column("Still expected", "number"),
        Column("Will have lambed by its end", "number"),
    )
    return Table(columns, tuple(rows), "Nobody is due.")


def earlier_weeks(seen: Seen, born: Counter[date]) -> list[date]:
    """First days of the weeks of births that lie before the forecast's first."""
    spans = [item.span.first for item in seen.facts.breeding.forecast.weeks]
    if not spans or not born:
        return []
    back = -(-max(0, (spans[0] - min(born)).days) // 7)
    return [spans[0] - timedelta(7 * place) for place in range(back, 0, -1)]


PAGES = (PageMaker("forecast", make),)
NAVIGATION = (Link("Forecast", PATH, "", "Lambing"),)
