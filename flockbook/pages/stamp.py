"""The build stamp as a style sheet of its own.

Every page says when the book was made and from what, and yet a page whose facts did not change keeps its bytes: the
words of the stamp stand in one small file, `stamp.css`, that all pages show. It needs no script, and a page that has
lost it says that it must not be relied on (see `unstamped` in the theme's `base.html`).
"""

from __future__ import annotations

import base64
import hashlib
from datetime import datetime

from compiler.book import Stamp
from compiler.pages import Asset, Html
from compiler.shape import Value
from flockbook.pages.wording import clock_words, day_words, long_day_words, plural

PATH = "stamp.css"


BROKEN_OFF = (
    "This book is being written, or its writing was broken off: its pages may be of different moments. "
    "Do not rely on them until it is made again (flockbook compile)."
)


class StampSheet(Value):
    """The stamp's style sheet, and its digest as a page's security policy names it (`sha256-…`)."""

    css: Html
    digest: str

    @property
    def asset(self) -> Asset:
        """The file that the pages of the folder book link to."""
        return Asset(PATH, self.css.encode(), BEING_WRITTEN.encode())


def stamp_sheet(flock: str, stamp: Stamp, loud_after: int) -> StampSheet:
    """The stamp of a book; `loud_after` is after how many hours a reader's clock makes it loud."""
    css = "\n".join((*_for_script(stamp, loud_after), *_words(flock, stamp), *_print(flock, stamp), ""))
    digest = base64.b64encode(hashlib.sha256(css.encode()).digest()).decode()
    return StampSheet(Html(css), f"sha256-{digest}")


def made_words(stamp: Stamp) -> str:
    """When the book was made, as printed: "5 Apr 2026, 05:40", without the time where none is known."""
    at = stamp.on.at
    return f"{day_words(at.date())}, {clock_words(at)}" if stamp.on.timed else day_words(at.date())


def _for_script(stamp: Stamp, loud_after: int) -> tuple[str, ...]:
    """What the script compares with the reader's clock."""
    made = stamp.on.at.strftime("%Y-%m-%dT%H:%M" if stamp.on.timed else "%Y-%m-%d")
    return (f":root {{ --made: {css_string(made)}; --loud-after: {loud_after}; }}", ".unstamped { display: none; }")


def _words(flock: str, stamp: Stamp) -> tuple[str, ...]:
    """The stamp at the head and at the foot of every page."""
    mend = stamp.errors + stamp.asks
    newest = f"; the newest is of {day_words(datetime.fromisoformat(stamp.newest).date())}" if stamp.newest else ""
    made = f"{flock}. Made {made_words(stamp)} from {plural(stamp.read, 'note')}{newest}."
    told = (
        f"{plural(stamp.errors, 'error')}, {stamp.asks} to confirm, "
        f"{plural(stamp.warnings, 'warning')}, {stamp.gaps} still to write. "
    )
    hour = f", {clock_words(stamp.on.at)}" if stamp.on.timed else ""
    return (
        _says(".as-at .day", f"As at {long_day_words(stamp.on.day)}{hour}"),
        _says(".as-at .mend", f"{mend} to mend") if mend else ".as-at .mend { display: none; }",
        _says(".stamp .made", made),
        _says(".stamp .told", told),
    )


def _print(flock: str, stamp: Stamp) -> tuple[str, ...]:
    """The foot of every printed sheet."""
    foot = css_string(f"{flock} · made {made_words(stamp)}")
    return (f"@page {{ @bottom-left {{ content: {foot}; font: 8.5pt sans-serif; }} }}",)


def _says(place: str, text: str) -> str:
    return f"{place}::before {{ content: {css_string(text)}; }}"


def css_string(text: str) -> str:
    """A text as a CSS string that nothing in it can end (CSS Syntax Level 3, §4.3.5 and §4.3.7).

    `<` is escaped too, so that the sheet may stand inside a page.
    """
    return '"' + "".join(f"\\{ord(char):x} " if char in '"\\<>&' or ord(char) < 32 else char for char in text) + '"'


# What stands in the stamp's place while pages are being written. It says nothing of when, so no script counts hours.
BEING_WRITTEN = "\n".join(
    (
        ".unstamped { display: none; }",
        _says(".as-at .day", "Being written: do not rely on it yet"),
        ".as-at .mend { display: none; }",
        ".stamp .made { font-weight: 700; }",
        _says(".stamp .made", BROKEN_OFF),
        '@page { @bottom-left { content: "half written: do not rely on it"; font: 8.5pt sans-serif; } }',
        "",
    )
)
