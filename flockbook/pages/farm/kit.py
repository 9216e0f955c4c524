"""The kit page: what has to be bought, what expires too soon, and what is on every shelf."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_CEILING, Decimal

from compiler.book import PageMaker, Stamp
from compiler.nearness import plain
from compiler.pages import Link, Page
from flockbook.derive.farm.kit import UNIT_SIZES, Kit, SupplyFact
from flockbook.derive.farm.supply_use import SupplyUse
from flockbook.pages.sections import Names, Rows, Section, SectionsView, Working
from flockbook.pages.views import Cell, Column, Row, RowView, Table, day, reasons
from flockbook.pages.wording import NONE, day_words
from flockbook.regional import local, local_all
from flockbook.saying.kit import crowd_words
from flockbook.seen import Seen

PATH = "kit.html"
PRINTED_RULES = (
    "“2 per ewe” counts the ewes still due to lamb; between seasons, those put to the ram for the last one. “per lamb” "
    "counts the lambs they were scanned with, else as many as last season's ewes bore, else two each.",
    "What there is: “have” in the supply's own note, then every stock note in order: bought is added, used and binned "
    "are taken off, counted starts anew.",
)


USE_RULE = (
    "What stock notes say was used in the last season that lambed, divided by its births, times the births ahead. It "
    "stands beside your own “need”, and changes nothing of it."
)
# What two published lists have in the shed: C. V. Kimberling and others 2014, Lambing Time Checklist; Gage Hill,
# lambing preparations, part 2. Beside each the words by which a supply note of it is known.
STARTER = (
    ("feeding tube and funnel", ("tube",)), ("frozen ewe colostrum, in flat portions", ("colostrum",)),
    ("powdered colostrum", ("colostrum", "powder")), ("lubricant", ("lubric", "gel")),
    ("gloves and long sleeves", ("glove", "sleeve")), ("disinfectant", ("disinfect",)),
    ("iodine for navels", ("iodine", "navel")), ("towels", ("towel",)), ("thermometer", ("thermometer",)),
    ("syringes and needles", ("syringe", "needle")), ("tags and their pliers", ("tag",)),
    ("scale and sling", ("scale", "sling")), ("prolapse harness", ("harness", "spoon", "prolapse")),
    ("bottle and teats", ("bottle", "teat")), ("heat lamp or warming box", ("lamp", "box", "heat")),
    ("notebook and pencil", ("notebook", "pencil")), ("numbers to ring", ("number",)),
    ("one small pen for every five to seven ewes", ("pen", "jug", "hurdle")),
)  # fmt: skip
STARTER_WORDS = (
    "No season is in the book yet, so nothing can be reckoned from your own use. These stand in published lists "
    "(Kimberling and others 2014; Gage Hill). A supply note for each makes the count: ask your vet what of it you need."
)

NO_SUPPLY = "No supply is written yet: a note in `supplies/` with `note: supply` says what the shed must hold."


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The kit page."""
    del stamp
    found = seen.facts.farm.kit
    last = found.crowd.last_due
    due = f", the last of them by {day_words(last)}" if last else ""
    workings = (Working(item.name, reasons(item.because)) for item in found.supplies if item.because)
    short, soon = short_rows(found.supplies), soon_rows(found.supplies)
    sections = (
        Section("Short", (Rows(short, "Nothing is short."),), "short-head"),
        *((Section("Expires too soon", (Rows(soon),), "soon-head"),) if soon else ()),
        Section("On the shelf", (shelf_table(found.supplies),), "shelf-head"),
        *(
            (Section("By last season's use", (USE_RULE, use_table(seen.facts.farm.used)), "use-head"),)
            if seen.facts.farm.used
            else ()
        ),
        *((starter_section(found),) if not seen.facts.season.years else ()),
        Section("How it is counted", (*local_all(PRINTED_RULES), *workings), "how-head"),
    )
    lead = f"Reckoned for {crowd_words(found.crowd)}{due}."
    yield Page(PATH, "sections.html", "Kit", SectionsView(lead, sections), "The farm")


def use_table(used: Iterable[SupplyUse]) -> Table:
    """What each supply's use of last season comes to for the lambs expected now."""
    columns = (
        Column("Supply"), Column("Used", "number"), Column("Births then", "number"), Column("Births ahead", "number"),
        Column("So needed", "number"), Column("There is", "number"), Column("To buy", "number"),
    )  # fmt: skip
    rows = tuple(
        Row((
            f"{item.name} ({item.season})", kit_amount(item.used, item.unit), item.births, item.expected,
            to_buy(item.need, item.unit), kit_amount(item.have, item.unit), to_buy(item.short, item.unit),
        ))
        for item in used
    )  # fmt: skip
    return Table(columns, rows, "", "by-use")


def starter_section(found: Kit) -> Section:
    """What published lists have in the shed before a first lambing, less what a supply's note has already."""
    have = {plain(item.name) for item in found.supplies}
    wanted = [name for name, words in STARTER if not any(word in there for word in words for there in have)]
    rest = "Everything of the published lists has its supply note." if not wanted else ""
    body = (STARTER_WORDS, Names(tuple(wanted), tick=True)) if wanted else (rest,)
    return Section("For a first year", body, "starter-head")


def short_rows(supplies: Iterable[SupplyFact]) -> tuple[RowView, ...]:
    """What has to be bought."""
    return tuple(RowView(None, "", item.name, None, still_to_buy(item)) for item in supplies if item.short)


def soon_rows(supplies: Iterable[SupplyFact]) -> tuple[RowView, ...]:
    """What is past its date, or will be before all have lambed."""
    return tuple(
        RowView(
            None,
            "",
            item.name,
            day(item.expires.latest),
            "past its date" if item.expired else "before all have lambed",
        )
        for item in supplies
        if item.expires and (item.expired or item.too_soon)
    )


def still_to_buy(item: SupplyFact) -> str:
    """How much to buy, and where it is kept."""
    place = f"; kept: {item.note.where}" if item.note and item.note.where else ""
    there, needed = kit_amount(item.have, item.unit), kit_amount(item.need, item.unit)
    return f"{to_buy(item.short, item.unit)} short: {there} there, {needed} needed{place}"


def shelf_table(supplies: Iterable[SupplyFact]) -> Table:
    """Every supply."""
    columns = (
        Column("Supply", sort=True),
        Column("There is", "number"),
        Column("Needed", "number"),
        Column("Short", "number", sort=True),
        Column("Expires"),
        Column("Where"),
    )
    rows = tuple(Row(shelf_cells(item)) for item in supplies)
    return Table(columns, rows, local(NO_SUPPLY), "shelf")


def shelf_cells(item: SupplyFact) -> tuple[Cell, ...]:
    """One supply's cells; what could not be read is said in place of the figure."""
    short: Cell = "cannot be told" if item.doubts else NONE
    if item.short is not None:
        short = to_buy(item.short, item.unit) if item.short else "enough"
    expires: Cell = (day(item.expires.latest) or NONE) if item.expires else NONE
    where = (item.note.where if item.note else "no note of its own") or NONE
    return item.name, kit_amount(item.have, item.unit), kit_amount(item.need, item.unit), short, expires, where


def kit_amount(value: Decimal | None, unit: str) -> str:
    """An amount with its unit; none of what was used although the notes had none left."""
    if value is None:
        return NONE
    value = max(value, Decimal(0))
    return f"{f'{value:,.2f}'.rstrip('0').rstrip('.')} {unit if value == 1 else several(unit)}".strip()


def several(unit: str) -> str:
    """The word for more than one of a unit: bales, boxes; kg stays."""
    if unit in UNIT_SIZES or len(unit) <= 2:
        return unit
    return f"{unit}es" if unit.endswith(("x", "s", "ch", "sh")) else f"{unit}s"


def to_buy(value: Decimal | None, unit: str) -> str:
    """An amount that has to be bought; pieces in whole ones, rounded up."""
    pieces = value is not None and unit not in UNIT_SIZES
    return kit_amount(value.to_integral_value(ROUND_CEILING) if value is not None and pieces else value, unit)


PAGES = (PageMaker("kit", make),)
NAVIGATION = (Link("Kit", PATH, "", "The farm"),)
