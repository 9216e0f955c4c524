"""The medicine register on paper: a sheet for each year, every field that a keeper, a vet or an inspector asks for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.medicine.cupboard import word_of
from flockbook.derive.medicine.medicine_register import (
    LastReleased,
    MedicineEntry,
    everybody_known,
    kept_until,
    last_released,
)
from flockbook.derive.medicine.periods import MEAT, MILK
from flockbook.flock import Flock
from flockbook.measures import in_all
from flockbook.pages.medicine.medicine_pages import dose_of_each
from flockbook.pages.sections import Look, Section, SectionsView, pager
from flockbook.pages.telling.cautions import MEDICINE_CAUTION
from flockbook.pages.telling.telling import comma_joined, value_words
from flockbook.pages.views import Column, PageLink, Pair, Row, Table, Words
from flockbook.pages.wording import day_words, partial_words, plural
from flockbook.records.cupboard import Stock
from flockbook.records.health import Treatment
from flockbook.records.sheep import Medicine
from flockbook.regional import local
from flockbook.saying.treatments import typed_period, typed_release
from flockbook.seen import Seen

PATH = "medicine-book.html"
PER_PAGE = 45  # treatments on one sheet: up to twenty elements each
UNDATED = "no date"
# The union of Reg. (EU) 2019/6 Art. 108(2), the Veterinary Medicines Regulations 2013 as AHDB lists them, and
# 21 CFR 530.5.
BOOK_COLUMNS = (
    Column("Given"), Column("Sheep", wide=True), Column("Medicine, dose", wide=True),
    Column("For, by whom", wide=True), Column("Waiting periods", wide=True),
)  # fmt: skip
STOCK = (
    Column("Day"), Column("Medicine", wide=True), Column("What"), Column("Batch, expiry"),
    Column("Supplier", wide=True), Column("Keep until"),
)  # fmt: skip
STOCK_WORDS = {"bought": "came", "binned": "thrown away", "used": "used without a treatment note", "counted": "counted"}


class BookSheet(Value):
    """One sheet: its year (or "no date"), its file, its entries, which of the year's sheets it is."""

    year: str
    path: str
    entries: tuple[MedicineEntry, ...]
    place: int
    of: int


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The sheets, the latest year first and under the fixed name."""
    del stamp
    found = book_sheets(seen)
    known = book_sources(seen)
    for sheet in found:
        links = tuple(PageLink(label(one), one.path, one is sheet) for one in found) if len(found) > 1 else ()
        stock = stock_rows(seen, sheet.year) if sheet.place == sheet.of else []
        treatments = Table(
            BOOK_COLUMNS, tuple(book_row(known, item) for item in sheet.entries), "No treatment.", "book"
        )
        moves = Table(STOCK, tuple(stock), "Nothing is written on this sheet.", "book-stock")
        sections = (
            Section("Treatments", (treatments,), "treatments"),
            Section("Came, thrown away, counted", (moves,), "came-and-went"),
        )
        view = SectionsView(
            lead(seen, sheet), sections, (head(seen),), (MEDICINE_CAUTION, *pager(links)), paper="landscape"
        )
        yield Page(sheet.path, "sections.html", f"Medicine book, {label(sheet)}", view, "Medicine register")


def book_sheets(seen: Seen) -> tuple[BookSheet, ...]:
    """All sheets: years the latest first, those whose date cannot be read last."""
    by_year: dict[str, list[MedicineEntry]] = {}
    for entry in seen.facts.medicine.register:
        by_year.setdefault(year_of(entry.event.date), []).append(entry)
    for event in stock_notes(seen.linked):
        by_year.setdefault(year_of(event.date), [])
    years = sorted((year for year in by_year if year != UNDATED), reverse=True)
    years += [UNDATED] if UNDATED in by_year else []
    found: list[BookSheet] = []
    for year in years or [str(seen.today.day.year)]:
        entries = by_year.get(year, [])
        parts = [entries[start : start + PER_PAGE] for start in range(0, len(entries), PER_PAGE)] or [[]]
        for place, part in enumerate(parts, 1):
            stem = "undated" if year == UNDATED else year
            path = f"medicine-book-{stem}{f'-{place}' if place > 1 else ''}.html" if found else PATH
            found.append(BookSheet(year, path, tuple(part), place, len(parts)))
    return tuple(found)


def year_of(day: date | None) -> str:
    """The year of a note, or that its date cannot be read."""
    return str(day.year) if day else UNDATED


def label(sheet: BookSheet) -> str:
    """What a sheet is called."""
    return sheet.year if sheet.of == 1 else f"{sheet.year}, sheet {sheet.place} of {sheet.of}"


def lead(seen: Seen, sheet: BookSheet) -> str:
    """How many treatments the year has, and how they stand."""
    count = sum(year_of(entry.event.date) == sheet.year for entry in seen.facts.medicine.register)
    return (
        f"{label(sheet)}: {plural(count, 'treatment')} in all, in order of time. None is ever taken out; a "
        "corrected one stands struck through."
    )


def head(seen: Seen) -> Look:
    """Whose book it is, and whose vet."""
    file = seen.settings.file
    years = f"{seen.settings.figure('records_kept'):g} years: {seen.settings.source('records_kept')}"
    return Look(
        (
            Pair("Flock", seen.settings.flock),
            Pair("Keeper", file.keeper or "not written in flock.yaml"),
            Pair(local("Holding"), file.holding or "not written in flock.yaml"),
            Pair("Vet", comma_joined(file.vet or "", file.vet_phone or "") or "not written in flock.yaml"),
            Pair("Records kept", years, wide=True),
        )
    )


# One treatment


class BookSources(Value):
    """What a row is made from, gathered once: every purchase, and how many mL each treatment used by its note."""

    seen: Seen
    bought: tuple[Stock, ...]
    used: Mapping[str, float]


def book_sources(seen: Seen) -> BookSources:
    """Everything gathered."""
    bought = tuple(event for event in stock_notes(seen.linked) if event.bought and event.from_)
    used = {
        move.note: move.quantity.amount
        for shelf in seen.facts.medicine.cupboard.shelves
        for move in shelf.movements
        if move.how == "treated" and move.quantity and move.quantity.ml
    }
    return BookSources(seen, bought, used)


def book_row(known: BookSources, entry: MedicineEntry) -> Row:
    """One treatment in five cells."""
    seen = known.seen
    cells = (
        listing(doses_words(seen, entry), keep_words(entry)),
        Words(sheep_words(seen.linked, entry)),
        Words(listing(product_words(known, entry), doses_as_typed(known, entry))),
        Words(people_words(entry)),
        Words(period_words(seen, entry)),
    )
    return Row(cells, "struck" if entry.struck_by else "")


def doses_words(seen: Seen, entry: MedicineEntry) -> str:
    """Every dose with its time: first and last of a long course; whether the course is still open."""
    days = [value_words(when, seen.settings.units) for when in entry.doses]
    shown = ", ".join(days) if len(days) < 3 else f"{days[0]} to {days[-1]}, {len(days)} doses"
    planned = entry.event.days
    course = f"; a course of {planned} days, STILL OPEN" if entry.open else ""
    return (shown or "day not readable") + course


def keep_words(entry: MedicineEntry) -> str:
    """Until when the entry is to be kept, whether the sheep is alive or not."""
    return f"keep until {day_words(entry.keep_until)}" if entry.keep_until else "keep: the date is to be mended"


def sheep_words(flock: Flock, entry: MedicineEntry) -> str:
    """Every sheep by its tag, and every name that was not found, as typed."""
    tags = [flock.animals[sheep].tag or flock.animals[sheep].called for sheep in entry.sheep]
    found = flock.subjects.get(entry.note)
    lost = [mention.text for mention in (found.unresolved if found else entry.event.mentions())]
    told = f"{len(tags)}: {', '.join(tags)}" if tags else ""
    return listing(told, f"as typed: {', '.join(lost)}" if lost else "") or "nobody is named"


def product_words(known: BookSources, entry: MedicineEntry) -> str:
    """The product, its active ingredient, batch and expiry, and from whom it came."""
    event, medicine = entry.event, entry.medicine
    expires = batch_expiry(known.seen, entry)
    return listing(
        event.medicine or "not written",
        medicine.active or "" if medicine else "",
        f"batch {event.batch}" if event.batch else f"batch not written{of_the_product(medicine)}",
        f"expires {day_words(expires)}" if expires else "expiry not written",
        f"from {supplier(known.bought, event)}",
    )


def of_the_product(medicine: Medicine | None) -> str:
    """The batch that the product's own note has, where it has one: whether it was the one used nobody wrote."""
    if medicine is None or len(medicine.batch) != 1:
        return ""
    expires = f", expires {partial_words(medicine.expires)}" if medicine.expires else ""
    return f" (the product's own note has {medicine.batch[0]}{expires})"


def listing(*parts: str) -> str:
    """The parts that say something, semicolons between, since some hold commas."""
    return "; ".join(part for part in parts if part)


def batch_expiry(seen: Seen, entry: MedicineEntry) -> date | None:
    """The expiry of the batch used; nothing is said of a batch that no note knows."""
    shelf = seen.facts.medicine.cupboard.by_note.get(entry.medicine.origin.path) if entry.medicine else None
    batches = shelf.batches if shelf else ()
    return next((batch.expires for batch in batches if batch.name == entry.event.batch), None)


def doses_as_typed(known: BookSources, entry: MedicineEntry) -> str:
    """The dose of each as typed, by which weights, where and how it was given, and how much was used in all."""
    event, units = entry.event, known.seen.settings.units
    weighed = [value_words(line.weight, units) for line in event.lines if line.weight and not line.dose]
    weights = f"by {plural(len(weighed), 'weight')}: {', '.join(weighed[:3])}{' …' if len(weighed) > 3 else ''}"
    total = known.used.get(entry.note, entry.total_ml)
    return listing(
        dose_of_each(entry, units) or "dose not written",
        weights if weighed else "",
        f"{in_all(total)} in all" if total else "",
        event.route or "",
        event.site or "",
    )


def people_words(entry: MedicineEntry) -> str:
    """What for, who gave it, which vet ordered it, and whether it was off the label."""
    event, medicine = entry.event, entry.medicine
    order = medicine.prescription if medicine and medicine.prescription else ""
    return listing(
        event.for_ or event.subject or "reason not written",
        f"given by {event.by}" if event.by else "",
        f"vet: {event.vet}" if event.vet else "",
        f"prescription: {order}" if order else "",
        "OFF THE LABEL" if event.off_label else "",
        f"corrected by {entry.struck_by}" if entry.struck_by else "",
    )


def period_words(seen: Seen, entry: MedicineEntry) -> str:
    """Both periods as typed, even of nought, and from when the last of its animals was clear of it; where that is not
    known of all, from when each was.
    """
    meat, milk = typed_period(entry.meat_period), typed_period(entry.milk_period)
    if entry.struck_by:
        return f"meat {meat}; milk {milk}; struck out"
    clear = {MEAT: clear_of(entry.meat_until), MILK: clear_of(entry.milk_until)}
    for product, last in ((MEAT, entry.meat_until), (MILK, entry.milk_until)):
        if last is None and everybody_known(seen.linked, entry.note):
            clear[product] = clear_of_each(seen, entry, product)
    return f"meat {meat}: {clear[MEAT]}; milk {milk}: {clear[MILK]}"


def clear_of_each(seen: Seen, entry: MedicineEntry, product: str) -> str:
    """610: UNKNOWN, 102: clear from 25 May 2026; said once where it is the same of all."""
    alike: dict[str, list[str]] = {}
    for sheep in entry.sheep:
        animal = seen.linked.animals[sheep]
        words = clear_of(last_released(seen.facts.medicine.guard, entry.note, (sheep,), product))
        alike.setdefault(words, []).append(animal.tag or animal.called)
    if len(alike) == 1:
        return next(iter(alike))
    return ", ".join(f"{' '.join(tags)}: {words}" for words, tags in alike.items())


def clear_of(released: LastReleased | None) -> str:
    """A release as the register says it: unknown is loud."""
    words = typed_release(released)
    return words.upper() if released is None else f"clear from {words}" if released.until else words


# What came and went


def supplier(bought: Iterable[Stock], event: Treatment) -> str:
    """From whom the batch used came; where no batch is written, the last purchase until that day, and no later one."""
    came = [item for item in bought if word_of(item.medicine) == word_of(event.medicine)]
    if event.batch:
        came = [item for item in came if word_of(item.batch) == word_of(event.batch)]
    else:
        came = [item for item in came if item.date and event.date and item.date <= event.date]
    return came[-1].from_ or "" if came else "a supplier not written"


def stock_notes(flock: Flock) -> Sequence[Stock]:
    """The notes on medicines bought, used, thrown away or counted, in order of time."""
    return [event for event in flock.events if isinstance(event, Stock) and event.medicine]


def stock_rows(seen: Seen, year: str) -> list[Row]:
    """What came and what was thrown away in a year, as typed."""
    years = seen.settings.figure("records_kept")
    rows = []
    for event in stock_notes(seen.linked):
        if year_of(event.date) == year:
            what = [f"{words}: {text}" for how, words in STOCK_WORDS.items() if (text := getattr(event, how))]
            keep = kept_until(event.date, years)
            rows.append(
                Row((
                    day_words(event.date) if event.date else UNDATED, Words(event.medicine or ""), "; ".join(what),
                    comma_joined(event.batch or "", partial_words(event.expires) if event.expires else ""),
                    Words(event.from_ or "not written" if event.bought else ""), day_words(keep) if keep else "",
                ))
            )  # fmt: skip
    return rows


PAGES = (PageMaker("medicine book", make),)
NAVIGATION = (Link("Medicine book", PATH, "", "On paper"),)
