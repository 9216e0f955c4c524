"""In which order the notes are read, and what is known of a sheep before the note that brings it is reached."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date

from compiler.shape import Value
from flockbook.records.breeding import Hire, Lambing
from flockbook.records.event import Event
from flockbook.records.handling import Tagging
from flockbook.records.health import Death
from flockbook.records.places import Drafting, HeadCount
from flockbook.records.rearing import Foster, Weaning
from flockbook.records.trade import Purchase, Sale
from flockbook.roll import Draft, is_lamb, key_of, unique


class Coming(Value):
    """From which day a tag or a name is in the book, and the note that brings it."""

    day: date
    note: str


def event_order(event: Event) -> tuple[bool, date, int, str, str]:
    """Sort key of events: by day; within it what makes animals first, then what names and sorts them, then the rest by
    time; undated last.
    """
    clock = event.time.isoformat() if event.time else "99"
    rank = 0 if isinstance(event, Lambing | Purchase | Hire) else 1 if isinstance(event, Tagging | Drafting) else 2
    return (event.date is None, event.date or date.max, rank, clock, event.origin.path)


def in_time_order(events: Iterable[Event], same: Callable[[str, str], bool]) -> list[Event]:
    """The notes in order of time. A purchase of a sheep that is sold on that very day (`same`: whether two words can
    mean one sheep) stands where its time says, and without times behind the sale: she came home.
    """
    found = sorted(events, key=event_order)
    sales: dict[date | None, list[Sale]] = {}
    for event in found:
        if isinstance(event, Sale):
            sales.setdefault(event.date, []).append(event)
    homes: dict[str, list[Purchase]] = {}
    for bought in (one for one in found if isinstance(one, Purchase) and one.date):
        for sale in sales.get(bought.date, ()):
            timed = bought.time is not None and sale.time is not None
            if brings_back(bought, sale, same) and not (timed and str(bought.time) < str(sale.time)):
                homes.setdefault(sale.origin.path, []).append(bought)
    moved = {one.origin.path for came in homes.values() for one in came}
    rest = (event for event in found if event.origin.path not in moved)
    return list({id(one): one for event in rest for one in (event, *homes.get(event.origin.path, ()))}.values())


def brings_back(bought: Purchase, sold: Sale, same: Callable[[str, str], bool]) -> bool:
    """Whether a purchase brings one of those whom a sale names."""
    return any(same(word, mention.text) for word in brought(bought) for mention in sold.mentions())


def comings(events: Iterable[Event]) -> dict[str, Coming]:
    """Every tag and name that a lambing, a tagging or a purchase brings, by the key it is looked up with; the first
    note counts.
    """
    found: dict[str, Coming] = {}
    for event in events:
        for word in brought(event) if event.date else ():
            found.setdefault(key_of(word), Coming(event.date or date.max, event.origin.path))
    return found


def brought(event: Event) -> Iterator[str]:
    """The words that a note makes known."""
    if isinstance(event, Lambing | Tagging):
        yield from (line.tag for line in event.lines if line.tag)
    elif isinstance(event, Purchase):
        yield from (word for line in event.lines for word in (line.sheep, line.name) if word)
    elif isinstance(event, Hire):
        yield from (word for word in (event.tag, event.name) if word)


def mere_number(event: Event, named: int) -> bool:
    """Whether `count` stands for sheep that the note need not name: a head count, or a weaning of a number of lambs."""
    return isinstance(event, HeadCount) or (isinstance(event, Weaning) and not named)


def grown_alone(event: Event, found: list[Draft]) -> int | None:
    """How many grown sheep a mob that is moved has, where lambs go with them: `count` may be either number."""
    if event.origin.kind != "move" or not event.mob:
        return None
    return sum(1 for draft in unique(found) if not is_lamb(draft, event.date))


def of_them(event: Event, found: list[Draft]) -> str:
    """`: 24 grown and 25 lambs`, where a mob has both."""
    lambs = sum(1 for draft in unique(found) if is_lamb(draft, event.date))
    grown = len(unique(found)) - lambs
    return f": {grown} grown and {lambs} {'lamb' if lambs == 1 else 'lambs'}" if event.mob and lambs and grown else ""


# Notes that say where sheep belong from now on, or who rears them: a word that tells only some apart does not do there.
CHANGING = (Drafting, Sale, Death, Foster, Weaning, Lambing, Purchase)
# What a name or a mob that was not found in a note that moves sheep means for doses (V5, V6).
HELD_BY: dict[type[Event], str] = {
    Drafting: "whoever it could move counts as in both places, for doses",
    Foster: "the lamb counts as at any foot, for doses",
    Lambing: "a lamb whose dam or foster mother is not known counts as at any foot, for doses",
    Purchase: "whoever was bought counts as in any mob, for doses",
    Tagging: "what holds one of those whom the line can mean holds the other",
}
