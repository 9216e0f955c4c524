"""Dates that hang on a service, on a joining or on a lambing: due dates, windows, returns, scanning, boosters.

Dates and numbers in, dates and frozen values out. The day of service is day 0, so a ewe served on 15 October with a
gestation of 147 days is due on 11 March. Every figure is a default which the flock's settings may replace. A date that
would fall outside the calendar (years 1 to 9999) stops at its edge, so that no date a note can hold raises an error.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from functools import lru_cache
from math import ceil, comb, floor
from statistics import NormalDist

from compiler.shape import Value, field, replace
from flockbook.figures import (
    CYCLE,
    GESTATION,
    GESTATION_SPREAD,
    LONGEST_GESTATION,
    SHORTEST_GESTATION,
    folded_breed,
)

# A lambing at full term further from the mean than this is not expected: 138 and 159 d, Schoenian, as above.
EXTREME_EARLY, EXTREME_LATE = 9, 12
# Close watch begins 138 days after ram in at a mean of 147: Current Therapy in Large Animal Theriogenology, "Lambing
# Management and Neonatal Care". It moves with the mean (ours).
WATCH_BEFORE = 9
# Returns to service come 14 to 19 days after a heat at a cycle of 17: New Mexico State University extension.
CYCLE_EARLY, CYCLE_LATE = 3, 2
# Published advice is 14 to 17 days; a change at 16 keeps a return (mean 17 d) in the next colour. Ours.
CRAYON_DAYS = 16
# Scan from 45 d after the rams leave to 100 d after they went in: Rural News NZ, "Plenty of advantages to pregnancy
# scanning". A joining of more than 55 d therefore leaves no day that suits every ewe.
SCAN_AFTER_OUT, SCAN_BEFORE = 45, 100
# Boosters begin six weeks before the first lamb is due: 6 to 4 weeks (WikiVet; EBLEX 2006; Agriland 2022). The label of
# the vaccine and the flock's vet come first.
BOOSTER_DAYS, BOOSTER_LAST = 42, 28
LONGEST_CYCLE = 100  # days; more is no cycle of a sheep. Ours.


class Span(Value):
    """A run of days from `first` to `last`, both included."""

    first: date
    last: date

    def __contains__(self, day: date) -> bool:
        return self.first <= day <= self.last

    def __iter__(self) -> Iterator[date]:
        return map(date.fromordinal, range(self.first.toordinal(), self.last.toordinal() + 1))


class Gestation(Value):
    """How long ewes carry: mean and standard deviation in days, and the usual window shortest–longest.

    Raises ValueError for a length that no sheep has (outside 100–200 d), a window that leaves out the mean, or a
    standard deviation outside 0–30 d.
    """

    mean: float = GESTATION.value
    sd: float = GESTATION_SPREAD.value
    shortest: int = round(SHORTEST_GESTATION.value)
    longest: int = round(LONGEST_GESTATION.value)

    def __post_init__(self) -> None:
        low, high = SHORTEST_GESTATION.least, LONGEST_GESTATION.most
        if not low <= self.shortest <= self.mean <= self.longest <= high:
            raise ValueError(
                f"gestation of {self.mean:g} days with a window of {self.shortest} to {self.longest}: "
                f"the window must hold the mean and lie between {low:g} and {high:g} days"
            )
        if not 0 < self.sd <= GESTATION_SPREAD.most:
            raise ValueError(
                f"gestation with a standard deviation of {self.sd:g} days: "
                f"it must be more than 0 and at most {GESTATION_SPREAD.most:g} days"
            )

    @property
    def days(self) -> int:
        """The mean in whole days, a half counted up."""
        return floor(self.mean + 0.5)

    @property
    def extremes(self) -> tuple[int, int]:
        """The fewest and the most days that a single ewe may carry: 138 and 159 at a mean of 147."""
        return (
            min(self.shortest, floor(self.mean - EXTREME_EARLY)), max(self.longest, ceil(self.mean + EXTREME_LATE))
        )  # fmt: skip

    @property
    def watch_day(self) -> int:
        """How long after ram in (or a known service) close watch begins."""
        return self.days - WATCH_BEFORE

    def due(self, service: date) -> date:
        """The day a ewe served on `service` is due."""
        return shift(service, self.days)

    def window(self, service: date) -> Span:
        """The days on which a ewe served on `service` usually lambs."""
        return Span(shift(service, self.shortest), shift(service, self.longest))

    def season(self, ram_in: date, ram_out: date) -> Span:
        """The days on which a mob joined from `ram_in` to `ram_out` lambs: first ewe served to last ewe served."""
        return Span(shift(ram_in, self.shortest), shift(ram_out, self.longest))

    def sire_window(self, lambing: date) -> Span:
        """The days on which the sire of lambs born on `lambing` must have been with the ewe."""
        return Span(shift(lambing, -self.longest), shift(lambing, -self.shortest))

    def sire_extremes(self, lambing: date) -> Span:
        """The days on which he can have been with her at all, as far as single ewes' pregnancies go."""
        fewest, most = self.extremes
        return Span(shift(lambing, -most), shift(lambing, -fewest))


class Lengths(Value):
    """Chance of each gestation length: `chances[i]` is that of `first + i` days. They add up to 1."""

    first: int
    chances: tuple[float, ...]


@lru_cache(maxsize=64)
def lengths(gestation: Gestation) -> Lengths:
    """How gestation lengths are spread: a normal curve cut into whole days, within the extremes, adding up to 1.

    The extremes lie 9 d below and 12 d above the mean (138 and 159 d for a mean of 147), or at the edge of the window
    where that is wider.
    """
    first, last = gestation.extremes
    curve = NormalDist(gestation.mean, gestation.sd)
    weights = [curve.cdf(day + 0.5) - curve.cdf(day - 0.5) for day in range(first, last + 1)]
    total = sum(weights)
    return Lengths(first, tuple(weight / total for weight in weights))


class Cycle(Value):
    """Days from one heat to the next in a ewe that did not hold.

    Raises ValueError unless 1 ≤ shortest ≤ mean ≤ longest ≤ 100.
    """

    mean: int = round(CYCLE.value)
    shortest: int = round(CYCLE.value) - CYCLE_EARLY
    longest: int = round(CYCLE.value) + CYCLE_LATE

    def __post_init__(self) -> None:
        if not 1 <= self.shortest <= self.mean <= self.longest <= LONGEST_CYCLE:
            raise ValueError(
                f"heat cycle of {self.mean} days with returns from {self.shortest} to {self.longest}: "
                f"the returns must hold the mean and lie between 1 and {LONGEST_CYCLE} days"
            )

    def next_heat(self, mark: date) -> date:
        """The day a ewe marked on `mark` comes round again if she did not hold."""
        return shift(mark, self.mean)

    def return_band(self, mark: date) -> Span:
        """The days on which a second mark means that the ewe returned to service."""
        return Span(shift(mark, self.shortest), shift(mark, self.longest))


@lru_cache(maxsize=64)
def return_gaps(cycle: Cycle) -> tuple[tuple[int, float], ...]:
    """Chance of each return interval, as (days, chance); the mean is exactly `cycle.mean` and they add up to 1.

    No source prints how returns are spread within 14–19 d. We take the shortest plus a binomial count over the rest of
    the band, which has the right limits and the right mean: 1, 8, 23, 35, 26 and 8 % for 14 to 19 d.
    """
    width = cycle.longest - cycle.shortest
    share = (cycle.mean - cycle.shortest) / width if width else 0.0
    return tuple(
        (cycle.shortest + extra, comb(width, extra) * share**extra * (1 - share) ** (width - extra))
        for extra in range(width + 1)
    )


class BreedLength(Value):
    """Mean gestation in days of a breed, and where the figure comes from."""

    breed: str
    days: int
    source: str


ARCOTT = "Agriculture Canada, Animal Research Centre, 7,083 ewes"
HAIR_SHEEP = "abstract 121, J. Anim. Sci. supplement, 1,291 gestations 1997–2021; rounded between singles and twins"
FINE_WOOL = "Montana Farm Flock Sheep Production Handbook, fig. 11 (150–151 d), seen as a quotation"

BREEDS = (
    BreedLength("Finn", 144, ARCOTT),
    BreedLength("Finnsheep", 144, ARCOTT),
    BreedLength("Outaouais Arcott", 145, ARCOTT),
    BreedLength("Rideau Arcott", 145, ARCOTT),
    BreedLength("Suffolk", 146, ARCOTT),
    BreedLength("Canadian Arcott", 147, ARCOTT),
    BreedLength("Dorper", 147, "Cloete, Snyman & Herselman 2000, Small Rumin. Res. 36:119–135"),
    BreedLength("Barbados Blackbelly", 148, HAIR_SHEEP),
    BreedLength("St Croix", 148, HAIR_SHEEP),
    BreedLength("Merino", 150, FINE_WOOL),
    BreedLength("Rambouillet", 150, FINE_WOOL),
    BreedLength("Île-de-France", 150, "Metodiev 2019, IJIAAR 3(4):636–641, 830 records (mean 150.59)"),
    BreedLength("Yankasa", 151, "abstract on gestation length and litter size, 834 lambings 1983–90 (151.4)"),
)
BREED_DAYS = {folded_breed(row.breed): row for row in BREEDS}


def breed_length(breed: str) -> BreedLength | None:
    """The published length for a breed by its full name, whatever the case; None for crosses and unlisted breeds."""
    return BREED_DAYS.get(folded_breed(breed))


def moved_to_length(mean: float, flock: Gestation) -> Gestation:
    """The flock's gestation moved to another mean, window and all, as far as lengths that a pregnancy can have."""
    move = floor(mean + 0.5) - flock.days
    least, most = round(SHORTEST_GESTATION.least), round(LONGEST_GESTATION.most)
    shortest, longest = max(flock.shortest + move, least), min(flock.longest + move, most)
    return replace(flock, mean=mean, shortest=shortest, longest=longest)


class Terms(Value):
    """How long each ewe carries: the flock's length, and those of the ewes whose breed has one of its own."""

    flock: Gestation = field(default_factory=Gestation)
    own: Mapping[str, Gestation] = field(default_factory=dict)

    def of(self, ewe: str | None) -> Gestation:
        """How long one ewe carries."""
        return self.own.get(ewe or "", self.flock)


def crayon_changes(joining: Span, every: int = CRAYON_DAYS) -> tuple[date, ...]:
    """The days on which the crayon changes colour, strictly between ram in and ram out."""
    first, last = joining.first.toordinal(), joining.last.toordinal()
    return tuple(map(date.fromordinal, range(first + every, last, every)))


def scan_window(ram_in: date, ram_out: date) -> Span | None:
    """The days that suit a scan of the whole mob; None where the joining was longer than 55 days."""
    first, last = shift(ram_out, SCAN_AFTER_OUT), shift(ram_in, SCAN_BEFORE)
    return Span(first, last) if first <= last else None


def shift(day: date, days: int) -> date:
    """`day` moved by `days`, stopping at the first and last day of the calendar."""
    return date.fromordinal(min(max(day.toordinal() + days, 1), date.max.toordinal()))
