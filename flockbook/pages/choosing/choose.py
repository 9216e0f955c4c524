"""Who stays: every grown ewe with the reasons for and against her, the flock's rules, and the sorting sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.choosing.ewe_file import EweReason
from flockbook.derive.choosing.reasons import CHOOSING_RULE, CULL, KEEP, WATCH, Choice
from flockbook.figures import CHOOSING, DEFAULTS
from flockbook.pages.growth.race import by_tag
from flockbook.pages.long_tables import ROWS, Seat, links, over_pages
from flockbook.pages.sections import PENCIL, PencilSheet, Section, SectionsView, pager, pencil_row
from flockbook.pages.views import (
    Caution,
    Cell,
    Column,
    Directory,
    Row,
    Stack,
    StateView,
    Table,
    Words,
    directory,
    meat_view,
)
from flockbook.pages.views import WorkingStep as Because
from flockbook.pages.wording import as_sentence, day_words, plural
from flockbook.regional import local, local_all
from flockbook.saying.because import step_words
from flockbook.saying.choosing import TOO_LITTLE_KNOWN, ewe_reason_words
from flockbook.seen import Seen

PATH, CHOOSE_SHEET, SECTION = "choose.html", "choose-sheet.html", "Who stays"
SUGGESTED_ORDER = {CULL: 0, WATCH: 1, KEEP: 2}
CAUTION = Caution(
    "Reasons, and no verdict",
    (
        "A suggestion follows from the rules below and from nothing else: nothing is added up, nobody is ranked. What "
        "is not written cannot speak. The choice is yours; ask your vet about udders, prolapse and lameness.",
        "A ewe that is not clear may not be killed or sold for food until her day, whoever suggests that she goes. A "
        "ewe near her time does not travel: your own rules say from when.",
    ),
)
SHEET_COLUMNS = (
    Column("Ewe"), Column("Suggested, and why"),
    Column("Stays", looks="blank"), Column("Goes", looks="blank"), Column("Seen in the race", looks="blank"),
)  # fmt: skip


class StayView(Value):
    """What is suggested of one ewe, what speaks for and against her, and the notes it rests on."""

    suggest: str
    against: tuple[str, ...]
    good: tuple[str, ...]
    why: tuple[Because, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The worksheet, the pages where it goes on, and the sheet to print."""
    del stamp
    tags = directory(seen.linked, seen.today)
    first, more = over_pages(ewes_table(seen, tags), Seat(PATH, SECTION))
    sections = (
        Section("Ewes", (first,), "ewes-head", plural(len(seen.facts.choosing.choices), "ewe")),
        Section("The rule", (*local_all(CHOOSING_RULE), rules_table(seen)), "rule"),
    )
    yield Page(PATH, "sections.html", SECTION, SectionsView(lead(seen), sections, (CAUTION,), paper="landscape"))
    yield from more
    yield from choose_sheets(seen, tags)


def lead(seen: Seen) -> str:
    """How many of each."""
    said = [choice.suggest for choice in seen.facts.choosing.choices]
    little = sum(choice.little for choice in seen.facts.choosing.choices)
    words = f"Cull {said.count(CULL)}, watch {said.count(WATCH)}, keep {said.count(KEEP)}, by your rules."
    return f"{words} Of {little} too little is known." if little else words


def ewes_table(seen: Seen, tags: Directory) -> Table:
    """Every ewe: those with a reason to go first, then those to watch, then the others, each in order of tags."""
    columns = (
        Column("Ewe", sort=True),
        Column("Suggested", sort=True),
        Column("Meat"),
        Column("Against her, and for her", wide=True),
    )
    due = {row.ewe: row.due.likely for row in seen.facts.breeding.due.rows}
    rows = tuple(
        Row(
            (
                tags.tag(choice.ewe),
                suggested(choice, due.get(choice.ewe)),
                meat(choice) or "",
                Words(both_sides(choice)),
            )
        )
        for choice in in_order(seen)
    )
    return Table(columns, rows, "No grown ewe is in the book yet.", "ewes", filter="Narrow the list")


def in_order(seen: Seen) -> list[Choice]:
    """By suggestion, then by tag."""
    animals = seen.linked.animals
    return sorted(
        seen.facts.choosing.choices, key=lambda item: (SUGGESTED_ORDER[item.suggest], by_tag(animals[item.ewe]))
    )


def suggested(choice: Choice, due: date | None) -> str:
    """`watch: too little is known of her; may lamb about 24 Apr 2027`."""
    words = f"{choice.suggest}: {TOO_LITTLE_KNOWN}" if choice.little and not choice.against else choice.suggest
    return f"{words}; may lamb about {day_words(due)}" if due else words


def both_sides(choice: Choice) -> str:
    """What speaks against a ewe, and what for her."""
    against, good = (reasons_told(reasons) or "nothing written." for reasons in (choice.against, choice.for_))
    return f"Against: {against} For: {good}"


def reasons_told(reasons: Iterable[EweReason]) -> str:
    """Reasons as sentences, those to go first and named so."""
    ordered = sorted(reasons, key=lambda reason: not reason.full)
    return " ".join(as_sentence(f"{'to go: ' if reason.full else ''}{ewe_reason_words(reason)}") for reason in ordered)


def meat(choice: Choice) -> StateView | None:
    """Whether she may be killed or sold for food."""
    return meat_view(choice.standing, "clear-to-sell.html") if choice.standing else None


def rules_table(seen: Seen) -> Table:
    """The flock's rules as they are in force."""
    columns = (Column("Rule"), Column("To go from"), Column("What is counted", wide=True), Column("Source", wide=True))
    rows = [
        Row((local(name.removeprefix(CHOOSING).replace("_", " ")), from_words(seen, name), Words(default.unit),
             Words(local(seen.settings.source(name)))))
        for name, default in DEFAULTS.items()
        if name.startswith(CHOOSING)
    ]  # fmt: skip
    return Table(columns, tuple(rows), "")


def from_words(seen: Seen, name: str) -> str:
    """The figure of a rule in words."""
    figure = seen.settings.figure(name)
    if name.endswith("broken_mouth_below"):
        return f"below {figure:g}" if figure else "watch only"
    if name.endswith("weaned_a_year"):
        return f"{figure:g} speaks for her"
    return f"{figure:g} or more" if figure else "watch only"


def stay_view(choice: Choice | None) -> StayView | None:
    """One ewe's part on her own page."""
    if choice is None:
        return None
    words = suggested(choice, None)
    notes = [item for reason in (*choice.against, *choice.for_) for item in reason.because]
    why = tuple(Because(step_words(item), item.note, item.line or 0) for item in dict.fromkeys(notes))
    against, good = ([reasons_told((reason,)) for reason in side] for side in (choice.against, choice.for_))
    return StayView(words, tuple(against), tuple(good), why)


# The sheet for the race


def choose_sheets(seen: Seen, tags: Directory) -> Iterator[Page]:
    """The sorting sheet, over as many pages as it needs."""
    choices = sorted(seen.facts.choosing.choices, key=lambda item: by_tag(seen.linked.animals[item.ewe]))
    rows = [pencil_row(sorting_cells(choice, tags), SHEET_COLUMNS) for choice in choices]
    parts = [tuple(rows[start : start + ROWS]) for start in range(0, len(rows), ROWS)] or [()]
    names = [CHOOSE_SHEET if number == 1 else f"choose-sheet-{number}.html" for number in range(1, len(parts) + 1)]
    lead = f"{plural(len(rows), 'ewe')}, in order of tags."
    for name, part in zip(names, parts, strict=True):
        sheet = PencilSheet(PENCIL, SHEET_COLUMNS, part, "No grown ewe is in the book yet.", big=True)
        view = SectionsView(lead, top=(CAUTION, sheet), foot=pager(links(names, name)), paper="landscape")
        yield Page(name, "sections.html", local("Race sheet: sorting"), view, local("Race sheets"))


def sorting_cells(choice: Choice, tags: Directory) -> tuple[Cell, ...]:
    """What is known of one ewe on the sheet: her tag with her hold, what is suggested, and why."""
    suggest = choice.suggest.upper() if choice.suggest == CULL else choice.suggest
    little = as_sentence(TOO_LITTLE_KNOWN) if choice.little else ""
    why, hold = reasons_told(choice.against) or little, meat_not_clear(choice)
    tag, said = tags.tag(choice.ewe), Words(suggest, looks="strong")
    return Stack((tag, hold)) if hold else tag, Stack((said, Words(why, looks="history"))) if why else said


def meat_not_clear(choice: Choice) -> StateView | None:
    """Her meat's state where it is not clear."""
    return meat(choice) if choice.standing and not choice.standing.plainly_clear else None


PAGES = (PageMaker("who stays", make),)
NAVIGATION = (Link(SECTION, PATH, "", "The flock"), Link("Sorting", CHOOSE_SHEET, "", "On paper"))
