"""What a lamb was born into: the age of its dam, and how many lay with it."""

from __future__ import annotations

from datetime import date

from flockbook.derive.plain.days import MEAN_YEAR_DAYS
from flockbook.flock import Animal, Flock
from flockbook.records.sheep import BORN_AS

LITTER_SIZES = {word: place for place, word in enumerate(BORN_AS, 1)}


def dam_years(flock: Flock, animal: Animal) -> int | None:
    """Age of the dam at the birth in whole years, nearest; by the years alone where her day of birth is not known."""
    dam = flock.animals.get(animal.dam or "")
    return years_old(dam, animal.birthday) if dam and animal.birthday else None


def years_old(animal: Animal, day: date) -> int | None:
    """Age on a day in whole years, nearest; by the years alone where the day of birth is not known: `about 2020` is
    2020, with a doubt (`guessed`).
    """
    if animal.birthday is not None:
        return round((day - animal.birthday).days / MEAN_YEAR_DAYS)
    return day.year - animal.born.year if animal.born else None


def guessed(flock: Flock, animal: Animal) -> bool:
    """Whether the year in which the dam was born is a guess."""
    dam = flock.animals.get(animal.dam or "")
    return dam is not None and dam.born is not None and dam.born.about


def litter_size(flock: Flock, animal: Animal) -> int | None:
    """Lambs in its litter, those born dead too; from its own note where it has no lambing note."""
    if animal.birth:
        return len(flock.litters[animal.birth.note.origin.path])
    return LITTER_SIZES.get(animal.note.born_as or "") if animal.note else None
