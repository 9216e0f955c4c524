"""The neighbour's sheet for the next days, a file that stands alone: the round, whom to watch, who is ill, what is
owed, and what must not be sold.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value, replace
from flockbook.derive.breeding.due import KEPT_DAYS
from flockbook.derive.market.leaving import Lists, medicines_of
from flockbook.derive.plain.because import Reason
from flockbook.derive.year.deeds import CourseDose, Deed, SecondDue
from flockbook.derive.year.owed import is_now, rank
from flockbook.derive.year.owings import (
    CaseOpen,
    DosesOwed,
    InLabour,
    OwedItem,
    OwedRow,
    PastLastDay,
    SaleAhead,
    WentHeld,
    end_of,
)
from flockbook.law import births_source
from flockbook.manner import by_its_clock
from flockbook.pages.lambing.watch import lambs_words
from flockbook.pages.market.loading_tables import at_another_time
from flockbook.pages.medicine.medicine_pages import dose_of_each
from flockbook.pages.sections import Blanks, Look, Section, SectionsView
from flockbook.pages.telling.cautions import PREGNANT
from flockbook.pages.today.coming import SEE_LAST, apart_end, apart_why
from flockbook.pages.today.to_do import gathered, still_to_do
from flockbook.pages.views import Caution, Cell, Column, Directory, Pair, Row, Table, TagList, Words, directory
from flockbook.pages.wording import clock_words, day_words, plural, quoted, short_day_words
from flockbook.regional import local, local_all
from flockbook.saying.breeding import over_words
from flockbook.saying.fears import fears_words
from flockbook.saying.owed import Told, labour_steps, owed_words, shows_words
from flockbook.saying.year import deed_words
from flockbook.seen import Seen
from flockbook.settings import Settings

PATH = "neighbour.html"
SPANS = {7: PATH, 3: "neighbour-3.html", 14: "neighbour-14.html"}  # days ahead that the sheets cover (our own choice)
OTHER_TABLES = (
    "clear",
    "course",
    "second dose",
    "due",
    "watch",
    "expiry",
)  # reminders that stand elsewhere on the sheet, or can wait
# What is owed now and stands in an earlier part of the sheet, or is not for the neighbour.
SAID_ABOVE = (InLabour, CaseOpen, WentHeld, SaleAhead)
FEW_NAMED = 10  # sheep shown as ear tags in one row; more are written out
MOST_WATCHED, MOST_ILL, MOST_OWED = 45, 20, 35  # rows of their tables; whatever is beyond stands in a line below
# What a neighbour asks first (common practice): answered once in flock.yaml under `neighbour`, else a blank.
NEIGHBOUR_BLANKS = {
    "neighbour_reach": "Back on, and where to be reached",
    "neighbour_decides": "Who decides when nobody can be reached, and up to what cost",
    "neighbour_feed": "Feed: what, how much, where it stands",
    "neighbour_water": "Water: where it is turned off",
    "neighbour_fence": "Fence: the switch, the fuse, the tester",
    "neighbour_dog": "Dog, gates, the key",
}
ANSWERED = {
    "neighbour_reach": "Reached", "neighbour_decides": "Who decides", "neighbour_feed": "Feed",
    "neighbour_water": "Water", "neighbour_fence": "Fence", "neighbour_fuse": "Fuse",
    "neighbour_dog": "Dog, gates, key", "neighbour": "Besides",
}  # fmt: skip
RING_THE_VET = (
    "A sheep down, not eating, straining for an hour without a lamb, blown up, or with its insides out: ring at once, "
    "do not wait for us.",
    "An animal that suffers and cannot get well is not to lie there: the vet may put it down.",
)
SELL_NOTHING = (
    "Sell nothing, lend nothing and send nothing away. Whoever stands in this list may not be eaten yet; whoever does "
    "not stand in it stays too.",
    "Give no medicine but what is written under Owed, by the label or the vet's order, and write down what you gave: "
    "tag, product, amount, time.",
)

SELL = Caution("Not to be sold, eaten or given away", SELL_NOTHING, grave=True)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """A sheet for each span of days."""
    del stamp
    lists = seen.facts.market.gate.lists
    for days, path in SPANS.items():
        title = f"For the {local('neighbour')}, {days} days"
        yield Page(path, "sections.html", title, neighbour_view(seen, lists, days), "", alone=True)


def neighbour_view(seen: Seen, lists: Lists, days: int) -> SectionsView:
    """The next so many days, the first and the last included."""
    file, tags = seen.settings.file, directory(seen.linked, seen.today)
    last = seen.today.day + timedelta(days=days - 1)
    vet = f"{file.vet or 'The vet'}: {file.vet_phone or '______________'}"
    lead = (
        f"{seen.settings.flock}, {day_words(seen.today.day)} to {day_words(last)}, both days included. Keeper: "
        f"{file.keeper or '______________'}."
    )
    held = plural(len(lists.refused) + len(lists.ask), "sheep", "sheep")
    sections = (
        Section("The round", (round_table(seen, tags),), "the-round"),
        *apart_section(seen, tags),
        sheet_part("To watch", WATCH_TABLE, watch_rows(seen, tags, last), MOST_WATCHED),
        sheet_part("Ill", ILL, ill(seen, tags), MOST_ILL),
        sheet_part("Owed in these days", OWED_TABLE, owed_lines(seen, tags, last), MOST_OWED),
        Section("Not to be sold", (SELL, held_table(lists, tags)), "not-to-be-sold", held),
        *standing_answers(seen.settings),
        Section("To fill in before you go", (Blanks(unanswered(seen.settings)),), "to-fill-in"),
    )
    call = Caution(vet, local_all(RING_THE_VET), grave=True)
    return SectionsView(lead, sections, (call,), (replace(PREGNANT, source=births_source()),), paper="two-sides")


def standing_answers(settings: Settings) -> tuple[Section, ...]:
    """What is the same every time, as flock.yaml has it."""
    told = tuple(Pair(ANSWERED[name], Words(text), wide=True) for name, text in settings.answers.items())
    return (Section("The same every time", (Look(told),), "standing-answers"),) if told else ()


def unanswered(settings: Settings) -> tuple[str, ...]:
    """The questions that nobody has standing_answers yet; when we are back changes every time."""
    always = "neighbour_reach"
    return tuple(words for ask, words in NEIGHBOUR_BLANKS.items() if ask == always or ask not in settings.answers)


class NeighbourLine(Value):
    """One row, and what of it is said when there is no room for a row."""

    short: str
    cells: tuple[Cell, ...]


WATCH_TABLE = Table(
    (Column("Ewe"), Column("Due"), Column("Lambs"), Column("What to fear", wide=True), Column("Seen")),
    (), "Nobody is due in these days.", "to-watch",
)  # fmt: skip
ILL = Table(
    (Column("Sheep"), Column("Ill with"), Column("Since"), Column("Signs", wide=True), Column("Where")),
    (), "Nobody is ill as far as the notes tell.", "ill",
)  # fmt: skip
OWED_TABLE = Table(
    (Column("By"), Column("What", wide=True), Column("Sheep", wide=True), Column("Done, when, by whom", wide=True)),
    (), "No dose, task or look falls into these days as far as the notes tell.", "owed",
)  # fmt: skip


def sheet_part(head: str, table: Table, lines: Iterable[NeighbourLine], most: int) -> Section:
    """A part with as many rows as there is room for, and the rest in a line: nobody is left out."""
    found = tuple(lines)
    rest = "; ".join(line.short for line in found[most:])
    count = plural(len(found), "entry", "entries") if found else ""
    more = (f"And {len(found) - most} more: {rest}.",) if rest else ()
    rows = tuple(Row(line.cells) for line in found[:most])
    return Section(head, (replace(table, rows=rows), *more), f"part-{table.id}", count)


def bare_tags(tags: Directory, sheep: Sequence[str]) -> Cell:
    """Ear tags without links (the sheet is a file alone); a great many are written out."""
    if len(sheep) <= FEW_NAMED:
        return TagList(tuple(replace(tags.tag(item), href="") for item in sheep))
    return Words(f"{len(sheep)}: {plain_tags(tags, sheep)}")


def plain_tags(tags: Directory, sheep: Iterable[str]) -> str:
    """Sheep in running text."""
    found = [tags.tag(item) for item in sheep]
    return ", ".join(item.tag or item.name for item in found)


# Rows


def round_table(seen: Seen, tags: Directory) -> Table:
    """Every ground with sheep on it: how many, water, shelter and fences."""
    columns = (
        Column("Where"), Column("Who", wide=True), Column("Heads", "number"), Column("Water", wide=True),
        Column("Shelter, fences", wide=True),
    )  # fmt: skip
    rows: list[Row] = []
    for ground in seen.facts.land.grazing.ground.values():
        if ground.standing:
            who = ", ".join(f"{mob} {head}" for mob, head in ground.standing)
            water = ground.note.water if ground.note and ground.note.water else "not written"
            cover = ground.note.cover if ground.note and ground.note.cover else "not written"
            heads = sum(head for _, head in ground.standing)
            rows.append(Row((ground.name, Words(who), heads, Words(water), Words(cover))))
    nowhere = seen.facts.land.grazing.nowhere
    if nowhere:
        rows.append(Row(("not written", bare_tags(tags, nowhere), len(nowhere), "", "")))
    return Table(columns, tuple(rows), "No note says where anybody stands.", "round")


def apart_section(seen: Seen, tags: Directory) -> tuple[Section, ...]:
    """Who is kept apart, until when, why, and what comes at the end; nothing where nobody is."""
    columns = (Column("Sheep"), Column("Until, that day included"), Column("Why"), Column("At the end", wide=True))
    rows = tuple(
        Row((bare_tags(tags, item.sheep), day_words(item.until), Words(apart_why(item)), Words(apart_end(seen, item))))
        for item in seen.facts.market.apart
    )
    table = Table(columns, rows, "", "kept-apart")
    return (Section("Kept apart", (SEE_LAST, table), "apart", str(len(rows))),) if rows else ()


def watch_rows(seen: Seen, tags: Directory, last: date) -> Iterator[NeighbourLine]:
    """Ewes in labour, then those that may lamb in these days, by their earliest usual day."""
    for item in seen.facts.lambing.labours:
        shows = shows_words(item.shows, item.amiss), labour_steps(item.clock)
        words = Words("; ".join(word for word in shows if word))
        yield NeighbourLine(
            f"{plain_tags(tags, [item.ewe])} in {local('labour')}",
            (bare_tags(tags, [item.ewe]), local("IN LABOUR"), "", words, ""),
        )
    for row in seen.facts.breeding.due.rows:
        first = row.due.p10 or row.due.earliest
        if first is None or first <= last:
            likely = day_words(row.due.likely) if row.due.likely else "not known"
            due = over_words(row, seen.today.day) or likely
            fear = Words(fears_words(seen.facts.lambing.fears.get(row.ewe, ())) or "nothing is written")
            yield NeighbourLine(
                f"{plain_tags(tags, [row.ewe])} {due}", (bare_tags(tags, [row.ewe]), due, lambs_words(row), fear, "")
            )


def ill(seen: Seen, tags: Directory) -> Iterator[NeighbourLine]:
    """Open cases."""
    for case in seen.facts.health.cases.open:
        problem = f"{case.problem}{', ' + case.side if case.side else ''}"
        signs = Words("; ".join(note.signs for note in case.notes if note.signs) or "not written")
        where = seen.facts.land.grazing.place_of(case.sheep) or "not written"
        cells = (bare_tags(tags, [case.sheep]), problem, day_words(case.since), signs, where)
        yield NeighbourLine(f"{plain_tags(tags, [case.sheep])} {problem}", cells)


def owed_lines(seen: Seen, tags: Directory, last: date) -> Iterator[NeighbourLine]:
    """Whatever falls due in these days: what cannot wait first, as Today has it, then by the hour; one deed for several
    sheep is one row.
    """
    together: dict[tuple[datetime, str], list[str]] = {}
    ahead = sorted((*doses_ahead(seen, last), *near(seen, last)), key=lambda owed: owed.by)
    for owed in (*all_owed_now(seen), *ahead):
        together.setdefault((owed.by, owed.what), []).extend(owed.sheep)
    for (when, what), named in together.items():
        late = "late:\u00a0" if when.date() < seen.today.day else ""
        yield NeighbourLine(
            f"{what} ({plain_tags(tags, named)})",
            (late + short_day_words(when.date()), Words(quoted(what)), bare_tags(tags, named), ""),
        )


class Owed(Value):
    """One thing to be done for some sheep, and by when; what hangs on no hour stands at the end of its day."""

    by: datetime
    what: str
    sheep: tuple[str, ...]


def all_owed_now(seen: Seen) -> Iterator[Owed]:
    """What is owed now, from the value that Today has it from: nothing of a sheep that has gone."""
    told = Told(seen.linked, seen.settings.units)
    items = [item for row in seen.facts.year.owed.rows for item in row.items if is_for_neighbour(item)]
    for item in sorted(items, key=lambda item: (not is_now(item, seen.today), *rank(item, seen.today))):
        hour = f" by {clock_words(by_its_clock(item.by, item.zone))}" if item.by and not item.whole_day else ""
        by = item.by or (end_of(seen.today.day) if item.when_you_can else seen.today.at)
        yield Owed(by, own_words(told, item) + hour + each_time_words(seen, item.what, item.note), item.sheep)


def is_for_neighbour(item: OwedItem) -> bool:
    """Whether a thing owed is the neighbour's to do: not what is said above, nor a ewe long past her day."""
    long_past = isinstance(item.what, PastLastDay) and item.what.days > KEPT_DAYS
    return not (isinstance(item.what, SAID_ABOVE) or long_past)


def own_words(told: Told, item: OwedItem) -> str:
    """What is owed, without whom: that stands beside it."""
    return owed_words(told, item, OwedRow("", item.sheep, (item,), True))


def each_time_words(seen: Seen, what: Reason | Deed, note: str) -> str:
    """How much each time of a course, as typed; "" for all else, and where the vet is to be asked first."""
    if not isinstance(what, DosesOwed | CourseDose) or what.late or getattr(what, "after_missed", False):
        return ""
    entry = next((entry for entry in seen.facts.medicine.register if entry.note == note), None)
    amount = dose_of_each(entry, seen.settings.units) if entry else ""
    return f"; {amount or 'no amount written: ask us'}"


def doses_ahead(seen: Seen, last: date) -> Iterator[Owed]:
    """The doses of courses whose day is to come, and second doses of vaccines."""
    for item in still_to_do(seen):
        if item.kind in ("course", "second dose"):
            from_day = item.what.due_from if isinstance(item.what, SecondDue) else item.date
            if from_day <= last:
                words = f"{deed_words(item.what)}{each_time_words(seen, item.what, item.because[0].note)}"
                yield Owed(end_of(item.date), words, item.sheep)


def near(seen: Seen, last: date) -> Iterator[Owed]:
    """What is to be done until the last day, and what is late."""
    near_ones = (item for item in still_to_do(seen) if item.date <= last)
    for item in gathered([item for item in near_ones if item.kind not in OTHER_TABLES], seen.today.day):
        yield Owed(end_of(item.date), deed_words(item.what), item.sheep)


def held_table(lists: Lists, tags: Directory) -> Table:
    """Who may not be sold or eaten, those with one reason together, the unknown first; lambs to ask about last."""
    columns = (Column("Meat"), Column("Sheep", wide=True), Column("Medicine"))
    groups: dict[tuple[str, str], list[str]] = {}
    for row in sorted(lists.refused, key=lambda row: (row.meat.until is not None, str(row.meat.until), row.sheep)):
        medicines = ", ".join(medicines_of(row)) or "not known"
        groups.setdefault((at_another_time(row.meat, "").text, medicines), []).append(row.sheep)
    if lists.ask:
        key = ("ask the vet", local("may be sucking a ewe who is not clear"))
        groups[key] = [row.sheep for row in lists.ask]
    rows = tuple(Row((until, bare_tags(tags, sheep), medicine)) for (until, medicine), sheep in groups.items())
    return Table(columns, rows, "Nobody is held as far as the notes tell. Sell nothing all the same.", "held")


PAGES = (PageMaker("neighbour sheet", make),)
NAVIGATION = tuple(Link(f"Neighbour, {days} days", SPANS[days], "", "On paper") for days in sorted(SPANS))
