"""The cupboard with every label as typed, and the register of treatments."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page
from flockbook.derive.medicine_register import Entry
from flockbook.pages.seen import Seen
from flockbook.pages.views import Caution, Cell, Column, Directory, PageLink, Pair, Row, Table, Words, day, directory
from flockbook.pages.wording import day_words, plural
from flockbook.records.sheep import Medicine

CUPBOARD, REGISTER = "medicines.html", "medicine-register.html"
FEW = 6  # sheep of one treatment shown as ear tags; more are written out
PER_PAGE = 60  # rows of the register on one page
MISSING = "NOT WRITTEN – whoever gets it is unknown"
# Our own words; a stick with some products can kill (21 CFR 522.2471(d)), off-label use: 21 CFR 530.20.
CAUTION = Caution(
    "Medicines",
    (
        "Every figure here was typed by you. The label, and your vet's written instruction, come before it. This "
        "program knows no dose and no period of its own.",
        "Off the label, and prescription medicines, only on your vet's order; keep the order with the record.",
        "A loaded syringe is dangerous. After a stick see a doctor at once and take the box along.",
    ),
)


@dataclass(frozen=True, slots=True)
class Product:
    """One product: its label as typed, and the shepherd's remark."""

    name: str
    label: tuple[Pair, ...]
    remark: Html
    path: str


@dataclass(frozen=True, slots=True)
class CupboardView:
    """All products."""

    lead: str
    caution: Caution
    products: tuple[Product, ...]


@dataclass(frozen=True, slots=True)
class RegisterView:
    """Part of the register and the pages of the rest."""

    lead: str
    table: Table
    pager: tuple[PageLink, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The cupboard and the register."""
    del stamp
    medicines = seen.collection.of(Medicine)
    view = CupboardView(
        f"{plural(len(medicines), 'product')}, each as its label reads.",
        CAUTION,
        tuple(product(item) for item in medicines),
    )
    yield Page(CUPBOARD, "medicines.html", "Medicines", view, "", tuple(item.origin.path for item in medicines))
    tags = directory(seen.linked, seen.today)
    entries = tuple(reversed(seen.facts.medicines))
    parts = [entries[start : start + PER_PAGE] for start in range(0, len(entries), PER_PAGE)] or [()]
    names = [REGISTER if number == 0 else f"medicine-register-{number + 1}.html" for number in range(len(parts))]
    for number, part in enumerate(parts):
        links = (
            tuple(PageLink(str(place + 1), name, place == number) for place, name in enumerate(names))
            if len(parts) > 1
            else ()
        )
        lead = (
            f"{plural(len(entries), 'treatment')}, the latest first. None is ever taken out: a corrected one "
            "stands struck through."
        )
        yield Page(
            names[number],
            "index-list.html",
            "Medicine register",
            RegisterView(lead, register_table(part, tags), links),
            "",
        )


def product(medicine: Medicine) -> Product:
    """One product's label."""
    pairs: list[tuple[str, Cell | None]] = [
        ("Meat", Words(medicine.meat_withdrawal.text if medicine.meat_withdrawal else MISSING)),
        ("Milk", Words(medicine.milk_withdrawal.text if medicine.milk_withdrawal else MISSING)),
        ("Read from", medicine.source), ("Last read", day(medicine.checked)), ("Active", medicine.active), ("Strength",
        medicine.strength),
        ("Rate", medicine.label_rate.text if medicine.label_rate else None), ("Least dose",
        medicine.label_minimum.text if medicine.label_minimum else None),
        ("Youngest", medicine.minimum_age.text if medicine.minimum_age else None), ("Route", medicine.route),
        ("Most in one place", medicine.max_per_site.text if medicine.max_per_site else None), ("Batch",
        ", ".join(medicine.batch) or None),
        ("Expires", medicine.expires.shown if medicine.expires else None), ("Opened", day(medicine.opened)),
        ("Use within", medicine.use_within.text if medicine.use_within else None), ("Prescription",
        medicine.prescription), ("Drench family", medicine.group),
    ]  # fmt: skip
    return Product(
        medicine.name or medicine.origin.path,
        tuple(Pair(label, value) for label, value in pairs if value),
        Html(medicine.origin.html),
        medicine.origin.path,
    )


def register_table(entries: Iterable[Entry], tags: Directory) -> Table:
    """All that a keeper, a vet or an inspector asks for."""
    columns = (
        Column("Given", wide=True), Column("Sheep", wide=True), Column("Medicine"), Column("Each"), Column("In all"),
        Column("Batch"), Column("For"), Column("Route"),
        Column("By, vet", wide=True), Column("Meat period", wide=True), Column("Clear from"), Column("Keep until"),
        Column("Note", wide=True),
    )  # fmt: skip
    return Table(
        columns,
        tuple(register_row(entry, tags) for entry in entries),
        "No treatment is written.",
        "register",
        filter="Narrow the register",
    )


def sheep_cell(entry: Entry, tags: Directory) -> Cell:
    """Who was treated: ear tags for a few, words for a mob."""
    if len(entry.sheep) <= FEW:
        return tags.tags(entry.sheep)
    named = (tags.tag(sheep) for sheep in entry.sheep)
    return Words(f"{len(entry.sheep)} sheep: " + ", ".join(item.tag or item.name for item in named))


def register_row(entry: Entry, tags: Directory) -> Row:
    """One treatment."""
    event = entry.event
    given = ", ".join(when.text or day_words(when.date) for when in entry.doses) + (
        f" (course of {event.days} days open)" if entry.open else ""
    )
    people = ", ".join(
        word
        for word in (event.by, f"vet: {event.vet}" if event.vet else "", "off label" if event.off_label else "")
        if word
    )
    clear = "unknown" if entry.meat_until is None else entry.meat_until.replace("T", " ") or "at once"
    total = f"{entry.total_ml:.1f} mL" if entry.total_ml else ""
    cells: tuple[Cell, ...] = (
        Words(given), sheep_cell(entry, tags), event.medicine or "",
        event.dose.text if event.dose else event.rate.text if event.rate else "", total,
        event.batch or "", event.for_ or event.subject or "", event.route or "", Words(people),
        Words(entry.meat_period), clear, day(entry.keep_until) or "", Words(entry.note),
    )  # fmt: skip
    return Row(cells, "struck" if entry.struck_by else "")


PAGES = (PageMaker("medicines", make),)
NAVIGATION = (
    Link("Medicines", CUPBOARD, "", "Health"),
    Link("Medicine register", REGISTER, "", "Health"),
)
