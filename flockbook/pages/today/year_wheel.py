"""The flock's year as a wheel: when the rams are in, when a scan suits, when lambs can come, and what is planned."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from compiler.pages import Html
from compiler.shape import Value
from flockbook.derive.plain.days import YEAR
from flockbook.derive.year.wheel import WheelPart, WheelRow
from flockbook.manner import MONTHS
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.views import Chart
from flockbook.pages.wording import day_words, short_days_words
from flockbook.regional import local

# The rings of one season from the hub, and how each is filled.
RING_SAID = {"rams": "ram in to ram out", "scan": "days that suit a scan", "watch": "close watch",
             "lambs": "lambs can come", "plan": "planned"}  # fmt: skip
RING_FILLS = {"rams": "/", "scan": "x", "watch": ".", "lambs": "", "plan": "+"}


class RingStretch(Value):
    """A stretch of days on one ring of one season."""

    ring: str
    season: int
    first: date
    last: date


def wheel_chart(rows: Sequence[WheelRow], today: date) -> Chart | None:
    """The picture; None where nothing lies ahead."""
    found = list(ring_stretches(rows))
    if not found:
        return None
    svg = Html(draw(wheel_figure(found, today), "wheel", Sheet(360, 412)))
    note = "January is at the top, and the year runs as a clock does. Every day stands below."
    return Chart("wheel-chart", "Rams, scan, close watch, lambs and plans", note, svg, None)


def ring_stretches(rows: Iterable[WheelRow]) -> Iterator[RingStretch]:
    """The rows as they are drawn: the rams' days in one stretch from in to out."""
    out = {row.note: row.last for row in rows if row.part is WheelPart.RAM_OUT}
    rings = {WheelPart.SCAN: "scan", WheelPart.WATCH: "watch", WheelPart.LAMBS: "lambs", WheelPart.PLAN: "plan"}
    for row in rows:
        if row.part is WheelPart.RAM_IN:
            yield RingStretch("rams", row.season, row.first, out.get(row.note, row.last))
        elif row.part in rings:
            yield RingStretch(rings[row.part], row.season, row.first, row.last)


def wheel_figure(found: Sequence[RingStretch], today: date) -> dict[str, Any]:
    """The figure: an arc for each stretch, a ring for each sort of each season, a hand for today."""
    order = [name for name in RING_SAID if any(one.ring == name for one in found)]
    rings = sorted({(one.season, order.index(one.ring)) for one in found})
    arcs = [
        arcs_of([one for one in found if (one.season, order.index(one.ring)) == ring], place)
        for place, ring in enumerate(rings)
    ]
    seasons = {season for season, _ in rings}
    named = [{**trace, "name": ring_name(rings[place], order, len(seasons))} for place, trace in enumerate(arcs)]
    months = [date(today.year, month, 1) for month in range(1, 13)]
    at = angle(today)
    hand = {"type": "scatterpolar", "mode": "lines", "name": "today", "r": [0, len(rings)], "theta": [at, at],
            "showlegend": False}  # fmt: skip
    return {
        "data": [*named, hand],
        "layout": {
            "title": "The year ahead as a wheel",
            "meta": {"says": wheel_words(found, today)},
            "polar": {
                "radialaxis": {"range": [0, len(rings)]},
                "angularaxis": {"direction": "clockwise", "rotation": 90, "tickvals": [angle(day) for day in months],
                                "ticktext": list(MONTHS)},
            },
        },
    }  # fmt: skip


def ring_name(ring: tuple[int, int], order: Sequence[str], seasons: int) -> str:
    """What a ring shows, with its season where there are several."""
    said = local(RING_SAID[order[ring[1]]])
    return f"{said}, {ring[0]}" if seasons > 1 else said


def arcs_of(found: Sequence[RingStretch], place: int) -> dict[str, Any]:
    """The arcs of one ring; a stretch takes its first day and its last whole."""
    widths = [min(((one.last - one.first).days + 1) * 360 / YEAR.days, 360.0) for one in found]
    return {
        "type": "barpolar", "showlegend": True, "r": [1] * len(found), "base": [place] * len(found),
        "theta": [round(angle(one.first) + width / 2, 2) for one, width in zip(found, widths, strict=True)],
        "width": [round(width, 2) for width in widths],
        "marker": {"pattern": {"shape": RING_FILLS[found[0].ring]}},
        "meta": {"ink": 1 + list(RING_SAID).index(found[0].ring)},
    }  # fmt: skip


def angle(day: date) -> float:
    """Where a day begins on the wheel, in degrees from the top."""
    return round((day - date(day.year, 1, 1)).days * 360 / YEAR.days, 2)


def wheel_words(found: Sequence[RingStretch], today: date) -> str:
    """The picture in words."""
    said = [f"{local(RING_SAID[one.ring])} {short_days_words(one.first, one.last)} {one.last.year}" for one in found]
    return f"{'; '.join(said)}. Today is {day_words(today)}."
