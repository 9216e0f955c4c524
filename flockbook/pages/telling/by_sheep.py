"""What is known of each sheep, put together sheep by sheep, and what to keep in mind about her in a few words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import TypeVar

from compiler.shape import Value, field
from flockbook.derive.breeding.due import DueRow
from flockbook.derive.breeding.mating import sires
from flockbook.derive.lambing.history import POOR_MILK, SOUND, Fear, Feared, first_lambing
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.medicine.medicine_register import MedicineEntry
from flockbook.flock import Animal, gone, happened
from flockbook.pages.wording import and_listed, month_words, plural
from flockbook.records.breeding import HELP
from flockbook.records.check_line import CheckLine
from flockbook.records.event import Event
from flockbook.records.handling import Check
from flockbook.records.health import Illness
from flockbook.records.sheep import EWE
from flockbook.records.trade import Cull
from flockbook.regional import local
from flockbook.saying.fears import fear_words
from flockbook.seen import Seen

T = TypeVar("T")


class Flag(Value):
    """Something to keep in mind; `watch` when it is a reason to look twice."""

    text: str
    watch: bool = False


class BySheep(Value):
    """Births by ewe, due rows by ewe, treatments by sheep, lambs by ram, illnesses and checks by sheep."""

    seen: Seen
    births: Mapping[str, tuple[LambingFact, ...]] = field(default_factory=dict)
    due: Mapping[str, DueRow] = field(default_factory=dict)
    doses: Mapping[str, tuple[MedicineEntry, ...]] = field(default_factory=dict)
    sired: Mapping[str, tuple[Animal, ...]] = field(default_factory=dict)

    def past(self, sheep: str) -> tuple[Event, ...]:
        """The notes on a sheep that had happened by the moment asked about, in order of time."""
        return tuple(event for event in self.seen.linked.by_animal.get(sheep, ()) if happened(event, self.seen.today))


def by_sheep(seen: Seen) -> BySheep:
    """Everything put together."""
    births = by_key((birth.ewe, birth) for birth in seen.facts.lambing.births if birth.ewe)
    doses = by_key((sheep, entry) for entry in seen.facts.medicine.register for sheep in entry.sheep)
    matings = seen.facts.breeding.matings
    sired = by_key((ram, lamb) for lamb in seen.linked.animals.values() for ram in sires(matings, lamb))
    return BySheep(seen, births, {row.ewe: row for row in seen.facts.breeding.due.rows}, doses, sired)


def by_key(pairs: Iterable[tuple[str, T]]) -> dict[str, tuple[T, ...]]:
    """Values by key, in order."""
    found: dict[str, list[T]] = {}
    for key, value in pairs:
        found.setdefault(key, []).append(value)
    return {key: tuple(values) for key, values in found.items()}


# What to keep in mind


def flags(known: BySheep, animal: Animal) -> tuple[Flag, ...]:
    """What to keep in mind about a sheep, what asks for a second look first."""
    found = [*birth_flags(known, animal), *health_flags(known, animal), *lasting_flags(known, animal)]
    return tuple(sorted(found, key=lambda flag: not flag.watch))


def birth_flags(known: BySheep, animal: Animal) -> list[Flag]:
    """How a ewe has lambed so far."""
    births = known.births.get(animal.id, ())
    if animal.sex != EWE:
        return []
    old = known.seen.facts.lambing.past.by_ewe.get(animal.id, ())
    if not births and old:
        return [Flag(f"{plural(len(old), 'lambing')} from old records")]
    if not births:
        due = known.due.get(animal.id)
        first = first_lambing(animal, due.due.likely or known.seen.today.day) if due else None
        return [Flag(fear_words(Fear(first)), watch=first is Feared.MAIDEN)] if first else []
    found = [Flag(plural(len(births), "lambing") + (f", and {len(old)} from old records" if old else ""))]
    helped = [birth for birth in births if birth.helped]
    if helped:
        told = and_listed([help_words(birth) for birth in helped[-2:]])
        found.append(Flag(f"helped at {len(helped)} of {len(births)} ({told})", watch=True))
    if births[-1].event.milk in POOR_MILK:
        found.append(Flag(f"milk {births[-1].event.milk} in {births[-1].season}", watch=True))
    return found + lost_flags(known, births)


def help_words(birth: LambingFact) -> str:
    """`2025: hard, one leg back`."""
    lay = [line.lay_wrong for line in birth.event.lines if line.lay_wrong]
    year = birth.event.date.year if birth.event.date else birth.season
    return f"{year}: {', '.join([local(HELP[birth.help - 1]), *dict.fromkeys(lay)])}"


def lost_flags(known: BySheep, births: Iterable[LambingFact]) -> list[Flag]:
    """How many of her lambs were born dead or have died."""
    lambs = [lamb for birth in births for lamb in birth.lambs]
    lost = [lamb for lamb in lambs if (left := gone(lamb, known.seen.today)) and left.dead]
    return [Flag(f"lost {len(lost)} of {plural(len(lambs), 'lamb')}")] if lost else []


def health_flags(known: BySheep, animal: Animal) -> list[Flag]:
    """Illnesses so far, each named once with the month it was last written."""
    found: dict[str, Flag] = {}
    for event in known.past(animal.id):
        if isinstance(event, Illness) and event.problem and event.date:
            side = f", {event.side}" if event.side else ""
            month = month_words(event.date)
            found[event.problem.lower()] = Flag(f"{event.problem}{side}, {month}", watch=True)
    return list(found.values())


def lasting_flags(known: BySheep, animal: Animal) -> list[Flag]:
    """What the last check of udder and mouth found, and whether she is marked to go."""
    found = []
    udder = last_found(known, animal, "udder")
    if udder and udder[1].udder not in SOUND:
        found.append(Flag(f"udder {udder[1].udder} {udder[1].udder_side or ''}".strip() + f" in {udder[0].year}", True))
    mouth = last_found(known, animal, "mouth")
    if mouth and mouth[1].mouth not in SOUND:
        found.append(Flag(f"mouth {mouth[1].mouth} in {mouth[0].year}", watch=True))
    for event in known.past(animal.id):
        if isinstance(event, Cull):
            found.append(Flag(f"marked to go{f': {event.why}' if event.why else ''}", watch=True))
    return found


def last_found(known: BySheep, animal: Animal, what: str) -> tuple[date, CheckLine] | None:
    """The last check line of a sheep in which something was looked at, and its day."""
    named = known.seen.linked.named
    return next(
        (
            (event.date, line)
            for event in reversed(known.past(animal.id))
            if isinstance(event, Check) and event.date
            for line in event.lines
            if named(event, line.sheep) == animal.id and getattr(line, what) is not None
        ),
        None,
    )
