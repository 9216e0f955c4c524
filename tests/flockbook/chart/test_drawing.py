"""Charts: one description of a figure, one picture that needs no script and no style of its own."""

from __future__ import annotations

import re
from datetime import date
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.picture_text import picture_text
from flockbook.pages.chart.scales import date_ticks, make_scale, number_ticks, ticks
from flockbook.pages.chart.sheet import Sheet

SVG = "{http://www.w3.org/2000/svg}"
WEEK = [f"2026-04-0{day}" for day in range(1, 8)]


def picture(*traces: dict[str, Any], **layout: Any) -> ElementTree.Element:
    """A figure drawn and read back by an XML reader."""
    return ElementTree.fromstring(draw({"data": traces, "layout": layout}, "trial"))


def boxes(svg: ElementTree.Element) -> list[tuple[float, float, float, float]]:
    """Every bar as x, y, width, height."""
    found = [box for box in svg.findall(f"{SVG}rect") if "c-bar" in (box.get("class") or "")]
    return [
        (float(box.get("x", 0)), float(box.get("y", 0)), float(box.get("width", 0)), float(box.get("height", 0)))
        for box in found
    ]


def said(svg: ElementTree.Element) -> list[str]:
    """Every text in the picture."""
    return [text.text or "" for text in svg.iter(f"{SVG}text")]


def path(svg: ElementTree.Element, looks: str) -> str:
    """The path of the first mark with this class."""
    return next(mark.get("d", "") for mark in svg.iter(f"{SVG}path") if looks in (mark.get("class") or "").split())


def points(way: str) -> list[tuple[float, float]]:
    """The corners of a straight path."""
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", way)]


EVERY_KIND: dict[str, tuple[dict[str, Any], ...]] = {
    "bars": ({"type": "bar", "x": WEEK, "y": [1, 2, 0, 3, None, 2, 1]},),
    "flat bars": ({"type": "bar", "orientation": "h", "y": ["cold", "starved"], "x": [3, 1], "text": ["3", "1"]},),
    "lines": ({"x": [0, 1, 2], "y": [4, None, 6], "name": "a"}, {"x": [0, 1, 2], "y": [1, 2, 3], "name": "b"}),
    "points": ({"mode": "markers", "x": [1, 2], "y": ["a", "b"], "error_x": {"array": [1, None]}},),
    "band": ({"x": [0, 1], "y": [1, 1]}, {"x": [0, 1], "y": [2, 3], "fill": "tonexty"}),
    "cells": ({"type": "heatmap", "x": WEEK[:2], "y": ["Far Lot"], "z": [[1, None]], "text": [["H", ""]]},),
    "nothing": (),
    "an empty trace": ({"type": "bar", "x": [], "y": []},),
    "one point": ({"mode": "markers", "x": [3], "y": [3]},),
    "only gaps": ({"x": [1, 2], "y": [None, None], "name": "a"}, {"x": [1, 2], "y": [1, 1], "name": "b"}),
}


@pytest.mark.parametrize("kind", EVERY_KIND)
def test_every_kind_is_well_formed_and_styled_only_by_class(kind: str) -> None:
    """Whatever is drawn parses as XML, has a title and a description, and carries no style, script or event."""
    svg = picture(*EVERY_KIND[kind], title="T", meta={"says": "D"})
    assert [svg.find(f"{SVG}title").text, svg.find(f"{SVG}desc").text] == ["T", "D"]  # type: ignore[union-attr]
    names = {name for element in svg.iter() for name in element.attrib}
    assert not {name for name in names if name == "style" or name.startswith("on") or "href" in name}
    assert "nan" not in ElementTree.tostring(svg, encoding="unicode").lower()


@pytest.mark.parametrize("kind", EVERY_KIND)
def test_every_mark_stands_inside_the_picture(kind: str) -> None:
    """No bar or line leaves the paper."""
    sheet = Sheet(300, 200)
    svg = ElementTree.fromstring(draw({"data": EVERY_KIND[kind]}, "trial", sheet))
    for x, y, width, height in boxes(svg):
        assert 0 <= x <= x + width <= sheet.width
        assert 0 <= y <= y + height <= sheet.height
    for mark in svg.iter(f"{SVG}path"):
        if "c-hatch" not in mark.get("class", ""):
            assert all(0 <= x <= sheet.width and 0 <= y <= sheet.height for x, y in points(mark.get("d", "")))


def test_words_from_notes_stay_words() -> None:
    """A name that looks like markup is printed, not obeyed."""
    svg = picture({"type": "bar", "x": ["<script>", "a & b"], "y": [1, 2]}, title="</svg><b>")
    assert {"<script>", "a & b"} <= set(said(svg))
    assert svg.find(f"{SVG}title").text == "</svg><b>"  # type: ignore[union-attr]


def test_bars_are_as_long_as_their_values() -> None:
    """A bar of 4 is twice as long as a bar of 2, both stand on one line, and nothing has no bar."""
    two, four = boxes(picture({"type": "bar", "x": ["a", "b", "c", "d"], "y": [2, 4, 0, None]}))
    assert four[3] == pytest.approx(2 * two[3], abs=0.2)
    assert two[1] + two[3] == pytest.approx(four[1] + four[3], abs=0.2)


def test_stacked_bars_stand_on_each_other() -> None:
    """The second of two stacked bars begins where the first ends; grouped ones stand side by side."""
    pair = ({"type": "bar", "x": ["a"], "y": [2], "name": "m"}, {"type": "bar", "x": ["a"], "y": [3], "name": "n"})
    lower, upper = boxes(picture(*pair, barmode="stack"))[:2]
    assert upper[1] + upper[3] == pytest.approx(lower[1], abs=0.2)
    left, right = boxes(picture(*pair))[:2]
    assert left[0] + left[2] <= right[0]


def test_series_differ_without_colour() -> None:
    """Two series of bars have two fills, and the key shows a sample of each with its name."""
    pair = ({"type": "bar", "x": ["a"], "y": [2], "name": "m"}, {"type": "bar", "x": ["a"], "y": [3], "name": "n"})
    svg = picture(*pair, barmode="stack")
    fills = {box.get("fill") for box in svg.findall(f"{SVG}rect")}
    assert fills == {None, "url(#trial-p1)"}
    assert svg.find(f"{SVG}defs/{SVG}pattern").get("id") == "trial-p1"  # type: ignore[union-attr]
    assert {"m", "n"} <= set(said(svg))


def test_a_pattern_that_the_figure_asks_for_is_used() -> None:
    """`marker.pattern.shape` is read as plotly reads it, so both pictures look alike."""
    svg = picture({"type": "bar", "x": ["a"], "y": [2], "marker": {"pattern": {"shape": "x"}}})
    assert path(svg, "c-hatch") == "M0 0L12 12M12 0L0 12"


def test_lines_break_where_a_value_is_missing() -> None:
    """A missing value is a gap, never a zero."""
    svg = picture({"x": [0, 1, 2, 3, 4], "y": [1, 2, None, 2, 1]})
    lines = [mark for mark in svg.iter(f"{SVG}path") if "c-line" in mark.get("class", "")]
    assert [len(points(line.get("d", ""))) for line in lines] == [2, 2]


def test_lines_go_through_their_points_in_proportion() -> None:
    """Equal steps of the values are equal steps on the paper."""
    (x0, y0), (x1, y1), (x2, y2) = points(path(picture({"x": [0, 10, 30], "y": [0, 1, 3]}), "c-line"))
    assert x2 - x1 == pytest.approx(2 * (x1 - x0), abs=0.3)
    assert y1 - y2 == pytest.approx(2 * (y0 - y1), abs=0.3)


def test_names_stand_at_the_ends_of_lines_and_never_on_each_other() -> None:
    """Three lines that end together still have three names that can be read."""
    traces = [{"x": [0, 1], "y": [0, 5 + place / 100], "name": f"line {place}"} for place in range(3)]
    svg = picture(*traces)
    downs = sorted(float(t.get("y", 0)) for t in svg.iter(f"{SVG}text") if (t.text or "").startswith("line"))
    assert len(downs) == 3
    assert min(b - a for a, b in pairwise(downs)) >= 13


def test_reaches_run_from_less_to_more() -> None:
    """The reach of 5 (less 2, more 3) ends where a line from 3 to 8 ends."""
    reaching = {"mode": "markers", "x": [5], "y": [1], "error_x": {"array": [3], "arrayminus": [2]}}
    svg = picture(reaching, {"x": [3, 8], "y": [1, 1]}, xaxis={"range": [0, 10]})
    way = path(svg, "c-reach")
    low, high = (float(way[1:].split(" ")[0]), float(way.split("H")[1].split("m")[0]))
    (three, _), (eight, _) = points(path(svg, "c-line"))
    assert (low, high) == pytest.approx((three, eight), abs=0.2)


def test_today_is_marked_by_a_line_with_words() -> None:
    """A shape named "today" is drawn across the whole plot and says what it is."""
    line = {"type": "line", "name": "today", "x0": "2026-04-03", "x1": "2026-04-03", "y0": 0, "y1": 1, "yref": "paper"}
    svg = picture({"type": "bar", "x": WEEK, "y": [1] * 7}, shapes=[{**line, "label": {"text": "today"}}])
    (x0, y0), (x1, y1) = points(path(svg, "c-today"))
    third = boxes(svg)[2]
    assert x0 == x1 == pytest.approx(third[0] + third[2] / 2, abs=0.2)
    assert y0 > y1
    assert "today" in said(svg)


def test_cells_deepen_with_their_value_and_hold_their_words() -> None:
    """The least cell is the palest, the greatest the deepest, a missing one is empty paper."""
    svg = picture({"type": "heatmap", "x": WEEK[:3], "y": ["Far Lot"], "z": [[1, None, 9]], "text": [["H", "", "L"]]})
    cells = [cell.get("class") for cell in svg.findall(f"{SVG}path") if "c-cell" in str(cell.get("class"))]
    assert cells == ["c-cell c-1 c-z1", "c-cell c-1 c-z5"]
    assert {"H", "L", "Far Lot"} <= set(said(svg))


def test_an_unknown_kind_of_trace_is_refused() -> None:
    """A figure that cannot be drawn is a fault, not an empty picture."""
    with pytest.raises(KeyError):
        picture({"type": "pie", "x": [1], "y": [1]})


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0, 10, ["0", "2", "4", "6", "8", "10"]),
        (0, 1, ["0", "0.2", "0.4", "0.6", "0.8", "1"]),
        (-3, 3, ["−2", "0", "2"]),
    ],
)
def test_numbers_beside_an_axis_are_round(low: float, high: float, expected: list[str]) -> None:
    """Steps of 1, 2 or 5 times a power of ten; a minus is a minus. Common practice, no source."""
    assert [text for _, text in number_ticks(low, high, 5)] == expected


def test_days_become_months_on_a_long_axis() -> None:
    """A month is marked by days, a year by the first days of months with the year at January."""
    april = date(2026, 4, 1).toordinal()
    shown = [text.replace("\u00a0", " ") for _, text in date_ticks(april, april + 28, 5)]
    assert shown == ["1 Apr", "8 Apr", "15 Apr", "22 Apr", "29 Apr"]
    autumn = date(2025, 10, 15).toordinal()
    assert [text for _, text in date_ticks(autumn, autumn + 150, 5)] == ["Nov", "Dec", "Jan 2026", "Feb", "Mar"]
    assert [text for _, text in date_ticks(autumn, autumn + 1500, 5)] == ["2026", "2027", "2028", "2029"]


def test_an_axis_may_say_its_own_marks_and_order() -> None:
    """`tickvals` with `ticktext`, `categoryarray` and a reversed axis are followed."""
    axis = {"tickvals": [1, 3], "ticktext": ["thin", "fit"], "range": [0, 5]}
    assert ticks(axis, make_scale(axis, [], (0, 100)), 5) == [(1.0, "thin"), (3.0, "fit")]
    ordered = make_scale({"type": "category", "categoryarray": ["b", "a"]}, ["a", "b"], (0, 100))
    assert ordered.at("b") < ordered.at("a")
    assert make_scale({"type": "category", "autorange": "reversed"}, ["a", "b"], (0, 100)).at("a") > 50


@pytest.mark.parametrize("kind", EVERY_KIND)
def test_plotly_understands_the_same_figure(kind: str) -> None:
    """Check against an outside reader: `plotly.graph_objects` accepts every figure that is drawn here."""
    plotly = pytest.importorskip("plotly.graph_objects")
    figure = plotly.Figure({"data": list(EVERY_KIND[kind]), "layout": {"title": {"text": "T"}, "meta": {"says": "D"}}})
    assert len(figure.data) == len(EVERY_KIND[kind])


NAMES, TEXTS = st.sampled_from(["x", "class", "data-1"]), st.text("a<>&\"'\n\t\ré ", max_size=6)


def element(attributes: dict[str, str], text: str, tail: str, inner: list[ElementTree.Element]) -> ElementTree.Element:
    """An element of a picture."""
    made = ElementTree.Element("g", attributes)
    made.text, made.tail = text, tail
    made.extend(inner)
    return made


def grown(inner: st.SearchStrategy[ElementTree.Element]) -> st.SearchStrategy[ElementTree.Element]:
    """An element around others."""
    return st.builds(element, st.dictionaries(NAMES, TEXTS), TEXTS, TEXTS, st.lists(inner, max_size=3))


@given(st.recursive(st.builds(element, st.dictionaries(NAMES, TEXTS), TEXTS, TEXTS, st.just([])), grown, max_leaves=8))
def test_pictures_are_written_as_the_library_writes_them(tree: ElementTree.Element) -> None:
    """Any elements, attributes and texts, to the byte (Python's own ElementTree)."""
    assert picture_text(tree) == ElementTree.tostring(tree, encoding="unicode")
