"""Who is behind its group, its weighing or the published line, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from flockbook.derive.plain.days import WEEK_DAYS
from flockbook.derive.weights.weaning import WEANED_DAYS
from flockbook.flock import there
from flockbook.pages.growth.weighed_crop import WeighedCrop, ratio_of
from flockbook.pages.views import Column, Row, Table, Words
from flockbook.pages.wording import day_words, gain_words, weight_words
from flockbook.regional import local
from flockbook.saying.spelling import in_letters

# Under 200 g a day after eight weeks, for a lamb still sucking, is the published trigger to wean (EBLEX Sheep BRP
# Manual 5, 2014).
SLOW_KG, SLOW_FROM = 0.2, 56
BEHIND = 90.0  # a ratio below this is named (our own choice)
SHARE = 2 / 3  # and a gain below this share of its weighing's mean gain (our own choice)
BEHIND_RULE = (
    f"Named are lambs still here whose weight on one footing is under {BEHIND:g} where their group's mean is 100; "
    "whose last "
    "gain was under two thirds of the mean of that weighing (both our own choice); or who gained under "
    f"{{{SLOW_KG * 1000:g} g a day published}} "
    f"after {in_letters(SLOW_FROM // WEEK_DAYS)} weeks while still sucking, the published line to wean at (EBLEX Sheep "
    "BRP Manual 5, 2014)."
)


def behind(crop: WeighedCrop) -> dict[str, str]:
    """Who is behind and why, among the lambs still here, the lightest for its group first."""
    facts, found = crop.seen.facts, {}
    here = [lamb for lamb in crop.lambs if there(crop.seen.linked.animals[lamb], crop.seen.today)]
    for lamb in sorted(here, key=lambda one: (ratio_of(facts.growth.adjusted.get(one)) or 100.0, one)):
        if why := "; ".join(shortcomings(crop, lamb)):
            found[lamb] = why
    return found


def shortcomings(crop: WeighedCrop, lamb: str) -> Iterator[str]:
    """What a lamb falls short in."""
    row, weights = crop.seen.facts.growth.adjusted.get(lamb), crop.seen.facts.weights.gains[lamb].weights
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
    elif (last.date - born).days > SLOW_FROM and last.gain < SLOW_KG and was_sucking(crop, lamb, last.date):
        yield f"{told}, still {local('sucking')}"


def was_sucking(crop: WeighedCrop, lamb: str, on: date) -> bool:
    """Whether a lamb had not been weaned before a day: by the note that names it, else by the weaning of its season,
    else by an age at which lambs count as weaned.
    """
    born = crop.seen.linked.animals[lamb].birthday
    season = next(item for item in crop.seen.facts.season.years if item.season == crop.season)
    weaned = crop.seen.facts.weights.weanings.days.get(lamb) or season.weaned_on
    return weaned >= on if weaned else born is None or (on - born).days < WEANED_DAYS


def behind_table(crop: WeighedCrop, late: Mapping[str, str]) -> Table:
    """Who is behind, with the last weight."""
    gains = crop.seen.facts.weights.gains
    rows = [
        Row((crop.tags.tag(lamb), Words(why), weight_words(gains[lamb].weights[-1].kg, crop.units)))
        for lamb, why in late.items()
    ]
    columns = (Column("Lamb"), Column("Why it is named", wide=True), Column("Last weight", "number"))
    return Table(columns, tuple(rows), "Of the lambs still here nobody is behind by these lines.", "behind")
