"""Worm egg counts as typed, and the reduction tests that `test` names join together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import cached_property

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.health.egg_certainty import (
    BRAMBELL_FACTOR,
    CountSpread,
    TrueCount,
    published_spread,
    true_count,
)
from flockbook.derive.health.egg_counts import (
    Reduction,
    Weak,
    Weakness,
    badly_timed,
    eggs_per_gram,
    fits_factor,
    mcmaster_factor,
    paired_reduction,
    too_small,
    unpaired_reduction,
)
from flockbook.derive.plain.because import Because, Reason
from flockbook.flock import Flock, happened
from flockbook.records.egg_line import EggLine
from flockbook.records.health import EggCount, Treatment
from flockbook.roll import key_of

# Sheep sampled both times are compared as pairs when they are at least this part of the larger sample (our own choice);
# the design of 2023 prefers the same sheep (Kaplan et al. 2023).
PAIRED_PART = 0.5
# Where one note has both counts, the drench was given so near to its day (our own choice).
ONE_NOTE = timedelta(days=28)


class Sample(Value):
    """One count. `sheep` is None for a pooled pot; `epg` is None where eggs were counted and no factor is written.

    `factor` makes eggs per gram of eggs seen; `fits` is False for eggs per gram that cannot come from it. `spread` is
    what repeat counts would show by the published table, `true` has the limits of the true count elsewhere.
    """

    note: str
    line: int
    date: date
    sheep: str | None
    called: str
    eggs: int | None
    epg: float | None
    factor: float | None
    fits: bool
    spread: tuple[CountSpread, ...]
    true: TrueCount | None


class ReductionTest(Value, dict=True):
    """One test of a drench. `pairs` is how many sheep were sampled both times, 0 when the groups are compared as such.

    `days` runs from the drench (`drenched`, else the day of the first sample) to the second sample, None when the
    second sample's day is not written. `warnings` are about the test. `sampled` are the sheep of the first sample.
    """

    name: str
    medicine: str
    before: tuple[float, ...]
    after: tuple[float, ...]
    pairs: int
    drenched: date | None
    days: int | None
    warnings: tuple[Weakness, ...]
    because: tuple[Because, ...]
    sampled: tuple[str, ...] = ()

    @cached_property
    def result(self) -> Reduction | None:
        """The reduction, None while one of the two samples is still to be written; worked out when first asked for,
        since its limits need scipy.
        """
        if not self.before or not self.after:
            return None
        if self.pairs:
            return paired_reduction(list(zip(self.before, self.after, strict=True)))
        return unpaired_reduction(self.before, self.after)


class EggCounts(Value):
    """All counts in order of time, and all tests."""

    samples: tuple[Sample, ...] = ()
    tests: tuple[ReductionTest, ...] = ()


def egg_counts(flock: Flock, today: Moment) -> EggCounts:
    """Every count up to the moment asked about."""
    notes = [event for event in flock.events if isinstance(event, EggCount) and event.date and happened(event, today)]
    samples = tuple(sample for note in notes for line in note.lines for sample in samples_of(flock, note, line))
    joined: dict[str, list[EggCount]] = {}
    for note in notes:
        if name := name_of(note):
            joined.setdefault(key_of(name), []).append(note)
    return EggCounts(samples, tuple(reduction_test(flock, group, today) for group in joined.values()))


def name_of(note: EggCount) -> str:
    """The test a note belongs to: its `test`; else itself when its lines have counts before and after."""
    if note.test:
        return note.test
    return note.origin.path if any(line.before is not None and line.after is not None for line in note.lines) else ""


def samples_of(flock: Flock, note: EggCount, line: EggLine) -> Iterator[Sample]:
    """The single count of a line; a line with before and after belongs to a test and stands there."""
    if line.eggs is None and line.epg is None:
        return
    assert note.date is not None
    epg, factor = count_of(note, line), factor_of(note)
    fits = line.epg is None or not factor or bool(note.pooled) or fits_factor(line.epg, factor)
    yield Sample(
        note.origin.path, line.span.line, note.date, flock.named(note, line.sheep), line.sheep, line.eggs, epg,
        factor, fits,
        *how_sure(epg, factor),
    )  # fmt: skip


def how_sure(epg: float | None, factor: float | None) -> tuple[tuple[CountSpread, ...], TrueCount | None]:
    """How far a count may be trusted: the published rows where they hold, else the limits of the eggs seen; neither
    where it is not known how many eggs were seen.
    """
    if epg is None or factor is None:
        return (), None
    rows = published_spread(epg) if factor == BRAMBELL_FACTOR else ()
    return rows, None if rows else true_count(epg, factor)


def count_of(note: EggCount, line: EggLine) -> float | None:
    """Eggs per gram of a line with one count; None without a factor above nought."""
    if line.epg is not None:
        return line.epg
    factor = factor_of(note)
    return None if line.eggs is None or factor is None else eggs_per_gram(line.eggs, factor)


def factor_of(note: EggCount) -> float | None:
    """Eggs per gram for each egg seen: the factor that was typed, else that of the slide as it was made."""
    if note.factor is not None:
        return note.factor if note.factor > 0 else None
    return slide_factor(note)


def slide_factor(note: EggCount) -> float | None:
    """The factor of the slide as it was made."""
    slide = note.slide
    return mcmaster_factor(slide.total_ml, slide.counted_ml, slide.grams) if slide else None


# Tests


class Columns(Value):
    """The counts of a test by sheep, and the first day of each column."""

    before: Mapping[str, float]
    after: Mapping[str, float]
    before_day: date | None
    after_day: date | None
    lost: int


def reduction_test(flock: Flock, notes: Sequence[EggCount], today: Moment) -> ReductionTest:
    """One test out of its notes."""
    medicine = next((note.medicine for note in notes if note.medicine), "")
    drenched = drench_day(flock, notes, medicine, today)
    columns = read_columns(flock, notes, drenched)
    both = [sheep for sheep in columns.before if sheep in columns.after]
    paired = bool(both) and len(both) >= PAIRED_PART * max(len(columns.before), len(columns.after))
    before = tuple(columns.before[sheep] for sheep in both) if paired else tuple(columns.before.values())
    after = tuple(columns.after[sheep] for sheep in both) if paired else tuple(columns.after.values())
    days = days_between(drenched or columns.before_day, columns.after_day)
    factor = next((factor for note in notes if (factor := factor_of(note))), None)
    warned = (*too_small(before, factor), *found_wanting(columns, days, len(both) if paired else 0))
    return ReductionTest(
        name_of(notes[0]), medicine or "", before, after, len(both) if paired else 0, drenched,
        days, warned, tuple(test_steps(notes)), tuple(one for one in columns.before if one in flock.animals),
    )  # fmt: skip


def drench_day(flock: Flock, notes: Sequence[EggCount], medicine: str | None, today: Moment) -> date | None:
    """The day the drench was given between the samples: the last dose of that product to any sheep sampled."""
    dates = [note.date for note in notes if note.date]
    first, last = min(dates), max(dates)
    sampled = {sheep for note in notes for sheep in flock.who(note)}
    wanted = key_of(medicine or "")
    days = [
        when.date
        for event in flock.events
        if isinstance(event, Treatment) and key_of(event.medicine or "") == wanted
        and happened(event, today) and sampled & set(flock.who(event))
        for when in event.doses
        if first <= when.date < last or (first == last and abs(when.date - first) <= ONE_NOTE)
    ]  # fmt: skip
    return max(days, default=None)


def read_columns(flock: Flock, notes: Sequence[EggCount], drenched: date | None) -> Columns:
    """Counts before and after by sheep. Single counts up to the drench (else on the first day) are before, later
    ones after.
    """
    before: dict[str, float] = {}
    after: dict[str, float] = {}
    first = min(note.date for note in notes if note.date)
    after_day: date | None = None
    lost = 0
    for note in notes:
        for line in note.lines:
            sheep = flock.named(note, line.sheep) or f"{line.sheep}:{line.span.line}"
            count = count_of(note, line)
            if line.before is not None:
                before.setdefault(sheep, line.before)
            if line.after is not None:
                after.setdefault(sheep, line.after)
            if count is not None and note.date is not None:
                early = note.date <= (drenched or first)
                (before if early else after).setdefault(sheep, count)
                after_day = after_day if early or after_day else note.date
            lost += line.eggs is not None and count is None
    return Columns(before, after, first, after_day, lost)


def days_between(start: date | None, end: date | None) -> int | None:
    """Whole days, where both are known."""
    return (end - start).days if start and end else None


def found_wanting(columns: Columns, days: int | None, pairs: int) -> Iterator[Weakness]:
    """What a reader of this test must know."""
    if columns.after and (late := badly_timed(days) if days is not None else None):
        yield late
    if columns.after and days is None:
        yield Weakness(Weak.DAY_NOT_WRITTEN)
    left_out = len(set(columns.before) ^ set(columns.after))
    if pairs and left_out:
        yield Weakness(Weak.SAMPLED_ONCE, left_out)
    if columns.after and not pairs:
        yield Weakness(Weak.UNPAIRED)
    if not columns.after:
        yield Weakness(Weak.HALF_WRITTEN)
    if columns.lost:
        yield Weakness(Weak.WITHOUT_FACTOR, columns.lost)


class SamplesCounted(Reason):
    """How many samples a note has, and the factor of their counts."""

    samples: int
    factor: float | None


def test_steps(notes: Sequence[EggCount]) -> Iterator[Because]:
    """The notes a test is made of."""
    for note in notes:
        reason = SamplesCounted(len(note.lines), factor_of(note))
        yield Because(note.origin.path, note.origin.span("test").line, "egg count", reason=reason)
