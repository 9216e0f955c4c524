"""One note being judged: what its words mean on its days, and what is to be said of those that are not plain (V3 to
V6).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from compiler.diagnostics import Diagnostic, Rule
from compiler.nearness import clipped
from compiler.shape import replace
from compiler.source import Span
from flockbook.flock import Animal, Concerned, Doubt, Everybody
from flockbook.naming import NOT_THERE, RANGE_UNCOUNTED, TWO_SHEEP, UNKNOWN_MOB, UNKNOWN_SHEEP
from flockbook.records.event import Event
from flockbook.roll import shown
from flockbook.trade import SEXES_MEANT
from flockbook.whom.known import Known, born_in, told, what_leaves_open
from flockbook.whom.lexicon import (
    CLASS,
    MOB,
    SHEEP,
    Bearer,
    sheep_of,
)
from flockbook.whom.pieces import RANGE, Piece
from flockbook.whom.whereabouts import Members, Window, present

SELLERS_DAYS = 365  # days before a purchase in which a note on the sheep is taken for the seller's (our own choice)
HELD_TOO = "nobody whom it could mean is shown as clear to sell"


@dataclass(slots=True)
class Verdict:
    """The answers for one note, while they are being found."""

    known: Known
    path: str
    window: Window
    event: Event | None = None
    day: date | None = None
    dosed: dict[str, None] = field(default_factory=dict)
    at_foot: dict[str, None] = field(default_factory=dict)
    doubtful: dict[str, Doubt] = field(default_factory=dict)
    everybody: list[Everybody] = field(default_factory=list)
    trouble: dict[str, Doubt] = field(default_factory=dict)
    own: dict[str, object] = field(default_factory=dict)
    lost: list[tuple[str, Span]] = field(default_factory=list)  # words that name nobody, with their places
    said: dict[str, tuple[float, int]] = field(default_factory=dict)  # the most mL that words tell of, and their line
    misdated: Doubt | None = None  # a doubt about the day of the whole note
    named: bool = False  # whether anything in it names, or tries to name, somebody
    told: list[Diagnostic] = field(default_factory=list)

    # What is found out

    def dose(self, ids: Iterable[str]) -> None:
        """These were surely dosed."""
        for sheep in ids:
            self.dosed[sheep] = None
            self.at_foot.pop(sheep, None)

    def doubt(self, ids: Iterable[str], doubt: Doubt) -> None:
        """These could have been dosed."""
        for sheep in ids:
            if sheep not in self.doubtful or doubt.never:
                self.doubtful[sheep] = doubt

    def doubt_everybody(self, doubt: Doubt) -> None:
        """Everybody who was here on the days of the note could have been dosed."""
        self.everybody.append(Everybody(self.window.first, self.window.last, doubt))

    def tell(self, rule: Rule, span: Span, message: str, cure: str, also: tuple[Span, ...] = ()) -> None:
        """Say something of the note, with what the book does meanwhile."""
        self.told.append(rule.at(span, message, cure, HELD_TOO, also))

    def because(self, rule: str, span: Span, text: str, cure: str = "", never: bool = False) -> Doubt:
        """A doubt that rests on this note."""
        return Doubt(rule, self.path, span.line, text, cure, never)

    def settled(self) -> Concerned:
        """The answers, frozen: whoever is surely dosed is in no doubt."""
        dosed = tuple(dict.fromkeys((*self.dosed, *self.at_foot)))
        if self.misdated is not None:
            self.trouble.update(dict.fromkeys(dosed, self.misdated))
            self.doubtful.update(dict.fromkeys(self.doubtful, self.misdated))
        return Concerned(
            self.path, self.event, self.day, dosed, frozenset(self.at_foot),
            {sheep: doubt for sheep, doubt in self.doubtful.items() if sheep not in self.dosed or doubt.never},
            tuple(self.everybody), dict(self.own), dict(self.trouble), dict(self.said),
        )  # fmt: skip

    # What a name means

    def take(self, piece: Piece, span: Span, counted: bool = False) -> tuple[str, ...]:
        """Whoever a piece in the place of a name means is dosed, or in doubt; gives the ids of those surely dosed."""
        self.named = True
        if piece.sort == RANGE:
            return self.take_range(piece, span, counted)
        sheep = self.sheep_meant(piece)
        groups = [bearer for bearer in piece.bearers if bearer.sort != SHEEP]
        if groups and not (sheep and piece.whose):
            return self.take_groups(groups, sheep, piece, span)
        if piece.whose != (piece.of_her is not None) and sheep_of(piece.bearers):
            return self.take_half_said(piece, span)
        if piece.of_her is not None:
            self.doubt_fosters(piece, span)
        return self.take_sheep(sheep, piece, span)

    def doubt_fosters(self, piece: Piece, span: Span) -> None:
        """A lamb that may be at any foot may be one of `Bramble's lambs`."""
        places = self.known.places
        lambs = [stay.sheep for stay in places.anywhere if places.there(stay, self.window)]
        young = [sheep for sheep in lambs if self.of_the_year(sheep) and self.known.animal(sheep).born]
        text = f"it is not certain whose foot it is at, and “{clipped(piece.text)}” may mean it"
        self.doubt(young, self.because("V5", span, text))

    def take_half_said(self, piece: Piece, span: Span) -> tuple[str, ...]:
        """`Rose's`, `Rose lamb`: the ewe or her lambs, so all of them are in doubt."""
        ewes = [sheep for sheep in sheep_of(piece.bearers) if self.here(sheep)]
        lambs = [lamb for ewe in ewes for lamb in self.young_of(ewe)]
        if not lambs:
            return self.take_sheep(tuple(ewes), piece, span)
        cure = f"write `{self.known.animal(ewes[0]).called}'s lamb`, the lamb's tag, or the ewe's"
        self.tell(TWO_SHEEP, span, f"`{clipped(piece.text)}` can be the ewe or her lamb", cure)
        self.lost.append((piece.text, span))
        doubt = self.because("V6", span, f"“{clipped(piece.text)}” can be the ewe or her lamb", cure)
        self.doubt([*ewes, *lambs], replace(doubt, one_of=True))
        return ()

    def young_of(self, ewe: str) -> list[str]:
        """The lambs of a ewe, and those she fosters, that were here on the days of the note and under a year."""
        own = [animal.id for animal in self.known.flock.lambs_of.get(ewe, ())]
        feet = [stay.sheep for stay in self.known.places.lambs.get(ewe, ())]
        return [sheep for sheep in dict.fromkeys((*own, *feet)) if self.here(sheep) and self.of_the_year(sheep)]

    def dams_of(self, lambs: Iterable[str]) -> list[str]:
        """The dams and foster dams of lambs under a year that were here on the days of the note."""
        young = {sheep for sheep in lambs if self.of_the_year(sheep)}
        dams = [dam for sheep in young if (dam := self.known.animal(sheep).dam)]
        fosters = [ewe for ewe, stays in self.known.places.lambs.items() if any(one.sheep in young for one in stays)]
        return [ewe for ewe in dict.fromkeys((*dams, *fosters)) if self.here(ewe)] if young else []

    def sheep_meant(self, piece: Piece) -> tuple[str, ...]:
        """The ids of all sheep that a name can mean, whenever they were here."""
        ids = sheep_of(piece.bearers)
        if piece.of_her is not None:
            ids = tuple(lamb for ewe in ids for lamb in self.lambs_of(ewe, piece))
        if piece.born is not None:
            ids = tuple(sheep for sheep in ids if born_in(self.known.animal(sheep), piece.born))
        return ids

    def lambs_of(self, ewe: str, piece: Piece) -> list[str]:
        """The lambs of a ewe, also those she fosters, that the words behind her name can mean."""
        assert piece.of_her is not None
        sexes = SEXES_MEANT.get(piece.of_her.sex, ())
        year = piece.of_her.year
        own = [animal.id for animal in self.known.flock.lambs_of.get(ewe, ())]
        feet = [stay.sheep for stay in self.known.places.lambs.get(ewe, ())]
        found = [
            sheep
            for sheep in dict.fromkeys((*own, *feet))
            if (not sexes or self.known.animal(sheep).sex in (*sexes, None))
            and (born_in(self.known.animal(sheep), year) if year else self.of_the_year(sheep))
        ]
        place = piece.of_her.place
        return found[place - 1 : place] if place and place <= len(found) else found

    def of_the_year(self, sheep: str) -> bool:
        """Whether a lamb was born in the year of the note, or is under a year old on its days."""
        born = self.known.animal(sheep).born
        if born is None:
            return True
        last = self.window.last if self.window.last != date.max else date(born.year, 12, 31)
        first = self.window.first if self.window.first != date.min else last
        return first.year <= born.year <= last.year or 0 <= (last - born.earliest).days < 365

    def take_sheep(self, ids: tuple[str, ...], piece: Piece, span: Span) -> tuple[str, ...]:
        """One sheep of that name who was here is dosed; several are all in doubt; one who was not here is an error."""
        here = [sheep for sheep in ids if self.here(sheep)]
        litter = piece.of_her is not None and re.search(r"lambs|twins|triplets|pair", piece.text, re.I)
        if len(here) == 1 or (here and litter):
            self.dose(here)
            return tuple(here)
        if here:
            return self.fits_several(here, piece.text, span)
        if ids:
            self.not_there(ids, piece, span)
        else:
            self.unknown(piece.text, span)
        return ()

    def here(self, sheep: str) -> bool:
        """Whether a sheep was here on the days of the note; a birth dated ahead by a slip counts as past (V6)."""
        animal = self.known.animal(sheep)
        if present(animal, self.window) or self.before_she_came(animal):
            return True
        ahead = animal.birth is not None and animal.born is not None and animal.born.earliest > self.known.clock
        return ahead and animal.left is None

    def before_she_came(self, animal: Animal) -> bool:
        """Whether the note is of the year before a sheep was bought: the seller's treatment (V11)."""
        came, last = animal.arrived, self.window.last
        if came is None or not last < came or (came - last).days > SELLERS_DAYS:
            return False
        return animal.born is None or animal.born.earliest <= last

    def fits_several(self, ids: list[str], text: str, span: Span) -> tuple[str, ...]:
        """A word that several sheep bear means all of them, until the note says which (V3)."""
        listed = " or ".join(sorted(self.known.called(sheep) for sheep in ids)[:4])
        cure = "write tag and birth year, as in `731/2026`, or name them all"
        self.tell(TWO_SHEEP, span, f"`{clipped(text)}` fits {len(ids)} sheep: {listed}", cure)
        self.lost.append((text, span))
        doubt = self.because("V3", span, f"“{clipped(text)}” in this note fits {len(ids)} sheep", cure)
        self.doubt(ids, replace(doubt, one_of=True))
        return ()

    def not_there(self, ids: tuple[str, ...], piece: Piece, span: Span) -> None:
        """A name of sheep who were not here on the days of the note: they and everybody of those days are in doubt."""
        who = self.known.animal(ids[0])
        also: tuple[Span, ...] = ()
        if who.left and who.left.date < self.window.first:
            gone, also = f"{told(who)} {who.left.how} on {shown(who.left.date)}", (who.left.note.origin.span(),)
        else:
            came = who.arrived or (who.born.earliest if who.born else None)
            gone = f"{told(who)} was not there before {shown(came)}"
            also = (who.birth.note.origin.span(),) if who.birth else ()
        cure = "correct the date or the sheep"
        if who.birth and not who.left:
            cure = f"it is in the book from {shown(who.birthday)} ({who.birth.note.origin.path}): {cure}"
        self.tell(NOT_THERE, span, f"{gone}; this note is of {self.days_shown()}", cure, also)
        self.lost.append((piece.text, span))
        doubt = self.because("V3", span, f"{gone}: somebody else may be meant", cure)
        self.misdated = self.because("V9", span, f"{gone}, so the day of this note may be wrong", cure, never=True)
        self.doubt(ids, self.misdated)
        self.doubt_everybody(doubt)

    def days_shown(self) -> str:
        """The days of the note in words."""
        first, last = self.window.first, self.window.last
        if self.day is not None:
            return shown(self.day)
        return shown(first) if first == last else "an unknown day"

    def take_range(self, piece: Piece, span: Span, counted: bool) -> tuple[str, ...]:
        """A range: its tags are dosed where `count` stands beside it, else all in doubt (V3)."""
        here = tuple(sheep for sheep in sheep_of(piece.bearers) if self.here(sheep))
        odd = not piece.tags and counted
        if counted and piece.tags:
            self.dose(here)
            return here
        cure = (
            "add `count: …` with the number of sheep meant" if piece.tags else "write it as `738-742` with `count: …`"
        )
        self.tell(RANGE_UNCOUNTED, span, f"`{clipped(piece.text)}` is a range", cure)
        self.lost.append((piece.text, span))
        doubt = self.because("V3", span, f"“{clipped(piece.text)}” is a range without a count", cure)
        self.doubt(here, doubt)
        if not here or odd:
            self.doubt_everybody(doubt)
        return ()

    def take_groups(self, groups: list[Bearer], sheep: tuple[str, ...], piece: Piece, span: Span) -> tuple[str, ...]:
        """A mob or class: its members are dosed, with the lambs at their foot. A sheep of the same name is in doubt."""
        members = [self.members(bearer) for bearer in groups]
        sure = frozenset[str]().union(*(found.sure for found in members))
        perhaps = frozenset[str]().union(*(found.perhaps for found in members)) - sure
        here = [one for one in sheep if self.here(one) and one not in sure]
        if here:
            cure = f"write the tag of the sheep, or `mob: {piece.text}` for the mob"
            self.tell(TWO_SHEEP, span, f"`{clipped(piece.text)}` is a sheep and a mob", cure)
            self.doubt(here, self.because("V3", span, f"“{clipped(piece.text)}” is a sheep and a mob", cure))
        self.dose(sorted(sure))
        for lamb in sorted(frozenset[str]().union(*(found.at_foot for found in members)) - self.dosed.keys()):
            self.at_foot[lamb] = None
        self.doubt_members(perhaps, groups, piece, span)
        if not sure and not perhaps and not here:
            self.empty(piece, span)
        return tuple(sorted(sure))

    def doubt_members(self, perhaps: Iterable[str], groups: list[Bearer], piece: Piece, span: Span) -> None:
        """Those of whom it is not sure that they were in a mob or of a class, with the place that leaves it open."""
        mobs = [bearer.name for bearer in groups if bearer.sort == MOB]
        places = self.known.places.left_open_by(mobs, self.window)
        for sheep in sorted(perhaps):
            cure = what_leaves_open(places[sheep], self.known.animal(sheep).called) if sheep in places else ""
            if not cure and not mobs and (note := self.known.animal(sheep).note) is not None:
                cure = f"write its sex and its day of birth into {note.origin.path}"
            why = f"it is not certain that this sheep was in {piece.text}"
            self.doubt([sheep], self.because("V5", span, why, cure))

    def members(self, bearer: Bearer) -> Members:
        """Who is meant by a mob or a class on the days of the note; a mob called like a class is both (V4)."""
        if bearer.sort == MOB:
            return self.known.places.members(bearer.name, self.window)
        return self.known.places.of_class(bearer.name, self.window)

    def empty(self, piece: Piece, span: Span) -> None:
        """A mob or class that held nobody on those days: whoever was ever in it, or of it later, and everybody of those
        days, are in doubt.
        """
        cure = "it was empty on that day: correct the day or the mob"
        self.tell(UNKNOWN_MOB, span, f"no sheep were in a mob called `{clipped(piece.text)}` that day", cure)
        doubt = self.because("V3", span, f"“{clipped(piece.text)}” held nobody on the days of this note", cure)
        ever = {stay.sheep for bearer in piece.bearers for stay in self.known.places.stays.get(bearer.name, ())}
        later = Window(self.window.first, max(self.window.last, self.known.clock))
        for bearer in piece.bearers:
            if bearer.sort == CLASS:
                found = self.known.places.of_class(bearer.name, later)
                ever |= found.sure | found.perhaps
        self.doubt(sorted(ever), doubt)
        self.doubt_everybody(doubt)

    # Words that name nobody

    def unknown(self, text: str, span: Span, mob: bool = False, more: str = "") -> None:
        """A word that names nobody: whoever it can only be a slip of, else everybody of those days (V3); `more` is what
        else may be typed where it stands.
        """
        self.named = True
        self.lost.append((text, span))
        cure = self.known.guess(text, mob, self.window) + more
        if mob:
            self.tell(UNKNOWN_MOB, span, f"no sheep were in a mob called `{clipped(text)}` that day", cure)
        else:
            on = f" on {self.days_shown()}" if self.day else ""
            self.tell(UNKNOWN_SHEEP, span, f"no living sheep called `{clipped(text)}`{on}", cure)
        doubt = self.because("V3", span, f"“{clipped(text)}” in this note names nobody", cure)
        only = self.known.only_bearer(text, self.event is not None)
        meant = self.meant_by(only) if only is not None else []
        if meant:
            self.doubt(meant, replace(doubt, one_of=True))
        else:
            self.doubt_everybody(doubt)

    def meant_by(self, bearer: Bearer) -> list[str]:
        """Whom one bearer stands for on the days of the note."""
        if bearer.sort == SHEEP:
            return [bearer.name, *self.young_of(bearer.name)] if self.here(bearer.name) else []
        found = self.members(bearer)
        return sorted(found.sure | found.perhaps | found.at_foot)
