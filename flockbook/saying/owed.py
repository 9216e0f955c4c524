"""What is owed now, in words: what, by when, how late."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import timedelta
from typing import Any

from compiler.shape import Value
from flockbook.derive.health.lame_words import LAME_DAYS
from flockbook.derive.lambing.labour_limits import LabourClock, LabourState
from flockbook.derive.lambing.newborn import Care, LambState
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import DAY, day_words
from flockbook.derive.plain.numbers import days_words
from flockbook.derive.year.deeds import LookAgain, SecondDue
from flockbook.derive.year.owings import (
    Aborted,
    CalledColdLamb,
    CaseOpen,
    ColdLamb,
    CountShort,
    DosesOwed,
    HotAtCheck,
    InLabour,
    LameTold,
    NeverWrittenUp,
    NotHeardOf,
    OpenPoint,
    OwedItem,
    OwedRow,
    PaleEyelid,
    PastLastDay,
    SaleAhead,
    WentHeld,
)
from flockbook.flock import Flock
from flockbook.manner import by_its_clock, clock_words, short_day_words, short_moment_words
from flockbook.measures import measures, measures_of
from flockbook.regional import local
from flockbook.saying.newborns import MEASURED, MEASURED_THEN, birth_point_words, by_hand_words, limp_words
from flockbook.saying.year import ASK_BEFORE_MORE, look_again_words, second_words

MANY_HOURS = 48  # what is late for longer is told in days
ASKS = {
    LabourState.WAIT: "wait", LabourState.LOOK_AGAIN: "look again", LabourState.STEP_IN: "step in",
    LabourState.RING_VET: "ring the vet", LabourState.HELPED: "hands are in",
}  # fmt: skip
FIRST_STEPS = {Care.DRY: "dry it first, then ", Care.CALL_VET: "ring the vet, then "}
HEAD_ASKED = ". Head up? If not: no tube, ring the vet"


class Told(Value):
    """What a text about a thing owed is made from: the flock, and its units."""

    flock: Flock
    units: str


def owed_words(told: Told, item: OwedItem, row: OwedRow) -> str:
    """What is owed: a few words, the rest after a semicolon; sheep that are not those of the row are named."""
    words = SAID_OWED[type(item.what)](item.what)
    if isinstance(item.what, ColdLamb):
        dam = f"; lamb of {names_words(told.flock, [item.what.dam])}" if item.what.dam else ""
        words = f"{measured_words(item.what, told.units)}, {words}{dam}"
    if isinstance(item.what, CalledColdLamb) and item.what.dam:
        words += f"; lamb of {names_words(told.flock, [item.what.dam])}"
    if item.sheep == row.sheep or not item.sheep:
        return words
    head, stop, more = words.partition("; ")
    return f"{head} ({names_words(told.flock, item.sheep)}){stop}{more}"


def names_words(flock: Flock, sheep: Iterable[str]) -> str:
    """Bramble (C214), 729."""
    return ", ".join(flock.animals[one].called_in_full for one in sheep)


def by_words(item: OwedItem) -> str:
    """by 18 Apr, 18:30; by 18 Apr; now; when you can."""
    if item.by is None:
        return "when you can" if item.when_you_can else "now"
    return f"by {short_day_words(item.by) if item.whole_day else short_moment_words(by_its_clock(item.by, item.zone))}"


def late_words(late: timedelta | None) -> str:
    """40 min late; 9 h late; 3 days late; "" where it is not."""
    if late is None or late < timedelta(minutes=1):
        return ""
    minutes = late // timedelta(minutes=1)
    if minutes < 60:
        return f"{minutes} min late"
    hours = late // timedelta(hours=1)
    return f"{hours} h late" if hours < MANY_HOURS and late % DAY else f"{days_words(late // DAY)} late"


def point_words(told: Told, item: OwedItem, row: OwedRow) -> str:
    """One thing owed in a line: what, by when, how late."""
    return ", ".join(word for word in (owed_words(told, item, row), by_words(item), late_words(item.late)) if word)


# What the page of workings prints of it.
LAME_RULE = (
    "A sheep that a line of a check, a weighing, a weaning or a purchase, or a short line of a remark or of its own "
    "note, calls lame (“lame near fore”, “lame 3”) is an open matter: it stands on Today, and at the gate it is asked "
    "about first. It ends with a later line or short remark on it that says sound, better, not lame or “lame 0”, with "
    "feet found right at a later check, with the end of an illness note of lameness, which takes its place, with its "
    f"going, or after {LAME_DAYS} days."
)


# What is owed


def labour_words(what: InLabour) -> str:
    """look again; in labour since 02:45, shows bag; step in by 03:30, ring the vet by 04:00."""
    clock = what.clock
    shows = shows_words(what.shows, what.amiss)
    asks = f"{local(ASKS[what.standing])}{', ' if what.amiss else '; '}" if what.standing else ""
    steps = labour_steps(clock)
    if what.standing is LabourState.HELPED:
        asks, steps = f"{steps}; ", ""
    since = f"in {local('labour')} since {clock_words(clock.said(clock.since))}"
    told = f"{shows}; {since}" if what.amiss else f"{since}{f', {shows}' if shows else ''}"
    return f"{asks}{told}{f'; {steps}' if steps else ''}"


def labour_steps(clock: LabourClock) -> str:
    """step in by 03:30, ring the vet by 04:00; once hands are in, only when to ring."""
    if clock.helped:
        helped, ring = (clock_words(clock.said(at)) for at in (clock.helped, clock.ring_vet))
        return f"hands in since {helped}: with nothing gained {local('ring the vet')} by {ring}"
    step_in, ring = (clock_words(clock.said(at)) for at in (clock.step_in, clock.ring_vet))
    return f"step in by {step_in}, {local('ring the vet')} by {ring}"


def shows_words(shows: str, amiss: bool) -> str:
    """shows nose and two feet; shows tail only: now ring the vet early."""
    return f"shows {shows.strip()}{local(': now ring the vet early') if amiss else ''}" if shows.strip() else ""


def never_written_words(what: NeverWrittenUp) -> str:
    """That nothing is written since a labour began."""
    return f"in {local('labour')} on {day_words(what.day)}, and nothing is written since: look at her, write what came"


def cold_words(what: ColdLamb) -> str:
    """chilled when last measured, the card has the steps: dry it first, then look again."""
    steps = f"{local(FIRST_STEPS.get(what.first_step, ''))}look again"
    if what.head_up is False:
        return f"{limp_words()}; {MEASURED[what.state]}: {steps}"
    ask = what.head_up is None and what.state in (LambState.SEVERE, LambState.MILD)
    return f"{MEASURED[what.state]}: {steps}{local(HEAD_ASKED) if ask else ''}"


def called_cold_words(what: CalledColdLamb) -> str:
    """called weak at 05:00: take its temperature now, the card has the steps; dry it, and into the warm."""
    at = f" at {clock_words(what.at)}" if what.at else f" on {day_words(what.day)}"
    head = f"; {limp_words()}" if what.limp else local(HEAD_ASKED)
    return f"called {what.word}{at}: take its temperature now, the card has the steps; dry it, keep it warm{head}"


def measured_words(what: ColdLamb, units: str) -> str:
    """38.4 °C at 06:00."""
    return f"{degrees(what.celsius, units)}{f' at {clock_words(what.at)}' if what.at else ''}"


def degrees(celsius: float, units: str) -> str:
    """37.0 °C, or 98.6 °F."""
    return measures_of(units).degrees(celsius)


def open_point_words(what: OpenPoint) -> str:
    """An open point after a birth."""
    return birth_point_words(what.item.what)


def unheard_words(what: NotHeardOf) -> str:
    """not heard of since 16 Mar 2026, 04:15: chilled when last measured, weak; look, write how it is."""
    at = f", {clock_words(what.at)}" if what.at else ""
    then = [MEASURED_THEN[what.state]] if what.state in MEASURED_THEN else []
    then += [by_hand_words(what.by_hand)] if what.by_hand else []
    ring = f"look now, {local('ring the vet')} if it is ill"
    return f"not heard of since {day_words(what.day)}{at}, {', '.join(then)} then: {ring}"


def aborted_words(what: Aborted) -> str:
    """What an abortion asks for first."""
    until, apart = day_words(what.apart_until), "apart until"
    if not what.written:
        apart = "three weeks apart were over on" if what.over else "apart three weeks at least, until"
    apart = f"{apart} {until}{'' if what.written else ', write `isolated until`'}"
    sample = "" if what.sample else ", ask the vet for a sample"
    return (
        f"aborted on {day_words(what.day)}: whoever is or may be pregnant keeps away; gloves, {apart}, "
        f"{local('ring the vet')}{sample}"
    )


def sale_words(what: SaleAhead) -> str:
    """may NOT go to Fairmount yards on 15 Aug 2026, not before 28 Aug 2026: off the list; the loading list of that day
    says why.
    """
    sale = f"{what.to or 'the sale'} on {day_words(what.day)}"
    wait = f", not before {day_words(what.free)}" if what.free else ""
    head = f"may NOT go to {sale}{wait}: off the list" if what.barred else f"somebody is to be asked before {sale}"
    return f"{head}; the loading list of that day says why"


def doses_owed_words(what: DosesOwed) -> str:
    """penicillin: dose 3 of 3 today, then write it as given; after a missed one the vet comes first, and no more is
    asked for.
    """
    head = what.medicine or "medicine"
    if what.late:
        return (
            f"{head}: {ASK_BEFORE_MORE}; dose {numbers(what.late)} of {what.of} not written as given: if it was given, "
            "write it"
        )
    return f"{head}: dose {numbers(what.today)} of {what.of} today, then write it as given"


def numbers(doses: tuple[int, ...]) -> str:
    """2 and 3."""
    return " and ".join(str(dose) for dose in doses)


def past_words(what: PastLastDay) -> str:
    """scanned with 2, not lambed: 3 days past her last day, 28 Apr 2026: look at her; scan again or write what
    happened.
    """
    scanned = {None: local("put to the ram"), 0: "scanned empty too soon to be sure"}.get(what.scanned, "")
    known = scanned or f"scanned with {what.scanned}"
    past = f"{days_words(what.days)} past her last day, {day_words(what.last)}"
    steps = local("look at her; scan again, or write what happened; if she is ill ring the vet")
    return f"{known}, not lambed: {past}: {steps}"


def case_words(what: CaseOpen) -> str:
    """lameness, left fore, ill since 21 Nov 2026: look, write how it is; where it may kill: ring the vet, the signs."""
    side = f", {what.side}" if what.side else ""
    last = f", last written of on {day_words(what.last)}" if what.last > what.since else ""
    ketones = f"ketones {what.ketones:g} mmol/L" if what.ketones is not None and what.grave else ""
    heat = "" if what.celsius is None else measures().degrees(what.celsius)
    seen = ", ".join(word for word in (heat, what.signs, ketones) if word)
    signs = f"; {seen}" if seen else ""
    todo = f"{local('ring the vet')}{signs}" if what.grave else f"look, write how it is{signs}"
    return f"{what.problem}{side}, ill since {day_words(what.since)}{last}: {todo}"


def pale_words(what: PaleEyelid) -> str:
    """eyelid 5, jaw swollen on 20 May 2026: decide with your vet today; write the treatment or a remark."""
    found = [f"eyelid {what.eyelid}"] if what.eyelid else []
    found += ["jaw swollen"] if what.jaw else []
    ask = "no drench nor remark is written since: decide with your vet"
    return f"{', '.join(found)} on {day_words(what.day)}: {ask}; published guides treat at eyelid 4 and 5, and a jaw"


def hot_words(what: HotAtCheck) -> str:
    """40.8 °C, udder hard, on 17 Mar 2026: ring the vet now; write an illness note or a remark."""
    udder, feet = f"udder {what.udder}" if what.udder else "", f"feet {what.feet}" if what.feet else ""
    told = ", ".join(part for part in (measures().degrees(what.celsius), udder, feet, what.remark) if part)
    return f"{told}, on {day_words(what.day)}: {local('ring the vet')} now; write an `illness` note or a remark"


def lame_told_words(what: LameTold) -> str:
    """called lame on 10 Jul 2026, 12 days ago (“lame near fore”): look, write sound or a note of illness."""
    ago = f", {days_words(what.days)} ago" if what.days else ""
    day = f" on {day_words(what.day)}{ago}" if what.day else " in its own note"
    return f"called lame{day} (“{what.words}”): look, write `sound` or a note of illness"


def short_count_words(what: CountShort) -> str:
    """38 counted in Harrow's lot on 22 Nov 2026, 1 short: not seen."""
    short = what.expected - what.counted
    how = f"{short} short" if short > 0 else "not all that should be there"
    who = "not seen" if what.by_tag else "no tags read, begin with those longest without a note"
    return f"{what.counted} counted in {what.mob or 'the flock'} on {day_words(what.day)}, {how}: {who}"


def went_held_words(what: WentHeld) -> str:
    """tell the buyer and the vet; sold on 12 Aug 2026 and not clear of levamisole oral."""
    of = f" of {', '.join(what.medicines)}" if what.medicines else ""
    return f"tell the buyer and the vet; it went on {day_words(what.day)} and was not known to be clear{of}"


SAID_OWED: dict[type[Reason], Callable[[Any], str]] = {
    WentHeld: went_held_words,
    InLabour: labour_words, NeverWrittenUp: never_written_words, ColdLamb: cold_words, OpenPoint: open_point_words,
    NotHeardOf: unheard_words, Aborted: aborted_words, DosesOwed: doses_owed_words, PastLastDay: past_words,
    CaseOpen: case_words, LameTold: lame_told_words, CountShort: short_count_words, LookAgain: look_again_words,
    CalledColdLamb: called_cold_words, PaleEyelid: pale_words, HotAtCheck: hot_words,
    SaleAhead: sale_words, SecondDue: second_words,
}  # fmt: skip
