"""Moved that are not sure: whoever a note could have moved that cannot be read whole is in both places (V5)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from compiler.collection import Hole, Other
from compiler.nearness import near
from compiler.schema import Context
from compiler.shape import replace
from compiler.source import Span
from flockbook.corrections import stem_of
from flockbook.flock import Animal
from flockbook.records.breeding import Hire, Joining, Lambing
from flockbook.records.event import Event
from flockbook.records.health import Treatment
from flockbook.records.places import Drafting, HeadCount, Mob, Move
from flockbook.records.rearing import Foster, Weaning
from flockbook.records.sheep import RAM, Sheep
from flockbook.records.trade import Purchase
from flockbook.whom.days import days_in
from flockbook.whom.holes import STAMP, judge_hole
from flockbook.whom.inbox import stays_jotted, unfiled_lines
from flockbook.whom.known import Known
from flockbook.whom.lexicon import MOB, SHEEP, sheep_of, tokens
from flockbook.whom.line_reading import named
from flockbook.whom.pieces import taken_apart
from flockbook.whom.told_moves import MOVED, told_in_words
from flockbook.whom.unsure_counts import by_count
from flockbook.whom.unsure_drafts import (
    behind_a_hash,
    by_draft,
    lost_of,
    may_have_stayed,
    meant_by_text,
    mobs_beside,
    mobs_in,
    named_on,
)
from flockbook.whom.unsure_feet import by_foster, by_foster_hole, by_litter
from flockbook.whom.whereabouts import MobStay, Stay, is_young, mob_keys, stays

WITH_THEM = re.compile(r"\b(?:with|among) (?:them|the others|the rest)\b", re.I)
INTO_FIELDS = ("into", "to", "put in", "put into", "moved to", "went to", "now in", "with", "joined")
SINCE = re.compile(r"\w (?:since|from|until|till|now|was|before)\b", re.I)  # more than a mob's name under `mob`
MOVE_IN_NAME = re.compile(r"(?<![a-z])moved?(?![a-z])", re.I)
MOVES = re.compile(r"(?<![a-z])(?:draft(?:ed)?|foster(?:ed)?)(?![a-z])", re.I)
SORTING = (Drafting, Move, Foster, Weaning)
LONG_SLIP = 3  # letters by which the name of a note to correct may be mistyped (our own choice)
LONGEST_JOINING = timedelta(days=90)  # from the day a ram goes in, where none says that he is out (our own choice)
MOVING_KINDS = ("draft", "tagging", "foster", "purchase", "ewe", "ram", "wether", "lamb", "move")


def unsure_stays(known: Known) -> MobStay:
    """Whoever a note could have moved that cannot be read whole is in both places (V5), with the place of the note."""
    for event in known.flock.events:
        yield from because_of(event.origin.span(), by_event(known, event))
    for animal in known.flock.animals.values():
        if animal.note is not None:
            yield from because_of(animal.note.origin.span("mob"), by_own_note(known, animal, animal.note))
    for note in known.flock.collection.of(Mob):
        yield from because_of(note.origin.span(), by_mob_note(known, note))
    for hole in known.flock.collection.holes:
        if moving_kind(hole):
            yield from because_of(Span(hole.path), by_hole(known, hole))
    for other in known.flock.collection.others:
        match = MOVE_IN_NAME.search(other.path) or MOVES.search(f"{other.path}\n{other.text}")
        if not other.of_no_concern and match:
            yield from because_of(Span(other.path), by_other(known, other, match[0].lower().startswith("foster")))
    for line in unfiled_lines(known.flock.collection, Context()):
        yield from because_of(line.span, stays_jotted(known, line))


def because_of(span: Span, found: MobStay) -> MobStay:
    """Moved with the place that leaves them open."""
    return ((mob, replace(stay, by=span)) for mob, stay in found)


def by_event(known: Known, event: Event) -> MobStay:
    """What one note leaves open."""
    if isinstance(event, Drafting):
        yield from by_draft(known, event)
    elif isinstance(event, Foster) and event.date:
        yield from by_foster(known, event)
    elif isinstance(event, Lambing):
        yield from by_litter(known, event)
    elif isinstance(event, Purchase | Hire) and event.date:
        yield from by_purchase(known, event, event.date)
    yield from told_in_words(known, event)
    if isinstance(event, Move) and event.date:
        yield from by_move(known, event, event.date)
    if isinstance(event, Drafting | Move) and event.corrects:
        yield from by_correction(known, event)
    if event.corrects and event.origin.path not in known.flock.struck.values():
        yield from by_failed_correction(known, event)
    if isinstance(event, Drafting | Move):
        yield from by_file_name(known, event)
    if not isinstance(event, Drafting | Move | Purchase | Treatment):
        yield from by_unread_fields(known, event)
    if event.mob and event.date and not isinstance(event, Treatment):
        yield from stays(among_lines(known, event), event.mob, event.date)
        yield from stays(of_its_own_mob(known, event, event.date), event.mob, event.date)
    if isinstance(event, Joining) and event.mob and event.date:
        last = event.out or event.date + LONGEST_JOINING
        rams = [one for one in known.flock.who(event) if known.animal(one).sex == RAM]
        yield from (
            (mob, Stay(ram, event.date, last, False)) for mob in mob_keys(event.mob, known.lexicon) for ram in rams
        )
    if isinstance(event, HeadCount) and event.mob:
        yield from by_count(known, event, event.mob)


def by_own_note(known: Known, animal: Animal, note: Sheep) -> MobStay:
    """What a sheep's own note leaves open."""
    yield from by_her_words(known, animal)
    if SINCE.search(note.mob or ""):
        yield from (stay for mob in known.lexicon.mobs for stay in stays((animal.id,), mob, date.min))
    if note.origin.unread or note.origin.broken:
        yield from by_sheep_note(known, animal)


def by_move(known: Known, event: Move, day: date) -> MobStay:
    """A move to a place that is called like a mob, whose words name one (`in with hill`), or where one stands; one of
    sheep that does not say where to, into any mob.
    """
    texts = [event.to or event.mob or "", event.place or "", *event.origin.unread.values()]
    texts += [*event.origin.typed.values(), *(cell.text for cell in event.origin.rest)]
    mobs = [mob for text in texts for mob in mob_keys(text, known.lexicon)]
    listed = listed_below(known, event)
    ids = [*known.flock.who(event), *lost_of(known, event), *listed]
    if not (event.sheep or event.mob):  # `move Sorrel`, or a move to a mob that names nobody
        goal = event.to or ""
        named_ones = [] if known.lexicon.mob_key(goal) else meant_by_text(known, goal)
        ids = [*ids, *named_ones] or list(known.flock.animals)
        mobs = list(known.lexicon.mobs) if named_ones else mobs
    since = date.min if day > known.clock else day
    whole = dict.fromkeys(mob for mob in mobs if mob in known.lexicon.mobs)
    for mob in whole if whole or event.to or not event.sheep else known.lexicon.mobs:
        yield from stays(ids, mob, since)
    for mob in mobs_at(known, event, day) if event.sheep or listed else ():  # a ram put to ewes is none of their mob
        yield from stays((sheep for sheep in ids if known.animal(sheep).sex != RAM), mob, since)


def listed_below(known: Known, event: Move) -> list[str]:
    """The sheep that the lines of a move name; a line with a word that is nobody's may be anybody where the head names
    nobody.
    """
    named_ones = [named_on(known, cell) for cell in (*event.origin.rest, *event.origin.data)]
    headed = bool(event.sheep or event.mob)
    return [one for found in named_ones if not (headed and len(found) == len(known.flock.animals)) for one in found]


def by_unread_fields(known: Known, event: Event) -> MobStay:
    """A note of another kind with a field that says where its sheep went: `into: hill` in a weaning."""
    for name, text in event.origin.unread.items():
        if name.lower() in INTO_FIELDS and known.lexicon.mob_key(text):
            yield from stays(event_sheep(known, event), text, event.date or date.min)


def of_its_own_mob(known: Known, event: Event, day: date) -> list[str]:
    """Those of whom a note says which mob they are in, where the book has them in another."""
    if isinstance(event, Drafting | Move | Joining) or not any(True for _ in event.mentions()):
        return []
    own = " ".join(tokens(event.mob or ""))
    who = (known.animal(sheep) for sheep in known.flock.who(event))
    return [one.id for one in who if own not in mob_keys(one.mob_on(day) or "", known.lexicon)]


def event_sheep(known: Known, event: Event) -> list[str]:
    """The sheep of a note, and those on its lines."""
    return [*known.flock.who(event), *among_lines(known, event)]


def mobs_at(known: Known, event: Move, day: date) -> Iterator[str]:
    """The mobs whose last move before a day went to the same place."""
    last: dict[str, Move] = {}
    for other in known.flock.events:
        if isinstance(other, Move) and other.mob and other.date and other.date <= day and other.to:
            last[" ".join(tokens(other.mob))] = other
    yield from (mob for mob, other in last.items() if tokens(other.to or "") == tokens(event.to or ""))


def by_correction(known: Known, event: Drafting | Move) -> MobStay:
    """A draft or a move in the place of another: who was moved may have been so from the day of the first note on."""
    olds = [old for old, new in known.flock.struck.items() if new == event.origin.path]
    days = [old.date for old in known.flock.collection.of(type(event)) if old.origin.path in olds and old.date]
    into = event.into if isinstance(event, Drafting) else event.to
    for day in days if event.date else ():
        if event.date and day < event.date:
            yield from stays(known.flock.who(event), into or "", day)


def by_failed_correction(known: Known, event: Event) -> MobStay:
    """A correction that strikes nothing: whoever the note moved that it can mean may have stayed, or be at any foot."""
    names = {stem_of(one.origin.path): one for one in known.flock.events if isinstance(one, SORTING)}
    typed = stem_of(event.corrects or "")
    meant = {*near(typed, names, slips=LONG_SLIP), *(name for name in names if name.startswith(typed))}
    for old in (one for name, one in names.items() if name in meant or one is event):
        ids, since = known.flock.who(old), old.date or date.min
        if isinstance(old, Drafting | Move):
            yield from may_have_stayed(known, ids, old)
        young = (one for one in ids if is_young(known.animal(one), old.date or known.clock))
        yield from stays(young if isinstance(old, Foster | Weaning) else (), "", since)


def by_file_name(known: Known, event: Drafting | Move) -> MobStay:
    """`draft Salt to hill`: the sheep and the mob that only the name of the file tells."""
    text = " ".join(
        word for word in (event.subject, getattr(event, "to", None), event.origin.path.rpartition("/")[2]) if word
    )
    text = STAMP.sub(" ", text)
    pieces = taken_apart(text, known.lexicon)
    if not any(bearer.name in known.lexicon.declared for piece in pieces for bearer in piece.bearers):
        pieces = [piece for word in text.split() for piece in taken_apart(word, known.lexicon)]
    sheep = [one for piece in pieces if piece.proper for one in sheep_of(piece.bearers)]
    mobs = [bearer.name for piece in pieces for bearer in piece.bearers if bearer.sort == MOB]
    since = event.date if event.date is not None and event.date <= known.clock else date.min
    if not sheep and len(set(mobs)) > 1:  # `move low to hill`
        sheep = [one.id for one in known.flock.animals.values() if was_in(one, mobs[:1])]
    for mob in dict.fromkeys(mobs):
        yield from stays(sheep, mob, since)


def among_lines(known: Known, event: Event) -> list[str]:
    """The sheep on the lines of a note that is about a mob, and those it says are with them."""
    lines = [line.sheep for line in getattr(event, "lines", ()) if getattr(line, "sheep", "")]
    beside = [cell.text for cell in event.origin.rest if WITH_THEM.search(cell.text)]
    pieces = [piece for text in (*lines, *beside) for piece in taken_apart(text, known.lexicon)]
    return [one for piece in pieces if piece.proper for one in sheep_of(piece.bearers)]


def by_mob_note(known: Known, mob: Mob) -> MobStay:
    """A mob's own note that lists sheep: they may be in it."""
    texts = [*mob.origin.unread.values(), *mob.origin.typed.values(), *(cell.text for cell in mob.origin.rest)]
    for text in texts:
        sheep = [
            bearer.name
            for piece in taken_apart(text, known.lexicon)
            if named(piece)
            for bearer in piece.bearers
            if bearer.sort == SHEEP
        ]
        others = [bearer.name for piece in taken_apart(text, known.lexicon) for bearer in piece.bearers]
        sheep += [one.id for one in known.flock.animals.values() if was_in(one, others)]
        yield from stays(sheep, mob.name or "", date.min)


def moving_kind(hole: Hole) -> str:
    """The kind of a note that moves sheep, also where it is misspelt or only the file's name says it; "" for others."""
    words = (hole.kind, hole.typed.get("note", ""), hole.typed.get("kind", ""))
    found = (
        kind for word in words if word for kind in near(word.lower(), MOVING_KINDS, slips=2 if len(word) > 4 else 1)
    )
    return next(found, "")


def by_her_words(known: Known, animal: Animal) -> MobStay:
    """A sheep's own note whose words tell of a mob: `Moved to hill 20 May.`, and where it has no mob any that names
    one: `Runs with hill.`
    """
    assert animal.note is not None
    for cell in animal.note.origin.rest:
        if animal.note.mob and cell.sort != "comment" and not MOVED.search(cell.text):
            continue
        bearers = [bearer for piece in taken_apart(cell.text, known.lexicon) for bearer in piece.bearers]
        for mob in dict.fromkeys(bearer.name for bearer in bearers if bearer.sort == MOB):
            yield from stays((animal.id,), mob, date.min)


def was_in(animal: Animal, mobs: Iterable[str]) -> bool:
    """Whether an animal was ever in one of some mobs, by its own notes and by drafts that are read."""
    return any(" ".join(tokens(item.mob)) in mobs for item in animal.mobs)


def by_purchase(known: Known, event: Purchase | Hire, day: date) -> MobStay:
    """A purchase whose mob stands elsewhere than under `into`, or in the words of a line, or is misspelt."""
    bought = known.flock.who(event)
    if not event.into and not event.mob:  # nothing says where they went
        homeless = [one for one in bought if not known.animal(one).mobs]
        yield from (stay for key in known.lexicon.mobs for stay in stays(homeless, key, day))
    beside = [] if event.into else mobs_beside(known, event) or ([""] if event.mob else [])
    for mob in (*beside, *mobs_in(known, behind_a_hash(event))):
        yield from stays(bought, mob, day)
    for cell in event.origin.data:
        pieces = taken_apart(cell.text, known.lexicon)
        sheep = [one for piece in pieces if piece.proper for one in sheep_of(piece.bearers)]
        for name in dict.fromkeys(one.name for piece in pieces for one in piece.bearers if one.sort == MOB):
            yield from stays(sheep or bought, name, day)


def by_sheep_note(known: Known, animal: Animal) -> MobStay:
    """A sheep's own note of which a field is not read: the mob that it names there, or any mob where that was its
    mob.
    """
    assert animal.note is not None
    origin = animal.note.origin
    for name, text in (*origin.unread.items(), *((key, origin.typed.get(key, "")) for key in origin.broken)):
        if known.lexicon.mob_key(text):
            yield from stays((animal.id,), text, date.min)
        elif name == "mob" or near(name, ("mob",)):
            yield from stays((animal.id,), "", date.min)


def by_hole(known: Known, hole: Hole) -> MobStay:
    """A note that moves sheep and cannot be read: whom it names, else everybody, may be in the mob that it names."""
    kind = moving_kind(hole)
    if kind == "foster":
        yield from by_foster_hole(known, hole)
        return
    mobs = [hole.typed.get(name, "") for name in ("into", "mob", "to")]
    mobs += [hole.typed.get("subject", "")] if kind == "draft" else []
    into = [mob for mob in mobs if known.lexicon.mob_key(mob)]
    if kind in ("draft", "move") and not into:
        pieces = taken_apart(STAMP.sub(" ", hole.path.rpartition("/")[2].rpartition(".")[0]), known.lexicon)
        into = [bearer.name for piece in pieces for bearer in piece.bearers if bearer.sort == MOB]
    since = next(days_in(hole.typed.get("date", "")), None) or next(days_in(hole.path), date.min)
    named_whole = judge_hole(known, hole, {})
    ids = [] if named_whole.everybody else list(named_whole.doubtful)
    for mob in into or (known.lexicon.mobs if kind == "draft" else ()):
        yield from stays(ids or known.flock.animals, mob, since)


def by_other(known: Known, other: Other, foster: bool) -> MobStay:
    """A file that is not read and speaks of a draft or a fostering: whom it names may be in the mobs that it names, and
    a fostered lamb at any foot.
    """
    days, text = days_in(f"{other.path}\n{other.text}"), STAMP.sub(" ", f"{other.path}\n{other.text}")
    bearers = [bearer for piece in taken_apart(text, known.lexicon) if named(piece) for bearer in piece.bearers]
    ids = list(sheep_of(bearers)) or list(known.flock.animals)
    since = min(days, default=date.min)
    for mob in dict.fromkeys(bearer.name for bearer in bearers if bearer.sort == MOB):
        yield from stays(ids, mob, since)
    if foster:
        yield from stays(ids, "", since)
