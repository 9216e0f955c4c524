"""The axes of a chart, and what is laid over it: lines, bands and words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from flockbook.pages.chart.marks import DASH_PATTERNS, Plot, n, text_mark
from flockbook.pages.chart.scales import Scale, ticks
from flockbook.pages.chart.sheet import LETTER, LINE


def title_of(part: Mapping[str, Any]) -> str:
    """The title of a layout or an axis, written either way plotly allows."""
    title = part.get("title") or ""
    return title if isinstance(title, str) else str(title.get("text") or "")


def y_room(height: float) -> int:
    """About how many marks an axis of this height bears."""
    return max(2, int(height / 48))


def any_label(layout: Mapping[str, Any]) -> bool:
    """Whether a line laid over the plot carries words, which stand above it."""
    return any((shape.get("label") or {}).get("text") for shape in layout.get("shapes", ()))


def draw_axes(svg: Element, plot: Plot, layout: Mapping[str, Any]) -> None:
    """Feint lines across, numbers beside and below, and the line that everything stands on."""
    x_axis, y_axis = layout.get("xaxis") or {}, layout.get("yaxis") or {}
    left, right, top, bottom = plot.x.start, plot.x.end, plot.y.end, plot.y.start
    for value, text in ticks(y_axis, plot.y, y_room(bottom - top)):
        down = plot.y.at_number(value)
        if plot.y.kind != "category":
            SubElement(svg, "path", {"class": "c-grid", "d": f"M{n(left)} {n(down)}H{n(right)}"})
        svg.append(text_mark(left - 7, down + 4.5, fitted(text, left - 8), "end"))
    for value, text in apart(ticks(x_axis, plot.x, int((right - left) / 54)), plot.x):
        across = plot.x.at_number(value)
        if x_axis.get("side") == "top":
            svg.append(text_mark(across, top - 5, text, "middle"))
            continue
        SubElement(svg, "path", {"class": "c-axis", "d": f"M{n(across)} {n(bottom)}v4"})
        svg.append(text_mark(across, bottom + 18, text, "middle"))
    SubElement(svg, "path", {"class": "c-axis", "d": f"M{n(left)} {n(bottom)}H{n(right)}"})
    draw_titles(svg, plot, layout)


def draw_titles(svg: Element, plot: Plot, layout: Mapping[str, Any]) -> None:
    """What the axes count: y above its axis, so that it reads level and clear of labels; x at the right below."""
    across, up = (title_of(layout.get(axis) or {}) for axis in ("xaxis", "yaxis"))
    if up:
        svg.append(text_mark(2, plot.y.end - 9 - LINE * any_label(layout), up, looks="c-text c-faint"))
    if across:
        svg.append(text_mark(plot.x.end, plot.y.start + 18 + LINE, across, "end", "c-text c-faint"))


def fitted(text: str, room: float) -> str:
    """A name cut to the paper it has; the table under the chart has it whole."""
    most = max(1, int(room / LETTER * 1.06))
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def apart(marks: Sequence[tuple[float, str]], scale: Scale) -> list[tuple[float, str]]:
    """Only as many marks as can be read side by side: every one, every second, every third …"""
    for step in range(1, len(marks) + 1):
        kept = marks[::step]
        spots = sorted((scale.at_number(value), len(text) * LETTER / 2 + 3) for value, text in kept)
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
        if (shape.get("line") or {}).get("dash") in DASH_PATTERNS:
            looks["stroke-dasharray"] = DASH_PATTERNS[shape["line"]["dash"]]
        SubElement(svg, "path", {**looks, "d": f"M{n(xs[0])} {n(ys[0])}L{n(xs[1])} {n(ys[1])}"})
    if text := (shape.get("label") or {}).get("text"):
        svg.append(shape_words(plot, str(text), xs, ys))


def shape_words(plot: Plot, text: str, xs: Sequence[float], ys: Sequence[float]) -> Element:
    """The words of a shape: above an upright line, at the right end of a level one; always inside the picture."""
    half = len(text) * LETTER / 2
    if xs[0] == xs[1]:
        across = min(max(xs[0], plot.x.start + half - 20), plot.x.end - half + 10)
        return text_mark(across, min(ys) - 5, text, "middle", "c-text c-strong")
    return text_mark(max(xs), min(ys) - 5, text, "end", "c-text c-strong")


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
    svg.append(text_mark(across, down - 6, str(note.get("text", "")), anchor))
