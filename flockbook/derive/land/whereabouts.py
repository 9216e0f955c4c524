"""Where every sheep stood from note to note: a move, a joining, a purchase, a draft or its birth puts it there."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from compiler.book import Moment
from compiler.nearness import plain
from compiler.shape import Value
from flockbook.flock import Flock, gone, happened
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.event import Event
from flockbook.records.places import Drafting, Move
from flockbook.records.trade import Purchase


class StandingAt(Value):
    """Where a sheep stands: `place` is a key of `Grazing.ground`; `note` put it there on `since`."""

    place: str
    since: date
    note: Event


class Stint(Value):
    """One sheep on one ground from a day to a day (None: it is there still)."""

    sheep: str
    place: str
    entered: date
    left: date | None
    note: Event


class Track:
    """The work of following every sheep from note to note."""

    def __init__(self, flock: Flock) -> None:
        """Nobody is anywhere yet."""
        self.flock = flock
        self.places: dict[str, StandingAt] = {}
        self.stints: list[Stint] = []
        self.moved: dict[str, tuple[str, ...]] = {}

    def put(self, sheep: str, place: str, note: Event) -> None:
        """A sheep goes to a place, unless it stands there already."""
        assert note.date is not None
        old = self.places.get(sheep)
        if old is not None and old.place == place:
            return
        self.close(sheep, note.date)
        self.places[sheep] = StandingAt(place, note.date, note)

    def close(self, sheep: str, day: date) -> None:
        """A sheep leaves the place where it stands; a stay without a night is none."""
        old = self.places.pop(sheep, None)
        left = self.flock.animals[sheep].left
        end = min(day, left.date) if left else day
        if old is not None and end > old.since:
            self.stints.append(Stint(sheep, old.place, old.since, end, old.note))

    def take(self, note: Event) -> None:
        """One note: whom it puts where."""
        place, who = place_named(note), self.flock.who(note)
        if isinstance(note, Lambing) and who:
            self.follow(
                (lamb.id for lamb in self.flock.litters.get(note.origin.path, ())), self.places.get(who[0]), note
            )
        elif place:
            for sheep in who:
                self.put(sheep, plain(place), note)
            if note.mob:
                self.moved[plain(note.mob)] = who
        elif isinstance(note, Drafting | Purchase) and note.into:
            self.follow(who, self.mob_place(plain(note.into), note, frozenset(who)), note)

    def follow(self, sheep: Iterable[str], at: StandingAt | None, note: Event) -> None:
        """Sheep join others where they stand."""
        for one in sheep if at else ():
            assert at is not None
            self.put(one, at.place, note)

    def mob_place(self, mob: str, note: Event, newcomers: frozenset[str]) -> StandingAt | None:
        """Where a mob stands: where those of its members are that last moved with it and belong to it still."""
        assert note.date is not None
        for sheep in self.moved.get(mob, ()):
            at = self.places.get(sheep)
            if at and sheep not in newcomers and plain(self.flock.animals[sheep].mob_on(note.date) or "") == mob:
                return at
        return None


def tracked(flock: Flock, today: Moment) -> tuple[list[Stint], dict[str, StandingAt]]:
    """Every stay of every sheep up to the moment asked about, and where the living stand then."""
    track = Track(flock)
    for note in flock.events:
        if note.date is not None and happened(note, today):
            track.take(note)
    for sheep in list(track.places):
        left = gone(flock.animals[sheep], today)
        if left is not None:
            track.close(sheep, left.date)
    running = [Stint(sheep, at.place, at.since, None, at.note) for sheep, at in track.places.items()]
    return [*track.stints, *running], track.places


def place_named(note: Event) -> str | None:
    """The ground that a note puts its sheep on."""
    if isinstance(note, Move):
        return note.to
    if isinstance(note, Joining):
        return note.paddock
    return note.place if isinstance(note, Purchase) else None
