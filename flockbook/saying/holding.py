"""Cases of illness, grazing, feed, counts and who is not here to be loaded, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.farm.head_counts import CountHeld
from flockbook.derive.health.cases import (
    KETONES,
    TEMPERATURES,
    BeganAnew,
    CaseGoesOn,
    KetonesFound,
    OutsideRange,
    TiedTo,
)
from flockbook.derive.land.grazing import NoteOf
from flockbook.derive.land.paces import FeedCounted
from flockbook.derive.market.leaving import HasLeft, NobodyHere, NotHereBefore
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import day_words
from flockbook.measures import measures
from flockbook.regional import local

NO_DIAGNOSIS = "this is a note, not a diagnosis"


def going_on_words(reason: CaseGoesOn) -> str:
    """the same within 14 days: the case goes on."""
    return f"the same within {reason.days} days: the case goes on"


def tied_words(reason: TiedTo) -> str:
    """oxytetracycline: given for it."""
    return f"{reason.medicine}: {'given for it' if reason.by_name else 'given while it was open'}"


def anew_words(reason: BeganAnew) -> str:
    """That a case ended with the next."""
    return f"no recovery is written; the same began anew on {day_words(reason.day)}"


def temperature_words(reason: OutsideRange) -> str:
    """40.2 °C is above a published range for grown sheep (38.6 to 40.0 °C); this is a note, not a diagnosis."""
    (low, high), degrees = TEMPERATURES, measures().degrees
    found = f"{degrees(reason.celsius)} is {'above' if reason.celsius > high else 'below'} a published range"
    return f"{found} for grown sheep ({degrees(low).split()[0]} to {degrees(high)}); {NO_DIAGNOSIS}"


def ketone_words(reason: KetonesFound) -> str:
    """0.9 mmol/L is above 0.8, called raised in a published study of ewes; this is a note, not a diagnosis."""
    line = f"{reason.ketones:g} mmol/L is above {KETONES:g}"
    return f"{line}, called raised in a published study of ewes; {NO_DIAGNOSIS}"


def note_words(reason: NoteOf) -> str:
    """move note of 20 Mar 2026."""
    return f"{local(reason.kind)} note of {day_words(reason.day)}"


def feed_words(reason: FeedCounted) -> str:
    """counted 96 bales on 2 Feb 2026."""
    return f"counted {reason.amount}{f' on {day_words(reason.day)}' if reason.day else ''}"


def count_words(reason: CountHeld) -> str:
    """38 counted, 36 by tag; 39 should be in Harrow's lot by the notes."""
    read = f", {reason.by_tag} by tag" if reason.by_tag else ", no tags read"
    return f"{reason.counted} counted{read}; {reason.expected} should be in {reason.mob or 'the mob'} by the notes"


def has_left_words(reason: HasLeft) -> str:
    """sold on 8 Oct 2024."""
    return f"{reason.how} on {day_words(reason.day)}"


def not_here_words(reason: NotHereBefore) -> str:
    """not here before 8 Oct 2024."""
    return f"not here before {day_words(reason.day) if reason.day else 'a later day'}"


def nobody_words(reason: NobodyHere) -> str:
    """That nobody is meant for certain."""
    del reason
    return "it cannot be told which living sheep that is"


SAID: dict[type[Reason], Callable[[Any], str]] = {
    CaseGoesOn: going_on_words, TiedTo: tied_words, BeganAnew: anew_words, NoteOf: note_words,
    FeedCounted: feed_words, CountHeld: count_words, HasLeft: has_left_words, NotHereBefore: not_here_words,
    NobodyHere: nobody_words, OutsideRange: temperature_words, KetonesFound: ketone_words,
}  # fmt: skip
