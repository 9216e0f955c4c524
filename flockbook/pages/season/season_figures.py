"""Charts of the seasons: how lambing was spread, where lambs were lost, how many lived. Each with its table
beside it.
"""

from __future__ import annotations

from itertools import cycle
from typing import Any

from compiler.pages import Html
from flockbook.derive.lambing.losses import STAGES, by_cause
from flockbook.derive.plain.survival import alive_after, limits
from flockbook.derive.season.seasons import Season
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.views import Cell, Chart, Column, Row, Table
from flockbook.pages.wording import hundred_words, plural

NONE_LOST = "No lamb is written as lost."
SEASON_DASHES = ("solid", "dash", "dot", "dashdot")
SEASON_INKS = (1, 2, 5, 3, 4, 6)
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
    """Ewes lambed by days since the first, a stepped line a season; the latest is drawn solid."""
    lines = []
    for season, dash, ink in zip(reversed(seasons), cycle(SEASON_DASHES), cycle(SEASON_INKS), strict=False):
        if season.spread:
            lines.append(
                {
                    "type": "scatter",
                    "mode": "lines",
                    "name": str(season.season),
                    "x": [day for day, _ in season.spread.curve],
                    "y": [ewes for _, ewes in season.spread.curve],
                    "line": {"dash": dash, "shape": "hv"},
                    "meta": {"ink": ink},
                }
            )
    return {
        "data": lines,
        "layout": {
            "title": "Ewes lambed, by days since the first",
            "meta": {"says": "; ".join(spread_words(season) for season in seasons if season.spread)},
            "xaxis": {"title": "days since the first lambing"},
            "yaxis": {"title": "ewes lambed"},
        },
    }


def spread_words(season: Season) -> str:
    """A season's spread in words."""
    assert season.spread is not None
    return f"{season.season}: {season.spread.curve[-1][1]} ewes in {season.spread.days} days"


def spread_chart(seasons: tuple[Season, ...]) -> Chart:
    """The spread curve, with the running counts of every tenth part of it as a table."""
    days = sorted({day for season in seasons if season.spread for day, _ in season.spread.curve})
    shown = [season for season in seasons if season.spread]
    columns = (Column("Days since the first", "number"), *(Column(str(season.season), "number") for season in shown))
    rows = [Row((day, *(lambed_by(season, day) for season in shown))) for day in days]
    svg = Html(draw(spread_figure(seasons), "spread"))
    note = "; ".join(spread_words(season) for season in shown)
    return Chart("spread-chart", "Ewes lambed, by days since the first", note, svg, Table(columns, tuple(rows), ""))


def lambed_by(season: Season, day: int) -> int:
    """Ewes that had lambed by so many days after the first."""
    assert season.spread is not None
    return max((ewes for offset, ewes in season.spread.curve if offset <= day), default=0)


def losses_figure(seasons: tuple[Season, ...]) -> dict[str, Any]:
    """Lambs lost at each stage, a bar a season."""
    bars = [
        {
            "type": "bar",
            "orientation": "h",
            "name": str(season.season),
            "y": [STAGE_WORDS[stage] for stage in STAGES],
            "x": [season.counts.dead_by_stage[stage] for stage in STAGES],
            "text": [str(season.counts.dead_by_stage[stage] or "") for stage in STAGES],
        }
        for season in seasons
    ]
    said = "; ".join(f"{season.season}: {sum(season.counts.dead_by_stage.values())} lost" for season in seasons)
    return {
        "data": bars,
        "layout": {
            "title": "Lambs lost, by stage",
            "meta": {"says": said},
            "barmode": "group",
            "yaxis": {"autorange": "reversed"},
            "xaxis": {"title": "lambs"},
        },
    }


def losses_chart(seasons: tuple[Season, ...]) -> Chart:
    """Losses by stage with their table."""
    height = 70.0 + len(STAGES) * (14.0 + 14.0 * len(seasons))
    svg = Html(draw(losses_figure(seasons), "losses", Sheet(360, height)))
    note = "Lambs seen at scanning and never born, born dead, and lost before weaning."
    return Chart("losses-chart", "Lambs lost, by stage", note, svg, stage_table(seasons))


def stage_table(seasons: tuple[Season, ...]) -> Table:
    """Lambs lost at each stage of each season."""
    columns = (Column("Stage"), *(Column(str(season.season), "number") for season in seasons))
    rows = [Row((stage, *(season.counts.dead_by_stage[stage] for season in seasons))) for stage in STAGES]
    totals: tuple[Cell, ...] = ("All", *(sum(season.counts.dead_by_stage.values()) for season in seasons))
    return Table(columns, tuple(rows), NONE_LOST, foot=totals)


def cause_table(seasons: tuple[Season, ...]) -> Table:
    """Lambs born dead or lost, by the cause that the death notes give."""
    counted = {
        season.season: {cause: sum(stages.values()) for cause, stages in by_cause(season.lost)} for season in seasons
    }
    totals: dict[str, int] = {}
    for causes in counted.values():
        for cause, count in causes.items():
            totals[cause] = totals.get(cause, 0) + count
    columns = (Column("Cause"), *(Column(str(season.season), "number") for season in seasons))
    order = sorted(totals, key=lambda cause: (-totals[cause], cause))
    rows = [Row((cause, *(counted[season.season].get(cause, 0) for season in seasons))) for cause in order]
    unborn = sum(season.counts.dead_by_stage[STAGES[0]] for season in seasons)
    empty = f"{plural(unborn, 'lamb')} lost before birth; no cause is written." if unborn else NONE_LOST
    return Table(columns, tuple(rows), empty, "causes")


def survival_table(seasons: tuple[Season, ...]) -> Table:
    """Of a hundred lambs born alive, how many lived to two days, two weeks and 100 days (Kaplan-Meier), with limits."""
    columns = (Column("Season"), Column("Born alive", "number"), *(Column(f"Lived {days} days") for days in LIVED))
    rows = [
        Row((str(season.season), season.watched.lambs, *(lived(season, days) for days in LIVED)))
        for season in seasons
        if season.watched.lambs
    ]
    return Table(columns, tuple(rows), "No lamb has been born alive yet.", "lived")


def lived(season: Season, days: int) -> str:
    """The share that lived so long, in a hundred, with its limits where a lamb had died by then."""
    reached = [step for step in season.survival if step.day <= days]
    if not reached:
        return "none lost"
    share, found = alive_after(season.survival, days) * 100, limits(reached[-1])
    died = sum(step.died for step in reached)
    range_ = f" ({hundred_words(*found)})" if found else ""
    return f"{died} lost: {share:.0f} in a hundred lived{range_}"
