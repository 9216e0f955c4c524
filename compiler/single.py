"""Pages that hold others whole, and files that stand alone: their places made one each, their ways out made words."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Mapping

from compiler.pages import linked

MAIN = re.compile(r"<main\b[^>]*>(.*)</main>", re.S)
BODY_LOOKS = re.compile(r'<body class="([^"]*)"')
PLACES = re.compile(r'\b(id|aria-labelledby|aria-describedby|for)="([^"]*)"')
PAINT = re.compile(r"url\(#([^)\"]*)\)")
HREF = re.compile(r'\bhref="([^"]*)"')
WAY_OUT = re.compile(r'<a\b([^>]*?) href="(?!#)[^"]*"([^>]*)>(.*?)</a>', re.S)
END = "</main>"


def place_of(path: str) -> str:
    """The place of a held page in the file that holds it: `notes/a1.html` → `notes-a1`."""
    return re.sub(r"[^a-z0-9]+", "-", path.removesuffix(".html").lower())


def holding(own: str, path: str, held: Mapping[str, str]) -> str:
    """A drawn page with the whole of other drawn pages below it, by their paths; links between these stay inside."""
    articles = "".join(article(found, path, html, held) for found, html in held.items())
    before, end, after = own.rpartition(END)
    return f"{before}{articles}{end}{after}"


def article(path: str, holder: str, html: str, held: Iterable[str]) -> str:
    """What one page shows, as a part of another; its look for paper is that of its own page."""
    shown, looks = MAIN.search(html), BODY_LOOKS.search(html)
    place = place_of(path)
    inside = PLACES.sub(lambda found: f'{found[1]}="{_within(place, found[2])}"', shown[1] if shown else "")
    inside = PAINT.sub(lambda found: f"url(#{place}--{found[1]})", inside)
    inside = HREF.sub(lambda found: f'href="{_led(found[1], path, holder, held)}"', inside)
    return f'<article class="held {looks[1] if looks else ""}" id="{place}">{inside}</article>\n'


def _within(place: str, names: str) -> str:
    """Names of places on a page, as they are called in the file that holds it."""
    return " ".join(f"{place}--{name}" for name in names.split())


def _led(href: str, path: str, holder: str, held: Iterable[str]) -> str:
    """Where a link of a held page leads from the file that holds it."""
    if re.match(r"[a-z]+:", href):
        return href
    file, _, name = href.partition("#")
    to = posixpath.normpath(posixpath.join(posixpath.dirname(path), file)) if file else path
    if to in held:
        return f"#{place_of(to)}{f'--{name}' if name else ''}"
    return linked(holder, f"{to}#{name}" if name else to)


def unlinked(html: str) -> str:
    """A file that stands alone: whatever would lead out of it is words."""
    return WAY_OUT.sub(r"<span\1\2>\3</span>", html)
