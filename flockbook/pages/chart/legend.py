"""The names of the traces: at the ends of their lines, or in a key above the plot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from xml.etree.ElementTree import Element, SubElement

from flockbook.pages.chart.bars import HATCHED, pattern_id, pattern_of
from flockbook.pages.chart.marks import Plot, Trace, ink, marker, n, text_mark
from flockbook.pages.chart.sheet import LETTER, LINE, Inset, Sheet


def told_by_name(traces: Sequence[Trace]) -> list[Trace]:
    """The traces that are told by name; a chart of one trace is told by its title."""
    found = [trace for trace in traces if trace.get("name") and trace.get("showlegend", True)]
    return found if len(found) > 1 or any(trace.get("showlegend") for trace in found) else []


def labelled(traces: Sequence[Trace]) -> list[Trace]:
    """The traces whose name is written where their line ends."""
    lines = [trace for trace in told_by_name(traces) if trace.get("type", "scatter") == "scatter"]
    return [trace for trace in lines if "lines" in trace.get("mode", "lines")]


def keyed(traces: Sequence[Trace]) -> list[Trace]:
    """The traces whose name stands in the key above the plot."""
    by_line = [id(trace) for trace in labelled(traces)]
    return [trace for trace in told_by_name(traces) if id(trace) not in by_line]


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
    for down, text in pushed_apart(ends, inset.top + 4, sheet.height - inset.bottom):
        svg.append(text_mark(sheet.width - inset.right + 7, down + 4.5, text))


def draw_key(svg: Element, plot: Plot, place: int, spot: tuple[float, float]) -> None:
    """One name of the key after a sample of its mark."""
    trace, (x, y) = plot.traces[place], spot
    if trace.get("type") in HATCHED:
        looks = {"class": f"c-bar {ink(trace, place)}", "fill": f"url(#{pattern_id(plot.name, place)})"}
        if not pattern_of(trace, place, plot):
            looks = {"class": f"c-bar c-solid {ink(trace, place)}"}
        SubElement(svg, "rect", {"x": n(x), "y": n(y - 10), "width": "16", "height": "11", **looks})
    else:
        svg.append(marker(trace, place, [(x + 8, y - 4.5)]))
    svg.append(text_mark(x + 21, y, str(trace["name"])))


def any_point(trace: Trace) -> bool:
    """Whether a line has an end to write at."""
    return any(value is not None for value in trace["y"])


def line_end(trace: Trace, plot: Plot) -> float:
    """How far down the paper a line ends."""
    return plot.y.at([value for value in trace["y"] if value is not None][-1])


def pushed_apart(ends: Iterable[tuple[float, str]], top: float, bottom: float) -> list[tuple[float, str]]:
    """Names pushed apart just far enough to be read, in the order in which their lines end."""
    placed: list[tuple[float, str]] = []
    for down, text in sorted(ends):
        placed.append((max(down, placed[-1][0] + LINE if placed else top), text))
    over = max(0.0, placed[-1][0] - bottom) if placed else 0.0
    return [(down - over, text) for down, text in placed]
