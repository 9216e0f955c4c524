"""What really happened on an invented farm, day by day, and until when each animal is really in withdrawal.

Nothing here knows the program: pens are sets of animals, doses are events with a set of animals, and the days are added
up here a second time (rules W1 to W10 in plain form). Animals go by keys of their own, which are never written down.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

Key = str
FOREVER = datetime.max  # really in withdrawal, and nobody may say until when
LONGEST_AT_FOOT = timedelta(days=120)
HOME = ZoneInfo("Europe/London")


class Unfit(Exception):
    """What was asked for does not fit this farm: two scenarios, or a way and a world."""


@dataclass(frozen=True)
class Period:
    """A waiting period: so many days or hours, `none`, or `not for milk`."""

    text: str

    @property
    def never(self) -> bool:
        """No end is known."""
        return self.text == "not for milk"

    @property
    def length(self) -> timedelta:
        """How long it lasts."""
        if self.text == "none" or self.never:
            return timedelta()
        count, unit = self.text.split()
        return timedelta(days=int(count)) if unit == "days" else timedelta(hours=int(count))


@dataclass(frozen=True)
class Medicine:
    """A bottle in the cupboard, as its label reads."""

    name: str
    meat: Period
    milk: Period
    rate: str = ""  # `1 ml per 5 kg`, where the label has one


@dataclass(frozen=True)
class Animal:
    """One animal; `tag` is the first it wore, "" for a lamb without one."""

    key: Key
    sex: str  # ewe, ram or wether
    born: date
    tag: str = ""
    name: str = ""
    mob: str = ""  # where it began; a lamb begins where its dam stands
    dam: Key = ""
    paint: int = 0
    eid: str = ""
    official: str = ""
    bought: bool = False


@dataclass(frozen=True)
class Drafted:
    """Sheep sorted into another mob; lambs at foot go with their mothers."""

    ident: str
    at: datetime
    who: frozenset[Key]
    into: str


@dataclass(frozen=True)
class Tagged:
    """A tag put in: the first, or a new one for a lost one."""

    ident: str
    at: datetime
    who: Key
    tag: str


@dataclass(frozen=True)
class Renamed:
    """She goes by another name from now on."""

    ident: str
    at: datetime
    who: Key
    name: str


@dataclass(frozen=True)
class Born:
    """A litter."""

    ident: str
    at: datetime
    dam: Key
    lambs: tuple[Key, ...]


@dataclass(frozen=True)
class Fostered:
    """A lamb set on to another ewe."""

    ident: str
    at: datetime
    lamb: Key
    onto: Key


@dataclass(frozen=True)
class Left:
    """Dead or sold."""

    ident: str
    at: datetime
    who: frozenset[Key]
    dead: bool


@dataclass(frozen=True)
class Bought:
    """Come from elsewhere, or come back."""

    ident: str
    at: datetime
    who: frozenset[Key]
    into: str


@dataclass(frozen=True)
class Weighed:
    """A weigh session."""

    ident: str
    at: datetime
    kilos: tuple[tuple[Key, int], ...]

    @property
    def who(self) -> frozenset[Key]:
        """Who stood on the scale."""
        return frozenset(key for key, _ in self.kilos)


@dataclass(frozen=True)
class Dosed:
    """A medicine given: to whom is a set that was decided on the day, whatever anybody writes of it."""

    ident: str
    moments: tuple[datetime, ...]
    who: frozenset[Key]
    medicine: str
    ml: str
    timed: bool = True  # whether she looked at the clock
    mob: str = ""  # told as a mob in the plain writing, which then names exactly `who`
    astray: frozenset[Key] = frozenset()  # who got a dose that her label does not cover (W9)

    @property
    def at(self) -> datetime:
        """The first dose."""
        return self.moments[0]

    def clock(self) -> datetime:
        """From when days are counted: the last dose, or the end of its day where the clock was not looked at."""
        last = self.moments[-1]
        return last if self.timed else datetime.combine(last.date() + timedelta(days=1), time.min)


Happening = Drafted | Tagged | Renamed | Born | Fostered | Left | Bought | Weighed | Dosed


@dataclass(frozen=True)
class World:
    """The whole truth, and the moment that the program is asked about."""

    animals: dict[Key, Animal]
    medicines: dict[str, Medicine]
    mobs: tuple[str, ...]
    happenings: tuple[Happening, ...]
    on: datetime

    def doses(self) -> tuple[Dosed, ...]:
        """All doses."""
        return tuple(item for item in self.happenings if isinstance(item, Dosed))

    def dose(self, ident: str) -> Dosed:
        """One dose."""
        return next(item for item in self.doses() if item.ident == ident)

    def tag(self, key: Key, at: datetime = FOREVER) -> str:
        """The tag it wore then."""
        worn = [item for item in self.happenings if isinstance(item, Tagged) and item.who == key and item.at <= at]
        return max(worn, key=lambda item: item.at).tag if worn else self.animals[key].tag

    def tags(self, key: Key) -> tuple[str, ...]:
        """Every tag it ever wore."""
        later = (item.tag for item in self.happenings if isinstance(item, Tagged) and item.who == key)
        return tuple(tag for tag in (self.animals[key].tag, *later) if tag)

    def name(self, key: Key, at: datetime = FOREVER) -> str:
        """The name it went by then."""
        given = [item for item in self.happenings if isinstance(item, Renamed) and item.who == key and item.at <= at]
        return max(given, key=lambda item: item.at).name if given else self.animals[key].name

    def dam_at_foot(self, lamb: Key, at: datetime) -> Key:
        """The ewe it ran with, while it was a lamb at foot; else ""."""
        animal = self.animals[lamb]
        if not animal.dam or at - datetime.combine(animal.born, time.min) > LONGEST_AT_FOOT:
            return ""
        sets = [item for item in self.happenings if isinstance(item, Fostered) and item.lamb == lamb and item.at <= at]
        return sets[-1].onto if sets else animal.dam

    def here(self, key: Key, at: datetime) -> bool:
        """Whether it lived on the farm at that moment."""
        if at < self._came(key):
            return False
        gone = [item.at for item in self.happenings if isinstance(item, Left) and key in item.who and item.at <= at]
        back = [item.at for item in self.happenings if isinstance(item, Bought) and key in item.who and item.at <= at]
        return not gone or (bool(back) and max(back) > max(gone))

    def _came(self, key: Key) -> datetime:
        births = [item.at for item in self.happenings if isinstance(item, Born) and key in item.lambs]
        bought = [item.at for item in self.happenings if isinstance(item, Bought) and key in item.who]
        if births:
            return births[0]
        return min(bought) if bought and self.animals[key].bought else datetime.min

    def mob(self, key: Key, at: datetime) -> str:
        """Where it stood at that moment: a lamb at foot with its mother, everybody else where she was last sorted."""
        dam = self.dam_at_foot(key, at)
        if dam and self.here(dam, at):
            return self.mob(dam, at)
        moves = [item for item in self.happenings if isinstance(item, Drafted | Bought) and key in item.who]
        done = [item for item in moves if item.at <= at]
        return max(done, key=lambda item: item.at).into if done else self.animals[key].mob

    def where(self, key: Key, at: datetime) -> tuple[bool, str, str, str]:
        """Whether it is here, in which mob, and by which tag and name it goes."""
        return self.here(key, at), self.mob(key, at), self.tag(key, at), self.name(key, at)

    def pen(self, mob: str, at: datetime) -> frozenset[Key]:
        """Who stood in a mob at that moment."""
        return frozenset(key for key in self.animals if self.here(key, at) and self.mob(key, at) == mob)

    def at_foot(self, ewes: Iterable[Key], at: datetime) -> frozenset[Key]:
        """The lambs at the foot of these."""
        mothers = set(ewes)
        return frozenset(key for key in self.animals if self.here(key, at) and self.dam_at_foot(key, at) in mothers)

    def living(self) -> frozenset[Key]:
        """Who is here at the moment asked about."""
        return frozenset(key for key in self.animals if self.here(key, self.on))

    def milked(self, key: Key) -> bool:
        """A ewe that has lambed: her milk is a question."""
        return any(isinstance(item, Born) and item.dam == key for item in self.happenings)

    def until(self, key: Key, what: str) -> datetime:
        """The moment from which it is really clear for meat or milk; `datetime.min` if it always was."""
        return max((self.ends(dose, key, what) for dose in self.doses() if key in dose.who), default=datetime.min)

    def told_until(self, key: Key, what: str) -> datetime:
        """The same as the plain writing tells it: where the clock was not looked at, whole days (W2)."""
        return max((self.told_ends(dose, key, what) for dose in self.doses() if key in dose.who), default=datetime.min)

    def ends(self, dose: Dosed, key: Key, what: str) -> datetime:
        """When one dose really ends for one animal (W1, W3, W7, W9, W10)."""
        period = self._period(dose, what)
        if key in dose.astray or period.never:
            return FOREVER
        return datetime.min if period.text == "none" else later_reading(dose.moments[-1], period.length)

    def told_ends(self, dose: Dosed, key: Key, what: str) -> datetime:
        """When it ends as far as the plain writing can tell (W2)."""
        end = self.ends(dose, key, what)
        if dose.timed or end in (FOREVER, datetime.min):
            return end
        return next_midnight(later_reading(dose.clock(), self._period(dose, what).length))

    def _period(self, dose: Dosed, what: str) -> Period:
        medicine = self.medicines[dose.medicine]
        return medicine.meat if what == "meat" else medicine.milk

    def without(self, key: Key) -> World:
        """The same without this animal, and without whatever only concerned it (for shrinking)."""
        animals = {
            other: replace(animal, dam="" if animal.dam == key else animal.dam)
            for other, animal in self.animals.items()
            if other != key
        }
        kept = (bereft(item, key) for item in self.happenings)
        return replace(self, animals=animals, happenings=tuple(item for item in kept if item is not None))

    def short_of(self, ident: str) -> World:
        """The same without one happening."""
        return replace(self, happenings=tuple(item for item in self.happenings if item.ident != ident))


def involved(item: Happening) -> frozenset[Key]:
    """Whom a happening is about."""
    match item:
        case Tagged() | Renamed():
            return frozenset({item.who})
        case Fostered():
            return frozenset({item.lamb, item.onto})
        case Born():
            return frozenset({item.dam, *item.lambs})
        case _:
            return item.who


def later_reading(start: datetime, length: timedelta) -> datetime:
    """So much later by the clock on the wall or by time really passed: where clocks change, whichever is later."""
    passed = (start.replace(tzinfo=HOME).astimezone(UTC) + length).astimezone(HOME).replace(tzinfo=None)
    return max(passed, start + length)


def next_midnight(at: datetime) -> datetime:
    """The first midnight that is not earlier."""
    day = datetime.combine(at.date(), time.min)
    return day if day == at else day + timedelta(days=1)


def bereft(item: Happening, key: Key) -> Happening | None:
    """A happening without one animal; None if nothing is left of it."""
    match item:
        case Tagged() | Renamed():
            return None if item.who == key else item
        case Fostered():
            return None if key in (item.lamb, item.onto) else item
        case Born():
            lambs = tuple(lamb for lamb in item.lambs if lamb != key)
            return replace(item, lambs=lambs) if lambs and item.dam != key else None
        case Weighed():
            kilos = tuple(pair for pair in item.kilos if pair[0] != key)
            return replace(item, kilos=kilos) if kilos else None
        case Dosed():
            left = item.who - {key}
            return replace(item, who=left, astray=item.astray - {key}) if left else None
        case Drafted() | Left() | Bought():
            remaining = item.who - {key}
            return replace(item, who=remaining) if remaining else None
