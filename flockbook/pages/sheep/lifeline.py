"""The lifeline of one sheep: births, illness, treatments, weights and moves on one line of time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from compiler.pages import Html
from compiler.shape import Value
from flockbook.derive.land.whereabouts import Stint
from flockbook.flock import Animal, gone
from flockbook.measures import measures_of
from flockbook.pages.chart.axes import fitted
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.telling.by_sheep import BySheep
from flockbook.pages.views import Chart
from flockbook.pages.wording import as_sentence, day_words, partial_words, plural

LANE = 35.0  # the height of one sort of event, with its words above its marks
ROUND_IT = 46.0  # what the axis below and the edge above take
WORD_ROOM = 92.0  # the most paper that one word on the line takes
LAMBS_COUNTED = "The figure over a lambing counts the lambs born."
LEAST_MARKS = 2  # a life of fewer events is told by its words


class Lane(Value):
    """One sort of event on the line: its name, the mark, when each happened, and what is written above it."""

    name: str
    symbol: str
    days: tuple[date, ...]
    words: tuple[str, ...]
    ends: tuple[date | None, ...] = ()


def lifeline(known: BySheep, animal: Animal, stays: Sequence[Stint]) -> Chart | None:
    """The picture of a sheep's life; None where hardly anything is known of it."""
    lanes = [lane for lane in lanes_of(known, animal, stays) if lane.days]
    if sum(len(lane.days) for lane in lanes) < LEAST_MARKS:
        return None
    figure = life_figure(known, animal, lanes)
    svg = Html(draw(figure, "life", Sheet(360, ROUND_IT + LANE * (len(lanes) + 1))))
    note = LAMBS_COUNTED if lanes[0].name == "lambed" else ""
    return Chart("life-chart", "Life at a look", note, svg, None)


def lanes_of(known: BySheep, animal: Animal, stays: Sequence[Stint]) -> Iterator[Lane]:
    """Every sort of event, in the order in which it stands from above."""
    today = known.seen.today.day
    births = [(birth.event.date, str(birth.born or "?")) for birth in known.births.get(animal.id, ())]
    yield lane_of("lambed", "circle", births, today)
    cases = known.seen.facts.health.cases.by_sheep.get(animal.id, ())
    ends = tuple(case.end or today for case in cases)
    yield Lane("ill", "x", tuple(case.since for case in cases), tuple(case.problem for case in cases), ends)
    doses = [
        (when.date, entry.event.medicine or "")
        for entry in known.doses.get(animal.id, ())
        if not entry.struck_by
        for when in entry.doses
    ]
    yield lane_of("treated", "diamond", sorted(doses), today)
    yield from weighed_lanes(known, animal)
    yield lane_of("moved", "triangle-up", sorted((stay.entered, place_words(known, stay)) for stay in stays), today)


def lane_of(name: str, symbol: str, marks: Sequence[tuple[date | None, str]], today: date) -> Lane:
    """A lane of the events that have a day by now."""
    known = [(day, words) for day, words in marks if day and day <= today]
    return Lane(name, symbol, tuple(day for day, _ in known), tuple(words for _, words in known))


def weighed_lanes(known: BySheep, animal: Animal) -> Iterator[Lane]:
    """Weights in the flock's unit; those to confirm are hollow and not written out."""
    grown = known.seen.facts.weights.gains.get(animal.id)
    units, weights = measures_of(known.seen.settings.units), grown.weights if grown else ()
    words = tuple(units.short(item.kg) if item.sure else "to confirm" for item in weights)
    yield Lane("weighed", "square", tuple(item.date for item in weights), words)


def place_words(known: BySheep, stay: Stint) -> str:
    """The ground by name."""
    ground = known.seen.facts.land.grazing.ground.get(stay.place)
    return ground.name if ground else stay.place


def life_figure(known: BySheep, animal: Animal, lanes: Sequence[Lane]) -> dict[str, Any]:
    """The figure: one line of time, above it a lane for each sort of event."""
    first, last = span_of(known, animal, lanes)
    names, left = [lane.name for lane in lanes], gone(animal, known.seen.today)
    here = {
        "type": "scatter", "mode": "lines+markers+text", "name": "here", "showlegend": False,
        "x": [first.isoformat(), last.isoformat()], "y": ["here", "here"], "marker": {"symbol": "cross"},
        "text": ["born" if animal.born else "", left.how if left else ""], "meta": {"ink": 6, "sparse": True},
    }  # fmt: skip
    return {
        "data": [here, *(trace for lane in lanes for trace in lane_traces(lane))],
        "layout": {
            "title": f"The life of {animal.called_in_full}",
            "meta": {"says": life_words(known, animal, lanes)},
            "xaxis": {"type": "date", "range": [first.isoformat(), last.isoformat()]},
            "yaxis": {"type": "category", "categoryarray": ["here", *reversed(names)]},
        },
    }


def span_of(known: BySheep, animal: Animal, lanes: Sequence[Lane]) -> tuple[date, date]:
    """From its birth, its coming or the first that is known of it, to its leaving or today."""
    left = gone(animal, known.seen.today)
    last = left.date if left else known.seen.today.day
    days = [day for lane in lanes for day in lane.days]
    start = animal.born.latest if animal.born else animal.arrived
    return min([*days, start] if start else days), max([*days, last])


def lane_traces(lane: Lane) -> Iterator[dict[str, Any]]:
    """The marks of one lane with their words, before them the line of what lasted."""
    base = {"type": "scatter", "showlegend": False, "meta": {"ink": 1, "sparse": True}}
    if lane.ends:
        x = [day for since, end in zip(lane.days, lane.ends, strict=True) for day in (since, end or since, None)]
        y = [None if day is None else lane.name for day in x]
        yield {**base, "mode": "lines", "x": [(day or lane.days[0]).isoformat() for day in x], "y": y}
    yield {
        **base, "mode": "markers+text", "name": lane.name, "x": [day.isoformat() for day in lane.days],
        "y": [lane.name] * len(lane.days), "text": [fitted(words, WORD_ROOM) for words in lane.words],
        "marker": {"symbol": lane.symbol},
    }  # fmt: skip


def life_words(known: BySheep, animal: Animal, lanes: Sequence[Lane]) -> str:
    """What the picture shows, for those who do not see it."""
    born = f"born {partial_words(animal.born)}" if animal.born else "birth not written"
    left = gone(animal, known.seen.today)
    end = f"{left.how} {day_words(left.date)}" if left else f"here on {day_words(known.seen.today.day)}"
    return as_sentence("; ".join([born, *(told_lane(lane) for lane in lanes), end]))


def told_lane(lane: Lane) -> str:
    """A lane in words: how often, and the last time."""
    return f"{lane.name} {plural(len(lane.days), 'time')}, last {day_words(lane.days[-1])} ({lane.words[-1]})"
