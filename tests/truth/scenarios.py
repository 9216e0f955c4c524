"""What can happen around a dose, each by name: a function that lets it happen on a farm and gives the dose's name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from random import Random

from tests.truth.farm import LONG, Farm, settled
from tests.truth.world import Animal, Unfit, World

Happens = Callable[[Farm], str]


@dataclass(frozen=True)
class Scenario:
    """One by name; `day` where it needs a day of its own in the year."""

    name: str
    happens: Happens
    day: date | None = None


SCENARIOS: dict[str, Scenario] = {}


def scenario(day: date | None = None) -> Callable[[Happens], Happens]:
    """Enter a scenario under its function's name."""

    def enter(happens: Happens) -> Happens:
        SCENARIOS[happens.__name__] = Scenario(happens.__name__, happens, day)
        return happens

    return enter


def world_of(names: tuple[str, ...], seed: int) -> tuple[World, tuple[str, ...]]:
    """The world of one seed in which these scenarios happen, one after the other, and the names of their doses."""
    chance = Random(f"{names} {seed}")
    days = [SCENARIOS[name].day for name in names if SCENARIOS[name].day]
    farm = Farm(chance, days[0] if days else None)
    idents, worlds = [], []
    for name in names:
        idents.append(SCENARIOS[name].happens(farm))
        worlds.append(farm.world())
    world = settled(farm, idents)
    check(world, [(before, ident) for before, ident in zip(worlds, idents, strict=True)])
    return world, tuple(idents)


def check(world: World, before: list[tuple[World, str]]) -> None:
    """Refuse a world in which a later scenario changed where somebody stood at an earlier one's dose."""
    for old, ident in before:
        if any(old.where(key, at) != world.where(key, at) for at in old.dose(ident).moments for key in old.animals):
            raise Unfit(f"{ident} was of another truth")
    tags = [world.tag(key) for key in world.living() if world.tag(key)]
    if len(set(tags)) < len(tags):
        raise Unfit("two living animals of one tag")


# -- sheep by sheep


@scenario()
def one(farm: Farm) -> str:
    """One grown animal."""
    return farm.dose([farm.chance.choice(farm.grown())], farm.moment(0, 10))


@scenario()
def one_named(farm: Farm) -> str:
    """One ewe with a plain name."""
    return farm.dose([farm.called(farm.chance.choice(("Bramble", "Teasel")))], farm.moment(0, 10))


@scenario()
def one_unnamed(farm: Farm) -> str:
    """One ewe that has only a tag."""
    return farm.dose([farm.called(farm.chance.choice(("C230", "C231")))], farm.moment(0, 10))


@scenario()
def pair(farm: Farm) -> str:
    """Two ewes that have only a tag each."""
    return farm.dose([farm.called("C230"), farm.called("C231")], farm.moment(0, 10))


@scenario()
def pair_named(farm: Farm) -> str:
    """Two ewes with names."""
    return farm.dose([farm.called("Bramble"), farm.called("Teasel")], farm.moment(0, 10))


@scenario()
def several(farm: Farm) -> str:
    """Two to four grown animals, with names or without."""
    return farm.dose(farm.chance.sample(farm.grown(), farm.chance.randint(2, 4)), farm.moment(0, 10))


@scenario()
def salt(farm: Farm) -> str:
    """A ewe whose name holds an `and`, and another."""
    who = (
        farm.called("Salt and Pepper")
        if known(farm, "Salt and Pepper")
        else farm.adult("ewe", "C209", "Salt and Pepper", "hill")
    )
    return farm.dose([who, farm.called("Teasel")], farm.moment(0, 10))


@scenario()
def odd_name(farm: Farm) -> str:
    """A ewe whose name is also a word: No, May, Rose."""
    named = [name for name in ("No", "May", "Rose") if known(farm, name)]
    key = farm.called(named[0]) if named else farm.adult("ewe", "C210", "No", "hill")
    return farm.dose([key], farm.moment(0, 10))


@scenario()
def near_tags(farm: Farm) -> str:
    """A ewe of tag 115 beside 12 and others."""
    key = farm.called("115") if known(farm, "115") else farm.adult("ewe", "115", "", "hill")
    return farm.dose([farm.called("12"), key], farm.moment(0, 10))


@scenario()
def one_tagged_lamb(farm: Farm) -> str:
    """One lamb with a tag."""
    return farm.dose([farm.chance.choice(farm.lambs(tagged=True))], farm.moment(0, 10))


@scenario()
def one_untagged_lamb(farm: Farm) -> str:
    """One lamb without a tag."""
    return farm.dose([farm.chance.choice(farm.lambs(tagged=False))], farm.moment(0, 10))


@scenario()
def ewe_and_lamb(farm: Farm) -> str:
    """A ewe and a lamb of hers."""
    lamb = farm.chance.choice(farm.lambs(tagged=False))
    return farm.dose([farm.animals[lamb].dam, lamb], farm.moment(0, 10))


@scenario()
def row(farm: Farm) -> str:
    """Hoggs with tags in a row, all of them dosed."""
    first = 738
    keys = [farm.adult("ewe", str(first + n), "", "low", born=date(farm.day.year - 1, 4, 3)) for n in range(3)]
    return farm.dose(keys, farm.moment(0, 10))


@scenario()
def course(farm: Farm) -> str:
    """One ewe on three days."""
    moments = tuple(farm.moment(day, 18) for day in range(3))
    return farm.dose([farm.called(farm.chance.choice(("Bramble", "C230")))], moments)


@scenario()
def one_long(farm: Farm) -> str:
    """One ewe, with a medicine that holds for weeks, asked a week later at the earliest."""
    ident = farm.dose([farm.called(farm.chance.choice(("Teasel", "C231")))], farm.moment(0, 10), medicine=long(farm))
    farm.weigh({farm.called("C230"): 64}, farm.moment(8))
    return ident


@scenario()
def two_long(farm: Farm) -> str:
    """Two ewes, with a medicine that holds for weeks, asked a week later at the earliest."""
    who = [farm.called("C230"), farm.called("Teasel")]
    ident = farm.dose(who, farm.moment(0, 10), medicine=long(farm))
    farm.weigh({farm.called("C230"): 64}, farm.moment(8))
    return ident


@scenario(date(2025, 12, 30))
def new_year(farm: Farm) -> str:
    """Two days before new year, asked after it."""
    ident = farm.dose([farm.called("C230"), farm.called("Bramble")], farm.moment(0, 10), medicine=long(farm))
    farm.weigh({farm.called("C230"): 64}, farm.moment(5))
    return ident


@scenario(date(2026, 3, 28))
def clocks(farm: Farm) -> str:
    """The evening before the clocks go forward, with a period in hours."""
    return farm.dose([farm.called("C231")], farm.moment(0, 18), medicine="procaine penicillin", timed=True)


# -- mobs and classes


@scenario()
def mob(farm: Farm) -> str:
    """The grown sheep of the hill."""
    at = farm.moment(0, 10)
    return farm.dose(farm.grown_in("hill", at), at)


@scenario()
def mob_and_lambs(farm: Farm) -> str:
    """All that stood on the hill, lambs too."""
    at = farm.moment(0, 10)
    return farm.dose(farm.pen("hill", at), at)


@scenario()
def told_as_mob(farm: Farm) -> str:
    """All that stood on the hill, lambs too, told as a mob; sorted into it days before."""
    at = farm.moment(0, 10)
    farm.draft([farm.called("C231")], farm.moment(-9), "low")
    farm.draft([farm.called("C230"), *farm.all_of("wether")], farm.moment(-6), "hill")
    return farm.dose(farm.pen("hill", at), at, mob="hill")


@scenario()
def two_mobs(farm: Farm) -> str:
    """All that stood on the hill and below it."""
    at = farm.moment(0, 10)
    return farm.dose(farm.pen("hill", at) | farm.pen("low", at), at)


@scenario()
def mob_and_one(farm: Farm) -> str:
    """The grown sheep of the tups' field, and one ewe."""
    at = farm.moment(0, 10)
    return farm.dose([*farm.grown_in("tups", at), farm.called("Teasel")], at)


@scenario()
def mob_but_one(farm: Farm) -> str:
    """The grown sheep of the hill but one."""
    at = farm.moment(0, 10)
    hill = farm.grown_in("hill", at)
    return farm.dose(farm.chance.sample(hill, len(hill) - 1), at)


@scenario()
def odd_mob(farm: Farm) -> str:
    """A mob whose name has an apostrophe and a dash, told by it."""
    farm.mobs.append("Pike's lot - far")
    farm.draft([farm.called("C230"), farm.called("Bramble")], farm.moment(-8), "Pike's lot - far")
    at = farm.moment(0, 10)
    return farm.dose(farm.grown_in("Pike's lot - far", at), at)


@scenario()
def ewes(farm: Farm) -> str:
    """All grown ewes."""
    return farm.dose(farm.all_of("ewe"), farm.moment(0, 10))


@scenario()
def rams(farm: Farm) -> str:
    """All grown rams."""
    return farm.dose(farm.all_of("ram"), farm.moment(0, 10))


@scenario()
def wethers(farm: Farm) -> str:
    """All wethers."""
    return farm.dose(farm.all_of("wether"), farm.moment(0, 10))


@scenario()
def all_lambs(farm: Farm) -> str:
    """All lambs of the year."""
    return farm.dose(farm.lambs(tagged=True) + farm.lambs(tagged=False), farm.moment(0, 10))


@scenario()
def everybody(farm: Farm) -> str:
    """The whole flock."""
    return farm.dose(list(farm.animals), farm.moment(0, 10))


@scenario()
def drafted_after(farm: Farm) -> str:
    """The hill in the morning; one of it sorted into the low mob in the afternoon."""
    at = farm.moment(0, 8)
    farm.draft([farm.called("C230")], farm.moment(-7), "hill")
    hill = farm.grown_in("hill", at)
    farm.draft([farm.called("C230")], farm.moment(0, 16), "low")
    return farm.dose(hill, at)


@scenario()
def drafted_before(farm: Farm) -> str:
    """One sorted on to the hill in the morning, the hill done in the afternoon."""
    farm.draft([farm.called("C231"), *farm.all_of("wether")], farm.moment(0, 8), "hill")
    at = farm.moment(0, 16)
    return farm.dose(farm.grown_in("hill", at), at)


@scenario()
def drafted_later(farm: Farm) -> str:
    """The hill; two days later one of it is sorted out."""
    at = farm.moment(0, 8)
    hill = farm.grown_in("hill", at)
    farm.draft([hill[0]], farm.moment(2, 12), "low")
    ident = farm.dose(hill, at, medicine=long(farm))
    farm.weigh({farm.called("C230"): 64}, farm.moment(5))
    return ident


@scenario()
def drafted_within(farm: Farm) -> str:
    """The hill on three days; who came on the second day had the rest. All of them are held from the last dose."""
    farm.draft([farm.called("Teasel"), *farm.all_of("wether")], farm.moment(1, 6), "hill")
    moments = tuple(farm.moment(day, 18) for day in range(3))
    return farm.dose(farm.grown_in("hill", moments[-1]), moments, medicine=long(farm))


@scenario()
def foster_dam(farm: Farm) -> str:
    """A lamb set on to a ewe of another mob; that mob and its lambs are done."""
    dam, onto = farm.dry(), farm.mother()
    farm.draft([dam], farm.moment(-80), "low")
    farm.draft([onto], farm.moment(-81), "hill")
    lamb = farm.litter(dam, 1, tagged=False)[0]
    farm.foster(lamb, onto, farm.moment(-15))
    at = farm.moment(0, 10)
    return farm.dose(farm.pen("hill", at), at)


@scenario()
def drafted_dam(farm: Farm) -> str:
    """A ewe goes to another mob with her lamb; that mob and its lambs are done."""
    dam = farm.mother()
    farm.draft([dam], farm.moment(-9), "low")
    farm.draft([dam], farm.moment(-6), "hill")
    at = farm.moment(0, 10)
    return farm.dose(farm.pen("hill", at), at)


@scenario()
def born_that_day(farm: Farm) -> str:
    """A lamb of the morning is done with the mob in the evening."""
    dam = farm.dry()
    farm.draft([dam], farm.moment(-9), "hill")
    farm.litter(dam, 1, tagged=False, at=farm.moment(0, 5))
    at = farm.moment(0, 18)
    return farm.dose(farm.pen("hill", at), at)


@scenario()
def bought_that_day(farm: Farm) -> str:
    """A ewe bought in the morning is done with the mob in the evening."""
    key = newcomer(farm, "N501", "Plover")
    farm.buy([key], farm.moment(0, 9), "hill")
    at = farm.moment(0, 18)
    return farm.dose(farm.grown_in("hill", at), at)


@scenario()
def bought_alone(farm: Farm) -> str:
    """A ewe bought and done the same day."""
    key = newcomer(farm, "N501", "Plover")
    farm.buy([key], farm.moment(0, 9), "hill")
    return farm.dose([key], farm.moment(0, 18))


@scenario()
def bought_back(farm: Farm) -> str:
    """A ewe sold, bought back and then done."""
    key = farm.called("C230")
    farm.leave([key], farm.moment(-30), dead=False)
    farm.buy([key], farm.moment(-10), "hill")
    return farm.dose([key], farm.moment(0, 10))


@scenario()
def back_after_dose(farm: Farm) -> str:
    """A ewe done, sold as a store and bought back a few days later."""
    key = farm.called("C230")
    ident = farm.dose([key, farm.called("Bramble")], farm.moment(0, 10), medicine=long(farm))
    farm.leave([key], farm.moment(2), dead=False)
    farm.buy([key], farm.moment(4), "hill")
    return ident


# -- who is who


@scenario()
def retagged(farm: Farm) -> str:
    """A ewe loses her tag and gets another some days after the dose."""
    key = farm.called(farm.chance.choice(("C230", "Bramble")))
    ident = farm.dose([key], farm.moment(0, 10), medicine=long(farm))
    farm.tag(key, farm.moment(3), "0977")
    return ident


@scenario()
def retagged_before(farm: Farm) -> str:
    """A ewe gets another tag some days before the dose."""
    key = farm.called(farm.chance.choice(("C230", "Bramble")))
    farm.tag(key, farm.moment(-8), "0977")
    return farm.dose([key], farm.moment(0, 10))


@scenario()
def to_come(farm: Farm) -> str:
    """A lamb gets its tag some days after the dose."""
    key = farm.chance.choice(farm.lambs(tagged=False))
    ident = farm.dose([key], farm.moment(0, 10), medicine=long(farm))
    farm.tag(key, farm.moment(4), "801")
    return ident


@scenario()
def renamed(farm: Farm) -> str:
    """A ewe gets another name after the dose."""
    ident = farm.dose([farm.called("Teasel")], farm.moment(0, 10), medicine=long(farm))
    farm.rename(farm.called("Teasel"), farm.moment(3), "Duchess")
    return ident


@scenario()
def fostered_lamb(farm: Farm) -> str:
    """A lamb set on to another ewe is done."""
    lamb, onto = farm.litter(farm.dry(), 1, tagged=False)[0], farm.mother()
    farm.foster(lamb, onto, farm.moment(-15))
    return farm.dose([lamb], farm.moment(0, 10))


@scenario()
def tag_twice(farm: Farm) -> str:
    """A ewe died years ago; a hogg wears her tag today and is done."""
    old = farm.adult("ewe", "731", "Wren", "hill", born=date(farm.day.year - 8, 4, 4))
    farm.leave([old], datetime(farm.day.year - 2, 11, 3, 8), dead=True)
    young = farm.adult("ewe", "731", "", "low", born=date(farm.day.year - 1, 4, 3))
    return farm.dose([young], farm.moment(0, 10))


# -- medicines and doses


@scenario()
def heavy_and_light(farm: Farm) -> str:
    """Fifteen millilitres to a ewe of eighty kilos and to a lamb of twelve: the label covers the ewe only (W9)."""
    lamb = farm.chance.choice(farm.lambs(tagged=True))
    farm.weigh({farm.called("Bramble"): 80, lamb: 12}, farm.moment(-3))
    who = [farm.called("Bramble"), lamb]
    return farm.dose(who, farm.moment(0, 10), medicine="levamisole oral", ml="15 ml", astray=frozenset({lamb}))


@scenario()
def overdosed(farm: Farm) -> str:
    """Three times the label's dose to two ewes of sixty kilos (W9 for both)."""
    who = [farm.called("C230"), farm.called("Bramble")]
    farm.weigh(dict.fromkeys(who, 60), farm.moment(-3))
    more = {"medicine": "levamisole oral", "ml": "36 ml", "astray": frozenset(who)}
    return farm.dose(who, farm.moment(0, 10), **more)


@scenario()
def seller(farm: Farm) -> str:
    """A ewe bought two days after her seller dosed her."""
    key = newcomer(farm, "N501", "Plover")
    ident = farm.dose([key], farm.moment(0, 10), medicine=long(farm), timed=False)
    farm.buy([key], farm.moment(2), "hill")
    return ident


def newcomer(farm: Farm, tag: str, name: str) -> str:
    """A ewe that is bought; she is here from her purchase on."""
    key = f"ewe {tag}"
    if key in farm.animals:
        raise Unfit(f"{tag} is here already")
    farm.animals[key] = Animal(key, "ewe", date(farm.day.year - 3, 4, 12), tag, name, "", bought=True)
    return key


def known(farm: Farm, name: str) -> bool:
    """Whether somebody bears the name or tag."""
    return any(name in (animal.name, animal.tag) for animal in farm.animals.values())


def long(farm: Farm) -> str:
    """A medicine that holds for weeks."""
    return farm.chance.choice(LONG)
