"""The gate: who may go for meat and who may not, now and at every sale still to come; who went that was not clear."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, time, timedelta

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.market.barriers import Fitness, for_meat_only, may_not
from flockbook.derive.market.fitness import Ways, barriers
from flockbook.derive.medicine.guard_rules import UNTIL_WHEN
from flockbook.derive.medicine.periods import MEAT
from flockbook.derive.medicine.withdrawal import CLEAR, HELD, Clearance, Guard, standing_at
from flockbook.derive.plain.because import Reason
from flockbook.flock import Animal, Flock, gone, happened, there
from flockbook.records.trade import Cull, Sale

OF_MEDICINES = ("treatment", "medicine")
LIVING_ON = ("breeding", "store")  # uses after which a sheep is not eaten soon
# What the page of workings prints of the gate.
GUARD_RULES = tuple(UNTIL_WHEN)
GATE_RULE = (
    f"The loading list holds those whose meat is clear by rules {GUARD_RULES[0]} to {GUARD_RULES[-1]} and who suck no "
    "ewe that is not. A sale to come is judged at its own time, or at the start of its day, by every note written so "
    "far: whoever is unknown now is unknown then."
)


class Lists(Value):
    """Sheep sorted at the gate: `may` go for meat, `not_milk` may but their milk may not be used, `ask` are clear
    lambs that may be sucking a ewe who is not, `refused` are held or unknown. Each sheep stands in exactly one.
    """

    may: tuple[Clearance, ...] = ()
    not_milk: tuple[Clearance, ...] = ()
    ask: tuple[Clearance, ...] = ()
    refused: tuple[Clearance, ...] = ()


class HasLeft(Reason):
    """How and when a sheep left."""

    how: str
    day: date


class NotHereBefore(Reason):
    """That a sheep is not on the farm before a day; None is a day that is not known."""

    day: date | None


class NobodyHere(Reason):
    """That no living sheep can be told by a name."""


class Absent(Value):
    """A name in a sale note whose sheep is not here: `sheep` "" where none was found; `note` is where `why` stands."""

    sheep: str
    text: str
    why: Reason
    note: str


class Load(Value):
    """A sale still to come: its sheep sorted as they will stand at `at`, by what is written so far."""

    sale: Sale
    at: Moment
    lists: Lists
    absent: tuple[Absent, ...]
    fitness: Fitness = field(default_factory=dict)


class Gone(Value):
    """One sheep that left while it was not clear, or not known to be: to be told to the buyer and the vet. `slip` is
    the note to mend first where nothing but that leaves it unknown: no treatment of it is written.
    """

    row: Clearance
    sale: Sale
    day: date
    slip: str = ""

    @property
    def living_on(self) -> bool:
        """Whether it was sold to live on."""
        return self.sale.use in LIVING_ON


def of_medicines(flock: Flock) -> frozenset[str]:
    """The notes that tell of treatments and medicines, those that cannot be read too."""
    read = (record.origin.path for record in flock.collection.records if record.origin.kind in OF_MEDICINES)
    return frozenset((*read, *(hole.path for hole in flock.collection.holes if hole.kind in OF_MEDICINES)))


def only_slip(row: Clearance, medicines: frozenset[str]) -> str:
    """The note of another kind, or of none, for which alone the meat of an animal is unknown; "" where one of the notes
    of medicines has any part in it.
    """
    holds = [hold for hold in row.holds if hold.product == MEAT]
    told = any(hold.because.note in medicines or hold.medicine for hold in holds)
    return "" if row.meat.state == HELD or told or not holds else holds[0].because.note


class Gate(Value):
    """The whole flock sorted at the moment asked about, sales to come, those marked to go, those that went unclear.

    The lists are by medicines alone; `fitness` is whatever else speaks against a sheep's going.
    """

    lists: Lists = Lists()
    loads: tuple[Load, ...] = ()
    marked: tuple[tuple[Cull, Clearance], ...] = ()
    went: tuple[Gone, ...] = ()
    fitness: Fitness = field(default_factory=dict)


def gate(ways: Ways, guard: Guard) -> Gate:
    """The gate at the moment asked about."""
    flock, today = ways.flock, ways.today
    return Gate(
        sorted_out(row for _, row in sorted(guard.standing.items())),
        tuple(load(ways, guard, sale) for sale in to_come(flock, today)),
        tuple(marked_sheep(flock, guard, today)),
        tuple(went(flock, guard, today)),
        barriers(ways, today.day),
    )


def sorted_out(rows: Iterable[Clearance]) -> Lists:
    """Rows by what may be done: whoever is not known to be clear is refused, whoever may suck a treated ewe asked."""
    found: dict[str, list[Clearance]] = {"may": [], "not_milk": [], "ask": [], "refused": []}
    for row in rows:
        found[gate_list(row)].append(row)
    return Lists(**{sort: tuple(items) for sort, items in found.items()})


def gate_list(row: Clearance) -> str:
    """The list that an animal stands in."""
    if row.meat.state != CLEAR:
        return "refused"
    if row.sucking is not None:
        return "ask"
    return "may" if row.milk.state == CLEAR else "not_milk"


def medicines_of(row: Clearance) -> tuple[str, ...]:
    """The medicines that hold an animal's meat, those without a date first, then the latest release; "" is no name."""
    holds = [hold for hold in row.holds if hold.product == MEAT]
    holds.sort(key=lambda hold: (hold.until is None, hold.until or datetime.min), reverse=True)
    return tuple(dict.fromkeys(hold.medicine for hold in holds if hold.medicine))


def named_in(load: Load) -> Iterator[Clearance]:
    """Every sheep of a sale to come."""
    yield from (*load.lists.refused, *load.lists.may, *load.lists.not_milk, *load.lists.ask)


def kept_from(load: Load) -> tuple[str, ...]:
    """The sheep of a sale to come that may not go, by a medicine or for another reason, as its list has them."""
    refused = {row.sheep for row in load.lists.refused}
    return tuple(
        row.sheep for row in named_in(load) if row.sheep in refused or may_not(load.fitness.get(row.sheep, ()))
    )


def freed_on(load: Load) -> date | None:
    """The first day on which the last of those that a medicine keeps from a sale is clear; None where anybody is kept
    without a day, or for another reason.
    """
    kept, refused = kept_from(load), {row.sheep: row.meat for row in load.lists.refused}
    if any(one not in refused or may_not(load.fitness.get(one, ())) for one in kept):
        return None
    ends = [refused[one].until if refused[one].state == HELD else None for one in kept]
    known = [first_clear(end) for end in ends if end]
    return max(known) if known and len(known) == len(ends) else None


def first_clear(end: datetime) -> date:
    """The first day that is clear from its start."""
    return end.date() if end.time() == time.min else end.date() + timedelta(1)


def asked_of(load: Load) -> tuple[str, ...]:
    """The sheep of a sale to come of whom somebody is to be asked, or told, first."""
    barred, told = set(kept_from(load)), {row.sheep for row in load.lists.ask}
    return tuple(
        row.sheep for row in named_in(load)
        if row.sheep not in barred and (row.sheep in told or load.fitness.get(row.sheep))
    )  # fmt: skip


# Sales to come


def to_come(flock: Flock, today: Moment) -> Iterator[Sale]:
    """Sale notes of this day or a later one that have not happened yet."""
    for event in flock.events:
        if isinstance(event, Sale) and event.date and event.date >= today.day and not happened(event, today):
            yield event


def load(ways: Ways, guard: Guard, sale: Sale) -> Load:
    """One sale: its sheep as they will stand at its own time, or at the start of its day where none is written."""
    assert sale.date is not None
    flock, today = ways.flock, ways.today
    at = Moment(max(datetime.combine(sale.date, sale.time or time.min), today.at), False, today.clock)
    standing = {
        sheep: row for sheep, row in standing_at(flock, guard, at).items() if gone(flock.animals[sheep], today) is None
    }
    lists = sorted_out(standing[sheep] for sheep in flock.who(sale) if sheep in standing)
    return Load(sale, at, lists, tuple(absentees(flock, sale, standing)), fitness_for(ways, sale, at))


def fitness_for(ways: Ways, sale: Sale, at: Moment) -> Fitness:
    """What speaks against going to one sale; a ewe in lamb may be sold to live on."""
    found = barriers(ways, at.day)
    if sale.use not in LIVING_ON:
        return found
    kept = {sheep: tuple(one for one in items if not for_meat_only(one)) for sheep, items in found.items()}
    return {sheep: items for sheep, items in kept.items() if items}


def absentees(flock: Flock, sale: Sale, standing: Mapping[str, Clearance]) -> Iterator[Absent]:
    """Those a sale names that are not here to be loaded."""
    for sheep in flock.who(sale):
        if sheep not in standing:
            why, note = absence(flock.animals[sheep])
            yield Absent(sheep, "", why, note)
    found = flock.subjects.get(sale.origin.path)
    for mention in found.unresolved if found else ():
        once = [animal for animal in flock.animals.values() if mention.text.casefold() in called_ever(animal)]
        if len(once) == 1 and once[0].id not in standing:
            yield Absent(once[0].id, mention.text, *absence(once[0]))
        else:
            yield Absent("", mention.text, NobodyHere(), sale.origin.path)


def called_ever(animal: Animal) -> set[str]:
    """The tags and the name that an animal was ever called by."""
    return {word.casefold() for word in (animal.id, animal.name or "", *animal.tags)}


def absence(animal: Animal) -> tuple[Reason, str]:
    """Why an animal is not here, and the note that says so."""
    if animal.left:
        return HasLeft(animal.left.how, animal.left.date), animal.left.note.origin.path
    came = max((day for day in (animal.arrived, animal.born.earliest if animal.born else None) if day), default=None)
    source = animal.birth.note if animal.birth else animal.note
    return NotHereBefore(came), source.origin.path if source else ""


# Marked to go, and gone


def marked_sheep(flock: Flock, guard: Guard, today: Moment) -> Iterator[tuple[Cull, Clearance]]:
    """Sheep that a note says shall go, as long as they are here, each once with its latest decision."""
    latest = {
        sheep: event
        for event in flock.events
        if isinstance(event, Cull) and happened(event, today)
        for sheep in flock.who(event)
        if there(flock.animals[sheep], today)
    }
    for sheep, event in sorted(latest.items()):
        yield event, guard.standing[sheep]


def went(flock: Flock, guard: Guard, today: Moment) -> Iterator[Gone]:
    """Sheep sold while they were not clear, by the notes of their day."""
    medicines = of_medicines(flock)
    for event in flock.events:
        if not isinstance(event, Sale) or event.date is None or not happened(event, today):
            continue
        for sheep in flock.who(event):
            row = guard.on(sheep, datetime.combine(event.date, event.time or time.min))
            if row.meat.state != CLEAR:
                yield Gone(row, event, event.date, only_slip(row, medicines))
