"""What is to be mended first, in words: how many sheep are withheld, which, by which notes."""

from __future__ import annotations

from flockbook.derive.medicine.withheld import Withheld, WithheldList
from flockbook.derive.plain.numbers import plural
from flockbook.flock import Flock

MOST_NAMES = 3  # sheep called by name in a row


def withheld_head(found: WithheldList) -> str:
    """How many are withheld, and by how many notes."""
    if not found.in_doubt:
        return undated_words(found)
    count = len(found.beyond)
    who = f"All {count} sheep" if count == found.living > 1 else plural(count, "sheep", "sheep")
    by = plural(found.in_doubt, "note")
    return f"{who} withheld beyond those dosed, by {by}" if count else f"{by} in doubt"


def undated_words(found: WithheldList) -> str:
    """How many dosed sheep have no clear date; "" where each has one."""
    return f"{len(found.undated)} dosed sheep without a clear date" if found.undated else ""


def withheld_also(found: WithheldList) -> str:
    """What stands below the head: the sheep without a date, where the head speaks of others."""
    return undated_words(found) if found.in_doubt else ""


def mend_where(row: Withheld) -> str:
    """`events/2026-06-02 treatment foot.md, line 3`."""
    line = f", line {row.why.line}" if row.why.line else ""
    line += f" and {plural(row.lines - 1, 'other')}" if line and row.lines > 1 else ""
    others = f", and {plural(len(row.notes) - 1, 'other note')}" if len(row.notes) > 1 else ""
    return f"{row.notes[0]}{line}{others}"


def whom(flock: Flock, row: Withheld, living: int) -> str:
    """`Everybody: 57 sheep`, `2 sheep: Bess (C214), Teasel (C230)`, `3 sheep, dosed: …`."""
    count = plural(len(row.sheep), "sheep", "sheep")
    if row.everybody:
        return f"Everybody: {count}" if len(row.sheep) == living else f"Everybody of those days: {count}"
    names = ", ".join(flock.animals[sheep].called_in_full for sheep in row.sheep[:MOST_NAMES])
    left = len(row.sheep) - MOST_NAMES
    named = f"{names} and {left} more" if left > 0 else names
    return f"{count}, dosed: {named}" if row.dosed else f"{count}: {named}"
