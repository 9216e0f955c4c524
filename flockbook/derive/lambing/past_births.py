"""Births of before the first note, from old records: counted as what they are, beside the seasons of the book.

They make nobody live, belong or be put to the ram: who was exposed then is not known, so no share of ewes exposed is
worked out. A ewe that is in the book has them among her lambings, so that nobody takes her for a maiden.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta

from compiler.book import Moment
from compiler.dates import PartialDate
from compiler.shape import Value, field
from flockbook.flock import Flock
from flockbook.records.breeding import Lambing, PastLambings
from flockbook.records.past_line import BORN_DEAD_SAID, PastLine
from flockbook.roll import key_of

ONE_BIRTH = timedelta(days=10)  # rows and notes this near tell of one birth (our own choice)


class PastBirth(Value):
    """One litter of old records: `ewe` is the id of a sheep in the book, else None and `called` as she is named."""

    ewe: str | None
    called: str
    born: PartialDate
    lambs: tuple[PastLine, ...]
    note: str
    doubled: bool = False

    @property
    def season(self) -> int:
        """Its year."""
        return self.born.year

    @property
    def alive(self) -> int:
        """Lambs born alive."""
        return sum(line.fate != BORN_DEAD_SAID for line in self.lambs)

    @property
    def helped(self) -> bool:
        """Whether anybody had to help, as far as it is written."""
        return any(line.helped for line in self.lambs)


class PastSeason(Value):
    """One year of old records: `fates` by word, "" not known; `litters` by how many lambs."""

    season: int
    ewes: int
    lambs: int
    alive: int
    fates: Mapping[str, int]
    litters: Mapping[int, int]
    helped: int
    help_written: int
    notes: tuple[str, ...]


class PastBook(Value):
    """All births of old records in order of time, and their years. Those that a note of the book tells again are left
    out of the years (`doubled`).
    """

    births: tuple[PastBirth, ...] = ()
    seasons: tuple[PastSeason, ...] = ()
    by_ewe: Mapping[str, tuple[PastBirth, ...]] = field(default_factory=dict)


def past_book(flock: Flock, today: Moment) -> PastBook:
    """All of it up to the day asked about."""
    noted = births_noted(flock)
    births = tuple(
        sorted(
            (item for item in litters_of(flock, noted) if item.born.earliest <= today.day),
            key=lambda item: (item.born.earliest, item.called),
        )
    )
    counted = [item for item in births if not item.doubled]
    years = sorted({item.season for item in counted})
    by_ewe: dict[str, tuple[PastBirth, ...]] = {}
    for item in counted:
        if item.ewe:
            by_ewe[item.ewe] = (*by_ewe.get(item.ewe, ()), item)
    seasons = tuple(past_season(year, [item for item in counted if item.season == year]) for year in years)
    return PastBook(births, seasons, by_ewe)


def births_noted(flock: Flock) -> Mapping[str, tuple[date, ...]]:
    """The days of the births that each ewe has a note of."""
    found: dict[str, tuple[date, ...]] = {}
    for event in flock.of(Lambing):
        for ewe in flock.who(event) if event.date else ():
            found[ewe] = (*found.get(ewe, ()), *([event.date] if event.date else []))
    return found


def litters_of(flock: Flock, noted: Mapping[str, tuple[date, ...]]) -> Iterator[PastBirth]:
    """Rows put together to litters: one ewe, one time. Rows without a ewe are a litter each."""
    names, tags = ewes_ever(flock), set[tuple[str, int]]()
    for record in flock.collection.of(PastLambings):
        groups: dict[tuple[str, object], list[PastLine]] = {}
        for place, line in enumerate(record.lines):
            if line.tag and (line.tag, line.date.year) in tags:
                continue  # the same lamb again: a check tells it
            tags.add((line.tag or "", line.date.year))
            key = (key_of(line.ewe), line.date.shown) if line.ewe else ("", place)
            groups.setdefault(key, []).append(line)
        for lines in groups.values():
            first = lines[0]
            ewe = ewe_meant(names, first)
            again = any(near_birth(first.date, day) for day in noted.get(ewe or "", ()))
            yield PastBirth(ewe, first.ewe, first.date, tuple(lines), record.origin.path, again)


def near_birth(born: PartialDate, day: date) -> bool:
    """Whether a birth of old records and one of the book can be one."""
    return born.earliest - ONE_BIRTH <= day <= born.latest + ONE_BIRTH


def ewes_ever(flock: Flock) -> Mapping[str, tuple[str, ...]]:
    """The ewes by all that they were ever called."""
    found: dict[str, tuple[str, ...]] = {}
    for animal in flock.animals.values():
        for word in {key_of(word) for word in (animal.id, animal.name, *animal.tags) if word}:
            found[word] = (*found.get(word, ()), animal.id)
    return found


def ewe_meant(names: Mapping[str, tuple[str, ...]], line: PastLine) -> str | None:
    """The ewe in the book whom a row means; None where none or several are called so."""
    found = names.get(key_of(line.ewe), ()) if line.ewe else ()
    return found[0] if len(found) == 1 else None


def past_season(year: int, births: Iterable[PastBirth]) -> PastSeason:
    """One year's counts."""
    found = list(births)
    lambs = [line for item in found for line in item.lambs]
    return PastSeason(
        year, len({key_of(item.called) or item for item in found}), len(lambs), sum(item.alive for item in found),
        dict(Counter(line.fate for line in lambs)), dict(sorted(Counter(len(item.lambs) for item in found).items())),
        sum(item.helped for item in found),
        sum(any(line.helped is not None for line in item.lambs) for item in found),
        tuple(dict.fromkeys(item.note for item in found)),
    )  # fmt: skip
