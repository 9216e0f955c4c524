"""What age of dam, sex and litter are worth: the factors in use with their source, beside the flock's own figures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.growth.own_effects import OwnEffect
from flockbook.pages.growth.growth import FOOTING_PATH, PATH, source_words
from flockbook.pages.sections import Pager, Section, SectionsView
from flockbook.pages.views import Column, PageLink, Row, Table, Words
from flockbook.pages.wording import plural, weight_words
from flockbook.saying.growth import NO_OWN_EFFECTS
from flockbook.seen import Seen

PART_WORDS = {"dam": "dam's age in years", "sex": "sex", "type": "born / reared"}
PRINTED_RULES = (
    "A factor multiplies a lamb's weight, so that it stands beside a single ewe lamb of a ewe of three to six years.",
    "Factors change with a flock's level of weight; differences in weight do so less (Notter et al. 2015, Genet. "
    "Sel. Evol. 47:57, 29 flocks of 500 records and more). Your own differences are worked out by least squares "
    "within season and mob, against the commonest class of each kind. A class with fewer than five lambs is left "
    "out. Where a range holds 0, these lambs cannot say whether there is a difference at all.",
    "Ratios and the list of who is behind use the factors only. Tables of two generations differ by a tenth for twins, "
    "so lean on neither for a few per cent.",
    "To use factors of your own, save a table in the notes folder in the form of the one in the program (part, class, "
    "factor, known, with its source in a line `# source:`) and name it in flock.yaml: `adjustment factors: ours.csv`.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    sections = (
        Section("Factors in use", (factor_table(seen),), "in-use"),
        Section("This flock's own differences", (own_lead(seen), own_table(seen)), "of-its-own"),
        Section("How to read them", PRINTED_RULES, "how"),
    )
    view = SectionsView(source_words(seen.settings), sections, foot=(Pager((PageLink("Growth", PATH),)),))
    yield Page(FOOTING_PATH, "sections.html", "What dam, sex and litter are worth", view, "Growth")


def factor_table(seen: Seen) -> Table:
    """Each factor, whether it was read in print, and how many lambs of this flock it was used for."""
    table = seen.settings.factors
    tally = Counter(
        (part, name)
        for row in seen.facts.growth.adjusted.values()
        if row.adjusted is not None
        for part, name in zip(PART_WORDS, row.classes, strict=True)
    )
    known = {True: "from memory", False: "printed" if table.generic else "your own"}
    rows = [
        Row((PART_WORDS[part], name, f"{factor:.2f}", known[(part, name) in table.unsure], tally[part, name]))
        for (part, name), factor in table.values.items()
    ]
    columns = (
        Column("Of"), Column("Class"), Column("Factor", "number"), Column("Known"), Column("Lambs here", "number"),
    )  # fmt: skip
    return Table(columns, tuple(rows), "The table has no factor.", "factors")


def own_lead(seen: Seen) -> str:
    """From how many lambs, and what the classes are held against; or why there is nothing."""
    own = seen.facts.growth.own_effects
    if own.why:
        return NO_OWN_EFFECTS[own.why]
    base = ", ".join(f"{PART_WORDS[part]} {name}" for part, name in own.base.items())
    spread = weight_words(own.spread, seen.settings.units)
    return f"From {plural(own.lambs, 'lamb')}, against {base}. Lambs of one class still differ by {spread} (one SD)."


def own_table(seen: Seen) -> Table:
    """Each class against the commonest, with its range."""
    own = seen.facts.growth.own_effects
    columns = (
        Column("Of"), Column("Class"), Column("Against the commonest", "number"), Column("95 % range", "number"),
        Column("Lambs", "number"),
    )  # fmt: skip
    rows = [own_row(item, seen.settings.units) for item in own.rows]
    return Table(columns, tuple(rows), "No difference of the flock's own can be told yet.", "own")


def own_row(item: OwnEffect, units: str) -> Row:
    """One class."""
    span = "needs the optional scipy" if item.low is None or item.high is None else range_words(item, units)
    return Row((PART_WORDS[item.part], item.name, signed(item.kg, units), Words(span), item.count))


def range_words(item: OwnEffect, units: str) -> str:
    """The interval of a difference."""
    return f"{signed(item.low or 0.0, units)} to {signed(item.high or 0.0, units)}"


def signed(kg: float, units: str) -> str:
    """A difference with its sign, in the flock's unit."""
    return f"{'−' if kg < 0 else '+'}{weight_words(abs(kg), units)}"


PAGES = (PageMaker("factors", make),)
NAVIGATION: tuple[Link, ...] = ()
