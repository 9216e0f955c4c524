"""The night board: one screen, the tags by urgency, for each what is to be done and by when; nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value, replace
from flockbook.derive.lambing.labour_limits import LabourState
from flockbook.derive.plain.because import Reason
from flockbook.derive.year.owings import InLabour
from flockbook.pages.breeding.due_page import likely_cell
from flockbook.pages.lambing.watch import NOBODY_SOON, lambs_words, vet_words, watch_order
from flockbook.pages.telling.owed_rows import owed_views
from flockbook.pages.views import Cell, Day, Directory, RowView, Tag, directory
from flockbook.pages.wording import plural, short_day_words
from flockbook.regional import local
from flockbook.saying.owed import labour_steps
from flockbook.seen import Seen

PATH, TITLE = "night.html", "Night board"
GIANT = 3  # rows that a phone held upright shows with giant tags and room for others under them (tried out)
NEXT = 3  # further tags on that screen; whatever cannot wait has its tag all the same


class NightRow(Value):
    """One ewe: the first thing with its hour, in labour the hours that come next, and how many more things there are;
    several sheep, or nobody, have words in place of a tag.
    """

    sheep: Tag | None
    href: str
    what: str
    steps: str
    by: Cell | None
    late: str
    more: str
    urgent: bool


class NightView(Value):
    """The most urgent under giant tags; the next as tags alone, in the same order; how many more there are; whom to
    ring.
    """

    rows: tuple[NightRow, ...]
    then: tuple[Tag, ...]
    also: str
    nobody: str
    vet: str


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page; out of season it says that nobody is due."""
    del stamp
    tags = directory(seen.linked, seen.today)
    rows = list(night_rows(seen, tags))
    yield Page(PATH, "night.html", TITLE, night_view(seen, rows), "Watch", look="night")


def night_view(seen: Seen, rows: Sequence[NightRow]) -> NightView:
    """The rows that are giant, and the tags of the next."""
    rest = rows[GIANT:]
    then = tuple(row.sheep for place, row in enumerate(rest) if row.sheep and (row.urgent or place < NEXT))
    more = len(rest) - len(then)
    vet = vet_words(seen) if seen.settings.file.vet_phone else ""
    return NightView(
        tuple(rows[:GIANT]), then, f"and {more} more" if more else "", "" if rows else NOBODY_SOON, vet
    )  # fmt: skip


def in_lambing(seen: Seen) -> bool:
    """Whether it is the season of the night board: a ewe may lamb within the days that are watched, or one just has."""
    lambing = seen.facts.lambing
    return bool(watch_order(seen) or lambing.labours or lambing.newborns)


def night_rows(seen: Seen, tags: Directory) -> Iterator[NightRow]:
    """What cannot wait and what comes in the next hours, as on Today; then the ewes of the watch board in due order."""
    owed = seen.facts.year.owed
    urgent = dict.fromkeys((*owed.now, *owed.in_hours(seen.today.at)))
    told = {sheep for row in urgent for sheep in row.sheep}
    today = f"{short_day_words(seen.today.day)}, "
    for row, view in zip(urgent, owed_views(seen, tags, urgent), strict=True):
        yield replace(row_of_today(view, today), steps=steps_words(row.items[0].what))
    for due in watch_order(seen):
        if due.ewe not in told:
            when = likely_cell(due, seen.today.day)
            yield NightRow(tags.tag(due.ewe), "", f"{local('to lamb')}, {lambs_words(due)}", "", when, "", "", False)


def steps_words(what: Reason) -> str:
    """When to step in with a ewe in labour and when to ring; "" where that is what is first to be done, or nothing."""
    if not isinstance(what, InLabour) or what.standing is LabourState.HELPED:
        return ""
    return labour_steps(what.clock)


def row_of_today(view: RowView, day: str) -> NightRow:
    """A line of Today as a row of the board: of this `day` the hour alone; names that stand for several sheep go before
    what is owed to them.
    """
    names = "" if view.sheep else next(iter(view.lines), "")
    lines = view.lines[1:] if names else view.lines
    more = plural(len(lines), "more thing") if lines else ""
    what = f"{names}: {view.title}" if names else view.title
    return NightRow(view.sheep, view.href or "watch.html", what, "", hour_alone(view.when, day), view.late, more, True)


def hour_alone(when: Cell | None, day: str) -> Cell | None:
    """A time of this day without the day."""
    return replace(when, text=when.text.removeprefix(day)) if isinstance(when, Day) else when


PAGES = (PageMaker("night board", make),)
NAVIGATION = (Link(TITLE, PATH, "", "Lambing"),)
