"""What each newborn lamb still needs: colostrum by its weight, what was written as given, and whether it is light or
heavy, by the published lines and against the flock's own lambs.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta, tzinfo
from enum import Enum, auto

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.lambing.birth_lines import BirthLines, Births
from flockbook.derive.lambing.lamb_warmth import CalledCold, Warmth, called_cold, holds_its_head, warmth
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.newborn import (
    BirthWeight,
    ColostrumNeed,
    FirstFeed,
    LambState,
    colostrum_need,
    first_feed,
    litter_litres,
)
from flockbook.derive.plain.because import Reason
from flockbook.derive.weights.gains import birth_weight
from flockbook.flock import Animal, Flock, gone, happened, nurse_of
from flockbook.records.lamb_line import BIRTH_KG
from flockbook.records.rearing import Feeding, Foster

FIRST_DAYS = timedelta(days=2)  # past the time of colostrum (the gut closes from 36 h); nothing is owed of the birth
FIRST_DAY = timedelta(
    hours=24
)  # the day that colostrum is reckoned for; a navel has dried by then (common practice, no source)
MILK_REPLACER = "milk replacer"  # the one feed that is no colostrum
NOT_ENOUGH_MILK = ("short", "none")
# A lamb is light or heavy among its own when at most a tenth of the flock's lambs of that litter size were as light (as
# heavy), and there are enough of them to say so (our own choice).
TENTH, ENOUGH_WEIGHED = 0.1, 20


class WhyByHand(Enum):
    """Why a lamb cannot be left to suck."""

    ON_THE_BOTTLE = auto()
    DAM_GONE = auto()
    HELPLESS = auto()
    LITTLE_MILK = auto()
    TUBED = auto()


class ByHand(Reason):
    """That a lamb is fed by hand, and the word of the note where it is the note's: weak, hung; short, none."""

    why: WhyByHand
    word: str = ""


class AmongLike(Value):
    """Where a birth weight lies among the flock's own lambs of that litter size, itself one of `of`: how many were
    lighter.
    """

    lighter: int
    of: int

    @property
    def light(self) -> bool:
        """Among the lightest tenth."""
        return self.of >= ENOUGH_WEIGHED and self.lighter + 1 <= self.of * TENTH

    @property
    def heavy(self) -> bool:
        """Among the heaviest tenth."""
        return self.of >= ENOUGH_WEIGHED and self.of - self.lighter <= self.of * TENTH


class Newborn(Value):
    """One lamb of the last two days: what it needs by its weight, in mL, and what was written as given by hand.

    `by_hand`: why it cannot be left to suck (None where nothing says so). `line` and `spread` flag its weight; `warmth`
    is None where no temperature is written; `day_over`: the first day, for which colostrum is reckoned, has passed;
    `called_cold` without a figure; `limp`: it cannot hold its head up.
    """

    lamb: Animal
    born: datetime | None
    need: ColostrumNeed | None
    recorded_ml: float
    first: FirstFeed | None
    by_hand: ByHand | None = None
    line: BirthWeight | None = None
    spread: AmongLike | None = None
    warmth: Warmth | None = None
    day_over: bool = False
    called_cold: CalledCold | None = None
    limp: bool = False

    @property
    def cold(self) -> bool:
        """Whether it was chilled when last measured, or is called cold since."""
        states = (LambState.SEVERE, LambState.MILD)
        advice = self.warmth.advice if self.warmth else None
        return self.called_cold is not None or (advice is not None and advice.state in states)

    @property
    def owed_ml(self) -> float | None:
        """What of the first day's need was not written as given, in mL; None for a lamb not weighed."""
        return self.need.owed(self.recorded_ml) if self.need else None


class LitterNeed(Value):
    """Colostrum for the live lambs of one birth on their first day, in litres; `unweighed` lambs are not in it."""

    note: str
    dam: str
    litres: float
    unweighed: int


def newborns(flock: Flock, births: Births, zone: tzinfo | None, today: Moment) -> tuple[Newborn, ...]:
    """The lambs born alive in the two days before the moment asked about."""
    pets, weights, found = bottle_fed(flock, today), weights_by_litter(births.told), []
    for birth in births.told:
        born, end = birth_times(birth)
        if end is None or today.at - (born or end) > FIRST_DAYS:
            continue
        for lamb in birth.lambs:
            if lamb.birth and lamb.birth.line.alive and gone(lamb, today) is None:
                why = hand_reason(flock, birth, lamb, pets, today)
                around = Around(why, zone, weights.get(birth.born, []), births.lines)
                found.append(one_lamb(flock, birth, lamb, around, today))
    return tuple(found)


def birth_times(birth: LambingFact) -> tuple[datetime | None, datetime | None]:
    """When the first lamb was born, where a time is written, and the end of that day."""
    day, clock = birth.event.date, birth.event.born or birth.event.time
    if day is None:
        return None, None
    return (datetime.combine(day, clock) if clock else None), datetime.combine(day, datetime.max.time())


class Around(Value):
    """What a newborn lamb is seen against: why it is fed by hand, the flock's time zone, the weights of its like, and
    the lines for light and heavy lambs.
    """

    by_hand: ByHand | None
    zone: tzinfo | None
    like: list[float]
    lines: BirthLines


def one_lamb(flock: Flock, birth: LambingFact, lamb: Animal, around: Around, today: Moment) -> Newborn:
    """One lamb of the last two days."""
    zone, like = around.zone, around.like
    born, end = birth_times(birth)
    weight = birth_weight(lamb)
    fed_for = weight or tiny_weight(lamb)
    start = born or end or today.at
    tubed = lamb.birth.line.tubed_ml if lamb.birth else None
    given = (tubed or 0.0) + fed(flock, lamb, start, today)
    return Newborn(
        lamb, born, colostrum_need(fed_for) if fed_for else None, given, first_feed(born, zone) if born else None,
        around.by_hand, around.lines.of(weight) if weight else None,
        AmongLike(bisect_left(like, weight), len(like)) if weight else None,
        warmth(flock, lamb, born, today), born is not None and today.at - born > FIRST_DAY,
        called_cold(flock, lamb, today), holds_its_head(flock, lamb, today) is False,
    )  # fmt: skip


def tiny_weight(lamb: Animal) -> float | None:
    """A birth weight that is asked about because it is so low: until it is confirmed the lamb is fed for it."""
    weight = lamb.birth.line.weight if lamb.birth else None
    return weight.kg if weight and weight.kg < BIRTH_KG[0] else None


def hand_reason(flock: Flock, birth: LambingFact, lamb: Animal, pets: set[str], today: Moment) -> ByHand | None:
    """Why a lamb cannot be left to suck, as far as the notes tell."""
    assert lamb.birth is not None
    dam, line = flock.animals.get(nurse_of(lamb, today) or birth.ewe or ""), lamb.birth.line
    if lamb.id in pets:
        return ByHand(WhyByHand.ON_THE_BOTTLE)
    if dam is not None and gone(dam, today):
        return ByHand(WhyByHand.DAM_GONE)
    if line.helpless:
        return ByHand(WhyByHand.HELPLESS, line.helpless)
    if birth.event.milk in NOT_ENOUGH_MILK and not nurse_of(lamb, today):
        return ByHand(WhyByHand.LITTLE_MILK, birth.event.milk or "")
    return ByHand(WhyByHand.TUBED) if line.tubed_ml else None


def bottle_fed(flock: Flock, today: Moment) -> set[str]:
    """The lambs that foster notes put on the bottle."""
    return {
        lamb
        for event in flock.events
        if isinstance(event, Foster) and event.pet and happened(event, today)
        for lamb in flock.who(event)
    }


def fed(flock: Flock, lamb: Animal, start: datetime, today: Moment) -> float:
    """Colostrum written in feeding notes of a lamb's first day, in mL; milk replacer does not count.

    A feed without a time of day counts where it is of the day of birth or the next.
    """
    total = 0.0
    for event in flock.by_animal.get(lamb.id, ()):
        if (
            not isinstance(event, Feeding)
            or not event.amount
            or event.what == MILK_REPLACER
            or not happened(event, today)
        ):
            continue
        at = datetime.combine(event.date, event.time) if event.date and event.time else None
        if at is None or at - start <= FIRST_DAY:
            total += event.amount.ml
    return total


def weights_by_litter(births: Iterable[LambingFact]) -> Mapping[int, list[float]]:
    """The flock's birth weights by litter size, lightest first; weights that were asked about are left out."""
    found: dict[int, list[float]] = {}
    for birth in births:
        found.setdefault(birth.born, []).extend(kg for lamb in birth.lambs if (kg := birth_weight(lamb)))
    return {size: sorted(weights) for size, weights in found.items()}


def litters(young: Iterable[Newborn]) -> tuple[LitterNeed, ...]:
    """The newborn lambs by birth, in the order in which they were born."""
    groups: dict[str, list[Newborn]] = {}
    for item in young:
        if item.lamb.birth:
            groups.setdefault(item.lamb.birth.note.origin.path, []).append(item)
    found = []
    for note, lambs in groups.items():
        weights = [kg for item in lambs if (kg := birth_weight(item.lamb) or tiny_weight(item.lamb))]
        found.append(LitterNeed(note, lambs[0].lamb.dam or "", litter_litres(weights), len(lambs) - len(weights)))
    return tuple(found)
