"""Sheep that a line calls lame (`602 41 lame`, `Cora bcs 3, lame near fore`) and of which no later note says sound."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from compiler.book import Moment
from compiler.nearness import clipped
from compiler.shape import Value
from flockbook.derive.health.cases import Cases
from flockbook.flock import Animal, Flock, happened, there
from flockbook.records.growth import Weighing
from flockbook.records.handling import Check
from flockbook.records.rearing import Weaning
from flockbook.records.remarks import Remark
from flockbook.records.trade import Purchase

WALKS_LAME = re.compile(r"\blame|\blimp|\bfoot ?rot\b|\bscald\b|\bhoof|\bjoint ill\b", re.I)
IS_LAME = re.compile(
    r"\blame(?:ness)?\b|\blimp(?:s|ing|y)?\b|\bhopping\b|\bthree legs\b|\bnot bearing\b|\bfoot ?rot\b|\bscald(?:ed)?\b",
    re.I,
)
NOT_NOW = re.compile(
    r"\b(?:not?|no longer|never|isn't|wasn't|was|were|had been|if|without|nor) (?:\w+ ){0,2}(?:lame|limp)|"
    r"\blame(?:ness)?\W*(?:score )?0\b|\blame(?:ness)? (?:gone|over|cured)\b|\bno foot ?rot\b",
    re.I,
)
IS_SOUND = re.compile(
    r"\bsound(?:ly)?\b|(?<!no )(?<!not )(?<!not any )\bbetter\b|\brecovered\b|\bhealed\b|\bmended\b|\bno longer lame\b|"
    r"\bnot lame\b|\bno lameness\b|\blame(?:ness)?\W*(?:score )?0\b|\blame(?:ness)? (?:gone|over|cured)\b|"
    r"\bwalk(?:s|ing) (?:well|fine|right)\b",
    re.I,
)
FEET_RIGHT = re.compile(r"\b(?:ok|good|sound|normal|fine|clean|right)\b", re.I)
CLAUSES = re.compile(r"[.,;:!\n]+")
MOST_WORDS = 6  # a clause of prose with more words tells a story (our own choice)
LAME_DAYS = 365  # so long a line stands open (our own choice)


class LameLine(Value):
    """A sheep that was called lame: the words, their note, its line, and the day (None: in its own undated note)."""

    sheep: str
    words: str
    note: str
    line: int | None
    day: date | None


class Saying(Value):
    """A few words on one sheep, in a note of a day."""

    text: str
    note: str
    line: int | None
    day: date | None


def lame_lines(flock: Flock, cases: Cases, today: Moment) -> tuple[LameLine, ...]:
    """The sheep called lame and not yet called sound, the last called first."""
    here = (animal for animal in flock.animals.values() if there(animal, today))
    kept = [item for animal in here for item in still_lame(flock, animal, today) if not has_case(cases, item)]
    return tuple(sorted(kept, key=lambda item: (item.day or date.min, item.sheep), reverse=True))


def still_lame(flock: Flock, animal: Animal, today: Moment) -> Iterator[LameLine]:
    """The last words that call one sheep lame, if none after them calls it sound."""
    last: Saying | None = None
    for said in sayings(flock, animal, today):
        if IS_SOUND.search(said.text):
            last = None
        elif IS_LAME.search(said.text) and not NOT_NOW.search(said.text):
            last = said
    if last and (last.day is None or today.day - last.day <= timedelta(days=LAME_DAYS)):
        yield LameLine(animal.id, clipped(last.text), last.note, last.line, last.day)


def has_case(cases: Cases, item: LameLine) -> bool:
    """Whether an illness note of lameness, of that day or later or still open, takes the place of a line."""
    return any(
        WALKS_LAME.search(case.problem) and (case.end is None or item.day is None or case.end >= item.day)
        for case in cases.by_sheep.get(item.sheep, ())
    )


def sayings(flock: Flock, animal: Animal, today: Moment) -> Iterator[Saying]:
    """What is said of one sheep, in order of time: its own note first, which has no day."""
    if animal.note:
        yield from prose(animal.note.origin.written, animal.note.origin.path, None)
    for event in flock.by_animal.get(animal.id, ()):
        if not happened(event, today):
            continue
        if isinstance(event, Check | Weighing | Weaning | Purchase):
            yield from of_lines(flock, event, animal.id)
        if isinstance(event, Remark | Check | Purchase) and len(flock.who(event)) == 1:
            yield from prose(event.origin.written, event.origin.path, event.date)


def of_lines(flock: Flock, event: Check | Weighing | Weaning | Purchase, sheep: str) -> Iterator[Saying]:
    """The remarks of its lines in one note; feet that a check found right are sound."""
    for line in flock.own_lines.get((event.origin.path, sheep), ()):
        feet = getattr(line, "feet", None) or ""
        told = [*parts_said(line.remark), *(["sound"] if FEET_RIGHT.search(feet) else [feet])]
        yield from (Saying(text, event.origin.path, line.span.line, event.date) for text in told if text)


def prose(text: str, note: str, day: date | None) -> Iterator[Saying]:
    """The short clauses of a note's own words."""
    yield from (Saying(part, note, None, day) for part in parts_said(text) if len(part.split()) <= MOST_WORDS)


def parts_said(text: str) -> Iterable[str]:
    """The parts of a text between points and commas."""
    return (part.strip(" -*") for part in CLAUSES.split(text) if part.strip(" -*"))
