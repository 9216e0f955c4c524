"""The chilled lamb: what is published for it, on the cards for every lamb and on the watch board for the one that is
cold now.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from flockbook.derive.lambing.labour_limits import HOUR
from flockbook.derive.lambing.newborn import (
    CHILLED_LAMB_TABLE,
    FEVER_ABOVE_C,
    GLUCOSE_ML_PER_KG,
    MILD_FROM_C,
    NORMAL_FROM_C,
    SPENT_FROM,
    Advice,
    Care,
    ColostrumNeed,
    LambState,
    glucose,
)
from flockbook.derive.lambing.newborns import Newborn
from flockbook.derive.weights.gains import birth_weight
from flockbook.measures import measures_of, rounded, trimmed
from flockbook.pages.views import Column, Directory, Row, Table, Words
from flockbook.pages.wording import clock_words, weight_words
from flockbook.regional import local
from flockbook.saying.newborns import GLUCOSE_CAUTION
from flockbook.saying.owed import degrees
from flockbook.seen import Seen

CARE = {
    Care.CALL_VET: "ring the vet", Care.DRY: "dry it",
    Care.GLUCOSE: f"glucose 20 %, {{{GLUCOSE_ML_PER_KG} mL a kg}}, into the belly: only if your vet has taught you",
    Care.WARM: "warm it", Care.SUCKLE: "see that it sucks", Care.TUBE_ONCE_SWALLOWING: "tube colostrum once it "
        "swallows", Care.NO_TUBE: "no tube",
    Care.SHELTER: "shelter", Care.BACK_TO_EWE: "back to the ewe", Care.RECHECK: "look again",
}  # fmt: skip
MADE_FROM = (
    "20 g in 100 mL is 20 %, whatever a label calls it. Eales, Small & Gilmour 1982, Vet. Rec. 110:121 ({10 mL a kg}); "
    "NZ Lifestyle Block, June 2016 (as much). A vet-taught technique; ask your vet."
)
HEAD_DOWN = "If it cannot hold its head up: no tube, and ring the vet. The cards have all of it; your vet's word wins."


def chilled_table(units: str) -> Table:
    """The chilled lamb by temperature, age and whether it holds its head up."""
    columns = (
        Column("Temperature"),
        Column("Which lamb", wide=True),
        Column("In this order", wide=True),
        Column("Who says so", wide=True),
    )
    return Table(columns, tuple(advice_row(item, units) for item in CHILLED_LAMB_TABLE), "")


def advice_row(item: Advice, units: str) -> Row:
    """One row of published advice."""
    spent = f"{SPENT_FROM // HOUR} hours old"
    age = f"{spent} or more" if item.spent else f"under {spent}" if item.state is LambState.SEVERE else "any age"
    head = "holds its head up" if item.head_up else "cannot hold its head up"
    steps = with_caution(item, [care_words(step, units) for step in item.steps])
    return Row((band_words(item.state, units), Words(f"{age}, {head}"), Words(steps), Words(item.source)))


def with_caution(item: Advice, steps: Sequence[str]) -> str:
    """The steps one after another, and what must stand beside them."""
    return ", then ".join(steps) + (f" ({GLUCOSE_CAUTION})" if item.vet_taught else "")


def glucose_table(weights: Iterable[float], units: str) -> Table:
    """Glucose by weight, for whom the vet has taught."""
    columns = (
        Column("Lamb"),
        Column("Of glucose 20 %", "number"),
        Column("Or of 40 %", "number"),
        Column("with boiled water", "number"),
    )
    made = [(kg, glucose(kg)) for kg in weights]
    rows = tuple(
        Row((
            weight_words(kg, units), f"{rounded(one.ml_of_20_percent, 0)} mL",
            f"{trimmed(one.ml_of_40_percent, 1)} mL", f"{trimmed(one.ml_of_water, 1)} mL",
        ))
        for kg, one in made
    )  # fmt: skip
    return Table(columns, rows, "", caption=measures_of(units).said(MADE_FROM))


def care_words(step: Care, units: str) -> str:
    """One step of care, its amount in the flock's units."""
    return local(measures_of(units).said(CARE[step]))


def cold_table(seen: Seen, tags: Directory) -> Table:
    """The newborns that were cold or feverish when last measured, each with its own steps and amounts."""
    columns = (
        Column("Lamb"), Column("Last measured"), Column("In this order", wide=True), Column("Who says so", wide=True),
    )  # fmt: skip
    units = seen.settings.units
    rows = [
        Row((
            tags.tag(item.lamb.id), warmth_words(item, units),
            Words(with_caution(advice, [own_step(step, item, units) for step in advice.steps])), Words(advice.source),
        ))
        for item in seen.facts.lambing.newborns if (advice := cold(item))
    ]  # fmt: skip
    caption = local(HEAD_DOWN) if rows else ""
    return Table(columns, tuple(rows), "No newborn was cold when last measured.", caption=caption)


def cold(item: Newborn) -> Advice | None:
    """The published advice for a newborn that was not as warm as it should be, or too warm."""
    return item.warmth.advice if item.warmth and item.warmth.amiss else None


def warmth_words(item: Newborn, units: str) -> str:
    """The last temperature of a newborn, and its hour."""
    warm = item.warmth
    return f"{degrees(warm.celsius, units)}{f' at {clock_words(warm.at)}' if warm.at else ''}" if warm else ""


def own_step(step: Care, item: Newborn, units: str) -> str:
    """One step for one lamb, with the amount that goes with its weight."""
    kg = birth_weight(item.lamb)
    if step is Care.GLUCOSE and kg:
        made = glucose(kg)
        ways = f"{made.ml_of_40_percent:.3g} mL of 40 % with {made.ml_of_water:.3g} mL of boiled water"
        return f"glucose 20 %, {made.ml_of_20_percent:.3g} mL ({ways}), into the belly: only if your vet has taught you"
    if step is Care.TUBE_ONCE_SWALLOWING and item.need:
        return tube_words(item, item.need, units)
    return care_words(step, units)


def tube_words(item: Newborn, need: ColostrumNeed, units: str) -> str:
    """How much goes into a lamb by tube: what is left of its first feed, then a whole one when the next is due."""
    if item.day_over:
        return "tube milk once it swallows, as the vet says"
    drink = measures_of(units).drink
    left, given = need.left_of_first_feed(item.recorded_ml), drink(item.recorded_ml)
    if not left:
        return f"no tube before its next feed is due: it has had {given}; then {drink(need.feed_ml)} at the most"
    had = f": it has had {given}" if item.recorded_ml else ""
    return f"{local(CARE[Care.TUBE_ONCE_SWALLOWING])}, {drink(left)} at the most{had}"


def band_words(state: LambState, units: str) -> str:
    """The band of a rectal temperature, in the flock's degrees."""
    bands = {
        LambState.SEVERE: f"under {degrees(MILD_FROM_C, units)}",
        LambState.MILD: f"{degrees(MILD_FROM_C, units)} to under {degrees(NORMAL_FROM_C, units)}",
        LambState.NORMAL: f"{degrees(NORMAL_FROM_C, units)} to {degrees(FEVER_ABOVE_C, units)}",
        LambState.FEVER: f"over {degrees(FEVER_ABOVE_C, units)}",
    }
    return bands[state]
