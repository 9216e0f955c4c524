"""Clear to sell: who is unknown, who is held until when, who is clear, and where a question remains."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.medicine.hold_reasons import told_of
from flockbook.derive.medicine.periods import MEAT, MILK
from flockbook.derive.medicine.withdrawal import CLEAR, HELD, UNKNOWN, Clearance
from flockbook.derive.plain.because import Because, Reason
from flockbook.pages.medicine.withheld_box import WithheldView, withheld_view
from flockbook.pages.telling.notes_page import note_places
from flockbook.pages.telling.timeline import Teller
from flockbook.pages.views import (
    FIRST,
    Caution,
    Cell,
    Column,
    PageLink,
    Row,
    Table,
    Tag,
    Words,
    directory,
    meat_view,
    milk_view,
)
from flockbook.pages.wording import as_sentence, plural, quoted
from flockbook.regional import local
from flockbook.saying.because import step_words
from flockbook.saying.standing import question
from flockbook.seen import Seen

PATH, SECTION = "clear-to-sell.html", "Clear to sell"
ROOM = 1100  # elements of one page's lists; a longer list goes on to the next page
ROW_TAKES, TAG_TAKES = 18, 5  # elements of one line that says why, and of one tag
# Cautions in our own words; facts from 21 CFR 530.20, Reg. (EU) 2019/6 Art. 4 and 115.
CAUTION = Caution(
    "Before anything is sold or killed",
    (
        "This list counts from what you typed. Where it differs from the label or from your vet's written instruction, "
        "they are right and the list is not.",
        "Unknown means not clear: a period, a date, a dose or a note is missing. Put that right, or ask your vet, and "
        "sell nothing on a guess.",
        "What was given since this book was made is not in it.",
        "Clear of medicine is not yet fit to go: the loading list also asks after illness, lambing, age and papers.",
    ),
    grave=True,
)
COLUMNS = (Column("Sheep", sort=True), Column("Meat", looks=FIRST), Column("Milk"), Column("Why", wide=True))


class Listed(Value):
    """One list: its heading, how many stand in it on all pages together, and its part on this page."""

    head: str
    count: str
    note: str
    table: Table | None
    tags: tuple[Tag, ...]


class ClearView(Value):
    """What is to be mended first, then whoever is not clear, the caution, who is clear, and which lists are empty."""

    withheld: WithheldView
    lead: str
    caution: Caution
    but: str
    kept: tuple[Listed, ...]
    clear: tuple[Listed, ...]
    pager: tuple[PageLink, ...]


class Sort(Value):
    """One kind of standing: who belongs to it, and what is said where nobody does."""

    head: str
    holds: Callable[[Clearance], bool]
    empty: str
    note: str = ""
    plain: bool = False


SORTS = (
    Sort("Unknown", lambda row: row.meat.state == UNKNOWN, "Nobody is unknown."),
    Sort("Held", lambda row: row.meat.state == HELD, "Nobody is held."),
    Sort(
        "Meat clear, milk not",
        lambda row: row.meat.state == CLEAR and row.milk.state != CLEAR,
        "Nobody.",
        "Their milk may not be used. A lamb that sucks such a ewe is a question for your vet.",
    ),
    Sort(
        "Clear by its own notes, but sucking a treated ewe",
        lambda row: row.meat.state == CLEAR == row.milk.state and row.sucking is not None,
        "No lamb is sucking a treated ewe.",
        "Whether the ewe's medicine holds the lamb too, only your vet can answer. Ask before it is sold or killed.",
    ),
    Sort(
        "Clear",
        lambda row: row.meat.state == CLEAR == row.milk.state and row.sucking is None,
        "Nobody is clear.",
        plain=True,
    ),
)


class Part(Value):
    """The rows of one sort that stand on one page, and how many stand on all pages together."""

    sort: Sort
    rows: list[Clearance]
    count: int


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page, or several where the flock is large."""
    del stamp
    told = Teller(directory(seen.linked, seen.today), seen.settings.units, note_places(seen.linked))
    sorted_rows = by_sort(seen)
    rows, parts = [row for _, found in sorted_rows for row in found], list(spread(sorted_rows))
    box, on_top = withheld_view(seen), seen.facts.medicine.withheld.on_top
    names = pages_named(len(parts))
    for place, part in enumerate(parts):
        links = (
            tuple(PageLink(str(at + 1), name, at == place) for at, name in enumerate(names)) if len(parts) > 1 else ()
        )
        groups = tuple(
            group(told, Part(sort, found, len(of_sort)), on_top)
            for (sort, of_sort), found in zip(sorted_rows, part, strict=True)
        )
        shown = (
            groups
            if len(parts) == 1
            else tuple(item for item in groups if item.table is None or item.table.rows or item.tags)
        )
        kept = tuple(item for item in shown if item.table and item.table.rows)
        others = sorted((item for item in shown if item not in kept), key=lambda item: item.table is not None)
        view = ClearView(box, lead(rows), CAUTION, kept_back(seen, rows), kept, tuple(others), links)
        yield Page(names[place], "clear.html", SECTION, view, SECTION if place else "")


def by_sort(seen: Seen) -> list[tuple[Sort, list[Clearance]]]:
    """Everybody in the lists, the first to be free first."""
    rows = sorted(seen.facts.medicine.guard.standing.values(), key=lambda row: (str(row.meat.until or ""), row.sheep))
    return [(sort, [row for row in rows if sort.holds(row)]) for sort in SORTS]


def pages_named(count: int) -> list[str]:
    """The paths of so many pages of the lists."""
    return [PATH if place == 0 else PATH.replace(".html", f"-{place + 1}.html") for place in range(count)]


def list_paths(seen: Seen) -> tuple[str, ...]:
    """All pages of the lists."""
    return tuple(pages_named(len(list(spread(by_sort(seen))))))


def spread(sorted_rows: Sequence[tuple[Sort, list[Clearance]]]) -> Iterator[list[list[Clearance]]]:
    """The rows of every sort, page by page."""
    page: list[list[Clearance]] = [[] for _ in sorted_rows]
    room = ROOM
    for place, (sort, rows) in enumerate(sorted_rows):
        for row in rows:
            takes = TAG_TAKES if sort.plain else ROW_TAKES
            if takes > room:
                yield page
                page, room = [[] for _ in sorted_rows], ROOM
            page[place].append(row)
            room -= takes
    yield page


def group(told: Teller, part: Part, on_top: frozenset[Reason | str]) -> Listed:
    """One list's part of a page."""
    sort, rows, count = part.sort, part.rows, part.count
    shown = plural(count, "sheep", "sheep")
    if sort.plain and rows:
        return Listed(local(sort.head), shown, local(sort.note), None, tuple(told.tags.tag(row.sheep) for row in rows))
    all_cells = [cells(told, row, on_top) for row in rows]
    same = reason_of_all(all_cells)
    columns = COLUMNS[:-1] if same else COLUMNS
    shown_cells = [row[:-1] if same else row for row in all_cells]
    table = Table(columns, tuple(map(Row, shown_cells)), local(sort.empty), lines=True)
    note = " ".join(text for text in (as_sentence(same), local(sort.note)) if text) if rows else ""
    return Listed(local(sort.head), shown, note, table, ())


def reason_of_all(rows: Sequence[tuple[Cell, ...]]) -> str:
    """The reason that several rows have in common: it is said once, under them; "" where they differ."""
    reasons = {row[-1].text for row in rows if isinstance(row[-1], Words)}
    return reasons.pop() if len(rows) > 1 and len(reasons) == 1 else ""


def lead(rows: Sequence[Clearance]) -> str:
    """The counts in a sentence; clear are only those whose meat and milk are clear and whose dam is."""
    counts = [sum(sort.holds(row) for row in rows) for sort in SORTS]
    unknown, held, milk, sucking, clear = counts
    more = f", {milk} not for milk" if milk else ""
    more += f", {sucking} to ask about" if sucking else ""
    return f"{unknown} unknown, {held} held{more}, {clear} clear."


def kept_back(seen: Seen, rows: Sequence[Clearance]) -> str:
    """How many of the clear must stay, or be asked about, for another reason than medicine."""
    against = seen.facts.market.gate.fitness
    count = sum(row.plainly_clear and row.sheep in against for row in rows)
    told = "for another reason may not go, or somebody is to be asked first: the loading list says why"
    return f"Of those clear of medicine, {count} {told}." if count else ""


def cells(told: Teller, row: Clearance, on_top: frozenset[Reason | str]) -> tuple[Cell, ...]:
    """Who, what of meat and milk, and why."""
    meat, milk = meat_view(row, mend_place(told, row, MEAT)), milk_view(row, mend_place(told, row, MILK))
    return told.tags.tag(row.sheep), meat, milk, Words(why(told, row, on_top))


def mend_place(told: Teller, row: Clearance, product: str) -> str:
    """Where the first note is told that leaves a product unknown and can be mended; else the page of problems."""
    places = (told.places.get(hold.because.note, "") for hold in row.deciding(product) if hold.cure)
    return next((place for place in places if place), "problems.html")


def reason_words(item: Because, on_top: frozenset[Reason | str], to_mend: bool) -> str:
    """A reason, with its note where that is to be mended; one that is told on top of the page is not told again."""
    if told_of(item) in on_top:
        return f"see on top: {item.note}"
    words = step_words(item)
    return quoted(f"{words} ({item.note})" if item.note and to_mend else words)


def why(told: Teller, row: Clearance, on_top: frozenset[Reason | str] = frozenset()) -> str:
    """The reasons that decide: the last release, or what is unknown, with its note; for a lamb also its ewe."""
    deciding = row.deciding(MEAT) or row.deciding(MILK)
    found = list(dict.fromkeys(reason_words(hold.because, on_top, bool(hold.cure)) for hold in deciding))
    if row.sucking:
        found.append(question(told.flock, row))
    return "; ".join(found)


PAGES = (PageMaker("clear to sell", make),)
NAVIGATION = (Link("Clear to sell", PATH, SECTION),)
