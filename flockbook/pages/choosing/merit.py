"""Breeding values: what a sheep is likely to pass on, with how far that can be relied on beside every figure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.family.merit import LEAST_RELIABILITY, Dropped, Evaluation, Merit, chance_right
from flockbook.flock import there
from flockbook.heritabilities import Heritability
from flockbook.measures import measures_of
from flockbook.pages.long_tables import WHOLE, Seat, over_pages
from flockbook.pages.sections import Section, SectionsView
from flockbook.pages.views import BarView, Caution, Column, Directory, Row, Table, Words, directory
from flockbook.pages.wording import and_listed, plural, weight_words
from flockbook.saying.family import LEFT_OUT, NO_AGE, dropped_words
from flockbook.seen import Seen

PATH, TITLE = "merit.html", "Breeding values"
PARENTS = ("both known", "one not known", "neither known")
NOT = Caution(
    "What these figures are not",
    (
        "They compare the sheep of this flock with each other, never with those of another flock or of another book.",
        "They count what was written and no more. Feet, udder, mouth, temper and mothering are not in them: look at "
        "the sheep as well. A lamb's weight carries some of its dam's milk, which is not taken out.",
        "A pair that suits in its figures may still be too closely related: see the pairings.",
    ),
)
MERIT_RULES = (
    "A breeding value is what an animal itself is worth as a parent, over the oldest sheep in the pedigree; a lamb "
    "gets half of its sire's and half of its dam's. It is worked out from its own records and those of all its "
    "relatives, once season (for a weaning weight with the age to which it is brought), sex, age of dam and litter are "
    "allowed for (animal model, Henderson's equations; Mrode, "
    "Linear Models for the Prediction of Animal Breeding Values).",
    f"Reliability goes from 0 to 1. Under {LEAST_RELIABILITY:g} no value is shown: it would say too little. At "
    f"{LEAST_RELIABILITY:g} the better of two unrelated sheep is named rightly about "
    f"{chance_right(LEAST_RELIABILITY) * 100:.0f} times in a hundred (tossing a coin: 50), as with one "
    "weight of its own where a fifth is inherited; the line is our own choice.",
)


class Trait(Value):
    """How a trait is spoken of: its name, its unit, and what one record is."""

    head: str
    unit: str
    record: str

    def words(self, value: float, units: str) -> str:
        """A difference in the flock's unit, with its sign."""
        shown = measures_of(units).in_weight(value) if self.unit == "kg" else value
        text = f"{shown:+.2f}".replace("-", "−") if abs(shown) >= 0.005 else "0.00"
        return f"{text} {self.shown_unit(units)}".strip()

    def shown_unit(self, units: str) -> str:
        """kg, lb, or nothing for a count of lambs."""
        return measures_of(units).weight_unit if self.unit == "kg" else self.unit


TRAITS = {
    "birth_weight": Trait("Birth weight", "kg", "birth weight"),
    "weaning_weight": Trait("Weaning weight", "kg", "weaning weight"),
    "lambs_born": Trait("Lambs born", "", "litter"),
    "lambs_weaned": Trait("Lambs weaned", "", "litter"),
}


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page, and those on which its tables go on."""
    del stamp
    tags, seat = directory(seen.linked, seen.today), Seat(PATH, TITLE, "The flock", WHOLE // len(TRAITS))
    more: list[Page] = []
    sections: list[Section] = [Section("How to read this", MERIT_RULES, "how")]
    for trait, found in seen.facts.family.merit.evaluations.items():
        table, pages = over_pages(merit_table(seen, trait, found, tags), seat)
        sections.append(trait_section(seen, trait, found, table))
        more += pages
    behind = Seat(PATH, TITLE, "The flock", 2 * WHOLE // 3)
    for head, anchor, whole in (
        ("What was allowed for", "allowed", allowed_table(seen)),
        ("Left out", "left-out", left_table(seen, tags)),
    ):
        table, pages = over_pages(whole, behind)
        sections.append(Section(head, (table,), anchor))
        more += pages
    yield Page(PATH, "sections.html", TITLE, SectionsView(lead(seen), tuple(sections), (NOT,)), "The flock")
    yield from more


def lead(seen: Seen) -> str:
    """What there is to go by, or what is missing."""
    found = seen.facts.family.merit
    if found.missing:
        return (
            "Nothing is worked out here: the numerical libraries are not installed. Install the program with its "
            "`merit` extra (the README says how) and compile again."
        )
    records = [
        plural(item.records, TRAITS[trait].record)
        for trait, item in found.evaluations.items()
        if item.records and trait != "lambs_weaned"
    ]
    if not records:
        return "Nothing to go by yet: no weight of a lamb and no litter is written."
    known = living(seen)
    without = sum(found.unknown_parents[sheep] > 0 for sheep in known)
    return (
        f"From {and_listed(records)}. Of {plural(len(known), 'living sheep', 'living sheep')} {without} have a parent "
        f"who is not known, or who could be one of several.{doubted(seen)}"
    )


def doubted(seen: Seen) -> str:
    """How many are left out because of their pedigree; nothing where there are none."""
    count = len(seen.facts.family.kin.ordered[0].doubted.intersection(living(seen)))
    what = plural(count, "living sheep", "living sheep")
    told = f" Of {what} nothing is told: what is written of their family contradicts itself (see the pairings)."
    return told if count else ""


def living(seen: Seen) -> list[str]:
    """The sheep that are here."""
    return [animal.id for animal in seen.linked.animals.values() if there(animal, seen.today)]


# One trait


def trait_section(seen: Seen, trait: str, found: Evaluation, table: Table) -> Section:
    """One trait: what it rests on, and the values that say something."""
    how, here = TRAITS[trait], frozenset(living(seen))
    telling = sum(item.animal in here and seen.facts.family.merit.telling(item) for item in found.merits)
    quiet = len(here) - telling
    words = [inherited(found.heritability), rests_on(how, found)]
    if found.records and quiet:
        words.append(f"Of {quiet} of the {plural(len(here), 'living sheep', 'living sheep')}: too little to say.")
    return Section(how.head, (*words, table), f"of-{trait}", f"{telling} of {len(here)} can be told")


def inherited(item: Heritability) -> str:
    """The figures in use and where they come from."""
    again = f", and {item.repeatability:g} repeats in a ewe from year to year" if item.repeatability else ""
    return (
        f"Of the differences between sheep {item.h2:g} is taken to be inherited{again} ({item.source}). The line "
        "“heritabilities” in flock.yaml changes it."
    )


def rests_on(how: Trait, found: Evaluation) -> str:
    """The number of records, and what could not be told apart."""
    if not found.records:
        return f"No {how.record} is written."
    tied = [f"{drop.level.effect} {drop.level.name}" for drop in found.dropped if drop.beside]
    more = f" Not to be told apart in these records, so not allowed for: {and_listed(tied)}." if tied else ""
    return f"Rests on {plural(found.records, how.record)}.{more}"


def merit_table(seen: Seen, trait: str, found: Evaluation, tags: Directory) -> Table:
    """The living sheep of which something can be told, by the lower end of the range."""
    columns = (
        Column("Sheep"),
        Column("Worth as a parent"),
        Column("Range, 80 in a hundred"),
        Column("Reliability"),
        Column("Own records", "number"),
        Column("Its parents"),
    )
    here = frozenset(living(seen))
    told = [item for item in found.merits if item.animal in here and seen.facts.family.merit.telling(item)]
    told.sort(key=lambda item: (-lower_end(found, item), item.animal))
    caption = "In the order of the lower end of the range, so that a doubtful value does not stand above a sure one."
    rows = tuple(merit_row(seen, found, item, tags) for item in told)
    return Table(columns, rows, "Of no living sheep can anything be told yet.", trait, caption if rows else "")


def lower_end(found: Evaluation, item: Merit) -> float:
    """Where the range of a value begins."""
    return item.value - (found.reach or 0.0) * (item.error or 0.0)


def merit_row(seen: Seen, found: Evaluation, item: Merit, tags: Directory) -> Row:
    """One sheep."""
    how, units = TRAITS[found.heritability.trait], seen.settings.units
    low = lower_end(found, item)
    high = 2 * item.value - low
    return Row(
        (
            tags.tag(item.animal),
            how.words(item.value, units),
            f"{how.words(low, units)} to {how.words(high, units)}" if item.error else "too few records",
            BarView(round(item.reliability * 100), f"{item.reliability:.2f}"),
            item.records,
            PARENTS[seen.facts.family.merit.unknown_parents[item.animal]],
        )
    )


# What lies behind


def allowed_table(seen: Seen) -> Table:
    """What each season, sex, age and litter adds, of how many records."""
    columns = (Column("Of"), Column("Allowed for"), Column("Adds", "number"), Column("Records", "number"))
    rows = []
    for trait, found in seen.facts.family.merit.evaluations.items():
        how = TRAITS[trait]
        for item in found.estimates:
            added = how.words(item.value, seen.settings.units) if item.value else "taken as 0"
            rows.append(Row((how.head, f"{item.level.effect}: {item.level.name}", added, item.records)))
    return Table(columns, tuple(rows), "Nothing yet.", "allowed-for")


def left_table(seen: Seen, tags: Directory) -> Table:
    """Records that were not used, and effects that could not be."""
    columns = (Column("Of"), Column("What"), Column("Why", wide=True))
    merit = seen.facts.family.merit
    rows = [row for trait, found in merit.evaluations.items() for row in left_rows(trait, found, tags)]
    head, units = TRAITS["weaning_weight"].head, seen.settings.units
    for lamb, weight, why in merit.without_age if merit.evaluations else ():
        rows.append(Row((head, tags.tag(lamb), Words(f"{NO_AGE[why]} ({weight_words(weight, units)})"))))
    return Table(columns, tuple(rows), "Every record was used, and everything could be allowed for.", "not-used")


def left_rows(trait: str, found: Evaluation, tags: Directory) -> Iterator[Row]:
    """What one trait leaves out."""
    head = TRAITS[trait].head
    for unused in found.unused:
        yield Row((head, tags.tag(unused.record.animal), Words(f"{LEFT_OUT[unused.why]} ({unused.record.value:g})")))
    for drop in found.dropped:
        yield Row((head, effect(drop), Words(dropped_words(drop))))


def effect(drop: Dropped) -> str:
    """A level in words."""
    return f"{drop.level.effect}: {drop.level.name}"


PAGES = (PageMaker("breeding values", make),)
NAVIGATION = (Link(TITLE, PATH, "", "The flock"),)
