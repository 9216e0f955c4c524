"""What the words over the columns of a sheet, its name and its title say of its rows."""

from __future__ import annotations

import re

from compiler.nearness import plain
from flockbook.gathering.sheets import RowSheet
from flockbook.gathering.targets import GATHERED_KINDS, NOT_USED, OVER_COLUMNS, SHEEP_BY_SEX, said_by_each, targets_of

LOOKED_FOR_HEADINGS = 25  # rows at the top of a sheet among which its headings are looked for (our own choice)
UNIT_IN_HEADING = re.compile(
    r"[\s(\[,/]*\b(?P<unit>kgs?|kilos?|lbs?|pounds?|mls?|ccs?|days?|d|hours?|hrs?|weeks?|each|total)\b[\s)\].]*$", re.I
)
UNIT_CALLED = {
    "k": "kg", "l": "lb", "p": "lb", "m": "ml", "c": "ml", "d": "days", "h": "h",
    "w": "weeks", "e": "each", "t": "total",
}  # fmt: skip
OF_GROWN_SHEEP = ("name", "breed", "sire", "father", "status")  # headings of a list of sheep, not of their births
# Kinds that are known by their headings alone, those that ask for most first.
KNOWN_BY_COLUMNS = ("treatment", "lambing", "weighing", "egg count", "scan", "ewe")
# Words in the name of a sheet, by what its rows are; the first that fits.
SHEETS_CALLED = (
    ("egg count", ("egg count", "fec ", "fecal", "faecal")), ("scan", ("scan", "preg check", "ultrasound")),
    ("tagging", ("tagging", "retag")), ("past lambings", ("past lambing", "old lambing", "past birth", "old birth")),
    ("lambing", ("lambing", "birth")),
    ("treatment", ("treatment", "medicine book", "dosing", "drench", "worming", "vaccin", "shots")),
    ("medicine", ("medicine", "cupboard", "product")), ("treatment", ("meds", "health")),
    ("weaning", ("weaning",)), ("weighing", ("weigh", "weight")),
    ("sale", ("sale", "sold")), ("death", ("death", "died", "dead")), ("purchase", ("purchase", "bought")),
    ("move", ("move", "paddock", "grazing")), ("check", ("condition", "score", "check")),
    ("ewe", ("ewe",)), ("ram", ("ram", "tup")), (SHEEP_BY_SEX, ("sheep", "flock", "animal", "stock list")),
)  # fmt: skip


def kind_proposed(sheet: RowSheet) -> str:
    """What the rows of a sheet are, by its name or that of its file, its title, or its columns; "" where none says."""
    if not any(not row.blank for row in sheet.rows):
        return NOT_USED
    named = kind_called(sheet.name or sheet.file.rpartition(".")[0])
    title = next((row for row in sheet.rows if not row.blank), None)
    lone = [text for text in title.texts if text] if title else []
    return named or (kind_called(lone[0]) if len(lone) == 1 else "") or kind_by_columns(sheet)


def kind_called(text: str) -> str:
    """The kind of rows that a name or a title tells of; "" for none."""
    name = f"{plain(text).replace('_', ' ').replace('-', ' ').lower()} "
    return next((kind for kind, words in SHEETS_CALLED if any(word in name for word in words)), "")


def kind_by_columns(sheet: RowSheet) -> str:
    """The first kind of which the headings name all that a row must say."""
    heads = headings_in(sheet)
    for kind in (kind for kind in KNOWN_BY_COLUMNS if kind != "lambing" or heads.isdisjoint(OF_GROWN_SHEEP)):
        groups = said_by_each(kind) if kind != "ewe" else (("tag",), ("born", "sex", "dam", *OF_GROWN_SHEEP))
        if all(any(heads & words_over(target) for target in group) for group in groups):
            return kind
    return ""


def headings_in(sheet: RowSheet) -> set[str]:
    """The headings of a sheet of which nobody knows yet what its rows are."""
    row = headings_row(sheet, "")
    texts = next((one.texts for one in sheet.rows if one.number == row), ())
    return {bare_heading(text) for text in texts if text}


def has_heading(sheet: RowSheet, target: str) -> bool:
    """Whether a heading of a sheet stands over columns of a target."""
    return not headings_in(sheet).isdisjoint(words_over(target))


def words_over(target: str) -> set[str]:
    """The words that stand over columns of a target."""
    return {target, *OVER_COLUMNS.get(target, ())}


def headings_row(sheet: RowSheet, kind: str) -> int:
    """The row that holds most of the words that stand over columns; the first where none does."""
    rows = [row for row in sheet.rows[:LOOKED_FOR_HEADINGS] if not row.blank]
    kinds = (kind,) if kind else GATHERED_KINDS
    known = {word for one in kinds for target in targets_of(one) for word in words_over(target)}
    found = {row.number: sum(bare_heading(text) in known for text in row.texts) for row in rows}
    return max(found, key=lambda number: (found[number], -number)) if found else 1


def bare_heading(text: str) -> str:
    """A heading in small letters, without its unit and its signs."""
    without = UNIT_IN_HEADING.sub("", text.replace("_", " "))
    return " ".join(re.sub(r"[^\w ]", " ", (without or text).lower().replace("_", " ")).split())


def unit_in(heading: str) -> str:
    """The unit that a heading names; "" for none."""
    found = UNIT_IN_HEADING.search(heading.replace("_", " "))
    return UNIT_CALLED[found["unit"][0].lower()] if found else ""
