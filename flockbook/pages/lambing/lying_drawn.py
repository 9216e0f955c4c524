"""How a lamb lies, in lines: our own drawings, the ewe's passage to the right, the same on cards, page and paper."""

from __future__ import annotations

from compiler.pages import Html
from flockbook.pages.views import Drawing

PASSAGE = "M80 5C52 -1 7 5 5 36C7 67 52 73 80 67M80 5C87 15 98 19 116 19M80 67C87 57 98 53 116 53"
# What a lamb is drawn of: its trunk, head and neck, and each leg as it may lie.
STROKES = {
    "trunk": "M22 34C22 20 40 18 54 22C64 25 68 32 66 40C63 50 48 52 36 50C27 49 22 43 22 34Z",
    "large trunk": "M14 34C14 12 36 9 56 13C70 16 75 28 73 42C70 58 48 61 32 58C20 56 14 47 14 34Z",
    "turned trunk": "M66 34C66 20 48 18 36 22C26 25 22 32 24 40C27 50 42 52 54 50C62 49 66 43 66 34Z",
    "cross trunk": "M64 10C78 12 82 26 80 40C78 54 72 64 62 62C52 60 54 46 54 36C54 24 54 9 64 10Z",
    "head": "M60 26C66 20 74 20 80 23L96 31C99 33 99 38 95 39L80 40C72 41 68 38 64 40M77 22C73 17 69 17 67 20",
    "head out": "M62 27C70 20 84 19 92 22L110 30C115 33 115 41 109 42L90 44C78 45 72 40 64 40M89 21C85 15 80 15 78 19",
    "head back": "M61 27C67 17 61 10 49 11L36 15C32 16 32 20 36 21L48 21C52 21 53 24 51 27M53 11C56 6 61 7 61 11",
    "head left": "M30 26C24 20 18 20 14 24L7 34C5 37 7 40 10 39L20 36C24 35 26 37 28 39M18 21C21 16 25 17 26 20",
    "head up": "M58 14C52 6 42 6 38 11L29 19C27 22 29 25 32 24L44 22C48 21 52 22 56 24M44 7C46 2 51 2 52 6",
    "near fore": "M58 46L78 47L106 44",
    "far fore": "M62 41L80 46L110 48",
    "near fore back": "M56 48L46 56L30 57",
    "far fore back": "M60 45L52 52L38 54",
    "elbows": "M56 45L68 57L74 46L97 47M62 44L73 55L79 43L100 44",
    "hind": "M26 44L18 52L28 58M30 47L24 56L34 61",
    "hind out": "M62 42L82 45L110 43M60 45L82 49L112 48M110 43l3 -4M112 48l3 -4",
    "hind under": "M60 46L50 56L32 57M62 44L54 52L40 54M66 33L73 31",
    "fore left": "M30 45L20 52L28 58",
    "legs left": "M60 26L46 30L34 28M58 34L44 38L32 36M60 54L48 52L38 56M58 58L46 58L36 62",
    "second trunk": "M70 60C60 68 38 68 26 60C20 55 26 50 36 52C48 54 62 54 70 60Z",
    "second hind": "M66 60L84 51L112 51M64 62L84 49L108 38",
}  # fmt: skip
DRAWN_OF = {
    "normal": ("hind", "trunk", "far fore", "near fore", "head"),
    "one leg back": ("hind", "trunk", "far fore", "near fore back", "head"),
    "both legs back": ("hind", "trunk", "far fore back", "near fore back", "head"),
    "head only": ("hind", "trunk", "far fore back", "near fore back", "head out"),
    "head back": ("hind", "trunk", "far fore", "near fore", "head back"),
    "elbow lock": ("hind", "trunk", "elbows", "head"),
    "backwards": ("fore left", "turned trunk", "hind out", "head left"),
    "breech": ("fore left", "turned trunk", "hind under", "head left"),
    "crosswise": ("cross trunk", "legs left", "head up"),
    "tangled": ("second trunk", "second hind", "trunk", "far fore", "near fore", "head"),
    "tight": ("hind", "large trunk", "far fore", "near fore", "head out"),
}
CLOSED = ("trunk", "head")  # what is filled with paper, so that it covers what lies behind


def drawn_lying(way: str, said: str) -> Drawing | str:
    """The drawing of a way of lying, with its name for those who do not see it; "" where there is none."""
    if way not in DRAWN_OF:
        return ""
    lamb = "".join(
        f'<path class="{"l-body" if part.rpartition(" ")[2] in CLOSED or part.split()[0] in CLOSED else "l-leg"}" '
        f'd="{STROKES[part]}"/>'
        for part in DRAWN_OF[way]
    )
    svg = (
        f'<svg class="lies" viewBox="0 0 120 72" role="img" aria-label="{said}"><path class="l-way" d="{PASSAGE}"/>'
        f"{lamb}</svg>"
    )
    return Drawing(Html(svg))
