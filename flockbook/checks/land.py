"""Moves and ground that do not fit: a paddock nobody wrote down, one move written twice, two mobs on one paddock."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.nearness import listing, near, plain
from flockbook.derive.land.whereabouts import Stint, place_named
from flockbook.flock import happened
from flockbook.records.breeding import Joining
from flockbook.records.places import Move, Paddock
from flockbook.records.sheep import RAM
from flockbook.seen import Seen

PADDOCK_MISSPELT = Rule(
    "P101", "paddock-perhaps-misspelt", Grade.WARNING,
    "Rest and sheep-days are counted paddock by paddock; a name with a slip in it makes a second paddock of one.",
    "to: Home Prak",
)  # fmt: skip
PADDOCK_UNWRITTEN = Rule(
    "P102", "paddock-without-note", Grade.GAP,
    "A paddock's own note gives its size, its rest and its limit; without one the book cannot say when it may be "
    "grazed again. Pens, yards and sheds need none.", "to: New Field, and no `paddocks/New Field.md`",
)  # fmt: skip
MOVED_TWICE = Rule(
    "P103", "move-written-twice", Grade.WARNING,
    "Sheep that stand in a paddock cannot be moved into it: the same move was written twice, or the one away from "
    "there is missing.", "two notes that move the hill mob to Home Park in one week",
)  # fmt: skip
TWO_MOBS = Rule(
    "P104", "two-mobs-one-paddock", Grade.WARNING,
    "Two mobs on one paddock for some nights are one mob, or one of them was moved and nobody wrote it. Rams with ewes "
    "are not counted.", "the hoggs moved to Home Park while the hill mob stands there",
)  # fmt: skip
RULES = (PADDOCK_MISSPELT, PADDOCK_UNWRITTEN, MOVED_TWICE, TWO_MOBS)
PEN = re.compile(r"\b(pens?|yards?|sheds?|hurdles|race|fank|trailer|byre|barn|home)\b", re.I)
SLIPS = 2
TWICE_DAYS = 7  # a second note to the same place within a week of the first (our own choice)
TOGETHER_NIGHTS = 3  # mobs that meet for a night or two around a sort are common practice


def unwritten_places(seen: Seen) -> Iterator[Diagnostic]:
    """Every place that has no paddock note, at the first note that names it; nothing while none is written at all."""
    known = [note.name or "" for note in seen.linked.collection.of(Paddock)]
    told = {plain(name) for name in known}
    for event in seen.linked.events if known else ():
        place = place_named(event)
        if not place or plain(place) in told or not isinstance(event, Move | Joining):
            continue
        told.add(plain(place))
        here = event.origin.span("paddock" if isinstance(event, Joining) else "to")
        guesses = near(place, known, slips=SLIPS)
        if guesses:
            yield PADDOCK_MISSPELT.at(here, f"no paddock is called `{place[:40]}`", f"did you mean {listing(guesses)}?")
        elif not PEN.search(place):
            cure = f"write `paddocks/{place[:40]}.md` with its area, rest and limit"
            yield PADDOCK_UNWRITTEN.at(here, f"`{place[:40]}` has no note of its own", cure)


def repeats(seen: Seen) -> Iterator[Diagnostic]:
    """Moves of the same mob to the place where its last move, a few days before, put it."""
    last: dict[str, Move] = {}
    for event in seen.linked.of(Move):
        if not event.mob or event.date is None:
            continue
        before = last.get(plain(event.mob))
        last[plain(event.mob)] = event
        if before is None or before.date is None or plain(before.to or "") != plain(event.to or "") or event.sure:
            continue
        days = (event.date - before.date).days
        if days <= TWICE_DAYS:
            yield MOVED_TWICE.at(
                event.origin.span("to"),
                f"{event.mob} stands in {event.to} already, moved there {days} days before ({before.origin.path})",
                "take one note out, write the move away from there, or add `sure: yes`",
                "it stands there from the first of the two",
                (before.origin.span("to"),),
            )


def together(seen: Seen) -> Iterator[Diagnostic]:
    """Two mobs on one paddock for more than a night or two."""
    stints = stints_by_month(seen)
    for event in seen.linked.of(Move):
        if not event.mob or not event.to or event.date is None or event.sure:
            continue
        later = event.date + timedelta(TOGETHER_NIGHTS)
        if not happened(event, seen.today) or later > seen.today.day:
            continue
        place = plain(event.to)
        both = mobs_together(seen, stints, place, event.date) & mobs_together(seen, stints, place, later)
        others = sorted(both - {plain(event.mob)})
        if others and plain(event.mob) in both:
            yield TWO_MOBS.at(
                event.origin.span("to"),
                f"{listing(others, 'and')} stood in {event.to} already, and stayed",
                "write where they went, or add `sure: yes` if they run together",
            )


Stays = dict[tuple[str, int], list[Stint]]


def stints_by_month(seen: Seen) -> Stays:
    """Every stay by its place and each month that it touches, so that a day is looked up among few."""
    found: Stays = {}
    for stint in seen.facts.land.grazing.stints:
        for month in range(month_of(stint.entered), month_of(stint.left or seen.today.day) + 1):
            found.setdefault((stint.place, month), []).append(stint)
    return found


def month_of(day: date) -> int:
    """Months since year 0."""
    return day.year * 12 + day.month


def mobs_together(seen: Seen, stints: Stays, place: str, day: date) -> set[str]:
    """The mobs, rams apart, that spend the night after a day on one ground."""
    found: set[str] = set()
    for stint in stints.get((place, month_of(day)), ()):
        if stint.entered <= day and (stint.left is None or stint.left > day):
            animal = seen.linked.animals[stint.sheep]
            mob = animal.mob_on(day)
            if mob and animal.sex != RAM:
                found.add(plain(mob))
    return found


CHECKS = (
    Check("paddock names", unwritten_places),
    Check("moves written twice", repeats),
    Check("two mobs together", together),
)
