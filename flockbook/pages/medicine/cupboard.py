"""The cupboard: what is left of every product, what expires or stands open too long, second doses and trace
minerals.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.medicine.cupboard import SecondDose, Stocked
from flockbook.derive.medicine.minerals import WINDOW_DAYS, Overlap
from flockbook.derive.medicine.weight_groups import PackDoses
from flockbook.measures import measures
from flockbook.pages.long_tables import WHOLE, Seat, over_pages
from flockbook.pages.sections import Section, SectionsView
from flockbook.pages.telling.cautions import MEDICINE_CAUTION
from flockbook.pages.views import Cell, Column, Directory, LinkView, Row, Table, Words, day, directory
from flockbook.pages.wording import day_words, plural, weight_words
from flockbook.regional import local
from flockbook.seen import Seen

PATH = "cupboard.html"
LABELS_PAGE = "medicines.html"
LEFT_WORDS = (
    "Left is what was bought (or last counted) less what was used and binned since. Where neither a purchase nor a "
    "count is written, "
    "nobody can say what is left; that is not nought."
)
WINDOW_WEEKS = WINDOW_DAYS // 7
SECOND_WORDS = (
    "A first dose is one that its note calls so (first of two). Four to six weeks is common practice; the "
    "label of your vaccine decides."
)
MINERAL_WORDS = (
    f"Doses of one mineral within {WINDOW_WEEKS} weeks, from every product whose medicine note says what is in it. "
    "Feed, licks and drenches without "
    "such a line are not counted. Selenium and copper poison at little more than they cure: ask your vet before more "
    "is given."
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    seat = Seat(PATH, "Cupboard", "Health", WHOLE // 2)
    batches, more = over_pages(batch_table(seen.facts.medicine.cupboard.shelves), seat)
    gaps, rest = over_pages(gaps_table(seen.facts.medicine.cupboard.shelves), seat)
    yield Page(PATH, "sections.html", seat.title, cupboard_view(seen, batches, gaps), seat.section)
    yield from (*more, *rest)


def cupboard_view(seen: Seen, batches: Table, gaps: Table) -> SectionsView:
    """All shelves."""
    found, tags = seen.facts.medicine.cupboard, directory(seen.linked, seen.today)
    throw = [item for item in found.shelves if warnings(item, seen)]
    sections = [
        Section("To throw out or use up", (expiring_table(throw, seen),), "expiring", plural(len(throw), "product")),
        Section(
            "In the cupboard", (local(LEFT_WORDS), *treats_note(seen), stock_table(found.shelves, seen)), "in-stock"
        ),
        Section("Batches", (batches,), "batches"),
        Section(
            "Second doses owed",
            (local(SECOND_WORDS), seconds_table(found.seconds, tags)),
            "seconds",
            plural(len(found.seconds), "sheep", "sheep"),
        ),
        Section("Trace minerals", (local(MINERAL_WORDS), mineral_table(found.overlaps, tags)), "minerals"),
        Section("To put right in the notes", (gaps,), "to-put-right"),
    ]
    known = sum(item.left_ml is not None for item in found.shelves)
    lead = (
        f"{plural(len(found.shelves), 'product')}; what is left is known of {known}. The labels stand under Medicines."
    )
    return SectionsView(lead, tuple(sections), (MEDICINE_CAUTION,))


def warnings(item: Stocked, seen: Seen) -> list[str]:
    """Why a product must go, or be used up."""
    today, at = seen.today.day, seen.today.at
    found = []
    if item.expires and item.expired(today):
        found.append(f"expired on {day_words(item.expires)}: do not use it")
    elif item.expires and item.expiring(today):
        found.append(f"expires on {day_words(item.expires)}")
    if item.use_by and item.medicine.opened and item.opened_too_long(at):
        found.append(
            f"opened on {day_words(item.medicine.opened)} and past what its label allows: do not use that pack"
        )
    elif item.use_by and item.closing(at):
        found.append(f"the open pack must be used by {day_words(item.use_by.date())}")
    return found


def expiring_table(shelves: Sequence[Stocked], seen: Seen) -> Table:
    """What is past its day or soon will be."""
    columns = (Column("Product"), Column("Why", wide=True), Column("Left", "number"))
    rows = tuple(
        Row((label_link(item), Words("; ".join(warnings(item, seen))), ml_words(item.left_ml))) for item in shelves
    )
    return Table(columns, rows, "Nothing is expired, expiring within 30 days, or open too long.", "expiring-list")


def label_link(item: Stocked) -> LinkView:
    """The product, leading to its label."""
    return LinkView(item.name, LABELS_PAGE)


def ml_words(ml: float | None) -> str:
    """A volume."""
    if ml is None:
        return "not known"
    if ml < 0:
        return f"{measures().bottle(-ml)} too few"
    return measures().bottle(ml)


def stock_table(shelves: Sequence[Stocked], seen: Seen) -> Table:
    """Every product."""
    columns = (
        Column("Product"),
        Column("Left"),
        Column("Still treats"),
        Column("Bought", "number"),
        Column("Used", "number"),
        Column(local("Binned"), "number"),
        Column("Expires, open pack", wide=True),
    )
    rows = tuple(
        Row(
            (
                label_link(item),
                left_words(item),
                treats_words(seen.facts.medicine.dosing.packs.get(item.name)),
                ml_words(item.bought_ml),
                ml_words(item.used_ml),
                ml_words(item.binned_ml),
                Words(kept_words(item)),
            )
        )
        for item in shelves
    )
    return Table(columns, rows, "No medicine has a note.", "stock")


def left_words(item: Stocked) -> str:
    """What is left, and the count it was reckoned from."""
    return ml_words(item.left_ml) + (f", counted {day_words(item.since)}" if item.since else "")


def treats_words(pack: PackDoses | None) -> str:
    """How many sheep a product still treats at the rate typed from its label."""
    if pack is None:
        return "–"
    return f"{pack.head} at {pack.each_ml:.3g}\u00a0mL{', a full pack' if pack.whole else ''}"


def treats_note(seen: Seen) -> Iterator[str]:
    """For which weight the sheep are counted that a product still treats."""
    packs = seen.facts.medicine.dosing.packs.values()
    if packs:
        yield "Still treats: whole doses at the rate on the label; of a full pack where nobody knows what is left."
    for kg, weighed in {(pack.kg, pack.weighed) for pack in packs if pack.kg and pack.weighed}:
        yield (
            f"A dose by weight is counted for the heaviest here, {weight_words(kg, seen.settings.units)} on "
            f"{day_words(weighed)}; lighter sheep take less."
        )


def kept_words(item: Stocked) -> str:
    """When it expires, and when the pack that is open must be used up."""
    expires = f"expires {day_words(item.expires)}" if item.expires else "expiry not written"
    return expires + (f"; the open pack until {day_words(item.use_by.date())}" if item.use_by else "")


def batch_table(shelves: Sequence[Stocked]) -> Table:
    """Every batch."""
    columns = (
        Column("Batch", sort=True),
        Column("Product", wide=True, sort=True),
        Column("Bought", "number"),
        Column("Used", "number"),
        Column(local("Binned"), "number"),
        Column("Expires"),
        Column("Came"),
    )
    rows = tuple(
        Row(
            (
                batch.name,
                item.name,
                ml_words(batch.bought),
                ml_words(batch.used),
                ml_words(batch.binned),
                day(batch.expires) or "",
                "" if batch.bought_written else "not written",
            )
        )
        for item in shelves
        for batch in item.batches
    )
    return Table(columns, rows, "No batch is written.", "batch-list")


def seconds_table(owed: Iterable[SecondDose], tags: Directory) -> Table:
    """Who still needs the second dose, product by product."""
    columns = (Column("Vaccine"), Column("First dose"), Column("Second between", wide=True), Column("Sheep", wide=True))
    groups: dict[tuple[str, str], list[SecondDose]] = {}
    for item in owed:
        groups.setdefault((item.medicine, item.note), []).append(item)
    rows = tuple(
        Row(
            (
                items[0].medicine,
                day(items[0].first) or "",
                Words(f"{day_words(items[0].due_from)} and {day_words(items[0].due_by)}"),
                tags.tags(item.sheep for item in items),
            )
        )
        for items in groups.values()
    )
    return Table(columns, rows, "No second dose is owed as far as the notes tell.", "second-doses")


def mineral_table(overlaps: Iterable[Overlap], tags: Directory) -> Table:
    """Minerals given again within six weeks, the same doses in one row."""
    columns = (Column("Mineral"), Column("In all", "number"), Column("From", wide=True), Column("Sheep", wide=True))
    groups: dict[tuple[str, str, str], list[str]] = {}
    for item in overlaps:
        sources = "; ".join(f"{dose.medicine}, {day_words(dose.day)}, {mg_words(dose.mg)}" for dose in item.doses)
        groups.setdefault((item.mineral, mg_words(item.mg), sources), []).append(item.sheep)
    rows = tuple(
        Row((mineral, much, Words(sources), tags.tags(sheep))) for (mineral, much, sources), sheep in groups.items()
    )
    return Table(
        columns,
        rows,
        f"No mineral was given twice within {WINDOW_WEEKS} weeks, as far as the notes tell.",
        "mineral-list",
    )


def mg_words(mg: float | None) -> str:
    """Milligrams."""
    return "amount not known" if mg is None else f"{mg:.2f} mg"


def gaps_table(shelves: Sequence[Stocked]) -> Table:
    """Uses without a purchase, amounts that cannot be read, doses without a volume."""
    columns = (Column("Product"), Column("What is missing", wide=True), Column("Note", wide=True))
    rows: list[tuple[Cell, ...]] = []
    for item in shelves:
        if item.left_ml is not None and item.left_ml < 0:
            rows.append((item.name, Words("more was used than came: write the purchase"), ""))
        rows += [
            (item.name, Words(f"batch {move.batch} was used and never bought"), Words(move.note))
            for move in item.unbought
        ]
        rows += [(item.name, Words(f"{move.how}: {move.text} is no volume"), Words(move.note)) for move in item.unread]
        if item.uncounted:
            rows.append(
                (
                    item.name,
                    Words(f"{plural(item.uncounted, 'treatment')} without a volume, so not counted as used"),
                    "",
                )
            )
    return Table(columns, tuple(Row(cells) for cells in rows), "Nothing is missing.", "gaps")


PAGES = (PageMaker("cupboard", make),)
NAVIGATION = (Link("Cupboard", PATH, "", "Health"),)
