"""What is to be done, what ticks it off, and what plans and reminders rest on, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import day_words
from flockbook.derive.plain.numbers import days_words
from flockbook.derive.year.course_days import CourseOf
from flockbook.derive.year.deeds import (
    CourseDose,
    Deed,
    FeedGone,
    HayGone,
    HayToCount,
    InHerWords,
    LookAgain,
    MeatClear,
    PaddockRested,
    PlannedWork,
    RamOutTold,
    RunsOut,
    SecondDue,
    SecondSample,
    TickedByNote,
    Ticks,
)
from flockbook.derive.year.joining_days import BoosterWeeks, CrayonEvery, ScanDays
from flockbook.derive.year.plans import BeforeDue, CountedOn, EveryYear, Start
from flockbook.derive.year.reminders import Noticed, OldestBorn, WatchFrom
from flockbook.law import Topic, law_here
from flockbook.regional import local, local_all
from flockbook.saying.standing import release_words

# What comes before any dose that follows a missed one (common practice: a course is the vet's order).
ASK_BEFORE_MORE = "ask the vet before you give more"
DEEDS = {
    Deed.DUE: "due to lamb",
    Deed.WATCH: "begin close watch: the first lambs can come",
    Deed.AFTERBIRTH: "afterbirth not written as seen, and no note on her since: look at her, ring the vet",
    Deed.TAG_LAMBS: "tag the lambs",
    Deed.NEW_TAG: "put in a new tag for the lost one",
    Deed.NEW_TAG_ASK: "put in a new tag for the lost one, and write its number; ask your authority by when",
    Deed.KEPT_APART: "kept apart until this day, it included: look it over, then write the move",
    Deed.RAM_IN: "ram in, as planned",
    Deed.RAM_OUT: "ram out",
    Deed.RAM_OUT_TYPED: "ram out? it was to be so; a move, or a remark on him that says he is out, settles it",
    Deed.RAM_OUT_UNWRITTEN: "ram out? two heats have passed; write the day as `out`",
    Deed.CRAYON: "change the crayon, light to dark",
    Deed.BOOSTER: "booster before lambing: the label and your vet come first",
    Deed.BOOSTER_LATE: "booster before lambing: late, the first ewe was due; ask the vet before you give it",
    Deed.SCAN: "scan the ewes by this day; later it miscounts",
    Deed.SCAN_MISSED: "not scanned with the others: counts as in lamb until a scan says otherwise",
    Deed.SCANNED_EMPTY: "scanned empty: decide who stays",
    Deed.EMPTY_TOO_SOON: "scanned empty, too soon to be sure with the ram in so long: write `out`, or scan again",
}
LAW_OF = {Deed.TAG_LAMBS: Topic.TAG_LAMBS, Deed.NEW_TAG: Topic.LOST_TAG, Deed.NEW_TAG_ASK: Topic.LOST_TAG}
TICKS = {
    Ticks.LAMBING: "a lambing note",
    Ticks.FIRST_LAMBING: "the first lambing note",
    Ticks.LATER_NOTE: "any later note on her",
    Ticks.GIVEN: "`given` in the treatment note, or a treatment note of its own",
    Ticks.SECOND_WRITTEN: "a treatment note of the second dose",
    Ticks.TAGGING: "a tagging note",
    Ticks.NEW_TAG: "a tagging note with her new tag",
    Ticks.TASK_DONE: "`done` in the task's own note",
    Ticks.BINNED: "a stock note: binned",
    Ticks.STOCK: "a stock note: bought or counted",
    Ticks.BEGINS: "its day, when the joining begins",
    Ticks.OUT: "`out` in the joining note",
    Ticks.SEEN_OUT: "a move or a draft of the ram, a remark on him that says out, or a scan of the ewes",
    Ticks.COLOUR: "the new colour in the joining note",
    Ticks.VACCINE: "a treatment note of a vaccine",
    Ticks.SCAN: "a scan note",
    Ticks.SAMPLED: "an egg count note of the same test, after the drench",
    Ticks.LET_OUT: "a note of a move, a draft or a joining that names it",
    Ticks.SAME_WORDS: "a task or job note of the same words",
}
STARTS = {
    Start.LAMBED: "she lambed",
    Start.BIRTH: "birth",
    Start.RAM_IN: "ram in",
    Start.RAM_OUT: "ram out",
}


def yearly_words(reason: EveryYear) -> str:
    """every year on 1 Oct."""
    return f"every year on {reason.day}"


def counted_on_words(reason: CountedOn) -> str:
    """6 weeks after ram in (14 Nov 2025)."""
    day = f" ({day_words(reason.day)})" if reason.day else ""
    return f"{reason.length} after {STARTS[reason.start]}{day}"


def before_due_words(reason: BeforeDue) -> str:
    """4 weeks before the first ewe of Top mob is due (10 Apr 2026)."""
    mob = f" of {reason.mob}" if reason.mob else ""
    return f"{reason.length} before the first ewe{mob} is due ({day_words(reason.due)})"


def crayon_words(reason: CrayonEvery) -> str:
    """every 16 days from ram in, light to dark."""
    return f"every {reason.days} days from ram in, light to dark"


def booster_words(reason: BoosterWeeks) -> str:
    """From when to when a booster is given."""
    return (
        f"{reason.first} to {reason.last} weeks before the first ewe is due ({day_words(reason.due)}); the label and "
        "your vet come first"
    )


def scan_days_words(reason: ScanDays) -> str:
    """The days that suit a scan, and who says so."""
    return (
        f"from {day_words(reason.first)}, {reason.after_out} days after the last ram out, to {reason.after_in} days "
        "after the first in (Rural News NZ)"
    )


def watch_words(reason: WatchFrom) -> str:
    """138 days after the first ram went in."""
    return f"{reason.days} days after the first ram went in or the first service ({day_words(reason.met)})"


def course_of_words(reason: CourseOf) -> str:
    """a course of 3 days."""
    return f"a course of {days_words(reason.days)}"


def oldest_words(reason: OldestBorn) -> str:
    """How old the untagged lambs are, and whose rule that is."""
    return f"the oldest of them was born on {day_words(reason.day)}; your own authority decides"


def noticed_words(reason: Noticed) -> str:
    """noticed on 2 Mar 2026."""
    return f"noticed on {day_words(reason.day)}"


# What is to be done


def deed_words(what: Deed | Reason) -> str:
    """What a reminder asks for."""
    if isinstance(what, Deed):
        rule = law_here(LAW_OF[what]) if what in LAW_OF else None
        return f"{local(DEEDS[what])}{f': {rule.in_full}' if rule else ''}"
    return SAID_TO_DO[type(what)](what)


def ticks_words(ticks: Ticks | Reason | None) -> str:
    """What ticks a reminder off; "" where only its day passes."""
    if isinstance(ticks, TickedByNote):
        return ticked_words(ticks)
    return local_all(TICKS[ticks]) if isinstance(ticks, Ticks) else ""


def ticked_words(ticks: TickedByNote) -> str:
    """a note of scan."""
    return f"a note of {ticks.kind}"


def written_words(what: InHerWords) -> str:
    """A task in the shepherd's own words."""
    return what.text


def planned_words(what: PlannedWork) -> str:
    """clostridial booster, all ewes: not written for these; late, ask the vet before you give it."""
    notes = ["not written for these"] if what.missed else []
    notes += ["late, ask the vet before you give it"] if what.late_dose and "vet" not in what.what.lower() else []
    return f"{what.what or 'planned work'}{': ' if notes else ''}{'; '.join(notes)}"


def look_again_words(what: LookAgain) -> str:
    """look at her again after help: 1, 6 and 24 hours on."""
    hours = [str(hour) for hour in what.hours]
    return f"look at her again after help: {', '.join(hours[:-1])} and {hours[-1]} hours on"


def course_dose_words(what: CourseDose) -> str:
    """penicillin: dose 2 of 3, then write it as given; a late one is the vet's to decide."""
    head = f"{what.medicine or 'medicine'}: dose {what.dose} of {what.of}"
    if what.late:
        return f"{head} is not written as given: if it was missed, {ASK_BEFORE_MORE}"
    if what.after_missed:
        return f"{head} only as the vet says: one before it is not written as given"
    return f"{head}, then write it as given"


def second_words(what: SecondDue) -> str:
    """second dose of clostridial, 28 days after the first of 1 Mar 2026 or later."""
    head = f"second dose of {what.medicine or 'the vaccine'}"
    if what.late:
        return f"{head} is late (the first was on {day_words(what.first)}): ask the vet"
    return f"{head}, from {day_words(what.due_from)}; the label decides"


def meat_clear_words(what: MeatClear) -> str:
    """meat is clear from 8 May 2026 08:00 after moxidectin, unless another medicine is given before."""
    more = local(", but may be sucking a ewe whose meat or milk is not clear: ask the vet") if what.sucking else ""
    return (
        f"meat is clear from {release_words(what.state)} after {what.medicine}, unless another medicine is given "
        f"before{more}"
    )


def ram_told_words(what: RamOutTold) -> str:
    """ram out? drafted away or gone on 20 Jan 2026, and taken for out since; write the day as `out`."""
    return f"ram out? drafted away or gone on {day_words(what.day)}, and taken for out since: write the day as `out`"


def runs_out_words(what: RunsOut) -> str:
    """levamisole expires."""
    how = "has been open as long as its label allows" if what.opened else "expires"
    return f"{what.name or 'something'} {how}"


def rested_words(what: PaddockRested) -> str:
    """Long Intake has had its rest."""
    return f"{what.place} has had its rest"


def feed_gone_words(what: FeedGone) -> str:
    """hay runs out, at the pace of its last two counts."""
    return f"{what.supply} runs out, at the pace of its last two counts"


def hay_gone_words(what: HayGone) -> str:
    """hay runs out between 9 and 19 Dec 2026 if it is all they get: see the feed page."""
    days = f"between {day_words(what.first)} and {day_words(what.last)}"
    return f"hay runs out {days} if it is all they get: the feed page reckons it"


def hay_to_count_words(what: HayToCount) -> str:
    """count the hay: if all were fed it since 1 Oct 2025, it may be out on 11 Dec 2025; the feed page reckons it."""
    fed = f"if all were fed it since {day_words(what.since)}"
    return f"count the hay: {fed}, it may be out on {day_words(what.day)}; the feed page reckons it"


def second_sample_words(what: SecondSample) -> str:
    """second sample of the test May, after levamisole: between 28 May and 7 Jun 2026; ask your vet which day."""
    after = f", after {what.medicine}" if what.medicine else ""
    days = f"between {day_words(what.first)} and {day_words(what.last)}"
    return f"second egg count of the test {what.test}{after}: {days}; which day hangs on the drench, ask your vet"


SAID_TO_DO: dict[type[Reason], Callable[[Any], str]] = {
    InHerWords: written_words, PlannedWork: planned_words, LookAgain: look_again_words, CourseDose: course_dose_words,
    SecondDue: second_words, MeatClear: meat_clear_words, RunsOut: runs_out_words, PaddockRested: rested_words,
    FeedGone: feed_gone_words, HayGone: hay_gone_words, HayToCount: hay_to_count_words,
    SecondSample: second_sample_words, RamOutTold: ram_told_words,
}  # fmt: skip
SAID: dict[type[Reason], Callable[[Any], str]] = {
    EveryYear: yearly_words, CountedOn: counted_on_words, BeforeDue: before_due_words, CrayonEvery: crayon_words,
    BoosterWeeks: booster_words, ScanDays: scan_days_words, WatchFrom: watch_words, CourseOf: course_of_words,
    OldestBorn: oldest_words, Noticed: noticed_words, TickedByNote: ticked_words,
}  # fmt: skip
