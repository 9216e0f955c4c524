"""The medicine cupboard: bought less used less binned, by product and batch; what expires; what was used and never
bought.

Amounts are in mL where they are volumes, else plain counts; what cannot be read is listed, never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta

from compiler.amounts import VOLUME, Volume
from compiler.book import Moment
from compiler.schema import Context
from compiler.shape import Value, field
from flockbook.derive.medicine.doses import DoseFact
from flockbook.derive.medicine.minerals import Overlap, overlaps
from flockbook.flock import Flock, happened, there
from flockbook.records.cupboard import Stock
from flockbook.records.health import Treatment
from flockbook.records.sheep import Medicine
from flockbook.roll import key_of

EXPIRES_SOON_DAYS = 30  # "expires soon" (our own choice)
# A first course of vaccine is two doses 4 to 6 weeks apart (common practice; the label of each product decides).
SECOND_FROM, SECOND_BY = 28, 42
FIRST_WORDS = re.compile(r"\b(?:first|1st|primary)\b", re.I)
PACKS_AMOUNT = re.compile(
    r"(?:(?P<packs>\d+) ?(?:x|×|bottles? of|packs? of|tins? of|drums? of) ?)?(?P<figure>[\d.,]+) ?(?P<unit>[a-z]*)",
    re.I,
)


class StockAmount(Value):
    """So much of something: in mL, or as a plain count."""

    amount: float
    ml: bool


class StockMovement(Value):
    """One thing that happened to a product: `how` is bought, used, treated, binned or counted, `text` the amount as it
    is typed in a stock note. `quantity` None: not known.
    """

    day: date
    how: str
    quantity: StockAmount | None
    text: str
    batch: str
    note: str
    line: int


class Batch(Value):
    """One batch: what was bought, used and binned of it in mL, and when it expires. `bought_written` says that it
    ever came.
    """

    name: str
    bought: float
    used: float
    binned: float
    expires: date | None
    bought_written: bool


class Stocked(Value):
    """One product in the cupboard. `left_ml` is None until a purchase or a count is written; below nought more was
    used than came.

    `use_by` is when the opened pack ends. `unread` are amounts that could not be read, `unbought` treatments with a
    batch that
    no purchase and no medicine note knows; `uncounted` doses whose volume is not known.
    """

    medicine: Medicine
    movements: tuple[StockMovement, ...]
    batches: tuple[Batch, ...]
    bought_ml: float
    used_ml: float
    binned_ml: float
    left_ml: float | None
    since: date | None
    expires: date | None
    use_by: datetime | None
    unread: tuple[StockMovement, ...]
    unbought: tuple[StockMovement, ...]
    uncounted: int

    @property
    def name(self) -> str:
        """The product."""
        return self.medicine.name or ""

    def expired(self, day: date) -> bool:
        """Whether it is past its expiry date."""
        return self.expires is not None and self.expires < day

    def expiring(self, day: date) -> bool:
        """Whether it expires within 30 days."""
        return self.expires is not None and 0 <= (self.expires - day).days <= EXPIRES_SOON_DAYS

    def opened_too_long(self, at: datetime) -> bool:
        """Whether the pack has been open for longer than it keeps."""
        return self.use_by is not None and self.use_by < at

    def closing(self, at: datetime) -> bool:
        """Whether the opened pack must be used up within 30 days."""
        return self.use_by is not None and timedelta(0) <= self.use_by - at <= timedelta(days=EXPIRES_SOON_DAYS)


class SecondDose(Value):
    """A living sheep whose first dose of a vaccine is written and whose second is not. The label's own gap decides."""

    sheep: str
    medicine: str
    first: date
    due_from: date
    due_by: date
    note: str


class Cupboard(Value):
    """Every product by name, second doses still owed, and trace minerals given from two sources within six weeks."""

    shelves: tuple[Stocked, ...] = ()
    seconds: tuple[SecondDose, ...] = ()
    overlaps: tuple[Overlap, ...] = ()
    by_note: Mapping[str, Stocked] = field(default_factory=dict)


def cupboard(flock: Flock, doses: Mapping[tuple[str, str], DoseFact], today: Moment) -> Cupboard:
    """All products that have one note of their own."""
    moved = stock_movements(flock, doses, today)
    shelves = tuple(
        shelf(items[0], sorted(moved.get(name, ()), key=order_of), batch_expiries(flock, items[0]))
        for name, items in sorted(flock.medicines.items())
        if len(items) == 1
    )
    by_note = {item.medicine.origin.path: item for item in shelves}
    return Cupboard(shelves, tuple(second_doses(flock, today)), overlaps(flock, doses, today), by_note)


def order_of(item: StockMovement) -> tuple[date, bool]:
    """By day; what was bought that day comes before what was used of it."""
    return item.day, item.how != "bought"


def word_of(text: str | None) -> str:
    """A product's name as it is looked up."""
    return key_of(text or "")


def stock_quantity(text: str, pack: Volume | None = None) -> StockAmount | None:
    """`1 L`, `8 ml`, `2 x 100 ml`, `3 bottles` (with the pack's size): what an amount means, or None."""
    match = PACKS_AMOUNT.match(text.strip())
    if match is None:
        return None
    packs = int(match["packs"] or 1)
    volume = VOLUME.read(f"{match['figure']} {match['unit']}".strip(), Context())
    if isinstance(volume, Volume):
        return StockAmount(packs * volume.ml, ml=True)
    if not re.fullmatch(r"\d{1,6}(?:\.\d{1,3})?", match["figure"]):
        return None
    count = packs * float(match["figure"])
    whole_packs = re.fullmatch(r"(?:|bottles?|packs?|drums?|tins?)", match["unit"], re.I)
    return StockAmount(count * pack.ml, ml=True) if pack and whole_packs else StockAmount(count, ml=False)


def stock_movements(
    flock: Flock, doses: Mapping[tuple[str, str], DoseFact], today: Moment
) -> dict[str, list[StockMovement]]:
    """What came, went and was counted, by product."""
    found: dict[str, list[StockMovement]] = {}
    for event in flock.events:
        if event.date is None or not happened(event, today):
            continue
        if isinstance(event, Treatment):
            found.setdefault(word_of(event.medicine), []).append(used_by(flock, event, doses))
        elif isinstance(event, Stock) and event.medicine:
            name = word_of(event.medicine)
            packs = flock.medicines.get(name, ())
            found.setdefault(name, []).extend(stocked(event, packs[0].pack if packs else None))
    return found


def used_by(flock: Flock, event: Treatment, doses: Mapping[tuple[str, str], DoseFact]) -> StockMovement:
    """What one treatment used: for each animal the dose written, else the dose by weight; None if any is not known."""
    each = [doses.get((event.origin.path, sheep)) for sheep in flock.who(event)]
    known = [
        fact.recorded_ml if fact.recorded_ml is not None else fact.expected_ml for fact in each if fact is not None
    ]
    whole = bool(known) and None not in known
    rounds = max(1, len(event.doses))
    total = StockAmount(sum(ml for ml in known if ml is not None) * rounds, ml=True) if whole else None
    span = event.origin.span("medicine")
    return StockMovement(event.date or date.min, "treated", total, "", event.batch or "", event.origin.path, span.line)


def stocked(event: Stock, pack: Volume | None) -> Iterator[StockMovement]:
    """What one stock note says."""
    for how in ("bought", "used", "binned", "counted"):
        text = getattr(event, how)
        if text:
            line = event.origin.span(how).line
            yield StockMovement(
                event.date or date.min,
                how,
                stock_quantity(text, pack),
                text,
                event.batch or "",
                event.origin.path,
                line,
            )


def shelf(medicine: Medicine, moved: Sequence[StockMovement], expiries: Mapping[str, date]) -> Stocked:
    """One product read back; `expiries` are those of its batches."""
    counts = [item for item in moved if item.how == "counted" and ml_of(item) is not None]
    known = {batch.casefold() for batch in medicine.batch} | {
        item.batch.casefold() for item in moved if item.how == "bought"
    }
    return Stocked(
        medicine, tuple(moved), batches(medicine, moved, expiries), volume_of(moved, "bought"), volume_of(moved, "used",
        "treated"),
        volume_of(moved, "binned"), volume_left(moved), counts[-1].day if counts else None,
        medicine.expires.latest if medicine.expires else None, use_by(medicine),
        tuple(item for item in moved if item.how not in ("treated",) and ml_of(item) is None),
        tuple(item for item in moved if item.how == "treated" and item.batch and item.batch.casefold() not in known),
        sum(item.how == "treated" and item.quantity is None for item in moved),
    )  # fmt: skip


def ml_of(item: StockMovement) -> float | None:
    """The volume of a movement, where it is one."""
    return item.quantity.amount if item.quantity and item.quantity.ml else None


def volume_of(moved: Sequence[StockMovement], *hows: str) -> float:
    """The volume of all movements of some kinds."""
    return sum(ml_of(item) or 0.0 for item in moved if item.how in hows)


def volume_left(moved: Sequence[StockMovement]) -> float | None:
    """What is left, in mL: from the last count (or from nothing), plus bought, less used and binned since. None
    unless any came.
    """
    left: float | None = None
    signs = {"bought": 1, "used": -1, "treated": -1, "binned": -1}
    for item in moved:
        ml = ml_of(item)
        if item.how == "counted":
            left = ml if ml is not None else left
        elif item.how == "bought" and ml is not None:
            left = (left or 0.0) + ml
        elif left is not None:
            left += signs[item.how] * (ml or 0.0)
    return left


def batches(medicine: Medicine, moved: Sequence[StockMovement], expiries: Mapping[str, date]) -> tuple[Batch, ...]:
    """Each batch that any note names, in the order of the medicine note and then of time."""
    names = dict.fromkeys([*medicine.batch, *(item.batch for item in moved if item.batch)])
    return tuple(
        one_batch(name, [item for item in moved if item.batch == name], expiries.get(name), name in medicine.batch)
        for name in names
    )


def one_batch(name: str, moved: Sequence[StockMovement], expires: date | None, listed: bool) -> Batch:
    """One batch; it came when the medicine note lists it or a purchase names it."""
    came = listed or any(item.how == "bought" for item in moved)
    return Batch(
        name, volume_of(moved, "bought"), volume_of(moved, "used", "treated"), volume_of(moved, "binned"), expires, came
    )


def batch_expiries(flock: Flock, medicine: Medicine) -> dict[str, date]:
    """When each batch of a product expires, from its stock notes and (for its last batch) its own note."""
    found = {medicine.batch[-1]: medicine.expires.latest} if medicine.expires and medicine.batch else {}
    for event in flock.events:
        if (
            isinstance(event, Stock)
            and word_of(event.medicine) == word_of(medicine.name)
            and event.batch
            and event.expires
        ):
            found[event.batch] = event.expires.latest
    return found


def use_by(medicine: Medicine) -> datetime | None:
    """When an opened pack ends: the end of the day it was opened, plus the time it keeps."""
    if medicine.opened is None or medicine.use_within is None:
        return None
    return datetime.combine(medicine.opened + timedelta(days=1), time.min) + timedelta(hours=medicine.use_within.hours)


# Second doses


def second_doses(flock: Flock, today: Moment) -> Iterator[SecondDose]:
    """First doses of a vaccine (`for: first …`) that no second dose followed, in living sheep."""
    for event in flock.events:
        if not isinstance(event, Treatment) or event.date is None or not happened(event, today):
            continue
        if not is_vaccine(flock, event) or not FIRST_WORDS.search(event.for_ or ""):
            continue
        for sheep in flock.who(event):
            if there(flock.animals[sheep], today) and not second_written(flock, sheep, event, today):
                first = event.date
                yield SecondDose(
                    sheep, event.medicine or "", first, first + timedelta(days=SECOND_FROM),
                    first + timedelta(days=SECOND_BY), event.origin.path,
                )  # fmt: skip


def is_vaccine(flock: Flock, event: Treatment) -> bool:
    """Whether the product is a vaccine."""
    return any("vaccin" in (item.kind or "").casefold() for item in flock.medicines.get(word_of(event.medicine), ()))


def second_written(flock: Flock, sheep: str, first: Treatment, today: Moment) -> bool:
    """Whether any later dose of the same product is written."""
    return any(
        isinstance(event, Treatment)
        and event is not first
        and word_of(event.medicine) == word_of(first.medicine)
        and happened(event, today)
        and any(when.date > (first.date or date.max) for when in event.doses)
        for event in flock.by_animal.get(sheep, ())
    )
