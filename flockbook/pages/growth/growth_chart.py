"""The chart of a crop: its mean between the lightest and the heaviest, and a few of those behind."""

from __future__ import annotations

from typing import Any

from compiler.pages import Html
from flockbook.derive.weights.sessions import Session
from flockbook.measures import measures_of
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.growth.weighed_crop import WeighedCrop, lead
from flockbook.pages.views import Chart, Column, Row, Table, day
from flockbook.pages.wording import weight_words

MOST_LINES = 4  # lambs drawn beside their group


def drawn(crop: WeighedCrop) -> list[Session]:
    """The weighings whose mean can stand in the chart: not those whose unit is asked about."""
    return [item for item in crop.sessions if item.mean is not None and item.slip is None]


def group_figure(crop: WeighedCrop, late: tuple[str, ...]) -> dict[str, Any]:
    """The crop's mean from weighing to weighing between its lightest and heaviest; a few of those behind as lines."""
    scale = measures_of(crop.units).in_weight(1.0)
    shown = drawn(crop)
    days = [item.day.isoformat() for item in shown]
    lines: list[dict[str, Any]] = [
        {"type": "scatter", "mode": "lines", "name": "heaviest", "x": days,
         "y": [round((item.highest or 0) * scale, 1) for item in shown], "line": {"dash": "dot"}},
        {"type": "scatter", "mode": "lines+markers", "name": "mean", "x": days,
         "y": [round((item.mean or 0) * scale, 1) for item in shown], "meta": {"ink": 1}},
        {"type": "scatter", "mode": "lines", "name": "lightest", "x": days,
         "y": [round((item.lowest or 0) * scale, 1) for item in shown], "line": {"dash": "dot"}},
    ]  # fmt: skip
    for lamb in late[:MOST_LINES]:
        weights = [item for item in crop.seen.facts.weights.gains[lamb].weights if item.sure]
        lines.append(
            {"type": "scatter", "mode": "lines+markers", "name": crop.seen.linked.animals[lamb].called,
             "x": [item.date.isoformat() for item in weights], "y": [round(item.kg * scale, 1) for item in weights],
             "line": {"dash": "dash"}, "meta": {"ink": 2}}
        )  # fmt: skip
    title = f"Weights of the crop of {crop.season}"
    unit = measures_of(crop.units).weight_unit
    return {"data": lines, "layout": {"title": title, "meta": {"says": lead(crop)}, "yaxis": {"title": unit}}}


def group_chart(crop: WeighedCrop, late: tuple[str, ...]) -> Chart:
    """The group and the lambs behind it, with their weights as a table."""
    shown = drawn(crop)
    lambs = late[:MOST_LINES]
    called = [crop.seen.linked.animals[lamb].called for lamb in lambs]
    columns = (Column("Day"), Column("Mean", "number"), *(Column(name, "number") for name in called))
    rows = [
        Row(
            (day(item.day) or "", weight_words(item.mean, crop.units), *(weight_on(crop, lamb, item) for lamb in lambs))
        )
        for item in shown
    ]
    note = "Mean, lightest and heaviest of each weighing" + ("; dashed: lambs that are behind." if lambs else ".")
    svg = Html(draw(group_figure(crop, late), "weights", Sheet(360, 260)))
    return Chart("weights-chart", "Lambs against their group", note, svg, Table(columns, tuple(rows), ""))


def weight_on(crop: WeighedCrop, lamb: str, item: Session) -> str:
    """A lamb's weight in a weighing."""
    found = next((one.weighed.kg for one in item.weights if one.sheep == lamb), None)
    return weight_words(found, crop.units)
