"""Weight and price: what sheep fetched by weight, live and on the hook, and a table to work it out at the sale."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from compiler.amounts import KG_PER_LB
from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.growth.projection import carcass_price, dressing, live_price
from flockbook.derive.growth.sale_weights import NEAR_DAYS, SaleWeight
from flockbook.pages.farm.money import MONEY_SIGNS, sum_words
from flockbook.pages.growth.growth import PATH, SALES_PATH
from flockbook.pages.sections import Pager, Section, SectionsView
from flockbook.pages.views import Column, Day, PageLink, Row, Table, Words
from flockbook.pages.wording import day_words, share_words, weight_words
from flockbook.seen import Seen

# Dressing shares: 50 % is Cornell's average of market lambs; 44-56 % is what lambs are commonly said to range over (two
# low-authority pages).
SHARES = tuple(map(Decimal, ("0.44", "0.46", "0.48", "0.50", "0.52", "0.54", "0.56")))
USUAL = Decimal("0.50")
LAMB = {"metric": 40.0, "us": 90.0 * KG_PER_LB}  # kg: the lamb of the offered table (an example)
PRINTED_RULES = (
    "Dressing share is hot carcass over live weight (Cornell: half as much on the hook as live is 50 %). Lambs average "
    "about 50 %, commonly said to range from 44 to 56; cull sheep 37 to 52. Gut fill is 10 to 22 % of the live "
    "weight, so hours off feed, wool and a wet day move it by points.",
    "Prices are for one unit of weight. Price for live weight = carcass price x share; carcass price = price "
    "for live weight / share.",
    f"Where a sale note has no weight, the mean of the last weights within {NEAR_DAYS // 7} weeks before stands in. "
    "Sheep grew since, so the price for their weight comes out too high rather than too low.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    sales = tuple(reversed(seen.facts.growth.sale_weights))
    measures = seen.settings.measures
    lead = f"What a {measures.unit_in_full} fetched, and what a carcass price comes to on the live sheep."
    unit = measures.weight_unit
    sections = (
        Section("Sales by weight", (sale_table(seen, sales, unit),), "by-weight"),
        Section("Live and on the hook", (offered(seen),), "on-the-hook"),
        Section("How to read them", PRINTED_RULES, "how"),
    )
    view = SectionsView(lead, sections, foot=(Pager((PageLink("Growth", PATH),)),))
    yield Page(SALES_PATH, "sections.html", "Weight and price", view, "Growth")


def sale_table(seen: Seen, sales: tuple[SaleWeight, ...], unit: str) -> Table:
    """Every sale with price and weight, the latest first."""
    columns = (
        Column("Day"), Column("Sold", "number"), Column("Each", "number"), Column("Live weight", wide=True),
        Column(f"A {unit} live", "number"), Column(f"Carcass at {share_words(float(USUAL))}", "number"),
    )  # fmt: skip
    rows = [sale_row(seen, item) for item in sales]
    return Table(columns, tuple(rows), "No sale with both price and weight is written yet.", "sales")


def sale_row(seen: Seen, item: SaleWeight) -> Row:
    """One sale."""
    sign = MONEY_SIGNS.get(seen.settings.currency.upper(), "")
    live = seen.settings.measures.per_weight(item.per_kg)
    kg = weight_words(item.live_kg, seen.settings.units)
    source = "by the sale note" if item.by_note else f"{item.weighed} of {item.count} weighed before it"
    price = (sum_words(item.price, sign), Words(f"{kg}, {source}"), sum_words(live, sign))
    day = Day(item.day.isoformat(), day_words(item.day))
    return Row((day, item.count, *price, sum_words(carcass_price(live, USUAL), sign)))


def offered(seen: Seen) -> Table:
    """Dressing shares, what a lamb leaves on the hook, and prices either way for one unit of money."""
    kg = LAMB[seen.settings.units]
    columns = (
        Column("Dressing share"), Column(f"{seen.settings.measures.short(kg)} lamb hangs", "number"),
        Column("Live, if carcass 1.00", "number"), Column("Carcass, if live 1.00", "number"),
    )  # fmt: skip
    rows = [
        Row((
            share_words(dressing(kg, kg * float(share))), weight_words(kg * float(share), seen.settings.units),
            sum_words(live_price(Decimal(1), share), ""), sum_words(carcass_price(Decimal(1), share), ""),
        ))
        for share in SHARES
    ]  # fmt: skip
    return Table(columns, tuple(rows), "", "offered")


PAGES = (PageMaker("weight and price", make),)
NAVIGATION: tuple[Link, ...] = ()
