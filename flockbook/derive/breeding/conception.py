"""When a ewe took the ram: the chance of each day, and of not at all, from what the joining note says.

The model, whose constants are shown in the book and may be changed in the settings:

* A share `no_cycle` of ewes has no heat at all while the rams are in.
* Every other ewe has her first heat on one of the 17 days (one cycle) that begin with the day she met the ram, each as
  likely as the next, and then one every 14–19 days (17 on average) until she holds.
* At each heat with a ram present she holds with chance `conceive` and shows a mark with chance `mark_seen`, the one
  without regard to the other.
* Where the joining records marks, a mark seen and a mark not seen are both evidence. Marks less than 14 days apart
  are one heat, on either day. A mark 14–19 days after another is a return, so the earlier service did not hold.

The answer is exact. One pass over the days carries the weight of every history that agrees with the marks up to that
day; nothing is drawn at random. `today` limits the evidence: that no mark was seen counts up to
the evening before.

Marks which no history explains (22 days apart, say) are neither dropped nor allowed to break the sum: see
`_last_mark_first`. Every such decision is kept in `Posterior.doubts` for the pages to show.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from enum import Enum, StrEnum, auto
from functools import lru_cache

from compiler.shape import Value, field
from flockbook.derive.breeding.gestation import Cycle, Span, return_gaps
from flockbook.figures import CONCEIVE, MARK_SEEN, NO_CYCLE

# Weight of the last mark where marks contradict the cycle; the rest stays with the reading that explains most of them.
LAST_MARK_SHARE = 2 / 3  # ours
# A ewe meets the ram anew each season: a longer joining is looked at this many days either side of the day asked. Ours.
LOOK = 365
# Days less likely than this are not called possible. Ours: one in a thousand million.
NEGLIGIBLE = 1e-9
# What the page of workings prints of the rules below.
DUE_RULE = (
    "Service day is day 0. Without a service seen, each ewe's chance of having conceived on each day follows from the "
    "joining: first heats spread over one cycle after the ram came, returns a cycle later, a chance to hold and a "
    "chance to leave a mark at each heat; marks seen and not seen are evidence. Ewes that have not lambed by the day "
    "of the book lose the days gone by."
)


class DateBasis(StrEnum):
    """What the dates of a ewe rest on."""

    SERVICE = "service"
    MARK = "mark"
    JOINING = "joining"
    SCAN = "scan"


class Assumed(Enum):
    """What had to be assumed."""

    OPEN = auto()
    NO_STAY = auto()
    STAY_CUT = auto()
    MARK_OUTSIDE = auto()
    MARK_FAR = auto()
    MARK_AHEAD = auto()
    MARKS_UNLIKE = auto()
    SCAN_EARLY = auto()
    SCAN_DISAGREES = auto()
    SCAN_FAR = auto()
    SCAN_AGE = auto()
    SCAN_AGE_OUTSIDE = auto()
    PAST_DUE = auto()


def chance_at(chances: Sequence[float], place: int) -> float:
    """The chance of one day of a run of days; none before the first or after the last."""
    return chances[place] if 0 <= place < len(chances) else 0.0


class JoiningModel(Value):
    """The constants of the model, as shares 0–1. Raises ValueError for a chance that leaves no room for doubt."""

    no_cycle: float = NO_CYCLE.value
    conceive: float = CONCEIVE.value
    mark_seen: float = MARK_SEEN.value
    cycle: Cycle = field(default_factory=Cycle)

    def __post_init__(self) -> None:
        if not 0 <= self.no_cycle < 1:
            raise ValueError(f"share of ewes that do not cycle is {self.no_cycle:g}: it must be 0 or more and under 1")
        for name, chance in (("conceiving", self.conceive), ("seeing a mark", self.mark_seen)):
            if not 0 < chance < 1:
                raise ValueError(f"chance of {name} at one heat is {chance:g}: it must lie between 0 and 1")


class Exposure(Value):
    """One ewe's time with the ram, both end days included.

    `ram_out` None: not written. `met`: the day this ewe joined, where later than `ram_in`. `marks_recorded`: whether
    anybody wrote marks in this joining (a ewe without one is then evidence too); her own marks imply it.
    """

    ram_in: date
    ram_out: date | None = None
    marks: tuple[date, ...] = ()
    marks_recorded: bool = False
    met: date | None = None

    @property
    def records_marks(self) -> bool:
        """Whether a mark not seen is evidence in this joining."""
        return self.marks_recorded or bool(self.marks)

    def stay(self, today: date) -> range:
        """The days, as ordinals, on which this ewe was with the ram; open-ended up to `today`."""
        first = max(self.ram_in, self.met or self.ram_in)
        return range(first.toordinal(), (self.ram_out or today).toordinal() + 1)

    def away(self, day: int, today: date) -> int:
        """How many days the ordinal `day` lies outside the joining of the whole mob; 0 within it."""
        ends = self.ram_in.toordinal(), (self.ram_out or today).toordinal()
        return max(min(ends) - day, day - max(ends), 0)


class Posterior(Value):
    """Chances of conceiving on each day (`chances[i]` is that of `start + i` days) and of being barren; they sum to 1.

    `served` is the last mark or known service, on which the most likely due date hangs.
    """

    start: date
    chances: tuple[float, ...]
    barren: float
    basis: DateBasis
    served: date | None = None
    doubts: tuple[Assumed, ...] = ()

    @property
    def days(self) -> dict[date, float]:
        """Chance of each day on which she may have conceived."""
        first = self.start.toordinal()
        return {date.fromordinal(first + i): chance for i, chance in enumerate(self.chances) if chance > 0}

    @property
    def possible(self) -> Span | None:
        """The first and last day on which she may have conceived; None if there is none."""
        first = self.start.toordinal()
        found = [first + i for i, chance in enumerate(self.chances) if chance > NEGLIGIBLE]
        return Span(date.fromordinal(found[0]), date.fromordinal(found[-1])) if found else None

    def chance_on(self, day: date) -> float:
        """Chance that she conceived on `day`."""
        return chance_at(self.chances, (day - self.start).days)


DEFAULT_MODEL = JoiningModel()


def known_service(day: date, model: JoiningModel = DEFAULT_MODEL) -> Posterior:
    """A hand service or insemination on a known day: she holds with the model's chance, else she is barren."""
    return Posterior(day, (model.conceive,), 1 - model.conceive, DateBasis.SERVICE, served=day)


@lru_cache(maxsize=8192)
def season_posterior(exposures: tuple[Exposure, ...], model: JoiningModel, today: date) -> Posterior:
    """Chances for a ewe who was in one or more joinings of a season: her heats run on where no ram is with her.

    Never raises for any dates. With no exposure, or none that holds a day, she is barren and `doubts` says why.
    """
    board = _lay_out(exposures, model, today)
    if board is None:
        first = min((exposure.ram_in for exposure in exposures), default=today)
        return Posterior(first, (), 1.0, DateBasis.JOINING, doubts=(*_can_conceive(exposures), Assumed.NO_STAY))
    reading = _read_marks(board, model)
    served = date.fromordinal(board.start + board.groups[-1][-1]) if board.groups else None
    return Posterior(
        start=date.fromordinal(board.start),
        chances=tuple(reading.conceived),
        barren=reading.barren,
        basis=DateBasis.MARK if served else DateBasis.JOINING,
        served=served,
        doubts=board.doubts if reading.explained == len(board.groups) else (*board.doubts, Assumed.MARKS_UNLIKE),
    )


class _Board(Value):
    """The days from `start` (an ordinal) laid out for the pass, each by its place 0, 1, 2 …

    `hold[i]`: chance of holding at a heat on day i (0 with no ram). `unseen[i]`: chance that a heat on day i leaves no
    mark anybody saw. `groups`: places of the marks, those of one heat together, in order.
    """

    start: int
    hold: tuple[float, ...]
    unseen: tuple[float, ...]
    groups: tuple[tuple[int, ...], ...]
    doubts: tuple[Assumed, ...]


class _Reading(Value):
    """Chances by day and of being barren, and how many groups of marks the histories behind them explain."""

    conceived: Sequence[float]
    barren: float
    explained: int


def _lay_out(exposures: tuple[Exposure, ...], model: JoiningModel, today: date) -> _Board | None:
    """Put stays and marks on one line of days; None where there is no day to look at."""
    marks, doubts = _usable_marks(exposures, model.cycle, today)
    stays = [exposure.stay(today) for exposure in exposures]
    edges = [*(day for stay in stays if stay for day in (stay[0], stay[-1])), *marks]
    if not edges:
        return None
    now = today.toordinal()
    days = _near(min(edges), max(edges), now)
    ram = _on(stays, days) | set(marks)
    blind = _on((stay for stay, exposure in zip(stays, exposures, strict=True) if not exposure.records_marks), days)
    watched = {day for day in ram - blind if day < now}
    cut = days[0] > min(edges) or days[-1] < max(edges)
    return _Board(
        start=days[0],
        hold=tuple(model.conceive if day in ram else 0.0 for day in days),
        unseen=tuple(1 - model.mark_seen if day in watched else 1.0 for day in days),
        groups=_one_heat([mark - days[0] for mark in marks if mark in days], model.cycle.shortest),
        doubts=(*_can_conceive(exposures), *doubts, *((Assumed.STAY_CUT,) if cut else ())),
    )


def _near(first: int, last: int, today: int) -> range:
    """The days `first` to `last` as far as they lie within reach of today, or of the end nearest to it."""
    middle = min(max(today, first), last)
    return range(max(first, middle - LOOK), min(last, middle + LOOK) + 1)


def _on(stays: Iterable[range], days: range) -> set[int]:
    """The days of `days` that any of the stays holds."""
    return {day for stay in stays for day in range(max(stay.start, days.start), min(stay.stop, days.stop))}


def _can_conceive(exposures: Iterable[Exposure]) -> tuple[Assumed, ...]:
    return (Assumed.OPEN,) if any(exposure.ram_out is None for exposure in exposures) else ()


def _usable_marks(exposures: Sequence[Exposure], cycle: Cycle, today: date) -> tuple[list[int], tuple[Assumed, ...]]:
    """Days of the marks, in order and once each, that can be evidence; and what had to be said about the others.

    A mark shows that a ram was there, so one within a cycle of the joining stands, whatever the joining's dates say.
    """
    written = {mark.toordinal() for exposure in exposures for mark in exposure.marks}
    seen = {mark for mark in written if mark <= today.toordinal()}
    near = {mark for mark in seen if min(exposure.away(mark, today) for exposure in exposures) <= cycle.longest}
    within = {mark for mark in near if any(mark in exposure.stay(today) for exposure in exposures)}
    said = (
        (Assumed.MARK_AHEAD, written - seen),
        (Assumed.MARK_FAR, seen - near),
        (Assumed.MARK_OUTSIDE, near - within),
    )
    return sorted(near), tuple(doubt for doubt, marks in said if marks)


def _one_heat(marks: Iterable[int], shortest: int) -> tuple[tuple[int, ...], ...]:
    """Put marks less than the shortest cycle after the first of a group into that group."""
    groups: list[list[int]] = []
    for mark in marks:
        if groups and mark - groups[-1][0] < shortest:
            groups[-1].append(mark)
        else:
            groups.append([mark])
    return tuple(map(tuple, groups))


def _read_marks(board: _Board, model: JoiningModel) -> _Reading:
    """Chances given the marks; where they contradict the cycle, the last mark first."""
    reading = _follow(board, model, _first_heats(model))
    if reading.explained == len(board.groups):
        return reading
    return _last_mark_first(board, model, reading)


def _first_heats(model: JoiningModel) -> dict[int, float]:
    """Weight of the first heat on each day after meeting the ram; the days of one cycle, all alike."""
    return dict.fromkeys(range(model.cycle.mean), (1 - model.no_cycle) / model.cycle.mean)


def _last_mark_first(board: _Board, model: JoiningModel, reading: _Reading) -> _Reading:
    """Mix two readings of marks that do not fit a cycle, so that no marked day is given up.

    One takes the last mark for a heat, whatever came before it (a pregnancy lost early, a long cycle): a shepherd's
    usual reading, with most of the weight. The other keeps the histories that explain as many of the marks as any can.
    """
    last = board.groups[-1]
    alone = _Board(board.start, board.hold, board.unseen, (last,), ())
    anchored = _follow(alone, model, dict.fromkeys(last, 1 / len(last)))
    share = LAST_MARK_SHARE if reading.explained else 1.0
    mixed = [share * a + (1 - share) * b for a, b in zip(anchored.conceived, reading.conceived, strict=True)]
    return _Reading(mixed, share * anchored.barren + (1 - share) * reading.barren, reading.explained)


def _follow(board: _Board, model: JoiningModel, first_heats: dict[int, float]) -> _Reading:
    """The forward pass. `first_heats` gives the weight of a first heat by place.

    A row holds the weight of the histories that have a heat on that day, by the number of groups of marks explained so
    far. A heat on a marked day explains its group and no other heat can fall into it, the group being shorter than a
    cycle. The histories that explain most groups are kept, as all of them wherever the marks fit the cycle at all.
    """
    count, levels = len(board.hold), len(board.groups) + 1
    heats = [[0.0] * levels for _ in range(count)]
    conceived: list[list[float]] = []
    barren = [0.0] * levels
    barren[0] = max(0.0, 1 - sum(first_heats.values()))
    for place, weight in first_heats.items():
        (heats[place] if place < count else barren)[0] += weight
    marked = {place for group in board.groups for place in group}
    gaps = return_gaps(model.cycle)
    for place, hold in enumerate(board.hold):
        at = heats[place]
        row = _mark(at, model.mark_seen) if place in marked else [weight * board.unseen[place] for weight in at]
        conceived.append([weight * hold for weight in row])
        missed = [weight * (1 - hold) for weight in row]
        for gap, chance in gaps if any(missed) else ():
            _add(heats[place + gap] if place + gap < count else barren, missed, chance)
    return _normalise(conceived, barren)


def _mark(row: Sequence[float], mark_seen: float) -> list[float]:
    """A row whose heats were seen: each history explains one group more."""
    return [0.0, *(weight * mark_seen for weight in row[:-1])]


def _add(row: list[float], weights: Sequence[float], chance: float) -> None:
    for level, weight in enumerate(weights):
        row[level] += weight * chance


def _normalise(conceived: Sequence[Sequence[float]], barren: Sequence[float]) -> _Reading:
    """Keep the histories that explain most groups of marks and make their chances sum to 1."""
    totals = [sum(row[level] for row in conceived) + barren[level] for level in range(len(barren))]
    explained = max(level for level, total in enumerate(totals) if total > 0)
    total = totals[explained]
    return _Reading([row[explained] / total for row in conceived], barren[explained] / total, explained)
