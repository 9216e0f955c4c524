"""Why a sheep may not go, and what is to be asked first, in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from flockbook.derive.market.barriers import (
    Barrier,
    CalledLame,
    Going,
    InLamb,
    JustBorn,
    JustLambed,
    KeptApart,
    LostHerLambs,
    NearLambing,
    NoNumber,
    OnHire,
    PerhapsInLamb,
    StillIll,
    may_not,
)
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import day_words
from flockbook.law import ASK_AUTHORITY, TRANSPORT_ANNEX
from flockbook.measures import measures
from flockbook.regional import local

GOING = {Going.MAY_NOT: "may not go", Going.ASK_FIRST: "ask first"}
SHORT_WAY_KM = 100  # Council Regulation (EC) No 1/2005, Annex I, chapter I, 2 (e)


def by_law(ruled: bool, part: str) -> str:
    """The law where it is the country's own; elsewhere whom to ask."""
    return f"by law not fit to travel ({TRANSPORT_ANNEX} {part})" if ruled else f"{ASK_AUTHORITY} whether it may travel"


def still_ill_words(reason: StillIll) -> str:
    """lameness since 4 May 2026, not written as well."""
    what = f"{reason.problem} since {day_words(reason.since)}, not written as recovered"
    end = by_law(reason.ruled, "(a), (b)") if reason.unfit else "ask your vet whether the journey hurts it"
    return f"{what}: {end}"


def called_lame_words(reason: CalledLame) -> str:
    """called lame on 10 Jul 2026 (“lame near fore”), no later note says sound …."""
    day = f" on {day_words(reason.day)}" if reason.day else " in its own note"
    said = f"called lame{day} (“{reason.words}”), no later note says sound"
    return f"{said}: look first; lame: {by_law(reason.ruled, '(a)')}"


def near_words(reason: NearLambing) -> str:
    """near lambing since 20 Feb 2026 …."""
    counted = f"nine tenths gone, counted from {day_words(reason.service)}, the earliest service that can be"
    return f"near lambing since {day_words(reason.since)} ({counted}): {by_law(reason.ruled, '(c)')}"


def lambed_words(reason: JustLambed) -> str:
    """lambed on 20 Apr 2026, so not until 28 Apr 2026 …."""
    return f"lambed on {day_words(reason.day)}, so not until {day_words(reason.free)}: {by_law(reason.ruled, '(c)')}"


def born_words(reason: JustBorn) -> str:
    """born on 20 Apr 2026, so not until 28 Apr 2026 …."""
    until = f"born on {day_words(reason.day)}, so not until {day_words(reason.free)}"
    far = measures().distance(SHORT_WAY_KM)
    near = f"; with its navel healed it may go up to {far}" if reason.ruled else ""
    return f"{until}: {by_law(reason.ruled, '(d), (e)')}{near}"


def apart_words(reason: KeptApart) -> str:
    """kept apart until 3 May 2026, that day included."""
    why = "since she lost her lambs" if reason.lost else "since it was bought"
    return f"kept apart {why}, until {day_words(reason.until)} by its note"


def lately_lost_words(reason: LostHerLambs) -> str:
    """lost her lambs on 3 Mar 2026 …."""
    weeks = "by its note" if reason.written else "three weeks at least (Severn Edge Vets)"
    lost = f"lost her lambs on {day_words(reason.day)}: kept apart {weeks}, until {day_words(reason.apart_until)}"
    if reason.found:
        return f"{lost}; the laboratory found: {reason.found}. Ask your vet before she goes, and tell the buyer"
    return f"{lost}; as long as the cause is not known ask your vet, and tell the buyer"


def perhaps_words(reason: PerhapsInLamb) -> str:
    """with a ram since 10 Oct 2025 and not scanned …."""
    if reason.late:
        what = "no lambing is written: see whether she is in lamb"
        return f"should have lambed by {day_words(reason.since)} and {local(what)}"
    if reason.empty:
        return local(
            f"scanned empty, but with a ram since {day_words(reason.since)} and too near the scan to be sure: see "
            "whether she is in lamb"
        )
    return f"with a ram since {day_words(reason.since)} and not scanned: {local('whether she is in lamb is not known')}"


def in_lamb_words(reason: InLamb) -> str:
    """in lamb by the scan …."""
    return f"{local('in lamb')} by the scan, near lambing from {day_words(reason.not_from)}: for meat ask your vet"


def on_hire_words(reason: OnHire) -> str:
    """hired from Coldbeck: not yours to sell."""
    return f"hired{f' from {reason.owner}' if reason.owner else ''}: he goes back, and is not yours to sell"


def number_words(reason: NoNumber) -> str:
    """That a number is wanting."""
    del reason
    return "no official or electronic number is written, and others have theirs: look at its tags"


def barrier_words(item: Barrier) -> str:
    """A reason with its note."""
    reason, note = item.because.reason, item.because.note
    assert isinstance(reason, Reason)
    return SAID[type(reason)](reason) + (f" ({note})" if note else "")


def barriers_words(items: Iterable[Barrier]) -> str:
    """All that speaks against one sheep's going."""
    return "; ".join(barrier_words(item) for item in items)


def going_words(items: tuple[Barrier, ...]) -> str:
    """may not go: lameness since …."""
    return f"{GOING[Going.MAY_NOT if may_not(items) else Going.ASK_FIRST]}: {barriers_words(items)}"


SAID: dict[type[Reason], Callable[[Any], str]] = {
    StillIll: still_ill_words, CalledLame: called_lame_words, NearLambing: near_words, JustLambed: lambed_words,
    JustBorn: born_words,
    KeptApart: apart_words, LostHerLambs: lately_lost_words, PerhapsInLamb: perhaps_words, InLamb: in_lamb_words,
    NoNumber: number_words, OnHire: on_hire_words,
}  # fmt: skip
