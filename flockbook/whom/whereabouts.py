"""Who stood in which mob on which days, surely or perhaps, and which lambs ran at whose foot (rules V4 and V5)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta

from compiler.nearness import near
from compiler.shape import Value, field
from compiler.source import Span
from flockbook.flock import Animal, Flock
from flockbook.records.rearing import Weaning
from flockbook.records.sheep import EWE
from flockbook.roll import CLASS_WORDS, LAMB_WORDS, ONE_YEAR, key_of
from flockbook.whom.lexicon import MOB, Lexicon, tokens
from flockbook.whom.pieces import taken_apart

SUCKING_DAYS = 120  # a lamb is taken to suck until this age unless a weaning note says otherwise (common practice)
SUCK = timedelta(days=SUCKING_DAYS)
CROP_DAYS = 200  # lambs younger than this make those over a year old hoggs (common practice)
PARTED = re.compile(r"[,;&+/]|\band\b")  # between two mobs in one field
AGE_DOUBT = 60  # days around a class's limit of age within which it is doubtful who was meant (our own choice)


class Window(Value):
    """The days that a note can speak of, the first and the last among them."""

    first: date
    last: date

    def meets(self, first: date, last: date) -> bool:
        """Whether some day of it lies between two others."""
        return first <= self.last and last >= self.first


ALWAYS = Window(date.min, date.max)


class Stay(Value):
    """A sheep in a mob from a day to a day, both counted; `sure` unless a note about it could not be read whole: the
    one at `by`.
    """

    sheep: str
    first: date
    last: date
    sure: bool = True
    by: Span | None = None


MobStay = Iterator[tuple[str, Stay]]  # stays with the key of their mob; "" for any mob, or any foot


class Members(Value):
    """The sheep of a mob or class in a window: surely, perhaps, and the lambs at the foot of its members."""

    sure: frozenset[str] = frozenset()
    perhaps: frozenset[str] = frozenset()
    at_foot: frozenset[str] = frozenset()


class Whereabouts(Value):
    """Moved by mob (its key), lambs by the ewe whose foot they ran at, and the days on which lambs were weaned."""

    animals: Mapping[str, Animal]
    stays: Mapping[str, tuple[Stay, ...]] = field(default_factory=dict)
    anywhere: tuple[Stay, ...] = ()  # who may stand in any mob, or at any foot
    lambs: Mapping[str, tuple[Stay, ...]] = field(default_factory=dict)

    def members(self, mob: str, window: Window) -> Members:
        """Who was in a mob on any day of a window, with the lambs at the foot of its members."""
        met = [stay for stay in self.stays.get(mob, ()) if self.there(stay, window)]
        sure = frozenset(stay.sheep for stay in met if stay.sure)
        perhaps = frozenset(stay.sheep for stay in met) - sure
        perhaps |= frozenset(stay.sheep for stay in self.anywhere if self.there(stay, window))
        feet = self.at_foot(sure, window)
        return Members(sure, (perhaps | self.at_foot(perhaps, window)) - sure - feet, feet - sure)

    def left_open_by(self, mobs: Iterable[str], window: Window) -> dict[str, Span]:
        """The places that leave it open who was in some mobs in a window, by the sheep of which it is not sure; where
        the foot that a lamb ran at was not sure, or its dam, that of its own or of hers.
        """
        met = [stay for mob in mobs for stay in self.stays.get(mob, ()) if self.there(stay, window)]
        met += [stay for stay in self.anywhere if self.there(stay, window)]
        found = {stay.sheep: stay.by for stay in reversed(met) if stay.by is not None}
        lambs = {lamb: found[ewe] for ewe in found for lamb in self.at_foot((ewe,), window)}
        return {**lambs, **found}

    def there(self, stay: Stay, window: Window) -> bool:
        """Whether a stay, and the sheep itself, meet a window."""
        return window.meets(stay.first, stay.last) and present(self.animals[stay.sheep], window)

    def at_foot(self, ewes: Iterable[str], window: Window) -> frozenset[str]:
        """The lambs that ran at the foot of these ewes on some day of a window."""
        return frozenset(stay.sheep for ewe in ewes for stay in self.lambs.get(ewe, ()) if self.there(stay, window))

    def of_class(self, word: str, window: Window) -> Members:
        """Who was of a class (`ewes`, `lambs`, `all`) on any day of a window; a class brings no lambs."""
        crop = word in LAMB_WORDS and self.has_crop(window)
        graded = {
            animal.id: class_of(animal, word, window, crop)
            for animal in self.animals.values()
            if present(animal, window)
        }
        return Members(
            frozenset(sheep for sheep, sure in graded.items() if sure),
            frozenset(sheep for sheep, sure in graded.items() if sure is None),
        )

    def has_crop(self, window: Window) -> bool:
        """Whether lambs of a younger crop are here, so that last year's are hoggs and not lambs."""
        young = (animal.born.earliest for animal in self.animals.values() if animal.born and present(animal, window))
        return any(born <= window.last and (window.last - born).days <= CROP_DAYS for born in young)

    def everybody(self, window: Window) -> frozenset[str]:
        """Everybody who was here on some day of a window."""
        return frozenset(animal.id for animal in self.animals.values() if present(animal, window))


def present(animal: Animal, window: Window) -> bool:
    """Whether a sheep was here on some day of a window; a birthday that is partly known counts from its first day."""
    born, gone = animal.born.earliest if animal.born else date.min, animal.left.date if animal.left else date.max
    came = max(born, animal.arrived or date.min)
    if came > gone:  # it left, and was bought back
        came, gone = born, date.max
    return came <= window.last and gone >= window.first


def class_of(animal: Animal, word: str, window: Window, crop: bool = False) -> bool | None:
    """Whether a sheep is of a class: True, False, or None where its sex is not known or its age is near the limit.
    Where there is a younger `crop`, last year's lambs are no lambs any more.
    """
    if word == "all":
        return True
    young = word in LAMB_WORDS
    sexes = LAMB_WORDS[word] if young else CLASS_WORDS[word]
    if animal.sex is not None and animal.sex not in sexes:
        return False
    aged = of_age(animal, young, window)
    if aged is None and crop and animal.born is not None:
        aged = False
    unsexed = animal.sex is None and None not in sexes
    return None if aged and unsexed else aged


def of_age(animal: Animal, young: bool, window: Window) -> bool | None:
    """Whether a sheep counts as a lamb (or as grown) on some day; None near the limit, or of unknown age."""
    if animal.born is None:
        kept = animal.note is not None and animal.note.origin.kind == "lamb"
        return None if young or kept else True
    youngest, oldest = (window.first - animal.born.latest).days, (window.last - animal.born.earliest).days
    if young:
        return True if youngest < ONE_YEAR else None if youngest < ONE_YEAR + AGE_DOUBT else False
    return True if oldest >= ONE_YEAR else None if oldest >= ONE_YEAR - AGE_DOUBT else False


def whereabouts_of(flock: Flock, lexicon: Lexicon, unsure: Iterable[tuple[str, Stay]]) -> Whereabouts:
    """The stays of a flock; `unsure` are those that a note which could not be read whole makes possible, by mob ("": in
    any mob).
    """
    stays: dict[str, list[Stay]] = {}
    for animal in flock.animals.values():
        for mob, stay in stays_of(animal, lexicon):
            stays.setdefault(mob, []).append(stay)
    for mob, stay in unsure:
        stays.setdefault(mob, []).append(stay)
    with_twins(stays, lexicon)
    anywhere = (*stays.pop("", ()), *homeless(flock, bool(stays)))
    return Whereabouts(
        flock.animals, {mob: tuple(items) for mob, items in stays.items()}, anywhere, lambs_at_foot(flock)
    )


def homeless(flock: Flock, mobs: bool) -> Iterator[Stay]:
    """Where a flock goes in mobs: lambs whose dam is not known, as long as they may suck, and sheep that were bought
    and that no note puts anywhere.
    """
    for animal in flock.animals.values() if mobs else ():
        if animal.born is None:
            continue
        if animal.dam is None and (animal.birth is not None or has_a_dam(animal) or is_noted_lamb(animal)):
            until = animal.born.latest + timedelta(days=SUCKING_DAYS)
            yield Stay(animal.id, animal.born.earliest, until, False, dam_written_at(animal))
        elif animal.mobs:
            continue
        elif animal.arrived is not None and animal.note is None:
            yield Stay(animal.id, animal.arrived, date.max, False)


def dam_written_at(animal: Animal) -> Span | None:
    """Where the dam of a lamb is written, or ought to be."""
    if animal.birth is not None:
        return animal.birth.note.origin.span("ewe")
    return animal.note.origin.span("dam") if animal.note is not None else None


def has_a_dam(animal: Animal) -> bool:
    """Whether its own note names a dam, whoever that is."""
    return bool(animal.dam_name or (animal.note and animal.note.dam))


def is_noted_lamb(animal: Animal) -> bool:
    """Whether an animal has a note of its own as a lamb, or a day of birth and no mob."""
    return (
        animal.note is not None
        and not animal.mobs
        and animal.arrived is None
        and animal.born is not None
        and (animal.born.exact is not None or animal.note.origin.kind == "lamb")
    )


def stays_of(animal: Animal, lexicon: Lexicon) -> Iterator[tuple[str, Stay]]:
    """The stays of one sheep. An undated claim stands until the first dated one that is no birth; a dated one until the
    next day that has one. Two claims for one day are both places (V5).
    """
    born = animal.birth.note.origin.path if animal.birth else ""
    claims = [(item, item.note == born) for item in animal.mobs]
    dated = sorted({item.since for item, _ in claims if item.since})
    moved = sorted({item.since for item, birth in claims if item.since and not birth})
    for item, _ in claims:
        first, later = item.since or date.min, moved
        if item.since is not None:
            later = [day for day in dated if day > item.since]
        for key in mob_keys(item.mob, lexicon):
            yield key, Stay(animal.id, first, later[0] if later else date.max)


def mob_keys(text: str, lexicon: Lexicon) -> tuple[str, ...]:
    """The mobs that a field names: the whole text, its parts, and every mob whose name stands in it (`the hill`)."""
    pieces = (piece for part in (text, *text.split()) for piece in taken_apart(part, lexicon))
    known = (bearer.name for piece in pieces for bearer in piece.bearers if bearer.sort == MOB)
    parts = (" ".join(tokens(part)) for part in PARTED.split(text))
    return tuple(dict.fromkeys(key for key in (" ".join(tokens(text)), *parts, *known) if key))


def with_twins(stays: dict[str, list[Stay]], lexicon: Lexicon) -> None:
    """A mob that nothing declares and that is one slip from another: whoever is in it may be in the other (V5)."""
    for mob in [key for key in stays if key not in lexicon.declared]:
        for other in near(mob, (name for name in lexicon.mobs if name != mob)):
            one, two = ([stay for stay in stays.get(name, ()) if stay.sure] for name in (mob, other))
            stays.setdefault(other, []).extend(Stay(stay.sheep, stay.first, stay.last, False) for stay in one)
            stays[mob].extend(Stay(stay.sheep, stay.first, stay.last, False) for stay in two)


def lambs_at_foot(flock: Flock) -> dict[str, tuple[Stay, ...]]:
    """By ewe: the lambs at her foot, as dam and as foster mother, until they are weaned or 120 days old. A lamb that
    was fostered is taken to have run with either (V4).
    """
    weaned = weaned_days(flock)
    found: dict[str, list[Stay]] = {}
    for animal in flock.animals.values():
        born = animal.born.earliest if animal.born else None
        if born is None or (animal.dam is None and not animal.nursings):
            continue
        old = (animal.born.latest if animal.born else born) + timedelta(days=SUCKING_DAYS)
        last = min(old, weaned.get(animal.id, old))
        for ewe in dict.fromkeys((animal.dam, *(item.ewe for item in animal.nursings))):
            if ewe is not None:
                found.setdefault(ewe, []).append(Stay(animal.id, born, last))
    for ewe, stay in bought_couples(flock):
        found.setdefault(ewe, []).append(stay)
    for ewe, before in returned(flock):
        found.setdefault(ewe, []).extend(found.get(before, ()))
    return {ewe: tuple(stays) for ewe, stays in found.items()}


def bought_couples(flock: Flock) -> Iterator[tuple[str, Stay]]:
    """Lambs that were bought young together with ewes: each may be any of theirs."""
    by_day: dict[date, list[Animal]] = {}
    for animal in flock.animals.values():
        if animal.arrived is not None and animal.born is not None and animal.birth is None:
            by_day.setdefault(animal.arrived, []).append(animal)
    for day, bought in by_day.items():
        young = [one for one in bought if one.dam is None and is_young(one, day)]
        ewes = [one for one in bought if one.sex == EWE and one not in young] if young else []
        for ewe in ewes:
            yield from ((ewe.id, Stay(one.id, day, last_at_foot(one))) for one in young)


def last_at_foot(animal: Animal) -> date:
    """The last day on which an animal is taken to suck."""
    return (animal.born.latest if animal.born else date.max - SUCK) + SUCK


def returned(flock: Flock) -> Iterator[tuple[str, str]]:
    """Ewes bought under a tag of one who had been sold alive, with her: they may be one, and her lambs hers."""
    sold: dict[str, list[Animal]] = {}
    for animal in flock.animals.values():
        for tag in animal.tags if animal.left and not animal.left.dead else ():
            sold.setdefault(key_of(tag), []).append(animal)
    for animal in flock.animals.values():
        for before in (one for tag in animal.tags for one in sold.get(key_of(tag), ()) if animal.arrived):
            if before is not animal and before.left and animal.arrived and before.left.date <= animal.arrived:
                yield animal.id, before.id


def weaned_days(flock: Flock) -> dict[str, date]:
    """The first day on which a note weans each lamb; the day itself is still one at foot."""
    found: dict[str, date] = {}
    for event in flock.events:
        if isinstance(event, Weaning) and event.date:
            for sheep in flock.who(event):
                found.setdefault(sheep, event.date)
    return found


def is_young(animal: Animal, day: date) -> bool:
    """Whether an animal could suck on a day."""
    return animal.born is not None and animal.born.earliest <= day <= animal.born.latest + SUCK


def stays(ids: Iterable[str], mob: str, since: date) -> Iterator[tuple[str, Stay]]:
    """These sheep may be in a mob from a day on."""
    key = " ".join(tokens(mob))
    for sheep in ids:
        yield key, Stay(sheep, since, date.max, False)
