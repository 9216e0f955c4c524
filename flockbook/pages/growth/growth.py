"""How a crop grows: each weighing read back, every lamb's weight on one footing, who is behind, who is ready when."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from statistics import fmean
from typing import Any

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page
from compiler.shape import Value
from flockbook.derive.growth.adjusted_weights import Adjusted, Class
from flockbook.derive.growth.projection import Projection, project
from flockbook.derive.weights.sessions import Session
from flockbook.flock import there
from flockbook.pages.chart.drawing import Sheet, draw
from flockbook.pages.long_tables import Seat, spread
from flockbook.pages.seen import Seen
from flockbook.pages.views import Chart, Column, Day, Directory, PageLink, Row, Table, Words, day, directory
from flockbook.pages.wording import KG_PER_LB, day_words, days_words, gain_words, plural, weight_words
from flockbook.settings import Settings

PATH = "growth.html"
# Under 200 g a day after eight weeks, for a lamb still sucking, is the published trigger to wean (EBLEX Sheep BRP
# Manual 5, 2014).
SLOW_KG, SLOW_FROM = 0.2, 56
BEHIND = 90.0  # a ratio below this is named (our own choice)
SHARE = 2 / 3  # and a gain below this share of its weighing's mean gain (our own choice)
LINES = 4  # lambs drawn beside their group
TARGET = re.compile(r"^(?:sale|weaning) weight:?\s+(\d+(?:[.,]\d+)?)\s*(kg|lb)?$", re.I)
FOOTING_PATH, EWES_PATH, SALES_PATH = "growth-footing.html", "growth-ewes.html", "growth-sales.html"
MORE = (
    PageLink("What dam, sex and litter are worth", FOOTING_PATH),
    PageLink("Weaned for her weight", EWES_PATH),
    PageLink("Weight and price", SALES_PATH),
)
RULE = (
    "Weights are brought to 60, 90 or 120 days, by the mean age of the group at weaning, then to that of a single ewe "
    "lamb of a ewe of three to six years. A group is the lambs of one season, mob and sex; its mean is 100. Small "
    "differences say nothing: factors differ from flock to flock and year to year, so the ratio by the flock's own "
    "differences stands beside it where enough lambs are written. The day on which a target is "
    "reached goes on in a straight line from the last two weighings at least 14 days apart; its range is what ± 0.2 "
    "kg of the scale leaves open at each of them, and knows nothing of grass, worms or weather."
)
BEHIND_RULE = (
    "Named are lambs still here whose weight on one footing is under 90 where their group's mean is 100; whose last "
    "gain was under two thirds of the mean of that weighing (both our own choice); or who gained under 200 g a day "
    "after eight weeks while still sucking, the published line to wean at (EBLEX Sheep BRP Manual 5, 2014)."
)


class GrowthView(Value):
    """One crop's weighings, groups and lambs."""

    lead: str
    behind: Table
    behind_rule: str
    charts: tuple[Chart, ...]
    sessions: Table
    groups: Table
    lambs: Table
    rule: str
    source: str
    others: tuple[PageLink, ...]


class Crop(Value):
    """What a page is made from: a season, its weighed lambs, and their sessions in order of time."""

    seen: Seen
    tags: Directory
    season: int
    lambs: frozenset[str]
    sessions: tuple[Session, ...]

    @property
    def units(self) -> str:
        """The flock's unit of weight."""
        return self.seen.settings.units


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """One page a crop that was weighed, the newest under the plain name; one page saying so where none was."""
    del stamp
    crops = weighed_crops(seen)
    names = {season: PATH if place == 0 else f"growth-{season}.html" for place, season in enumerate(crops)}
    tags = directory(seen.linked, seen.today)
    if not crops:
        yield from crop_pages(Crop(seen, tags, seen.today.day.year, frozenset(), ()), PATH, ())
    for season, lambs in crops.items():
        others = tuple(PageLink(str(other), name, other == season) for other, name in names.items())
        yield from crop_pages(Crop(seen, tags, season, lambs, sessions_of(seen, lambs)), names[season], others)


def weighed_crops(seen: Seen) -> dict[int, frozenset[str]]:
    """Weighed lambs by the season they were born in, newest season first."""
    found: dict[int, set[str]] = {}
    for season in seen.facts.seasons:
        for birth in season.births:
            for lamb in birth.lambs:
                if lamb.id in seen.facts.growth:
                    found.setdefault(season.season, set()).add(lamb.id)
    return {season: frozenset(found[season]) for season in sorted(found, reverse=True)}


def sessions_of(seen: Seen, lambs: frozenset[str]) -> tuple[Session, ...]:
    """The sessions in which most sheep were of this crop."""
    return tuple(
        item for item in seen.facts.sessions if 2 * sum(one.sheep in lambs for one in item.weights) > item.count
    )


def crop_pages(crop: Crop, path: str, others: tuple[PageLink, ...]) -> Iterator[Page]:
    """The page of one crop, and those where its long tables go on."""
    seat = Seat(path, f"Growth of the crop of {crop.season}", "Growth")
    late = behind(crop)
    laggards, more = spread(behind_table(crop, late), seat)
    lambs, rest = spread(lamb_table(crop), seat)
    charts = (group_chart(crop, tuple(late)),) if len(drawn(crop)) > 1 else ()
    view = GrowthView(
        lead(crop), laggards, BEHIND_RULE, charts, session_table(crop), group_table(crop), lambs, RULE,
        source_words(crop.seen.settings), (*(others if len(others) > 1 else ()), *MORE),
    )  # fmt: skip
    yield Page(path, "growth.html", seat.title, view, seat.section)
    yield from (*more, *rest)


def source_words(settings: Settings) -> str:
    """Whose factors they are; that a table of the flock's own could not be used."""
    table, typed = settings.factors, settings.file.adjustment_factors
    own = "your own" if not table.generic else "generic"
    lost = f" Your own table `{typed}` could not be used; see the problems." if typed and table.generic else ""
    cells = f" {plural(len(table.unsure), 'factor')} of {len(table.values)} are from memory." if table.unsure else ""
    return f"Factors ({own}): {table.source}.{cells}{lost}"


def lead(crop: Crop) -> str:
    """How many lambs, how many weighings, the last of them."""
    if not crop.sessions:
        return "" if crop.lambs else "No lamb has been weighed since its birth."
    last = crop.sessions[-1]
    return (
        f"{plural(len(crop.lambs), 'lamb')} weighed in {plural(len(crop.sessions), 'weighing')}, last on "
        f"{day_words(last.day)}: {last.count} of them, {weight_words(last.mean, crop.units)} on average."
    )


def behind(crop: Crop) -> dict[str, str]:
    """Who is behind and why, among the lambs still here, the lightest for its group first."""
    facts, found = crop.seen.facts, {}
    here = [lamb for lamb in crop.lambs if there(crop.seen.linked.animals[lamb], crop.seen.today)]
    for lamb in sorted(here, key=lambda one: (ratio_of(facts.adjusted.get(one)) or 100.0, one)):
        if why := "; ".join(shortcomings(crop, lamb)):
            found[lamb] = why
    return found


def shortcomings(crop: Crop, lamb: str) -> Iterator[str]:
    """What a lamb falls short in."""
    row, weights = crop.seen.facts.adjusted.get(lamb), crop.seen.facts.growth[lamb].weights
    ratio, born = ratio_of(row), crop.seen.linked.animals[lamb].birthday
    if row and ratio is not None and ratio < BEHIND:
        yield f"{ratio:.0f} where its group of {row.group_size} is 100"
    last = next((item for item in reversed(weights) if item.gain is not None), None)
    if last is None or last.gain is None or born is None:
        return
    told = f"{gain_words(last.gain, crop.units)} up to {day_words(last.date)}"
    mean = next((item.gain for item in crop.sessions if item.note == last.note), None)
    if mean is not None and last.gain < SHARE * mean:
        yield f"{told}, when the others gained {gain_words(mean, crop.units)} on average"
    elif (last.date - born).days > SLOW_FROM and last.gain < SLOW_KG and sucking(crop, lamb, last.date):
        yield f"{told}, still sucking"


def sucking(crop: Crop, lamb: str, on: date) -> bool:
    """Whether a lamb had not been weaned before a day."""
    weaned = crop.seen.facts.weaned_on.get(lamb)
    return weaned is None or weaned >= on


def ratio_of(row: Adjusted | None) -> float | None:
    """A row's ratio."""
    return row.ratio if row else None


def behind_table(crop: Crop, late: Mapping[str, str]) -> Table:
    """Who is behind, with the last weight."""
    rows = [
        Row((crop.tags.tag(lamb), Words(why), weight_words(crop.seen.facts.growth[lamb].weights[-1].kg, crop.units)))
        for lamb, why in late.items()
    ]
    columns = (Column("Lamb"), Column("Why it is named", wide=True), Column("Last weight", "number"))
    return Table(columns, tuple(rows), "Of the lambs still here nobody is behind by these lines.", "behind")


def session_table(crop: Crop) -> Table:
    """The weighings, newest first."""
    columns = (
        Column("Day"), Column("Weighed"), Column("Mean, lightest to heaviest", wide=True),
        Column("Gain since the last, and who was missed", wide=True),
    )  # fmt: skip
    rows = [session_row(crop, item) for item in reversed(crop.sessions)]
    return Table(columns, tuple(rows), "No weighing of this crop is written yet.", "weighings")


def session_row(crop: Crop, item: Session) -> Row:
    """One weighing."""
    low, high = weight_words(item.lowest, crop.units), weight_words(item.highest, crop.units)
    span = f"{weight_words(item.mean, crop.units)} ({low} to {high})" if item.mean is not None else ""
    gain = f"{gain_words(item.gain, crop.units)} ({item.regained} in both)" if item.since else "the first"
    if item.slip is not None:
        gain = f"{item.slip:.1f} times what was to be expected: pounds or kilograms"
    missed = f"; there and not weighed: {', '.join(called(crop, item.missing))}" if item.missing else "; nobody missed"
    day = Day(item.day.isoformat(), day_words(item.day))
    weighed = f"{item.count}, {item.stage}" if item.stage else str(item.count)
    return Row((day, weighed, Words(span), Words(f"{gain}{missed}")))


def called(crop: Crop, sheep: Iterable[str]) -> list[str]:
    """Sheep as they are called, in order of tags."""
    animals = crop.seen.linked.animals
    return sorted((animals[one].called for one in sheep), key=lambda name: (len(name), name))


def group_table(crop: Crop) -> Table:
    """The groups within which lambs are compared, with their number and mean."""
    groups: dict[Class, list[Adjusted]] = {}
    for lamb in sorted(crop.lambs & crop.seen.facts.adjusted.keys()):
        row = crop.seen.facts.adjusted[lamb]
        groups.setdefault(row.group, []).append(row)
    columns = (
        Column("Group"), Column("Compared", "number"), Column("Mean on one footing", "number"),
        Column("Ratios", wide=True),
    )  # fmt: skip
    order = sorted(groups, key=lambda group: (group.mob or "", group.sex or ""))
    rows = [group_row(crop, group, groups[group]) for group in order]
    return Table(columns, tuple(rows), "No lamb can be compared yet.", "groups")


def group_row(crop: Crop, group: Class, rows: list[Adjusted]) -> Row:
    """One group."""
    weights = [row.in_group for row in rows if row.in_group is not None]
    ratios = [row.ratio for row in rows if row.ratio is not None]
    told = f"{min(ratios):.0f} to {max(ratios):.0f}" if ratios else "none: a group of one has nobody to stand beside"
    if not weights:
        told = "none: a class or a birth weight is not known"
    mean = f"{weight_words(fmean(weights), crop.units)} at {rows[0].group_target} days" if weights else ""
    compared = f"{len(weights)} of {len(rows)}"
    name = f"{group.sex or 'sex not known'}, {group.mob or 'no mob'}"
    return Row((name, compared, mean, Words(told)))


def lamb_table(crop: Crop) -> Table:
    """Every lamb's weight on one footing, heaviest for its group first, and when it reaches the target."""
    target = target_kg(crop.seen.settings)
    columns = (
        Column("Lamb", sort=True), Column("Weighed"), Column("Footing", "number", sort=True),
        Column("Ratio", "number", sort=True), Column("To know", wide=True),
    )  # fmt: skip
    order = sorted(crop.lambs & crop.seen.facts.adjusted.keys(), key=lambda one: place_of(crop, one))
    minds = {lamb: list(to_know(crop, lamb, target)) for lamb in order}
    common = [word for word in minds[order[0]] if all(word in mind for mind in minds.values())] if order[1:] else []
    rows = [
        lamb_row(crop, lamb, "; ".join(word for word in mind if word not in common)) for lamb, mind in minds.items()
    ]
    caption = f"Of every lamb here: {'; '.join(common)}." if common else ""
    return Table(columns, tuple(rows), "No lamb has both a birthday and a weight at a fit age.", "lambs", caption)


def to_know(crop: Crop, lamb: str, target: float | None) -> Iterator[str]:
    """What is to be known of a lamb beside its figures."""
    ready = [readiness(crop, lamb, target)] if target else []
    told = (own_ratio(crop, lamb), against_mean(crop, lamb), *ready, *doubts(crop.seen.facts.adjusted[lamb]))
    yield from (word for word in told if word)


def place_of(crop: Crop, lamb: str) -> tuple[float, str]:
    """Sort key: ratio downwards, those without last."""
    ratio = ratio_of(crop.seen.facts.adjusted[lamb])
    return (-ratio if ratio is not None else 0.0, lamb)


def lamb_row(crop: Crop, lamb: str, mind: str) -> Row:
    """One lamb."""
    row = crop.seen.facts.adjusted[lamb]
    weighed = f"{weight_words(row.weighed.kg, crop.units)}, {row.age} d"
    footing = weight_words(row.in_group or row.adjusted, crop.units)
    lone = "alone" if row.in_group is not None else "not compared"
    ratio = f"{row.ratio:.0f} (of {row.group_size})" if row.ratio is not None else lone
    return Row((crop.tags.tag(lamb), weighed, footing, ratio, Words(mind)))


def own_ratio(crop: Crop, lamb: str) -> str:
    """Its ratio by the flock's own differences, beside that by the factors."""
    ratio = crop.seen.facts.own_effects.ratios.get(lamb)
    return f"{ratio:.0f} by own differences" if ratio is not None else ""


def against_mean(crop: Crop, lamb: str) -> str:
    """How far a lamb's last weight lies from the mean of its weighing, with the number weighed."""
    last = next((item for item in reversed(crop.seen.facts.growth[lamb].weights) if item.sure), None)
    session = next((item for item in crop.sessions if last and item.note == last.note), None)
    if last is None or session is None or session.mean is None or session.count < 2:
        return ""
    apart = last.kg - session.mean
    side = "over" if apart >= 0 else "under"
    return f"last {weight_words(abs(apart), crop.units)} {side} the mean of {session.count}"


def doubts(row: Adjusted) -> Iterator[str]:
    """What makes a figure less sure, or why there is none."""
    if row.birth_assumed is not None:
        yield "birth weight assumed"
    if row.in_window is False:
        yield f"age far from {row.target} days"
    if not row.at_weaning:
        yield "not a weaning weight"
    if row.at_target is None:
        yield "no birth weight"
    elif row.adjusted is None:
        unknown = [
            name for name, factor in zip(("dam's age", "sex", "rearing"), row.factors, strict=True) if not factor
        ]
        yield f"no factor for {', '.join(unknown)}"


def target_kg(settings: Settings) -> float | None:
    """The sale weight (or weaning weight) among the flock's targets, in kg."""
    found = [match for text in settings.file.targets or () if (match := TARGET.match(text.strip()))]
    if not found:
        return None
    match = min(found, key=lambda one: not one[0].lower().startswith("sale"))
    unit = (match[2] or ("kg" if settings.units == "metric" else "lb")).lower()
    return float(match[1].replace(",", ".")) * (KG_PER_LB if unit == "lb" else 1.0)


def readiness(crop: Crop, lamb: str, target: float) -> str:
    """When a lamb still here reaches the target, as a range; nothing for a day gone by."""
    if not there(crop.seen.linked.animals[lamb], crop.seen.today):
        return ""
    weights = [(item.date, item.kg) for item in crop.seen.facts.growth[lamb].weights if item.sure]
    if weights and max(weights)[1] >= target:
        return f"has reached {weight_words(target, crop.units)}"
    found = project(weights, target)
    if not isinstance(found, Projection):
        return f"{weight_words(target, crop.units)}: {found.reason}"
    if found.day < crop.seen.today.day:
        return f"should have reached {weight_words(target, crop.units)}: weigh again"
    days = days_words(found.earliest, found.latest) if found.latest else f"from {day_words(found.earliest)}"
    return f"{weight_words(target, crop.units)} {days}"


def drawn(crop: Crop) -> list[Session]:
    """The weighings whose mean can stand in the chart: not those whose unit is asked about."""
    return [item for item in crop.sessions if item.mean is not None and item.slip is None]


def group_figure(crop: Crop, late: tuple[str, ...]) -> dict[str, Any]:
    """The crop's mean from weighing to weighing between its lightest and heaviest; a few of those behind as lines."""
    scale = 1.0 if crop.units == "metric" else 1 / KG_PER_LB
    shown = drawn(crop)
    days = [item.day.isoformat() for item in shown]
    lines: list[dict[str, Any]] = [
        {"type": "scatter", "mode": "lines", "name": "heaviest", "x": days,
         "y": [round((item.highest or 0) * scale, 1) for item in shown], "line": {"dash": "dot"}},
        {"type": "scatter", "mode": "lines+markers", "name": "mean", "x": days,
         "y": [round((item.mean or 0) * scale, 1) for item in shown], "meta": {"ink": 1}},
        {"type": "scatter", "mode": "lines", "name": "lightest", "x": days,
         "y": [round((item.lowest or 0) * scale, 1) for item in shown], "line": {"dash": "dot"}},
    ]  # fmt: skip
    for lamb in late[:LINES]:
        weights = [item for item in crop.seen.facts.growth[lamb].weights if item.sure]
        lines.append(
            {"type": "scatter", "mode": "lines+markers", "name": crop.seen.linked.animals[lamb].called,
             "x": [item.date.isoformat() for item in weights], "y": [round(item.kg * scale, 1) for item in weights],
             "line": {"dash": "dash"}, "meta": {"ink": 2}}
        )  # fmt: skip
    title = f"Weights of the crop of {crop.season}"
    unit = "kg" if crop.units == "metric" else "lb"
    return {"data": lines, "layout": {"title": title, "meta": {"says": lead(crop)}, "yaxis": {"title": unit}}}


def group_chart(crop: Crop, late: tuple[str, ...]) -> Chart:
    """The group and the lambs behind it, with their weights as a table."""
    shown = drawn(crop)
    lambs = late[:LINES]
    called = [crop.seen.linked.animals[lamb].called for lamb in lambs]
    columns = (Column("Day"), Column("Mean", "number"), *(Column(name, "number") for name in called))
    rows = [
        Row(
            (day(item.day) or "", weight_words(item.mean, crop.units), *(weight_on(crop, lamb, item) for lamb in lambs))
        )
        for item in shown
    ]
    note = "Mean, lightest and heaviest of each weighing" + ("; dashed: lambs that are behind." if lambs else ".")
    svg = Html(draw(group_figure(crop, late), "weights", Sheet(360, 260)))
    return Chart("weights-chart", "Lambs against their group", note, svg, Table(columns, tuple(rows), ""))


def weight_on(crop: Crop, lamb: str, item: Session) -> str:
    """A lamb's weight in a weighing."""
    found = next((one.weighed.kg for one in item.weights if one.sheep == lamb), None)
    return weight_words(found, crop.units)


PAGES = (PageMaker("growth", make),)
NAVIGATION = (Link("Growth", PATH, "", "The flock"),)
