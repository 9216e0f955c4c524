"""The loading list and the refused list: who may go for meat, who may not, by which medicine, until when and by which
note; for the whole flock now, and on a sheet of its own for every sale to come.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from compiler.book import Moment, PageMaker, Stamp
from compiler.horizon import plainly
from compiler.pages import Link, Page
from compiler.shape import replace
from flockbook.derive.farm.electronic_numbers import official_numbers
from flockbook.derive.market.leaving import Gate, Lists, Load
from flockbook.derive.medicine.withdrawal import Clearance
from flockbook.law import ASK_AUTHORITY, Topic, law_here
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.market.load_papers import BUYERS, buyers_table, carriage, load_blanks
from flockbook.pages.market.loading_tables import (
    LoadTeller,
    absent_table,
    ask_table,
    asked_table,
    barred_table,
    load_teller,
    marked_table,
    milk_table,
    refused_table,
    sales_table,
    went_table,
)
from flockbook.pages.sections import Aside, Block, Names, Section, SectionsView, Subhead, Whence
from flockbook.pages.telling.notes_page import note_places
from flockbook.pages.telling.timeline import Teller
from flockbook.pages.views import Caution, Table, directory, state_view
from flockbook.pages.wording import as_sentence, clock_words, day_words, long_day_words, plural
from flockbook.regional import local_all
from flockbook.saying.identity import official_words
from flockbook.seen import Seen

PATH, SECTION = "loading.html", "Clear to sell"
ROOM = 300  # elements of each table of a page that has several, and the list of those who may go
HOW_TO_PLAN = (
    "A sale that is planned gets a sheet of its own here: write its note with the day to come and “sure: yes”."
)
MARKED = "A note says that they shall go. When they may is another thing."
BARRED = "Clear of medicine, and yet they may not go. What is written decides; a look at the sheep goes before it."
ASK_BEFORE = "Nothing forbids them to go by what is written, but somebody must be asked or something looked at first."
AT_FOOT = "Whether the ewe's medicine holds the lamb too, only your vet can answer. Until then it stays."
IN_WRITING = "Whoever buys one to milk, or with a lamb at foot, must have this in writing."
MILK_ELSEWHERE = "Whose milk is not clear stands on the clear list."
NOWHERE = "No note says where they stand"
# In our own words; facts: Reg. (EU) 2019/6 Art. 4 and 115, 21 CFR 530.20.
CAUTION = Caution(
    "Before the ramp goes up",
    (
        "Whoever is not on the loading list does not go. Unknown is not clear.",
        "The lists count from what you typed. Where the label or your vet's written instruction says otherwise, they "
        "are right.",
        "Clear of medicine is not yet fit to travel. Whoever is lame, ill or near lambing on the day stays, whatever "
        "a list says: in doubt ask your vet.",
        "A list is good for its own day and hour. Make it anew on the day, after the last treatment is written.",
    ),
    grave=True,
)


def gate_caution() -> Caution:
    """What stands above every loading list, with the law of the flock's own country."""
    read = [one.in_full for topic in (Topic.TRANSPORT, Topic.OFFICIAL_NUMBER) if (one := law_here(topic))]
    source = "; ".join(read) or f"the law of your own country decides: {ASK_AUTHORITY}"
    return replace(local_all(CAUTION), source=as_sentence(source))


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
        *filled(Section("Sales to come", (sales_table(found.loads, told, paths),), "sales",
                        plural(len(paths), "sale"))),
        *filled(Section("Marked to go", (MARKED, marked_table(found, told)), "marked",
                        plural(len(found.marked), "sheep", "sheep"))),
        *filled(Section("Left before they were clear", (went_table(found.went, told),), "went",
                        plural(len(found.went), "sheep", "sheep"))),
    )  # fmt: skip
    milk = f" {MILK_ELSEWHERE}" if found.lists.not_milk else ""
    lead = f"The whole flock, for meat, as at {load_moment(seen.today)}.{milk}" + ("" if paths else f" {HOW_TO_PLAN}")
    return view(seen, lead, found.lists, LoadTeller(told, state_view, found.fitness, milk=False), extra)


def load_view(seen: Seen, load: Load, told: Teller) -> SectionsView:
    """One sale to come, by what is written so far."""
    sale = load.sale
    absent = ("They are left out.", absent_table(load, told))
    extra = filled(Section("Named, but not here", absent, "absent", str(len(load.absent))))
    to = f" to {sale.to}" if sale.to else ""
    use = f" ({sale.use})" if sale.use else ""
    lead = (
        f"Sale{to}{use}: as they will stand at {load_moment(load.at)}, by what is written so far. "
        "What is given until then is not in it."
    )
    how = load_teller(load, told)
    whole = view(seen, lead, load.lists, how, extra)
    going = [row for row in (*load.lists.may, *load.lists.not_milk) if how.sort(row) in ("may", "not milk")]
    papers = filled(Section("For the buyer's papers", (BUYERS, buyers_table(seen, going, told)), "papers"))
    top = (Whence(sale.origin.path), *carriage(seen, sale), *whole.top)
    return replace(whole, top=top, sections=(*whole.sections, *papers))


def view(seen: Seen, lead: str, lists: Lists, how: LoadTeller, extra: Iterable[Section]) -> SectionsView:
    """Lists for one moment: by medicines first, then by whatever else speaks against their going."""
    found: dict[str, list[Clearance]] = {"barred": [], "sucking": [], "asked": [], "not milk": [], "may": []}
    for row in sorted((*lists.may, *lists.not_milk, *lists.ask), key=lambda row: row.sheep):
        found[how.sort(row)].append(row)
    barred, sucking, asked, milk, may = found.values()
    parts = (
        Section("May NOT go", (refused_table(lists.refused, how),), "refused", heads_of(lists.refused)),
        *filled(Section("May NOT go for another reason", (BARRED, barred_table(barred, how)), "barred",
                        heads_of(barred))),
        *filled(Section("Ask the vet first", (AT_FOOT, asked_table(sucking, how)), "ask", plural(len(sucking),
                        "lamb"))),
        *filled(Section("Ask first", (ASK_BEFORE, ask_table(asked, how)), "ask-first", heads_of(asked))),
        *filled(Section("May go for meat, milk not clear", (IN_WRITING, milk_table(milk, how.told, how.shown)),
                        "not-milk", heads_of(milk))),
        *extra,
    )  # fmt: skip
    go = pens(seen, may, how.told) or (Aside("Nobody may go.", "empty"),)
    last = Section("May go", (*go, load_blanks(how.sale)), "may-go", heads_of(may))
    return SectionsView(lead, (*parts, last), (gate_caution(),))


def heads_of(rows: Sequence[Clearance]) -> str:
    """How many they are."""
    return plural(len(rows), "sheep", "sheep")


def filled(part: Section) -> tuple[Section, ...]:
    """A part that is left out where nobody stands in its table."""
    return (part,) if any(isinstance(block, Table) and block.rows for block in part.body) else ()


def load_moment(at: Moment) -> str:
    """The moment that a list is for. It stays true when it is past, like the stamp."""
    day_of, time = long_day_words(at.day), plainly(at.at)
    return f"{clock_words(time)} on {day_of}" if at.timed or time.hour or time.minute else f"the start of {day_of}"


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


PAGES = (PageMaker("loading list", make),)
NAVIGATION = (Link("Loading list", PATH, "", "On paper"),)
