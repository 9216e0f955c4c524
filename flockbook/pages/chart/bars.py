"""Bars of a chart: side by side or on one another, told apart by the pattern that fills them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from compiler.shape import Value
from flockbook.pages.chart.marks import MOST_INKS, Plot, Trace, draw_reaches, ink, key_step, n, text_mark, texts
from flockbook.pages.chart.scales import Scale

PATTERNS = ("", "/", ".", "x", "-", "+")  # plotly's names of fills, in the order they are given out
HATCHED = ("bar", "barpolar")  # the traces that patterns fill
HATCHES = {
    "/": "M-1 7L7 -1M-1 13L13 -1M5 13L13 5",
    "\\": "M-1 -1L13 13M-1 5L7 13M5 -1L13 7",
    "x": "M0 0L12 12M12 0L0 12",
    "-": "M0 3H12M0 9H12",
    "|": "M3 0V12M9 0V12",
    "+": "M0 6H12M6 0V12",
    ".": "M2 3h2M8 9h2M8 3h2M2 9h2",
}


class Bar(Value):
    """A bar on the paper, and what is written at its end."""

    x: float
    y: float
    width: float
    height: float
    text: str


def draw_bars(sheet: Element, plot: Plot, place: int) -> None:
    """Bars of one trace: beside those of other traces, or on top of them."""
    trace = plot.traces[place]
    looks = f"c-bar {ink(trace, place)}"
    shape = pattern_of(trace, place, plot)
    for bar in bars(plot, place):
        box = {"x": n(bar.x), "y": n(bar.y), "width": n(bar.width), "height": n(bar.height)}
        if shape:
            SubElement(sheet, "rect", {**box, "class": looks, "fill": f"url(#{pattern_id(plot.name, place)})"})
        else:
            SubElement(sheet, "rect", {**box, "class": f"{looks} c-solid"})
        if bar.text:
            sheet.append(bar_text(bar, trace))
    draw_reaches(sheet, plot, place)


def bars(plot: Plot, place: int) -> list[Bar]:
    """The bars of one trace on the paper; values that are missing or nothing have none."""
    trace = plot.traces[place]
    along, across = (plot.x, plot.y) if trace.get("orientation") != "h" else (plot.y, plot.x)
    offset, width = slot(plot, place, along)
    found = []
    for key, value, text in zip(*ends(trace), texts(trace), strict=True):
        if value is None or value == 0:
            continue
        below = under(plot, place, key)
        side = along.at(key) + offset
        near, far = sorted((across.at(below), across.at(below + value)))
        box = (side, near, width, far - near) if along is plot.x else (near, side, far - near, width)
        found.append(Bar(*box, text))
    return found


def ends(trace: Trace) -> tuple[Sequence[Any], Sequence[Any]]:
    """What each bar stands for, and how long it is."""
    keys, values = trace["x"], trace["y"]
    return (values, keys) if trace.get("orientation") == "h" else (keys, values)


def slot(plot: Plot, place: int, along: Scale) -> tuple[float, float]:
    """The offset from its key's place and the width of a bar of this trace."""
    columns = [spot for spot, trace in enumerate(plot.traces) if trace.get("type") == "bar"]
    step = along.unit * key_step(ends(plot.traces[place])[0], along)
    room = min(step * (0.68 if along.kind == "category" else 0.86), 34.0 * len(columns))
    if plot.barmode != "group" or len(columns) == 1:
        width = min(room, 34.0)
        return -width / 2, width
    width = room / len(columns)
    return -room / 2 + width * columns.index(place), width * 0.92


def under(plot: Plot, place: int, key: Any) -> float:
    """Where a stacked bar begins: on the sum of those drawn before it."""
    if plot.barmode != "stack":
        return 0.0
    return float(sum(length_at(trace, key) for trace in plot.traces[:place] if trace.get("type") == "bar"))


def length_at(trace: Trace, key: Any) -> float:
    """The length of a trace's bar at a key; nothing where it has none."""
    keys, values = ends(trace)
    return next((float(value or 0) for spot, value in zip(keys, values, strict=True) if spot == key), 0.0)


def bar_text(bar: Bar, trace: Trace) -> Element:
    """A bar's own words, just past its end."""
    if trace.get("orientation") == "h":
        return text_mark(bar.x + bar.width + 5, bar.y + bar.height / 2 + 4.5, bar.text)
    return text_mark(bar.x + bar.width / 2, bar.y - 4, bar.text, "middle")


def pattern_of(trace: Trace, place: int, plot: Plot) -> str:
    """The fill pattern of a trace's bars: its own, or by its place among the bars; "" is solid ink."""
    own = ((trace.get("marker") or {}).get("pattern") or {}).get("shape")
    if own is not None:
        return str(own)
    return PATTERNS[
        [spot for spot, other in enumerate(plot.traces) if other.get("type") in HATCHED].index(place) % MOST_INKS
    ]


def pattern_id(name: str, place: int) -> str:
    """The id under which a trace's pattern is known in this chart."""
    return f"{name}-p{place}"


def define_patterns(plot: Plot) -> list[Element]:
    """The fill patterns that this chart's bars use."""
    made = []
    for place, trace in enumerate(plot.traces):
        if trace.get("type") in HATCHED and (shape := pattern_of(trace, place, plot)):
            made.append(pattern(pattern_id(plot.name, place), shape, ink(trace, place)))
    return made


def pattern(ident: str, shape: str, looks: str) -> Element:
    """A tile of a fill pattern in one ink on paper."""
    size = {"width": "12", "height": "12", "patternUnits": "userSpaceOnUse"}
    tile = Element("pattern", {"id": ident, "class": looks, **size})
    SubElement(tile, "rect", {"class": "c-ground", "width": "12", "height": "12"})
    SubElement(tile, "path", {"class": "c-hatch", "d": HATCHES[shape]})
    return tile
