"""The tables of the loading and refused lists: who may not go and why, of whom to ask first, who is not here."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from compiler.shape import Value
from flockbook.derive.market.barriers import Barrier, Fitness, may_not
from flockbook.derive.market.leaving import Absent, Gate, Gone, Load, medicines_of
from flockbook.derive.medicine.periods import MEAT, MILK
from flockbook.derive.medicine.withdrawal import CLEAR, HELD, Clearance, State
from flockbook.pages.medicine.clear_page import mend_place, why
from flockbook.pages.telling.timeline import Teller
from flockbook.pages.views import Cell, Column, LinkView, Row, Table, Words, meat_view
from flockbook.pages.wording import day_words
from flockbook.records.trade import Cull
from flockbook.regional import local
from flockbook.saying.because import words_of_reason
from flockbook.saying.going import barriers_words, going_words
from flockbook.saying.standing import release_words, to_do


class LoadTeller(Value):
    """How a page tells of sheep: its tags and places, how it prints a state, what speaks against their going, and
    whether anybody asks for milk: not where they go for meat.
    """

    told: Teller
    shown: Callable[[State, str], Cell]
    fitness: Fitness
    milk: bool = True

    def against(self, row: Clearance) -> tuple[Barrier, ...]:
        """What speaks against the going of one sheep, besides medicines."""
        return self.fitness.get(row.sheep, ())

    def sort(self, row: Clearance) -> str:
        """The list in which a sheep stands, whoever is refused for a medicine left out; each stands in one."""
        if may_not(self.against(row)):
            return "barred"
        if row.sucking is not None:
            return "sucking"
        if self.against(row):
            return "asked"
        return "not milk" if self.milk and row.milk.state != CLEAR else "may"


def refused_table(rows: Iterable[Clearance], how: LoadTeller) -> Table:
    """Who may not go by a medicine, and whatever else speaks against it."""
    columns = (Column("Sheep"), Column("Meat"), Column("Medicine"), Column("Why, and which note", wide=True))
    found = []
    for row in rows:
        *cells, reasons = refused_cells(row, how.told, how.shown)
        also = f"; also {barriers_words(how.against(row))}" if how.against(row) else ""
        found.append(Row((*cells, Words(f"{why(how.told, row)}{also}") if also else reasons)))
    return Table(columns, tuple(found), "Nobody is refused.", "refused-list")


def barred_table(rows: Iterable[Clearance], how: LoadTeller) -> Table:
    """Who is clear of medicine and may not go all the same."""
    columns = (Column("Sheep"), Column("Medicines"), Column("Why, and which note", wide=True))
    tag = how.told.tags.tag
    found = tuple(Row((tag(row.sheep), of_medicines_words(row), Words(against_going_words(row, how)))) for row in rows)
    return Table(columns, found, "", "barred-list")


def of_medicines_words(row: Clearance) -> str:
    """Where the meat of a sheep that no medicine of its own holds stands, so that nobody takes it for held."""
    return "clear" if row.plainly_clear else "see why"


def against_going_words(row: Clearance, how: LoadTeller) -> str:
    """What speaks against the going of a sheep whose meat is clear; a question of milk or of sucking stands beside."""
    told = barriers_words(how.against(row))
    if row.sucking is not None:
        return f"{told}; {why(how.told, row)}"
    asks = how.milk and how.sort(row) == "asked" and row.milk.state != CLEAR
    return f"{told}; milk: {why(how.told, row)}" if asks else told


def ask_table(rows: Iterable[Clearance], how: LoadTeller) -> Table:
    """What is to be asked first, said once for all sheep of whom it is asked."""
    columns = (Column("Sheep", wide=True), Column("Medicines"), Column("What, and which note", wide=True))
    together: dict[str, list[str]] = {}
    for row in rows:
        together.setdefault(against_going_words(row, how), []).append(row.sheep)
    tags = how.told.tags.tags
    found = tuple(Row((tags(sheep), "clear", Words(words))) for words, sheep in together.items())
    return Table(columns, found, "", "ask-first-list")


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


def asked_table(rows: Iterable[Clearance], how: LoadTeller) -> Table:
    """Lambs clear by their own notes that may be sucking a ewe who is not."""
    columns = (Column("Lamb"), Column(local("Sucking")), Column("Why", wide=True))
    tag = how.told.tags.tag
    found = [
        Row((tag(row.sheep), tag(row.sucking), Words(against_going_words(row, how).removeprefix("; "))))
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


def sales_table(loads: Iterable[Load], told: Teller, paths: Iterable[str]) -> Table:
    """The sales to come, each leading to its sheet."""
    columns = (
        Column("Sale"), Column("To"), Column("For"), Column("May go", "number"), Column("May not", "number"),
        Column("Ask", "number"), Column("Not here", "number"),
    )  # fmt: skip
    rows = []
    for load, path in zip(loads, paths, strict=True):
        sorts = [load_teller(load, told).sort(row) for row in (*load.lists.may, *load.lists.not_milk, *load.lists.ask)]
        may, ask = (sum(sort in wanted for sort in sorts) for wanted in (("may", "not milk"), ("sucking", "asked")))
        counts = (may, len(load.lists.refused) + sorts.count("barred"), ask, len(load.absent))
        sale = load.sale
        rows.append(Row((LinkView(day_words(load.at.day), path), sale.to or "", sale.use or "", *counts)))
    return Table(columns, tuple(rows), "", "sales-list")


def load_teller(load: Load, told: Teller) -> LoadTeller:
    """How a sale's sheet tells of its sheep: nobody asks for the milk of one that is slaughtered."""
    return LoadTeller(told, at_another_time, load.fitness, milk=load.sale.use != "slaughter")


def marked_table(found: Gate, told: Teller) -> Table:
    """Those that a note has marked to go, with where they stand."""
    columns = (
        Column("Sheep"), Column("Meat"), Column("Why she goes", wide=True), Column("What holds her", wide=True),
    )  # fmt: skip
    rows = tuple(
        Row((
            told.tags.tag(row.sheep), meat_view(row, mend_place(told, row, MEAT)), Words(marked_words(event)),
            Words(held_by(found, row, told) or "nothing that is written"),
        ))
        for event, row in found.marked
    )  # fmt: skip
    return Table(columns, rows, "", "marked-list")


def held_by(found: Gate, row: Clearance, told: Teller) -> str:
    """By what a sheep that is marked to go is held here: medicines, then whatever else."""
    against = found.fitness.get(row.sheep, ())
    return "; ".join(words for words in (why(told, row), going_words(against) if against else "") if words)


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
