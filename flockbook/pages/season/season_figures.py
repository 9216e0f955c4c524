"""Charts of the seasons: how lambing was spread, where lambs were lost, how many lived. Each with its table
beside it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from compiler.pages import Html
from flockbook.derive.lambing.losses import STAGES
from flockbook.derive.plain.survival import alive_after, limits
from flockbook.derive.season.seasons import Season
from flockbook.measures import in_hundred
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.views import Cell, Chart, Column, Row, Table
from flockbook.pages.wording import hundred_words, plural
from flockbook.saying.season import season_words

NONE_LOST = "No lamb is written as lost."
SPREAD_PLOT = 104.0  # the height of one season's spread
DOTS_IN_LINE, DOT_LINE = 20, 17.0  # lambs in a line of dots, and its height
LIVED = (2, 14, 100)  # days of age at which the living are counted: the ends of the stages of loss
STAGE_WORDS = {
    "scan to birth": "scan to birth",
    "born dead": "born dead",
    "birth to 48 h": "to 48 hours",
    "48 h to 14 d": "to 14 days",
    "14 d to weaning": "to weaning",
}


def charts(seasons: tuple[Season, ...]) -> tuple[Chart, ...]:
    """The charts that these seasons have figures for."""
    found = []
    if any(item.spread for item in seasons):
        found.append(spread_chart(seasons))
    if any(sum(item.counts.dead_by_stage.values()) for item in seasons):
        found.append(losses_chart(seasons))
    return tuple(found)


def spread_figure(seasons: tuple[Season, ...]) -> dict[str, Any]:
    """Ewes lambed by days since the first: a plot a season, the latest on top, all on the same axes."""
    shown = [season for season in reversed(seasons) if season.spread]
    last = max(season.spread.curve[-1][0] for season in shown if season.spread)
    most = max(season.spread.curve[-1][1] for season in shown if season.spread)
    return {
        "data": [spread_line(season, place) for place, season in enumerate(shown, 1)],
        "layout": {
            "title": "Ewes lambed, by days since the first",
            "meta": {"says": "; ".join(spread_words(season) for season in reversed(shown))},
            "xaxis": {"title": "days since the first lambing", "range": [0, max(last, 1)]},
            **stacked_axes([f"{season_words(season.name)}: ewes lambed" for season in shown], {"range": [0, most]}),
        },
    }


def spread_line(season: Season, place: int) -> dict[str, Any]:
    """The running count of one season, as steps down to nothing."""
    assert season.spread is not None
    x, y = ([point[side] for point in season.spread.curve] for side in (0, 1))
    return {
        "type": "scatter", "mode": "lines", "name": season_words(season.name), "x": [0, *x], "y": [0, *y],
        "fill": "tozeroy",
        "line": {"shape": "hv"}, "meta": {"ink": 1 if place == 1 else 2}, "yaxis": axis_name(place),
    }  # fmt: skip


def axis_name(place: int) -> str:
    """y, y2, y3: the y axis of the plot in that place from above."""
    return f"y{place if place > 1 else ''}"


def stacked_axes(titles: Sequence[str], axis: dict[str, Any]) -> dict[str, Any]:
    """A y axis for each plot of small multiples, all alike, from above."""
    share = 1 / len(titles)
    return {
        f"yaxis{place if place > 1 else ''}": {
            **axis,
            "title": title,
            "domain": [1 - place * share, 1 - (place - 1) * share],
        }
        for place, title in enumerate(titles, 1)
    }


def spread_words(season: Season) -> str:
    """A season's spread in words."""
    assert season.spread is not None
    return f"{season_words(season.name)}: {season.spread.curve[-1][1]} ewes in {season.spread.days} days"


def spread_chart(seasons: tuple[Season, ...]) -> Chart:
    """The spread curve, with the running counts of every tenth part of it as a table."""
    days = sorted({day for season in seasons if season.spread for day, _ in season.spread.curve})
    shown = [season for season in seasons if season.spread]
    named = (Column(season_words(season.name), "number") for season in shown)
    columns = (Column("Days since the first", "number"), *named)
    rows = [Row((day, *(lambed_by(season, day) for season in shown))) for day in days]
    svg = Html(draw(spread_figure(seasons), "spread", Sheet(360, 40 + SPREAD_PLOT * len(shown))))
    note = "; ".join(spread_words(season) for season in shown)
    return Chart("spread-chart", "Ewes lambed, by days since the first", note, svg, Table(columns, tuple(rows), ""))


def lambed_by(season: Season, day: int) -> int:
    """Ewes that had lambed by so many days after the first."""
    assert season.spread is not None
    return max((ewes for offset, ewes in season.spread.curve if offset <= day), default=0)


def losses_figure(seasons: tuple[Season, ...]) -> dict[str, Any]:
    """Every lamb that was lost is one dot in the row of its stage: a plot a season, the latest on top."""
    shown = tuple(reversed(seasons))
    lines = {stage: max(dot_lines(season, stage) for season in shown) for stage in STAGES}
    first = {stage: sum(lines[other] for other in STAGES[:place]) for place, stage in enumerate(STAGES)}
    lost = {season.name: sum(season.counts.dead_by_stage.values()) for season in seasons}
    said = "; ".join(f"{season_words(name)}: {count} lost" for name, count in lost.items())
    axis = {
        "tickvals": list(first.values()), "ticktext": [STAGE_WORDS[stage] for stage in STAGES],
        "range": [sum(lines.values()) - 0.5, -0.5],
    }  # fmt: skip
    titles = [f"{season_words(season.name)}: {plural(lost[season.name], 'lamb')}" for season in shown]
    return {
        "data": [loss_dots(season, place, first) for place, season in enumerate(shown, 1)],
        "layout": {
            "title": "Lambs lost, by stage",
            "meta": {"says": said},
            "xaxis": {"title": "lambs", "range": [0, DOTS_IN_LINE + 0.5]},
            **stacked_axes(titles, axis),
        },
    }


def dot_lines(season: Season, stage: str) -> int:
    """How many lines of dots a stage takes, one where it lost nobody."""
    return max(1, -(-season.counts.dead_by_stage[stage] // DOTS_IN_LINE))


def loss_dots(season: Season, place: int, first: dict[str, int]) -> dict[str, Any]:
    """A dot for each lamb lost in a season; a full line of dots goes on below."""
    spots = [
        (number % DOTS_IN_LINE + 1, first[stage] + number // DOTS_IN_LINE)
        for stage in STAGES
        for number in range(season.counts.dead_by_stage[stage])
    ]
    return {
        "type": "scatter", "mode": "markers", "name": season_words(season.name), "x": [x for x, _ in spots],
        "y": [y for _, y in spots], "marker": {"symbol": "circle"}, "showlegend": False, "yaxis": axis_name(place),
        "meta": {"ink": 1 if place == 1 else 2},
    }  # fmt: skip


def losses_chart(seasons: tuple[Season, ...]) -> Chart:
    """Losses by stage with their table."""
    lines = sum(max(dot_lines(season, stage) for season in seasons) for stage in STAGES)
    height = 20.0 + len(seasons) * (48.0 + DOT_LINE * lines)
    svg = Html(draw(losses_figure(seasons), "losses", Sheet(360, height)))
    note = "Each dot is one lamb: seen at scanning and never born, born dead, or lost before weaning."
    return Chart("losses-chart", "Lambs lost, by stage", note, svg, stage_table(seasons))


def stage_table(seasons: tuple[Season, ...]) -> Table:
    """Lambs lost at each stage of each season."""
    columns = (Column("Stage"), *(Column(season_words(season.name), "number") for season in seasons))
    rows = [Row((stage, *(season.counts.dead_by_stage[stage] for season in seasons))) for stage in STAGES]
    totals: tuple[Cell, ...] = ("All", *(sum(season.counts.dead_by_stage.values()) for season in seasons))
    return Table(columns, tuple(rows), NONE_LOST, foot=totals)


def cause_table(seasons: tuple[Season, ...]) -> Table:
    """Lambs lost, before birth too, by the cause that the notes give: as many as by stage."""
    counted = {
        season.name: Counter(season.counts.unborn) + Counter(one.cause for one in season.lost) for season in seasons
    }
    totals: dict[str, int] = {}
    for causes in counted.values():
        for cause, count in causes.items():
            totals[cause] = totals.get(cause, 0) + count
    columns = (Column("Cause"), *(Column(season_words(season.name), "number") for season in seasons))
    order = sorted(totals, key=lambda cause: (-totals[cause], cause))
    rows = [Row((cause, *(counted[season.name].get(cause, 0) for season in seasons))) for cause in order]
    return Table(columns, tuple(rows), NONE_LOST, "causes")


def survival_table(seasons: tuple[Season, ...]) -> Table:
    """Of a hundred lambs born alive, how many lived to two days, two weeks and 100 days (Kaplan-Meier), with limits."""
    columns = (Column("Season"), Column("Born alive", "number"), *(Column(f"Lived {days} days") for days in LIVED))
    rows = [
        Row((season_words(season.name), season.watched.lambs, *(lived(season, days) for days in LIVED)))
        for season in seasons
        if season.watched.lambs
    ]
    return Table(columns, tuple(rows), "No lamb has been born alive yet.", "lived")


def lived(season: Season, days: int) -> str:
    """The share that lived so many whole days, in a hundred, with its limits where a lamb had died by then."""
    reached = [step for step in season.survival if step.day < days]
    if not reached:
        return "none lost"
    share, found = alive_after(season.survival, days - 1), limits(reached[-1])
    died = sum(step.died for step in reached)
    range_ = f" ({hundred_words(*found)})" if found else ""
    return f"{died} lost: {in_hundred(share)} in a hundred lived{range_}"
