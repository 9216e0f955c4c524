"""The flock book as one value: what the compiler needs to know of sheep. Read this and `compiler/build.py` first."""

from __future__ import annotations

from pathlib import Path

from compiler import collection, decode, faults, folder, frontmatter, notes, pictures, templatecheck
from compiler.book import Book, Contents
from compiler.diagnostics import Diagnostic, Rule
from compiler.shape import replace
from flockbook import checks, linking, settings_reading
from flockbook.checks import CHECKS
from flockbook.derive.facts import Facts, derive
from flockbook.flock import Flock
from flockbook.linking import link
from flockbook.manner import in_manner
from flockbook.records import KINDS
from flockbook.records.jotted_line import INBOX
from flockbook.regional import local_around
from flockbook.settings import Settings
from flockbook.settings_reading import read_settings, with_factors

RULES: tuple[Rule, ...] = (
    *frontmatter.RULES,
    *notes.RULES,
    *folder.RULES,
    *collection.RULES,
    *decode.RULES,
    *settings_reading.RULES,
    *linking.RULES,
    *checks.RULES,
    *faults.RULES,
    *pictures.RULES,
    *templatecheck.RULES,
)


def theme_folder() -> Path:
    """The theme beside the package when installed, else the one of the checkout."""
    inside = Path(__file__).parent / "themes" / "ledger"
    return inside if inside.is_dir() else Path(__file__).parent.parent / "themes" / "ledger"


# What the book does about a note that could not be read, by its kind.
HELD_MEANWHILE = {
    "treatment": "nobody in this note is shown as clear to sell",
    "medicine": "nobody who got this product is shown as clear to sell",
}
HELD_BY_ANY = "it may be a treatment: no sheep that it could concern is shown as clear to sell"


def contents() -> Contents[Settings, Flock, Facts]:
    """The pages, loaded only when they are made."""
    from flockbook.pages.contents import contents_said

    return contents_said()


def message_in_words(settings: Settings, message: Diagnostic) -> Diagnostic:
    """A message whose cure is in the flock's own words and units: what stands between back-quotes is to be typed, and
    only its days and hours are put in her order.
    """
    cure = settings.measures.example(message.help)
    return in_manner(settings.manner, lambda: replace(message, help=local_around(cure)))


BOOK: Book[Settings, Flock, Facts] = Book(
    name="flockbook",
    kinds=KINDS,
    settings_file="flock.yaml",
    read_settings=read_settings,
    habits=lambda found: found.habits,
    skip=lambda found: found.file.skip,
    title=lambda found: found.flock,
    link=link,
    derive=derive,
    checks=CHECKS,
    contents=contents,
    rules=RULES,
    theme=str(theme_folder()),
    meanwhile=lambda kind: HELD_MEANWHILE.get(kind, HELD_BY_ANY),
    named=lambda found: (found.factors_file,) if found.factors_file else (),
    take=with_factors,
    lines_in=INBOX,
    worded=message_in_words,
    tracked=lambda found: found.file.history is not None,
)
