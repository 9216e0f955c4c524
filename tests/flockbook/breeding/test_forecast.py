"""The flock's forecast through typed notes, and its page: totals, the ewes that leave it, weeks, the chart's figure."""

from __future__ import annotations

from datetime import date

import plotly.graph_objects as plotly
import pytest

from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.handover.facts import facts_object
from flockbook.pages.breeding import forecast as page
from tests.flockbook.small import Notes, Seen, read

EWES = tuple(f"E{number:02}" for number in range(1, 21))
FLOCK = {
    **{f"sheep/{ewe}.md": "---\nnote: ewe\nborn: 2021\n---\n" for ewe in EWES},
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
    "2025-10-15 joining Sexton.md": f"---\newes: {', '.join(EWES)}\nout: 2025-11-19\n---\n",
}


def seen(more: Notes, on: str) -> Seen:
    """The flock of twenty ewes, joined from 15 October to 19 November, with more notes."""
    return read({**FLOCK, **more}, on)


def facts(more: Notes, on: str) -> BreedingFacts:
    """What is worked out about its breeding."""
    return seen(more, on).facts.breeding


def lambings(count: int) -> dict[str, str]:
    """The first ewes lamb on 10 March and the days after."""
    return {f"2026-03-{10 + place} lambing {EWES[place]}.md": "- ewe 4.0\n" for place in range(count)}


def test_the_total_is_the_ewes_less_their_chances_of_being_barren() -> None:
    """The model's figures: one in twenty-five is never on heat, three in four hold at a heat; so of twenty 18.0 hold in
    two heats, a few more in a third. The days of the usual window hold all but one in a thousand of them.
    """
    found = facts({}, "2026-01-01")
    assert found.forecast.total == pytest.approx(sum(1 - row.due.barren_chance for row in found.due.rows))
    assert 20 * 0.96 * (1 - 0.25**2) < found.forecast.total < 20 * 0.96 * (1 - 0.25**3)
    assert sum(item.expected for item in found.forecast.days) == pytest.approx(found.forecast.total, rel=1e-3)


def test_a_ewe_that_lambs_moves_from_expected_to_lambed() -> None:
    """Five have lambed by the 16th: fifteen rows are left, each a little surer, and five stand as lambed."""
    found = facts(lambings(5), "2026-03-16")
    assert (len(found.due.rows), len(found.due.lambed)) == (15, 5)
    assert found.forecast.total == pytest.approx(sum(1 - row.due.barren_chance for row in found.due.rows))
    assert found.forecast.total < 15


def test_empty_ewes_are_not_expected_and_the_others_are() -> None:
    """A scan of all twenty, three of them empty: exactly seventeen."""
    lines = "".join(f"- {ewe} {'empty' if ewe in EWES[:3] else 'twins'}\n" for ewe in EWES)
    found = facts({"2026-01-10 scan.md": lines}, "2026-01-11")
    assert found.forecast.total == pytest.approx(17)
    assert len(found.due.not_expected) == 3


def test_overdue_ewes_stay_on_the_list_and_leave_the_forecast() -> None:
    """The day after the window (20 April) twenty are overdue; what is left of them (pregnancies of 153 to 159 days)
    comes to less than a fiftieth of a ewe.
    """
    found = facts({}, "2026-04-21")
    assert len([row for row in found.due.rows if row.odds.overdue]) == 20
    assert found.forecast.total < 0.02
    assert found.forecast.busiest is None
    assert page.lead(seen({}, "2026-04-21")) == "Nobody is expected any more; 20 ewes are past their last day."


def test_the_band_holds_the_count_of_each_day() -> None:
    """Low to high, with the mean of every day within a ewe of it; no day is below nought."""
    days = facts({}, "2026-01-01").forecast.days
    assert all(0 <= day.low <= day.high <= 20 for day in days)
    assert all(day.low - 1 < day.expected < day.high + 1 for day in days)
    assert days[0].day == date(2026, 3, 6)


def test_weeks_add_up_to_the_days() -> None:
    """Every week is the sum of its days, and by the last all have lambed that will."""
    found = facts({}, "2026-01-01").forecast
    for week in found.weeks:
        assert week.expected == pytest.approx(sum(day.expected for day in found.days if day.day in week.span))
    assert found.weeks[-1].share_by_end == pytest.approx(1, abs=1e-3)


def test_the_facts_file_gives_every_day() -> None:
    """Date, ewes expected, low, high; nothing where nobody is due."""
    rows = facts_object(seen({}, "2026-01-01"))["forecast"]
    assert set(rows[0]) == {"date", "expected_ewes", "low", "high"}
    assert (rows[0]["date"], rows[-1]["date"]) == ("2026-03-06", "2026-04-20")
    assert facts_object(seen({}, "2026-07-01"))["forecast"] == []


def test_the_chart_is_valid_by_plotlys_own_rules_and_its_table_says_the_same() -> None:
    """The figure as plotly reads it; lambed by day as in the notes; a day's expectation as in the facts."""
    found = seen(lambings(5), "2026-03-16")
    days = page.drawn_days(found)
    figure = page.forecast_figure(found, days, page.lambed_by_day(found))
    plotly.Figure(figure)
    lambed = next(trace for trace in figure["data"] if trace["name"] == "lambed")  # type: ignore[attr-defined]
    assert dict(zip(lambed["x"], lambed["y"], strict=True)) == {f"2026-03-{day}": 1 for day in range(10, 15)}
    table = page.day_table(days, page.lambed_by_day(found))
    assert sum(int(row.cells[1]) for row in table.rows if row.cells[1] != "") == 5  # type: ignore[arg-type]
    assert sum(float(str(row.cells[2])) for row in table.rows if row.cells[2] != "") == pytest.approx(
        found.facts.breeding.forecast.total, abs=0.2
    )


def test_the_page_by_week_counts_those_that_have_lambed() -> None:
    """Before lambing nothing is lambed; afterwards the weeks gone by are still there and the shares rise to all."""
    before = page.weeks(seen({}, "2026-01-01"))
    assert {row.cells[1] for row in before.rows} == {""}
    after = page.weeks(seen(lambings(5), "2026-03-25"))
    assert sum(row.cells[1] for row in after.rows if isinstance(row.cells[1], int)) == 5
    shares = [int(str(row.cells[3]).split()[0]) for row in after.rows if row.cells[3]]
    assert shares == sorted(shares)
    assert shares[-1] == 100
    assert [row.cells[3] for row in after.rows[:2]] == ["18 in 100", "30 in 100"]  # 3 and 5 of 5 and about 12 more


@pytest.mark.parametrize(
    ("on", "words"),
    [
        ("2026-01-01", "About 18 still to lamb"),
        ("2026-07-01", "No ewe is in lamb as far as the notes tell."),
    ],
)
def test_the_lead_says_how_many(on: str, words: str) -> None:
    """In words, the busiest day with its range."""
    assert words in page.lead(seen({}, on))


def test_a_flock_without_joinings_has_no_chart() -> None:
    """No fault, and a sentence in its place."""
    assert page.births_chart(read({"sheep/E1.md": "---\nnote: ewe\n---\n"}, "2026-01-01"), []) is None
