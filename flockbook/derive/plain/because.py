"""Why a fact is what it is: the note, the line and the rule it rests on."""

from __future__ import annotations

from enum import Enum, auto

from compiler.shape import Value


class Reason(Value):
    """What a step of a working rests on, as figures and days; `flockbook.saying` has the words."""


class Stated(Enum):
    """A step that has no figures of its own."""

    AS_WRITTEN = auto()
    IN_THE_JOINING = auto()
    JOINING_AHEAD = auto()
    SHE_WAS_HELPED = auto()
    SHE_LAMBED = auto()
    SHE_GOES = auto()
    CASE_BEGINS = auto()
    FIRST_NOTE = auto()
    LAST_NOTE = auto()


class Because(Value):
    """One step of the working: `note` is a path ("" when no single note is meant), `line` 1 or more, `rule` a name such
    as W2. `text` is what the rule itself says, or what the shepherd wrote; all else is a `reason` without words.
    """

    note: str
    line: int | None
    rule: str
    text: str = ""
    reason: Reason | Stated | None = None
