"""The linked flock: which animals there are, and which of them every note speaks of."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime, tzinfo
from functools import cache, cached_property
from typing import Any, TypeVar, cast

from compiler.book import Moment
from compiler.collection import Collection
from compiler.dates import PartialDate
from compiler.schema import Record
from compiler.shape import Value, field
from flockbook.records.breeding import Hire, Lambing
from flockbook.records.event import Event, Mention
from flockbook.records.lamb_line import LambLine
from flockbook.records.sheep import Medicine, Sheep
from flockbook.records.trade import Sale

E = TypeVar("E", bound=Event)


class Birth(Value):
    """The lambing note and the line in it by which a lamb came into the book."""

    note: Lambing
    line: LambLine
    place: int


WENT_BACK = "went back"  # how a hired ram leaves


class Departure(Value):
    """How and when an animal left: `how` is died, sold, born dead, or went back of a hired ram. `note` says so."""

    how: str
    date: date
    note: Record

    @property
    def dead(self) -> bool:
        """Whether it left by dying."""
        return self.how not in ("sold", WENT_BACK)


class Membership(Value):
    """The mob an animal belonged to from a day on (None: from the start)."""

    mob: str
    since: date | None
    note: str


class Nursing(Value):
    """Who was given a lamb to rear, by which note; `ewe` is None for the bottle."""

    ewe: str | None
    note: Event


class Animal(Value):
    """One sheep, whatever notes it appears in. Parents are ids of animals, or None; `dam_name` and `sire_names` are as
    typed.
    """

    id: str
    tag: str | None
    name: str | None
    sex: str | None
    born: PartialDate | None
    dam: str | None = None
    nursings: tuple[Nursing, ...] = ()
    declared_sires: tuple[str, ...] = ()
    dam_name: str | None = None
    sire_names: tuple[str, ...] = ()
    note: Sheep | None = None
    birth: Birth | None = None
    tags: tuple[str, ...] = ()
    number: str | None = None
    arrived: date | None = None
    left: Departure | None = None
    mobs: tuple[Membership, ...] = ()
    hires: tuple[Hire, ...] = ()  # the notes by which it stood here without belonging
    bought_on: date | None = None  # the day on which one that had been hired was bought

    @property
    def lent(self) -> bool:
        """Whether it stands or stood here and belongs to somebody else."""
        return bool(self.hires) and self.bought_on is None

    @property
    def called(self) -> str:
        """Its name, else its tag, else what it is until it is tagged."""
        return self.name or self.tag or self.id

    @property
    def called_in_full(self) -> str:
        """Bramble (C214) where it has both, else what it is called."""
        return f"{self.name} ({self.tag})" if self.name and self.tag else self.called

    @property
    def reared_by(self) -> str | None:
        """The last ewe that it was ever given to, however late; `nurse_of` tells of a day."""
        return next((item.ewe for item in reversed(self.nursings) if item.ewe), None)

    @property
    def birthday(self) -> date | None:
        """The day of birth, when it is known exactly."""
        return self.born.exact if self.born else None

    def present(self, day: date) -> bool:
        """Whether it was born (or bought) by that day and had not left before it."""
        if self.born and self.born.earliest > day:
            return False
        if self.arrived and self.arrived > day:
            return False
        return self.left is None or self.left.date >= day

    def mob_on(self, day: date) -> str | None:
        """Its mob on a day."""
        held = [item.mob for item in self.mobs if item.since is None or item.since <= day]
        return held[-1] if held else None


class Subjects(Value):
    """The animals that one note speaks of. `doubtful` are those it could also mean because something in it was not
    found:
    None stands for the whole flock."""

    ids: tuple[str, ...] = ()
    unresolved: tuple[Mention, ...] = ()
    doubtful: frozenset[str] | None = frozenset()


class Doubt(Value):
    """Why a note could concern a sheep: the rule, the place, the reason in words, and what to type.

    A doubt about whom ends when the dose itself would; one about what or when (`never`) has no end until it is mended.
    `asked` says that the note is sound and `not dosed: NAMES` in it answers the question.
    """

    rule: str
    path: str
    line: int
    text: str
    cure: str = ""
    never: bool = False
    one_of: bool = False  # the words mean one of those who are in this doubt, or of those surely dosed
    asked: bool = False


class Everybody(Value):
    """A doubt that reaches everybody who was here on some day from the first to the last. It is not spelled out."""

    first: date
    last: date
    doubt: Doubt


class Concerned(Value):
    """The three answers for one note or file: who was surely dosed, who perhaps, and everybody else not at all.

    `at_foot` are those dosed only as lambs at the foot of a mob's members. `own` holds the line of each sheep that
    has one. `trouble` is a doubt about what or when for all who are dosed. `said` is the most that the words tell of,
    in mL, and their line. `event` is None where the note could not be read.
    """

    path: str
    event: Event | None = None
    date: date | None = None
    dosed: tuple[str, ...] = ()
    at_foot: frozenset[str] = frozenset()
    doubtful: Mapping[str, Doubt] = field(default_factory=dict)
    everybody: tuple[Everybody, ...] = ()
    own: Mapping[str, Any] = field(default_factory=dict)
    trouble: Mapping[str, Doubt] = field(default_factory=dict)
    said: Mapping[str, tuple[float, int]] = field(default_factory=dict)

    @property
    def sure(self) -> bool:
        """Whether nobody but those dosed can be meant."""
        return not self.doubtful and not self.everybody


STRENGTH = re.compile(r"\d+(?:[.,]\d+)?\s*(?:mg|mcg|g|iu|%)(?:\s*/\s*(?:ml|l|g|kg|tablet|dose))?(?!\w)", re.I)


@cache
def name_and_strength(name: str) -> tuple[str, str]:
    """What a medicine is called, without case, blanks, points and dashes, and its strength where the name has one."""
    strength = STRENGTH.search(name)
    bare = STRENGTH.sub(" ", name).casefold()
    return re.sub(r"[\W_]+", "", bare), re.sub(r"\s", "", strength[0].casefold()) if strength else ""


class Flock(Value, eq=False, dict=True):
    """All animals by id and all notes in order of time. Corrected (struck) notes are in `struck`, not in `events`."""

    collection: Collection
    animals: Mapping[str, Animal] = field(default_factory=dict)
    events: tuple[Event, ...] = ()
    struck: Mapping[str, str] = field(default_factory=dict)
    subjects: Mapping[str, Subjects] = field(default_factory=dict)
    names: Mapping[tuple[str, str], str] = field(default_factory=dict)
    medicines: Mapping[str, tuple[Medicine, ...]] = field(default_factory=dict)
    concerned: Mapping[str, Concerned] = field(default_factory=dict)
    zone: tzinfo | None = None  # by which its days and hours are counted
    tags_half_read: tuple[tuple[str, str], ...] = ()  # a sheep, and a tag that a line gives it which was not read whole
    perhaps_one: tuple[tuple[str, str], ...] = ()  # two sheep with a record each that may be one animal
    products: Any = None  # the names of the cupboard's products, as whom a note concerns was judged by them

    @cached_property
    def medicines_plainly(self) -> Mapping[str, tuple[Medicine, ...]]:
        """The medicine notes by their plain names."""
        found: dict[str, list[Medicine]] = {}
        for medicine in (one for notes in self.medicines.values() for one in notes):
            found.setdefault(name_and_strength(medicine.name or "")[0], []).append(medicine)
        return {name: tuple(notes) for name, notes in found.items()}

    def who(self, event: Event) -> tuple[str, ...]:
        """The ids of the animals that a note is about."""
        found = self.subjects.get(event.origin.path)
        return found.ids if found else ()

    def named(self, event: Event, text: str) -> str | None:
        """The id of an animal as it is named in a note."""
        return self.names.get((event.origin.path, text))

    def of(self, kind: type[E]) -> tuple[E, ...]:
        """The notes of one class, in order of time."""
        return cast(tuple[E, ...], self.by_class.get(kind, ()))

    @cached_property
    def keeps_mobs(self) -> bool:
        """Whether any sheep was ever put into a mob: a flock that has none is not asked for one."""
        return any(animal.mobs for animal in self.animals.values())

    @cached_property
    def by_class(self) -> Mapping[type[Event], tuple[Event, ...]]:
        """All notes by their class, in order of time."""
        found: dict[type[Event], list[Event]] = {}
        for event in self.events:
            found.setdefault(type(event), []).append(event)
        return {kind: tuple(events) for kind, events in found.items()}

    @cached_property
    def by_animal(self) -> Mapping[str, tuple[Event, ...]]:
        """The notes on each animal, in order of time."""
        found: dict[str, list[Event]] = {}
        for event in self.events:
            for animal in self.who(event):
                found.setdefault(animal, []).append(event)
        return {animal: tuple(events) for animal, events in found.items()}

    @cached_property
    def own_lines(self) -> Mapping[tuple[str, str], tuple[Any, ...]]:
        """The data lines on each animal in each note, by (path of the note, id)."""
        found: dict[tuple[str, str], list[Any]] = {}
        for event in self.collection.of(Event):
            own = self.concerned[event.origin.path].own if event.origin.path in self.concerned else {}
            for one, line in own.items():
                found.setdefault((event.origin.path, one), []).append(line)
            for line in getattr(event, "lines", ()) if not own else ():
                sheep = self.named(event, line.sheep) if hasattr(line, "sheep") else None
                if sheep:
                    found.setdefault((event.origin.path, sheep), []).append(line)
        return {key: tuple(lines) for key, lines in found.items()}

    @cached_property
    def marked_lines(self) -> Mapping[tuple[str, str], tuple[Any, ...]]:
        """The lines of each joining that name each ewe, by (path of the note, id)."""
        found: dict[tuple[str, str], list[Any]] = {}
        for event in self.collection.of(Event):
            for line in getattr(event, "lines", ()):
                marked = [self.named(event, name.text) for name in getattr(line, "ewes", ())]
                for sheep in dict.fromkeys(one for one in marked if one):
                    found.setdefault((event.origin.path, sheep), []).append(line)
        return {key: tuple(lines) for key, lines in found.items()}

    @cached_property
    def lambs_of(self) -> Mapping[str, tuple[Animal, ...]]:
        """The lambs that each ewe bore, in order of birth."""
        found: dict[str, list[Animal]] = {}
        for animal in self.animals.values():
            if animal.dam:
                found.setdefault(animal.dam, []).append(animal)
        return {dam: tuple(sorted(lambs, key=birth_order)) for dam, lambs in found.items()}

    @cached_property
    def litters(self) -> Mapping[str, tuple[Animal, ...]]:
        """The lambs of each lambing note, by path."""
        found: dict[str, list[Animal]] = {}
        for animal in self.animals.values():
            if animal.birth:
                found.setdefault(animal.birth.note.origin.path, []).append(animal)
        return {path: tuple(sorted(lambs, key=birth_order)) for path, lambs in found.items()}


def birth_order(animal: Animal) -> tuple[date, int, str]:
    """Sort key of lambs: by birth, then by their place in the lambing note."""
    day = animal.born.earliest if animal.born else date.min
    return (day, animal.birth.place if animal.birth else 0, animal.id)


def happened(event: Event, today: Moment) -> bool:
    """Whether an event lies before the moment asked about: that day's own events count only when a time of day was
    asked for, and a planned sale without an hour only once its day is over.
    """
    day = today.day
    if event.date is None or event.date > day:
        return False
    if event.date < day:
        return True
    if isinstance(event, Sale) and event.sure and event.time is None:
        return False
    return today.timed and (event.time is None or datetime.combine(event.date, event.time) <= today.at)


def gone(animal: Animal, today: Moment) -> Departure | None:
    """How an animal had left by the moment asked about, if it had."""
    left = animal.left
    if left is None:
        return None
    day = today.day
    if left.date != day:
        return left if left.date < day else None
    if isinstance(left.note, Event) and left.note.date == left.date:
        return left if happened(left.note, today) else None
    return left if today.timed or not isinstance(left.note, Event) else None


def nurse_of(animal: Animal, today: Moment) -> str | None:
    """The ewe that a lamb had been given to by the moment asked about; None with its own dam, or on the bottle."""
    given = [item for item in animal.nursings if happened(item.note, today)]
    return given[-1].ewe if given else None


def there(animal: Animal, today: Moment) -> bool:
    """Whether an animal was alive and in the flock at the moment asked about."""
    if animal.born and animal.born.earliest > today.day:
        return False
    if animal.arrived and animal.arrived > today.day:
        return False
    if animal.birth and not happened(animal.birth.note, today):
        return False
    return gone(animal, today) is None
