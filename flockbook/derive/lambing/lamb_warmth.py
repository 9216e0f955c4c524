"""How warm a newborn lamb was when last measured, by whatever note tells it, and lambs called cold without a figure."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime, time

from compiler.amounts import Temperature
from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.lambing.newborn import Advice, LambState, chilled_lamb
from flockbook.flock import Animal, Flock, happened
from flockbook.records.event import Event
from flockbook.records.handling import Check
from flockbook.records.health import Illness
from flockbook.records.rearing import Feeding
from flockbook.records.remarks import Remark

# Words by which a newborn lamb that may be cold is spoken of (common practice, no source).
CALLED_COLD = re.compile(
    r"(?<!not )(?<!no longer )\b(?:weak(?:ly)?|cold|flat|chill(?:ed|y)?|hypotherm\w*|floppy|limp|starved|"
    r"will not stand|won't stand|can ?not stand)\b",
    re.I,
)

COLD_ON_LINE = re.compile(r"(?<!not )\b(?:cold|flat|chill(?:ed|y)?|hypotherm\w*|floppy|limp)\b", re.I)
# Words by which a note says that a lamb cannot hold its head up, and that it can (common practice, no source).
ITS_HEAD = r"(?:up )?(?:its|his|her|the|their|a) heads?\b"
LIES_LIMP = r"(?:limp|floppy|unconscious|comatose|lifeless|collapsed)\b"
LIES_LOW = re.compile(
    rf"(?<!not )(?<!no longer )\b{LIES_LIMP}|\b(?:lying|lies|flat) (?:flat|out)\b|\bin a coma\b|"
    r"\b(?:not|cannot|can't|couldn't|won't|doesn't|didn't|unable to|never|no longer) (?:even )?"
    rf"(?:hold|lift|rais|keep|carry)(?:s|es?|ing)? {ITS_HEAD}|"
    r"\bheads? (?:(?:is|was) (?:down|back)|(?:is |was )?(?:hang|loll|fall)(?:s|ing)|dropped)\b",
    re.I,
)
HOLDS_UP = re.compile(
    rf"\b(?:hold|lift|rais|keep)(?:s|es|ing) {ITS_HEAD}|\bhead (?:is )?up\b|\b(?:not|no longer) {LIES_LIMP}", re.I
)


class Warmth(Value):
    """The last temperature written of a lamb, in °C, when, and the published advice for it (None: no living lamb's).
    `head_up`: whether it holds its head up, None where no note says so; then the advice is for one that does.
    """

    celsius: float
    at: datetime | None
    advice: Advice | None
    head_up: bool | None = None

    @property
    def amiss(self) -> bool:
        """Whether it is not as warm as it should be, too warm, or cannot hold its head up."""
        return self.advice is not None and (self.advice.state is not LambState.NORMAL or not self.advice.head_up)


class CalledCold(Value):
    """That a note calls a lamb weak or cold, in its word, and no temperature was written since."""

    word: str
    day: date
    at: time | None
    note: str


def warmth(flock: Flock, lamb: Animal, born: datetime | None, today: Moment) -> Warmth | None:
    """The last temperature in any note on a lamb, with the advice for its age now: what was written hours ago is
    done by the lamb as it is. Without an hour asked about it is its age when measured; without its hour, or that of the
    birth, the lamb counts as the older one. One that cannot hold its head up, by the words of a note, is never tubed.
    """
    found: tuple[float, datetime | None] | None = warmth_at_birth(lamb, born)
    for note in notes_on(flock, lamb, today):
        typed = measured(flock, note, lamb.id)
        if typed:
            found = (typed.celsius, datetime.combine(note.date, note.time) if note.date and note.time else None)
    if found is None:
        return None
    celsius, at = found
    now = today.at if today.timed and at else at
    head_up = holds_its_head(flock, lamb, today)
    advice = chilled_lamb(celsius, now - born if now and born else None, head_up is not False)
    return Warmth(celsius, at, advice, head_up)


def holds_its_head(flock: Flock, lamb: Animal, today: Moment) -> bool | None:
    """Whether a lamb holds its head up, by the last words on it; in one note the worse counts."""
    said = [lamb.birth.line.remark] if lamb.birth else []
    said += [words_on(flock, note, lamb.id) for note in notes_on(flock, lamb, today)]
    for words in reversed(said):
        if LIES_LOW.search(words):
            return False
        if HOLDS_UP.search(words):
            return True
    return None


def warmth_at_birth(lamb: Animal, born: datetime | None) -> tuple[float, datetime | None] | None:
    """The temperature on a lamb's own line of its birth."""
    typed = lamb.birth.line.temperature if lamb.birth else None
    return (typed.celsius, born) if typed else None


def notes_on(flock: Flock, lamb: Animal, today: Moment) -> Iterator[Event]:
    """The notes on a lamb up to the moment asked about, in order of time."""
    return (note for note in flock.by_animal.get(lamb.id, ()) if happened(note, today))


def measured(flock: Flock, note: Event, lamb: str) -> Temperature | None:
    """The temperature that a note gives of a lamb."""
    if isinstance(note, Feeding | Illness):
        return note.temp
    lines = note.lines if isinstance(note, Check) else ()
    found = [line.temperature for line in lines if line.temperature and flock.named(note, line.sheep) == lamb]
    return found[-1] if found else None


def called_cold(flock: Flock, lamb: Animal, today: Moment) -> CalledCold | None:
    """The last note that calls a lamb weak or cold, unless its temperature was written with it or since."""
    found = cold_at_birth(lamb)
    for note in notes_on(flock, lamb, today):
        word = CALLED_COLD.search(words_on(flock, note, lamb.id))
        if measured(flock, note, lamb.id) or (isinstance(note, Illness) and note.recovered):
            found = None
        elif word and note.date:
            found = CalledCold(word[0].lower(), note.date, note.time, note.origin.path)
    return found


def cold_at_birth(lamb: Animal) -> CalledCold | None:
    """That the lamb's own line of its birth calls it cold, without its temperature; `weak` has its own place there."""
    birth = lamb.birth
    word = COLD_ON_LINE.search(birth.line.remark) if birth and birth.line.alive and not birth.line.temperature else None
    if birth is None or word is None or birth.note.date is None:
        return None
    return CalledCold(word[0].lower(), birth.note.date, birth.note.time, birth.note.origin.path)


def words_on(flock: Flock, note: Event, lamb: str) -> str:
    """What a note on a lamb says of it in words."""
    if isinstance(note, Illness):
        return f"{note.problem or ''} {note.signs or ''} {note.origin.written}"
    if isinstance(note, Check):
        return " ".join(line.remark for line in note.lines if flock.named(note, line.sheep) == lamb)
    return note.origin.written if isinstance(note, Remark | Feeding) and flock.who(note) == (lamb,) else ""
