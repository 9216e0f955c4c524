"""Charts as pictures: a figure, described once as plain dicts in plotly's terms, becomes SVG that needs no script.

What is understood of a figure: traces `bar` (also flat, grouped, stacked, with patterns), `scatter` (lines, steps,
points, words, bands by `fill`) and `heatmap` (cells); `error_x`, `error_y`; axes with title, type, range, order, own
ticks; lines and words laid over the plot (`shapes`, `annotations`); several y axes as plots above each other; and
`treemap` (tiles) and `barpolar` (a wheel), which have no axes. Names are written at the marks where there is room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from compiler.shape import replace
from flockbook.pages.chart.axes import any_label, draw_annotation, draw_axes, draw_shape, title_of, y_room
from flockbook.pages.chart.bars import define_patterns, draw_bars
from flockbook.pages.chart.legend import draw_names, key_lines, labelled
from flockbook.pages.chart.marks import ChartFigure, Plot, Trace, draw_cells, draw_scatter, key_step, n
from flockbook.pages.chart.panels import Panel, panels, same_margins
from flockbook.pages.chart.picture_text import picture_text
from flockbook.pages.chart.scales import Scale, make_scale, ticks
from flockbook.pages.chart.sheet import LINE, Inset, Sheet, widest
from flockbook.pages.chart.tiles import draw_tiles
from flockbook.pages.chart.wheel import draw_wheel

LEFT_MOST = 0.42  # the most of a sheet's width that names beside the axis may take


def draw(figure: ChartFigure, name: str, sheet: Sheet | None = None) -> str:
    """The picture of a figure as one `<svg>` element.

    `name` is unique on its page (letters, digits, hyphens): the ids inside begin with it. The title comes from
    `layout.title`, the description from `layout.meta.says`. KeyError for a kind of trace that has no picture.
    """
    sheet = sheet or Sheet()
    svg = open_picture(figure.get("layout") or {}, name, sheet)
    kinds = {trace.get("type") for trace in figure.get("data") or ()}
    if "treemap" in kinds:
        draw_tiles(svg, figure["data"][0], sheet)
        return picture_text(svg)
    if "barpolar" in kinds:
        draw_wheel(svg, figure, name, sheet)
        return picture_text(svg)
    parts = panels(figure, sheet)
    insets = same_margins([measure(part.figure, part.sheet) for part in parts])
    for place, (part, inset) in enumerate(zip(parts, insets, strict=True)):
        group = SubElement(svg, "g", {"transform": f"translate(0 {n(part.top)})"}) if part.top else svg
        draw_panel(group, part, f"{name}-{place}" if place else name, inset)
    return picture_text(svg)


def draw_panel(svg: Element, part: Panel, name: str, inset: Inset) -> None:
    """One plot of the figure inside its inset."""
    layout = part.figure.get("layout") or {}
    plot = make_plot(part.figure, name, part.sheet, inset)
    add_patterns(svg, plot)
    draw_axes(svg, plot, layout)
    for shape in layout.get("shapes", ()):
        draw_shape(svg, plot, shape)
    for place in range(len(plot.traces)):
        draw_trace(svg, plot, place)
    draw_names(svg, plot, part.sheet, inset)
    for note in layout.get("annotations", ()):
        draw_annotation(svg, plot, note)


def open_picture(layout: Mapping[str, Any], name: str, sheet: Sheet) -> Element:
    """The empty picture with its title and description, as a reader that cannot see it is told."""
    svg = Element("svg", {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {n(sheet.width)} {n(sheet.height)}"})
    svg.set("role", "img")
    svg.set("aria-labelledby", f"{name}-t {name}-d")
    SubElement(svg, "title", {"id": f"{name}-t"}).text = title_of(layout) or name
    SubElement(svg, "desc", {"id": f"{name}-d"}).text = str((layout.get("meta") or {}).get("says", ""))
    return svg


# ─ Measuring


def make_plot(figure: ChartFigure, name: str, sheet: Sheet, inset: Inset) -> Plot:
    """The plot of a figure inside its inset."""
    layout = figure.get("layout") or {}
    traces = tuple(figure.get("data") or ())
    x = side_scale(figure, "x", (inset.left, sheet.width - inset.right))
    y = side_scale(figure, "y", (sheet.height - inset.bottom, inset.top))
    return Plot(x, y, name, traces, layout.get("barmode", "group"))


def side_scale(figure: ChartFigure, side: str, paper: tuple[float, float]) -> Scale:
    """The scale of one side: as wide as the figure says, else as its values and the widths of bars and cells need."""
    axis = (figure.get("layout") or {}).get(f"{side}axis") or {}
    scale = make_scale(axis, gather(figure, side), paper)
    air = max((air_of(trace, side, scale) for trace in figure.get("data") or ()), default=0.0)
    if "range" in axis or scale.kind == "category" or not air:
        return scale
    air = air if scale.low <= scale.high else -air
    return replace(scale, low=scale.low - air, high=scale.high + air)


def air_of(trace: Trace, side: str, scale: Scale) -> float:
    """Half the width of a trace's bars or cells along one side, in steps of its scale; lines and points have none."""
    wide = trace.get("type") == "heatmap" or (trace.get("type") == "bar" and length_side(trace) != side)
    return key_step(trace[side], scale) / 2 if wide else 0.0


def gather(figure: ChartFigure, side: str) -> list[Any]:
    """Every value that stands along one side, bars with the nothing they start from and the sums they add up to."""
    traces = tuple(figure.get("data") or ())
    found: list[Any] = [value for trace in traces for value in (trace.get(side) or ())]
    lengths = [trace for trace in traces if trace.get("type") == "bar" and length_side(trace) == side]
    if lengths:
        found.append(0)
        if (figure.get("layout") or {}).get("barmode") == "stack":
            found.extend(sums(lengths, side))
    found.extend(reaches(traces, side))
    return found


def length_side(trace: Trace) -> str:
    """The side along which a bar is long."""
    return "x" if trace.get("orientation") == "h" else "y"


def sums(traces: Sequence[Trace], side: str) -> Iterable[float]:
    """What the stacked bars add up to at each of their keys."""
    totals: dict[Any, float] = {}
    for trace in traces:
        for key, value in zip(trace["y" if side == "x" else "x"], trace[side], strict=True):
            totals[key] = totals.get(key, 0.0) + (value or 0)
    return totals.values()


def reaches(traces: Sequence[Trace], side: str) -> Iterable[float]:
    """The ends of every reach along one side."""
    for trace in traces:
        error = trace.get(f"error_{side}") or {}
        above = error.get("array") or ()
        below = error.get("arrayminus") or above
        for value, more, less in zip(trace.get(side) or (), above, below, strict=False):
            if None not in (value, more, less):
                yield from (value - less, value + more)


def measure(figure: ChartFigure, sheet: Sheet) -> Inset:
    """How much paper the numbers, names and titles around a plot need."""
    layout = figure.get("layout") or {}
    traces = tuple(figure.get("data") or ())
    y_axis = layout.get("yaxis") or {}
    trial = side_scale(figure, "y", (sheet.height, 0.0))
    left = widest(text for _, text in ticks(y_axis, trial, y_room(sheet.height))) + 18
    top = 8 + LINE * (bool(title_of(y_axis)) + key_lines(traces, sheet)) + LINE * any_label(layout)
    top += LINE * ((layout.get("xaxis") or {}).get("side") == "top")
    right = widest(str(trace["name"]) for trace in labelled(traces)) + 16 if labelled(traces) else 20.0
    if any(trace.get("orientation") == "h" and trace.get("text") for trace in traces):
        right = max(right, max(widest(map(str, trace["text"])) for trace in traces if trace.get("text")) + 8)
    bottom = 24 + LINE * bool(title_of(layout.get("xaxis") or {}))
    return Inset(min(left, sheet.width * LEFT_MOST), top, right, bottom)


# ─ Patterns and traces


def add_patterns(svg: Element, plot: Plot) -> None:
    """The patterns that bars are filled with."""
    if found := define_patterns(plot):
        SubElement(svg, "defs").extend(found)


def draw_trace(sheet: Element, plot: Plot, place: int) -> None:
    """Draw one trace onto the sheet. A kind of trace that has no picture is refused with a KeyError."""
    kind = plot.traces[place].get("type", "scatter")
    PENS[kind](sheet, plot, place)


PENS: Mapping[str, Callable[[Element, Plot, int], None]] = {
    "bar": draw_bars,
    "scatter": draw_scatter,
    "heatmap": draw_cells,
}
