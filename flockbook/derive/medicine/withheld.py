"""What is to be mended first: the notes by which sheep are withheld that were perhaps not dosed at all, and those that
leave dosed sheep without a date. It is said once, on top of every list, and gone when the notes are mended.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from compiler.shape import Value
from flockbook.derive.medicine.periods import MEAT, MILK
from flockbook.derive.medicine.withdrawal import Clearance, Guard, Hold
from flockbook.derive.plain.numbers import plural
from flockbook.flock import Flock

MOST_ROWS, MOST_NAMES = 3, 3  # notes told on top of a list, and sheep called by name in a row
UNDER_WAY = ("W5", "W7")  # a course that still runs, and what only the vet can say: nothing in a note is wrong


class Withheld(Value):
    """One note to mend: where, why, and what to type. `everybody`: it withholds whoever was here on its days. `dosed`:
    its sheep were surely dosed, and only the date is unknown. `notes` are all that say so, the first at `line`.
    """

    notes: tuple[str, ...]
    line: int
    rule: str
    text: str
    cure: str
    sheep: tuple[str, ...]
    everybody: bool = False
    dosed: bool = False
    lines: int = 1

    @property
    def place(self) -> str:
        """`events/2026-06-02 treatment foot.md, line 3`."""
        line = f", line {self.line}" if self.line else ""
        line += f" and {plural(self.lines - 1, 'other')}" if line and self.lines > 1 else ""
        others = f", and {plural(len(self.notes) - 1, 'other note')}" if len(self.notes) > 1 else ""
        return f"{self.notes[0]}{line}{others}"


class WithheldList(Value):
    """All that is to be mended, the worst first. `beyond` are the sheep withheld beyond those dosed, of `living` that
    are here.
    """

    rows: tuple[Withheld, ...] = ()
    beyond: tuple[str, ...] = ()
    living: int = 0

    def __bool__(self) -> bool:
        return bool(self.rows)

    @property
    def head(self) -> str:
        """How many are withheld, and by how many notes."""
        notes = sum(not row.dosed for row in self.rows)
        if not notes:
            return self.undated
        count = len(self.beyond)
        who = f"All {count} sheep" if count == self.living > 1 else plural(count, "sheep", "sheep")
        by = plural(notes, "note")
        return f"{who} withheld beyond those dosed, by {by}" if count else f"{by} in doubt"

    @property
    def undated(self) -> str:
        """How many dosed sheep have no clear date; "" where each has one."""
        sheep = {one for row in self.rows if row.dosed for one in row.sheep}
        return f"{len(sheep)} dosed sheep without a clear date" if sheep else ""

    @property
    def also(self) -> str:
        """What stands below the head: the sheep without a date, where the head speaks of others."""
        return self.undated if self.undated != self.head else ""

    @property
    def on_top(self) -> frozenset[str]:
        """The reasons that are told on top, and need not be told again below."""
        return frozenset(row.text for row in self.rows[:MOST_ROWS])


def withheld_list(guard: Guard) -> WithheldList:
    """What is to be mended, those that withhold everybody first, then by how many they withhold."""
    of_all = {gap.hold.because.note for gap in guard.gaps}
    rows = [*doubts(guard.standing, of_all), *without_date(guard.standing)]
    rows.sort(key=lambda row: (not row.everybody, row.dosed, -len(row.sheep), row.notes))
    beyond = (sheep for sheep, row in guard.standing.items() if any(beyond_dosed(row, item) for item in (MEAT, MILK)))
    return WithheldList(tuple(rows), tuple(beyond), len(guard.standing))


def whom(flock: Flock, row: Withheld, living: int) -> str:
    """`Everybody: 57 sheep`, `2 sheep: Bess (C214), Teasel (C230)`, `3 sheep, dosed: …`."""
    count = plural(len(row.sheep), "sheep", "sheep")
    if row.everybody:
        return f"Everybody: {count}" if len(row.sheep) == living else f"Everybody of those days: {count}"
    names = ", ".join(flock.animals[sheep].called_in_full for sheep in row.sheep[:MOST_NAMES])
    left = len(row.sheep) - MOST_NAMES
    named = f"{names} and {left} more" if left > 0 else names
    return f"{count}, dosed: {named}" if row.dosed else f"{count}: {named}"


def beyond_dosed(row: Clearance, product: str) -> bool:
    """Whether a product of an animal is withheld by nothing but doubts whether it was dosed."""
    holds = [hold for hold in row.holds if hold.product == product]
    return bool(holds) and all(hold.doubt for hold in holds)


def doubts(standing: Mapping[str, Clearance], of_all: set[str]) -> Iterator[Withheld]:
    """The notes that could mean more sheep than they plainly name."""
    found: dict[str, list[Hold]] = {}
    sheep: dict[str, dict[str, None]] = {}
    for row in standing.values():
        for hold in row.holds:
            if hold.doubt:
                found.setdefault(hold.because.note, []).append(hold)
                sheep.setdefault(hold.because.note, {})[row.sheep] = None
    for note, holds in found.items():
        yield row_of(holds, (note,), sheep[note], note in of_all)


def without_date(standing: Mapping[str, Clearance]) -> Iterator[Withheld]:
    """What leaves dosed sheep without a date, the same of several notes together."""
    found: dict[str, list[Hold]] = {}
    sheep: dict[str, dict[str, None]] = {}
    for row in standing.values():
        for hold in row.holds:
            if hold.until is None and not hold.doubt and hold.because.rule not in UNDER_WAY:
                key = hold.because.text.replace(MILK, MEAT)
                found.setdefault(key, []).append(hold)
                sheep.setdefault(key, {})[row.sheep] = None
    for text, holds in found.items():
        yield row_of(holds, sorted({hold.because.note for hold in holds}), sheep[text], None)


def row_of(holds: list[Hold], notes: Iterable[str], sheep: Iterable[str], everybody: bool | None) -> Withheld:
    """One row by the hold that withholds the most, else the plainest; `everybody` None: they were surely dosed."""
    notes = tuple(notes)
    mine = [hold for hold in holds if hold.because.note == notes[0]]
    often = Counter(hold.because for hold in mine)
    lines = len({hold.because.line for hold in mine}) if everybody is not None else 1
    hold = min(
        mine, key=lambda item: (-often[item.because], len(item.because.text), item.because.line or 0, item.product)
    )
    why = hold.because
    return Withheld(
        notes, why.line or 0, why.rule, why.text, hold.cure, tuple(sheep), bool(everybody), everybody is None, lines
    )  # fmt: skip
