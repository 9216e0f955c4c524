"""Rounds: where a flock is joined twice or more for the lambs of one year, what is of which round.

A round begins with the first ram in. Another one begins with a ram that goes in at least the shortest pregnancy later,
if all rams have been out for long, or with one of the ewes that has lambed since; so too with a birth that no joining
explains, of a ewe that had lambed a pregnancy before.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta

from compiler.shape import Value, replace
from flockbook.derive.breeding.gestation import Gestation
from flockbook.derive.breeding.joined import ANOTHER_TURN, apart_enough
from flockbook.derive.breeding.mating import Mating, Matings
from flockbook.flock import Flock
from flockbook.records.breeding import Lambing


class Put(Value):
    """A ewe that was put to the ram, or, where only her litter tells of it (`told` is False), the mean pregnancy before
    its birth; `last` is the day on which the ram came out, as far as written, `lambed` are the days of all her births.
    """

    day: date
    ewe: str
    last: date
    told: bool = True
    lambed: tuple[date, ...] = ()


def with_rounds(flock: Flock, found: Matings) -> Matings:
    """The matings with the rounds of their years."""
    return replace(found, rounds=rounds_of(flock, found))


def rounds_of(flock: Flock, found: Matings) -> dict[int, tuple[date, ...]]:
    """By lambing year the days on which its rounds began, for the years that have more than one."""
    put: dict[int, list[Put]] = {}
    told = ((turn.season, Put(turn.first_in, turn.ewe, out_as_written(turn))) for turn in found.every)
    for year, one in (*told, *untold(flock, found)):
        put.setdefault(year, []).append(replace(one, lambed=days_lambed(flock, one.ewe)))
    starts = {year: tuple(rounds_begun(items, found.terms.flock)) for year, items in put.items()}
    return {year: days for year, days in starts.items() if len(days) > 1}


def days_lambed(flock: Flock, ewe: str) -> tuple[date, ...]:
    """The days on which a ewe lambed."""
    notes = flock.by_animal.get(ewe, ())
    return tuple(note.date for note in notes if isinstance(note, Lambing) and note.date and ewe in flock.who(note)[:1])


def out_as_written(turn: Mating) -> date:
    """The last day of a mating that is written."""
    return max(event.out or event.date or turn.first_in for event in turn.joinings)


def untold(flock: Flock, found: Matings) -> Iterator[tuple[int, Put]]:
    """The litters that no joining explains, by year."""
    for event in flock.of(Lambing):
        year, dam = found.season_of.get(event.origin.path), next(iter(flock.who(event)), None)
        if year and dam and event.date and event.origin.path in found.unexplained:
            day = event.date - timedelta(days=found.terms.flock.mean)
            yield year, Put(day, dam, day, told=False)


def rounds_begun(items: Iterable[Put], gestation: Gestation) -> Iterator[date]:
    """The first days of the rounds of one year."""
    first, last = date.max, date.max
    for one in sorted(items, key=lambda one: (one.day, one.ewe)):
        if first == date.max or begins_another(one, (first, last), gestation):
            first, last = one.day, one.day
            yield first
        last = max(last, one.last) if one.told else last


def begins_another(one: Put, so_far: tuple[date, date], gestation: Gestation) -> bool:
    """Whether a ewe put to the ram begins another round than that of `so_far`, its first day and its last."""
    first, last = so_far
    alone = one.told and (one.day - last).days > ANOTHER_TURN
    again = any(apart_enough(first, day, gestation) and day < one.day for day in one.lambed)
    return apart_enough(first, one.day, gestation) and (alone or again)


def round_on(found: Matings, year: int, day: date) -> date | None:
    """The round of a year that had begun by a day, by its first day; None where the year has but one."""
    starts = found.rounds.get(year)
    return max((start for start in starts if start <= day), default=starts[0]) if starts else None


def round_of_birth(found: Matings, year: int, day: date) -> date | None:
    """The round of which a birth on that day is."""
    return round_on(found, year, day - timedelta(days=found.terms.flock.extremes[0]))


def next_round(found: Matings, year: int) -> date | None:
    """The day on which the year's next round began, after that which alone is in these matings."""
    if found.within is None or found.within[0] != year:
        return None
    return min((day for day in found.rounds[year] if day > found.within[1]), default=None)


def tells_of(found: Matings, year: int, day: date) -> bool:
    """Whether a scan or a loss of that day, of a ewe joined for that year, is of a round that is in these matings."""
    return found.within is None or found.within[0] != year or round_on(found, year, day) == found.within[1]


def in_round(found: Matings, year: int, start: date | None) -> Matings:
    """The matings, of one year those of one round alone; all of them where the year has but one (`start` None)."""
    if start is None:
        return found
    mine: dict[tuple[str, int], Mating] = {}
    for key in found.by_ewe:
        turns = [turn for turn in found.turns_of(*key) if round_on(found, year, turn.first_in) == start]
        if key[1] == year and turns:
            mine[key] = turns[-1]
    others: Mapping[tuple[str, int], Mating] = {key: one for key, one in found.by_ewe.items() if key[1] != year}
    turns_left = {key: turns for key, turns in found.turns.items() if key[1] != year}
    return replace(found, by_ewe={**others, **mine}, turns=turns_left, within=(year, start))
