"""What lambs weigh and gain: between weighings and from birth. Weights in kg, gains in kg a day."""

from __future__ import annotations

from collections.abc import Iterator, Set
from datetime import date

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.plain.because import Because, Reason
from flockbook.flock import Animal, Flock, happened
from flockbook.records.growth import Weighing
from flockbook.records.rearing import Weaning

# What the page of workings prints of gains.
GAINS_RULE = (
    "A gain is the difference of two weights over the days between them; from birth it is (weight - birth weight) / "
    "age in days (Penn State Extension). Weights still to confirm take no part."
)

Place = tuple[str, int]  # a note, and the line in it


class Weighed(Value):
    """One weight of one animal. `gain` is kg a day since the weight before, None for the first."""

    date: date
    kg: float
    note: str
    line: int
    remark: str
    gain: float | None = None
    sure: bool = True


class GainOver(Reason):
    """The last weight, the first (at birth where it is known), the days between, and the gain a day; in kg."""

    last: float
    first: float
    days: int
    gain: float


class Growth(Value):
    """One animal's weights in order of time. `adg` is (last - birth) / age, or between first and last where the
    birth weight is missing.

    Source of the formula: Penn State Extension, Ram selection principles ((W - B) / age).
    """

    sheep: str
    birth_kg: float | None
    weights: tuple[Weighed, ...]
    adg: float | None
    because: tuple[Because, ...]


def growth(flock: Flock, today: Moment, doubted: Set[Place] = frozenset()) -> dict[str, Growth]:
    """Growth of every animal that has been weighed; no weight on the lines `doubted` is sure."""
    sessions: dict[str, list[Weighed]] = {}
    for event in flock.events:
        if isinstance(event, Weighing | Weaning) and event.date and happened(event, today):
            for sheep, weighed in weights_of(flock, event, doubted):
                sessions.setdefault(sheep, []).append(weighed)
    return {sheep: one_growth(flock.animals[sheep], weights) for sheep, weights in sessions.items()}


def weights_of(flock: Flock, event: Weighing | Weaning, doubted: Set[Place]) -> Iterator[tuple[str, Weighed]]:
    """The weights of one note for the sheep that are in the book."""
    assert event.date is not None
    for line in event.lines:
        if sheep := flock.named(event, line.sheep):
            place = event.origin.path, line.span.line
            sure = (not line.unlikely or bool(event.sure)) and place not in doubted
            yield sheep, Weighed(event.date, line.weight.kg, *place, line.remark, sure=sure)


def one_growth(animal: Animal, weights: list[Weighed]) -> Growth:
    """One animal's growth; weights that were asked about take no part in gains."""
    birth = birth_weight(animal)
    chained = tuple(with_gains(animal, birth, weights))
    sure = [item for item in chained if item.sure]
    first: tuple[date, float] | None = (animal.birthday, birth) if animal.birthday and birth is not None else None
    if first is None and sure:
        first = (sure[0].date, sure[0].kg)
    adg, reasons = None, []
    if first and sure and (days := (sure[-1].date - first[0]).days) > 0:
        adg = (sure[-1].kg - first[1]) / days
        reason = GainOver(sure[-1].kg, first[1], days, adg)
        reasons.append(Because(sure[-1].note, sure[-1].line, "gain", reason=reason))
    return Growth(animal.id, birth, chained, adg, tuple(reasons))


def birth_weight(animal: Animal) -> float | None:
    """The weight at birth, when it was written and not doubtful."""
    birth = animal.birth
    if birth is None or birth.line.weight is None or (birth.line.unlikely and not birth.note.sure):
        return None
    return birth.line.weight.kg


def with_gains(animal: Animal, birth: float | None, weights: list[Weighed]) -> Iterator[Weighed]:
    """Each weight with its gain since the one before (or since birth)."""
    before: tuple[date, float] | None = (animal.birthday, birth) if animal.birthday and birth is not None else None
    for item in sorted(weights, key=lambda weight: (weight.date, weight.note, weight.line)):
        gain = None
        if before and item.sure and (days := (item.date - before[0]).days) > 0:
            gain = (item.kg - before[1]) / days
        if item.sure:
            before = (item.date, item.kg)
        yield Weighed(item.date, item.kg, item.note, item.line, item.remark, gain, item.sure)
