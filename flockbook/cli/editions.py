"""The book in other forms than its folder: what a single file needs beside the pages."""

from __future__ import annotations

from datetime import UTC
from pathlib import Path

from compiler.binding import Bound, bind, stamp_of
from compiler.epub import About
from compiler.home import home_of
from compiler.pictures import find as find_pictures
from compiler.shape import replace
from compiler.templates import Theme
from flockbook.book import BOOK
from flockbook.manner import speaking
from flockbook.pages.stamp import made_words
from flockbook.pages.wording import plural
from flockbook.seen import Seen

LANGUAGES = {"uk": "en-GB", "us": "en-US"}


def bound_book(seen: Seen, notes: Path) -> Bound:
    """All pages of the book, not drawn yet."""
    found = replace(seen, pictures=find_pictures(notes))
    return bind(found, BOOK, Theme(Path(BOOK.theme), home_of(notes, BOOK.name)))


def about(seen: Seen) -> About:
    """What a single file says of itself: a reader's clock adds nothing to it, so it says in words how it ages."""
    stamp, manner = stamp_of(seen), seen.settings.manner
    with speaking(manner):
        made = made_words(stamp)
        words = (
            f"{seen.settings.flock}. As at {made}, from {plural(stamp.read, 'note')}; "
            f"{stamp.errors + stamp.asks} to mend. Whatever was written later is not in it: "
            "before a sale look into the newest book."
        )
    return About(seen.settings.flock, LANGUAGES[manner.words], stamp.on.at.replace(microsecond=0, tzinfo=UTC), words)
