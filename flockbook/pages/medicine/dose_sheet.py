"""Doses by weight: each mob split so that nobody gets more than a double dose, and what each part gets of a product."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.medicine.doses import FRESH_DAYS
from flockbook.derive.medicine.weight_groups import Dosing, GroupDose, WeightGroup
from flockbook.measures import IN_KILOGRAMS, IN_POUNDS, Measures
from flockbook.pages.medicine.cupboard import label_link, ml_words
from flockbook.pages.sections import Fold, Section, SectionsView
from flockbook.pages.telling.cautions import MEDICINE_CAUTION
from flockbook.pages.views import Column, Directory, Row, Table, Words, directory
from flockbook.pages.wording import natural, plural, weight_words
from flockbook.saying.withdrawal import concern_words
from flockbook.seen import Seen

PATH = "dose-sheet.html"
NO_MOB = "in no mob"
DOSING_RULES = (
    "A group is dosed to its heaviest, and is split when its lightest would get more than double (Hybu Cig Cymru, "
    "Correct dosage essential when treating sheep). The rate is the one you typed from the label; the "
    "label and your vet win, and they say who gets it at all."
)
NOBODY_WEIGHED = f"Nobody was weighed in the last {FRESH_DAYS} days: weigh them before you dose by weight."


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The sheet."""
    del stamp
    found, tags = seen.facts.medicine.dosing, directory(seen.linked, seen.today)
    numbers = {group: place for place, group in enumerate(found.groups, 1)}
    sections = (
        Section("Groups", (DOSING_RULES, *left_out(found), groups_table(numbers, tags, seen.settings.units),
                *other_unit(numbers, seen.settings.measures)), "groups", plural(len(found.groups), "group")),
        Section("Doses", (doses_table(found.doses, numbers),), "doses"),
    )  # fmt: skip
    heads = sum(len(group.sheep) for group in found.groups)
    lead = f"{plural(heads, 'sheep', 'sheep')} weighed in the last {FRESH_DAYS} days, by mob and weight."
    view = SectionsView(lead if heads else NOBODY_WEIGHED, sections, (MEDICINE_CAUTION,))
    yield Page(PATH, "sections.html", "Doses by weight", view, "Health")


def other_unit(numbers: dict[WeightGroup, int], own: Measures) -> tuple[Fold, ...]:
    """The weights of the groups in the unit that the flock has not, for a label that is printed in it."""
    other = IN_KILOGRAMS if own.us else IN_POUNDS
    said = "; ".join(f"group {place}: {weight_band(group, other.units)}" for group, place in numbers.items())
    return (Fold(f"The same weights in {other.unit_in_full}s", (f"{said}.",)),) if said else ()


def left_out(found: Dosing) -> tuple[str, ...]:
    """How many of each mob were not weighed, and so are in no group."""
    if not found.unweighed:
        return ()
    left = found.unweighed.items()
    missing = ", ".join(f"{head} {NO_MOB}" if mob in ("", NO_MOB) else f"{head} of {mob}" for mob, head in left)
    return (f"Not weighed in the last {FRESH_DAYS} days and in no group: {missing}.",)


def groups_table(numbers: dict[WeightGroup, int], tags: Directory, units: str) -> Table:
    """Each group: its mob, from which to which weight, and who is in it."""
    columns = (
        Column("Group"), Column("Mob"), Column("Head", "number"), Column("Weight"), Column("Sheep", wide=True),
    )  # fmt: skip
    rows = tuple(
        Row((
            str(place), group.mob or NO_MOB, len(group.sheep), weight_band(group, units),
            tags.tags(sorted(group.sheep, key=natural)),
        ))
        for group, place in numbers.items()
    )  # fmt: skip
    return Table(columns, rows, NOBODY_WEIGHED, "weight-groups")


def weight_band(group: WeightGroup, units: str) -> str:
    """From the lightest to the heaviest of a group."""
    most = weight_words(group.kg, units)
    return most if group.lightest_kg == group.kg else f"{weight_words(group.lightest_kg, units)} to {most}"


def doses_table(doses: Iterable[GroupDose], numbers: dict[WeightGroup, int]) -> Table:
    """Each product's dose for each group, with room for the pencil."""
    columns = (
        Column("Product"), Column("Rate"), Column("Group"), Column("Each", "number"),
        Column("In all", "number"), Column("To know", wide=True), Column("Given"),
    )  # fmt: skip
    rows = tuple(
        Row((
            label_link(item.shelf), rate_words(item), str(numbers[item.group]), f"{item.each_ml:.3g}\u00a0mL",
            ml_words(item.total_ml), Words(dosing_notes(item)), "",
        ))
        for item in doses
    )  # fmt: skip
    return Table(columns, rows, "No group, or no product with a rate by weight that may still be used.", "group-doses")


def rate_words(item: GroupDose) -> str:
    """The label's rate as it was typed."""
    rate = item.shelf.medicine.label_rate
    return rate.text if rate else ""


def dosing_notes(item: GroupDose) -> str:
    """What of the label this group would break, in how many places it is given, and whether there is enough."""
    found = [concern_words(concern) for concern in item.concerns]
    found += [f"in {item.sites} places"] if item.sites and item.sites > 1 else []
    left = item.shelf.left_ml
    found += [f"more than is left ({ml_words(left)})"] if left is not None and left < item.total_ml else []
    return "; ".join(found) or "–"


PAGES = (PageMaker("doses by weight", make),)
NAVIGATION = (Link("Doses by weight", PATH, "", "On paper"),)
