"""What is to be mended first: the notes by which sheep are withheld that were perhaps not dosed at all, and those that
leave dosed sheep without a date. It is said once, on top of every list, and gone when the notes are mended.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from compiler.shape import Value, replace
from flockbook.derive.medicine.hold_reasons import (
    AgainstLabel,
    NoPeriodTyped,
    OffTheLabel,
    OfTheOther,
    OtherRoute,
    told_of,
)
from flockbook.derive.medicine.periods import MEAT, MILK
from flockbook.derive.medicine.withdrawal import Clearance, Guard, Hold
from flockbook.derive.plain.because import Because, Reason

MOST_ROWS = 3  # notes told on top of a list
UNDER_WAY = ("W5", "W7")  # a course that still runs, and what only the vet can say: nothing in a note is wrong


class Withheld(Value):
    """One note to mend: why, by its first line that says so, and what to type. `everybody`: it withholds whoever was
    here on its days. `dosed`: its sheep were surely dosed, and only the date is unknown. `notes` are all that say so.
    """

    notes: tuple[str, ...]
    why: Because
    cure: str
    sheep: tuple[str, ...]
    everybody: bool = False
    dosed: bool = False
    lines: int = 1


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
    def in_doubt(self) -> int:
        """How many notes leave it in doubt who was dosed."""
        return sum(not row.dosed for row in self.rows)

    @property
    def undated(self) -> frozenset[str]:
        """The dosed sheep without a clear date."""
        return frozenset(one for row in self.rows if row.dosed for one in row.sheep)

    @property
    def on_top(self) -> frozenset[Reason | str]:
        """The reasons that are told on top, and need not be told again below."""
        return frozenset(told_of(row.why) for row in self.rows[:MOST_ROWS])


def withheld_list(guard: Guard) -> WithheldList:
    """What is to be mended, those that withhold everybody first, then by how many they withhold."""
    of_all = {gap.hold.because.note for gap in guard.gaps}
    rows = [*doubts(guard.standing, of_all), *without_date(guard.standing)]
    rows.sort(key=lambda row: (not row.everybody, row.dosed, -len(row.sheep), row.notes))
    beyond = (sheep for sheep, row in guard.standing.items() if any(beyond_dosed(row, item) for item in (MEAT, MILK)))
    return WithheldList(tuple(rows), tuple(beyond), len(guard.standing))


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
    found: dict[Reason | str, list[Hold]] = {}
    sheep: dict[Reason | str, dict[str, None]] = {}
    for row in standing.values():
        for hold in row.holds:
            if hold.until is None and not hold.doubt and hold.because.rule not in UNDER_WAY:
                key = of_either(told_of(hold.because))
                found.setdefault(key, []).append(hold)
                sheep.setdefault(key, {})[row.sheep] = None
    for what, holds in found.items():
        yield row_of(holds, sorted({hold.because.note for hold in holds}), sheep[what], None)


def of_either(what: Reason | str) -> Reason | str:
    """A reason as it is said of meat, where it is said of meat or of milk."""
    if isinstance(what, OffTheLabel | OtherRoute | AgainstLabel | NoPeriodTyped):
        return replace(what, product=MEAT)
    return replace(what, of=of_either(what.of)) if isinstance(what, OfTheOther) else what


def row_of(holds: list[Hold], notes: Iterable[str], sheep: Iterable[str], everybody: bool | None) -> Withheld:
    """One row by the hold that withholds the most, else the plainest; `everybody` None: they were surely dosed."""
    notes = tuple(notes)
    mine = [hold for hold in holds if hold.because.note == notes[0]]
    often = Counter(hold.because for hold in mine)
    lines = len({hold.because.line for hold in mine}) if everybody is not None else 1
    hold = min(
        mine, key=lambda item: (-often[item.because], time_to_say(item.because), item.because.line or 0, item.product)
    )
    return Withheld(notes, hold.because, hold.cure, tuple(sheep), bool(everybody), everybody is None, lines)


def time_to_say(why: Because) -> tuple[bool, int]:
    """How long it takes to say of a doubt: what is so of the sheep itself is said sooner than what is so of another."""
    what = told_of(why)
    if isinstance(what, OfTheOther):
        return True, sum(map(len, what.words)) + (len(what.of) if isinstance(what.of, str) else 0)
    return False, len(why.text)
