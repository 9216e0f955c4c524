"""Which records could be one animal, so that what holds one holds each (V6)."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import combinations

from flockbook.flock import Animal, Flock
from flockbook.roll import key_of
from flockbook.whom.lexicon import bare

A_MONTH = 31  # days within which a birth must be known to tell that two notes may be of one sheep (our own choice)


def wearers(flock: Flock) -> dict[tuple[str, ...], list[str]]:
    """Sheep by each tag and number they go by, and by the two records that may be one; two lambs of one litter are
    never one animal.
    """
    found: dict[tuple[str, ...], list[str]] = {}
    tags = {key_of(tag) for animal in flock.animals.values() for tag in animal.tags}  # one's name may be another's tag
    litters: dict[str, set[tuple[str, int]]] = {}
    for animal in flock.animals.values():
        numbers = (bare(animal.note.official or ""), bare(animal.note.eid or "")) if animal.note else ()
        born = (animal.birth.note.origin.path, 0) if animal.birth else None
        name = key_of(animal.name or "")
        words = [key_of(word) for word in (*animal.tags, *numbers) if word]
        words += [bare(word) for word in animal.tags] + ([name] if name in tags else [])
        for word in dict.fromkeys(words):
            if animal.left is not None and animal.left.dead:
                continue
            if born is not None and born in litters.setdefault(word, set()):
                continue
            litters.setdefault(word, set()).update({born} if born else ())
            found.setdefault((word,), []).append(animal.id)
    for sheep, tag in flock.tags_half_read:
        if sheep not in found.setdefault((key_of(tag),), []):
            found[(key_of(tag),)].append(sheep)
    for one, other in flock.perhaps_one:
        found.setdefault((one, other), []).extend((one, other))
    for pair in twins_on_paper(flock):
        found.setdefault(pair, []).extend(sheep for sheep in pair if sheep not in found.get(pair, []))
    return found


def twins_on_paper(flock: Flock) -> Iterable[tuple[str, str]]:
    """Sheep with notes of their own, of one sex and one exact birthday and without two names: one of them may have been
    written twice. Where there are more than two such sheep they are a batch, and only those of one name are taken for
    one.
    """
    alike: dict[tuple[str | None, date, date], list[Animal]] = {}
    for animal in flock.animals.values():
        dead = animal.left is not None and animal.left.dead
        known = animal.born is not None and (animal.born.latest - animal.born.earliest).days < A_MONTH
        if animal.note is not None and animal.birth is None and animal.born is not None and known and not dead:
            alike.setdefault((animal.sex, animal.born.earliest, animal.born.latest), []).append(animal)
    pairs = [
        (one, other)
        for animals in alike.values()
        for one, other in combinations(animals, 2)
        if could_be_one(one, other) and ((len(animals) == 2 and one.birthday) or namesakes(one, other))
    ]
    pairs += lambs_on_paper(flock)
    return dict.fromkeys((one.id, other.id) for one, other in pairs)


def lambs_on_paper(flock: Flock) -> list[tuple[Animal, Animal]]:
    """Sheep with notes of their own that no lambing bore, each with every lamb of a litter that could be it: one
    without a tag, or one of the dam that its note names.
    """
    born = [animal for animal in flock.animals.values() if animal.birth is not None]
    noted = [
        animal
        for animal in flock.animals.values()
        if animal.note and not animal.birth and not animal.arrived and (animal.born or noted_lamb(animal))
    ]
    by_year: dict[int, list[Animal]] = {}
    for lamb in born:
        if lamb.birthday is not None:
            by_year.setdefault(lamb.birthday.year, []).append(lamb)
    return [
        (one, lamb)
        for one in noted
        for lamb in (by_year.get(one.born.year, ()) if one.born else born)
        if could_be_lamb(one, lamb)
    ]


def could_be_lamb(one: Animal, lamb: Animal) -> bool:
    """Whether a sheep that has a note could be a lamb of a litter, by its sex and the day of its birth."""
    sexes = {"ram" if sex == "wether" else sex for sex in (one.sex, lamb.sex) if sex}
    if one.dam != lamb.dam and (one.dam is not None or lamb.tags):
        return False
    if len(sexes) > 1 or lamb.birthday is None or (lamb.left and lamb.left.dead):
        return False
    return one.born.earliest <= lamb.birthday <= one.born.latest if one.born else noted_lamb(one)


def noted_lamb(animal: Animal) -> bool:
    """Whether a sheep's own note calls it a lamb."""
    return animal.note is not None and animal.note.origin.kind == "lamb"


def namesakes(one: Animal, other: Animal) -> bool:
    """Whether two sheep bear one name."""
    return bool(one.name and other.name) and key_of(one.name or "") == key_of(other.name or "")


def could_be_one(one: Animal, other: Animal) -> bool:
    """Whether two records could be one animal: their names and numbers do not speak against it."""
    names = {key_of(animal.name) for animal in (one, other) if animal.name}
    numbers = {animal.note.official for animal in (one, other) if animal.note and animal.note.official}
    return len(names) < 2 and len(numbers) < 2
