"""Problems and gaps: everything the compiler has to say, and every file that is no note."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.diagnostics import Diagnostic, Grade
from compiler.pages import Link, Page
from flockbook.pages.sections import Aside, AsTyped, Excerpt, Fold, Pager, Problem, Section, SectionsView
from flockbook.pages.views import Column, PageLink, Row, Table
from flockbook.pages.wording import plural
from flockbook.seen import Seen

PATH = "problems.html"
PER_PAGE = 80  # messages on one page
GRADE_HEADINGS = {
    Grade.ERROR: "Errors: not used until mended",
    Grade.ASK: "To confirm: shown, left out of averages",
    Grade.WARNING: "Warnings: used, probably wrong",
    Grade.GAP: "Still to write",
}


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page, or several when there is much to say."""
    order = list(Grade)
    told = sorted(seen.diagnostics, key=lambda item: (order.index(item.grade), item.order))
    parts = [told[start : start + PER_PAGE] for start in range(0, len(told), PER_PAGE)] or [[]]
    names = [PATH if number == 0 else f"problems-{number + 1}.html" for number in range(len(parts))]
    lines = {hole.path: hole.text.split("\n") for hole in seen.collection.holes}
    for number, part in enumerate(parts):
        groups = tuple(
            Section(
                GRADE_HEADINGS[grade], found, grade.value, str(sum(item.grade is grade for item in told)), broad=False
            )
            for grade in Grade
            if (found := tuple(problem(item, lines) for item in part if item.grade is grade))
        )
        nothing = () if groups else (Aside("Nothing to mend and nothing left to write.", "empty"),)
        links = (
            tuple(PageLink(str(place + 1), name, place == number) for place, name in enumerate(names))
            if len(parts) > 1
            else ()
        )
        files = (
            *((Section("", (Pager(links),), "more"),) if links else ()),
            Section("Notes that cannot be used", (unread_table(seen), *kept(seen)), "unread"),
            Section("Other files", (others_table(seen),), "others"),
        )
        view = SectionsView(lead(seen, stamp), (*groups, *files), nothing)
        yield Page(names[number], "sections.html", "Problems and gaps", view, "")


def problem(told: Diagnostic, lines: dict[str, list[str]]) -> Problem:
    """A message with the line it speaks of."""
    span = told.span
    text = lines.get(span.path, [])
    excerpt = None
    if 0 < span.line <= len(text) and span.length:
        line, start = text[span.line - 1], span.column - 1
        excerpt = Excerpt(line[:start], line[start : start + span.length], line[start + span.length :])
    place = f"{span.path}:{span.line}:{span.column}"
    return Problem(told.grade.value, told.code, told.message, told.help, told.meanwhile, place, excerpt)


def kept(seen: Seen) -> tuple[Fold, ...]:
    """Notes that cannot be used, word for word as they were typed."""
    holes = (hole for hole in seen.collection.holes if hole.text.strip())
    return tuple(Fold(f"As typed: {hole.path}", (AsTyped(hole.text),)) for hole in holes)


def lead(seen: Seen, stamp: Stamp) -> str:
    """Read = in the book + listed here."""
    found = seen.collection
    words = (
        f"{plural(stamp.read, 'file')} read: {len(found.records)} in the book, {plural(len(found.holes), 'note')} "
        f"that cannot be used, {plural(len(found.others), 'other file')}"
    )
    return words + (f", {plural(len(found.companions), 'table')} beside a note." if found.companions else ".")


def unread_table(seen: Seen) -> Table:
    """Notes that could not be used; what they say is kept and shown."""
    columns = (Column("Note", wide=True), Column("Why", wide=True), Column("Begins"))
    rows = [Row((hole.path, hole.reason.message, " ".join(hole.text.split())[:80])) for hole in seen.collection.holes]
    return Table(columns, tuple(rows), "Every note could be read.")


def others_table(seen: Seen) -> Table:
    """Files that are no notes; pictures, and what tools have hidden, are only counted."""
    others = seen.collection.others
    rows = [Row((item.path, item.why)) for item in others if not item.of_no_concern]
    pictures = [item for item in others if item.of_no_concern and item.sort == "picture"]
    hidden = [item for item in others if item.of_no_concern and item.sort != "picture"]
    rows += [Row((plural(len(pictures), "picture"), "no text stands in a picture"))] if pictures else []
    rows += [Row((plural(len(hidden), "hidden file"), "tools put them there"))] if hidden else []
    return Table(
        (Column("File", wide=True), Column("Why it is no note", wide=True)), tuple(rows), "There are no other files."
    )


PAGES = (PageMaker("", make),)
NAVIGATION = (Link("Problems and gaps", PATH, "", "The book"),)
