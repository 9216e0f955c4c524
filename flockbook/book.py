"""The flock book as one value: what the compiler needs to know of sheep. Read this and `compiler/build.py` first."""

from __future__ import annotations

from pathlib import Path

from compiler import collection, decode, faults, folder, frontmatter, notes, pictures, templatecheck
from compiler.book import Book, Contents
from compiler.collection import KIND_MISSING
from compiler.diagnostics import Diagnostic, Rule
from compiler.names import day_begun
from compiler.shape import replace
from flockbook import checks, linking, settings_reading
from flockbook.checks import CHECKS
from flockbook.derive.facts import Facts, derive
from flockbook.flock import Flock
from flockbook.gathering import rules as gathering
from flockbook.linking import link
from flockbook.manner import in_manner
from flockbook.records import KINDS
from flockbook.records.jotted_line import INBOX
from flockbook.regional import local, local_around
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
    *gathering.RULES,
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
    return in_manner(
        settings.manner,
        lambda: replace(
            message,
            message=local_around(message.message) if message.code in OF_KINDS else message.message,
            help=local_around(settings.measures.example(kind_guessed(message, settings.habits.dates))),
        ),
    )


# Messages that name a kind and its fields, and nothing that she typed outside of back-quotes.
OF_KINDS = frozenset({"F101", "F102", "G101", "N123", "N125"})


def kind_guessed(message: Diagnostic, order: str) -> str:
    """The cure of a message; of a note whose kind nothing says, with the kind that a word of its name is about, and
    with the day that its name begins with.
    """
    if message.code != KIND_MISSING.code:
        return message.help
    from flockbook.jotting.kind_examples import kind_of_name

    own = local(kind_of_name(message.span.path))
    if not own:
        return message.help
    day = day_begun(message.span.path, order)
    dated = f" and, if its name begins with that day, `date: {day}`" if day else ""
    article = "an" if own[0] in "aeiou" else "a"
    return f"is it {article} {own} note? then add the line `note: {own}`{dated}; else {message.help}"


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
    code=tuple(str(Path(__file__).parents[1] / name) for name in ("compiler", "flockbook")),
)
