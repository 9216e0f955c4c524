"""What is to be done and when: one list for today's page and for the calendar.

Each reminder has an id that stays the same however the notes are ordered and whenever the book is made, so that a
calendar that reads it again moves an entry and never doubles it. What has been done is marked, not dropped.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value, replace
from flockbook.derive.breeding.gestation import shift
from flockbook.derive.health.egg_counts import LATEST, SOONEST
from flockbook.derive.lambing.after_birth import RECHECK_HOURS, afterbirth_seen, born_at, end_of_day
from flockbook.derive.lambing.newborns import FIRST_DAYS
from flockbook.derive.market.apart import let_out
from flockbook.derive.medicine.periods import MEAT
from flockbook.derive.medicine.withdrawal import HELD, Hold, State
from flockbook.derive.plain.because import Because, Reason, Stated
from flockbook.derive.year.course_days import course_doses, second_doses_due
from flockbook.derive.year.deeds import (
    Deed,
    InHerWords,
    LookAgain,
    MeatClear,
    SecondSample,
    Ticks,
)
from flockbook.derive.year.joining_days import has_begun
from flockbook.derive.year.plans import planned
from flockbook.derive.year.reminder import (
    OVERDUE_DAYS,
    REMINDED_DAYS,
    ROUND_DAYS,
    Reminder,
    ReminderSources,
    stable_id,
)
from flockbook.derive.year.stores import expiring, feed_reminders, grass
from flockbook.flock import Flock, happened, there
from flockbook.law import Topic, law
from flockbook.records.check_line import CheckLine
from flockbook.records.event import Event
from flockbook.records.handling import Check, Tagging
from flockbook.records.pregnancy import Abortion
from flockbook.records.tag_line import TagLine
from flockbook.records.trade import Purchase
from flockbook.records.year import Task

LOST_TAG_DAYS = 28  # to put in a new tag, where no law was read of the flock's country (our own choice)
TAG_LOST = re.compile(r"\btag (?:is |was )?(?:lost|missing|torn out)\b|\b(?:lost|missing|no) (?:ear ?)?tag\b", re.I)
# What only passes: its day ends it, and it is left out a month later. All else stays until it is done.
PASSING = frozenset({"due", "clear", "paddock", "feed", "empty"})


class WatchFrom(Reason):
    """So many days after the first ram went in, or the first service."""

    days: int
    met: date


class OldestBorn(Reason):
    """When the oldest of the lambs that go untagged was born."""

    day: date


class Noticed(Reason):
    """When it was noticed that a tag was lost."""

    day: date


def reminders(flock: Flock, known: ReminderSources, today: Moment) -> tuple[Reminder, ...]:
    """All reminders up to a year ahead, in order of date: what is done from a month back, what is not until it is."""
    families: tuple[ReminderFamily, ...] = (
        due_reminders, watching, afterbirths, rechecks, course_doses, second_doses_due, release_days, tagging_due,
        lost_tags, tasks, kept_apart, expiring, grass, feed_reminders, planned,
        second_samples,
    )  # fmt: skip
    found = {item.id: item for family in families for item in family(flock, known, today)}
    living = (left_to_do(item, flock, today) for item in found.values())
    near = [item for item in living if item and wanted(item, today)]
    return tuple(sorted(near, key=lambda item: (item.date, item.kind, item.id)))


ReminderFamily = Callable[[Flock, ReminderSources, Moment], Iterator[Reminder]]


def wanted(item: Reminder, today: Moment) -> bool:
    """Whether a reminder's day is near enough; one that is not done stays however old it is."""
    ahead = (item.date - today.day).days
    return ahead <= REMINDED_DAYS and (ahead >= -OVERDUE_DAYS or not (item.done or item.kind in PASSING))


def left_to_do(item: Reminder, flock: Flock, today: Moment) -> Reminder | None:
    """What is still to be done for the sheep that are here: for one that has died or was sold it is over."""
    here = tuple(sheep for sheep in item.sheep if there(flock.animals[sheep], today))
    if item.done or len(here) == len(item.sheep):
        return item
    return replace(item, sheep=here) if here else None


def due_reminders(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """Each ewe on her most likely day."""
    del flock
    for row in known.due.rows:
        if row.due.likely:
            key = stable_id("due", str(row.season), (row.ewe,))
            sheep, expected = (row.ewe,), row.odds.expected
            by = expected if expected and expected < today.day else row.due.likely
            yield Reminder(key, "due", by, Deed.DUE, sheep, row.because, ticked_by=Ticks.LAMBING)


def watching(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """The day close watch begins for each season that is running; its first birth ticks it off."""
    del flock, today
    planned_for = {season for _, season in known.matings.ahead}
    for season in sorted({row.season for row in known.due.rows} | planned_for):
        matings = known.matings.whole.latest(season)
        if not matings:  # only ewes known from a scan
            continue
        day, days, first = min(
            (shift(met, mating.gestation.watch_day), mating.gestation.watch_day, met)
            for mating in matings
            for met in [mating.served[0] if mating.served else mating.first_in]
        )
        yield Reminder(
            stable_id("watch", str(season)),
            "watch",
            day,
            Deed.WATCH,
            (),
            (Because("", None, "watch", reason=WatchFrom(days, first)),),
            has_begun(known, season),
            Ticks.FIRST_LAMBING,
        )


def afterbirths(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """Afterbirths that nobody wrote of, nor of the ewe since, once the hours after the birth no longer tell of them.
    All stand on one line until something is written.
    """
    old = [
        birth
        for birth in known.lambings
        if today.at - (born_at(birth) or end_of_day(birth)) > FIRST_DAYS
        if birth.event.date and (today.day - birth.event.date).days <= ROUND_DAYS
        if birth.ewe and not afterbirth_seen(birth.event) and there(flock.animals[birth.ewe], today)
        if not later_notes(flock, birth.ewe, birth.event, today)
    ]
    if old:
        sheep = tuple(birth.ewe for birth in old if birth.ewe)
        steps = tuple(Because(birth.note, 1, "afterbirth", reason=Stated.SHE_LAMBED) for birth in old)
        first = min(birth.event.date for birth in old if birth.event.date) + timedelta(1)
        key = stable_id("afterbirth", str(old[0].season))
        yield Reminder(key, "afterbirth", first, Deed.AFTERBIRTH, sheep, steps, ticked_by=Ticks.LATER_NOTE)


def later_notes(flock: Flock, sheep: str, event: Event, today: Moment) -> list[Event]:
    """The notes on a sheep after one of hers."""
    notes = [note for note in flock.by_animal.get(sheep, ()) if note.moment and event.moment]
    return [note for note in notes if note.moment > event.moment and happened(note, today)]  # type: ignore[operator]


def rechecks(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """A second look at ewes that were helped; a later note on the ewe ticks it off."""
    for birth in known.lambings:
        day = birth.event.date
        if not birth.helped or day is None or birth.ewe is None or not there(flock.animals[birth.ewe], today):
            continue
        yield Reminder(
            stable_id("recheck", birth.note, (birth.ewe,)),
            "recheck",
            day,
            LookAgain(RECHECK_HOURS),
            (birth.ewe,),
            (Because(birth.note, birth.event.origin.span("help").line, "recheck", reason=Stated.SHE_WAS_HELPED),),
            bool(later_notes(flock, birth.ewe, birth.event, today)),
            Ticks.LATER_NOTE,
        )


def release_days(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """The day each treated group's meat is clear, with its hour where it has one; milk stands on the page of who is
    clear to sell.
    """
    del flock, today
    groups: dict[Release, list[str]] = {}
    for row in known.guard.standing.values():
        if row.meat.state == HELD and row.meat.until:
            release = Release(row.meat, row.meat.until.date(), row.deciding(MEAT)[0], row.sucking is not None)
            groups.setdefault(release, []).append(row.sheep)
    for group, sheep in groups.items():
        because = group.hold.because
        key = stable_id("clear", because.note, sheep)
        yield Reminder(key, "clear", group.day, group.deed, tuple(sorted(sheep)), (because,))


class Release(Value):
    """What ends for some sheep at one moment: by which hold, and whether they are lambs that may suck a held ewe."""

    state: State
    day: date
    hold: Hold
    sucking: bool

    @property
    def deed(self) -> MeatClear:
        """From when their meat is clear, after what."""
        return MeatClear(self.state, self.hold.medicine, self.sucking)


def tagging_due(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """Lambs without a tag, where the settings name a country whose rule is known; one reminder a crop."""
    rule = law(known.settings.file.country or "", Topic.TAG_LAMBS)
    if rule is None or rule.figure is None:
        return
    crops: dict[int, list[str]] = {}
    for animal in flock.animals.values():
        if animal.birth and animal.birthday and not animal.tag and there(animal, today):
            crops.setdefault(animal.birthday.year, []).append(animal.id)
    for year, sheep in sorted(crops.items()):
        first = min(day for item in sheep if (day := flock.animals[item].birthday))
        yield Reminder(
            stable_id("tags", str(year)),
            "tags",
            first + timedelta(days=rule.figure),
            Deed.TAG_LAMBS,
            tuple(sorted(sheep)),
            (Because("", None, "tags", reason=OldestBorn(first)),),
            ticked_by=Ticks.TAGGING,
        )


def second_samples(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """The second sample of each drench that is tested, until it is written or its time is over."""
    for test in known.tests:
        if test.before and not test.after and test.drenched:
            first, last = (test.drenched + timedelta(days=days) for days in (SOONEST, LATEST))
            here = tuple(sheep for sheep in test.sampled if there(flock.animals[sheep], today))
            what, key = SecondSample(test.name, test.medicine, first, last), stable_id("second sample", test.name)
            if (today.day - last).days <= OVERDUE_DAYS:
                yield Reminder(key, "sample", first, what, here, test.because, ticked_by=Ticks.SAMPLED)


def lost_tags(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """A new tag for each sheep that lost hers, told by a tagging line or at a check; any tag put in later ticks it
    off.
    """
    rule = law(known.settings.file.country or "", Topic.LOST_TAG)
    days, deed = (rule.figure, Deed.NEW_TAG) if rule and rule.figure else (LOST_TAG_DAYS, Deed.NEW_TAG_ASK)
    for event in flock.events:
        if event.date is None or not isinstance(event, Tagging | Check) or not happened(event, today):
            continue
        for line in event.lines:
            sheep = flock.named(event, line.sheep)
            if sheep is None or not tells_of_loss(line) or not there(flock.animals[sheep], today):
                continue
            yield Reminder(
                stable_id("lost tag", event.origin.path, (sheep,)),
                "tags",
                event.date + timedelta(days=days),
                deed,
                (sheep,),
                (Because(event.origin.path, line.span.line, "lost tag", reason=Noticed(event.date)),),
                any(tagged_since(flock, sheep, event, later) for later in flock.by_animal.get(sheep, ())
                    if happened(later, today)),
                Ticks.NEW_TAG,
            )  # fmt: skip


def tells_of_loss(line: TagLine | CheckLine) -> bool:
    """Whether a line says that a sheep goes without her tag."""
    return line.lost if isinstance(line, TagLine) else bool(TAG_LOST.search(line.remark))


def tagged_since(flock: Flock, sheep: str, loss: Event, later: Event) -> bool:
    """Whether a note puts a tag into a sheep after it was found to be lost."""
    if not isinstance(later, Tagging) or loss.moment is None or later.moment is None or later.moment < loss.moment:
        return False
    return any((line.tag or line.eid) and flock.named(later, line.sheep) == sheep for line in later.lines)


def tasks(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """What was written down to be done."""
    del known
    for event in flock.events:
        if isinstance(event, Task) and event.date and event.date <= today.day and event.what:
            yield Reminder(
                stable_id("task", event.origin.path),
                "task",
                event.due or event.date,
                InHerWords(event.what),
                flock.who(event),
                (Because(event.origin.path, event.origin.span("what").line, "task", reason=Stated.AS_WRITTEN),),
                event.done is not None and event.done <= today.day,
                Ticks.TASK_DONE,
            )


def kept_apart(flock: Flock, known: ReminderSources, today: Moment) -> Iterator[Reminder]:
    """The end of a quarantine, after an abortion, or after buying: that stands until they are let out, or a year."""
    del known
    for event in flock.events:
        field = {Purchase: "apart_until", Abortion: "isolated_until"}.get(type(event), "")
        until: date | None = getattr(event, field) if field else None
        if until and happened(event, today):
            whom = flock.who(event)
            stands = ROUND_DAYS if isinstance(event, Purchase) else OVERDUE_DAYS
            out = bool(whom) and all(let_out(flock, one, event.date, today) for one in whom)
            out = out or (today.day - until).days > stands
            yield Reminder(
                stable_id("quarantine", event.origin.path, flock.who(event)),
                "quarantine",
                until,
                Deed.KEPT_APART,
                whom,
                (Because(event.origin.path, event.origin.span(field).line, "quarantine", reason=Stated.AS_WRITTEN),),
                out,
                Ticks.LET_OUT,
            )
