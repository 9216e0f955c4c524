"""The marks of a chart: what the traces of a figure look like on paper, as SVG elements; bars have their own file.

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
from flockbook.pages.chart.sheet import LETTER

ChartFigure = Mapping[str, Any]  # {"data": [trace, …], "layout": {…}}, as plotly reads it
Trace = Mapping[str, Any]
Point = tuple[float, float]

MOST_INKS = 6
SYMBOLS = ("circle", "square", "triangle-up", "diamond", "x", "cross")  # plotly's names of markers
DASH_PATTERNS = {"dash": "7 5", "dot": "2 4", "dashdot": "8 4 2 4", "longdash": "11 5"}
OVERHANG = 18.0  # how far words may reach over the right end of a plot, into the paper kept free there
DOT = 4.2  # half the width of a marker, in the units of the paper
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
    return f"c-{(int(chosen) - 1) % MOST_INKS + 1}"


def texts(trace: Trace) -> list[str]:
    """What is written beside each point: one text for each, or none at all."""
    text = trace.get("text")
    if not text or isinstance(text, str):
        return [""] * len(trace.get("x", ()))
    return ["" if word is None else str(word) for word in text]


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
    if line.get("dash") in DASH_PATTERNS:
        looks["stroke-dasharray"] = DASH_PATTERNS[line["dash"]]
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
    """The words of each point, above it or where `textposition` says; those that would overprint another are left out
    where the trace asks for it (`meta: {"sparse": True}`), the last point's first of all.
    """
    trace = plot.traces[place]
    right = "right" in str(trace.get("textposition", "top center"))
    said = [item for item in zip(trace["x"], trace["y"], texts(trace), strict=True) if item[1] is not None and item[2]]
    spots = [(*plot.point(x, y), text) for x, y, text in said]
    for across, down, text in sparse(spots, plot) if (trace.get("meta") or {}).get("sparse") else spots:
        sheet.append(text_mark(across + 8, down + 4.5, text) if right else text_mark(across, down - 8, text, "middle"))


def sparse(spots: Sequence[tuple[float, float, str]], plot: Plot) -> list[tuple[float, float, str]]:
    """The words that can be read side by side, each kept inside the plot, the last ones before the earlier."""
    kept: list[tuple[float, float, str]] = []
    for across, down, text in reversed(spots):
        half = len(text) * LETTER / 2
        middle = max(min(across, plot.x.end + OVERHANG - half), plot.x.start + half - OVERHANG / 2)
        if all(down != other or middle + half + half_of(near) < at for at, other, near in kept):
            kept.append((middle, down, text))
    return kept[::-1]


def half_of(text: str) -> float:
    """Half the paper that a word takes, and the gap to the next."""
    return len(text) * LETTER / 2 + 4


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
    size = plot.x.unit * key_step(trace["x"], plot.x), plot.y.unit * key_step(trace["y"], plot.y)
    tiles: dict[int, list[Tile]] = {}
    for y, row, row_text in zip(trace["y"], trace["z"], trace.get("text") or trace["z"], strict=True):
        for x, value, text in zip(trace["x"], row, row_text, strict=True):
            if value is not None:
                depth = 1 + min(4, max(0, int(5 * (value - low) / (high - low)))) if high > low else 3
                tiles.setdefault(depth, []).append(Tile(plot.point(x, y), size, text))
    for depth in sorted(tiles):
        draw_depth(sheet, tiles[depth], f"c-cell {ink(trace, place)} c-z{depth}")
    draw_in_cells(sheet, [tile for depth in sorted(tiles) for tile in tiles[depth]])


def key_step(keys: Sequence[Any], scale: Scale) -> float:
    """The least distance between two keys, in steps of their scale; one where there is a single key."""
    spots = sorted({scale.number(key) for key in keys})
    return min((right - left for left, right in pairwise(spots)), default=1.0)


class Tile(Value):
    """One cell of a heat map: its middle, its width and height, and the words in it."""

    middle: Point
    size: Point
    text: Any


def draw_depth(sheet: Element, tiles: Iterable[Tile], looks: str) -> None:
    """All cells of one depth of ink, each about its middle, as one path."""
    path = "".join(
        f"M{n(x - width / 2)} {n(y - height / 2)}h{n(width)}v{n(height)}h{n(-width)}z"
        for (x, y), (width, height) in ((tile.middle, tile.size) for tile in tiles)
    )
    SubElement(sheet, "path", {"class": looks, "d": path})


def draw_in_cells(sheet: Element, tiles: Iterable[Tile]) -> None:
    """The words of the cells that are wide enough for them."""
    group = Element("g", {"class": "c-text", "text-anchor": "middle"})
    for tile in tiles:
        shown = plain(tile.text) if tile.text is not None else ""
        if shown and len(shown) * 7.2 <= tile.size[0]:
            SubElement(group, "text", {"x": n(tile.middle[0]), "y": n(tile.middle[1] + 4.5)}).text = shown
    if len(group):
        sheet.append(group)


def text_mark(x: float, y: float, text: str, anchor: str = "", looks: str = "c-text") -> Element:
    """A text on the paper; `anchor` is "", "middle" or "end"."""
    attributes = {"class": looks, "x": n(x), "y": n(y)}
    if anchor:
        attributes["text-anchor"] = anchor
    element = Element("text", attributes)
    element.text = text
    return element
