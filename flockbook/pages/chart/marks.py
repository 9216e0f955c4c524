"""The marks of a chart: what each kind of trace of a figure looks like on paper, as SVG elements.

Every element gets a class of the style sheet and no style of its own, so that a page's security policy, night and print
all hold. Series are told apart by pattern, dash and marker shape first, and by ink (`c-1` … `c-6`) last.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import groupby, pairwise
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from compiler.shape import Value
from flockbook.pages.chart.scales import Scale, plain

Figure = Mapping[str, Any]  # {"data": [trace, …], "layout": {…}}, as plotly reads it
Trace = Mapping[str, Any]
Point = tuple[float, float]

INKS = 6
PATTERNS = ("", "/", ".", "x", "-", "+")  # plotly's names of fills, in the order they are given out
SYMBOLS = ("circle", "square", "triangle-up", "diamond", "x", "cross")  # plotly's names of markers
DASHES = {"dash": "7 5", "dot": "2 4", "dashdot": "8 4 2 4", "longdash": "11 5"}
DOT = 4.2  # half the width of a marker, in the units of the paper
HATCHES = {
    "/": "M-1 7L7 -1M-1 13L13 -1M5 13L13 5",
    "\\": "M-1 -1L13 13M-1 5L7 13M5 -1L13 7",
    "x": "M0 0L12 12M12 0L0 12",
    "-": "M0 3H12M0 9H12",
    "|": "M3 0V12M9 0V12",
    "+": "M0 6H12M6 0V12",
    ".": "M2 3h2M8 9h2M8 3h2M2 9h2",
}
SHAPES: Mapping[str, Callable[[float, float], str]] = {
    "circle": lambda x, y: f"M{n(x - DOT)} {n(y)}a{DOT} {DOT} 0 1 0 {n(2 * DOT)} 0a{DOT} {DOT} 0 1 0 {n(-2 * DOT)} 0Z",
    "square": lambda x, y: f"M{n(x - 3.8)} {n(y - 3.8)}h7.6v7.6h-7.6Z",
    "diamond": lambda x, y: f"M{n(x)} {n(y - 5.4)}l5 5.4l-5 5.4l-5 -5.4Z",
    "triangle-up": lambda x, y: f"M{n(x)} {n(y - 5)}l5 8.8h-10Z",
    "triangle-down": lambda x, y: f"M{n(x)} {n(y + 5)}l5 -8.8h-10Z",
    "x": lambda x, y: f"M{n(x - 4)} {n(y - 4)}l8 8m0 -8l-8 8",
    "cross": lambda x, y: f"M{n(x - 5)} {n(y)}h10m-5 -5v10",
}


class Plot(Value):
    """Where a figure is drawn: its scales, the name its patterns bear, all its traces, and how bars share a place."""

    x: Scale
    y: Scale
    name: str
    traces: Sequence[Trace]
    barmode: str = "group"

    def point(self, x: Any, y: Any) -> Point:
        """A pair of values on the paper."""
        return self.x.at(x), self.y.at(y)


def n(value: float) -> str:
    """A place on the paper to a tenth of a unit, as short as it can be written."""
    return f"{value:.1f}".removesuffix(".0")


def ink(trace: Trace, place: int) -> str:
    """The class of a trace's ink: its own (`meta: {"ink": 3}`) or by its place among the traces."""
    chosen = (trace.get("meta") or {}).get("ink", place + 1)
    return f"c-{(int(chosen) - 1) % INKS + 1}"


def draw_trace(sheet: Element, plot: Plot, place: int) -> None:
    """Draw one trace onto the sheet. A kind of trace that has no picture is refused with a KeyError."""
    kind = plot.traces[place].get("type", "scatter")
    PENS[kind](sheet, plot, place)


# ─ Bars


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


def texts(trace: Trace) -> list[str]:
    """What is written beside each point: one text for each, or none at all."""
    text = trace.get("text")
    if not text or isinstance(text, str):
        return [""] * len(trace.get("x", ()))
    return ["" if word is None else str(word) for word in text]


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
        return words(bar.x + bar.width + 5, bar.y + bar.height / 2 + 4.5, bar.text)
    return words(bar.x + bar.width / 2, bar.y - 4, bar.text, "middle")


def pattern_of(trace: Trace, place: int, plot: Plot) -> str:
    """The fill pattern of a trace's bars: its own, or by its place among the bars; "" is solid ink."""
    own = ((trace.get("marker") or {}).get("pattern") or {}).get("shape")
    if own is not None:
        return str(own)
    return PATTERNS[[spot for spot, other in enumerate(plot.traces) if other.get("type") == "bar"].index(place) % INKS]


def pattern_id(name: str, place: int) -> str:
    """The id under which a trace's pattern is known in this chart."""
    return f"{name}-p{place}"


def define_patterns(plot: Plot) -> list[Element]:
    """The fill patterns that this chart's bars use."""
    made = []
    for place, trace in enumerate(plot.traces):
        if trace.get("type") == "bar" and (shape := pattern_of(trace, place, plot)):
            made.append(pattern(pattern_id(plot.name, place), shape, ink(trace, place)))
    return made


def pattern(ident: str, shape: str, looks: str) -> Element:
    """A tile of a fill pattern in one ink on paper."""
    size = {"width": "12", "height": "12", "patternUnits": "userSpaceOnUse"}
    tile = Element("pattern", {"id": ident, "class": looks, **size})
    SubElement(tile, "rect", {"class": "c-ground", "width": "12", "height": "12"})
    SubElement(tile, "path", {"class": "c-hatch", "d": HATCHES[shape]})
    return tile


# ─ Lines, points, bands


def draw_scatter(sheet: Element, plot: Plot, place: int) -> None:
    """A line, points, both, or the band between a line and the one before it."""
    trace = plot.traces[place]
    mode = trace.get("mode", "lines")
    if trace.get("fill") in ("tonexty", "tozeroy"):
        draw_band(sheet, plot, place)
    draw_reaches(sheet, plot, place)
    if "lines" in mode and (trace.get("line") or {}).get("width") != 0:
        draw_line(sheet, plot, place)
    if "markers" in mode:
        draw_dots(sheet, plot, place)
    if "text" in mode:
        draw_texts(sheet, plot, place)


def runs(trace: Trace, plot: Plot) -> list[list[Point]]:
    """The unbroken stretches of a trace on the paper: a missing value breaks the line."""
    pairs = list(zip(trace["x"], trace["y"], strict=True))
    stretches = groupby(pairs, key=lambda pair: pair[1] is not None)
    return [[plot.point(x, y) for x, y in stretch] for whole, stretch in stretches if whole]


def draw_line(sheet: Element, plot: Plot, place: int) -> None:
    """A line through all points; a step line goes along and then up or down."""
    trace = plot.traces[place]
    line = trace.get("line") or {}
    looks = {"class": f"c-line {ink(trace, place)}"}
    if line.get("dash") in DASHES:
        looks["stroke-dasharray"] = DASHES[line["dash"]]
    for run in runs(trace, plot):
        SubElement(sheet, "path", {**looks, "d": way(run, line.get("shape") == "hv")})


def way(points: Sequence[Point], steps: bool) -> str:
    """The path through points, straight from one to the next or in steps."""
    start, *rest = points
    turns = (f"H{n(x)}V{n(y)}" if steps else f"L{n(x)} {n(y)}" for x, y in rest)
    return f"M{n(start[0])} {n(start[1])}" + "".join(turns)


def draw_band(sheet: Element, plot: Plot, place: int) -> None:
    """The band between a trace and the one drawn before it, or down to nothing."""
    trace = plot.traces[place]
    steps = (trace.get("line") or {}).get("shape") == "hv"
    for spot, upper in enumerate(runs(trace, plot)):
        if trace["fill"] == "tonexty" and place:
            lower = runs(plot.traces[place - 1], plot)[spot]
        else:
            lower = [(x, plot.y.at(0)) for x, _ in upper]
        outline = way(upper, steps) + way_back(lower, steps) + "Z"
        SubElement(sheet, "path", {"class": f"c-band {ink(trace, place)}", "d": outline})


def way_back(points: Sequence[Point], steps: bool) -> str:
    """The path back along a line that is itself drawn straight or in steps."""
    last, *rest = reversed(points)
    turns = (f"V{n(y)}H{n(x)}" if steps else f"L{n(x)} {n(y)}" for x, y in rest)
    return f"L{n(last[0])} {n(last[1])}" + "".join(turns)


def draw_dots(sheet: Element, plot: Plot, place: int) -> None:
    """A marker at every point, all of one trace in one path."""
    trace = plot.traces[place]
    spots = [plot.point(x, y) for x, y in zip(trace["x"], trace["y"], strict=True) if y is not None]
    if spots:
        sheet.append(marker(trace, place, spots))


def marker(trace: Trace, place: int, spots: Iterable[Point]) -> Element:
    """Markers of a trace's shape at these places; `…-open` shapes are hollow."""
    symbol = str((trace.get("marker") or {}).get("symbol") or SYMBOLS[place % len(SYMBOLS)])
    looks = f"c-dot {ink(trace, place)}" + (" c-open" if symbol.endswith("-open") else "")
    shape = SHAPES[symbol.removesuffix("-open")]
    return Element("path", {"class": looks, "d": "".join(shape(x, y) for x, y in spots)})


def draw_texts(sheet: Element, plot: Plot, place: int) -> None:
    """The words of each point, above it or where `textposition` says."""
    trace = plot.traces[place]
    right = "right" in str(trace.get("textposition", "top center"))
    for x, y, text in zip(trace["x"], trace["y"], texts(trace), strict=True):
        if y is not None and text:
            across, down = plot.point(x, y)
            sheet.append(words(across + 8, down + 4.5, text) if right else words(across, down - 8, text, "middle"))


def draw_reaches(sheet: Element, plot: Plot, place: int) -> None:
    """How far each value could reach either way: a thin line with ends (`error_x`, `error_y`)."""
    trace = plot.traces[place]
    for side in ("error_x", "error_y"):
        error = trace.get(side) or {}
        above = error.get("array") or ()
        below = error.get("arrayminus") or above
        for x, y, more, less in zip(trace["x"], trace["y"], above, below, strict=False):
            if None not in (x, y, more, less):
                path = reach(plot, (x, y), (less, more), side == "error_x")
                SubElement(sheet, "path", {"class": f"c-reach {ink(trace, place)}", "d": path})


def reach(plot: Plot, spot: tuple[Any, Any], span: tuple[float, float], flat: bool) -> str:
    """The path of one reach, along x if it is flat, else along y."""
    x, y = plot.point(*spot)
    less, more = span
    if flat:
        value = plot.x.number(spot[0])
        unit = plot.x.at_number(value - less), plot.x.at_number(value + more)
        return f"M{n(unit[0])} {n(y - 4)}v8m0 -4H{n(unit[1])}m0 -4v8"
    value = plot.y.number(spot[1])
    unit = plot.y.at_number(value - less), plot.y.at_number(value + more)
    return f"M{n(x - 4)} {n(unit[0])}h8m-4 0V{n(unit[1])}m-4 0h8"


# ─ Cells


def draw_cells(sheet: Element, plot: Plot, place: int) -> None:
    """A heat map as ruled cells: five depths of one ink between `zmin` and `zmax`, with each cell's words inside it."""
    trace = plot.traces[place]
    values = [value for row in trace["z"] for value in row if value is not None]
    low = trace.get("zmin", min(values, default=0))
    high = trace.get("zmax", max(values, default=1))
    width, height = plot.x.unit * key_step(trace["x"], plot.x), plot.y.unit * key_step(trace["y"], plot.y)
    for y, row, row_text in zip(trace["y"], trace["z"], trace.get("text") or trace["z"], strict=True):
        for x, value, text in zip(trace["x"], row, row_text, strict=True):
            if value is not None:
                depth = 1 + min(4, int(5 * (value - low) / (high - low))) if high > low else 3
                draw_cell(sheet, plot.point(x, y), (width, height), (f"{ink(trace, place)} c-z{depth}", text))


def key_step(keys: Sequence[Any], scale: Scale) -> float:
    """The least distance between two keys, in steps of their scale; one where there is a single key."""
    spots = sorted({scale.number(key) for key in keys})
    return min((right - left for left, right in pairwise(spots)), default=1.0)


def draw_cell(sheet: Element, middle: Point, size: Point, looks: tuple[str, Any]) -> None:
    """One cell about its middle: its depth of ink, and its words if they fit."""
    (x, y), (width, height) = middle, size
    ink_and_depth, text = looks
    box = {"x": n(x - width / 2), "y": n(y - height / 2), "width": n(width), "height": n(height)}
    SubElement(sheet, "rect", {**box, "class": f"c-cell {ink_and_depth}"})
    shown = plain(text) if text is not None else ""
    if shown and len(shown) * 7.2 <= width:
        sheet.append(words(x, y + 4.5, shown, "middle"))


def words(x: float, y: float, text: str, anchor: str = "", looks: str = "c-text") -> Element:
    """A text on the paper; `anchor` is "", "middle" or "end"."""
    attributes = {"class": looks, "x": n(x), "y": n(y)}
    if anchor:
        attributes["text-anchor"] = anchor
    element = Element("text", attributes)
    element.text = text
    return element


PENS: Mapping[str, Callable[[Element, Plot, int], None]] = {
    "bar": draw_bars,
    "scatter": draw_scatter,
    "heatmap": draw_cells,
}
