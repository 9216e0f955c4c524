"""Notes typed as text, compiled to a whole book: what a shepherd reads of them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape
from pathlib import Path

from compiler.build import build
from flockbook.book import BOOK
from tests.flockbook.small import moment

TAGS = re.compile(r"<(?:script|style).*?</(?:script|style)>|<[^>]+>", re.S)


class Compiled:
    """A book in its folder, read page by page."""

    def __init__(self, notes: Mapping[str, str], on: str, place: Path) -> None:
        """Write the notes, and compile them as of a moment."""
        for name, text in notes.items():
            path = place / "notes" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        self.folder = place / "book"
        self.told = build(place / "notes", BOOK, moment(on), self.folder, cache=place / "cache").findings

    def html(self, page: str) -> str:
        """A page as it was written."""
        return (self.folder / page).read_text(encoding="utf-8")

    def words(self, page: str) -> str:
        """The words of a page, blanks made one."""
        return " ".join(unescape(TAGS.sub(" ", self.html(page))).split())
