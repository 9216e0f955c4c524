"""Who is kept apart until which day, by the note that says so: bought sheep, and ewes that lost their lambs."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.farm.head_counts import names_itself
from flockbook.derive.market.barriers import KeptApart
from flockbook.derive.plain.because import Because
from flockbook.flock import Flock, happened, there
from flockbook.records.breeding import Joining
from flockbook.records.event import Event
from flockbook.records.places import Drafting, Move
from flockbook.records.pregnancy import Abortion
from flockbook.records.trade import Purchase

# A ewe that lost her lambs is kept apart at least three weeks: Severn Edge Vets.
APART_AFTER_LOSS = timedelta(days=21)
LET_OUT = (Joining, Drafting, Move)  # notes that put a sheep among others


class Keeping(Value):
    """The sheep that one note keeps apart until a day, that day included, and the mob that they are to join ("" where
    none is written).
    """

    until: date
    because: Because
    sheep: tuple[str, ...]
    since: date | None = None
    into: str = ""


def keepings(flock: Flock, today: Moment) -> Iterator[Keeping]:
    """Every note that keeps sheep apart until a day."""
    for event in flock.of(Purchase):
        if event.apart_until and happened(event, today):
            named = (flock.named(event, line.sheep) for line in event.lines)
            sheep = tuple(item for item in (*named, *flock.who(event)) if item)
            yield keeping(event, "apart_until", KeptApart(event.apart_until, False), sheep)
    for lost in flock.of(Abortion):
        if lost.isolated_until and happened(lost, today):
            yield keeping(lost, "isolated_until", KeptApart(lost.isolated_until, True), flock.who(lost))


def lost_lately(flock: Flock, today: Moment) -> Iterator[Keeping]:
    """Ewes that lost their lambs, whose note names no day: three weeks at least."""
    for lost in flock.of(Abortion):
        if lost.date and not lost.isolated_until and happened(lost, today):
            until = lost.date + APART_AFTER_LOSS
            yield keeping(lost, "ewe", KeptApart(until, True), flock.who(lost))


def keeping(event: Event, field: str, reason: KeptApart, sheep: tuple[str, ...]) -> Keeping:
    """What one note keeps apart."""
    why = Because(event.origin.path, event.origin.span(field).line, "gate", reason=reason)
    into = getattr(event, "into", None) or ""
    return Keeping(reason.until, why, tuple(dict.fromkeys(sheep)), event.date, into)


def let_out(flock: Flock, sheep: str, since: date | None, today: Moment) -> bool:
    """Whether a later note puts a sheep among others: a joining, a move or a draft that names it itself."""
    return any(
        isinstance(note, LET_OUT) and happened(note, today) and names_itself(flock, note, sheep)
        for note in flock.by_animal.get(sheep, ())
        if note.date and since and note.date > since
    )


def kept_now(flock: Flock, today: Moment) -> tuple[Keeping, ...]:
    """Those that are kept apart now, who ends first."""
    found = []
    for item in (*keepings(flock, today), *lost_lately(flock, today)):
        if item.until >= today.day:
            here = (one for one in item.sheep if there(flock.animals[one], today))
            sheep = tuple(one for one in here if not let_out(flock, one, item.since, today))
            found += [Keeping(item.until, item.because, sheep, item.since, item.into)] if sheep else []
    return tuple(sorted(found, key=lambda item: (item.until, item.sheep)))
