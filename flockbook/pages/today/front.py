"""The front page: what is due, owed and open today, who is not clear, how many there are, and the last notes."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import timedelta

from compiler.book import PageMaker, Stamp
from compiler.diagnostics import Grade
from compiler.pages import Link, Page
from compiler.shape import Value, replace
from flockbook.derive.breeding.due import days_over
from flockbook.derive.medicine.periods import MEAT
from flockbook.derive.medicine.withdrawal import CLEAR, HELD, Clearance
from flockbook.derive.medicine.withheld import MOST_ROWS
from flockbook.derive.year.owings import OwedFamily
from flockbook.flock import happened, there
from flockbook.pages.breeding.due_page import likely_cell
from flockbook.pages.health.early_losses_page import RiskBox, risk_box
from flockbook.pages.lambing.night import in_lambing
from flockbook.pages.lambing.watch import vet_words
from flockbook.pages.medicine.clear_page import kept_back, reason_words
from flockbook.pages.medicine.withheld_box import WithheldView, withheld_view
from flockbook.pages.sections import NoteEntry
from flockbook.pages.telling.owed_rows import owed_views
from flockbook.pages.telling.timeline import Teller, entry_in_full
from flockbook.pages.today.coming import apart_rows, coming_rows, coming_words, deed_row
from flockbook.pages.today.to_do import gathered, still_to_do
from flockbook.pages.views import Count, Directory, RowView, day, directory, meat_view
from flockbook.pages.wording import age_class, clock_words, day_words, long_day_words, plural
from flockbook.saying.owed import Told, point_words
from flockbook.saying.standing import question
from flockbook.seen import Seen

PATH = "index.html"
DUE_SOON_DAYS = 7  # ewes due within a week stand on the front page
MOST_DUE = 12  # rows of one list on the front page; the whole list has a page of its own
MOST_TO_DO = 40  # and of what is late or for today: of that nothing should be out of sight
LAST_NOTES = 5


class FrontView(Value):
    """The front page's lists, each with how many there are in all; first of all what is to be mended, but where hours
    count: then what cannot wait.
    """

    withheld: WithheldView
    heading: str
    lead: str
    at_risk: RiskBox | None
    first: tuple[RowView, ...]
    now: tuple[RowView, ...]
    now_count: str
    vet: str
    hours_count: bool
    night: bool
    problems: tuple[RowView, ...]
    due: tuple[RowView, ...]
    due_count: str
    due_none: str
    owed: tuple[RowView, ...]
    owed_count: str
    old: tuple[RowView, ...]
    old_words: str
    held: tuple[RowView, ...]
    held_count: str
    apart: tuple[RowView, ...]
    coming: tuple[RowView, ...]
    coming_words: str
    soon: tuple[RowView, ...]
    kept_back: str
    mobs: tuple[Count, ...]
    classes: tuple[Count, ...]
    notes: tuple[NoteEntry, ...]


VET = re.compile(r"\bvet\b")
JOTTED_CODES = ("J101", "J102")  # lines of the inbox, as proof tells of them


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    tags = directory(seen.linked, seen.today)
    held = held_rows(seen, tags)
    now = tuple(owed_views(seen, tags, seen.facts.year.owed.now))
    first = now[: harm_in_hours(seen)]
    soon = tuple(owed_views(seen, tags, seen.facts.year.owed.in_hours(seen.today.at)))
    due, owed, coming = due_rows(seen, tags), owed_rows(seen, tags), coming_rows(seen, tags)
    view = FrontView(
        withheld_view(seen), day_heading(seen), lead(seen), risk_box(seen, tags),
        first, now[len(first) :], str(len(now)),
        vet_line(seen), hours_count(seen), in_lambing(seen),
        problem_rows(seen, stamp), tuple(due[:MOST_DUE]), plural(len(due), "ewe"), none_due(seen),
        tuple(owed[:MOST_TO_DO]),
        str(len(owed)), tuple(owed_views(seen, tags, seen.facts.year.owed.old)), old_words(seen),
        tuple(held[:MOST_DUE]), plural(len(held), "sheep", "sheep"),
        tuple(apart_rows(seen, tags)), coming, coming_words(seen, coming), soon,
        other_reasons(seen), mobs(seen),
        heads_by_class(seen), last_notes(seen, tags),
    )  # fmt: skip
    yield Page(PATH, "front.html", "Today", view)


def old_words(seen: Seen) -> str:
    """How many things of long ago nobody has closed."""
    return f"{plural(len(seen.facts.year.owed.old), 'old thing')} to close: write how each ended"


def day_heading(seen: Seen) -> str:
    """The day; with its hour where hours are counted from it."""
    at = f", {clock_words(seen.today.at)}" if seen.today.timed else ""
    return f"{long_day_words(seen.today.day)}{at}"


def hours_count(seen: Seen) -> bool:
    """Whether a ewe is in labour or a lamb is cold: nobody sells in that hour."""
    first = {row.items[0].family for row in seen.facts.year.owed.now}
    return bool(first & {OwedFamily.LABOUR, OwedFamily.CHILLED})


def harm_in_hours(seen: Seen) -> int:
    """How many of the first rows stand above danger to people: in such an hour those of what harms within it."""
    families = [row.items[0].family for row in seen.facts.year.owed.now]
    later = next((place for place, one in enumerate(families) if one > OwedFamily.CHILLED), len(families))
    return later if hours_count(seen) else 0


def vet_line(seen: Seen) -> str:
    """Whom to ring; where rows send to the vet and the settings name no number, that it is missing."""
    told = (point_words(Told(seen.linked, seen.settings.units), item, row)
            for row in seen.facts.year.owed.now for item in row.items)  # fmt: skip
    if seen.settings.file.vet_phone or any(VET.search(words) for words in told):
        return f"The vet: {vet_words(seen)}"
    return ""


def other_reasons(seen: Seen) -> str:
    """How many of those whom no medicine holds must stay, or be asked about, for another reason."""
    return kept_back(seen, tuple(seen.facts.medicine.guard.standing.values()))


def lead(seen: Seen) -> str:
    """How many are here, and what the season is doing."""
    here = sum(there(animal, seen.today) for animal in seen.linked.animals.values())
    words = f"{plural(here, 'sheep', 'sheep')} on the roll."
    likely = [row.due.likely for row in seen.facts.breeding.due.rows if row.due.likely]
    if likely:
        words += f" {plural(len(likely), 'ewe')} still to lamb, the first most likely on {day_words(likely[0])}."
    return words


def problem_rows(seen: Seen, stamp: Stamp) -> tuple[RowView, ...]:
    """Errors and questions stand at the front of the book until they are mended, but for those said on top of it."""
    if not stamp.errors and not stamp.asks:
        return jotted_rows(seen)
    told = {note for row in seen.facts.medicine.withheld.rows[:MOST_ROWS] for note in row.notes}
    found = [item for item in seen.diagnostics if item.grade in (Grade.ERROR, Grade.ASK)]
    worst = [item for item in found if item.span.path not in told][:LAST_NOTES]
    rows = (RowView(None, "problems.html", item.message, None, f"{item.span.path}:{item.span.line}") for item in worst)
    return (*rows, *jotted_rows(seen))


def jotted_rows(seen: Seen) -> tuple[RowView, ...]:
    """How many jotted lines no note was made of yet."""
    waiting = [item for item in seen.diagnostics if item.code in JOTTED_CODES]
    words = f"{plural(len(waiting), 'jotted line')} not yet filed"
    return (RowView(None, "problems.html", words, None, waiting[0].span.path),) if waiting else ()


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
        return question(seen.linked, row, seen.facts.medicine.guard.standing)
    return reason_words(hold.because, seen.facts.medicine.withheld.on_top, bool(hold.cure))


def due_rows(seen: Seen, tags: Directory) -> list[RowView]:
    """The ewes due within days, and those over their likely day; who is past her last day stands under Now."""
    last = seen.today.day + timedelta(days=DUE_SOON_DAYS)
    rows = [row for row in seen.facts.breeding.due.rows if row.due.likely and row.due.likely <= last]
    rows.sort(key=lambda row: -days_over(row, seen.today.day))
    return [
        RowView(
            tags.tag(row.ewe),
            tags.paths.get(row.ewe, "due.html"),
            "",
            likely_cell(row, seen.today.day),
            f"window {day_words(row.due.earliest)} to {day_words(row.due.latest)}"
            if row.due.earliest and row.due.latest
            else "",
        )
        for row in rows
    ]


def none_due(seen: Seen) -> str:
    """What is said where no ewe's likely day is near: how many may lamb all the same, by their windows."""
    last = seen.today.day + timedelta(days=DUE_SOON_DAYS)
    ahead = [(due.earliest, due.likely) for row in seen.facts.breeding.due.rows
             if (due := row.due).likely and due.earliest and due.earliest <= last]  # fmt: skip
    if not ahead:
        return "Nobody is due within a week."
    first, likely = min(first for first, _ in ahead), min(likely for _, likely in ahead if likely)
    begins = f"from {day_words(first)}" if first > seen.today.day else "from now on"
    return f"{plural(len(ahead), 'ewe')} may lamb {begins}; none is most likely before {day_words(likely)}."


def owed_rows(seen: Seen, tags: Directory) -> list[RowView]:
    """What else is to be done up to today, each with its sheep, today's first and the oldest last; ewes due today stand
    among those due these days.
    """
    rows = [item for item in still_to_do(seen) if item.kind != "due" and item.date <= seen.today.day]
    rows.sort(key=lambda item: item.date, reverse=True)
    return [replace(deed_row(seen, tags, item), when=day(item.date)) for item in gathered(rows, seen.today.day)]


def mobs(seen: Seen) -> tuple[Count, ...]:
    """Heads by mob; nothing of a flock without mobs."""
    if not seen.linked.keeps_mobs:
        return ()
    found: dict[str, int] = {}
    for animal in seen.linked.animals.values():
        if there(animal, seen.today):
            mob = animal.mob_on(seen.today.day)
            where = f"in {mob}" if mob else "in no mob"
            found[where] = found.get(where, 0) + 1
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
