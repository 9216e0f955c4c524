"""Why a fact is what it is: the note, the line and the rule it rests on."""

from __future__ import annotations

from compiler.shape import Value


class Because(Value):
    """One step of the working: `note` is a path ("" when no single note is meant), `line` 1 or more, `rule` a name such
    as W2.
    """

    note: str
    line: int | None
    rule: str
    text: str
