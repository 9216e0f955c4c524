"""Frozen colostrum: whose it was, when it was frozen, and how much of it is left.

What goes in are stock notes on a supply with `colostrum` in its name (`bought` or `counted`), what goes out are `used`
and `binned` there and feeds of `frozen` colostrum. An amount whose ewe and day are written comes out of that lot; any
other is taken from the whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from enum import Enum, auto

from compiler.amounts import VOLUME
from compiler.book import Moment
from compiler.schema import Context, Fault
from compiler.shape import Value
from flockbook.flock import Flock, happened
from flockbook.records.cupboard import Stock
from flockbook.records.event import Event
from flockbook.records.rearing import Feeding
from flockbook.roll import key_of

# Frozen colostrum as a supply is called; powders have a shelf of their own.
COLOSTRUM = re.compile(r"(?!.*\b(?:replacer|powder\w*|supplement|substitute|sachets?)\b).*\bcolostrum\b", re.I)
FROZEN = "frozen"  # the word of `what` in a feed
KEEPS_DAYS = 365  # frozen colostrum keeps for a year (extension texts, from memory)


class StoreMove(Enum):
    """What happened to some of it."""

    PUT_IN = auto()
    COUNTED = auto()
    USED = auto()
    FED = auto()
    BINNED = auto()


class Lot(Value):
    """What was frozen of one ewe, or from one source, on one day."""

    donor: str | None
    source: str
    frozen: date | None


class StoreEntry(Value):
    """One line of the ledger; `ml` None where the amount is no volume. `heads` are the lambs that were fed."""

    day: date
    move: StoreMove
    lot: Lot
    ml: float | None
    typed: str
    note: Event
    heads: tuple[str, ...] = ()

    @property
    def into(self) -> bool:
        """Whether it makes the store larger."""
        return self.move is StoreMove.PUT_IN


class LotLeft(Value):
    """A lot and what is left of it; `old`: frozen longer ago than it keeps."""

    lot: Lot
    put_in: float
    left: float
    old: bool


class ColostrumStore(Value):
    """The ledger in order of time, the lots with what is left, the oldest first, and what is left in all."""

    entries: tuple[StoreEntry, ...] = ()
    lots: tuple[LotLeft, ...] = ()
    left: float | None = None
    unnamed_out: float = 0.0

    @property
    def unread(self) -> tuple[StoreEntry, ...]:
        """The lines whose amount is no volume."""
        return tuple(entry for entry in self.entries if entry.ml is None)


def colostrum_store(flock: Flock, context: Context, today: Moment) -> ColostrumStore:
    """The store at the moment asked about."""
    by_name = names_ever(flock)
    entries: list[StoreEntry] = []
    for event in flock.events:
        if event.date and happened(event, today):
            entries += moves_of(flock, event, by_name, context)
    if not entries:
        return ColostrumStore()
    left, unnamed = 0.0, 0.0
    lots = tuple(lots_left(entries, today.day))
    known = {item.lot for item in lots}
    for entry in entries:
        ml = entry.ml or 0.0
        taken = not entry.into and entry.move is not StoreMove.COUNTED
        unnamed += min(ml, left) if taken and entry.lot not in known else 0.0
        unnamed = 0.0 if entry.move is StoreMove.COUNTED else unnamed
        left = ml if entry.move is StoreMove.COUNTED else max(left - ml, 0.0) if taken else left + ml
    return ColostrumStore(tuple(entries), lots, left, unnamed)


def moves_of(flock: Flock, event: Event, by_name: Mapping[str, str], context: Context) -> Iterator[StoreEntry]:
    """What one note says went in or out."""
    assert event.date is not None
    if isinstance(event, Feeding) and event.what == FROZEN:
        lot = lot_of(event.from_, event.frozen, by_name)
        heads = flock.who(event)
        each = event.amount.ml if event.amount else None
        ml = each * max(len(heads), 1) if each is not None else None
        yield StoreEntry(event.date, StoreMove.FED, lot, ml, event.amount.text if event.amount else "", event, heads)
    if isinstance(event, Stock) and COLOSTRUM.match(event.supply or ""):
        lot = lot_of(event.from_, event.frozen, by_name)
        for move, typed in (
            (StoreMove.COUNTED, event.counted), (StoreMove.PUT_IN, event.bought),
            (StoreMove.USED, event.used), (StoreMove.BINNED, event.binned),
        ):  # fmt: skip
            if typed:
                yield StoreEntry(event.date, move, lot, millilitres(typed, context), typed, event)


def lot_of(source: str | None, frozen: date | None, by_name: Mapping[str, str]) -> Lot:
    """The lot that a note speaks of."""
    donor = by_name.get(key_of(source or ""))
    return Lot(donor, "" if donor else source or "", frozen)


def names_ever(flock: Flock) -> dict[str, str]:
    """Every sheep by all that it was ever called: the milk of a ewe outlives her in the freezer."""
    found: dict[str, str] = {}
    for animal in flock.animals.values():
        for word in (animal.id, animal.name, *animal.tags, animal.called_in_full):
            if word:
                found.setdefault(key_of(word), animal.id)
    return found


def millilitres(text: str, context: Context) -> float | None:
    """An amount in mL: `250 ml`; None for what is no volume."""
    found = VOLUME.read(re.split(r"[,;(]", text)[0].strip(), context)
    return None if isinstance(found, Fault) else found.ml


def lots_left(entries: Iterable[StoreEntry], today: date) -> Iterator[LotLeft]:
    """Every lot of which a ewe, a source or a day is written, with what is left of it, the oldest first."""
    put: dict[Lot, float] = {}
    out: dict[Lot, float] = {}
    for entry in entries:
        if entry.lot == Lot(None, "", None) or entry.move is StoreMove.COUNTED:
            continue
        side = put if entry.into else out
        side[entry.lot] = side.get(entry.lot, 0.0) + (entry.ml or 0.0)
    for lot, ml in sorted(put.items(), key=lambda item: (item[0].frozen or date.max, item[0].donor or "")):
        old = lot.frozen is not None and (today - lot.frozen).days > KEEPS_DAYS
        yield LotLeft(lot, ml, max(ml - out.get(lot, 0.0), 0.0), old)
