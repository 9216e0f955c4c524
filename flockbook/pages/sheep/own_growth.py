"""How a lamb grew against the lambs of its own year."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from compiler.pages import Html
from flockbook.derive.weights.gains import Weighed
from flockbook.flock import Animal
from flockbook.measures import measures_of
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.growth.growth_chart import drawn
from flockbook.pages.growth.weighed_crop import WeighedCrop, sessions_of, weighed_crops
from flockbook.pages.views import Chart, Directory
from flockbook.pages.wording import as_sentence, day_words, plural, weight_words
from flockbook.seen import Seen

LEAST_WEIGHTS = 2  # weights that make a line


def crops_by_lamb(seen: Seen, tags: Directory) -> dict[str, WeighedCrop]:
    """The crop of every weighed lamb."""
    crops = (
        WeighedCrop(seen, tags, season, lambs, sessions_of(seen, lambs))
        for season, lambs in weighed_crops(seen).items()
    )
    return {lamb: crop for crop in crops for lamb in crop.lambs}


def growth_beside_crop(crops: Mapping[str, WeighedCrop], animal: Animal) -> Chart | None:
    """The lamb's line in the band of its crop; None without two weights of its own or two weighings of the crop."""
    crop = crops.get(animal.id)
    if crop is None or len(drawn(crop)) < LEAST_WEIGHTS:
        return None
    last = drawn(crop)[-1].day
    own = [item for item in crop.seen.facts.weights.gains[animal.id].weights if item.sure and item.date <= last]
    if len(own) < LEAST_WEIGHTS:
        return None
    svg = Html(draw(beside_figure(crop, animal, own), "growth", Sheet(360, 262)))
    return Chart("growth-chart", f"Growth, in the lambs of {crop.season}", "The shade runs from the lightest to the "
                 "heaviest lamb of each weighing.", svg, None)  # fmt: skip


def beside_figure(crop: WeighedCrop, animal: Animal, own: list[Weighed]) -> dict[str, Any]:
    """The band of the crop, its mean, and the lamb's own weights, in the flock's unit."""
    measures, shown = measures_of(crop.units), drawn(crop)
    days = [item.day.isoformat() for item in shown]
    edge = {"type": "scatter", "mode": "lines", "x": days, "line": {"width": 0}, "showlegend": False,
            "meta": {"ink": 5}}  # fmt: skip
    low = [round(measures.in_weight(item.lowest or 0), 1) for item in shown]
    high = [round(measures.in_weight(item.highest or 0), 1) for item in shown]
    mean = [round(measures.in_weight(item.mean or 0), 1) for item in shown]
    weights = [round(measures.in_weight(item.kg), 1) for item in own]
    return {
        "data": [
            {**edge, "y": low},
            {**edge, "y": high, "fill": "tonexty"},
            {"type": "scatter", "mode": "lines", "name": "mean", "x": days, "y": mean, "line": {"dash": "dash"},
             "meta": {"ink": 2}},
            {"type": "scatter", "mode": "lines+markers", "name": animal.called, "meta": {"ink": 1},
             "x": [item.date.isoformat() for item in own], "y": weights},
        ],
        "layout": {
            "title": f"Weights of {animal.called_in_full} and of the lambs of {crop.season}",
            "meta": {"says": growth_words(crop, own)},
            "xaxis": {"type": "date"},
            "yaxis": {"type": "linear", "title": measures.weight_unit},
        },
    }  # fmt: skip


def growth_words(crop: WeighedCrop, own: list[Weighed]) -> str:
    """The lamb's last weight and the mean of its crop, for those who do not see the picture."""
    last, mean = own[-1], drawn(crop)[-1]
    told = f"{plural(len(own), 'weight')}, last {weight_words(last.kg, crop.units)} on {day_words(last.date)}"
    return as_sentence(f"{told}; its crop's mean was {weight_words(mean.mean, crop.units)} on {day_words(mean.day)}")
