"""How old the ewes are, and how many went, died and came in each season.

Customary is to cull about 15 in a hundred a year; in the United States 14 in a hundred went in 2011 (American Sheep
Industry Association, best practices, with NAHMS figures).
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.plain.days import YEAR
from flockbook.derive.plain.intervals import Share, wilson
from flockbook.derive.season.seasons import Season
from flockbook.flock import Animal, Flock, gone, there
from flockbook.records.sheep import EWE

OLDEST_APART = 8  # years; whoever is older stands together (our own choice)


class AgeBand(Value):
    """The ewes of one age in whole years; None: no birth is written. `last` says that older ones are among them."""

    years: int | None
    ewes: tuple[str, ...]
    last: bool = False


class CullRate(Value):
    """One season: of the ewes exposed, those that left alive in the year after its first lambing, those that died, and
    those put to the ram here for the first time.
    """

    season: int
    left: Share
    died: Share
    came: Share
    whole: bool
    mean_age: float | None


class AgeBook(Value):
    """The ages today, the oldest last, and the rates of every season."""

    bands: tuple[AgeBand, ...] = ()
    rates: tuple[CullRate, ...] = ()

    @property
    def known(self) -> int:
        """Of how many ewes the age is known."""
        return sum(len(band.ewes) for band in self.bands if band.years is not None)


def age_book(flock: Flock, seasons: Iterable[Season], today: Moment) -> AgeBook:
    """Ages and rates at the moment asked about."""
    found: dict[int | None, list[str]] = {}
    for animal in flock.animals.values():
        if animal.sex == EWE and there(animal, today):
            years = whole_years(animal, today.day)
            if years is None or years > 0:
                found.setdefault(min(years, OLDEST_APART) if years else None, []).append(animal.id)
    known = sorted(years for years in found if years is not None)
    bands = [AgeBand(years, tuple(sorted(found[years])), years == OLDEST_APART) for years in known]
    bands += [AgeBand(None, tuple(sorted(found[None])))] if None in found else []
    return AgeBook(tuple(bands), tuple(cull_rate(flock, season, today) for season in seasons if season.exposed))


def whole_years(animal: Animal, day: date) -> int | None:
    """How old a sheep is in whole years, by the latest day on which it can have been born."""
    return None if animal.born is None else max((day - animal.born.latest).days // YEAR.days, 0)


def cull_rate(flock: Flock, season: Season, today: Moment) -> CullRate:
    """One season's rates; `whole` once the year after its first lambing has passed."""
    begins = min((birth.event.date for birth in season.births if birth.event.date), default=date(season.season, 1, 1))
    ends = begins + timedelta(days=YEAR.days)
    went = sum(left_alive(flock.animals[ewe], begins, ends, today) for ewe in season.exposed)
    ages = [years for ewe in season.exposed if (years := whole_years(flock.animals[ewe], begins)) is not None]
    return CullRate(
        season.season, wilson(went, len(season.exposed)), season.index("ewe_deaths"), season.index("replacement"),
        today.day >= ends, sum(ages) / len(ages) if ages else None,
    )  # fmt: skip


def left_alive(animal: Animal, begins: date, ends: date, today: Moment) -> bool:
    """Whether a ewe was sold within these days."""
    left = gone(animal, today)
    return left is not None and not left.dead and begins <= left.date < ends
