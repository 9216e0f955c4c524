"""Moves that only the words of a note tell of: `Salt joined the hill mob.`, `Put hill and low together.` (V5)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

from flockbook.records.event import Event
from flockbook.records.health import Treatment
from flockbook.records.places import Drafting, Move
from flockbook.records.sheep import RAM
from flockbook.whom.glance import Glance
from flockbook.whom.known import Known
from flockbook.whom.lexicon import CLASS, MOB, SHEEP, tokens
from flockbook.whom.pieces import Piece, taken_apart
from flockbook.whom.whereabouts import Stay, Window, class_of, is_young, present, stays

MOVED = re.compile(
    r"\b(?:put|moved?|drafted|turned|ran|run|sorted|got|went|gone|back|in|up|out|shifted|taken|brought|added|let)"
    r" (?:\w+ ){0,3}?(?:in |up |out |back )?(?:with|to|into|onto|on|among|in)\b"
    r"|\b(?:running|runs|out) with\b|\bjoined\b|\b(?:to|into) (?:the |our )?\w+|\bwent (?:too|along|as well)\b",
    re.I,
)
IN_WITH = re.compile(  # a whole mob that stands with another
    r"\b(?:in|is|are|was|were|now|run|runs|ran|all|been|stayed|grazing|back|broke|got|out|up) with\b|\bto join\b", re.I
)
TOGETHER = re.compile(r"\b(?:together|joined|mixed|merged|boxed|one mob|one field|one lot|all one)\b", re.I)
PENNED = re.compile(r"\b(?:gathered|penned|brought in|yarded)\b", re.I)  # for some days' work
AT_WORK_DAYS = timedelta(days=7)  # for which mobs that were gathered together may stand together (our own choice)
ALL_OF_THEM = re.compile(
    r"\ball (?:now )?one mob\b|\ball (?:the )?(?:sheep|mobs) (?:are )?(?:in one|together|one)\b"
    r"|\beverything (?:\w+ )?together\b",
    re.I,
)
THE_RAM = re.compile(r"\b(?:ram|tup|buck)s?(?:['’]s)? (?:in|out|got|is|was|went|put|turned)\b", re.I)
SUCKS = re.compile(
    r"\b(?:suck(?:s|ing|ed)?|foster\w*|grafted|now on|set on|twinned on|on to|onto|mothered|adopted|took to)\b", re.I
)

COULD_MOVE = Glance(SUCKS, TOGETHER, MOVED, THE_RAM, IN_WITH, PENNED)
NAMES_NO_MOB = Glance(SUCKS, TOGETHER, PENNED)  # words that tell of a stay though they may name no mob
SAYS_MOVED = Glance(MOVED, IN_WITH)


def told_in_words(known: Known, event: Event) -> Iterator[tuple[str, Stay]]:
    """A sentence of any note that tells of a sheep going to a mob: she may be in it from that day on."""
    for text in moving_texts(event) if event.date else ():
        if not COULD_MOVE(text):
            continue
        moved = SAYS_MOVED(text)
        telling = NAMES_NO_MOB(text) or (moved and may_name_a_mob(known, event, text))
        pieces = taken_apart(text, known.lexicon) if telling else []
        mobs = [bearer.name for piece in pieces for bearer in piece.bearers if bearer.sort == MOB]
        sheep = [bearer.name for piece in pieces if piece.proper for bearer in piece.bearers if bearer.sort == SHEEP]
        if len(set(sheep)) == 1 and SUCKS.search(text):
            sheep += known.flock.who(event)  # `Now on Teasel.` of a lamb
        if len(set(sheep)) > 1 and SUCKS.search(text):
            young = [one for one in sheep if is_young(known.animal(one), event.date or date.max)]
            yield from stays(young, "", event.date or date.min)
        if not mobs and sheep and isinstance(event, Move | Drafting):
            keys = (known.lexicon.mob_key(mob or "") for mob in (event.mob, getattr(event, "to", None)))
            mobs = [key for key in keys if key]
        if TOGETHER.search(text) and not sheep and event.date and (len(set(mobs)) > 1 or ALL_OF_THEM.search(text)):
            yield from put_together(known, mobs or list(known.lexicon.mobs), event.date)
        if not sheep and moved and event.date and len(set(mobs)) > 1:
            yield from put_together(known, mobs, event.date)
        if PENNED.search(text) and event.date and len(set(mobs)) > 1:
            yield from put_together(known, mobs, event.date, event.date + AT_WORK_DAYS)
        if not sheep and len(set(mobs)) == 1:
            sheep = of_classes(known, pieces, event.date or date.max)
        if not sheep and THE_RAM.search(text):
            sheep = [one.id for one in known.flock.animals.values() if one.sex == RAM]
        for mob in dict.fromkeys(mobs) if moved else ():
            yield from stays(sheep or known.flock.who(event), mob, event.date or date.min)


def of_classes(known: Known, pieces: list[Piece], day: date) -> list[str]:
    """The sheep of the classes that a sentence names: `Rams put with hill.`"""
    words = [
        bearer.name for piece in pieces for bearer in piece.bearers if bearer.sort == CLASS and bearer.name != "all"
    ]
    window = Window(day, day)
    animals = [one for one in known.flock.animals.values() if present(one, window)]
    return [one.id for word in words for one in animals if class_of(one, word, window) is not False]


def may_name_a_mob(known: Known, event: Event, text: str) -> bool:
    """A quick look: whether the words of some mob's name all stand in a text, or the note is about one."""
    if isinstance(event, Move | Drafting):
        return True
    words = set(tokens(text))
    return any(words.issuperset(key) for key in known.mob_words)


def put_together(known: Known, mobs: list[str], day: date, last: date = date.max) -> Iterator[tuple[str, Stay]]:
    """`Put hill and low together.`: whoever is in one may be in the other."""
    for mob in dict.fromkeys(mobs):
        ids = [one.id for one in known.flock.animals.values() if " ".join(tokens(one.mob_on(day) or "")) in mobs]
        yield from ((mob, Stay(sheep, day, last, False)) for sheep in ids)


def moving_texts(event: Event) -> Iterator[str]:
    """The words of a note that may tell of a move: its lines, what became data included, and its text fields."""
    yield from (cell.text for cell in event.origin.rest)
    if not isinstance(event, Treatment):
        yield from (cell.text for cell in event.origin.data)
        yield from (value for name in ("did", "what") if isinstance(value := getattr(event, name, None), str))
