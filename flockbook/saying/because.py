"""The words of a step of a working, whatever it rests on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flockbook.derive.plain.because import Because, Reason, Stated
from flockbook.regional import local_all
from flockbook.saying import (
    breeding,
    choosing,
    ewe_lambs,
    fears,
    going,
    growth,
    holding,
    identity,
    kit,
    money,
    newborns,
    owed,
    withdrawal,
    worms,
    year,
)

STATED = {
    Stated.AS_WRITTEN: "as written",
    Stated.IN_THE_JOINING: "the joining note",
    Stated.JOINING_AHEAD: "the joining note, written ahead",
    Stated.SHE_WAS_HELPED: "she was helped",
    Stated.SHE_LAMBED: "she lambed",
    Stated.SHE_GOES: "she goes",
    Stated.CASE_BEGINS: "the case begins",
    Stated.FIRST_NOTE: "the first note on her",
    Stated.LAST_NOTE: "the last note on her",
}
OF_ALL: Mapping[type[Reason], Callable[[Any], str]] = {
    **breeding.SAID, **choosing.SAID, **ewe_lambs.SAID, **fears.SAID, **going.SAID, **growth.SAID, **holding.SAID,
    **identity.SAID, **kit.SAID, **money.SAID, **newborns.SAID, **owed.SAID_OWED, **withdrawal.SAID, **worms.SAID,
    **year.SAID_TO_DO, **year.SAID,
}  # fmt: skip


def step_words(item: Because) -> str:
    """A step in words: those of its rule or of the shepherd, else those of its reason."""
    return item.text if item.reason is None else words_of_reason(item.reason)


def words_of_reason(reason: Reason | Stated) -> str:
    """A reason in words."""
    return local_all(STATED[reason]) if isinstance(reason, Stated) else OF_ALL[type(reason)](reason)
