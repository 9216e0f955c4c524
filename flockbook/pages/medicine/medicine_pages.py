"""The cupboard with every label as typed, and the register of treatments."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page
from compiler.shape import replace
from flockbook.derive.medicine.medicine_register import MedicineEntry
from flockbook.measures import in_all
from flockbook.pages.long_tables import table_alone
from flockbook.pages.sections import Look, Said, Section, SectionsView, Whence
from flockbook.pages.telling.notes_page import anchors
from flockbook.pages.telling.telling import beside_words, comma_joined, typed_fields, unread_words, value_words
from flockbook.pages.telling.timeline import names
from flockbook.pages.views import (
    Caution,
    Cell,
    Column,
    Directory,
    Folded,
    PageLink,
    Pair,
    Row,
    Table,
    Words,
    day,
    directory,
)
from flockbook.pages.wording import later_words, plural
from flockbook.records.dose_line import DoseLine
from flockbook.records.sheep import Medicine
from flockbook.saying.treatments import typed_period, typed_release
from flockbook.seen import Seen

MEDICINES_PAGE, REGISTER = "medicines.html", "medicine-register.html"
PER_PAGE = 35  # rows of the register on one page: up to forty elements each
FEW_TREATED = 3  # sheep shown with their tags in one row
WORD_OF_A_LINE = 9
LONG_REGISTER = 40  # characters of a value that take the whole width
MISSING = "NOT WRITTEN – whoever gets it is unknown"
# Our own words; a stick with some products can kill (21 CFR 522.2471(d)), off-label use: 21 CFR 530.20.
CAUTION = Caution(
    "Label, vet and law come first",
    (
        "Every figure here was typed by you. The label, and your vet's written instruction, come before it. This "
        "program knows no dose and no period of its own.",
        "Off the label, and prescription medicines, only on your vet's order; keep the order with the record.",
        "A loaded syringe is dangerous. After a stick see a doctor at once and take the box along.",
    ),
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The cupboard and the register."""
    del stamp
    medicines = seen.collection.of(Medicine)
    lead = f"{plural(len(medicines), 'product')}, each as its label reads."
    places = anchors(item.origin.path for item in medicines)
    labels = tuple(replace(product(item, seen.settings.units), id=places[item.origin.path]) for item in medicines)
    view = SectionsView(lead, labels, (CAUTION,))
    yield Page(MEDICINES_PAGE, "sections.html", "Medicines", view, "", tuple(item.origin.path for item in medicines))
    tags = directory(seen.linked, seen.today)
    entries = tuple(reversed(seen.facts.medicine.register))
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
        view = table_alone(lead, register_table(part, tags, seen.settings.units), links)
        yield Page(names[number], "sections.html", "Medicine register", view)


def product(medicine: Medicine, units: str) -> Section:
    """One product's label: the two periods first, loud where they are missing, then everything else that was typed."""
    meat, milk = medicine.meat_withdrawal, medicine.milk_withdrawal
    pairs = [Pair("Meat", Words(meat.text if meat else MISSING)), Pair("Milk", Words(milk.text if milk else MISSING))]
    for name, value in typed_fields(medicine, units):
        if name not in ("name", "meat withdrawal", "milk withdrawal"):
            pairs.append(Pair(f"{name[:1].upper()}{name[1:]}", value, wide=long_value(value)))
    if beside := beside_words(medicine):
        pairs.append(Pair("Also written", beside, wide=True))
    if unread := unread_words(medicine):
        pairs.append(Pair("To mend", unread, wide=True))
    remark = (Said(Html(medicine.origin.html)),) if medicine.origin.html else ()
    body = (Look(tuple(pairs)), *remark, Whence(medicine.origin.path))
    return Section(medicine.name or medicine.origin.path, body)


def long_value(text: str) -> bool:
    """Whether a value takes the whole width: a long one, and one with a word that is long by itself."""
    return len(text) > LONG_REGISTER or max(map(len, text.split()), default=0) > WORD_OF_A_LINE


def register_table(entries: Iterable[MedicineEntry], tags: Directory, units: str) -> Table:
    """All that a keeper, a vet or an inspector asks for."""
    columns = (
        Column("Given", wide=True),
        Column("Sheep", wide=True),
        Column("Medicine", wide=True),
        Column("Each, in all"),
        Column("Batch"),
        Column("For", wide=True),
        Column("How"),
        Column("By, vet", wide=True),
        Column("Periods as typed", wide=True),
        Column("Clear from", wide=True),
        Column("Keep until"),
        Column("Note", wide=True),
    )
    rows = tuple(Row(register_cells(entry, tags, units), "struck" if entry.struck_by else "") for entry in entries)
    return Table(columns, rows, "No treatment is written.", "register", filter="Narrow the register")


def register_cells(entry: MedicineEntry, tags: Directory, units: str) -> tuple[Cell, ...]:
    """One treatment."""
    event = entry.event
    days = [value_words(when, units) for when in entry.doses]
    course = f" (a course of {plural(event.days or 0, 'day')}, still open)" if entry.open else ""
    people = comma_joined(
        event.by or "", f"vet: {event.vet}" if event.vet else "", "off label" if event.off_label else ""
    )
    return (
        comma_joined((", ".join(days) or "day not readable") + course, later_words(event.date, tags.today.day)),
        treated(entry, tags),
        event.medicine or "not written",
        comma_joined(dose_of_each(entry, units), used_in_all(entry)),
        event.batch or "",
        event.for_ or event.subject or "",
        comma_joined(event.route or "", event.site or ""),
        people,
        f"meat {typed_period(entry.meat_period)}; milk {typed_period(entry.milk_period)}",
        clear_words(entry),
        day(entry.keep_until) or "",
        f"{entry.note}, corrected by {entry.struck_by}" if entry.struck_by else entry.note,
    )


def dose_of_each(entry: MedicineEntry, units: str) -> str:
    """The dose of one animal as typed, else the rate; then whoever has a dose of her own on a line."""
    event = entry.event
    each = value_words(event.dose, units) if event.dose else event.rate.text if event.rate else ""
    own = [own_dose(line, units) for line in event.lines if line.dose]
    return "; ".join(part for part in (each, ", ".join(own)) if part)


def own_dose(line: DoseLine, units: str) -> str:
    """`101 5.6 cc at 140 lb`."""
    weight = f" at {value_words(line.weight, units)}" if line.weight else ""
    return f"{line.sheep} {value_words(line.dose, units)}{weight}"


def used_in_all(entry: MedicineEntry) -> str:
    """What was used in all, where that is more than one dose."""
    many = len(entry.sheep) * len(entry.doses) > 1
    return f"{in_all(entry.total_ml)} in all" if entry.total_ml and many else ""


def treated(entry: MedicineEntry, tags: Directory) -> Cell:
    """Who got it: a few as tags, many behind their number; where no sheep is known, the names as they were typed."""
    if 0 < len(entry.sheep) <= FEW_TREATED:
        return tags.tags(entry.sheep)
    if entry.sheep:
        return Folded(f"{len(entry.sheep)} sheep", names(tags.flock, entry.sheep))
    typed = [mention.text for mention in entry.event.mentions()]
    return f"as typed: {', '.join(typed)}" if typed else "nobody is named"


def clear_words(entry: MedicineEntry) -> str:
    """From when the last of them was clear of it; a struck treatment is no word on that at all."""
    if entry.struck_by:
        return "struck out"
    return f"meat {typed_release(entry.meat_until)}; milk {typed_release(entry.milk_until)}"


PAGES = (PageMaker("medicines", make),)
NAVIGATION = (
    Link("Medicines", MEDICINES_PAGE, "", "Health"),
    Link("Medicine register", REGISTER, "", "Health"),
)
