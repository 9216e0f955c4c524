"""Who is due when: one row for each ewe that was put to the ram and has not lambed, and who is expected no longer."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from enum import Enum, auto

from compiler.book import Moment
from compiler.shape import Value, field, replace
from flockbook.derive.breeding.conception import Assumed, JoiningModel, Posterior, known_service, season_posterior
from flockbook.derive.breeding.gestation import Gestation
from flockbook.derive.breeding.lambing_odds import Due, LambingOdds, due_summary, given_not_lambed, lambing_distribution
from flockbook.derive.breeding.mating import Joined, Mating, Matings
from flockbook.derive.breeding.pregnancies import CARRIED_DAYS, Evidence, Scanned, after_loss, read_together
from flockbook.derive.breeding.scanning import narrow_by_scan, scan_alone
from flockbook.derive.plain.because import Because, Reason
from flockbook.flock import Flock, happened, there
from flockbook.records.breeding import Lambing
from flockbook.records.event import Event

# A ewe stays on the list this long after her last possible day, as overdue; then she counts as barren (our own choice),
# and is told among those past their last day until a note settles it.
KEPT_DAYS = 21
# So long after her last possible day a ewe that was scanned empty, or lost her lambs, is still named (our own choice).
TOLD_DAYS = 60
# And so long one of whom nothing is written, unless a note settles it (our own choice).
UNSETTLED_DAYS = 365
# Her own note that she holds nothing, in the trade's words.
HOLDS_NOTHING = re.compile(
    r"\b(?:empty|barren|geld|yeld|eild|dry(?! (?:day|night|weather|ground|straw))|not in lamb|no lambs? in her|"
    r"not pregnant)\b",
    re.I,
)
# What the page of workings prints of it.
UNSETTLED_RULE = (
    f"A ewe past her last possible day stays on Today, on the due list and on her own page until a note settles it: a "
    f"lambing, a loss, a scan, a later joining, her going, or a note of her own that says empty, barren or dry; at the "
    f"longest {UNSETTLED_DAYS} days."
)

# A ewe scanned empty is not due though the ram was in till then, where it is likelier than not that she holds nothing
# (our own choice).
EMPTY_ENOUGH = 0.5


class WhyNot(Enum):
    """Why a ewe is no longer expected to lamb."""

    SCANNED_EMPTY = auto()
    LOST_LAMBS = auto()
    PAST_LAST_DAY = auto()


class ModelFigures(Reason):
    """The figures that the days of one ewe were worked out with; `marks` where any were written of her joinings."""

    gestation: Gestation
    of_breed: bool
    model: JoiningModel
    marks: bool = True


class DoubtOf(Reason):
    """What had to be assumed of one ewe."""

    called: str
    doubt: Assumed


class DueRow(Value):
    """When one ewe is due; `odds` is the whole distribution behind `due`. `likely_from`: the day by which one in ten
    such ewes lambs, which does not move with the day asked about.
    """

    ewe: str
    season: int
    due: Due
    odds: LambingOdds
    rams: tuple[str, ...]
    lambs_scanned: int | None = None
    because: tuple[Because, ...] = ()
    likely_from: date | None = None


def days_over(row: DueRow, today: date) -> int:
    """How many days a ewe is over: past her last day, else past the day on which she was most likely by her mark or
    service; 0 where she is not.
    """
    last = row.odds.window.last if row.odds.overdue and row.odds.window else row.odds.expected
    return max(0, (today - last).days) if last else 0


class NotExpected(Value):
    """A ewe put to the ram that will not lamb this season: why, since which day, and how many lambs a scan saw."""

    ewe: str
    season: int
    why: WhyNot
    since: date
    because: tuple[Because, ...] = ()
    lambs_scanned: int | None = None


class DueList(Value):
    """The rows in order of the most likely day, the ewes no longer expected, and those of the running season that have
    lambed.
    """

    rows: tuple[DueRow, ...] = ()
    season: int | None = None
    lambed: Mapping[str, str] = field(default_factory=dict)
    not_expected: tuple[NotExpected, ...] = ()


class DueSources(Value):
    """What every row is worked out from."""

    flock: Flock
    found: Matings
    seen: Evidence
    today: Moment


def due_list(flock: Flock, found: Matings, seen: Evidence, today: Moment) -> DueList:
    """The due list of every season that is running on the day asked about."""
    lambed = lambed_in(flock, found, today)
    ground = DueSources(flock, found, seen, today)
    awaited = [
        turn
        for key in sorted(found.by_ewe)
        if there(flock.animals[key[0]], today)
        for turn in found.turns_of(*key)
        if key not in lambed or not has_lambed(flock, turn, found, today)
    ]
    told = [*(one_ewe(mating, ground) for mating in awaited), *strangers(ground)]
    carrying = {item.ewe for item in told if isinstance(item, DueRow)}
    told = [
        item
        for item in told
        if isinstance(item, DueRow) or (item and item.ewe not in carrying and not is_settled(item, ground))
    ]
    rows = sorted((item for item in told if isinstance(item, DueRow)), key=by_day)
    out = sorted((item for item in told if isinstance(item, NotExpected)), key=lambda item: (item.since, item.ewe))
    running = max((row.season for row in rows), default=None)
    return DueList(
        tuple(rows), running, {ewe: path for (ewe, year), path in lambed.items() if year == running}, tuple(out)
    )


def by_day(row: DueRow) -> tuple[bool, date, str]:
    """Sort key: the most likely day, those without one (past their window) last."""
    return (row.due.likely is None, row.due.likely or row.due.earliest or date.max, row.ewe)


def one_ewe(mating: Mating, ground: DueSources) -> DueRow | NotExpected | None:
    """One ewe of a joining: due, or no longer expected; None when her time is long over."""
    found, today = ground.found, ground.today
    joined = conceived(mating, found, today)
    window = lambing_distribution(joined, mating.gestation).window
    last = window.last if window else mating.first_in
    if today.day > last + timedelta(days=UNSETTLED_DAYS):
        return None
    evidence = ground.seen.before(mating.ewe, found.seen_until(mating))
    loss = evidence.loss_of(mating.ewe, mating.first_in)
    scans = [one for one in evidence.scans_of(mating.ewe, mating.first_in) if loss is None or one.scan.day > loss.day]
    posterior = after_loss(joined, loss.day) if loss else joined
    why = (*mating.because, *((loss.because,) if loss else ()), *(item.because for item in scans))
    if loss and not scans and (posterior.barren >= 1 or not with_ram_after(mating, loss.day)):
        return while_told(NotExpected(mating.ewe, mating.season, WhyNot.LOST_LAMBS, loss.day, why), last, today)
    scan = read_together(scans)
    posterior = narrow_by_scan(posterior, scan) if scan else posterior
    if posterior.barren >= (EMPTY_ENOUGH if scan and scan.lambs == 0 else 1):
        empty = NotExpected(mating.ewe, mating.season, WhyNot.SCANNED_EMPTY, scan.day, why) if scan else None
        return while_told(empty, last, today) if empty else None
    odds = lambing_distribution(posterior, mating.gestation)
    last = odds.window.last if odds.window else last
    if today.day > last + timedelta(days=KEPT_DAYS):
        seen = scan.lambs if scan else None
        return NotExpected(mating.ewe, mating.season, WhyNot.PAST_LAST_DAY, last, why, seen)
    return row_not_lambed(
        Carrying(mating.ewe, mating.season, mating.rams, scan.lambs if scan else None, why), odds, ground
    )


def with_ram_after(mating: Mating, lost: date) -> bool:
    """Whether a note tells that a ewe was with a ram after the day on which she lost her lambs: a mark, a service, a
    joining, or a ram out. That none is written out of her joining does not.
    """
    steps = [because.reason for because in mating.because if isinstance(because.reason, Joined)]
    return any(day > lost for step in steps for day in days_with_ram(step))


def days_with_ram(step: Joined) -> Iterator[date]:
    """The days on which the notes of a joining say that a ewe was with the ram."""
    yield from (step.since, *step.marks, *step.served)
    end = step.taken if step.told else step.out
    if end:
        yield end


def while_told(item: NotExpected, last: date, today: Moment) -> NotExpected | None:
    """A ewe that holds nothing, as long as it is worth telling."""
    return item if today.day <= last + timedelta(days=TOLD_DAYS) else None


def is_settled(item: NotExpected, ground: DueSources) -> bool:
    """Whether something is written since of a ewe that did not lamb by her last day: a scan, a loss, a later joining,
    or a note of her own that she holds nothing.
    """
    if item.why is not WhyNot.PAST_LAST_DAY:
        return False
    ewe, seen, today = item.ewe, ground.seen, ground.today.day
    scans, losses = seen.scans.get(ewe, ()), seen.losses.get(ewe, ())
    if any(day > item.since for day in (*(one.scan.day for one in scans), *(one.day for one in losses))):
        return True
    joined = (mating.first_in for mating in ground.found.every if mating.ewe == ewe)
    return any(item.since < day <= today for day in joined) or says_empty(item, ground)


def says_empty(item: NotExpected, ground: DueSources) -> bool:
    """Whether a note of her own after her last day says that she holds nothing."""
    flock = ground.flock
    return any(
        HOLDS_NOTHING.search(said_of_her(flock, note, item.ewe))
        for note in flock.by_animal.get(item.ewe, ())
        if note.date and note.date > item.since and happened(note, ground.today)
    )


def said_of_her(flock: Flock, note: Event, sheep: str) -> str:
    """What a note says of one sheep in words: what its lines remark, and all its prose where it names nobody else."""
    said = [line.remark for line in flock.own_lines.get((note.origin.path, sheep), ()) if hasattr(line, "remark")]
    return " ".join((*said, note.origin.written if len(flock.who(note)) == 1 else ""))


class Carrying(Value):
    """A ewe that may be in lamb: her season, the rams she was with, the lambs scanned, and the notes that say so."""

    ewe: str
    season: int
    rams: tuple[str, ...]
    lambs: int | None
    because: tuple[Because, ...]


def row_not_lambed(her: Carrying, odds: LambingOdds, ground: DueSources) -> DueRow:
    """The row of a ewe that has not lambed."""
    left = given_not_lambed(odds, ground.today.day)
    due = due_summary(left)
    if left.overdue and left.window:  # no day is likely any more
        due = replace(due, p10=None, likely=None, p90=None, latest=left.window.last)
    called = ground.flock.animals[her.ewe].called
    doubts = tuple(Because("", None, "doubt", reason=DoubtOf(called, doubt)) for doubt in left.doubts)
    why = (*her.because, *doubts, constants(ground.found, her))
    return DueRow(her.ewe, her.season, due, left, her.rams, her.lambs, why, due_summary(odds).p10)


def strangers(ground: DueSources) -> Iterator[DueRow | NotExpected]:
    """Ewes scanned in lamb that no joining names (bought in lamb, say): dated by the scan alone."""
    flock, found, today = ground.flock, ground.found, ground.today
    joined: dict[str, list[date]] = {}
    for mating in found.every:
        joined.setdefault(mating.ewe, []).append(mating.first_in)
    for ewe, scans in sorted(ground.seen.scans.items()):
        last = scans[-1].scan.day
        near = [item for item in scans if (last - item.scan.day).days <= CARRIED_DAYS]
        firsts = [first for first in joined.get(ewe, []) if first < last <= first + timedelta(days=CARRIED_DAYS)]
        scan = read_together(near)
        if firsts or scan is None or scan.lambs == 0 or not there(flock.animals[ewe], today):
            continue
        if not ended(ewe, last, ground):
            yield from by_scan_alone(ewe, near, ground)


def ended(ewe: str, scanned: date, ground: DueSources) -> bool:
    """Whether a pregnancy scanned on that day has ended: she has lambed or lost her lambs since."""
    notes = ground.flock.by_animal.get(ewe, ())
    births = [note.date for note in notes if isinstance(note, Lambing) and note.date and happened(note, ground.today)]
    losses = [loss.day for loss in ground.seen.losses.get(ewe, ())]
    return any(day >= scanned for day in (*births, *losses))


def by_scan_alone(ewe: str, scans: list[Scanned], ground: DueSources) -> Iterator[DueRow | NotExpected]:
    """The row of a ewe of whose joining nothing is written; once her time is over she is past her last day."""
    scan = read_together(scans)
    assert scan is not None
    odds = lambing_distribution(scan_alone(scan), scan.gestation)
    window = odds.window
    if window is None or ground.today.day > window.last + timedelta(days=UNSETTLED_DAYS):
        return
    middle = window.first + (window.last - window.first) / 2
    why = tuple(item.because for item in scans)
    if ground.today.day > window.last + timedelta(days=KEPT_DAYS):
        yield NotExpected(ewe, middle.year, WhyNot.PAST_LAST_DAY, window.last, why, scan.lambs)
        return
    yield row_not_lambed(Carrying(ewe, middle.year, (), scan.lambs, why), odds, ground)


def conceived(mating: Mating, found: Matings, today: Moment) -> Posterior:
    """When a ewe can have conceived: a service that was seen, else the joining model."""
    if mating.times and all(seen for _, seen in mating.times):
        return known_service(mating.served[-1], found.model)
    return season_posterior(mating.exposures, found.model, today.day)


def lambed_in(flock: Flock, found: Matings, today: Moment) -> dict[tuple[str, int], str]:
    """(Ewe, season) → path of the lambing note."""
    done: dict[tuple[str, int], str] = {}
    for event in flock.events:
        if isinstance(event, Lambing) and happened(event, today):
            for ewe in flock.who(event):
                done[(ewe, found.season_of.get(event.origin.path, 0))] = event.origin.path
    return done


def has_lambed(flock: Flock, mating: Mating, found: Matings, today: Moment) -> bool:
    """Whether a birth of hers is written that ends these joinings: one of the same season since the ram went in; of a
    ewe joined more than once, one that can come from them.
    """
    key = (mating.ewe, mating.season)
    births = (event for event in flock.by_animal.get(mating.ewe, ()) if isinstance(event, Lambing))
    of_season = (birth for birth in births if found.season_of.get(birth.origin.path) == mating.season)
    days = [birth.date for birth in of_season if birth.date and happened(birth, today)]
    return any(mating.explains(day) if key in found.turns else day > mating.first_in for day in days)


def constants(found: Matings, her: Carrying) -> Because:
    """The figures the model used for one ewe."""
    mating = found.by_ewe.get((her.ewe, her.season))
    marks = mating is not None and any(one.marks_recorded for one in mating.exposures)
    figures = ModelFigures(found.terms.of(her.ewe), her.ewe in found.terms.own, found.model, marks)
    return Because("", None, "model", reason=figures)
