"""Making a failure small: ways, animals, happenings and the rest are dropped, as long as it still fails."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial, reduce

from tests.truth.world import Animal, Key, Unfit, World
from tests.truth.writing import Writing

Fails = Callable[[Writing], bool]
Drop = Callable[[Writing], Writing]


def smallest(writing: Writing, fails: Fails) -> Writing:
    """The smallest writing found that still fails."""
    before = None
    while before != writing:
        before = writing
        for drop in drops(writing):
            writing = tried_without(writing, drop, fails)
    return writing


def tried_without(writing: Writing, drop: Drop, fails: Fails) -> Writing:
    """One thing less, if it still fails; a way that no longer fits its world does not count."""
    try:
        less = drop(writing)
        return less if less != writing and stands(writing, less) and fails(less) else writing
    except (Unfit, LookupError, StopIteration, ValueError, AssertionError):
        return writing


def drops(writing: Writing) -> Iterator[Drop]:
    """Everything that can be left out, the largest first."""
    world = writing.world
    told = [item.ident for item in world.happenings if item.ident not in writing.idents]
    dosed = {key for dose in world.doses() if dose.ident in writing.idents for key in dose.who}
    given = {dose.medicine for dose in world.doses()}
    others = [key for key in reversed(world.animals) if key not in dosed]
    yield from (partial(without_way, number=number) for number in range(len(writing.ways)))
    for change, names in (
        (World.short_of, told),
        (World.without, others),
        (World.without, sorted(dosed)),
        (without_medicine, [name for name in world.medicines if name not in given]),
        (without_mob, list(world.mobs)),
        (plainer, list(world.animals)),
    ):
        yield partial(elsewhere, change=change, names=names)
        yield from (partial(elsewhere, change=change, names=[name]) for name in names)


def elsewhere(writing: Writing, change: Callable[[World, str], World], names: list[str]) -> Writing:
    """The same ways in a smaller world."""
    return replace(writing, world=reduce(change, names, writing.world))


def stands(before: Writing, after: Writing) -> bool:
    """Whether everybody left still stands where they stood when the doses were given: else the truth was changed."""
    world, less = before.world, after.world
    return all(
        world.where(key, at) == less.where(key, at)
        for dose in less.doses()
        if dose.ident in after.idents
        for at in dose.moments
        for key in less.animals
    )


def without_way(writing: Writing, number: int) -> Writing:
    """One way less, if there are two."""
    kept = [n for n in range(len(writing.ways)) if n != number] or [number]
    ways, idents = tuple(writing.ways[n] for n in kept), tuple(writing.idents[n] for n in kept)
    return replace(writing, ways=ways, idents=idents)


def without_medicine(world: World, name: str) -> World:
    """One bottle less, if nobody had it."""
    assert all(name != dose.medicine for dose in world.doses())
    return replace(world, medicines={key: item for key, item in world.medicines.items() if key != name})


def without_mob(world: World, name: str) -> World:
    """One mob less, if nobody began in it."""
    assert all(name != animal.mob for animal in world.animals.values())
    return replace(world, mobs=tuple(mob for mob in world.mobs if mob != name))


def plainer(world: World, key: Key) -> World:
    """One animal without its official and electronic numbers."""
    animal: Animal = replace(world.animals[key], eid="", official="")
    return replace(world, animals={**world.animals, key: animal})
