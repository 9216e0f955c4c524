"""A year as a wheel (plotly's `barpolar`): stretches of days as arcs on rings, months around, today as a hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import cos, radians, sin
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from compiler.shape import Value
from flockbook.pages.chart.bars import define_patterns, pattern_id, pattern_of
from flockbook.pages.chart.legend import draw_key, key_lines, key_places, keyed
from flockbook.pages.chart.marks import ChartFigure, Plot, Point, Trace, ink, n, text_mark
from flockbook.pages.chart.scales import Scale
from flockbook.pages.chart.sheet import LETTER, LINE, Sheet

HUB = 0.3  # the part of the radius that is left empty in the middle
RIM = 26.0  # the paper around the wheel for the names of the months
LEAST_ARC = 3.0  # degrees: an arc of one day is drawn so wide


class Wheel(Value):
    """Where the wheel stands on the sheet: its middle, its radius, and how many rings it has."""

    middle: Point
    radius: float
    rings: float

    def spot(self, ring: float, theta: float) -> Point:
        """A place on the wheel: so many rings from the hub, so many degrees clockwise from the top."""
        far = self.radius * (HUB + (1 - HUB) * ring / self.rings)
        return self.middle[0] + far * sin(radians(theta)), self.middle[1] - far * cos(radians(theta))


def draw_wheel(svg: Element, figure: ChartFigure, name: str, sheet: Sheet) -> None:
    """The whole wheel under the key of its arcs."""
    traces = tuple(figure["data"])
    polar = figure["layout"]["polar"]
    top = LINE * key_lines(traces, sheet) + 4
    radius = min(sheet.width / 2 - RIM - 10, (sheet.height - top) / 2 - RIM)
    rings = float(polar["radialaxis"]["range"][1])
    wheel = Wheel((sheet.width / 2, top + RIM + radius), radius, rings)
    plot = Plot(Scale("linear", 0, 1, 0, 1), Scale("linear", 0, 1, 0, 1), name, traces)
    if found := define_patterns(plot):
        SubElement(svg, "defs").extend(found)
    draw_rim(svg, wheel, polar["angularaxis"])
    for place, trace in enumerate(traces):
        pen = draw_arcs if trace["type"] == "barpolar" else draw_hand
        pen(svg, wheel, plot, place)
    places = {id(trace): place for place, trace in enumerate(traces)}
    for trace, (across, line) in zip(keyed(traces), key_places(traces, sheet), strict=True):
        draw_key(svg, plot, places[id(trace)], (across, 12 + line * LINE))


def draw_rim(svg: Element, wheel: Wheel, axis: Mapping[str, Any]) -> None:
    """The rings, the spokes between the months, and the names around."""
    x, y = wheel.middle
    for ring in range(int(wheel.rings) + 1):
        looks = "c-axis" if ring in (0, int(wheel.rings)) else "c-grid"
        far = wheel.radius * (HUB + (1 - HUB) * ring / wheel.rings)
        SubElement(svg, "circle", {"class": looks, "cx": n(x), "cy": n(y), "r": n(far)})
    values = [*axis["tickvals"], 360 + axis["tickvals"][0]]
    for place, text in enumerate(axis["ticktext"]):
        inner, outer = wheel.spot(0, values[place]), wheel.spot(wheel.rings, values[place])
        SubElement(svg, "path", {"class": "c-grid", "d": f"M{pair(inner)}L{pair(outer)}"})
        middle = (values[place] + values[place + 1]) / 2
        across, down = wheel.spot(wheel.rings * (1 + 15 / (wheel.radius * (1 - HUB))), middle)
        svg.append(text_mark(across + sin(radians(middle)) * LETTER / 2, down + 4.5, text, "middle"))


def draw_arcs(svg: Element, wheel: Wheel, plot: Plot, place: int) -> None:
    """The arcs of one trace, in its pattern."""
    trace = plot.traces[place]
    shape = pattern_of(trace, place, plot)
    looks = {"class": f"c-bar {ink(trace, place)}{'' if shape else ' c-solid'}"}
    if shape:
        looks["fill"] = f"url(#{pattern_id(plot.name, place)})"
    for base, deep, theta, width in zip(*(trace[key] for key in ("base", "r", "theta", "width")), strict=True):
        half = max(width, LEAST_ARC) / 2
        SubElement(svg, "path", {**looks, "d": arc(wheel, (base, base + deep), (theta - half, theta + half))})


def arc(wheel: Wheel, rings: tuple[float, float], span: tuple[float, float]) -> str:
    """The outline of one arc between two rings, clockwise and back."""
    far = [wheel.radius * (HUB + (1 - HUB) * ring / wheel.rings) for ring in rings]
    large = int(span[1] - span[0] > 180)
    corners = [wheel.spot(ring, theta) for ring, theta in zip((rings[1], rings[1], rings[0], rings[0]),
                                                              (*span, *reversed(span)), strict=True)]  # fmt: skip
    out, back = f"A{n(far[1])} {n(far[1])} 0 {large} 1 ", f"A{n(far[0])} {n(far[0])} 0 {large} 0 "
    return f"M{pair(corners[0])}{out}{pair(corners[1])}L{pair(corners[2])}{back}{pair(corners[3])}Z"


def draw_hand(svg: Element, wheel: Wheel, plot: Plot, place: int) -> None:
    """A line from the middle outwards with its name in the hub (`scatterpolar`)."""
    trace: Trace = plot.traces[place]
    ends: Sequence[Point] = [wheel.spot(ring, theta) for ring, theta in zip(trace["r"], trace["theta"], strict=True)]
    SubElement(svg, "path", {"class": "c-today", "d": f"M{pair(ends[0])}L{pair(ends[1])}"})
    svg.append(text_mark(wheel.middle[0], wheel.middle[1] + 4.5, str(trace["name"]), "middle", "c-text c-strong"))


def pair(spot: Point) -> str:
    """A place as it is written in a path."""
    return f"{n(spot[0])} {n(spot[1])}"
