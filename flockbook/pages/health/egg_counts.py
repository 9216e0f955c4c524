"""Egg counts: what each drench still does by two published readings, and every count with the range of its repeats."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.health.egg_counts import CLINICAL, COLES_REDUCTION, RESEARCH, ReductionLimits
from flockbook.derive.health.reduction_tests import ReductionTest, Sample
from flockbook.pages.chart.plate import chart
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.sections import Section, SectionsView
from flockbook.pages.telling.cautions import MEDICINE_CAUTION, WORM_TESTS
from flockbook.pages.views import Chart, Column, Directory, Row, Table, Words, day, directory
from flockbook.pages.wording import plural
from flockbook.regional import local
from flockbook.saying.worms import no_range_words, weakness_words
from flockbook.seen import Seen

PATH = "egg-counts.html"
ROOM = 600  # elements of the list of counts on a page with charts and tests
GRADES = {
    "resistant": "resistant: by this test the drench no longer does its work",
    "low resistant": "low resistant: it works less well than it should",
    "inconclusive": "inconclusive: the test cannot tell; ask your vet about a larger one",
    "susceptible": "susceptible: by this test it still works",
    "resistance": "resistance",
    "suspected": "resistance suspected",
}
TEST_WORDS = (
    "Two published readings stand side by side. Coles 1992: resistance when the fall is under 95 % and its lower "
    "limit under 90 %. "
    "W.A.A.V.P. 2023, in the same sheep: a 90 % range held against 99 % with 90 % (clinical) or 95 % (research)."
)
SURE_WORDS = (
    "How sure, 95 times in a hundred. With a factor of 50, where repeats of a count lie (Brambell 1963, as printed by "
    "Beef + Lamb New Zealand); with any other, or above that table, the exact Poisson limits of the eggs seen times "
    "the factor."
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page, and where a long list of counts goes on."""
    del stamp
    found, tags = seen.facts.health.worms.eggs, directory(seen.linked, seen.today)
    counts, more = over_pages(samples_table(found.samples, tags), Seat(PATH, "Egg counts", "Health", ROOM))
    sections = (
        Section("What the drenches still do", (*result_charts(found.tests), results_table(found.tests)), "tests"),
        Section("How each test is read", (TEST_WORDS, readings_table(found.tests)), "readings"),
        Section("Every count", (counts, SURE_WORDS), "egg-counts", plural(len(found.samples), "count")),
    )
    lead = (
        f"{plural(len(found.tests), 'test')} of a drench, {plural(len(found.samples), 'count')}. A count is an "
        f"estimate: the same {local('dung')} counted again gives another."
    )
    yield Page(
        PATH, "sections.html", "Egg counts", SectionsView(lead, sections, (WORM_TESTS, MEDICINE_CAUTION)), "Health"
    )
    yield from more


def results_table(tests: Sequence[ReductionTest]) -> Table:
    """The counts and the fall of each reduction test, the latest first."""
    columns = (
        Column("Test"), Column("Drench"), Column("Sheep", "number"), Column("Before", "number"),
        Column("After", "number"), Column("Fall", "number"),
    )  # fmt: skip
    rows = tuple(Row(result_cells(item)) for item in reversed(tests))
    return Table(columns, rows, "No drench was tested.", "reduction-tests")


def result_cells(item: ReductionTest) -> tuple[str | int, ...]:
    """One test: who was sampled, the mean counts, the fall."""
    result = item.result
    fall = f"{result.reduction:.1f} %" if result and result.reduction is not None else "not known"
    heads = item.pairs or f"{len(item.before)} and {len(item.after)}"
    return (item.name, item.medicine, heads, mean_count(item.before), mean_count(item.after), fall)


def readings_table(tests: Sequence[ReductionTest]) -> Table:
    """Each reduction test by two published readings, and what weakens it."""
    columns = (
        Column("Test"), Column("Coles 1992", wide=True), Column("W.A.A.V.P. 2023", wide=True),
        Column("To know", wide=True),
    )  # fmt: skip
    rows = tuple(Row((item.name, *reading_cells(item))) for item in reversed(tests))
    return Table(columns, rows, "No drench was tested.", "test-readings")


def reading_cells(item: ReductionTest) -> tuple[Words, ...]:
    """One test's readings in words."""
    notes, result = Words("; ".join(map(weakness_words, item.warnings)) or "nothing"), item.result
    if result is None:
        return Words("no second sample yet"), Words("no second sample yet"), notes
    coles = reduction_words(result.coles.limits, (("", result.coles.grade),))
    grades = (("clinical: ", result.delta.clinical), ("research: ", result.delta.research))
    return Words(coles), Words(reduction_words(result.delta.limits, grades)), notes


def mean_count(counts: Sequence[float]) -> str:
    """A mean count."""
    return f"{sum(counts) / len(counts):.0f}" if counts else ""


def reduction_words(limits: ReductionLimits, grades: Sequence[tuple[str, str | None]]) -> str:
    """A range and its class in words, or why there is none."""
    if limits.low is None or limits.high is None:
        return f"no range: {no_range_words(limits.missing)}"
    classes = "; ".join(f"{name}{GRADES.get(grade, grade)}" for name, grade in grades if grade)
    return f"{limits.low:.1f} to {limits.high:.1f} %: {classes}"


class Fall(Value):
    """The fall in eggs of one test with its range, per cent."""

    name: str
    fall: float
    low: float
    high: float


def falls_of(tests: Sequence[ReductionTest]) -> Iterator[Fall]:
    """The tests that have a fall and a range."""
    for item in tests:
        if item.result and item.result.reduction is not None:
            limits = item.result.delta.limits
            if limits.low is not None:
                yield Fall(item.name, item.result.reduction, limits.low, limits.high or 0.0)


def result_charts(tests: Sequence[ReductionTest]) -> tuple[Chart, ...]:
    """The fall of each test with its 90 % range, and the lines it is held against."""
    falls = tuple(falls_of(tests))
    if not falls:
        return ()
    title = "Fall in eggs after the drench, per cent with its 90 % range"
    figure = {"data": [falls_trace(falls)], "layout": falls_layout(falls)}
    return (chart("reduction", title, figure, falls_table(falls)),)


def falls_trace(falls: Sequence[Fall]) -> dict[str, Any]:
    """A mark for each fall, with its reach either way."""
    reach = {
        "type": "data",
        "symmetric": False,
        "array": [item.high - item.fall for item in falls],
        "arrayminus": [item.fall - item.low for item in falls],
    }
    return {
        "type": "scatter",
        "mode": "markers",
        "name": "fall",
        "x": [round(item.fall, 1) for item in falls],
        "y": [item.name for item in falls],
        "error_x": reach,
    }


def falls_layout(falls: Sequence[Fall]) -> dict[str, Any]:
    """The axes, the published lines across them, and what the chart says in words."""
    lines = [
        {"type": "line", "x0": at, "x1": at, "y0": 0, "y1": 1, "yref": "paper", "label": {"text": f"{at:g}"}}
        for at in sorted({CLINICAL.lower, CLINICAL.expected, RESEARCH.lower, COLES_REDUCTION})
    ]
    says = "; ".join(f"{item.name}: fall {item.fall:.1f} %, {item.low:.1f} to {item.high:.1f}" for item in falls)
    least = min(80.0, min(item.low for item in falls) - 5)
    return {
        "title": "Fall in eggs after the drench",
        "meta": {"says": says},
        "shapes": lines,
        "yaxis": {"type": "category"},
        "xaxis": {"title": "per cent", "range": [max(0.0, least), 100]},
    }


def falls_table(falls: Sequence[Fall]) -> Table:
    """The same in figures."""
    columns = (Column("Test"), Column("Low", "number"), Column("Fall", "number"), Column("High", "number"))
    rows = tuple(Row((item.name, f"{item.low:.1f}", f"{item.fall:.1f}", f"{item.high:.1f}")) for item in falls)
    return Table(columns, rows, "")


def samples_table(samples: Sequence[Sample], tags: Directory) -> Table:
    """Each count, with how far it may be trusted."""
    columns = (
        Column("Day"),
        Column("Sheep"),
        Column("Eggs seen", "number"),
        Column("Factor", "number"),
        Column("Eggs per gram", "number"),
        Column("How sure", wide=True),
    )
    rows = [
        Row(
            (
                day(item.date) or "",
                tags.tag(item.sheep) if item.sheep else "pooled",
                "" if item.eggs is None else item.eggs,
                "" if item.factor is None else chamber_factor(item.factor),
                "no factor" if item.epg is None else f"{item.epg:.0f}",
                Words(certainty_words(item)),
            )
        )
        for item in reversed(samples)
    ]
    return Table(columns, tuple(rows), "No single count is written.", "counts")


def chamber_factor(factor: float) -> str:
    """33.3; 5,000."""
    return f"{factor:,.0f}" if factor >= THOUSAND else f"{factor:.3g}"


def certainty_words(item: Sample) -> str:
    """Where repeats lie by the published table (Brambell 1963), else within what the true count lies."""
    if item.spread:
        return f"repeats lie from {item.spread[0].low} to {item.spread[-1].high}"
    if item.true:
        return f"true count {item.true.low:.0f} to {item.true.high:.0f}"
    return "no range without a factor" if item.epg is not None and item.factor is None else ""


THOUSAND = 1000
PAGES = (PageMaker("egg counts", make),)
NAVIGATION = (Link("Egg counts", PATH, "", "Health"),)
