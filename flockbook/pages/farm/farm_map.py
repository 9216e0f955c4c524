"""The farm drawn: every paddock as large as its area, with the sheep that stand in it, and rest as shade."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from compiler.nearness import plain
from compiler.pages import Html
from flockbook.derive.land.grazing import Ground
from flockbook.measures import measures_of
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.views import Chart, Column, Directory, Row, Table
from flockbook.pages.wording import NONE, and_listed, plural
from flockbook.seen import Seen

PAPER = Sheet(360, 440)
HILL, MANY = (
    2 / 3,
    4,
)  # more than this part of a farm of so many paddocks is drawn smaller, and says so (our own choice)
WELL_RESTED = 60  # nights of rest that make the deepest shade where a paddock's note asks for none (our own choice)


def farm_map(seen: Seen, tags: Directory) -> Chart | None:
    """The picture of the farm; None where no paddock's area is written."""
    known = [ground for ground in seen.facts.land.grazing.ground.values() if ground.area]
    if not known:
        return None
    note = (
        "Each box is as large as its paddock; where it lies on the farm no note says. A bare box has sheep on it; "
        "the deeper the shade, the longer it has rested."
    )
    svg = Html(draw(farm_figure(seen, known, tags), "farm", PAPER))
    return Chart(
        "farm-chart", "The farm, to scale of area", f"{note}{undrawn_words(seen)}", svg, who_stands(seen, tags)
    )


def undrawn_words(seen: Seen) -> str:
    """The ground that has sheep and no area."""
    found = [ground for ground in seen.facts.land.grazing.ground.values() if not ground.area and ground.head]
    named = and_listed([f"{ground.name} ({plural(ground.head, 'sheep', 'sheep')})" for ground in found])
    return f" Not drawn, because its area is not written: {named}." if found else ""


def farm_figure(seen: Seen, known: Sequence[Ground], tags: Directory) -> dict[str, Any]:
    """The figure: areas in the flock's unit, what stands or rests there, how long it has rested as a part of one."""
    measures = measures_of(seen.settings.units)
    said = "; ".join(f"{ground.name}, {measures.area(ground.area or 0)}: {ground_words(ground)}" for ground in known)
    return {
        "data": [
            {
                "type": "treemap",
                "labels": [ground.name for ground in known],
                "parents": [""] * len(known),
                "values": [area / measures.per_area(1.0) for area in drawn_areas(known)],
                "text": [ways_to_say(ground, seen, tags, max(drawn_areas(known))) for ground in known],
                "marker": {"colors": [shade(ground) for ground in known]},
            }
        ],
        "layout": {"title": "The farm, to scale of area", "meta": {"says": said}},
    }


def drawn_areas(known: Sequence[Ground]) -> list[float]:
    """The areas as they are drawn: an open hill that would leave no room is drawn as large as all the rest."""
    areas = [ground.area or 0 for ground in known]
    rest = sum(areas) - max(areas)
    return [min(area, rest) if area > HILL * sum(areas) and len(areas) >= MANY else area for area in areas]


def shade(ground: Ground) -> float | None:
    """How much of its rest it has had; None with sheep on it."""
    return None if ground.head else min((ground.rested or 0) / (ground.rest_days or WELL_RESTED), 1.0)


def ground_words(ground: Ground) -> str:
    """How many sheep, or how long it has rested."""
    if ground.head:
        return plural(ground.head, "sheep", "sheep")
    if ground.rested is None:
        return "not grazed in these notes"
    return f"rested {plural(ground.rested, 'night')}{f' of {ground.rest_days}' if ground.rest_days else ''}"


def ways_to_say(ground: Ground, seen: Seen, tags: Directory, largest: float) -> tuple[tuple[str, ...], ...]:
    """What its box says, the fullest first: with every tag, with the mobs, with the count alone; `largest` is the area
    beyond which a box is drawn smaller than it is.
    """
    smaller = ", drawn smaller" if (ground.area or 0) > largest else ""
    area, words = measures_of(seen.settings.units).area(ground.area or 0), ground_words(ground)
    whole = f"{area}{smaller}: {words}"
    tagged = " ".join(tag.tag for tag in map(tags.tag, standing_on(ground, seen)) if tag.tag)
    bare = ground.head - len(tagged.split())
    rest = f"and {bare} without a tag" if bare and tagged else ""
    mobs = tuple(f"{mob} {head}" for mob, head in ground.standing)
    ways = ((whole, *filter(None, (tagged, rest))), (whole, *mobs), (whole,), (words,))
    return (*ways, (str(ground.head),)) if ground.head else ways


def standing_on(ground: Ground, seen: Seen) -> list[str]:
    """The sheep that stand there, in order of their tags."""
    places = seen.facts.land.grazing.places
    return sorted(sheep for sheep, at in places.items() if at.place == plain(ground.name))


def who_stands(seen: Seen, tags: Directory) -> Table:
    """Every ground with sheep on it, and who they are."""
    columns = (Column("Paddock"), Column("Area", "number"), Column("Sheep", wide=True))
    measures = measures_of(seen.settings.units)
    rows = [
        Row((ground.name, measures.area(ground.area) if ground.area else NONE, tags.tags(standing_on(ground, seen))))
        for ground in seen.facts.land.grazing.ground.values()
        if ground.head
    ]
    return Table(columns, tuple(rows), "No note says where anybody stands.")
