"""The front page: what is due, owed and open today, who is not clear, how many there are, and the last notes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, time, timedelta

from compiler.book import PageMaker, Stamp
from compiler.diagnostics import Grade
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.lambing.labours import OpenLabour
from flockbook.derive.medicine.periods import MEAT
from flockbook.derive.medicine.withdrawal import CLEAR, HELD, Clearance
from flockbook.derive.medicine.withheld import MOST_ROWS
from flockbook.flock import happened, there
from flockbook.pages.lambing.chilled import cold, warmth_words
from flockbook.pages.lambing.watch import ASKS, clock_view
from flockbook.pages.lambing.watch import PATH as WATCH
from flockbook.pages.medicine.clear_page import reason_words
from flockbook.pages.medicine.withheld_box import WithheldView, withheld_view
from flockbook.pages.sections import NoteEntry
from flockbook.pages.telling.timeline import Teller, entry_in_full
from flockbook.pages.views import Count, Directory, RowView, day, directory, meat_view
from flockbook.pages.wording import age_class, and_listed, day_words, long_day_words, plural
from flockbook.saying.standing import question
from flockbook.seen import Seen

PATH = "index.html"
DUE_SOON_DAYS = 7  # ewes due within a week stand on the front page
SOON = timedelta(hours=1)  # what is owed later than this is not yet for now (our own choice)
MOST_DUE = 12  # rows of one list on the front page; the whole list has a page of its own
LAST_NOTES = 5


class FrontView(Value):
    """The front page's lists, each with how many there are in all; first of all what is to be mended."""

    withheld: WithheldView
    heading: str
    lead: str
    now: tuple[RowView, ...]
    now_count: str
    problems: tuple[RowView, ...]
    due: tuple[RowView, ...]
    due_count: str
    owed: tuple[RowView, ...]
    owed_count: str
    held: tuple[RowView, ...]
    held_count: str
    mobs: tuple[Count, ...]
    classes: tuple[Count, ...]
    notes: tuple[NoteEntry, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    tags = directory(seen.linked, seen.today)
    held = held_rows(seen, tags)
    now = tuple(now_rows(seen, tags))
    due, owed = due_rows(seen, tags), owed_rows(seen)
    view = FrontView(
        withheld_view(seen), long_day_words(seen.today.day), lead(seen), now, str(len(now)),
        problem_rows(seen, stamp), tuple(due[:MOST_DUE]), plural(len(due), "ewe"), tuple(owed[:MOST_DUE]),
        str(len(owed)), tuple(held[:MOST_DUE]), plural(len(held), "sheep", "sheep"), mobs(seen),
        heads_by_class(seen), last_notes(seen, tags),
    )  # fmt: skip
    yield Page(PATH, "front.html", seen.settings.flock, view)


def lead(seen: Seen) -> str:
    """How many are here, and what the season is doing."""
    here = sum(there(animal, seen.today) for animal in seen.linked.animals.values())
    words = f"{plural(here, 'sheep', 'sheep')} on the roll."
    likely = [row.due.likely for row in seen.facts.breeding.due.rows if row.due.likely]
    if likely:
        words += f" {plural(len(likely), 'ewe')} still to lamb, the first most likely on {day_words(likely[0])}."
    return words


def now_rows(seen: Seen, tags: Directory) -> Iterator[RowView]:
    """What cannot wait: ewes in labour, chilled lambs, and what newborns and their dams are owed, one row for each."""
    yield from (labour_row(item, tags) for item in seen.facts.lambing.labours)
    for lamb in seen.facts.lambing.newborns:
        if cold(lamb):
            words = warmth_words(lamb, seen.settings.units)
            yield RowView(tags.tag(lamb.lamb.id), WATCH, words, None, "steps on the watch board")
    together: dict[tuple[str, str, datetime | None], list[str]] = {}
    until = seen.today.at + SOON if seen.today.timed else datetime.combine(seen.today.day, time.max)
    for owed in (one for one in seen.facts.lambing.open_items if one.by is None or one.by <= until):
        together.setdefault((owed.note, owed.what, owed.by), []).append(owed.sheep)
    for (_, what, latest), sheep in together.items():
        names = and_listed([seen.linked.animals[one].called for one in sheep[1:]])
        when = clock_view(latest) if latest else None
        yield RowView(tags.tag(sheep[0]), WATCH, what, when, f"and {names}" if names else "")


def labour_row(item: OpenLabour, tags: Directory) -> RowView:
    """A ewe in labour: what the clock asks, by when, and what comes next."""
    clock = item.clock
    asks = ASKS[item.standing] if item.standing else "in labour"
    steps = f"step in by {clock.step_in:%H:%M}, ring the vet by {clock.ring_vet:%H:%M}"
    more = f"in labour since {clock.since:%H:%M}; {steps}"
    return RowView(tags.tag(item.ewe), WATCH, asks, clock_view(clock.look_again), more)


def problem_rows(seen: Seen, stamp: Stamp) -> tuple[RowView, ...]:
    """Errors and questions stand at the front of the book until they are mended, but for those said on top of it."""
    if not stamp.errors and not stamp.asks:
        return ()
    told = {note for row in seen.facts.medicine.withheld.rows[:MOST_ROWS] for note in row.notes}
    found = [item for item in seen.diagnostics if item.grade in (Grade.ERROR, Grade.ASK)]
    worst = [item for item in found if item.span.path not in told][:LAST_NOTES]
    return tuple(
        RowView(None, "problems.html", item.message, None, f"{item.span.path}:{item.span.line}") for item in worst
    )


def held_rows(seen: Seen, tags: Directory) -> list[RowView]:
    """Whoever is not clear for meat: the unknown, then the held, then lambs at the foot of a ewe who is not clear."""
    found = [row for row in seen.facts.medicine.guard.standing.values() if not row.plainly_clear]
    found.sort(key=lambda row: (row.meat.state == CLEAR, row.meat.state == HELD, str(row.meat.until), row.sheep))
    return [
        RowView(tags.tag(row.sheep), tags.paths.get(row.sheep, ""), "", meat_view(row, ""), held_why(seen, row))
        for row in found
    ]


def held_why(seen: Seen, row: Clearance) -> str:
    """The reason that decides; one that is said on top of the page is not said again."""
    hold = next(iter(row.deciding(MEAT)), None)
    if hold is None:
        return question(seen.linked, row)
    return reason_words(hold.because, seen.facts.medicine.withheld.on_top)


def due_rows(seen: Seen, tags: Directory) -> list[RowView]:
    """The ewes due within days, and those past their likely day."""
    last = seen.today.day + timedelta(days=DUE_SOON_DAYS)
    rows = [row for row in seen.facts.breeding.due.rows if row.due.likely and row.due.likely <= last]
    return [
        RowView(
            tags.tag(row.ewe),
            tags.paths.get(row.ewe, "due.html"),
            "",
            day(row.due.likely),
            f"window {day_words(row.due.earliest)} to {day_words(row.due.latest)}"
            if row.due.earliest and row.due.latest
            else "",
        )
        for row in rows
    ]


def owed_rows(seen: Seen) -> list[RowView]:
    """What is to be done: the list of reminders up to today."""
    rows = [item for item in seen.facts.year.reminders if not item.done and item.date <= seen.today.day]
    return [RowView(None, "to-do.html", item.what, day(item.date), "") for item in rows]


def mobs(seen: Seen) -> tuple[Count, ...]:
    """Heads by mob."""
    found: dict[str, int] = {}
    for animal in seen.linked.animals.values():
        if there(animal, seen.today):
            mob = animal.mob_on(seen.today.day) or "in no mob"
            found[mob] = found.get(mob, 0) + 1
    return tuple(Count(str(number), mob) for mob, number in sorted(found.items()))


def heads_by_class(seen: Seen) -> tuple[Count, ...]:
    """Heads by class."""
    found: dict[str, int] = {}
    for animal in seen.linked.animals.values():
        if there(animal, seen.today):
            word = age_class(animal, seen.today.day)
            found[word] = found.get(word, 0) + 1
    return tuple(Count(str(number), word) for word, number in sorted(found.items()))


def last_notes(seen: Seen, tags: Directory) -> tuple[NoteEntry, ...]:
    """The last notes written of days gone by."""
    events = [event for event in seen.linked.events if happened(event, seen.today)][-LAST_NOTES:]
    told = Teller(tags, seen.settings.units)
    return tuple(entry_in_full(told, event) for event in reversed(events))


PAGES = (PageMaker("front", make),)
NAVIGATION = (Link("Today", PATH, "front"),)
