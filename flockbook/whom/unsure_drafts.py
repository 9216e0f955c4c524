"""Drafts that are not sure: dated ahead or back, with names that were not found, or that name nobody (V5)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date

from compiler.schema import Cell, Record
from flockbook.records.event import Event
from flockbook.records.places import Drafting
from flockbook.whom.days import days_told
from flockbook.whom.holes import those_meant
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known
from flockbook.whom.late_comers import of_month
from flockbook.whom.lexicon import MOB, sheep_of, tokens
from flockbook.whom.line_reading import named, read_line
from flockbook.whom.line_words import AND_MORE
from flockbook.whom.pieces import FIGURE, WORD, taken_apart
from flockbook.whom.reader import is_dash
from flockbook.whom.whereabouts import ALWAYS, Stay, mob_keys, stays

FOR_A_WHILE = re.compile(
    r"\bfor (?:a|the|\d+|two|three|a few) (?:weeks?|days?|night|fortnight)\b|\b(?:until|till)\b", re.I
)

UNDONE = re.compile(  # a draft that was not made, or not on its day
    r"\b(?:not|never|didn['’]?t|wasn['’]?t|after|before|really|actually|instead|to do|to be|will|tomorrow|next day"
    r"|later|wrong|cancel\w*|stayed|back|meant|plan\w*|when)\b",
    re.I,
)


def by_draft(known: Known, event: Drafting) -> Iterator[tuple[str, Stay]]:
    """A draft dated ahead, one with names that were not found, one that names nobody, and one into a mob that nothing
    else knows.
    """
    found = known.flock.subjects.get(event.origin.path)
    ids = found.ids if found else ()
    since = event.date if event.date is not None and event.date <= known.clock else date.min
    intos = [event.into] if event.into else mobs_beside(known, event) or [""]
    if since == date.min or not event.into:
        yield from (stay for into in intos for stay in stays(ids, into, since))
    elif known.lexicon.declared and not known_mob(known, event):
        yield from stays(ids, "", since)
    for into in (*intos, *mobs_in(known, behind_a_hash(event))):
        yield from by_days_told(known, event, [*ids, *lost_of(known, event)], into)
    lost = lost_of(known, event)
    typed = len(ids) + (len(found.unresolved) if found else 0)
    fields = (*event.origin.unread.values(), *event.origin.typed.values())
    beside = [sheep for text in fields for sheep in meant_by_text(known, text)]
    beside += [sheep for cell in event.origin.rest for sheep in named_on(known, cell)]
    if found is None or not (ids or lost or beside) or event.count not in (None, len(ids), typed, len({*ids, *beside})):
        lost = list(known.flock.animals)
    moved = [*lost, *(sheep for sheep in beside if sheep not in ids)]
    for mob in intos if any(intos) or not lost else known.lexicon.mobs:  # nothing says who, nor where to
        yield from stays(moved, mob, since)
    for mob in mobs_in(known, behind_a_hash(event)):
        yield from stays([*ids, *moved], mob, since)
    if not is_stood_in(known, event):
        for mob in mobs_told(known, event):
            yield from stays([*ids, *moved], mob, since)


def is_stood_in(known: Known, event: Drafting) -> bool:
    """Whether the mob of a draft is one that sheep have as theirs, or that another note speaks of."""
    key = " ".join(tokens(event.into or ""))
    own = (animal.note.mob for animal in known.flock.animals.values() if animal.note and animal.note.mob)
    return known_mob(known, event) or any(" ".join(tokens(mob)) == key for mob in own)


def mobs_told(known: Known, event: Drafting) -> list[str]:
    """The mobs that the lines of a draft and the name of its file name, whatever was taken for its mob."""
    texts = [event.subject or "", event.origin.path.rpartition("/")[2], *(cell.text for cell in event.origin.rest)]
    words = (word for text in texts for word in tokens(text))
    keys = (known.lexicon.mob_key(word) for word in words)
    pieces = (piece for text in texts for piece in taken_apart(text, known.lexicon))
    named_ones = (bearer.name for piece in pieces for bearer in piece.bearers if bearer.sort == MOB)
    return list(dict.fromkeys(one for one in (*keys, *named_ones) if one))


def by_days_told(known: Known, event: Drafting, ids: list[str], into: str) -> Iterator[tuple[str, Stay]]:
    """A draft whose words or unread fields name an earlier day, or an end: from then on, or after it, she may be in
    either place.
    """
    texts = [*event.origin.unread.values(), *(cell.text for cell in event.origin.rest)]
    day = event.date or date.max
    told = [one for text in texts for one in (*days_told(text, day.year), *of_month(text, day)) if one < day]
    for one in told:
        yield from stays(ids, into, one)
    if any(UNDONE.search(text) for text in texts):
        yield from may_have_stayed(known, ids, event)
    if "until" in event.origin.unread or any(FOR_A_WHILE.search(text) for text in texts):
        yield from (stay for mob in known.lexicon.mobs for stay in stays(ids, mob, day))


def lost_of(known: Known, event: Event) -> list[str]:
    """Whoever the names of a note can mean that were not found: all that they fit, else everybody."""
    found = known.flock.subjects.get(event.origin.path)
    lost: list[str] = []
    for mention in found.unresolved if found else ():
        pieces = taken_apart(mention.text, known.lexicon)
        whole = not any(piece.sort in (WORD, FIGURE) and not piece.bearers for piece in pieces)
        lost += (meant_by_text(known, mention.text) if whole else []) or known.flock.animals
    return lost


def named_on(known: Known, cell: Cell) -> list[str]:
    """Whom a line below the head of a draft means: everybody of a list, in prose only sheep by name (`up with the old
    ewes` moves no ewe).
    """
    read = read_line(cell.text, known.lexicon, is_dash(cell))
    if read.data and (read.unknown or AND_MORE.search(cell.text)):
        return list(known.flock.animals)
    if read.data:
        return meant_by_text(known, cell.text)
    pieces = taken_apart(cell.text, known.lexicon)
    return [sheep for piece in pieces if piece.proper for sheep in sheep_of(piece.bearers)]


def may_have_stayed(known: Known, ids: Iterable[str], moved: Event) -> Iterator[tuple[str, Stay]]:
    """These may be from the day of a note on where they stood before it."""
    day = moved.date or date.min
    for sheep in ids:
        others = [one for one in known.animal(sheep).mobs if one.note != moved.origin.path]
        before = [one.mob for one in others if one.since is None or one.since <= day]
        for mob in mob_keys(before[-1], known.lexicon) if before else ():
            yield mob, Stay(sheep, day, date.max, False)


def known_mob(known: Known, event: Drafting) -> bool:
    """Whether the mob of a draft is declared, or some other note speaks of it."""
    key = " ".join(tokens(event.into or ""))
    return key in known.lexicon.declared or known.mobs_named[key] > 1


def mobs_beside(known: Known, event: Event) -> list[str]:
    """The mobs that a note names elsewhere than under `into`: in `mob`, `place`, a field that it does not know, words
    lost behind a `#`, or its file name. One of them is where its sheep came from, and one where they went.
    """
    texts = [event.mob or "", event.place or "", *event.origin.unread.values(), *event.origin.typed.values()]
    texts += [*behind_a_hash(event), event.subject or ""]
    return list(dict.fromkeys([*mobs_in(known, texts), *(text for text in texts if known.lexicon.mob_key(text))]))


def mobs_in(known: Known, texts: Iterable[str]) -> list[str]:
    """The mobs that some texts name, each as it is written."""
    return list(dict.fromkeys(
        bearer.name for text in texts for piece in taken_apart(text, known.lexicon) for bearer in piece.bearers
        if bearer.sort == MOB
    ))  # fmt: skip


def behind_a_hash(note: Record) -> list[str]:
    """What stands behind a `#` in the head of a note, where it is lost as a comment."""
    return [cell.text for cell in note.origin.rest if cell.sort == "comment"]


def meant_by_text(known: Known, text: str) -> list[str]:
    """Everybody that a text can mean on whatever day, by the finished lexicon."""
    verdict, pieces = Verdict(known, "", ALWAYS), taken_apart(text, known.lexicon)
    return [sheep for piece in pieces if named(piece) for sheep in those_meant(verdict, piece)]
