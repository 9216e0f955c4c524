"""Where an animal stands, in the words that every list, sheet and table uses alike."""

from __future__ import annotations

from collections.abc import Mapping

from flockbook.derive.medicine.periods import MEAT, MILK
from flockbook.derive.medicine.withdrawal import CLEAR, HELD, Clearance, State
from flockbook.derive.plain.days import day_words, moment_words
from flockbook.flock import Flock
from flockbook.regional import local

MEND, ASK = "mend the note", "ask the vet"


def standing_words(flock: Flock, row: Clearance, product: str = MEAT) -> str:
    """`clear`, `NOT CLEAR until 25 Jun 2026 08:00`, `UNKNOWN: mend the note`, or the question of a sucking lamb."""
    words = bare_state_words(row.of(product))
    if product != MEAT or row.sucking is None:
        return words
    asked = f"ASK THE VET: {question(flock, row)}"
    return asked if row.meat.state == CLEAR else f"{words}; {asked}"


def bare_state_words(state: State) -> str:
    """A state without the question."""
    if state.state == HELD:
        return f"NOT CLEAR until {release_words(state)}"
    return CLEAR if state.state == CLEAR else f"UNKNOWN: {to_do(state)}"


def release_words(state: State) -> str:
    """The first clear date, or the hour from which it is clear."""
    if state.until is None:
        return "nobody knows when"
    return day_words(state.until.date()) if state.by_day else moment_words(state.until)


def to_do(state: State) -> str:
    """What is to be done where a state is unknown."""
    return MEND if state.mend else ASK


def question(flock: Flock, row: Clearance, standing: Mapping[str, Clearance] | None = None) -> str:
    """The question that a lamb at the foot of a ewe carries whose meat or milk is not clear (V14); which of them, and
    after what, where it is known how she stands.
    """
    ewe = flock.animals.get(row.sucking or "")
    if ewe is None:
        return ""
    hers = (standing or {}).get(ewe.id)
    what = "meat or milk is not clear" if hers is None else not_clear_words(hers)
    return f"may be {local('sucking')} {ewe.called_in_full}, whose {what}"


def not_clear_words(row: Clearance) -> str:
    """milk is not clear: levamisole oral, 15 Jun 2024."""
    product = MEAT if row.meat.state != CLEAR else MILK
    told = [
        f"{hold.medicine}, {day_words(hold.begins)}" if hold.begins else hold.medicine
        for hold in row.deciding(product)
        if hold.medicine
    ]
    named = f": {'; '.join(dict.fromkeys(told))}" if told else ""
    return f"{product} is not clear{named}"
