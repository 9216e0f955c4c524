"""The loading list and the refused list: who may go for meat, who may not, by which medicine, until when and by which
note; for the whole flock now, and on a sheet of its own for every sale to come.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from compiler.book import Moment, PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value, replace
from flockbook.derive.farm.electronic_numbers import official_numbers, official_words
from flockbook.derive.market.leaving import Absent, Gate, Gone, Lists, Load, medicines_of
from flockbook.derive.medicine.periods import MEAT, MILK
from flockbook.derive.medicine.withdrawal import HELD, Clearance, State
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.medicine.clear_page import mend_place, why
from flockbook.pages.sections import Aside, Blanks, Block, Names, Section, SectionsView, Subhead, Whence
from flockbook.pages.telling.notes_page import note_places
from flockbook.pages.telling.timeline import Teller
from flockbook.pages.views import Caution, Cell, Column, LinkView, Row, Table, Words, directory, meat_view, state_view
from flockbook.pages.wording import day_words, long_day_words, plural
from flockbook.records.trade import Cull
from flockbook.saying.because import words_of_reason
from flockbook.saying.standing import release_words, to_do
from flockbook.seen import Seen

PATH, SECTION = "loading.html", "Clear to sell"
ROOM = 300  # elements of each table of a page that has several, and the list of those who may go
LOAD_BLANKS = ("Buyer or mart", "Haulier", "Document", "Heads counted on", "Signed")
HOW_TO_PLAN = (
    "A sale that is planned gets a sheet of its own here: write its note with the day to come and “sure: yes”."
)
MARKED = "A note says that they shall go. When they may is another thing."
ASK_FIRST = "Whether the ewe's medicine holds the lamb too, only your vet can answer. Until then it stays."
IN_WRITING = "Whoever buys one to milk, or with a lamb at foot, must have this in writing."
NOWHERE = "No note says where they stand"
# In our own words; facts: Reg. (EU) 2019/6 Art. 4 and 115, 21 CFR 530.20.
CAUTION = Caution(
    "Before the ramp goes up",
    (
        "Whoever is not on the loading list does not go. Unknown is not clear.",
        "The lists count from what you typed. Where the label or your vet's written instruction says otherwise, they "
        "are right.",
        "A list is good for its own day and hour. Make it anew on the day, after the last treatment is written.",
    ),
    grave=True,
)


class LoadTeller(Value):
    """How a page tells of sheep: its tags and places, and how it prints a state."""

    told: Teller
    shown: Callable[[State, str], Cell]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The whole flock's page, then one for each sale to come."""
    del stamp
    found = seen.facts.market.gate
    told = Teller(directory(seen.linked, seen.today), seen.settings.units, note_places(seen.linked))
    paths = load_paths(found.loads)
    yield from pages(Seat(PATH, "Loading list", SECTION, ROOM), flock_view(seen, found, told, paths))
    for load, path in zip(found.loads, paths, strict=True):
        seat = Seat(path, f"Load of {day_words(load.at.day)}", "Loading list", ROOM)
        yield from pages(seat, load_view(seen, load, told))


def pages(seat: Seat, view: SectionsView) -> Iterable[Page]:
    """A page and the pages on which its long tables go on."""
    sections: list[Section] = []
    more: list[Page] = []
    for part in view.sections:
        body, rest = parted(part.body, seat)
        sections.append(replace(part, body=body))
        more += rest
    yield Page(seat.path, "sections.html", seat.title, replace(view, sections=tuple(sections)), seat.section)
    yield from more


def parted(body: Iterable[Block], seat: Seat) -> tuple[tuple[Block, ...], list[Page]]:
    """The blocks of a section with its tables as long as there is room, and the pages where they go on."""
    blocks: list[Block] = []
    more: list[Page] = []
    for block in body:
        table, rest = over_pages(block, seat) if isinstance(block, Table) else (block, ())
        blocks.append(table)
        more += rest
    return tuple(blocks), more


def load_paths(loads: Sequence[Load]) -> tuple[str, ...]:
    """`loading-2026-12-12.html`; a second sale of that day gets a number."""
    taken: dict[str, int] = {}
    paths = []
    for load in loads:
        name = load.at.day.isoformat()
        taken[name] = taken.get(name, 0) + 1
        paths.append(f"loading-{name}{f'-sale-{taken[name]}' if taken[name] > 1 else ''}.html")
    return tuple(paths)


# What stands on a page


def flock_view(seen: Seen, found: Gate, told: Teller, paths: Sequence[str]) -> SectionsView:
    """The whole flock at the moment asked about."""
    extra = (
        *filled(Section("Sales to come", (sales_table(found.loads, paths),), "sales", plural(len(paths), "sale"))),
        *filled(Section("Marked to go", (MARKED, marked_table(found.marked, told)), "marked",
                        plural(len(found.marked), "sheep", "sheep"))),
        *filled(Section("Left before they were clear", (went_table(found.went, told),), "went",
                        plural(len(found.went), "sheep", "sheep"))),
    )  # fmt: skip
    lead = f"The whole flock, for meat, as at {load_moment(seen.today)}." + ("" if paths else f" {HOW_TO_PLAN}")
    return view(seen, lead, found.lists, LoadTeller(told, state_view), extra)


def load_view(seen: Seen, load: Load, told: Teller) -> SectionsView:
    """One sale to come, by what is written so far."""
    sale = load.sale
    extra = filled(
        Section(
            "Named, but not here", ("They are left out.", absent_table(load, told)), "absent", str(len(load.absent))
        )
    )
    to = f" to {sale.to}" if sale.to else ""
    use = f" ({sale.use})" if sale.use else ""
    lead = (
        f"Sale{to}{use}: as they will stand at {load_moment(load.at)}, by what is written so far. "
        "What is given until then is not in it."
    )
    whole = view(seen, lead, load.lists, LoadTeller(told, at_another_time), extra)
    return replace(whole, top=(Whence(sale.origin.path), *whole.top))


def view(seen: Seen, lead: str, lists: Lists, how: LoadTeller, extra: Iterable[Section]) -> SectionsView:
    """Lists for one moment."""
    told = how.told
    parts = (
        Section("May NOT go", (refused_table(lists.refused, told, how.shown),), "refused",
                plural(len(lists.refused), "sheep", "sheep")),
        *filled(Section("Ask the vet first", (ASK_FIRST, asked_table(lists.ask, told)), "ask",
                        plural(len(lists.ask), "lamb"))),
        *filled(Section("May go for meat, milk not clear", (IN_WRITING, milk_table(lists.not_milk, told, how.shown)),
                        "not-milk", plural(len(lists.not_milk), "sheep", "sheep"))),
        *extra,
    )  # fmt: skip
    go = pens(seen, lists.may, told) or (Aside("Nobody may go.", "empty"),)
    may = Section("May go", (*go, Blanks(LOAD_BLANKS)), "may-go", plural(len(lists.may), "sheep", "sheep"))
    return SectionsView(lead, (*parts, may), (CAUTION,))


def filled(part: Section) -> tuple[Section, ...]:
    """A part that is left out where nobody stands in its table."""
    return (part,) if any(isinstance(block, Table) and block.rows for block in part.body) else ()


def load_moment(at: Moment) -> str:
    """The moment that a list is for."""
    day_of = long_day_words(at.day)
    return f"{at.at:%H:%M} on {day_of}" if at.timed or at.at.hour or at.at.minute else f"the start of {day_of}"


def pens(seen: Seen, rows: Iterable[Clearance], told: Teller) -> tuple[Block, ...]:
    """Those that may go by the ground they stand on, as they are fetched: in plain words with their official number,
    to be ticked off.
    """
    found: dict[str, list[str]] = {}
    officials, country = official_numbers(seen.linked), seen.settings.file.country or ""
    for row in rows:
        tag = told.tags.tag(row.sheep)
        place = seen.facts.land.grazing.place_of(row.sheep) or ""
        official = official_words(officials[row.sheep][-1], country) if row.sheep in officials else ""
        found.setdefault(place, []).append(" ".join(word for word in (tag.tag, tag.name, official) if word))
    ordered = sorted(found.items(), key=lambda item: (not item[0], item[0]))
    return tuple(
        block for place, sheep in ordered for block in (Subhead(place or NOWHERE), Names(tuple(sheep), tick=True))
    )


# Tables


def refused_table(rows: Iterable[Clearance], told: Teller, shown: Callable[[State, str], Cell]) -> Table:
    """Who may not go; `shown` prints a state, as it is now or as it will be."""
    columns = (Column("Sheep"), Column("Meat"), Column("Medicine"), Column("Why, and which note", wide=True))
    found = tuple(Row(refused_cells(row, told, shown)) for row in rows)
    return Table(columns, found, "Nobody is refused.", "refused-list")


def refused_cells(row: Clearance, told: Teller, shown: Callable[[State, str], Cell]) -> tuple[Cell, ...]:
    """Who, until when, by which medicines, and why, in the words of the list of who is clear."""
    medicines = ", ".join(medicines_of(row)) or "not known"
    return told.tags.tag(row.sheep), shown(row.meat, mend_place(told, row, MEAT)), medicines, Words(why(told, row))


def at_another_time(state: State, href: str) -> Words:
    """A state that is not that of the book's own moment: in words, so that nobody takes it for the state today."""
    del href
    if state.state == HELD:
        return Words(f"not before {release_words(state)}")
    return Words(f"{state.state.upper()}: {to_do(state)}")


def asked_table(rows: Iterable[Clearance], told: Teller) -> Table:
    """Lambs clear by their own notes that may be sucking a ewe who is not."""
    columns = (Column("Lamb"), Column("Sucking"), Column("Why", wide=True))
    found = [
        Row((told.tags.tag(row.sheep), told.tags.tag(row.sucking), Words(why(told, row))))
        for row in rows
        if row.sucking
    ]
    return Table(columns, tuple(found), "", "ask-list")


def milk_table(rows: Iterable[Clearance], told: Teller, shown: Callable[[State, str], Cell]) -> Table:
    """Those whose meat is clear and whose milk is not."""
    columns = (Column("Sheep"), Column("Milk"), Column("Why, and which note", wide=True))
    found = tuple(
        Row((told.tags.tag(row.sheep), shown(row.milk, mend_place(told, row, MILK)), Words(why(told, row))))
        for row in rows
    )
    return Table(columns, found, "", "not-milk-list")


def absent_table(load: Load, told: Teller) -> Table:
    """Whom the sale note names and nobody can load."""
    columns = (Column("Named"), Column("Why not", wide=True), Column("Note", wide=True))
    rows = tuple(
        Row((absent_name(item, told), Words(words_of_reason(item.why)), Words(item.note))) for item in load.absent
    )
    return Table(columns, rows, "", "absent-list")


def absent_name(item: Absent, told: Teller) -> Cell:
    """A sheep that is not here, or the name that nobody bears."""
    return told.tags.tag(item.sheep) if item.sheep else f"“{item.text}”"


def sales_table(loads: Iterable[Load], paths: Iterable[str]) -> Table:
    """The sales to come, each leading to its sheet."""
    columns = (
        Column("Sale"), Column("To"), Column("For"), Column("May go", "number"), Column("May not", "number"),
        Column("Ask", "number"), Column("Not here", "number"),
    )  # fmt: skip
    rows = []
    for load, path in zip(loads, paths, strict=True):
        lists = load.lists
        heads = (len(lists.may) + len(lists.not_milk), len(lists.refused), len(lists.ask), len(load.absent))
        sale = load.sale
        rows.append(Row((LinkView(day_words(load.at.day), path), sale.to or "", sale.use or "", *heads)))
    return Table(columns, tuple(rows), "", "sales-list")


def marked_table(rows: Iterable[tuple[Cull, Clearance]], told: Teller) -> Table:
    """Those that a note has marked to go, with where they stand."""
    columns = (
        Column("Sheep"), Column("Meat"), Column("Why she goes", wide=True), Column("What holds her", wide=True),
    )  # fmt: skip
    found = tuple(
        Row((
            told.tags.tag(row.sheep), meat_view(row, mend_place(told, row, MEAT)), Words(marked_words(event)),
            Words(why(told, row) or "nothing that is written"),
        ))
        for event, row in rows
    )  # fmt: skip
    return Table(columns, found, "", "marked-list")


def marked_words(event: Cull) -> str:
    """Why it goes, and since when that is written."""
    return f"{event.why or 'no reason written'}{f', {day_words(event.date)}' if event.date else ''}"


def went_table(went: Iterable[Gone], told: Teller) -> Table:
    """Who left while not clear, the latest first, and what is to be done about it."""
    columns = (
        Column("Sheep"), Column("Went"), Column("Meat then"), Column("Medicine"),
        Column("Why, and which note", wide=True), Column("What to do", wide=True),
    )  # fmt: skip
    rows = []
    for item in reversed(tuple(went)):
        who, *cells = refused_cells(item.row, told, at_another_time)
        where = f"{day_words(item.day)}{f', {item.sale.to}' if item.sale.to else ''}"
        do = "the buyer must have it in writing" if item.living_on else "tell the buyer and your vet at once"
        do = f"no treatment is written: mend {item.slip} first" if item.slip and not item.living_on else do
        rows.append(Row((who, where, *cells, Words(f"{do} ({item.sale.origin.path})"))))
    return Table(columns, tuple(rows), "", "went-list")


PAGES = (PageMaker("loading list", make),)
NAVIGATION = (Link("Loading list", PATH, "", "On paper"),)
