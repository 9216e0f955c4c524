"""The weigh sheet to print: the young sheep by tag, each with its last weight and gain beside a blank."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.growth.projection import Projection, project
from flockbook.flock import Animal
from flockbook.pages.growth.growth_lambs import target_of
from flockbook.pages.growth.race import SheetPlan, held_words, is_lamb_now, sheet
from flockbook.pages.views import Caution, directory
from flockbook.pages.wording import day_span_words, gain_words, short_day_words, weight_words
from flockbook.regional import local
from flockbook.seen import Seen

BEFORE_WEIGHING = Caution(
    "Before the first sheep",
    (
        "Zero the scale, and see whether it stands on kilograms or pounds. Dry sheep, the same hour and hours off "
        "grass as last time: gut fill alone is 10 to 22 % of the weight.",
    ),
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The sheet."""
    del stamp
    view = sheet(seen, WEIGH_SHEET, directory(seen.linked, seen.today))
    yield Page(WEIGH_SHEET.path, "sections.html", WEIGH_SHEET.title, view, local("Race sheets"))


def sheet_weight(seen: Seen, animal: Animal) -> list[str]:
    """Its last weight and day, the gain up to it, when it reaches the target; that its meat is not clear."""
    grown, units = seen.facts.weights.gains.get(animal.id), seen.settings.units
    weights = [item for item in grown.weights if item.sure] if grown else []
    if not weights:
        return ["never weighed", *held_words(seen, animal)]
    last = weights[-1]
    words = [f"{weight_words(last.kg, units)}, {short_day_words(last.date)}"]
    if last.gain is not None:
        words.append(gain_words(last.gain, units))
    target = target_of(seen.settings)
    found = project([(item.date, item.kg) for item in weights], target) if target and last.kg < target else None
    if target and isinstance(found, Projection) and found.day >= seen.today.day:
        end = (
            day_span_words(found.earliest, found.latest) if found.latest else f"from {short_day_words(found.earliest)}"
        )
        words.append(f"{weight_words(target, units)} {end}")
    return [*words, *held_words(seen, animal)]


WEIGH_SHEET = SheetPlan(
    "weigh-sheet.html", "Weigh sheet: lambs", is_lamb_now, "Last weight, gain up to it", sheet_weight,
    ("Weight", "Remark"), BEFORE_WEIGHING,
)  # fmt: skip
PAGES = (PageMaker("weigh sheet", make),)
NAVIGATION = (Link("Weigh sheet", WEIGH_SHEET.path, "", "On paper"),)
