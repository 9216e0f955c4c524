"""Weigh sessions read back: how many, how heavy, who was not weighed, what was gained, and slips of the unit. In kg."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from datetime import date, timedelta
from functools import cached_property
from statistics import fmean, median_high

from compiler.amounts import KG_PER_LB
from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.weights.gains import Growth, Place, Weighed, growth
from flockbook.derive.weights.weaning import counts_as_lamb, says_weaning
from flockbook.flock import Animal, Flock, happened
from flockbook.records.growth import Weighing
from flockbook.records.rearing import Weaning

# A pound scale read as kilograms makes everything 2.2 times heavier (1 kg = 2.20462262 lb, NIST Special Publication
# 811). What is expected goes on from the last weight by 0.29 kg a day (Ontario, Predicting lamb finishing dates) for a
# lamb of up to 150 days, and stays for an older sheep; at weaning, for one not weighed lately, it is what the flock's
# lambs weighed at their weanings before. How near to 2.2 is asked about is our own choice, so that neither lambs that
# do well nor lambs that stand still are; lambs that lost no more than an empty belly are light, not slipped.
POUNDS = 1 / KG_PER_LB
NEAR = 1.35  # the largest part by which a ratio may miss 2.2
SLIP_SHARE = 0.5  # of a session must have something to be expected by, so that a few light lambs do not decide it
LAMB_GAIN, LAMB_GAIN_DAYS = 0.29, 150
SLIP_DAYS = 63
# Gut fill is 10-22 % of live weight (OMAFRA 19-009): a change of more than that is one of the sheep.
GUT_FILL = 0.22
FALL_DAYS = 90  # within so many days; over a winter ewes lose a good deal (our own choice)
# Published mean 0.29 kg a day at 50-100 days (Ontario, Predicting lamb finishing dates); over three times that is asked
# about (our own choice).
FASTEST_KG = 0.9
SLIP_SHEEP = 3  # a slip of the unit shows in all; from so many sheep weighed in both sessions on it is asked about
# What the page of workings prints of weights that are asked about.
ASKED_RULE = (
    f"Everybody about {POUNDS:.1f} times ({POUNDS / NEAR:.1f} to {POUNDS * NEAR:.1f}) as heavy as was to be expected, "
    "or as light and lighter than an empty belly makes them: pounds or kilograms. What is to be expected goes on from "
    f"the weight of at most {SLIP_DAYS // 7} weeks before, with {{{LAMB_GAIN} kg a day}} for lambs up to "
    f"{LAMB_GAIN_DAYS} days (Ontario); at a weaning it is else what the flock's lambs weighed at their weanings "
    f"before, and for a lamb by its birth weight. At least {SLIP_SHARE:.0%} of the sheep weighed, and {SLIP_SHEEP}, "
    "must have something to be expected by; the weights take no part in gains until confirmed. "
    f"{SLIP_SHEEP} sheep or more that differ so from the rest are told too. One sheep more than {GUT_FILL * 100:.0f} % "
    f"lighter within {FALL_DAYS} days, or heavier and by more than {{{FASTEST_KG} kg a day}} (gut fill is 10 to 22 % "
    "of live weight, OMAFRA 19-009; the rest our own choice)."
)
SESSION_DAYS = 7  # a session is missing those of its groups not weighed within so many days of it (our own choice)
FEW_OF_GROUP = 0.5  # a group of which no more than this were weighed was not meant to be weighed whole (our own choice)

Fellows = tuple[int | None, str | None]  # birth year and mob
Years = Mapping[int, Sequence[Animal]]


class Placed(Value):
    """One weight in a session, with the gain in kg a day since the weight before (or since birth)."""

    sheep: str
    weighed: Weighed


class Session(Value, dict=True):
    """One weighing read back. Mean, lowest and highest are over the weights that are not in doubt.

    `gain` is the mean gain in kg a day since the session before, of the `regained` sheep weighed in both. `slip` is how
    many times heavier (or, under 1, lighter) the same sheep are than was to be expected, where that looks like a slip
    of the unit and was not confirmed; None else. `odd` are sheep that alone look so. `missing` are sheep of the same
    crop and mob that were there and not weighed.
    """

    note: str
    day: date
    stage: str
    weights: tuple[Placed, ...]
    mean: float | None
    lowest: float | None
    highest: float | None
    missing: tuple[str, ...] = ()
    since: date | None = None
    gain: float | None = None
    regained: int = 0
    slip: float | None = None
    odd: tuple[str, ...] = ()

    @cached_property
    def count(self) -> int:
        """How many were weighed."""
        return len({item.sheep for item in self.weights})


def growth_and_sessions(
    flock: Flock, today: Moment, doubted: Set[Place] = frozenset()
) -> tuple[dict[str, Growth], tuple[Session, ...]]:
    """What every sheep gained, and every session. Weights whose unit is asked about take no part in gains, nor do those
    on the lines `doubted`.
    """
    grew = growth(flock, today, doubted)
    found = weigh_sessions(flock, grew, today)
    slipped = slipped_lines(found)
    return (growth(flock, today, doubted | slipped) if slipped else grew), found


def slipped_lines(sessions: Iterable[Session]) -> frozenset[Place]:
    """The lines whose unit is asked about, those of a whole note or of some of its sheep."""
    return frozenset(
        (item.note, placed.weighed.line)
        for item in sessions
        for placed in item.weights
        if item.slip is not None or placed.sheep in item.odd
    )


def weigh_sessions(flock: Flock, grew: Mapping[str, Growth], today: Moment) -> tuple[Session, ...]:
    """Every weighing and every weaning with weights, in order of time."""
    by_note: dict[str, list[Placed]] = {}
    for sheep, item in grew.items():
        for weighed in item.weights:
            by_note.setdefault(weighed.note, []).append(Placed(sheep, weighed))
    events = [
        event
        for event in flock.events
        if isinstance(event, Weighing | Weaning) and event.origin.path in by_note and happened(event, today)
    ]
    years = birth_years(flock)
    done: list[Session] = []
    for event in events:
        placed = sorted(by_note[event.origin.path], key=lambda item: item.weighed.line)
        there = [flock.animals[item.sheep] for item in placed]
        assert event.date is not None
        missed = tuple(not_weighed(years, grew, event.date, there))
        known = KnownWeights(flock, grew, weaning_weight(done) if says_weaning(stage_of_session(event)) else None)
        slip = unit_slip(event, placed, known)
        odd = unlike(event, placed, known) if slip is None else ()
        placed = [doubted_of(item, odd) for item in placed]
        done.append(replace(read_back(grew, event, placed), missing=missed, slip=slip, odd=odd))
        if slip is not None:
            grew = {**grew, **{item.sheep: with_doubts(grew[item.sheep], event) for item in placed}}
    return tuple(done)


def doubted_of(item: Placed, odd: tuple[str, ...]) -> Placed:
    """A weight, in doubt where its sheep is among the odd ones."""
    return replace(item, weighed=replace(item.weighed, sure=False)) if item.sheep in odd else item


def with_doubts(item: Growth, event: Weighing | Weaning) -> Growth:
    """A sheep's growth in which the weights of one note are in doubt."""
    weights = tuple(replace(one, sure=one.sure and one.note != event.origin.path) for one in item.weights)
    return replace(item, weights=weights)


def read_back(grew: Mapping[str, Growth], event: Weighing | Weaning, placed: list[Placed]) -> Session:
    """One session; who is missing and its unit are left open."""
    assert event.date is not None
    sure = [item.weighed.kg for item in placed if item.weighed.sure]
    first, gain, shared = since_last(grew, event.date, placed)
    return Session(
        event.origin.path, event.date, stage_of_session(event), tuple(placed),
        fmean(sure) if sure else None, min(sure, default=None), max(sure, default=None), (),
        first, gain, shared,
    )  # fmt: skip


def stage_of_session(event: Weighing | Weaning) -> str:
    """What stage of the lambs' lives a session is of, as typed; "" where nothing says."""
    return event.stage or "" if isinstance(event, Weighing) else "weaning"


def weight_before(grew: Mapping[str, Growth], day: date, sheep: str) -> Weighed | None:
    """A sheep's last weight before a day that is not in doubt (its birth weight does not count)."""
    return next((item for item in reversed(grew[sheep].weights) if item.sure and item.date < day), None)


def since_last(
    grew: Mapping[str, Growth], day: date, placed: Sequence[Placed]
) -> tuple[date | None, float | None, int]:
    """The day of the session before, and the mean gain since of the sheep weighed in both, with their number.

    The session before is the day on which most of these sheep were weighed last (of equals, the later).
    """
    last = [
        (item.weighed, old) for item in placed if item.weighed.sure and (old := weight_before(grew, day, item.sheep))
    ]
    days = Counter(old.date for _, old in last)
    first = max(days, key=lambda one: (days[one], one), default=None)
    gains = [(now.kg - old.kg) / (day - old.date).days for now, old in last if old.date == first]
    return first, fmean(gains) if gains else None, len(gains)


def unit_slip(event: Weighing | Weaning, placed: Sequence[Placed], known: KnownWeights) -> float | None:
    """How many times as heavy the sheep are as was to be expected, where that looks like pounds for kilograms or the
    other way about; doubtful weights count here, since a slip makes them doubtful. None where the note confirms them,
    or too few of them have anything to be expected by.
    """
    weaned = says_weaning(stage_of_session(event))
    found = [(item.weighed.kg, last) for item in placed if (last := known.last(item, weaned))]
    if event.sure or len(found) < max(SLIP_SHEEP, SLIP_SHARE * len(placed)):
        return None
    middle = median_high([kg / last.expected for kg, last in found])
    fell = median_high([kg / last.kg for kg, last in found]) < (1 - GUT_FILL)
    return middle if is_pounds(middle) or (fell and is_pounds(1 / middle)) else None


def unlike(event: Weighing | Weaning, placed: Sequence[Placed], known: KnownWeights) -> tuple[str, ...]:
    """The sheep of a session that differ from the rest of it, each against what was to be expected, as a pound differs
    from a kilogram; nobody where there are too few of them, or the note confirms its weights.
    """
    weaned = says_weaning(stage_of_session(event))
    found = [(item, last) for item in placed if (last := known.last(item, weaned))]
    if event.sure or not found:
        return ()
    middle = median_high([item.weighed.kg / last.expected for item, last in found])
    odd = [item.sheep for item, last in found if is_odd(item.weighed.kg, last, middle)]
    return tuple(odd) if len(odd) >= SLIP_SHEEP else ()


def is_odd(kg: float, last: Last, middle: float) -> bool:
    """Whether a sheep's weight looks like one in another unit, where the rest weigh `middle` times the expected."""
    against_rest = kg / last.expected / middle
    return is_pounds(against_rest) or (kg < (1 - GUT_FILL) * last.kg and is_pounds(1 / against_rest))


def is_pounds(ratio: float) -> bool:
    """Whether a ratio is near that of a pound to a kilogram."""
    return 1 / NEAR <= ratio / POUNDS <= NEAR


class Last(Value):
    """What a sheep weighed last, and what it was to be expected to weigh by now."""

    kg: float
    expected: float


class KnownWeights(Value):
    """What is known when a session is read: the flock, the weights so far, and the flock's weaning weight if it has
    one.
    """

    flock: Flock
    grew: Mapping[str, Growth]
    weaning: float | None = None

    def last(self, item: Placed, weaned: bool) -> Last | None:
        """What a sheep was to be expected to weigh by its weight (or birth) within nine weeks before; else as a lamb at
        its weaning, or by its birth.
        """
        animal, day = self.flock.animals[item.sheep], item.weighed.date
        young = animal.born is not None and (day - animal.born.earliest).days <= LAMB_GAIN_DAYS
        old, birth = weight_before(self.grew, day, item.sheep), self.grew[item.sheep].birth_kg
        since, kg = (old.date, old.kg) if old else (animal.birthday, birth)
        if since and kg is not None and 0 < (days := (day - since).days) <= SLIP_DAYS:
            return Last(kg, kg + (LAMB_GAIN * days if young else 0.0))
        if self.weaning and weaned and counts_as_lamb(animal, day):
            return Last(self.weaning, self.weaning)
        born = animal.birthday if young else None
        return Last(birth, birth + LAMB_GAIN * (day - born).days) if birth is not None and born else None


def weaning_weight(done: Iterable[Session]) -> float | None:
    """The middle of the flock's weights at the weanings read so far, without those whose unit is asked about."""
    fit = [item for item in done if item.slip is None and says_weaning(item.stage)]
    weights = [placed.weighed.kg for item in fit for placed in item.weights if placed.weighed.sure]
    return median_high(weights) if len(weights) >= SLIP_SHEEP else None


def not_weighed(years: Years, grew: Mapping[str, Growth], day: date, weighed: Sequence[Animal]) -> Iterator[str]:
    """Sheep of the groups that were weighed (birth year and mob, and of the sexes that were weighed, more than half)
    that were there and not weighed within a week.
    """
    done = {animal.id for animal in weighed}
    for group in dict.fromkeys(group_of(animal, day) for animal in weighed if animal.born):
        sexes = {animal.sex for animal in weighed if group_of(animal, day) == group}
        whole = [animal for animal in years.get(group[0] or 0, ()) if belongs(animal, group, day, sexes)]
        left = [animal.id for animal in whole if animal.id not in done]
        if len(whole) - len(left) > FEW_OF_GROUP * len(whole):
            yield from (sheep for sheep in left if not weighed_near(grew.get(sheep), day))


def birth_years(flock: Flock) -> Years:
    """The animals that were born alive, by the year of their birth."""
    found: dict[int, list[Animal]] = {}
    for animal in flock.animals.values():
        if animal.born and (animal.birth is None or animal.birth.line.alive):
            found.setdefault(animal.born.year, []).append(animal)
    return found


def belongs(animal: Animal, group: Fellows, day: date, sexes: set[str | None]) -> bool:
    """Whether an animal was there on a day, in a group and of one of these sexes."""
    return animal.sex in sexes and animal.present(day) and group_of(animal, day) == group


def group_of(animal: Animal, day: date) -> Fellows:
    """Birth year and mob."""
    return (animal.born.year if animal.born else None, animal.mob_on(day))


def weighed_near(item: Growth | None, day: date) -> bool:
    """Whether a sheep was weighed within a week of a day."""
    near = timedelta(days=SESSION_DAYS)
    return item is not None and any(day - near <= weighed.date <= day + near for weighed in item.weights)
