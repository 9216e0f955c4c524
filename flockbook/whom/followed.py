"""Stays that follow from other stays: a lamb goes with its dam, and who may be in a mob goes with it (V5)."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from compiler.shape import Value, replace
from flockbook.flock import Flock
from flockbook.records.event import Event
from flockbook.records.places import Drafting, Move
from flockbook.records.rearing import Weaning
from flockbook.whom.lexicon import Lexicon, tokens
from flockbook.whom.whereabouts import MobStay, Stay, Whereabouts, Window, mob_keys


def followed(places: Whereabouts, flock: Flock, lexicon: Lexicon) -> Whereabouts:
    """The stays with those that follow from them: none of these is sure."""
    own = frozenset(event.origin.path for event in flock.of(Drafting) if event.sheep and not event.mob)
    places = with_more(places, lambs_beside(places), own)
    for event in flock.events:
        if isinstance(event, Drafting | Move | Weaning) and event.date and event.mob:
            moved = Window(event.date, event.date)
            found = moved_along(places, removal_of(event, lexicon), moved, left_behind(event, flock))
            places = with_more(places, found, own)
    return places


def with_more(places: Whereabouts, found: MobStay, own: frozenset[str]) -> Whereabouts:
    """The same with further stays, each until a note of those given moves the sheep itself."""
    more: dict[str, list[Stay]] = {}
    for mob, stay in found:
        days = (one.since for one in places.animals[stay.sheep].mobs if one.since and one.note in own)
        last = min((day for day in days if day > stay.first), default=date.max)
        more.setdefault(mob, []).append(replace(stay, last=last))
    stays = {mob: (*places.stays.get(mob, ()), *items) for mob, items in more.items()}
    return replace(places, stays={**places.stays, **stays}) if stays else places


def lambs_beside(places: Whereabouts) -> MobStay:
    """A lamb that ran at the foot of a ewe when she stood in a mob: it may be there until a note moves it."""
    of_ewe: dict[str, list[tuple[str, Stay]]] = {}
    for mob, items in places.stays.items():
        for stay in items:
            of_ewe.setdefault(stay.sheep, []).append((mob, stay))
    for ewe, lambs in places.lambs.items():
        for mob, stay in of_ewe.get(ewe, ()):
            for lamb in lambs:
                own = (there for name, there in of_ewe.get(lamb.sheep, ()) if name == mob)
                found = at_her_side(places, lamb, own, stay)
                yield from ((mob, found),) if found else ()


def at_her_side(places: Whereabouts, lamb: Stay, own: Iterable[Stay], stay: Stay) -> Stay | None:
    """The stay of a lamb in a mob in which its dam, or foster dam, stood while it was at her foot; `own` are those that
    it has there itself.
    """
    left, mine = places.animals[stay.sheep].left, places.animals[lamb.sheep]
    last = min(stay.last, left.date) if left else stay.last
    given = [item.note.date for item in mine.nursings if item.ewe == stay.sheep and stay.sheep != mine.dam]
    since = max(stay.first, lamb.first, *(day for day in given if day))
    if since > min(last, lamb.last) or stands_in(own, since):
        return None
    return Stay(lamb.sheep, since, date.max, False, stay.by)


def stands_in(own: Iterable[Stay], day: date) -> bool:
    """Whether a sheep surely stands in a mob from a day on, whatever comes, by its stays there."""
    return any(stay.sure and stay.first <= day and stay.last == date.max for stay in own)


class Removal(Value):
    """A mob that a note moves as a whole, and those that it goes into."""

    own: str
    into: tuple[str, ...]


def removal_of(event: Event, lexicon: Lexicon) -> Removal:
    """What a note moves as a whole."""
    into = getattr(event, "into", None) or getattr(event, "to", None) or ""
    own = " ".join(tokens(event.mob or ""))
    return Removal(own, tuple(mob for mob in mob_keys(into, lexicon) if mob in lexicon.mobs and mob != own))


def left_behind(event: Event, flock: Flock) -> frozenset[str]:
    """Those whom a note has moved already, or left out by name."""
    spared = (flock.named(event, text) for text in event.except_)
    return frozenset((*flock.who(event), *(one for one in spared if one)))


def moved_along(places: Whereabouts, went: Removal, day: Window, but: Iterable[str]) -> MobStay:
    """Whoever may be in a mob on the day on which the whole of it goes into another."""
    met = places.members(went.own, day) if went.into else None
    there = (met.sure | met.perhaps) - {stay.sheep for stay in places.anywhere} - set(but) if met else ()
    by = places.left_open_by((went.own,), day) if there else {}
    for mob in went.into:
        yield from ((mob, Stay(sheep, day.first, date.max, False, by.get(sheep))) for sheep in sorted(there))
