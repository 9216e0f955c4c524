"""Problems and gaps: everything the compiler has to say, and every file that is no note."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.diagnostics import Grade
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.pages.telling.entries import Problem, problem
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


class GradeGroup(Value):
    """Messages of one grade."""

    heading: str
    count: str
    problems: tuple[Problem, ...]


class Kept(Value):
    """A note that cannot be used, word for word as it was typed."""

    path: str
    text: str


class ProblemsView(Value):
    """Messages by grade, and the count that proves that no file was lost."""

    lead: str
    groups: tuple[GradeGroup, ...]
    unread: Table
    others: Table
    kept: tuple[Kept, ...]
    pager: tuple[PageLink, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page, or several when there is much to say."""
    order = list(Grade)
    told = sorted(seen.diagnostics, key=lambda item: (order.index(item.grade), item.order))
    parts = [told[start : start + PER_PAGE] for start in range(0, len(told), PER_PAGE)] or [[]]
    names = [PATH if number == 0 else f"problems-{number + 1}.html" for number in range(len(parts))]
    lines = {hole.path: hole.text.split("\n") for hole in seen.collection.holes}
    kept = tuple(Kept(hole.path, hole.text) for hole in seen.collection.holes if hole.text.strip())
    for number, part in enumerate(parts):
        groups = tuple(
            GradeGroup(GRADE_HEADINGS[grade], str(len([item for item in told if item.grade is grade])), found)
            for grade in Grade
            if (found := tuple(problem(item, lines) for item in part if item.grade is grade))
        )
        links = (
            tuple(PageLink(str(place + 1), name, place == number) for place, name in enumerate(names))
            if len(parts) > 1
            else ()
        )
        view = ProblemsView(lead(seen, stamp), groups, unread_table(seen), others_table(seen), kept, links)
        yield Page(names[number], "problems.html", "Problems and gaps", view, "")


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
