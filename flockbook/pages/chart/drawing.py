"""Charts as pictures: a figure, described once as plain dicts in plotly's terms, becomes SVG that needs no script.

What is understood of a figure: traces `bar` (also flat, grouped, stacked, with patterns), `scatter` (lines, steps,
points, words, bands by `fill`) and `heatmap` (cells); `error_x`, `error_y`; axes with title, type, range, order, own
ticks; lines and words laid over the plot (`shapes`, `annotations`). Names are written at the marks where there is room.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any
from xml.etree.ElementTree import Element, SubElement, tostring

from compiler.shape import Value, replace
from flockbook.pages.chart.marks import (
    DASHES,
    Figure,
    Plot,
    Trace,
    define_patterns,
    draw_trace,
    ink,
    key_step,
    marker,
    n,
    pattern_id,
    pattern_of,
    words,
)
from flockbook.pages.chart.scales import Scale, make_scale, ticks

LETTER = 7.0  # width of a letter of the 13-unit chart face, a fair mean of system fonts (measured by eye)
LINE = 16.0  # from one line of words to the next
LEFT_MOST = 0.42  # the most of a sheet's width that names beside the axis may take


class Sheet(Value):
    """The size of the picture in its own units, in which letters are 13 high."""

    width: float = 360.0
    height: float = 220.0


class Inset(Value):
    """The paper kept free around the plot for names and numbers."""

    left: float
    top: float
    right: float
    bottom: float


def draw(figure: Figure, name: str, sheet: Sheet | None = None) -> str:
    """The picture of a figure as one `<svg>` element.

    `name` is unique on its page (letters, digits, hyphens): the ids inside begin with it. The title comes from
    `layout.title`, the description from `layout.meta.says`. KeyError for a kind of trace that has no picture.
    """
    sheet = sheet or Sheet()
    layout = figure.get("layout") or {}
    inset = measure(figure, sheet)
    plot = make_plot(figure, name, sheet, inset)
    svg = open_picture(layout, name, sheet)
    add_patterns(svg, plot)
    draw_axes(svg, plot, layout)
    for shape in layout.get("shapes", ()):
        draw_shape(svg, plot, shape)
    for place in range(len(plot.traces)):
        draw_trace(svg, plot, place)
    draw_names(svg, plot, sheet, inset)
    for note in layout.get("annotations", ()):
        draw_annotation(svg, plot, note)
    return tostring(svg, encoding="unicode")


def open_picture(layout: Mapping[str, Any], name: str, sheet: Sheet) -> Element:
    """The empty picture with its title and description, as a reader that cannot see it is told."""
    svg = Element("svg", {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {n(sheet.width)} {n(sheet.height)}"})
    svg.set("role", "img")
    svg.set("aria-labelledby", f"{name}-t {name}-d")
    SubElement(svg, "title", {"id": f"{name}-t"}).text = title_of(layout) or name
    SubElement(svg, "desc", {"id": f"{name}-d"}).text = str((layout.get("meta") or {}).get("says", ""))
    return svg


def title_of(part: Mapping[str, Any]) -> str:
    """The title of a layout or an axis, written either way plotly allows."""
    title = part.get("title") or ""
    return title if isinstance(title, str) else str(title.get("text") or "")


# ─ Measuring


def make_plot(figure: Figure, name: str, sheet: Sheet, inset: Inset) -> Plot:
    """The plot of a figure inside its inset."""
    layout = figure.get("layout") or {}
    traces = tuple(figure.get("data") or ())
    x = side_scale(figure, "x", (inset.left, sheet.width - inset.right))
    y = side_scale(figure, "y", (sheet.height - inset.bottom, inset.top))
    return Plot(x, y, name, traces, layout.get("barmode", "group"))


def side_scale(figure: Figure, side: str, paper: tuple[float, float]) -> Scale:
    """The scale of one side: as wide as the figure says, else as its values and the widths of bars and cells need."""
    axis = (figure.get("layout") or {}).get(f"{side}axis") or {}
    scale = make_scale(axis, gather(figure, side), paper)
    air = max((air_of(trace, side, scale) for trace in figure.get("data") or ()), default=0.0)
    if "range" in axis or scale.kind == "category" or not air:
        return scale
    return replace(scale, low=scale.low - air, high=scale.high + air)


def air_of(trace: Trace, side: str, scale: Scale) -> float:
    """Half the width of a trace's bars or cells along one side, in steps of its scale; lines and points have none."""
    wide = trace.get("type") == "heatmap" or (trace.get("type") == "bar" and length_side(trace) != side)
    return key_step(trace[side], scale) / 2 if wide else 0.0


def gather(figure: Figure, side: str) -> list[Any]:
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


def measure(figure: Figure, sheet: Sheet) -> Inset:
    """How much paper the numbers, names and titles around a plot need."""
    layout = figure.get("layout") or {}
    traces = tuple(figure.get("data") or ())
    y_axis = layout.get("yaxis") or {}
    trial = side_scale(figure, "y", (sheet.height, 0.0))
    left = widest(text for _, text in ticks(y_axis, trial, y_room(sheet.height))) + 18
    top = 8 + LINE * (bool(title_of(y_axis)) + key_lines(traces, sheet)) + LINE * any_label(layout)
    right = widest(str(trace["name"]) for trace in labelled(traces)) + 12 if labelled(traces) else 20.0
    if any(trace.get("orientation") == "h" and trace.get("text") for trace in traces):
        right = max(right, max(widest(map(str, trace["text"])) for trace in traces if trace.get("text")) + 8)
    bottom = 24 + LINE * bool(title_of(layout.get("xaxis") or {}))
    return Inset(min(left, sheet.width * LEFT_MOST), top, right, bottom)


def widest(texts: Iterable[str]) -> float:
    """The paper that the longest of some words takes."""
    return max((len(text) for text in texts), default=0) * LETTER


def y_room(height: float) -> int:
    """About how many marks an axis of this height bears."""
    return max(2, int(height / 48))


def any_label(layout: Mapping[str, Any]) -> bool:
    """Whether a line laid over the plot carries words, which stand above it."""
    return any((shape.get("label") or {}).get("text") for shape in layout.get("shapes", ()))


# ─ Names of the traces


def named(traces: Sequence[Trace]) -> list[Trace]:
    """The traces that are told by name; a chart of one trace is told by its title."""
    found = [trace for trace in traces if trace.get("name") and trace.get("showlegend", True)]
    return found if len(found) > 1 or any(trace.get("showlegend") for trace in found) else []


def labelled(traces: Sequence[Trace]) -> list[Trace]:
    """The traces whose name is written where their line ends."""
    lines = [trace for trace in named(traces) if trace.get("type", "scatter") == "scatter"]
    return [trace for trace in lines if "lines" in trace.get("mode", "lines")]


def keyed(traces: Sequence[Trace]) -> list[Trace]:
    """The traces whose name stands in the key above the plot."""
    by_line = [id(trace) for trace in labelled(traces)]
    return [trace for trace in named(traces) if id(trace) not in by_line]


def key_places(traces: Sequence[Trace], sheet: Sheet) -> list[tuple[float, int]]:
    """Where each name of the key stands: across, and in which line."""
    across, line, found = 4.0, 0, []
    for trace in keyed(traces):
        room = 24 + len(str(trace["name"])) * LETTER
        if across > 4 and across + room > sheet.width:
            across, line = 4.0, line + 1
        found.append((across, line))
        across += room + 10
    return found


def key_lines(traces: Sequence[Trace], sheet: Sheet) -> int:
    """How many lines the key takes."""
    return max((line + 1 for _, line in key_places(traces, sheet)), default=0)


def draw_names(svg: Element, plot: Plot, sheet: Sheet, inset: Inset) -> None:
    """The names of all traces: at the ends of lines, or in a key above the plot."""
    places = {id(trace): place for place, trace in enumerate(plot.traces)}
    for trace, (across, line) in zip(keyed(plot.traces), key_places(plot.traces, sheet), strict=True):
        draw_key(svg, plot, places[id(trace)], (across, 12 + line * LINE))
    ends = [(line_end(trace, plot), str(trace["name"])) for trace in labelled(plot.traces) if any_point(trace)]
    for down, text in spread(ends, inset.top + 4, sheet.height - inset.bottom):
        svg.append(words(sheet.width - inset.right + 7, down + 4.5, text))


def draw_key(svg: Element, plot: Plot, place: int, spot: tuple[float, float]) -> None:
    """One name of the key after a sample of its mark."""
    trace, (x, y) = plot.traces[place], spot
    if trace.get("type") == "bar":
        looks = {"class": f"c-bar {ink(trace, place)}", "fill": f"url(#{pattern_id(plot.name, place)})"}
        if not pattern_of(trace, place, plot):
            looks = {"class": f"c-bar c-solid {ink(trace, place)}"}
        SubElement(svg, "rect", {"x": n(x), "y": n(y - 10), "width": "16", "height": "11", **looks})
    else:
        svg.append(marker(trace, place, [(x + 8, y - 4.5)]))
    svg.append(words(x + 21, y, str(trace["name"])))


def any_point(trace: Trace) -> bool:
    """Whether a line has an end to write at."""
    return any(value is not None for value in trace["y"])


def line_end(trace: Trace, plot: Plot) -> float:
    """How far down the paper a line ends."""
    return plot.y.at([value for value in trace["y"] if value is not None][-1])


def spread(ends: Iterable[tuple[float, str]], top: float, bottom: float) -> list[tuple[float, str]]:
    """Names pushed apart just far enough to be read, in the order in which their lines end."""
    placed: list[tuple[float, str]] = []
    for down, text in sorted(ends):
        placed.append((max(down, placed[-1][0] + LINE if placed else top), text))
    over = max(0.0, placed[-1][0] - bottom) if placed else 0.0
    return [(down - over, text) for down, text in placed]


# ─ Axes and what is laid over


def add_patterns(svg: Element, plot: Plot) -> None:
    """The patterns that bars are filled with."""
    if found := define_patterns(plot):
        SubElement(svg, "defs").extend(found)


def draw_axes(svg: Element, plot: Plot, layout: Mapping[str, Any]) -> None:
    """Feint lines across, numbers beside and below, and the line that everything stands on."""
    x_axis, y_axis = layout.get("xaxis") or {}, layout.get("yaxis") or {}
    left, right, top, bottom = plot.x.start, plot.x.end, plot.y.end, plot.y.start
    for value, text in ticks(y_axis, plot.y, y_room(bottom - top)):
        down = plot.y.at_number(value)
        if plot.y.kind != "category":
            SubElement(svg, "path", {"class": "c-grid", "d": f"M{n(left)} {n(down)}H{n(right)}"})
        svg.append(words(left - 7, down + 4.5, fitted(text, left - 8), "end"))
    for value, text in apart(ticks(x_axis, plot.x, int((right - left) / 54)), plot.x):
        across = plot.x.at_number(value)
        SubElement(svg, "path", {"class": "c-axis", "d": f"M{n(across)} {n(bottom)}v4"})
        svg.append(words(across, bottom + 18, text, "middle"))
    SubElement(svg, "path", {"class": "c-axis", "d": f"M{n(left)} {n(bottom)}H{n(right)}"})
    draw_titles(svg, plot, (title_of(x_axis), title_of(y_axis)), 9 + LINE * any_label(layout))


def draw_titles(svg: Element, plot: Plot, titles: tuple[str, str], clear_of: float) -> None:
    """What the axes count: y above its axis, so that it reads level and clear of labels; x at the right below."""
    across, up = titles
    if up:
        svg.append(words(2, plot.y.end - clear_of, up, looks="c-text c-faint"))
    if across:
        svg.append(words(plot.x.end, plot.y.start + 18 + LINE, across, "end", "c-text c-faint"))


def fitted(text: str, room: float) -> str:
    """A name cut to the paper it has; the table under the chart has it whole."""
    most = max(1, int(room / LETTER * 1.06))
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def apart(marks: Sequence[tuple[float, str]], scale: Scale) -> list[tuple[float, str]]:
    """Only as many marks as can be read side by side: every one, every second, every third …"""
    for step in range(1, len(marks) + 1):
        kept = marks[::step]
        spots = [(scale.at_number(value), len(text) * LETTER / 2 + 3) for value, text in kept]
        if all(a + half <= b - other for (a, half), (b, other) in pairwise(spots)):
            return list(kept)
    return list(marks[:1])


def draw_shape(svg: Element, plot: Plot, shape: Mapping[str, Any]) -> None:
    """A line or a box over the plot; `xref` or `yref` "paper" runs from edge to edge. "today" by name is marked."""
    xs = [stand(plot.x, shape[key], shape.get("xref")) for key in ("x0", "x1")]
    ys = [stand(plot.y, shape[key], shape.get("yref")) for key in ("y0", "y1")]
    if shape.get("type") == "rect":
        box = {"x": min(xs), "y": min(ys), "width": abs(xs[1] - xs[0]), "height": abs(ys[1] - ys[0])}
        SubElement(svg, "rect", {"class": "c-band c-5", **{key: n(value) for key, value in box.items()}})
    else:
        looks = {"class": "c-today" if shape.get("name") == "today" else "c-mark-line"}
        if (shape.get("line") or {}).get("dash") in DASHES:
            looks["stroke-dasharray"] = DASHES[shape["line"]["dash"]]
        SubElement(svg, "path", {**looks, "d": f"M{n(xs[0])} {n(ys[0])}L{n(xs[1])} {n(ys[1])}"})
    if text := (shape.get("label") or {}).get("text"):
        svg.append(shape_words(plot, str(text), xs, ys))


def shape_words(plot: Plot, text: str, xs: Sequence[float], ys: Sequence[float]) -> Element:
    """The words of a shape: above an upright line, at the right end of a level one; always inside the picture."""
    half = len(text) * LETTER / 2
    if xs[0] == xs[1]:
        across = min(max(xs[0], plot.x.start + half - 20), plot.x.end - half + 10)
        return words(across, min(ys) - 5, text, "middle", "c-text c-strong")
    return words(max(xs), min(ys) - 5, text, "end", "c-text c-strong")


def stand(scale: Scale, value: Any, reference: Any) -> float:
    """A value of a shape or a note on the paper: on the scale, or as a part of the whole axis."""
    if reference == "paper":
        return scale.start + float(value) * (scale.end - scale.start)
    return scale.at(value)


def draw_annotation(svg: Element, plot: Plot, note: Mapping[str, Any]) -> None:
    """Words at a place of the plot."""
    anchor = {"left": "", "right": "end"}.get(str(note.get("xanchor")), "middle")
    across = stand(plot.x, note["x"], note.get("xref"))
    down = stand(plot.y, note["y"], note.get("yref"))
    svg.append(words(across, down - 6, str(note.get("text", "")), anchor))
