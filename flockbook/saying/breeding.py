"""Joinings, scans, losses and the figures of the due list in words."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from flockbook.derive.breeding.conception import Assumed
from flockbook.derive.breeding.due import DoubtOf, DueRow, ModelFigures, WhyNot, days_over
from flockbook.derive.breeding.gestation import SCAN_AFTER_OUT, SCAN_BEFORE
from flockbook.derive.breeding.joining_dates import CountedDays
from flockbook.derive.breeding.mating import JOIN_DAYS, Joined
from flockbook.derive.breeding.pregnancies import LostLambs, ScannedAs
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import day_words
from flockbook.derive.plain.numbers import days_words
from flockbook.regional import local, scan_local

ASSUMED = {
    Assumed.OPEN: "the ram is counted as still in: no ram-out date is written",
    Assumed.NO_STAY: "by these dates no ram was with her on any day",
    Assumed.STAY_CUT: "of a very long joining only the nearest year either side of the day asked about was looked at",
    Assumed.MARK_OUTSIDE: "a mark lies outside the joining: a ram is counted as with her that day",
    Assumed.MARK_FAR: "a mark more than a cycle outside the joining was left out",
    Assumed.MARK_AHEAD: "a mark later than the day asked about was left out",
    Assumed.MARKS_UNLIKE: "the marks do not fit a cycle: the last counts most, the earlier ones stay possible",
    Assumed.SCAN_EARLY: "scanned too soon to see a late service: that chance is kept",
    Assumed.SCAN_DISAGREES: "the scan does not fit the joining: the dates of both are kept, half and half",
    Assumed.SCAN_FAR: "a scan more than a year from the joining was left out",
    Assumed.SCAN_AGE: "the age given at the scan is none that lambs in the womb can have: it was left out",
    Assumed.SCAN_AGE_OUTSIDE: "no joining explains the age given at the scan: it was left out",
    Assumed.PAST_DUE: "past every possible lambing day and no lambing is written",
}
NOT_EXPECTED = {
    WhyNot.SCANNED_EMPTY: "scanned empty",
    WhyNot.LOST_LAMBS: "lost her lambs",
    WhyNot.PAST_LAST_DAY: "past her last possible day, no lambing written",
}


def over_words(row: DueRow, today: date) -> str:
    """3 days over; 3 days past her last day; "" where she is neither."""
    days = days_over(row, today)
    if not days:
        return ""
    return f"{days_words(days)} {'past her last day' if row.odds.overdue else 'over'}"


def joining_words(reason: Joined) -> str:
    """with Harrow from 14 Nov 2025 to 20 Dec 2025; marks seen 21 Nov 2025; or served by him, seen on that day."""
    if reason.served:
        return f"{local('served')} by {', '.join(reason.rams)}, seen on {', '.join(map(day_words, reason.served))}"
    end = f" to {day_words(reason.out)}" if reason.out else f", ram out not written{taken_words(reason)}"
    seen = f"; marks seen {', '.join(map(day_words, reason.marks))}" if reason.marks else "; no mark seen"
    return f"with {', '.join(reason.rams)} from {day_words(reason.since)}{end}{seen if reason.watched else ''}"


def taken_words(reason: Joined) -> str:
    """(taken for out on 20 Jan 2026, by the draft); (35 days assumed); (counted as in until 20 Oct 2026)."""
    if reason.taken and reason.told:
        return f" (taken for out on {day_words(reason.taken)}, when he was drafted away or left)"
    if reason.taken and (reason.taken - reason.since).days > JOIN_DAYS:
        return f" (counted as in until {day_words(reason.taken)})"
    return f" ({JOIN_DAYS} days assumed)"


def scanned_words(reason: ScannedAs) -> str:
    """scanned 4 Feb 2026: lambs: 2, 73 days on."""
    seen = "in lamb" if reason.lambs is None else "empty" if not reason.lambs else f"lambs: {reason.lambs}"
    on = f", {reason.days_on} days on" if reason.days_on else ""
    return f"scanned {day_words(reason.day)}: {scan_local(seen)}{on}"


def loss_words(reason: LostLambs) -> str:
    """lost her lambs on 2 Mar 2026."""
    return f"lost her lambs on {day_words(reason.day)}"


def counted_words(reason: CountedDays) -> str:
    """From which services a joining's days were counted."""
    how = "services" if reason.by_hand else "rams in and out"
    assumed = f" (out not written: {JOIN_DAYS} days, or until today)" if reason.assumed else ""
    return (
        f"{how} {day_words(reason.first)} to {day_words(reason.last)}{assumed}; watch from day {reason.watch_day}, "
        f"lambs from the first plus the shortest to the last plus the longest pregnancy; scan from {SCAN_AFTER_OUT} "
        f"days after the last to {SCAN_BEFORE} after the first"
    )


def model_words(reason: ModelFigures) -> str:
    """The figures behind a ewe's days."""
    carried, model = reason.gestation, reason.model
    of_breed = ", the length of her breed" if reason.of_breed else ""
    marks = f"; {model.mark_seen:.0%} of matings leave a mark" if reason.marks else ""
    return (
        f"pregnancy {carried.mean:g} days{of_breed} (window {carried.shortest}-{carried.longest}, spread "
        f"{carried.sd:g}); heat every {model.cycle.mean} days; {model.no_cycle:.0%} do not cycle; "
        f"{model.conceive:.0%} hold at a heat{marks}"
    )


def doubt_words(reason: DoubtOf) -> str:
    """What had to be assumed of a ewe."""
    return f"{reason.called}: {local(ASSUMED[reason.doubt])}"


SAID: dict[type[Reason], Callable[[Any], str]] = {
    Joined: joining_words, ScannedAs: scanned_words, LostLambs: loss_words, CountedDays: counted_words,
    ModelFigures: model_words, DoubtOf: doubt_words,
}  # fmt: skip
