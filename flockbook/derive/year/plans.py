"""Reminders of joining time and of plans: ram out, crayon, boosters, and what the shepherd planned herself."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from enum import Enum, auto

from compiler.amounts import Duration
from compiler.book import Moment
from compiler.dates import DAY_FIRST, MONTH_FIRST, MONTH_OF
from compiler.shape import Value, replace
from flockbook.derive.breeding.gestation import (
    BOOSTER_DAYS,
    BOOSTER_LAST,
    CRAYON_DAYS,
    SCAN_AFTER_OUT,
    SCAN_BEFORE,
    Span,
    crayon_changes,
    scan_window,
)
from flockbook.derive.breeding.mating import JOIN_DAYS, Mating, is_planned, rams_of
from flockbook.derive.breeding.pregnancies import carried
from flockbook.derive.plain.because import Because, Reason, Stated
from flockbook.derive.year.reminder import OVERDUE_DAYS, REMINDED_DAYS, Reminder, ReminderSources, stable_id
from flockbook.flock import Flock, happened, there
from flockbook.records.breeding import Joining
from flockbook.records.event import Event
from flockbook.records.handling import Check, Job
from flockbook.records.health import Treatment
from flockbook.records.pregnancy import Scan
from flockbook.records.sheep import Medicine
from flockbook.records.year import Plan, Task
from flockbook.roll import key_of

# A note ticks a plan off when it lies within these days of its day (our own choice).
TICKS_BEFORE, TICKS_AFTER = 28, 60
CRAYON_NEAR = 5  # a new colour written within so many days of its day ticks the change off (our own choice)
CRAYON_WORDS = ("crayon", "raddle")
VACCINE = "vaccin"
SCAN = "scan"


class Start(Enum):
    """What a plan's day is counted on from."""

    LAMBED = auto()
    BIRTH = auto()
    RAM_IN = auto()
    RAM_OUT = auto()


class EveryYear(Reason):
    """A plan for one day of each year, as typed."""

    day: str


class CountedOn(Reason):
    """A length of time, as typed, after something; its day where that is not the sheep's own."""

    length: str
    start: Start
    day: date | None = None


class BeforeDue(Reason):
    """A length of time, as typed, before the first ewe (of a mob, else of all) is due."""

    length: str
    mob: str
    due: date


class CrayonEvery(Reason):
    """The days after which the crayon is changed."""

    days: int


class BoosterWeeks(Reason):
    """From how many weeks before the first ewe is due to how many a booster is given."""

    first: int
    last: int
    due: date


class ScanDays(Reason):
    """The days that suit a scan: from `first`, so long after the last ram out, to so long after the first in."""

    first: date
    after_out: int
    after_in: int


class Occasion(Value):
    """One coming round of a plan: its day, what makes it one (a season, a birth day), the sheep, and the working."""

    day: date
    rule: str
    sheep: tuple[str, ...]
    reason: Reason


def planned(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """Plans first, then what every joining brings, those written ahead too."""
    plans, known = flock.collection.of(Plan), replace(known, matings=known.matings.whole)
    for plan in plans:
        for occasion in occasions(flock, known, plan, today):
            if -OVERDUE_DAYS <= (occasion.day - today.day).days <= REMINDED_DAYS:
                yield plan_reminder(flock, plan, occasion, today)
    for event in flock.of(Joining):
        ahead = is_planned(event, today)
        if event.date and (ahead or happened(event, today)):
            yield from (ram_in(flock, event),) if ahead else ()
            yield ram_out(flock, event, today)
            yield from crayons(flock, event, plans)
    yield from boosters(flock, known, plans, today)
    yield from scannings(flock, known, today)


def plan_reminder(flock: Flock, plan: Plan, occasion: Occasion, today: Moment) -> Reminder:
    """One occasion of a plan, ticked off by the note it names, a task or a job of the same words."""
    because = Because(plan.origin.path, plan.origin.span("what").line, "plan", reason=occasion.reason)
    return Reminder(
        stable_id("plan", f"{plan.origin.path} {occasion.rule}"),
        "plan",
        occasion.day,
        plan.what or "planned work",
        occasion.sheep,
        (because,),
        ticked(flock, plan, occasion.day, today),
        f"a note of {plan.done_by}" if plan.done_by else "a task or job note of the same words",
    )


def occasions(flock: Flock, known: ReminderSources, plan: Plan, today: Moment) -> Iterator[Occasion]:
    """The days on which a plan comes round."""
    if plan.every_year:
        for year in (today.day.year - 1, today.day.year, today.day.year + 1):
            day = yearly(plan.every_year, year)
            if day:
                yield Occasion(day, str(year), (), EveryYear(plan.every_year))
    yield from by_season(flock, known, plan, today)
    if plan.after_lambing:
        for birth in known.lambings:
            if birth.event.date and birth.ewe and there(flock.animals[birth.ewe], today):
                day = birth.event.date + whole_span(plan.after_lambing)
                yield Occasion(day, birth.note, (birth.ewe,), CountedOn(plan.after_lambing.text, Start.LAMBED))
    if plan.after_birth:
        yield from by_birthday(flock, known, plan.after_birth, today)


def by_season(flock: Flock, known: ReminderSources, plan: Plan, today: Moment) -> Iterator[Occasion]:
    """Plans that hang on a joining: before the first ewe is due, after ram in, after ram out. A plan `for` a mob hangs
    on the joining of its ewes, and names them.
    """
    for season in sorted({season for _, season in known.matings.by_ewe}):
        matings, of_mob = for_whom(flock, known.matings.of_season(season), plan, today)
        sheep = tuple(mating.ewe for mating in matings) if of_mob else ()
        rams_in = min(mating.first_in for mating in matings)
        if plan.before_first_due:
            first = first_due(matings)
            reason: Reason = BeforeDue(plan.before_first_due.text, of_mob, first)
            yield Occasion(first - whole_span(plan.before_first_due), f"due {season}", sheep, reason)
        if plan.after_ram_in:
            reason = CountedOn(plan.after_ram_in.text, Start.RAM_IN, rams_in)
            yield Occasion(rams_in + whole_span(plan.after_ram_in), f"in {season}", sheep, reason)
        outs = [event.out for mating in matings for event in mating.joinings if event.out]
        if plan.after_ram_out and outs:
            reason = CountedOn(plan.after_ram_out.text, Start.RAM_OUT, max(outs))
            yield Occasion(max(outs) + whole_span(plan.after_ram_out), f"out {season}", sheep, reason)


def for_whom(flock: Flock, matings: tuple[Mating, ...], plan: Plan, today: Moment) -> tuple[tuple[Mating, ...], str]:
    """The matings of a season that a plan is for: those of the ewes still in the mob it names, and that mob;
    of all ewes where it names no mob that had a ram.
    """
    ewes = {mating.ewe: flock.animals[mating.ewe] for mating in matings}
    mob = plain_text(plan.for_)
    held = tuple(
        mating
        for mating in matings
        if mob and plain_text(ewes[mating.ewe].mob_on(today.day)) == mob and there(ewes[mating.ewe], today)
    )
    return (held, plan.for_ or "") if held else (matings, "")


def by_birthday(flock: Flock, known: ReminderSources, after: Duration, today: Moment) -> Iterator[Occasion]:
    """One occasion for all lambs born on one day."""
    born: dict[date, list[str]] = {}
    for birth in known.lambings:
        alive = [lamb.id for lamb in birth.lambs if there(flock.animals[lamb.id], today)]
        if birth.event.date and alive:
            born.setdefault(birth.event.date, []).extend(alive)
    for day, lambs in born.items():
        occasion = f"born {day.isoformat()}"
        yield Occasion(day + whole_span(after), occasion, tuple(sorted(lambs)), CountedOn(after.text, Start.BIRTH))


def first_due(matings: tuple[Mating, ...]) -> date:
    """The first day on which one of these ewes is due: the first service, or ram in, and her mean pregnancy."""
    return min(mating.gestation.due(min(mating.served) if mating.served else mating.first_in) for mating in matings)


def whole_span(length: Duration) -> timedelta:
    """A length of time in whole days."""
    return timedelta(days=round(length.hours / 24))


def yearly(text: str, year: int) -> date | None:
    """`1 Oct` or `October 1` in a year; None when it is no day of that year."""
    plain = " ".join(text.split())
    match = DAY_FIRST.fullmatch(plain)
    day, month = (match[1], match[2]) if match else (None, None)
    if match is None and (match := MONTH_FIRST.fullmatch(plain)):
        day, month = match[2], match[1]
    number = MONTH_OF.get((month or "").lower())
    try:
        return date(year, number, int(day)) if number and day else None
    except ValueError:
        return None


def ticked(flock: Flock, plan: Plan, day: date, today: Moment) -> bool:
    """Whether a note near the day did what the plan asks."""
    for event in flock.events:
        near = event.date and -TICKS_BEFORE <= (event.date - day).days <= TICKS_AFTER
        if near and happened(event, today) and (same_words(event, plan.what) or answers(flock, event, plan.done_by)):
            return True
    return False


def same_words(event: Event, what: str | None) -> bool:
    """Whether a finished task or a job is called what the plan is called."""
    said = event.what if isinstance(event, Task) and event.done else event.did if isinstance(event, Job) else None
    return bool(said and what) and plain_text(said) == plain_text(what)


def answers(flock: Flock, event: Event, done_by: str | None) -> bool:
    """Whether a note is of the kind, or gives a medicine of the kind or name, that ticks a plan off."""
    word = plain_text(done_by)
    if not word:
        return False
    if event.origin.kind == word or (isinstance(event, Check) and plain_text(event.for_) == word):
        return True
    if isinstance(event, Job) and plain_text(event.did) == word:
        return True
    return isinstance(event, Treatment) and (plain_text(event.medicine) == word or word in medicine_kinds(flock, event))


def medicine_kinds(flock: Flock, event: Treatment) -> set[str]:
    """What kind of medicine a treatment gave."""
    return {plain_text(item.kind) for item in flock.medicines.get(plain_text(event.medicine), ())}


def plain_text(text: str | None) -> str:
    """A text without case or spare blanks."""
    return key_of(text or "")


# What every joining brings


def ram_in(flock: Flock, event: Joining) -> Reminder:
    """The day a ram goes in by a joining written ahead."""
    assert event.date is not None
    line, rams = event.origin.span("rams").line, rams_of(flock, event)
    because = Because(event.origin.path, line, "ram in", reason=Stated.JOINING_AHEAD)
    key, ticks = stable_id("ram in", event.origin.path, rams), "its day, when the joining begins"
    return Reminder(key, "ram in", event.date, "ram in, as planned", rams, (because,), ticked_by=ticks)


def ram_out(flock: Flock, event: Joining, today: Moment) -> Reminder:
    """The day the ram comes out as planned; where none is written, two heats after he went in."""
    assert event.date is not None
    day = event.out or event.date + timedelta(days=JOIN_DAYS)
    what = "ram out" if event.out else "ram out? two heats have passed; write the day as `out`"
    line = event.origin.span("out" if event.out else "rams").line
    because = Because(event.origin.path, line, "ram out", reason=Stated.IN_THE_JOINING)
    key = stable_id("ram out", event.origin.path, rams_of(flock, event))
    done = event.out is not None and event.out < today.day
    return Reminder(key, "ram out", day, what, rams_of(flock, event), (because,), done, "`out` in the joining note")


def crayons(flock: Flock, event: Joining, plans: tuple[Plan, ...]) -> Iterator[Reminder]:
    """The days to change the crayon, for joinings that record marks; a plan for the same day stands in its place."""
    if event.date is None or not event.lines:
        return
    own = [plan.after_ram_in for plan in plans if any(word in plain_text(plan.what) for word in CRAYON_WORDS)]
    covered = {event.date + whole_span(after) for after in own if after}
    ram_end = event.out or event.date + timedelta(days=JOIN_DAYS)
    colours = [line.date for line in event.lines if line.colour]
    for day in crayon_changes(Span(event.date, max(ram_end, event.date))):
        if day not in covered:
            line = event.origin.span("rams").line
            because = Because(event.origin.path, line, "crayon", reason=CrayonEvery(CRAYON_DAYS))
            done = any(abs((colour - day).days) <= CRAYON_NEAR for colour in colours)
            key = stable_id("crayon", f"{event.origin.path} {(day - event.date).days}", rams_of(flock, event))
            what, ticks = "change the crayon, light to dark", "the new colour in the joining note"
            yield Reminder(key, "crayon", day, what, rams_of(flock, event), (because,), done, ticks)


def boosters(flock: Flock, known: ReminderSources, plans: tuple[Plan, ...], today: Moment) -> Iterator[Reminder]:
    """The ewes' booster before lambing, where the cupboard holds a vaccine and no plan speaks of one."""
    has = any(VACCINE in plain_text(item.kind) for item in flock.collection.of(Medicine))
    own = [plan for plan in plans if plan.before_first_due]
    if not has or any(VACCINE in f"{plain_text(plan.what)} {plain_text(plan.done_by)}" for plan in own):
        return
    for season in sorted({season for _, season in known.matings.by_ewe}):
        first = first_due(known.matings.of_season(season))
        day = first - timedelta(days=BOOSTER_DAYS)
        because = Because("", None, "booster", reason=BoosterWeeks(BOOSTER_DAYS // 7, BOOSTER_LAST // 7, first))
        yield Reminder(
            stable_id("booster", str(season)), "booster", day, "ewes' booster, if your vet wants one", (), (because,),
            vaccine_given(flock, Span(day, first), today), "a treatment with a vaccine",
        )  # fmt: skip


def vaccine_given(flock: Flock, days: Span, today: Moment) -> bool:
    """Whether any vaccine was given within some days."""
    return any(
        isinstance(event, Treatment)
        and event.date
        and event.date in days
        and happened(event, today)
        and any(VACCINE in kind for kind in medicine_kinds(flock, event))
        for event in flock.events
    )


def scannings(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """The last day that suits a scan of all ewes of a season whose rams are written out; a task or a plan of the
    shepherd's own that speaks of scanning stands in its place.
    """
    plans, tasks = flock.collection.of(Plan), (event for event in flock.events if isinstance(event, Task))
    if any(SCAN in plain_text(what) for what in (*(plan.what for plan in plans), *(task.what for task in tasks))):
        return
    seen = [event.date for event in flock.events if isinstance(event, Scan) and event.date and happened(event, today)]
    for season in sorted({season for _, season in known.matings.by_ewe}):
        joinings = [event for mating in known.matings.of_season(season) for event in mating.joinings]
        ins, outs = [event.date for event in joinings if event.date], [event.out for event in joinings if event.out]
        window = scan_window(min(ins), max(outs)) if ins and len(outs) == len(joinings) else None
        if window:
            because = Because("", None, "scan", reason=ScanDays(window.first, SCAN_AFTER_OUT, SCAN_BEFORE))
            done = any(carried(min(ins), day) for day in seen)
            key, what = stable_id("scan", str(season)), "scan the ewes by this day; later it miscounts"
            yield Reminder(key, "scan", window.last, what, (), (because,), done, "a scan note")
