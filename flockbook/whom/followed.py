"""Moved that follow from other stays: a lamb goes with its dam, and who may be in a mob goes with it (V5)."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from compiler.shape import replace
from flockbook.flock import Animal, Flock
from flockbook.records.event import Event
from flockbook.records.places import Drafting, Move
from flockbook.records.rearing import Weaning
from flockbook.whom.lexicon import Lexicon, tokens
from flockbook.whom.whereabouts import MobStay, Stay, Whereabouts, Window, mob_keys


def followed(places: Whereabouts, flock: Flock, lexicon: Lexicon) -> Whereabouts:
    """The stays with those that follow from them: none of these is sure."""
    places = with_more(places, lambs_beside(places))
    for event in flock.events:
        if isinstance(event, Drafting | Move | Weaning) and event.date and event.mob:
            places = with_more(places, moved_along(places, event, event.date, lexicon))
    return places


def with_more(places: Whereabouts, found: Iterable[tuple[str, Stay]]) -> Whereabouts:
    """The same with further stays."""
    more: dict[str, list[Stay]] = {}
    for mob, stay in found:
        more.setdefault(mob, []).append(stay)
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
            yield from ((mob, found) for lamb in lambs if (found := at_her_side(places, lamb, mob, stay)) is not None)


def at_her_side(places: Whereabouts, lamb: Stay, mob: str, stay: Stay) -> Stay | None:
    """The stay of a lamb in a mob in which its dam, or foster dam, stood while it was at her foot."""
    left = places.animals[stay.sheep].left
    last = min(stay.last, left.date) if left else stay.last
    since = max(stay.first, lamb.first)
    if since > min(last, lamb.last) or stands_in(places, lamb.sheep, mob, since):
        return None
    return Stay(lamb.sheep, since, until_moved(places.animals[lamb.sheep], since), False, stay.by)


def stands_in(places: Whereabouts, sheep: str, mob: str, day: date) -> bool:
    """Whether a sheep surely stands in a mob from a day on, whatever comes."""
    mine = (stay for stay in places.stays.get(mob, ()) if stay.sheep == sheep and stay.sure)
    return any(stay.first <= day and stay.last == date.max for stay in mine)


def until_moved(animal: Animal, since: date) -> date:
    """The day on which a note next says where an animal stands itself, its birth aside."""
    born = animal.birth.note.origin.path if animal.birth else ""
    days = (item.since for item in animal.mobs if item.since and item.note != born)
    return min((day for day in days if day > since), default=date.max)


def moved_along(places: Whereabouts, event: Event, day: date, lexicon: Lexicon) -> MobStay:
    """Whoever may be in a mob on the day on which the whole of it goes into another."""
    into = getattr(event, "into", None) or getattr(event, "to", None) or ""
    mobs = [mob for mob in mob_keys(into, lexicon) if mob in lexicon.mobs]
    own = " ".join(tokens(event.mob or ""))
    if not mobs or own in mobs:
        return
    perhaps = places.members(own, Window(day, day)).perhaps - {stay.sheep for stay in places.anywhere}
    by = places.left_open_by((own,), Window(day, day))
    for mob in mobs:
        for sheep in sorted(perhaps):
            yield mob, Stay(sheep, day, until_moved(places.animals[sheep], day), False, by.get(sheep))
