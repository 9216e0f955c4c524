"""What a check found on a sheep that cannot wait, and that nothing was written after: pale eyelids, a swollen jaw, a
temperature outside the published range.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.health.cases import OutsideRange, outside_range
from flockbook.derive.health.worms import PALE, Score, is_drench
from flockbook.derive.lambing.newborns import FIRST_DAYS
from flockbook.flock import Animal, Flock, happened, there
from flockbook.records.check_line import CheckLine
from flockbook.records.event import Event
from flockbook.records.health import Illness, Treatment
from flockbook.records.remarks import Remark

# So long a pale eyelid and a temperature stand open where nothing is written after (our own choice).
PALE_DAYS, HOT_DAYS = timedelta(days=365), timedelta(days=28)


class OpenFinding(Value):
    """What a check found on one sheep: its `eyelid` where that is pale, whether the `jaw` is swollen, the temperature
    in °C where it is outside the range; `line` is all that was written of it.
    """

    sheep: str
    day: date
    note: str
    line: CheckLine
    eyelid: int | None = None
    jaw: bool = False
    celsius: float | None = None


def outside_for(animal: Animal, day: date, celsius: float | None) -> OutsideRange | None:
    """A temperature outside the range of grown sheep, of one sheep on a day: a lamb in its first days is held against
    the table for lambs.
    """
    born = animal.birthday
    return None if born and day - born <= FIRST_DAYS else outside_range(celsius)


def open_findings(flock: Flock, scores: Mapping[str, Sequence[Score]], today: Moment) -> tuple[OpenFinding, ...]:
    """The last such findings on every sheep that is here."""
    here = [(sheep, found) for sheep, found in scores.items() if there(flock.animals[sheep], today)]
    return tuple(item for sheep, found in here for item in (*pale(flock, found, today), *hot(flock, found, today)))


def pale(flock: Flock, scores: Sequence[Score], today: Moment) -> Iterator[OpenFinding]:
    """The last look at eyelid or jaw, where it was bad and neither a drench nor a remark followed."""
    last = next((one for one in reversed(scores) if one.line.eyelid is not None or "jaw" in one.line.signs), None)
    if last is None or today.day - last.date > PALE_DAYS:
        return
    eyelid, jaw = last.line.eyelid, "jaw" in last.line.signs
    shown = eyelid if (eyelid or 0) >= PALE else None
    answered = any(is_worm_answer(flock, note) for note in notes_since(flock, last, today))
    if (jaw or shown) and not answered:
        yield OpenFinding(last.sheep, last.date, last.note, last.line, shown, jaw)


def hot(flock: Flock, scores: Sequence[Score], today: Moment) -> Iterator[OpenFinding]:
    """The last temperature, where it was outside the range and no illness, treatment or remark followed."""
    last = next((one for one in reversed(scores) if one.line.temperature), None)
    if last is None or last.line.temperature is None or today.day - last.date > HOT_DAYS:
        return
    celsius = last.line.temperature.celsius
    answered = any(isinstance(note, Illness | Treatment | Remark) for note in notes_since(flock, last, today))
    if outside_for(flock.animals[last.sheep], last.date, celsius) and not answered:
        yield OpenFinding(last.sheep, last.date, last.note, last.line, celsius=celsius)


def notes_since(flock: Flock, score: Score, today: Moment) -> Iterator[Event]:
    """The notes on a sheep from the day of a finding on."""
    notes = flock.by_animal.get(score.sheep, ())
    return (note for note in notes if note.date and note.date >= score.date and happened(note, today))


def is_worm_answer(flock: Flock, note: Event) -> bool:
    """Whether a note answers a pale eyelid: a drench, or a remark."""
    return isinstance(note, Remark) or (isinstance(note, Treatment) and is_drench(flock, note))
