"""The clear-to-sell guard: until when each animal's meat and milk are held, from what was typed and nothing else.

The rules W1 to W13 are those of the book's own page "how it is worked out". Whatever is not known holds without an end.
Sources: Reg. (EU) 2019/6 Art. 4 (the period runs from the last dose); 21 CFR 530.20 and Reg. (EU) 2019/6 Art. 115
(off-label
use needs a vet's own period). No period and no dose is built in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime

from compiler.book import Moment
from compiler.shape import Value, field, replace
from flockbook.derive.medicine.doses import DoseFact
from flockbook.derive.medicine.guard_rules import cure_of
from flockbook.derive.medicine.hold_reasons import OfTheOther, OrganicUnread, told_of
from flockbook.derive.medicine.holds import Gap, Hold, State
from flockbook.derive.medicine.medicines import medicines_called
from flockbook.derive.medicine.one_animal import wearers
from flockbook.derive.medicine.organic import OrganicRule
from flockbook.derive.medicine.periods import MEAT, MILK, first_day, last_dose, period_of, release
from flockbook.derive.medicine.troubles import against_label, general_trouble, worked
from flockbook.derive.plain.because import Because
from flockbook.flock import Animal, Concerned, Doubt, Everybody, Flock, happened, there
from flockbook.records.health import Treatment
from flockbook.records.sheep import EWE
from flockbook.whom.whereabouts import Window, has_a_dam, present, weaned_days

CLEAR, HELD, UNKNOWN = "clear", "held", "unknown"
# A ewe lamb younger than this gives no milk (our own choice: ewe lambs may lamb at a year, never before).
MILKED_FROM = 240
# A lamb that no note weans is taken to suck until this age, where it is asked about for its dam's milk (W12): hill
# lambs are weaned at four to six months (common practice, no source).
NURSED_DAYS = 180


class Clearance(Value):
    """Where one animal stands at a moment, and why. `sucking` names the held ewe whose milk a lamb is drinking.
    `milked` says whether its milk is asked about at all.
    """

    sheep: str
    meat: State
    milk: State
    because: tuple[Because, ...] = ()
    holds: tuple[Hold, ...] = ()
    sucking: str | None = None
    milked: bool = True

    @property
    def clear(self) -> bool:
        """Whether no hold of its own keeps its meat from being sold."""
        return self.meat.state == CLEAR

    @property
    def plainly_clear(self) -> bool:
        """Whether its meat may be sold without a question (V14)."""
        return self.clear and self.sucking is None

    def of(self, product: str) -> State:
        """The state of one product."""
        return self.meat if product == MEAT else self.milk

    def deciding(self, product: str) -> tuple[Hold, ...]:
        """The holds that settle the state of a product: those that leave it unknown, else the latest to end."""
        mine = [hold for hold in self.holds if hold.product == product]
        open_ = [hold for hold in mine if hold.open]
        return tuple(open_ or [hold for hold in mine if hold.until == self.of(product).until])


class Guard(Value):
    """All holds there ever were, by animal, and where every living animal stands at the moment asked about. `gaps`
    reach everybody of their days.
    """

    holds: Mapping[str, tuple[Hold, ...]] = field(default_factory=dict)
    gaps: tuple[Gap, ...] = ()
    standing: Mapping[str, Clearance] = field(default_factory=dict)
    animals: Mapping[str, Animal] = field(default_factory=dict)
    organic: frozenset[str] = frozenset()

    def on(self, sheep: str, at: datetime) -> Clearance:
        """Where an animal stood at an earlier moment, by the notes of that day."""
        holds = [hold for hold in self.of(sheep) if hold.begins is None or hold.begins <= at.date()]
        return judged(self.animals[sheep], holds, at)

    def of(self, sheep: str) -> Iterator[Hold]:
        """All holds of an animal, those of everybody included."""
        yield from self.holds.get(sheep, ())
        animal = self.animals[sheep]
        gaps = (gap for gap in self.gaps if not gap.organic or sheep in self.organic)
        yield from (gap.hold for gap in gaps if present(animal, gap.days))


def guard(
    flock: Flock, doses: Mapping[tuple[str, str], DoseFact], today: Moment, organic: OrganicRule | None = None
) -> Guard:
    """The holds from all that concerns anybody, and the standing of all living animals."""
    rule = organic or OrganicRule()
    holds: dict[str, list[Hold]] = {}
    gaps: list[Gap] = []
    for answers in flock.concerned.values():
        found = _Holds(flock, answers, doses, today, rule)
        for sheep, hold in found.each():
            holds.setdefault(sheep, []).append(hold)
        gaps += found.of_everybody()
    fixed = shared(flock, {sheep: tuple(items) for sheep, items in holds.items()}, gaps)
    whole = Guard(fixed, tuple(gaps), {}, flock.animals, rule.sheep)
    return replace(whole, standing=standing_at(flock, whole, today))


def standing_at(flock: Flock, found: Guard, today: Moment) -> dict[str, Clearance]:
    """Where every animal that is here at a moment stands, by all that is written so far; the moment may be to come."""
    standing = {
        animal.id: judged(animal, [hold for hold in found.of(animal.id) if counts(hold, today)], today.at)
        for animal in flock.animals.values()
        if there(animal, today)
    }
    return with_sucklings(flock, standing, today)


def shared(flock: Flock, holds: dict[str, tuple[Hold, ...]], gaps: Sequence[Gap]) -> dict[str, tuple[Hold, ...]]:
    """Holds with those of records that could be one animal (V6): with one tag, or one official or electronic number.
    Who looks for the tag cannot tell them apart, so what holds one holds each. A dead sheep is nobody else.
    """
    found = dict(holds)
    for words, several in wearers(flock).items():
        for sheep in several if len(several) > 1 else ():
            others = [hold for other in several if other != sheep for hold in holds.get(other, ())]
            others += [gap.hold for gap in gaps if was_here(flock, several, gap) and not was_here(flock, [sheep], gap)]
            found[sheep] = (*found.get(sheep, ()), *(of_the_other(hold, words) for hold in others))
    return found


def was_here(flock: Flock, sheep: Iterable[str], gap: Gap) -> bool:
    """Whether one of some sheep was here on the days of a hold that reaches everybody."""
    return any(present(flock.animals[one], gap.days) for one in sheep)


def of_the_other(hold: Hold, words: tuple[str, ...]) -> Hold:
    """A hold of one sheep as the hold of another with its tag."""
    reason = OfTheOther(words, told_of(hold.because))
    return replace(hold, because=replace(hold.because, text="", reason=reason))


def counts(hold: Hold, today: Moment) -> bool:
    """Whether a hold bears on the moment asked about: a dose of that very day does, a later one does not, a damaged
    note always does.
    """
    return hold.gap or hold.begins is None or hold.begins <= today.day


# One note


class _Holds:
    """The holds that one note makes: of those dosed, of those in doubt, and of everybody."""

    def __init__(
        self,
        flock: Flock,
        answers: Concerned,
        doses: Mapping[tuple[str, str], DoseFact],
        today: Moment,
        organic: OrganicRule,
    ) -> None:
        self.flock, self.answers, self.doses, self.organic = flock, answers, doses, organic
        self.event = answers.event if isinstance(answers.event, Treatment) else None
        self.general = {
            product: general_trouble(flock, self.event, product, today) if self.event else None
            for product in (MEAT, MILK)
        }

    def each(self) -> Iterator[tuple[str, Hold]]:
        """Every animal with its hold."""
        for product in (MEAT, MILK):
            for sheep in self.answers.dosed if self.event else ():
                yield from ((sheep, hold) for hold in self.of_dosed(sheep, product))
            for sheep, doubt in self.answers.doubtful.items():
                dose = self.doses.get((self.answers.path, sheep))
                rule = self.organic.of(sheep)
                yield from ((sheep, hold) for hold in self.of_doubtful(doubt, product, dose, rule))

    def of_everybody(self) -> Iterator[Gap]:
        """The holds of everybody who was here on those days."""
        for product in (MEAT, MILK):
            for item in self.answers.everybody:
                for hold in self.of_doubtful(item.doubt, product):
                    yield Gap(hold, days_of_doubt(item))
                for hold in self.of_doubtful(item.doubt, product, None, self.organic) if self.organic.acts else ():
                    yield Gap(hold, days_of_doubt(item), organic=True)

    def of_dosed(self, sheep: str, product: str) -> Iterator[Hold]:
        """The hold of an animal that was surely dosed; a lamb held only as one at foot is not judged by its dose."""
        event = self.event
        assert event is not None
        trouble, doubt = self.general[product], self.answers.trouble.get(sheep)
        if trouble is None and doubt:
            trouble = Because(doubt.path, doubt.line, doubt.rule, doubt.text)
        if trouble is None and sheep not in self.answers.at_foot:
            trouble = against_label(event, product, self.doses.get((event.origin.path, sheep)))
        for hold in trouble_or_release(self.flock, event, product, trouble, self.organic.of(sheep)):
            yield replace(hold, cure=doubt.cure) if doubt and trouble and told_of(trouble) == doubt.text else hold

    def of_doubtful(
        self, doubt: Doubt, product: str, dose: DoseFact | None = None, rule: OrganicRule | None = None
    ) -> Iterator[Hold]:
        """The hold of an animal that was perhaps dosed: it ends when the dose would, or never."""
        reason = Because(doubt.path, doubt.line, doubt.rule, doubt.text)
        event = self.event
        begins = first_day(event) if event else self.answers.date
        over = event is not None and against_label(event, product, dose) is not None
        if doubt.never or event is None or over or self.general[product] is not None:
            name = (event.medicine or "") if event else ""
            yield Hold(
                product,
                None,
                False,
                begins,
                reason,
                name,
                gap=True,
                doubt=True,
                cure=doubt.cure or cure_of(doubt.rule, product),
            )
            return
        for hold in trouble_or_release(self.flock, event, product, None, rule):
            yield replace(hold, because=reason, doubt=True, cure=doubt.cure or cure_of(doubt.rule, product))


def days_of_doubt(item: Everybody) -> Window:
    """The days of a doubt that reaches everybody."""
    return Window(item.first, item.last)


def trouble_or_release(
    flock: Flock, event: Treatment, product: str, trouble: Because | None, organic: OrganicRule | None = None
) -> Iterator[Hold]:
    """A hold without end where something is wrong, else the hold that the period makes; none for a period of nought. Of
    an organic sheep the period is that of the flock's own rule (W13).
    """
    name = event.medicine or ""
    if trouble is None and organic is not None and organic.unread:
        trouble = Because(event.origin.path, event.origin.span("medicine").line, "W13", reason=OrganicUnread())
    if trouble is not None:
        cure = cure_of(trouble.rule, product, bool(medicines_called(flock, name)))
        yield Hold(product, None, False, first_day(event), trouble, name, gap=trouble.rule == "W11", cure=cure)
        return
    period = period_of(flock, event, product)
    last = last_dose(event)
    assert period is not None
    assert last is not None
    period = organic.lengthened(period) if organic else period
    if not period.zero:
        until, by_day = release(last, period, flock.zone)
        yield Hold(product, until, by_day, first_day(event), worked(event, product, last, period, until), name)


# One animal


def judged(animal: Animal, holds: Iterable[Hold], at: datetime) -> Clearance:
    """W4: the latest of all holds, meat and milk apart; unknown outweighs any date. Milk is asked only of females that
    could be milked. The reasons stand in the order in which they decide.
    """
    live = [
        hold for hold in holds if hold.until is None or at < hold.until or (hold.product == MILK and at == hold.until)
    ]
    asked = milked(animal, at.date())
    live = [hold for hold in live if hold.product == MEAT or asked]
    live.sort(key=weight, reverse=True)
    meat, milk = (state([hold for hold in live if hold.product == product]) for product in (MEAT, MILK))
    reasons = tuple(dict.fromkeys(hold.because for hold in live))
    return Clearance(animal.id, meat, milk, reasons, tuple(live), milked=asked)


def weight(hold: Hold) -> tuple[bool, bool, datetime]:
    """How much a hold decides: meat before milk, what has no date before any date, the later before the earlier."""
    return hold.product == MEAT, hold.open, hold.until or datetime.max


def milked(animal: Animal, day: date) -> bool:
    """Whether an animal could be milked: a female, or of unknown sex, and not a lamb."""
    if animal.sex not in (EWE, None):
        return False
    return animal.born is None or (day - animal.born.earliest).days >= MILKED_FROM


def state(holds: Sequence[Hold]) -> State:
    """The state that running holds make together."""
    if open_ := [hold for hold in holds if hold.open]:
        return State(UNKNOWN, mend=any(hold.cure for hold in open_))
    if not holds:
        return State(CLEAR)
    latest = max(holds, key=lambda hold: hold.until or datetime.max)
    return State(HELD, latest.until, latest.by_day)


def with_sucklings(flock: Flock, standing: dict[str, Clearance], today: Moment) -> dict[str, Clearance]:
    """W12 and V14: a lamb that may be sucking a ewe held for meat or milk carries the question, and no hold."""
    weaned = weaned_days(flock)
    dams = [ewe for ewe in standing if flock.animals[ewe].sex == EWE and may_nurse(flock, ewe, today)]
    for sheep, row in list(standing.items()):
        animal = flock.animals[sheep]
        for ewe in nurses(animal, today, weaned) or at_any_foot(animal, today, weaned, dams):
            if ewe in standing and not (standing[ewe].meat.state == standing[ewe].milk.state == CLEAR):
                standing[sheep] = replace(row, sucking=ewe)
                break
    return standing


def may_nurse(flock: Flock, ewe: str, today: Moment) -> bool:
    """Whether a ewe can have a lamb at her foot."""
    born = flock.animals[ewe].born
    return born is None or (today.day - born.earliest).days >= MILKED_FROM


def at_any_foot(animal: Animal, today: Moment, weaned: Mapping[str, date], ewes: list[str]) -> tuple[str, ...]:
    """The ewes that a lamb may be sucking whose dam is not known."""
    born = animal.born.latest if animal.born else None
    told = animal.birth is not None or has_a_dam(animal)
    if born is None or not told or animal.dam or (today.day - born).days > NURSED_DAYS:
        return ()
    return () if weaned.get(animal.id, date.max) < today.day else tuple(ewes)


def nurses(animal: Animal, today: Moment, weaned: Mapping[str, date]) -> tuple[str, ...]:
    """The ewes that a lamb may still be sucking: the one it was given to last, its dam, and any other it was given to.
    On the day that it is weaned it still may (V4).
    """
    born = animal.birthday or (animal.born.latest if animal.born else None)
    if born is None or (today.day - born).days > NURSED_DAYS or weaned.get(animal.id, date.max) < today.day:
        return ()
    given = [item.ewe for item in reversed(animal.nursings) if happened(item.note, today)]
    return tuple(ewe for ewe in dict.fromkeys((*given, animal.dam)) if ewe)


__all__ = ["CLEAR", "HELD", "UNKNOWN", "Clearance", "Gap", "Guard", "Hold", "State", "guard", "standing_at"]
