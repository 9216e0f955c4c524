"""The clear-to-sell guard: until when each animal's meat and milk are held, from what was typed and nothing else.

The rules W1 to W12 are those of the book's own page "how it is worked out". Whatever is not known holds without an end.
Sources: Reg. (EU) 2019/6 Art. 4 (the period runs from the last dose); 21 CFR 530.20 and Reg. (EU) 2019/6 Art. 115
(off-label
use needs a vet's own period). No period and no dose is built in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta

from compiler.book import Moment
from compiler.dates import When
from compiler.nearness import near
from compiler.shape import Value, field, replace
from flockbook.derive.medicine.doses import DoseFact
from flockbook.derive.plain.because import Because
from flockbook.flock import Animal, Concern, Flock, happened, nurse_of, there
from flockbook.records.health import Treatment
from flockbook.records.labels import Withdrawal
from flockbook.records.sheep import Medicine
from flockbook.roll import key_of

CLEAR, HELD, UNKNOWN = "clear", "held", "unknown"
MEAT, MILK = "meat", "milk"
NAMING = ("sheep", "mob", "count", "lines", "ewe")  # fields by whose loss a sheep could be missed
# A lamb is taken to suck until this age unless a weaning note says otherwise (common practice: weaning at about 100
# days).
SUCKING_DAYS = 120


class Hold(Value):
    """One reason why one product of one animal may not be sold. `until` None: no date can be named.

    `by_day` says that only the day of the dose was known, so that `until` is the start of the first clear date.
    `begins` is
    the day it began (None: unknown). `gap` marks holds that come from a note that cannot be read.
    """

    product: str
    until: datetime | None
    by_day: bool
    begins: date | None
    because: Because
    medicine: str = ""
    gap: bool = False


class State(Value):
    """clear, held (until a moment, or the start of a first clear date), or unknown."""

    state: str
    until: datetime | None = None
    by_day: bool = False

    @property
    def shown(self) -> str | None:
        """The release as an ISO date (first clear date) or date and time, or None."""
        if self.until is None:
            return None
        return self.until.date().isoformat() if self.by_day else self.until.strftime("%Y-%m-%dT%H:%M")


class Clearance(Value):
    """Where one animal stands at a moment, and why. `sucking` names the held ewe whose milk a lamb is drinking."""

    sheep: str
    meat: State
    milk: State
    because: tuple[Because, ...] = ()
    holds: tuple[Hold, ...] = ()
    sucking: str | None = None

    @property
    def clear(self) -> bool:
        """Whether its meat may be sold."""
        return self.meat.state == CLEAR


class Guard(Value):
    """All holds there ever were, by animal, and where every living animal stands at the moment asked about."""

    holds: Mapping[str, tuple[Hold, ...]] = field(default_factory=dict)
    gaps: tuple[Hold, ...] = ()
    standing: Mapping[str, Clearance] = field(default_factory=dict)

    def on(self, sheep: str, at: datetime) -> Clearance:
        """Where an animal stood at an earlier moment, by the notes of that day."""
        holds = [
            hold for hold in (*self.holds.get(sheep, ()), *self.gaps) if hold.begins is None or hold.begins <= at.date()
        ]
        return judged(sheep, holds, at)


def guard(flock: Flock, doses: Mapping[tuple[str, str], DoseFact], today: Moment) -> Guard:
    """The holds from every treatment and every damaged note, and the standing of all living animals."""
    holds: dict[str, list[Hold]] = {}
    gaps: list[Hold] = []
    for event in flock.events:
        if isinstance(event, Treatment):
            found, everybody = treatment_holds(flock, event, doses, today)
            gaps += everybody
            for sheep, hold in found:
                holds.setdefault(sheep, []).append(hold)
    for concern in flock.concerns:
        both = [hole_hold(concern, product) for product in (MEAT, MILK)]
        if concern.ids is None:
            gaps += both
        for sheep in concern.ids or ():
            holds.setdefault(sheep, []).extend(both)
    fixed = shared(flock, {sheep: tuple(items) for sheep, items in holds.items()}, today)
    whole = Guard(fixed, tuple(gaps))
    return replace(whole, standing=standing_at(flock, whole, today))


def standing_at(flock: Flock, found: Guard, today: Moment) -> dict[str, Clearance]:
    """Where every animal that is here at a moment stands, by all that is written so far; the moment may be to come."""
    standing = {
        animal.id: judged(
            animal.id,
            [hold for hold in (*found.holds.get(animal.id, ()), *found.gaps) if counts(hold, today)],
            today.at,
        )
        for animal in flock.animals.values()
        if there(animal, today)
    }
    return with_sucklings(flock, standing, today)


def shared(flock: Flock, holds: dict[str, tuple[Hold, ...]], today: Moment) -> dict[str, tuple[Hold, ...]]:
    """Holds with those of sheep that the notes give the same tag: who looks for the tag cannot tell them apart, so what
    holds one holds each.
    """
    wearers: dict[str, list[str]] = {}
    for animal in flock.animals.values():
        if there(animal, today):
            for tag in dict.fromkeys(map(key_of, animal.tags)):
                wearers.setdefault(tag, []).append(animal.id)
    found = dict(holds)
    for tag, several in wearers.items():
        for sheep in several if len(several) > 1 else ():
            others = (hold for other in several if other != sheep for hold in holds.get(other, ()))
            found[sheep] = (*found.get(sheep, ()), *(of_the_other(hold, tag) for hold in others))
    return found


def of_the_other(hold: Hold, tag: str) -> Hold:
    """A hold of one sheep as the hold of another with its tag."""
    text = f"tag {tag.upper()} is written for two sheep, and of the other: {hold.because.text}"
    return replace(hold, because=replace(hold.because, text=text))


def counts(hold: Hold, today: Moment) -> bool:
    """Whether a hold bears on the moment asked about: a dose of that very day does, a later one does not, a damaged
    note always does.
    """
    return hold.gap or hold.begins is None or hold.begins <= today.day


# One treatment


def treatment_holds(
    flock: Flock, event: Treatment, doses: Mapping[tuple[str, str], DoseFact], today: Moment
) -> tuple[list[tuple[str, Hold]], list[Hold]]:
    """Holds of the animals treated, and holds of everybody where it cannot be known who was treated."""
    subjects = flock.subjects[event.origin.path]
    damage = damaged(event, today)
    found: list[tuple[str, Hold]] = []
    for product in (MEAT, MILK):
        general = damage or period_trouble(flock, event, product)
        for sheep in subjects.ids:
            trouble = general or against_label(event, product, doses.get((event.origin.path, sheep)))
            found += [(sheep, hold) for hold in trouble_or_release(flock, event, product, trouble)]
    if subjects.doubtful is None or names_lost(event):
        reason = because(event, "W11", "it cannot be told which sheep this treatment was given to")
        return found, [
            Hold(product, None, False, event.date, reason, event.medicine or "", gap=True) for product in (MEAT, MILK)
        ]
    for sheep in subjects.doubtful:
        reason = because(event, "W11", "a name in this treatment is not found and could mean this sheep")
        found += [
            (sheep, Hold(product, None, False, event.date, reason, event.medicine or "", gap=True))
            for product in (MEAT, MILK)
        ]
    return found, []


def trouble_or_release(flock: Flock, event: Treatment, product: str, trouble: Because | None) -> Iterator[Hold]:
    """A hold without end where something is wrong, else the hold that the period makes; none for a period of nought."""
    name = event.medicine or ""
    if trouble is not None:
        yield Hold(product, None, False, event.date, trouble, name, gap=trouble.rule == "W11")
        return
    period = period_of(flock, event, product)
    last = last_dose(event)
    assert period is not None
    assert last is not None
    if not period.zero:
        until, by_day = release(last, period)
        yield Hold(product, until, by_day, first_day(event), worked(event, product, last, period, until, by_day), name)


def names_lost(event: Treatment) -> bool:
    """Whether a damaged or unknown field may have named sheep."""
    lost = event.origin.broken & set(NAMING)
    return bool(lost) or any(near(name, (*NAMING, "except"), slips=2) for name in event.origin.unread)


def damaged(event: Treatment, today: Moment) -> Because | None:
    """W11: something in the note could not be read. A date that lies in the future cannot be right either."""
    if event.origin.broken or event.origin.unread:
        names = ", ".join(
            sorted(name.rstrip("_").replace("_", " ") for name in (*event.origin.broken, *event.origin.unread))
        )
        return because(event, "W11", f"part of this note could not be read ({names})")
    latest = max((when.date for when in all_doses(event)), default=event.date)
    clock = max(today.day, today.clock or today.day)
    if latest is not None and latest > clock:
        return because(event, "W11", f"this treatment is dated in the future ({latest.isoformat()})")
    return None


def period_trouble(flock: Flock, event: Treatment, product: str) -> Because | None:
    """W5, W6, W7, W9: why no date can be named for anybody in this treatment."""
    medicines = flock.medicines.get(" ".join((event.medicine or "").casefold().split()), ())
    if not medicines:
        return because(event, "W6", f"there is no medicine note called “{event.medicine}”")
    if len(medicines) > 1:
        return because(event, "W6", f"{len(medicines)} medicine notes are called “{event.medicine}”")
    if medicines[0].origin.broken or medicines[0].origin.unread:
        return because(event, "W11", f"the note on {event.medicine} could not be read whole")
    if open_course(event):
        return because(
            event, "W5", "the course is still open: neither “given” for all its days nor “finished” is written"
        )
    if event.off_label and not (event.vet and own_period(event, product)):
        return because(event, "W9", f"used off the label: a vet's name and a written {product} period are needed")
    if against_route(event, medicines[0]) and not (event.vet and own_period(event, product)):
        return because(
            event,
            "W9",
            f"given {event.route}, the label says {medicines[0].route}: a vet's name and a written {product} period "
            "are needed",
        )
    period = period_of(flock, event, product)
    if period is None:
        return because(event, "W6", f"no {product} period is typed for {event.medicine}")
    if period.never:
        return because(event, "W7", f"{event.medicine} is {period.text} until the vet says otherwise")
    return None


def against_label(event: Treatment, product: str, dose: DoseFact | None) -> Because | None:
    """W9 for one animal: too young, or a dose that its own weight shows to be another than the label's."""
    if dose is None or not dose.against or (event.vet and own_period(event, product)):
        return None
    return because(event, "W9", f"{dose.against}: a vet's name and a written {product} period are needed")


def open_course(event: Treatment) -> bool:
    """W5: a course planned for some days, of which fewer are written as given and none as the last."""
    return (
        event.days is not None
        and event.finished is None
        and len({when.date for when in event.given}) < max(event.days, 1)
    )


def against_route(event: Treatment, medicine: Medicine) -> bool:
    """Whether the route given differs from the label's."""
    if not event.route or not medicine.route:
        return False
    return not set(route_words(event.route)) & set(route_words(medicine.route))


ROUTES = {
    "mouth": ("mouth", "oral", "orally", "drench", "drenched"),
    "skin": ("skin", "subcutaneous", "subcutaneously", "sc", "subcut"),
    "muscle": ("muscle", "intramuscular", "intramuscularly", "im"),
    "vein": ("vein", "intravenous", "iv"),
    "udder": ("udder", "teat", "intramammary", "tube"),
    "back": ("back", "pour-on", "pouron", "topical", "spray", "sprayed", "foot"),
}


def route_words(text: str) -> list[str]:
    """The routes that a text names; a text that names none stands for itself."""
    words = text.lower().replace(",", " ").split()
    named = [route for route, others in ROUTES.items() if any(word in others for word in words)]
    return named or [" ".join(words)]


def own_period(event: Treatment, product: str) -> Withdrawal | None:
    """The period written in the treatment note itself."""
    return event.meat_withdrawal if product == MEAT else event.milk_withdrawal


def period_of(flock: Flock, event: Treatment, product: str) -> Withdrawal | None:
    """The period in force: a named vet's own, else the longer of the note's and the label's. Never a shorter one
    unsigned.
    """
    own = own_period(event, product)
    medicine = flock.medicines[" ".join((event.medicine or "").casefold().split())][0]
    label = medicine.meat_withdrawal if product == MEAT else medicine.milk_withdrawal
    if own is None or label is None:
        return own or label
    return own if event.vet else longer(own, label)


def longer(one: Withdrawal, other: Withdrawal) -> Withdrawal:
    """The period that holds longer."""
    if one.never or other.never:
        return one if one.never else other
    return max(one, other, key=lambda period: period.hours if period.hours is not None else (period.days or 0) * 24)


def all_doses(event: Treatment) -> tuple[When, ...]:
    """Every dose written as given; the note's own date when it lists none."""
    doses = (*event.given, *([event.finished] if event.finished else []))
    if doses or event.date is None:
        return doses
    return (When(event.date, event.time),)


def first_day(event: Treatment) -> date | None:
    """The day of the first dose."""
    return min((when.date for when in all_doses(event)), default=event.date)


def last_dose(event: Treatment) -> When | None:
    """W5: the last dose written as given. On one day, a dose without a time counts as the later."""
    return max(all_doses(event), key=lambda when: when.moment, default=None)


def release(last: When, period: Withdrawal) -> tuple[datetime, bool]:
    """W1, W2, W10: the moment of release by local wall time, and whether it is the start of a first clear date."""
    span = timedelta(hours=period.hours) if period.hours is not None else timedelta(days=period.days or 0)
    if last.time is not None:
        exact = datetime.combine(last.date, last.time) + span
        return (
            exact
            if not exact.second and not exact.microsecond
            else exact.replace(second=0, microsecond=0) + timedelta(minutes=1)
        ), False
    end = datetime.combine(last.date, time.min) + timedelta(days=1) + span
    whole = datetime.combine(end.date(), time.min)
    return (whole if whole == end else whole + timedelta(days=1)), True


def discarded(dose: datetime, hours: float, milkings: Sequence[datetime]) -> tuple[datetime, ...]:
    """W8: the milkings after a dose whose milk may not be sold; one at exactly the limit is among them.

    Counting example: 21 CFR 526.1698 (72 h, six milkings).
    """
    return tuple(milking for milking in milkings if dose < milking <= dose + timedelta(hours=hours))


def worked(event: Treatment, product: str, last: When, period: Withdrawal, until: datetime, by_day: bool) -> Because:
    """How a release was reached, in words."""
    given = f"{last.date.isoformat()} {last.time:%H:%M}" if last.time else last.date.isoformat()
    if by_day:
        text = (
            f"last dose {given}, no time written, so one day is added; {product} {period.text}: first clear date "
            f"{until:%Y-%m-%d}"
        )
        return because(event, "W2", text)
    return because(event, "W1", f"last dose {given}; {product} {period.text}: clear from {until:%Y-%m-%d %H:%M}")


def because(event: Treatment, rule: str, text: str) -> Because:
    """A reason that rests on a treatment note."""
    return Because(event.origin.path, event.origin.span("given" if event.given else "medicine").line, rule, text)


def hole_hold(concern: Concern, product: str) -> Hold:
    """W11: a note that cannot be read."""
    who = (
        "this note cannot be read"
        if concern.ids
        else "a note that may be a treatment cannot be read, nor for which sheep it was"
    )
    return Hold(
        product,
        None,
        False,
        concern.date,
        Because(concern.path, concern.line, "W11", f"{who}: {concern.reason}"),
        gap=True,
    )


# One animal


def judged(sheep: str, holds: Iterable[Hold], at: datetime) -> Clearance:
    """W4: the latest of all holds, meat and milk apart; unknown outweighs any date."""
    live = [
        hold for hold in holds if hold.until is None or at < hold.until or (hold.product == MILK and at == hold.until)
    ]
    meat, milk = (state([hold for hold in live if hold.product == product]) for product in (MEAT, MILK))
    reasons = tuple(dict.fromkeys(hold.because for hold in live))
    return Clearance(sheep, meat, milk, reasons, tuple(live))


def state(holds: Sequence[Hold]) -> State:
    """The state that running holds make together."""
    if any(hold.until is None for hold in holds):
        return State(UNKNOWN)
    if not holds:
        return State(CLEAR)
    latest = max(holds, key=lambda hold: hold.until or datetime.max)
    return State(HELD, latest.until, latest.by_day)


def with_sucklings(flock: Flock, standing: dict[str, Clearance], today: Moment) -> dict[str, Clearance]:
    """W12: a lamb that may be sucking a held ewe carries the question; it is not held by it."""
    for sheep, row in list(standing.items()):
        ewe = nurse(flock.animals[sheep], today)
        if ewe in standing and standing[ewe].meat.state != CLEAR:
            standing[sheep] = replace(row, sucking=ewe)
    return standing


def nurse(animal: Animal, today: Moment) -> str | None:
    """The ewe that a lamb is still taken to suck."""
    born = animal.birthday
    if born is None or (today.day - born).days > SUCKING_DAYS:
        return None
    return nurse_of(animal, today) or animal.dam


def treatments_of(flock: Flock, sheep: str, today: Moment) -> tuple[Treatment, ...]:
    """The treatments of one animal up to the moment asked about."""
    return tuple(
        event for event in flock.by_animal.get(sheep, ()) if isinstance(event, Treatment) and happened(event, today)
    )
