"""Notes on sheep sold, bought, and marked to go."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from compiler.schema import Kind, LineSyntax, key
from compiler.shape import replace
from compiler.values import DATE, TEXT, Choice
from flockbook.records import new_sheep_line
from flockbook.records.event import Event, Mention
from flockbook.records.new_sheep_line import NewSheepLine
from flockbook.records.prices import COMMISSION, KG, LB, LIVE_WEIGHT, MONEY, Commission, Money, SoldWeight

USES = ("slaughter", "breeding", "store", "private")
# Other words for the uses: fed on elsewhere, and killed. A cull ewe sold is sold to be killed.
USES_SAID = {
    **dict.fromkeys(("feeder", "feeders", "feeder lambs", "feedlot"), "store"),
    **dict.fromkeys(
        ("meat", "for meat", "butcher", "butchered", "processor", "processing", "harvest", "freezer", "kill", "cull",
         "culls", "culled", "slaughtered", "packer"), "slaughter",
    ),
    **dict.fromkeys(("breeding stock", "breeder", "breeders", "replacement", "replacements"), "breeding"),
}  # fmt: skip


class Sale(Event):
    """Sheep sold. `use: slaughter` and `use: private` run the clear-to-sell guard."""

    to: str | None = key("the buyer or the mart", TEXT, instead=("buyer", "sold to", "where"))
    use: str | None = key("slaughter, breeding, store or private", Choice(USES, same=USES_SAID))
    price: Money | None = key("`92 each` or `640 total`", MONEY)
    weight: SoldWeight | None = key("live weight: `620 lb total` or `124 lb each`", LIVE_WEIGHT)
    price_per_kg: Money | None = key("the price of a kilogram, such as `2.40`; needs `weight`", MONEY)
    price_per_lb: Money | None = key("the price of a pound, such as `1.95`; needs `weight`", MONEY)
    commission: Commission | None = key(
        "what the mart kept: `4 %`, `3 each` or `25 total`", COMMISSION, instead=("fees", "yardage")
    )
    document: str | None = key("movement document or licence number", TEXT)
    haulier: str | None = key("who carries them, such as `Fergus`", TEXT, aliases=("hauler", "carrier"))
    vehicle: str | None = key("the vehicle or trailer, such as `AB12 CDE`", TEXT)
    holding: str | None = key("number of the holding they go to, such as `70/999/0041`", TEXT, aliases=("premises",))

    @property
    def paid(self) -> Money | None:
        """The price, also where it was typed for a kilogram or a pound."""
        if self.price or not (self.price_per_kg or self.price_per_lb):
            return self.price
        each = self.price_per_kg or self.price_per_lb
        return replace(each, basis=KG if self.price_per_kg else LB) if each else None

    @property
    def paid_field(self) -> str:
        """The field that the price was typed in."""
        return next((name for name in ("price", "price_per_kg", "price_per_lb") if getattr(self, name)), "price")


class Purchase(Event):
    """Sheep bought: a line for each."""

    from_: str | None = key("whom from", TEXT, instead=("seller", "breeder", "bought from"))
    price: Money | None = key("`92 each` or `640 total`", MONEY)
    apart_until: date | None = key("kept apart until (quarantine)", DATE)
    into: str | None = key("the mob they join", TEXT)
    document: str | None = key("movement document or licence number", TEXT)
    holding: str | None = key(
        "number of the holding they came from, such as `70/999/0041`", TEXT, aliases=("premises",)
    )
    treated: str | None = key(
        "what the seller gave: `MEDICINE, DATE, meat until DATE`; holds them until a treatment note says it in full",
        TEXT,
    )
    lines: tuple[NewSheepLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """The sheep that came."""
        for line in self.lines:
            yield Mention(line.sheep, line.span, "lines")


class Cull(Event):
    """A decision that a sheep goes; the leaving itself is a sale or a death."""

    why: str | None = key("why", TEXT, instead=("reason", "because", "cause"))


NEW_SHEEP = LineSyntax(
    read=new_sheep_line.read,
    is_plain=new_sheep_line.is_plain,
    read_row=new_sheep_line.read_row,
    columns=("sheep", "name", "sex", "born", "eid", "official"),
    help="a bought sheep a line: `ram tag P233 Pike, born 2024-04`",
    examples=("ram tag P233 Pike, born 2024-04", "ewe tag C901, born 2023"),
)
KINDS: tuple[Kind[Any], ...] = (
    Kind("sale", Sale, "sheep sold", aliases=("sold",)),
    Kind("purchase", Purchase, "sheep bought", lines=NEW_SHEEP, aliases=("bought",)),
    Kind("cull", Cull, "a decision that a sheep goes", subject="sheep"),
)
