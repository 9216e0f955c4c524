"""Reminders of what the shepherd planned: each round of a plan, ticked off sheep by sheep."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from enum import Enum, auto
from functools import lru_cache

from compiler.amounts import Duration
from compiler.book import Moment
from compiler.schema import Context, Fault
from compiler.shape import Value, replace
from flockbook.derive.breeding.mating import Mating
from flockbook.derive.plain.because import Because, Reason
from flockbook.derive.year.deeds import PlannedWork, TickedByNote, Ticks
from flockbook.derive.year.joining_days import (
    COLOUR_NEAR,
    first_due,
    is_of_crayon,
    joining_days,
    not_lambed,
    whole_span,
)
from flockbook.derive.year.reminder import (
    REMINDED_DAYS,
    TICKS_AFTER,
    TICKS_BEFORE,
    Reminder,
    ReminderSources,
    stable_id,
)
from flockbook.derive.year.rounds import CLASS_RAMS, RoundDay, does_plan, gives_medicine, meant, plain_text, ticked
from flockbook.flock import Flock, happened, there
from flockbook.records.pregnancy import Scan
from flockbook.records.year import Plan, day_of_year
from flockbook.roll import ONE_YEAR
from flockbook.settings import Settings

TWIN_LAMBS, MOST_LAMBS = 2, 3
LAMBS_IN_WORDS = {"single": 1, "twin": TWIN_LAMBS, "triplet": MOST_LAMBS}  # words of a plan for them


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


class Occasion(Value):
    """One coming round of a plan: its day, what makes it one (a season, a birth day), the sheep it is for (nobody where
    it names none), and the working.
    """

    day: date
    rule: str
    sheep: tuple[str, ...]
    reason: Reason


def planned(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """Plans first, then what every joining brings, those written ahead too."""
    known = replace(known, matings=known.matings.whole)
    for plan in flock.collection.of(Plan):
        for occasion in occasions(flock, known, plan, today):
            if -TICKS_AFTER <= (occasion.day - today.day).days <= REMINDED_DAYS:
                yield from plan_reminder(flock, known, Round(plan, occasion), today)
    yield from joining_days(flock, known, today)


class Round(Value):
    """A plan and one of its occasions."""

    plan: Plan
    occasion: Occasion


def plan_reminder(flock: Flock, known: ReminderSources, item: Round, today: Moment) -> Iterator[Reminder]:
    """One round of a plan, ticked off by the note it names, a task or a job of the same words, for each sheep that
    such a note names. The crayon is a matter of the ram's time: nothing is left of it when he is out.
    """
    plan, occasion = item.plan, item.occasion
    done_by = ticked(flock, does_plan(flock, plan), RoundDay(occasion.day, occasion.sheep), today)
    done = done_by.settles(occasion.sheep) or crayon_changed(known, plan, occasion)
    if is_of_crayon(plan) and not done and rams_out(known, occasion.day, today):
        return
    partly = done_by.part_of(occasion.sheep)
    missed = done_by.missed(occasion.sheep)
    late = occasion.day < today.day and gives_medicine(flock, plan) and not done
    because = Because(plan.origin.path, plan.origin.span("what").line, "plan", reason=occasion.reason)
    yield Reminder(
        stable_id("plan", f"{plan.origin.path} {occasion.rule}"),
        "plan",
        occasion.day,
        PlannedWork(plan.what or "", partly, late),
        missed or occasion.sheep,
        (because,),
        done,
        TickedByNote(plan.done_by) if plan.done_by else Ticks.SAME_WORDS,
    )


def crayon_changed(known: ReminderSources, plan: Plan, occasion: Occasion) -> bool:
    """Whether the new colour of a crayon is written near the day of a plan that is to change it."""
    if not is_of_crayon(plan):
        return False
    joinings = [event for mating in known.matings.by_ewe.values() for event in mating.joinings]
    colours = [line.date for event in joinings for line in event.lines if line.colour]
    return any(abs((colour - occasion.day).days) <= COLOUR_NEAR for colour in colours)


def rams_out(known: ReminderSources, day: date, today: Moment) -> bool:
    """Whether every ram that was in on a day is out again."""
    running = [mating for mating in known.matings.by_ewe.values() if mating.first_in <= day]
    last = max((mating.season for mating in running), default=0)
    outs = [event.out for mating in running if mating.season == last for event in mating.joinings]
    return bool(outs) and all(out is not None and out < today.day for out in outs)


def occasions(flock: Flock, known: ReminderSources, plan: Plan, today: Moment) -> Iterator[Occasion]:
    """The days on which a plan comes round."""
    if plan.every_year:
        for year in (today.day.year - 1, today.day.year, today.day.year + 1):
            day = yearly(plan.every_year, year, known.settings)
            if day and day >= first_written(flock) - timedelta(TICKS_BEFORE):
                whom = meant(flock, plan.for_, day, today)
                yield Occasion(day, str(year), whom, EveryYear(plan.every_year))
    yield from by_season(flock, known, plan, today)
    if plan.after_lambing:
        for birth in known.lambings:
            if birth.event.date and birth.ewe and there(flock.animals[birth.ewe], today):
                day = birth.event.date + whole_span(plan.after_lambing)
                yield Occasion(day, birth.note, (birth.ewe,), CountedOn(plan.after_lambing.text, Start.LAMBED))
    if plan.after_birth:
        yield from by_birthday(flock, known, plan.after_birth, today)


@lru_cache(maxsize=1)
def first_written(flock: Flock) -> date:
    """The day of the first note: of what a yearly plan asked before it nobody wrote."""
    return min((event.date for event in flock.events if event.date), default=date.min + timedelta(TICKS_BEFORE))


def by_season(flock: Flock, known: ReminderSources, plan: Plan, today: Moment) -> Iterator[Occasion]:
    """Plans that hang on a joining: before the first ewe is due, after ram in, after ram out. A plan `for` a mob hangs
    on the joining of its ewes, and names them.
    """
    for season in sorted({season for _, season in known.matings.by_ewe}):
        matings, of_mob = for_whom(flock, known.matings.latest(season), plan, today)
        sheep = joined_sheep(flock, matings, plan, today)
        rams_in = min(mating.first_in for mating in matings)
        unlambed = not_lambed(known, season, sheep)
        if was_scanned(flock, matings, today):
            unlambed = carrying_so_many(known, plan, unlambed)
        some = bool(unlambed) or not sheep
        if plan.before_first_due and some and (gives_medicine(flock, plan) or not lambing_over(known, season)):
            first = first_due(matings)
            reason: Reason = BeforeDue(plan.before_first_due.text, of_mob, first)
            yield Occasion(first - whole_span(plan.before_first_due), f"due {season}", unlambed, reason)
        if plan.after_ram_in:
            reason = CountedOn(plan.after_ram_in.text, Start.RAM_IN, rams_in)
            yield Occasion(rams_in + whole_span(plan.after_ram_in), f"in {season}", sheep, reason)
        outs = [event.out for mating in matings for event in mating.joinings if event.out]
        if plan.after_ram_out and outs:
            reason = CountedOn(plan.after_ram_out.text, Start.RAM_OUT, max(outs))
            yield Occasion(max(outs) + whole_span(plan.after_ram_out), f"out {season}", sheep, reason)


def carrying_so_many(known: ReminderSources, plan: Plan, sheep: tuple[str, ...]) -> tuple[str, ...]:
    """Of the ewes of a plan that speaks of singles, twins or triplets, those scanned with so many, with twins or more
    where it speaks of twins; all where no scan of theirs tells.
    """
    wanted = {lambs for word, lambs in LAMBS_IN_WORDS.items() if word in plain_text(plan.what)}
    wanted |= set(range(TWIN_LAMBS, MOST_LAMBS + 1)) if TWIN_LAMBS in wanted else set()
    scanned = {row.ewe: min(row.lambs_scanned, MOST_LAMBS) for row in known.due.rows if row.lambs_scanned}
    return tuple(one for one in sheep if scanned.get(one) in wanted) if wanted else sheep


def was_scanned(flock: Flock, matings: tuple[Mating, ...], today: Moment) -> bool:
    """Whether a scan was written since the first of these ewes went to the ram."""
    first = min((mating.first_in for mating in matings), default=date.max)
    return any(scan.date and scan.date > first and happened(scan, today) for scan in flock.of(Scan))


def lambing_over(known: ReminderSources, season: int) -> bool:
    """Whether a season's ewes have lambed, so that what was to be done before it, but for a medicine, is past doing."""
    return any(birth.season == season for birth in known.lambings) and season not in {
        row.season for row in known.due.rows
    }


def joined_sheep(flock: Flock, matings: tuple[Mating, ...], plan: Plan, today: Moment) -> tuple[str, ...]:
    """The ewes that a plan of joining time is for, those still there; its rams where it is for rams; nobody in
    particular where it names neither whom it is for nor a note that tells.
    """
    rams = plain_text(plan.for_) in CLASS_RAMS
    if not (plan.for_ or plan.done_by):
        return ()
    sheep = (one for mating in matings for one in (mating.rams if rams else (mating.ewe,)))
    return tuple(one for one in dict.fromkeys(sheep) if there(flock.animals[one], today))


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
    """One occasion for all lambs born on one day; who is a year old is no lamb any more."""
    born: dict[date, list[str]] = {}
    for birth in known.lambings:
        alive = [lamb.id for lamb in birth.lambs if there(flock.animals[lamb.id], today)]
        if birth.event.date and alive and (today.day - birth.event.date).days < ONE_YEAR:
            born.setdefault(birth.event.date, []).extend(alive)
    for day, lambs in born.items():
        occasion = f"born {day.isoformat()}"
        yield Occasion(day + whole_span(after), occasion, tuple(sorted(lambs)), CountedOn(after.text, Start.BIRTH))


def yearly(text: str, year: int, settings: Settings) -> date | None:
    """`1 Oct`, `October 1` or `10/1` in a year; None when it is no day of that year."""
    day = day_of_year(" ".join(text.split()), Context(settings.habits), year)
    return None if isinstance(day, Fault) else day
