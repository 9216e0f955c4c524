"""The fleece sheet: what each sheep's fleece weighed, all of them together by year and class, and what wool brought."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.farm.fleeces import Fleece, FleeceYear
from flockbook.flock import there
from flockbook.pages.sections import Aside, PencilSheet, Section, SectionsView, pencil_row
from flockbook.pages.views import Cell, Column, Directory, Row, Table, day, directory
from flockbook.pages.wording import NONE, plural, weight_words
from flockbook.records.sheep import EWE, RAM
from flockbook.saying.money import MONEY_SIGNS, sum_words
from flockbook.seen import Seen

PATH, TITLE = "fleeces.html", "Fleeces"
NO_FLEECE = (
    "No fleece is weighed yet: in a note named like ‘2026-06-20 job shearing.md’ a line ‘- C230 fleece {2.1 kg}, class "
    "fine’, or ‘fleece: {84 kg}’ for them all, opens the sheet."
)
FLEECE_RULES = (
    "A line counts for its sheep; `fleece` in the head of the note for those it names without a line, together.",
    "What wool brought are money notes `for: wool` with `in: yes` of the same calendar year.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The fleece page, with a blank sheet for the next shearing."""
    del stamp
    found, tags = tuple(reversed(seen.facts.farm.fleeces)), directory(seen.linked, seen.today)
    years = [year_section(seen, item, tags) for item in found]
    sections = (
        Section("Year by year", (fleece_years_table(seen, found),), "years"),
        *years,
        Section("For the next shearing", (fleece_sheet(seen, tags),), "sheet"),
        Section("How it is counted", tuple(rule.replace("`", "") for rule in FLEECE_RULES), "how"),
    )
    yield Page(PATH, "sections.html", TITLE, SectionsView(lead(seen, found), sections), "The farm")


def lead(seen: Seen, found: tuple[FleeceYear, ...]) -> str:
    """The latest year in a sentence."""
    if not found:
        return seen.settings.measures.example(NO_FLEECE)
    last = found[0]
    each = weight_words(last.kg / last.heads, seen.settings.units)
    return f"{last.year}: {plural(last.heads, 'fleece')}, {weight_words(last.kg, seen.settings.units)}, {each} each."


def fleece_years_table(seen: Seen, found: Iterable[FleeceYear]) -> Table:
    """One row for each year."""
    sign, units = MONEY_SIGNS.get(seen.settings.currency.upper(), ""), seen.settings.units
    columns = (Column("Year"), Column("Fleeces", "number"), Column("Weight", "number"), Column("Each", "number"),
               Column("Wool brought", "number"), Column("For each fleece", "number"))  # fmt: skip
    rows = tuple(
        Row((
            str(item.year), item.heads, weight_words(item.kg, units), weight_words(item.kg / item.heads, units),
            sum_words(item.income, sign), sum_words(item.income / item.heads if item.income else None, sign),
        ))
        for item in found
    )  # fmt: skip
    return Table(columns, rows, seen.settings.measures.example(NO_FLEECE), "fleece-years")


def year_section(seen: Seen, item: FleeceYear, tags: Directory) -> Section:
    """One year: by class, then sheep by sheep, the heaviest first."""
    units = seen.settings.units
    classes = (Column("Class"), Column("Fleeces", "number"), Column("Weight", "number"))
    by_class = tuple(Row((name or "not classed", heads, weight_words(kg, units))) for name, heads, kg in item.by_class)
    columns = (Column("Sheep"), Column("Day"), Column("Fleece", "number", sort=True), Column("Time before", "number"),
               Column("Class"), Column("Said", wide=True))  # fmt: skip
    cells = [fleece_cells(one, tags, units) for one in sorted(item.fleeces, key=lambda one: -one.each_kg)]
    told = [place for place in range(len(columns)) if any(row[place] for row in cells)]
    shown, rows = tuple(columns[place] for place in told), tuple(Row(tuple(row[i] for i in told)) for row in cells)
    body = (Table(classes, by_class, ""), Table(shown, rows, "", f"fleeces-{item.year}"))
    return Section(str(item.year), body, f"year-{item.year}", weight_words(item.kg, units))


def fleece_cells(one: Fleece, tags: Directory, units: str) -> tuple[Cell, ...]:
    """One fleece; what nobody wrote of it is left blank, and a column of which nobody wrote is left out."""
    who: Cell = tags.tag(one.sheep[0]) if len(one.sheep) == 1 else f"{one.heads} together"
    before = weight_words(one.before_kg, units)
    return who, day(one.day) or NONE, weight_words(one.kg, units), before, one.fleece_class or "", one.remark or ""


def fleece_sheet(seen: Seen, tags: Directory) -> PencilSheet | Aside:
    """Everybody to be shorn, with the last fleece beside the blank."""
    last = {one.sheep[0]: one.kg for item in seen.facts.farm.fleeces for one in item.fleeces if len(one.sheep) == 1}
    columns = (Column("Sheep"), Column("Last fleece", looks="history"), Column("Fleece", looks="blank"),
               Column("Class, notes", looks="blank roomy"))  # fmt: skip
    animals = [one for one in seen.linked.animals.values() if one.sex in (EWE, RAM) and not one.lent]
    grown = [one for one in animals if there(one, seen.today) and one.tag and is_shorn(seen, one.id)]
    rows = tuple(
        pencil_row((tags.tag(one.id), weight_words(last.get(one.id), seen.settings.units) or NONE), columns)
        for one in sorted(grown, key=lambda one: one.id)
    )
    return PencilSheet("Fleeces", columns, rows, "Nobody of a year or more is here.", close=True)


def is_shorn(seen: Seen, sheep: str) -> bool:
    """Whether a sheep is a year old or more: lambs are left in their wool (common practice)."""
    born = seen.linked.animals[sheep].born
    return born is None or (seen.today.day - born.latest).days >= 365


PAGES = (PageMaker("fleeces", make),)
NAVIGATION = (Link(TITLE, PATH, "", "The farm"),)
