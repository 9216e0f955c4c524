"""How old a sheep is taken to be where its birthday is not written to the day."""

from __future__ import annotations

from datetime import date

from flockbook.flock import Animal
from flockbook.roll import ONE_YEAR


def may_be_lamb(animal: Animal, day: date) -> bool:
    """Whether an animal can be under a year old on a day; one of unknown age is taken for grown."""
    return animal.born is not None and (day - animal.born.latest).days < ONE_YEAR


def is_surely_lamb(animal: Animal, day: date) -> bool:
    """Whether an animal is under a year old on a day, however early in its year it was born."""
    return animal.born is not None and (day - animal.born.earliest).days < ONE_YEAR
