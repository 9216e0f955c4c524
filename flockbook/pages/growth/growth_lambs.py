"""Every lamb's weight on one footing, what makes it less sure, and when it reaches the target."""

from __future__ import annotations

from collections.abc import Iterator

from flockbook.derive.growth.adjusted_weights import Adjusted
from flockbook.derive.growth.projection import Projection, project
from flockbook.flock import there
from flockbook.pages.growth.weighed_crop import WeighedCrop, ratio_of
from flockbook.pages.views import Column, Row, Table, Words
from flockbook.pages.wording import day_span_words, day_words, weight_words
from flockbook.saying.growth import NO_PROJECTION
from flockbook.saying.standing import standing_words
from flockbook.settings import Settings
from flockbook.targets import target_kg


def grown_lambs_table(crop: WeighedCrop) -> Table:
    """Every lamb's weight on one footing, heaviest for its group first, and when it reaches the target."""
    target = target_of(crop.seen.settings)
    columns = (
        Column("Lamb", sort=True), Column("Weighed"), Column("Footing", "number", sort=True),
        Column("Ratio", "number", sort=True), Column("To know", wide=True),
    )  # fmt: skip
    order = sorted(crop.lambs & crop.seen.facts.growth.adjusted.keys(), key=lambda one: place_of(crop, one))
    minds = {lamb: list(to_know(crop, lamb, target)) for lamb in order}
    common = [word for word in minds[order[0]] if all(word in mind for mind in minds.values())] if order[1:] else []
    rows = [
        lamb_row(crop, lamb, "; ".join(word for word in mind if word not in common)) for lamb, mind in minds.items()
    ]
    caption = f"Of every lamb here: {'; '.join(common)}." if common else ""
    return Table(columns, tuple(rows), "No lamb has both a birthday and a weight at a fit age.", "lambs", caption)


def to_know(crop: WeighedCrop, lamb: str, target: float | None) -> Iterator[str]:
    """What is to be known of a lamb beside its figures."""
    ready = [readiness(crop, lamb, target)] if target else []
    row = crop.seen.facts.growth.adjusted[lamb]
    told = (*not_clear(crop, lamb), own_ratio(crop, lamb), against_mean(crop, lamb), *ready, *weight_doubts(row))
    yield from (word for word in told if word)


def not_clear(crop: WeighedCrop, lamb: str) -> Iterator[str]:
    """That a lamb's meat is not clear, and until when; that it may be sucking a ewe who is not."""
    row = crop.seen.facts.medicine.guard.standing.get(lamb)
    if row and not row.plainly_clear:
        yield standing_words(crop.seen.linked, row)


def place_of(crop: WeighedCrop, lamb: str) -> tuple[float, str]:
    """Sort key: ratio downwards, those without last."""
    ratio = ratio_of(crop.seen.facts.growth.adjusted[lamb])
    return (-ratio if ratio is not None else 0.0, lamb)


def lamb_row(crop: WeighedCrop, lamb: str, mind: str) -> Row:
    """One lamb."""
    row = crop.seen.facts.growth.adjusted[lamb]
    weighed = f"{weight_words(row.weighed.kg, crop.units)}, {row.age} d"
    footing = weight_words(row.in_group or row.adjusted, crop.units)
    lone = "alone" if row.in_group is not None else "not compared"
    ratio = f"{row.ratio:.0f} (of {row.group_size})" if row.ratio is not None else lone
    return Row((crop.tags.tag(lamb), weighed, footing, ratio, Words(mind)))


def own_ratio(crop: WeighedCrop, lamb: str) -> str:
    """Its ratio by the flock's own differences, beside that by the factors."""
    ratio = crop.seen.facts.growth.own_effects.ratios.get(lamb)
    return f"{ratio:.0f} by own differences" if ratio is not None else ""


def against_mean(crop: WeighedCrop, lamb: str) -> str:
    """How far a lamb's last weight lies from the mean of its weighing, with the number weighed."""
    last = next((item for item in reversed(crop.seen.facts.weights.gains[lamb].weights) if item.sure), None)
    session = next((item for item in crop.sessions if last and item.note == last.note), None)
    if last is None or session is None or session.mean is None or session.count < 2:
        return ""
    apart = last.kg - session.mean
    side = "over" if apart >= 0 else "under"
    return f"last {weight_words(abs(apart), crop.units)} {side} the mean of {session.count}"


def weight_doubts(row: Adjusted) -> Iterator[str]:
    """What makes a figure less sure, or why there is none."""
    if row.birth_assumed is not None:
        yield "birth weight assumed"
    if row.in_window is False:
        yield f"age far from {row.shown_target} days"
    if not row.at_weaning:
        yield "not a weaning weight"
    if row.at_target is None:
        yield "no birth weight"
    elif row.adjusted is not None and row.dam_guessed:
        yield "dam’s year of birth a guess"
    elif row.adjusted is None:
        unknown = [
            name for name, factor in zip(("dam's age", "sex", "rearing"), row.factors, strict=True) if not factor
        ]
        yield f"no factor for {', '.join(unknown)}"


def target_of(settings: Settings) -> float | None:
    """The sale weight (or weaning weight) among the flock's targets, in kg."""
    return target_kg(settings.file.targets, settings.measures.weight_unit)


def readiness(crop: WeighedCrop, lamb: str, target: float) -> str:
    """When a lamb still here reaches the target, as a range; nothing for a day gone by."""
    if not there(crop.seen.linked.animals[lamb], crop.seen.today):
        return ""
    weights = [(item.date, item.kg) for item in crop.seen.facts.weights.gains[lamb].weights if item.sure]
    if weights and max(weights)[1] >= target:
        return f"has reached {weight_words(target, crop.units)}"
    found = project(weights, target)
    if not isinstance(found, Projection):
        return f"{weight_words(target, crop.units)}: {NO_PROJECTION[found]}"
    if found.day < crop.seen.today.day:
        return f"should have reached {weight_words(target, crop.units)}: weigh again"
    days = day_span_words(found.earliest, found.latest) if found.latest else f"from {day_words(found.earliest)}"
    return f"{weight_words(target, crop.units)} {days}"
