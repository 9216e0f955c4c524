"""The holding's register: how many sheep on any day, how they came and went, who died, and how long to keep the paper.

The roll of a day is taken at its start: a sheep that came the day before is on it, one that left that day still is. A
span of days balances when opening + born + bought − sold − dead = closing, each counted on its own.

* Lambs born dead never stand on the roll: they are neither born nor dead here, and are counted apart.
* A sheep with a note of its own, no lambing note and no day of purchase is a founder: the register opens with it. Only
  one that was born after the first dated note cannot be, and counts as born here on the first day that its note allows.
* A hired ram never belongs to the flock: he stands outside the sums, his coming and going among the movements.
* A sheep written as gone before it came is taken to have left on the day it came.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from compiler.book import Moment
from compiler.schema import Record
from compiler.shape import Value, field
from flockbook.derive.medicine.medicine_register import kept_until
from flockbook.derive.plain.days import DAY
from flockbook.flock import Animal, Flock, happened
from flockbook.records.breeding import Hire
from flockbook.records.event import Event
from flockbook.records.health import Death
from flockbook.records.sheep import Sheep
from flockbook.records.trade import Purchase, Sale
from flockbook.settings import Settings

BORN_HERE, BOUGHT, FOUNDER, HIRED = "born", "bought", "founder", "hired"
SOLD, DEAD = "sold", "dead"
BORN_DEAD = "born dead"


class RollTime(Value):
    """A sheep's time on the roll: came on `entered` (None: before the book begins), left on `left` (None: is here)."""

    sheep: str
    entered: date | None
    how_in: str
    left: date | None = None
    how_out: str = ""
    left_by: Record | None = None

    def on_roll(self, day: date) -> bool:
        """Whether it was here at the start of a day."""
        return (self.entered is None or self.entered < day) and (self.left is None or self.left >= day)


class Balance(Value):
    """The sums of a span of days, first and last day included. `born_dead` lambs stand outside the sums."""

    first: date
    last: date
    opening: int
    born: int
    bought: int
    sold: int
    dead: int
    closing: int
    born_dead: int = 0

    @property
    def balances(self) -> bool:
        """Whether the sums come out."""
        return self.opening + self.born + self.bought - self.sold - self.dead == self.closing


class RegisterMovement(Value):
    """Sheep that came onto the holding or left it alive on one day, by one note.

    `keep_until` is None while any of them is here; `hired`: they only stand or stood here.
    """

    day: date
    onto: bool
    sheep: tuple[str, ...]
    head: int
    party: str
    document: str
    note: Record
    keep_until: date | None
    hired: bool = False
    holding: str = ""
    haulier: str = ""
    vehicle: str = ""


class DeathEntry(Value):
    """One death as its note tells it; "" for what is not written."""

    day: date
    sheep: str
    cause: str
    found: str
    disposal: str
    post_mortem: str
    note: Record
    keep_until: date | None


class FlockRegister(Value):
    """The whole register on the day asked about: `until` is the last day that it holds whole."""

    standings: tuple[RollTime, ...] = ()
    born_dead: Mapping[str, date] = field(default_factory=dict)
    until: date = date.min
    years: tuple[Balance, ...] = ()
    movements: tuple[RegisterMovement, ...] = ()
    deaths: tuple[DeathEntry, ...] = ()
    keep_years: float = 0
    guests: tuple[RollTime, ...] = ()

    @property
    def founders(self) -> tuple[str, ...]:
        """The sheep that the register opens with."""
        return tuple(item.sheep for item in self.standings if item.how_in == FOUNDER)

    def roll(self, day: date) -> tuple[str, ...]:
        """The sheep on the roll at the start of a day."""
        return tuple(item.sheep for item in self.standings if item.on_roll(day))

    def span(self, first: date, last: date) -> Balance:
        """The balance of a span of days, both included."""
        came = [item for item in self.standings if item.entered is not None and first <= item.entered <= last]
        went = [item for item in self.standings if item.left is not None and first <= item.left <= last]
        return Balance(
            first, last, len(self.roll(first)),
            sum(item.how_in == BORN_HERE for item in came), sum(item.how_in == BOUGHT for item in came),
            sum(item.how_out == SOLD for item in went), sum(item.how_out == DEAD for item in went),
            len(self.roll(last + DAY)), sum(first <= day <= last for day in self.born_dead.values()),
        )  # fmt: skip


def flock_register(flock: Flock, settings: Settings, today: Moment) -> FlockRegister:
    """The register up to the moment asked about."""
    years = settings.figure("records_kept")
    opens = min((event.date for event in flock.events if event.date and event.date <= today.day), default=today.day)
    every = tuple(found for animal in flock.animals.values() if (found := roll_time(animal, opens, today)))
    standings = tuple(item for item in every if item.how_in != HIRED)
    guests = tuple(item for item in every if item.how_in == HIRED)
    dead_born = {
        animal.id: animal.left.date
        for animal in flock.animals.values()
        if animal.left and animal.left.how == BORN_DEAD and passed(animal.left.note, animal.left.date, today)
    }
    until = today.day if today.timed else today.day - DAY
    bare = FlockRegister(standings, dead_born, until)
    return FlockRegister(
        standings, dead_born, until, tuple(calendar_years(flock, bare)),
        roll_movements(flock, every, years, today), deaths(every, years), years, guests,
    )  # fmt: skip


# On and off the roll


def roll_time(animal: Animal, opens: date, today: Moment) -> RollTime | None:
    """One sheep's time on the roll; None for a lamb born dead and for one that has not come yet."""
    left = animal.left if animal.left and passed(animal.left.note, animal.left.date, today) else None
    entered, how = roll_entry(animal, opens)
    if animal.left and animal.left.how == BORN_DEAD:
        return None
    if entered is not None and not passed(animal.birth.note if animal.birth else None, entered, today):
        return None
    if left is None:
        return RollTime(animal.id, entered, how)
    gone = left.date if entered is None else max(left.date, entered)
    return RollTime(animal.id, entered, how, gone, DEAD if left.dead else SOLD, left.note)


def roll_entry(animal: Animal, opens: date) -> tuple[date | None, str]:
    """The day a sheep came, and how; a founder was here on the day on which the register opens."""
    if animal.lent or animal.bought_on:
        return (animal.arrived, HIRED) if animal.lent else (animal.bought_on, BOUGHT)
    if animal.arrived:
        return animal.arrived, BOUGHT
    if animal.born and (animal.birth or animal.born.earliest > opens):
        return animal.born.earliest, BORN_HERE
    return None, FOUNDER


def passed(note: Record | None, day: date, today: Moment) -> bool:
    """Whether something dated lies before the moment asked about."""
    if isinstance(note, Event) and note.date == day:
        return happened(note, today)
    return day < today.day or (today.timed and day == today.day)


def calendar_years(flock: Flock, register: FlockRegister) -> Iterable[Balance]:
    """One balance for each calendar year from the first dated note on; the last one ends with `until`."""
    first = min((event.date for event in flock.events if event.date and event.date <= register.until), default=None)
    for year in range(first.year, register.until.year + 1) if first else ():
        yield register.span(date(year, 1, 1), min(date(year, 12, 31), register.until))


# Movements and deaths


def roll_movements(
    flock: Flock, standings: tuple[RollTime, ...], years: float, today: Moment
) -> tuple[RegisterMovement, ...]:
    """Every movement onto and off the holding, in order of time."""
    by_sheep = {item.sheep: item for item in standings}
    found: list[RegisterMovement] = []
    for event in flock.events:
        if isinstance(event, Sale | Purchase) and event.date and happened(event, today):
            found.append(of_event(event, flock, by_sheep, years))
        elif isinstance(event, Hire) and event.date and happened(event, today):
            found += of_hire(event, flock, years, today)
    bought = {sheep for one in found if one.onto for sheep in one.sheep}
    found += [
        of_note(note, item, years)
        for item in standings
        if item.how_in == BOUGHT and item.sheep not in bought and (note := flock.animals[item.sheep].note)
    ]
    return tuple(sorted(found, key=lambda one: (one.day, not one.onto, one.note.origin.path)))


def of_event(event: Sale | Purchase, flock: Flock, by_sheep: Mapping[str, RollTime], years: float) -> RegisterMovement:
    """The movement that a sale or a purchase note tells of; head that are not in the book are counted too."""
    assert event.date is not None
    sheep = flock.who(event)
    subjects = flock.subjects.get(event.origin.path)
    head = max(len(sheep) + (len(subjects.unresolved) if subjects else 0), event.count or 0)
    if isinstance(event, Sale):
        return RegisterMovement(
            event.date, False, sheep, head, event.to or "", event.document or "", event, kept_until(event.date, years),
            False, event.holding or "", event.haulier or "", event.vehicle or "",
        )  # fmt: skip
    return RegisterMovement(
        event.date, True, sheep, head, event.from_ or "", event.document or "", event,
        keep_all(sheep, by_sheep, years), False, event.holding or "",
    )  # fmt: skip


def of_hire(event: Hire, flock: Flock, years: float, today: Moment) -> Iterable[RegisterMovement]:
    """The coming and the going back of a hired ram."""
    assert event.date is not None
    sheep, back = flock.who(event), event.until if event.until and passed(None, event.until, today) else None
    papers = (event.from_ or "", event.document or "", event)
    rest = (True, event.holding or "", event.haulier or "")
    yield RegisterMovement(event.date, True, sheep, 1, *papers, kept_until(back, years) if back else None, *rest)
    if back and back >= event.date:
        yield RegisterMovement(back, False, sheep, 1, *papers, kept_until(back, years), *rest)


def of_note(note: Sheep, item: RollTime, years: float) -> RegisterMovement:
    """The movement of a sheep whose own note says when it was bought."""
    assert item.entered is not None
    keep = keep_all((item.sheep,), {item.sheep: item}, years)
    return RegisterMovement(item.entered, True, (item.sheep,), 1, note.from_ or "", "", note, keep)


def keep_all(sheep: Iterable[str], by_sheep: Mapping[str, RollTime], years: float) -> date | None:
    """Until when the paper of an arrival is kept: the years run from the day the last of them left."""
    left = [by_sheep[one].left if one in by_sheep else None for one in sheep]
    return kept_until(max(day for day in left if day), years) if left and all(left) else None


def deaths(standings: tuple[RollTime, ...], years: float) -> tuple[DeathEntry, ...]:
    """Every death on the roll, in order of time."""
    found = [death_entry(item, years) for item in standings if item.how_out == DEAD]
    return tuple(sorted(found, key=lambda one: (one.day, one.sheep)))


def death_entry(item: RollTime, years: float) -> DeathEntry:
    """One death."""
    note = item.left_by
    assert item.left is not None
    assert isinstance(note, Death)
    return DeathEntry(
        item.left, item.sheep, note.cause or "", f"{note.found:%H:%M}" if note.found else "",
        note.disposal or "", note.post_mortem or "", note, kept_until(item.left, years),
    )  # fmt: skip
