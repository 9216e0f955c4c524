"""Lambs that may be at any foot: a fostering, or a foster mother, that was not understood (V5)."""

from __future__ import annotations

import re
from datetime import date, timedelta

from compiler.collection import Hole
from flockbook.records.breeding import Lambing
from flockbook.records.rearing import Foster
from flockbook.whom.holes import judge_hole
from flockbook.whom.known import Known
from flockbook.whom.lexicon import sheep_of
from flockbook.whom.pieces import taken_apart
from flockbook.whom.whereabouts import SUCK, SUCKING_DAYS, MobStay, Stay, is_young


def by_foster(known: Known, event: Foster) -> MobStay:
    """A fostering of which the lamb, or the ewe, was not found: the lamb may be at any foot."""
    found = known.flock.subjects.get(event.origin.path)
    lambs = found.ids if found else ()
    ewe = known.flock.named(event, event.onto) if event.onto else None
    if (ewe is not None or event.pet) and lambs:
        return
    young = [animal.id for animal in known.flock.animals.values() if event.date and is_young(animal, event.date)]
    for lamb in lambs or young:
        born = known.animal(lamb).born
        last = (born.latest if born else event.date or date.max) + timedelta(days=SUCKING_DAYS)
        yield "", Stay(lamb, event.date or date.min, last, False)


GIVEN_AWAY = re.compile(r"\bfost\w*|\badopt\w*|\bmothered|\bgiven\b|\b(?:set|put|moved|on) (?:on|to)\b|\bonto\b", re.I)


def by_litter(known: Known, event: Lambing) -> MobStay:
    """A lamb line that speaks of a foster mother who was not found: the lamb may be at any foot."""
    for lamb in known.flock.litters.get(event.origin.path, ()):
        line = lamb.birth.line if lamb.birth else None
        if line is None or lamb.born is None or any(item.note is event for item in lamb.nursings):
            continue
        pieces = taken_apart(line.remark, known.lexicon)
        others = [one for piece in pieces if piece.proper for one in sheep_of(piece.bearers)]
        ewe = any(one not in (lamb.id, lamb.dam) and known.animal(one).sex == "ewe" for one in others)
        if line.fostered_to or ewe or GIVEN_AWAY.search(line.remark):
            yield "", Stay(lamb.id, lamb.born.earliest, lamb.born.latest + SUCK, False)


def by_foster_hole(known: Known, hole: Hole) -> MobStay:
    """A fostering that cannot be read: the lamb that it surely names, else every lamb of those days, may be at any
    foot.
    """
    named_whole = judge_hole(known, hole, {})
    day = named_whole.date
    young = [animal.id for animal in known.flock.animals.values() if day is None or is_young(animal, day)]
    lambs = [sheep for sheep in named_whole.doubtful if sheep in young]
    for lamb in lambs if lambs and not named_whole.everybody else young:
        born = known.animal(lamb).born
        yield "", Stay(lamb, day or date.min, (born.latest if born else date.max - SUCK) + SUCK, False)
