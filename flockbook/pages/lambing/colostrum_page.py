"""The ledger of frozen colostrum: whose it is, how old, how much is left, and every bag that went in or out."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.lambing.colostrum_store import ColostrumStore, Lot, LotLeft, StoreEntry, StoreMove
from flockbook.measures import measures
from flockbook.pages.sections import Aside, Section, SectionsView
from flockbook.pages.views import Caution, Cell, Column, Directory, Row, Table, Words, day, directory
from flockbook.pages.wording import NONE, day_words
from flockbook.seen import Seen

PATH, TITLE = "colostrum.html", "Frozen colostrum"
MOVE_SAID = {
    StoreMove.PUT_IN: "in", StoreMove.COUNTED: "counted", StoreMove.USED: "used", StoreMove.FED: "fed",
    StoreMove.BINNED: "thrown away",
}  # fmt: skip
NO_STORE = (
    "Nothing is written of frozen colostrum yet. A stock note opens the ledger: ‘supply: frozen colostrum’, ‘put in: "
    "250 ml’, ‘from: Bramble’, ‘frozen: 2026-04-02’; a feed takes from it with ‘what: frozen’."
)
THAW = Caution(
    "Before it is thawed",
    (
        "Warm it slowly in a bath no hotter than the hand bears; a microwave destroys what it is for. Oldest first.",
        "A ewe's colostrum carries what she carries: ask your vet before you give it to another's lambs, above all if "
        "it is bought.",
    ),
    "Common practice; how long it keeps, a year in the freezer: extension texts, from memory",
)
STORE_RULES = (
    "What a stock note on a supply with “colostrum” in its name says was put in or counted goes in; what it says was "
    "used or thrown away, and every feed of frozen colostrum, goes out: the amount of a feed for each lamb.",
    "An amount whose ewe and day stand beside it comes out of that bag; any other only out of the whole. A count "
    "starts the whole anew.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The ledger."""
    del stamp
    found, tags = seen.facts.lambing.colostrum_store, directory(seen.linked, seen.today)
    if not found.entries:
        yield Page(PATH, "sections.html", TITLE, SectionsView(NO_STORE, foot=(THAW,)), "Lambing")
        return
    sections = (
        Section("In the freezer, the oldest first", (lots_table(found.lots, tags), *loose(found)), "lots"),
        Section("In and out", (ledger_table(found, tags),), "ledger"),
        Section("How it is counted", STORE_RULES, "how"),
    )
    yield Page(PATH, "sections.html", TITLE, SectionsView(lead(found), sections, (THAW,)), "Lambing")


def lead(found: ColostrumStore) -> str:
    """How much is left, and of how many bags."""
    left = [item for item in found.lots if item.left > 0]
    oldest = min((item.lot.frozen for item in left if item.lot.frozen), default=None)
    since = f", the oldest frozen on {day_words(oldest)}" if oldest else ""
    return f"{measures().drink(found.left or 0)} of frozen colostrum left as far as the notes tell{since}."


def loose(found: ColostrumStore) -> tuple[Aside, ...]:
    """What went out of no bag that is known, and what could not be read."""
    told = []
    if found.unnamed_out:
        told.append(
            f"{measures().drink(found.unnamed_out)} went out of bags that no note names: what is left of each is at "
            "most this."
        )
    told += [f"“{one.typed}” ({one.note.origin.path}) is no amount in mL and is not counted." for one in found.unread]
    return tuple(Aside(text, "loud") for text in told)


def donor_cell(lot: Lot, tags: Directory) -> Cell:
    """Whose it is."""
    return tags.tag(lot.donor) if lot.donor else lot.source or "not written"


def lots_table(lots: Iterable[LotLeft], tags: Directory) -> Table:
    """The bags by ewe and day."""
    columns = (Column("From"), Column("Frozen"), Column("Put in", "number"), Column("Left", "number"),
               Column("So", wide=True))  # fmt: skip
    rows = tuple(
        Row((
            donor_cell(item.lot, tags), day(item.lot.frozen) or "day not written", measures().drink(item.put_in),
            measures().drink(item.left), lot_words(item),
        ))
        for item in lots
    )  # fmt: skip
    empty = "No bag has a ewe or a day: write ‘from’ and ‘frozen’ beside what is put in."
    return Table(columns, rows, empty, "lots-table")


def lot_words(item: LotLeft) -> str:
    """What is to be done with a bag."""
    if not item.left:
        return "used up"
    return "older than a year: throw it away" if item.old else "good"


def ledger_table(found: ColostrumStore, tags: Directory) -> Table:
    """Every line, the latest first."""
    columns = (
        Column("Day"), Column("What"), Column("Amount", "number"), Column("From", wide=True), Column("Frozen"),
        Column("For", wide=True), Column("By"),
    )  # fmt: skip
    rows = tuple(Row(ledger_cells(entry, tags)) for entry in reversed(found.entries))
    return Table(columns, rows, NO_STORE, "ledger-table")


def ledger_cells(entry: StoreEntry, tags: Directory) -> tuple[Cell, ...]:
    """One line of the ledger."""
    heads: Cell = tags.tags(entry.heads) if entry.heads else Words(NONE)
    amount = measures().drink(entry.ml) if entry.ml is not None else "not read"
    lot = (donor_cell(entry.lot, tags), day(entry.lot.frozen) or NONE)
    return (day(entry.day) or NONE, MOVE_SAID[entry.move], amount, *lot, heads, entry.note.by or NONE)


PAGES = (PageMaker("frozen colostrum", make),)
NAVIGATION = (Link(TITLE, PATH, "", "Lambing"),)
