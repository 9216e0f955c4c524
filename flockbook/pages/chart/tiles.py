"""A whole shared out: tiles as large as their values (plotly's `treemap`), each with as much of its words as it bears.

`text` of a tile is words line by line, the fullest first: an entry is a tuple of ways to say it, each a list of lines.
A tile whose name does not fit is numbered, and named under the picture.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from compiler.shape import Value
from flockbook.pages.chart.marks import Trace, n, text_mark
from flockbook.pages.chart.sheet import LETTER, LINE, Sheet

AIR = 5.0  # between the edge of a tile and its words
BOLD = LETTER * 1.15  # the width of a bold letter
DEPTHS = 5  # of shade, as the cells of a heat map have them


class Tract(Value):
    """One tile on the paper."""

    x: float
    y: float
    width: float
    height: float


def shared_out(values: Sequence[float], ground: Tract) -> list[Tract]:
    """Tiles as large as their values (the largest first) on a whole ground, as near to squares as rows of them can be
    (Bruls, Huizing and van Wijk, Squarified Treemaps, 2000).
    """
    if not values:
        return []
    scale = ground.width * ground.height / sum(values)
    count = 1
    while count < len(values) and worst(values[: count + 1], scale, ground) <= worst(values[:count], scale, ground):
        count += 1
    row, left = laid(values[:count], scale, ground)
    return [*row, *shared_out(values[count:], left)]


def worst(values: Sequence[float], scale: float, ground: Tract) -> float:
    """How far from a square the worst tile of a row along the shorter side would be."""
    side, whole = min(ground.width, ground.height), sum(values) * scale
    depth = whole / side
    return max(max(depth * depth / (value * scale), value * scale / (depth * depth)) for value in values)


def laid(values: Sequence[float], scale: float, ground: Tract) -> tuple[list[Tract], Tract]:
    """A row of tiles along the shorter side, and the ground that is left."""
    upright = ground.width >= ground.height
    depth = sum(values) * scale / (ground.height if upright else ground.width)
    row, gone = [], 0.0
    for value in values:
        length = value * scale / depth
        if upright:
            row.append(Tract(ground.x, ground.y + gone, depth, length))
        else:
            row.append(Tract(ground.x + gone, ground.y, length, depth))
        gone += length
    if upright:
        return row, Tract(ground.x + depth, ground.y, ground.width - depth, ground.height)
    return row, Tract(ground.x, ground.y + depth, ground.width, ground.height - depth)


def draw_tiles(svg: Element, trace: Trace, sheet: Sheet) -> None:
    """All tiles, and below them the names of those too small to bear them."""
    order = sorted(range(len(trace["values"])), key=lambda place: -trace["values"][place])
    values = [trace["values"][place] for place in order]
    told = [TileWords(str(trace["labels"][place]), tuple(trace["text"][place])) for place in order]
    room, under = sheet.height, 0.0
    for _ in range(2):
        tracts = shared_out(values, Tract(1, 1, sheet.width - 2, room - under - 2))
        small = [words.name for words, tract in zip(told, tracts, strict=True) if not words.fits(tract)]
        under = LINE * len(list(key_rows(small, sheet)))
    depths = [(trace.get("marker") or {}).get("colors", [None] * len(order))[place] for place in order]
    for words, tract, depth in zip(told, tracts, depths, strict=True):
        draw_tile(svg, tract, depth)
        number = str(small.index(words.name) + 1) if words.name in small else ""
        bold = 0 if number else len(wrapped(words.name, tract, BOLD))
        draw_lines(svg, tract, [number] if number else words.fullest(tract), bold)
    for line, text in enumerate(key_rows(small, sheet), 1):
        svg.append(text_mark(2, room - under + LINE * line - 4, text))


class TileWords(Value):
    """What a tile says: its name, and ways to say the rest, each a tuple of lines, the fullest first."""

    name: str
    ways: tuple[tuple[str, ...], ...]

    def fits(self, tract: Tract) -> bool:
        """Whether the tile bears its own name."""
        return bears(wrapped(self.name, tract, BOLD), tract)

    def fullest(self, tract: Tract) -> list[str]:
        """As much as the tile bears."""
        name = wrapped(self.name, tract, BOLD)
        said = ([*name, *(line for text in way for line in wrapped(text, tract))] for way in self.ways)
        return next((lines for lines in said if bears(lines, tract)), name)


def wrapped(text: str, tract: Tract, letter: float = LETTER) -> list[str]:
    """A text in lines of the tile's width, parted at blanks."""
    most, lines = max(1, int((tract.width - 2 * AIR) / letter)), [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if len(longer) <= most or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def bears(lines: Sequence[str], tract: Tract) -> bool:
    """Whether lines stand in a tile whole."""
    wide = max(len(line) for line in lines) * LETTER <= tract.width - 2 * AIR
    return wide and len(lines) * LINE + 3 <= tract.height


def key_rows(names: Sequence[str], sheet: Sheet) -> Iterator[str]:
    """The numbered names in as many lines as they take."""
    line = ""
    for number, name in enumerate(names, 1):
        longer = f"{line}   {number} {name}".strip()
        if line and len(longer) * LETTER > sheet.width:
            yield line
            longer = f"{number} {name}"
        line = longer
    if line:
        yield line


def draw_tile(svg: Element, tract: Tract, depth: Any) -> None:
    """One tile: shaded by a part of one, or bare in a heavy frame where its shade is None."""
    box = {"x": tract.x, "y": tract.y, "width": tract.width, "height": tract.height}
    looks = "c-tract c-bare" if depth is None else f"c-tract c-3 c-z{1 + min(DEPTHS - 1, int(DEPTHS * depth))}"
    SubElement(svg, "rect", {"class": looks, **{key: n(value) for key, value in box.items()}})


def draw_lines(svg: Element, tract: Tract, lines: Sequence[str], bold: int) -> None:
    """The words of a tile from its upper left corner, the first ones `bold`; a number that is too large for its tile is
    left to the list below.
    """
    for place, line in enumerate(lines, 1):
        if len(line) * LETTER <= tract.width and place * LINE <= tract.height + 4:
            looks = "c-text c-strong" if place <= bold else "c-text"
            svg.append(text_mark(tract.x + AIR, tract.y + LINE * place, line, looks=looks))
