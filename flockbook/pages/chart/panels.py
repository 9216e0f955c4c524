"""Small multiples: a figure whose traces stand on several y axes is drawn as plots above each other on one x axis."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from compiler.shape import Value, replace
from flockbook.pages.chart.axes import title_of
from flockbook.pages.chart.marks import ChartFigure
from flockbook.pages.chart.sheet import LINE, Inset, Sheet


class Panel(Value):
    """One plot of a figure: what it draws, how far down the sheet it begins, and its own paper."""

    figure: ChartFigure
    top: float
    sheet: Sheet


def panels(figure: ChartFigure, sheet: Sheet) -> list[Panel]:
    """The plots of a figure from above: one for each y axis (`yaxis`, `yaxis2` …), as high as its `domain` says."""
    layout = figure.get("layout") or {}
    axes = sorted((key for key in layout if key.startswith("yaxis")), key=lambda key: -domain(layout[key])[1])
    if len(axes) < 2:
        return [Panel(figure, 0.0, sheet)]
    return [panel(figure, axis, sheet) for axis in axes]


def domain(axis: Mapping[str, Any]) -> tuple[float, float]:
    """The part of the sheet that a plot takes, counted from below."""
    low, high = axis.get("domain", (0.0, 1.0))
    return float(low), float(high)


def panel(figure: ChartFigure, axis: str, sheet: Sheet) -> Panel:
    """The plot of one y axis, with what stands on it; only the lowest names the x axis, for which it has a line more
    paper, so that what is as much stands as high in all of them.
    """
    layout = figure["layout"]
    low, high = domain(layout[axis])
    own = axis.replace("axis", "")
    traces = [trace for trace in figure["data"] if trace.get("yaxis", "y") == own]
    shapes = [shape for shape in layout.get("shapes", ()) if shape.get("yref", "y") == own]
    x_axis = {**(layout.get("xaxis") or {}), **({"title": ""} if low > 0 else {})}
    drawn = {**layout, "xaxis": x_axis, "yaxis": layout[axis], "shapes": shapes}
    name = LINE * bool(title_of(layout.get("xaxis") or {}))
    room = sheet.height - name
    height = (high - low) * room + (0 if low > 0 else name)
    return Panel({"data": traces, "layout": drawn}, (1 - high) * room, replace(sheet, height=height))


def same_margins(insets: list[Inset]) -> list[Inset]:
    """The same margins for all plots, so that they stand under each other."""
    left, right = max(item.left for item in insets), max(item.right for item in insets)
    return [replace(item, left=left, right=right) for item in insets]
