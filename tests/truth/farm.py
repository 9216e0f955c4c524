"""Stocking an invented farm and letting things happen on it; `World` is what comes of it.

The farm is Nether Yarrow, which does not exist. The flock is full of traps for readers: a ewe called May, one called
No, Salt and Pepper, Jill beside a mob called hill, tags 12 and 012 and 115, C230 beside C231.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from random import Random
from typing import TypeVar

from tests.truth.world import (
    FOREVER,
    Animal,
    Born,
    Bought,
    Dosed,
    Drafted,
    Fostered,
    Happening,
    Key,
    Left,
    Medicine,
    Period,
    Renamed,
    Tagged,
    Weighed,
    World,
)

T = TypeVar("T")

ALWAYS = (("C214", "Bramble"), ("C902", "Teasel"), ("C230", ""), ("C231", ""), ("12", "Jill"))
SOMETIMES = (
    ("012", "Rose"), ("115", "May"), ("C209", "Salt and Pepper"), ("C210", "No"), ("C217", "Old Meg"),
    ("C305", "Una's Pet"), ("C306", "Thrift"), ("C312", ""), ("C320", "Heather"), ("C240", "Pepper"), ("0412", "Fern"),
)  # fmt: skip
CUPBOARD = (
    Medicine("moxidectin oral", Period("14 days"), Period("5 days")),
    Medicine("oxytetracycline LA", Period("28 days"), Period("7 days")),
    Medicine("closantel oral", Period("35 days"), Period("not for milk")),
    Medicine("procaine penicillin", Period("96 hours"), Period("72 hours")),
)
RATED = Medicine("levamisole oral", Period("20 days"), Period("4 days"), "1 ml per 5 kg")
LONG = ("oxytetracycline LA", "closantel oral")


class Farm:
    """A farm while its year is being made up; every choice comes from one `Random`."""

    def __init__(self, chance: Random, day: date | None = None) -> None:
        self.chance = chance
        self.day = day or date(2026, 5, 20) + timedelta(days=chance.randrange(50))
        self.animals: dict[Key, Animal] = {}
        self.happenings: list[Happening] = []
        self.medicines = {item.name: item for item in (*CUPBOARD, RATED)}
        self.mobs = ["hill", "low", "tups"]
        self._stock()

    # -- the stock

    def _stock(self) -> None:
        some = self.chance.sample(SOMETIMES, self.chance.randint(2, 5))
        for turn, (tag, name) in enumerate((*ALWAYS, *some)):
            self.adult("ewe", tag, name, "low" if turn % 3 == 2 else "hill")
        for tag, name in (("H041", "Harrow"), ("P233", "Pike"))[: self.chance.randint(1, 2)]:
            self.adult("ram", tag, name, "tups")
        for tag, name in (("640", ""), ("641", "Button"))[: self.chance.randint(1, 2)]:
            self.adult("wether", tag, name, "low", born=date(self.day.year - 1, 4, 9))
        self._lambs()
        self._long_ago()

    def adult(self, sex: str, tag: str, name: str = "", mob: str = "hill", *, born: date | None = None) -> Key:
        """A founder."""
        key = f"{sex} {len(self.animals) + 1}"
        birthday = born or date(self.day.year - self.chance.randint(2, 6), 4, self.chance.randint(1, 28))
        number = len(self.animals) + 1
        self.animals[key] = Animal(
            key, sex, birthday, tag, name, mob, eid=f"826070999{number:06}", official=f"UK 709777 {number:05}"
        )
        return key

    def _lambs(self) -> None:
        mothers = self.chance.sample(self.all_of("ewe"), self.chance.randint(3, 5))
        for turn, dam in enumerate(mothers):
            self.litter(dam, self.chance.choice((1, 1, 2)), tagged=turn % 2 == 0)

    def litter(self, dam: Key, size: int, *, tagged: bool, at: datetime | None = None) -> tuple[Key, ...]:
        """Lambs born, of different sex, with tags in a row or with paint numbers only."""
        moment = at or self.moment(-self.chance.randint(25, 60))
        sexes = self.chance.sample(("ewe", "ram"), size)
        lambs = tuple(self._lamb(dam, sex, moment, tagged=tagged) for sex in sexes)
        self.happenings.append(Born(self._ident("birth"), moment, dam, lambs))
        return lambs

    def _lamb(self, dam: Key, sex: str, at: datetime, *, tagged: bool) -> Key:
        count = sum(bool(animal.dam) for animal in self.animals.values())
        key = f"lamb {count + 1}"
        tag = str(751 + count) if tagged else ""
        self.animals[key] = Animal(key, sex, at.date(), tag, dam=dam, paint=0 if tagged else 1 + count)
        return key

    def _long_ago(self) -> None:
        """A dose that was over long before."""
        who = self.chance.sample(self.all_of("ewe"), 2)
        self.dose(who, self.moment(-self.chance.randint(90, 150)), medicine="moxidectin oral")

    # -- asking

    def all_of(self, sex: str) -> list[Key]:
        """Grown animals of one sex, in order of their coming."""
        return [key for key, animal in self.animals.items() if animal.sex == sex and not animal.dam]

    def grown(self) -> list[Key]:
        """All that are no lambs."""
        return [key for key, animal in self.animals.items() if not animal.dam]

    def dry(self) -> Key:
        """A ewe that has not lambed this year."""
        mothers = {item.dam for item in self.happenings if isinstance(item, Born)}
        left = [key for key in self.all_of("ewe") if key not in mothers]
        return left[0] if left else self.adult("ewe", "C333", "", "low")

    def mother(self) -> Key:
        """A ewe that has lambed this year."""
        return next(item.dam for item in self.happenings if isinstance(item, Born))

    def lambs(self, *, tagged: bool) -> list[Key]:
        """Lambs with a tag, or without one."""
        return [key for key, animal in self.animals.items() if animal.dam and bool(animal.tag) == tagged]

    def called(self, name: str) -> Key:
        """Who bears a name or tag."""
        return next(key for key, animal in self.animals.items() if name in (animal.name, animal.tag))

    def world(self, on: datetime = FOREVER) -> World:
        """What has happened so far, in order of time."""
        told = sorted(self.happenings, key=lambda item: item.at)
        return World(dict(self.animals), dict(self.medicines), tuple(self.mobs), tuple(told), on)

    def pen(self, mob: str, at: datetime) -> frozenset[Key]:
        """Who stands in a mob at a moment."""
        return self.world().pen(mob, at)

    def grown_in(self, mob: str, at: datetime) -> list[Key]:
        """The grown animals of a mob."""
        return [key for key in self.animals if key in self.pen(mob, at) and not self.animals[key].dam]

    # -- happenings

    def moment(self, days: int = 0, hour: int | None = None) -> datetime:
        """A moment so many days after the day of the dose."""
        clock = time(self.chance.randint(6, 20) if hour is None else hour, self.chance.randrange(60))
        return datetime.combine(self.day + timedelta(days=days), clock)

    def dose(self, who: Iterable[Key], at: datetime | tuple[datetime, ...], **more: object) -> str:
        """A dose; gives its name."""
        moments = at if isinstance(at, tuple) else (at,)
        told: dict[str, object] = {
            "medicine": self.chance.choice(CUPBOARD).name,
            "timed": self.chance.random() < 0.7,
            **more,
        }
        ml = self.chance.choice(("2 ml", "2.5 ml", "3 ml", "5 ml", "8 ml"))
        self.happenings.append(Dosed(self._ident("dose"), moments, frozenset(who), **{"ml": ml, **told}))  # type: ignore[arg-type]
        return self.happenings[-1].ident

    def draft(self, who: Iterable[Key], at: datetime, into: str) -> str:
        """Sheep sorted into a mob."""
        return self._add(Drafted(self._ident("draft"), at, frozenset(who), into))

    def tag(self, who: Key, at: datetime, tag: str) -> str:
        """A tag put in."""
        return self._add(Tagged(self._ident("tagging"), at, who, tag))

    def rename(self, who: Key, at: datetime, name: str) -> str:
        """A new name."""
        return self._add(Renamed(self._ident("naming"), at, who, name))

    def foster(self, lamb: Key, onto: Key, at: datetime) -> str:
        """A lamb set on."""
        return self._add(Fostered(self._ident("foster"), at, lamb, onto))

    def leave(self, who: Iterable[Key], at: datetime, *, dead: bool) -> str:
        """Dead or sold."""
        return self._add(Left(self._ident("leaving"), at, frozenset(who), dead))

    def buy(self, who: Iterable[Key], at: datetime, into: str) -> str:
        """Bought, or bought back."""
        return self._add(Bought(self._ident("purchase"), at, frozenset(who), into))

    def weigh(self, kilos: dict[Key, int], at: datetime) -> str:
        """Weighed."""
        return self._add(Weighed(self._ident("weighing"), at, tuple(kilos.items())))

    def _add(self, item: Happening) -> str:
        self.happenings.append(item)
        return item.ident

    def _ident(self, what: str) -> str:
        return f"{what} {len(self.happenings) + 1}"


def settled(farm: Farm, idents: Iterable[str]) -> World:
    """The farm's world, asked about at a telling moment: mostly while the doses in question still count."""
    world = farm.world()
    ends = [world.until(key, "meat") for ident in idents for key in sorted(world.dose(ident).who)]
    last = max(max(item.at for item in world.happenings), *(dose.moments[-1] for dose in world.doses()))
    return farm.world(asked(farm.chance, last + timedelta(minutes=1), min(ends)))


def asked(chance: Random, first: datetime, end: datetime) -> datetime:
    """A moment between the last happening and the first end; sometimes the very last minute, sometimes after it."""
    last = min(end, first + timedelta(days=60))
    if last <= first:
        return first
    minutes = int((last - first).total_seconds() // 60)
    later = chance.choices((chance.randrange(minutes), minutes - 1, minutes + 1, minutes + 4321), (80, 8, 6, 6))[0]
    return first + timedelta(minutes=max(later, 0))
