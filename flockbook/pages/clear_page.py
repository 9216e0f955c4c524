"""Clear to sell: who is unknown, who is held until when, who is clear."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.withdrawal import CLEAR, HELD, UNKNOWN, Clearance
from flockbook.pages.seen import Seen
from flockbook.pages.views import Caution, Column, Directory, Row, StateView, Table, Tag, Words, directory, state_view
from flockbook.pages.wording import plural

PATH = "clear-to-sell.html"
# Cautions in our own words; facts from 21 CFR 530.20, Reg. (EU) 2019/6 Art. 4 and 115.
CAUTION = Caution(
    "Before anything is sold or killed",
    (
        "This list counts from what you typed. Where it differs from the label or from your vet's written "
        "instruction, they are right and the list is not.",
        "Unknown means not clear: a period, a date, a dose or a note is missing. Put that right, or ask your vet, and "
        "sell nothing on a guess.",
        "A lamb sucking a treated ewe is shown with the question; only your vet can answer it.",
    ),
    grave=True,
)


@dataclass(frozen=True, slots=True)
class ClearView:
    """Three lists. The clear ones are tags only; the others say why."""

    lead: str
    caution: Caution
    unknown: Table
    unknown_count: str
    held: Table
    held_count: str
    clear: tuple[Tag, ...]
    clear_count: str
    sucking: Table


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    tags = directory(seen.linked, seen.today)
    rows = [row for _, row in sorted(seen.facts.guard.standing.items())]
    by_state = {state: [row for row in rows if row.meat.state == state] for state in (UNKNOWN, HELD, CLEAR)}
    view = ClearView(
        lead(by_state),
        CAUTION,
        reasons_table(by_state[UNKNOWN], tags, "Nobody is unknown."),
        plural(len(by_state[UNKNOWN]), "sheep", "sheep"),
        reasons_table(sorted(by_state[HELD], key=lambda row: str(row.meat.until)), tags, "Nobody is held."),
        plural(len(by_state[HELD]), "sheep", "sheep"),
        tuple(tags.tag(row.sheep) for row in by_state[CLEAR]),
        plural(len(by_state[CLEAR]), "sheep", "sheep"),
        sucking_table([row for row in rows if row.sucking], tags),
    )
    yield Page(PATH, "clear.html", "Clear to sell", view)


def lead(by_state: dict[str, list[Clearance]]) -> str:
    """The three counts in a sentence."""
    return (
        f"{len(by_state[CLEAR])} clear, {len(by_state[HELD])} held until a date, {len(by_state[UNKNOWN])} unknown. "
        "Unknown is not clear."
    )


def reasons_table(rows: list[Clearance], tags: Directory, empty: str) -> Table:
    """Who, what of meat and milk, and why."""
    columns = (Column("Sheep", sort=True), Column("Meat"), Column("Milk"), Column("Why", wide=True))
    return Table(
        columns, tuple(Row((tags.tag(row.sheep), meat(row), milk(row), Words(why(row)))) for row in rows), empty
    )


def meat(row: Clearance) -> StateView:
    """The meat state."""
    return state_view(row.meat, "problems.html")


def milk(row: Clearance) -> StateView:
    """The milk state."""
    return state_view(row.milk, "problems.html")


def why(row: Clearance) -> str:
    """The reasons that hold an animal's meat, each with its note."""
    found = dict.fromkeys(hold.because for hold in row.holds if hold.product == "meat") or dict.fromkeys(row.because)
    return "; ".join(f"{item.text} ({item.note})" if item.note else item.text for item in found)


def sucking_table(rows: list[Clearance], tags: Directory) -> Table:
    """Lambs that may be drinking a treated ewe's milk."""
    columns = (Column("Lamb"), Column("Sucking"))
    return Table(
        columns,
        tuple(Row((tags.tag(row.sheep), tags.tag(row.sucking or ""))) for row in rows),
        "No lamb is sucking a treated ewe.",
    )


PAGES = (PageMaker("clear to sell", make),)
NAVIGATION = (Link("Clear to sell", PATH, "clear"),)
