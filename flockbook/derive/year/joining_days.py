"""What every joining brings: ram in and out, crayon, boosters, scan; those written ahead too."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from compiler.amounts import Duration
from compiler.book import Moment
from flockbook.derive.breeding.due import WhyNot
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
from flockbook.derive.breeding.mating import (
    BY_HAND,
    JOIN_DAYS,
    Mating,
    came_out,
    ewes_of,
    is_planned,
    rams_of,
    told_out,
)
from flockbook.derive.breeding.pregnancies import carried
from flockbook.derive.plain.because import Because, Reason, Stated
from flockbook.derive.year.deeds import Deed, RamOutTold, Ticks
from flockbook.derive.year.reminder import TICKS_AFTER, Reminder, ReminderSources, stable_id
from flockbook.derive.year.rounds import RoundDay, medicine_kinds, plain_text, ticked
from flockbook.flock import Flock, happened, there
from flockbook.records.breeding import Joining
from flockbook.records.event import Event
from flockbook.records.health import Treatment
from flockbook.records.pregnancy import Scan
from flockbook.records.sheep import Medicine
from flockbook.records.year import Plan, Task

COLOUR_NEAR = 5  # a new colour written within so many days of its day ticks the change off (our own choice)
CRAYON_WORDS = ("crayon", "raddle")
VACCINE = "vaccin"
SCAN = "scan"
EMPTY_TOLD = 14  # who was scanned empty is told for a fortnight (our own choice)


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


def joining_days(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """What every joining brings, then what a season brings once."""
    plans, joinings = flock.collection.of(Plan), flock.of(Joining)
    for event in joinings:
        ahead = is_planned(event, today)
        if event.date and (ahead or happened(event, today)):
            yield from (ram_in(flock, event),) if ahead else ()
            if event.method in BY_HAND:
                continue
            yield from ram_out(flock, event, today)
            yield from crayons(flock, event, plans, today)
    yield from boosters(flock, known, plans, today)
    yield from scannings(flock, known, today)
    yield from scanned_already(flock, known, today)


def first_due(matings: tuple[Mating, ...]) -> date:
    """The first day on which one of these ewes is due: the first service, or ram in, and her mean pregnancy."""
    return min(mating.gestation.due(min(mating.served) if mating.served else mating.first_in) for mating in matings)


def whole_span(length: Duration) -> timedelta:
    """A length of time in whole days."""
    return timedelta(days=round(length.hours / 24))


def ram_in(flock: Flock, event: Joining) -> Reminder:
    """The day a ram goes in by a joining written ahead."""
    assert event.date is not None
    line, rams = event.origin.span("rams").line, rams_of(flock, event)
    because = Because(event.origin.path, line, "ram in", reason=Stated.JOINING_AHEAD)
    key = stable_id("ram in", event.origin.path, rams)
    return Reminder(key, "ram in", event.date, Deed.RAM_IN, rams, (because,), ticked_by=Ticks.BEGINS)


def ram_out(flock: Flock, event: Joining, today: Moment) -> Iterator[Reminder]:
    """The day the ram comes out as planned, until a note bears it out, since it may have been typed when he went in;
    where none is written, two heats after he went in, until it is written or a later joining, or his going, tells.
    """
    assert event.date is not None
    rams = rams_of(flock, event)
    day = event.out or event.date + timedelta(days=JOIN_DAYS)
    line = event.origin.span("out" if event.out else "rams").line
    because = Because(event.origin.path, line, "ram out", reason=Stated.IN_THE_JOINING)
    done = event.out is not None and came_out(flock, event, today)
    told = told_out(flock, event, today)
    unwritten = RamOutTold(told) if told else Deed.RAM_OUT_UNWRITTEN
    what = unwritten if event.out is None else Deed.RAM_OUT if today.day <= event.out else Deed.RAM_OUT_TYPED
    if event.out or not joined_anew(flock, event, today):
        key = stable_id("ram out", event.origin.path, rams)
        yield Reminder(key, "ram out", day, what, rams, (because,), done, Ticks.SEEN_OUT if event.out else Ticks.OUT)


def joined_anew(flock: Flock, event: Joining, today: Moment) -> bool:
    """Whether all rams of a joining have left since, or one of its sheep stands in a later joining."""
    rams, ewes = set(rams_of(flock, event)), set(ewes_of(flock, event))
    later = [
        other
        for other in flock.of(Joining)
        if other.date and event.date and other.date > event.date and happened(other, today)
    ]
    left = bool(rams) and not any(there(flock.animals[ram], today) for ram in rams)
    return left or any(rams & set(rams_of(flock, other)) or ewes & set(ewes_of(flock, other)) for other in later)


def is_of_crayon(plan: Plan) -> bool:
    """Whether a plan speaks of the crayon."""
    return any(word in plain_text(plan.what) for word in CRAYON_WORDS)


def crayons(flock: Flock, event: Joining, plans: tuple[Plan, ...], today: Moment) -> Iterator[Reminder]:
    """The days to change the crayon, for joinings that record marks; a plan for the same day stands in its place. When
    the ram is out nothing is left to change.
    """
    if event.date is None or not event.lines:
        return
    covered = {event.date + whole_span(plan.after_ram_in) for plan in plans if is_of_crayon(plan) and plan.after_ram_in}
    ram_end = event.out or event.date + timedelta(days=JOIN_DAYS)
    colours = [line.date for line in event.lines if line.colour]
    for day in crayon_changes(Span(event.date, max(ram_end, event.date))):
        done = any(abs((colour - day).days) <= COLOUR_NEAR for colour in colours)
        if day not in covered and (done or today.day <= ram_end):
            line = event.origin.span("rams").line
            because = Because(event.origin.path, line, "crayon", reason=CrayonEvery(CRAYON_DAYS))
            key = stable_id("crayon", f"{event.origin.path} {(day - event.date).days}", rams_of(flock, event))
            yield Reminder(key, "crayon", day, Deed.CRAYON, rams_of(flock, event), (because,), done, Ticks.COLOUR)


def boosters(flock: Flock, known: ReminderSources, plans: tuple[Plan, ...], today: Moment) -> Iterator[Reminder]:
    """The ewes' booster before lambing, where the cupboard holds a vaccine and no plan speaks of one; ewes that it
    missed are named.
    """
    has = any(VACCINE in plain_text(item.kind) for item in flock.collection.of(Medicine))
    own = [plan for plan in plans if plan.before_first_due]
    if not has or any(VACCINE in f"{plain_text(plan.what)} {plain_text(plan.done_by)}" for plan in own):
        return
    for season in sorted({season for _, season in known.matings.by_ewe}):
        matings = known.matings.latest(season)
        first = first_due(matings)
        day = first - timedelta(days=BOOSTER_DAYS)
        if (today.day - day).days <= TICKS_AFTER:
            because = Because("", None, "booster", reason=BoosterWeeks(BOOSTER_DAYS // 7, BOOSTER_LAST // 7, first))
            ewes = not_lambed(known, season, ewes_still_here(flock, matings, today))
            given = ticked(flock, lambda event: is_vaccination(flock, event), RoundDay(day, ewes), today)
            if not ewes:
                continue
            what = Deed.BOOSTER_LATE if today.day > first else Deed.BOOSTER
            done, key = given.settles(ewes), stable_id("booster", str(season))
            yield Reminder(key, "booster", day, what, given.missed(ewes), (because,), done, Ticks.VACCINE)


def ewes_still_here(flock: Flock, matings: tuple[Mating, ...], today: Moment) -> tuple[str, ...]:
    """The ewes of a season that are still in the flock."""
    return tuple(mating.ewe for mating in matings if there(flock.animals[mating.ewe], today))


def not_lambed(known: ReminderSources, season: int, sheep: tuple[str, ...]) -> tuple[str, ...]:
    """Those of the ewes for which what comes before lambing is not over: they are still expected to lamb and were not
    scanned empty, or the ram is not with them yet.
    """
    awaited = {row.ewe for row in known.due.rows if row.season == season and row.lambs_scanned != 0}
    awaited |= {ewe for ewe, year in known.matings.ahead if year == season}
    return tuple(one for one in sheep if one in awaited)


def has_begun(known: ReminderSources, season: int) -> bool:
    """Whether a season's lambs have begun to come, since its ewes were last joined."""
    first = min((mating.first_in for mating in known.matings.whole.latest(season)), default=date.min)
    return any(birth.season == season and birth.event.date and birth.event.date > first for birth in known.lambings)


def is_vaccination(flock: Flock, event: Event) -> bool:
    """Whether a note gives a vaccine."""
    return isinstance(event, Treatment) and any(VACCINE in kind for kind in medicine_kinds(flock, event))


def scannings(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """The last day that suits a scan of all ewes of a season whose rams are written out; a task or a plan of the
    shepherd's own that speaks of scanning stands in its place, and the first birth ends it.
    """
    plans, tasks = flock.collection.of(Plan), (event for event in flock.events if isinstance(event, Task))
    if any(SCAN in plain_text(what) for what in (*(plan.what for plan in plans), *(task.what for task in tasks))):
        return
    for season in sorted({season for _, season in known.matings.by_ewe}):
        if has_begun(known, season):
            continue
        matings = known.matings.latest(season)
        joinings = [event for mating in matings for event in mating.joinings]
        ins, outs = [event.date for event in joinings if event.date], [day for day in map(last_out, joinings) if day]
        window = scan_window(min(ins), max(outs)) if ins and len(outs) == len(joinings) else None
        if window:
            because = Because("", None, "scan", reason=ScanDays(window.first, SCAN_AFTER_OUT, SCAN_BEFORE))
            missed = unscanned(flock, ewes_still_here(flock, matings, today), min(ins), today)
            key = stable_id("scan", str(season))
            if not (missed and scans_of(flock, matings, today)):  # whom a scan passed over is told by itself
                yield Reminder(key, "scan", window.last, Deed.SCAN, missed, (because,), not missed, Ticks.SCAN)


def scanned_already(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """Whom a season's scans passed over, until they are scanned or the first ewe lambs; and for a fortnight who was
    scanned empty.
    """
    for season in sorted({season for _, season in known.matings.by_ewe}):
        if has_begun(known, season):
            continue
        matings = known.matings.latest(season)
        scans = scans_of(flock, matings, today)
        if not scans:
            continue
        last = max(scans, key=lambda scan: scan.date or date.min)
        here = not_lambed(known, season, ewes_still_here(flock, matings, today))
        missed = unscanned(flock, here, min(mating.first_in for mating in matings), today)
        because = Because(last.origin.path, 1, "scan", reason=Stated.AS_WRITTEN)
        day = last.date or today.day
        if missed:
            key = stable_id("scan missed", str(season))
            yield Reminder(key, "scan", day, Deed.SCAN_MISSED, missed, (because,), ticked_by=Ticks.SCAN)
        if (today.day - day).days <= EMPTY_TOLD:
            yield from scanned_empty(known, season, day)


def scanned_empty(known: ReminderSources, season: int, day: date) -> Iterator[Reminder]:
    """Who holds nothing by a season's last scan; and who was scanned empty too soon for that, as the rams were in."""
    out, rows = known.due.not_expected, known.due.rows
    empty = tuple(one.ewe for one in out if one.season == season and one.why is WhyNot.SCANNED_EMPTY)
    unsure = tuple(row.ewe for row in rows if row.season == season and row.lambs_scanned == 0)
    for deed, ewes in ((Deed.SCANNED_EMPTY, empty), (Deed.EMPTY_TOO_SOON, unsure)):
        if ewes:
            yield Reminder(stable_id(deed.name, str(season)), "empty", day, deed, ewes)


def scans_of(flock: Flock, matings: tuple[Mating, ...], today: Moment) -> list[Scan]:
    """The scans that name a ewe of a season while she may carry."""
    ewes = {mating.ewe for mating in matings}
    first = min((mating.first_in for mating in matings), default=today.day)
    return [
        scan
        for scan in flock.of(Scan)
        if scan.date and carried(first, scan.date) and happened(scan, today) and ewes & set(flock.who(scan))
    ]


def last_out(event: Joining) -> date | None:
    """The last day on which a ram was with the ewes, where it is written; of services by hand, that of the last."""
    if event.method in BY_HAND and not event.out:
        return max((line.date for line in event.lines if line.ewes), default=event.date)
    return event.out


def unscanned(flock: Flock, ewes: tuple[str, ...], since: date, today: Moment) -> tuple[str, ...]:
    """Those of the ewes that no scan of their pregnancy names."""
    scans = [event for event in flock.of(Scan) if event.date and happened(event, today) and carried(since, event.date)]
    seen = {sheep for event in scans for sheep in flock.who(event)}
    return tuple(ewe for ewe in ewes if ewe not in seen)
