"""A mapping proposed from the words over the columns and the cells below them; what cannot be told is asked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from compiler.dates import order_typed
from compiler.nearness import plain
from flockbook.gathering.doses_told import DoseEar, product_key
from flockbook.gathering.mappings import (
    DECIMALS,
    MEANS_NOTHING,
    ORDERS,
    WAIT_IN_HEADING,
    ColumnUse,
    SheetMapping,
    WordUse,
)
from flockbook.gathering.sheets import CELL_NUMBER, RowSheet, SheetRow, on_one_line
from flockbook.gathering.targets import (
    DAY_ALONE,
    GATHERED_KINDS,
    MOMENT,
    NOT_USED,
    NUMBERS_CALLED,
    OPEN,
    OVER_COLUMNS,
    REMARK,
    ROWED,
    SHEEP_BY_SEX,
    Target,
    targets_of,
)

LOOKED_FOR_HEADINGS = 25  # rows at the top of a sheet among which its headings are looked for (our own choice)
UNIT_IN_HEADING = re.compile(
    r"[\s(\[,/]*\b(?P<unit>kgs?|kilos?|lbs?|pounds?|mls?|days?|d|hours?|hrs?|weeks?|each|total)\b[\s)\].]*$", re.I
)
UNIT_CALLED = {
    "k": "kg", "l": "lb", "p": "lb", "m": "ml", "d": "days", "h": "h", "w": "weeks", "e": "each", "t": "total",
}  # fmt: skip
NUMBERED_LAMB = re.compile(r"^lamb ?(?P<place>[1-5]) (?P<what>.+)$|^(?P<before>.+?) (?:of )?lamb ?(?P<last>[1-5])$")
WHOSE_FATE = ("ewe", "ram", "lamb", "wether", SHEEP_BY_SEX, "lambing", "past lambings")  # kinds whose sheep live or not
FATE_SAID = re.compile(
    r"\b(?:dead|died|doa|still ?born|sold|culled|butchered|slaughtered|put down|euthani[sz]ed|lost)\b", re.I
)
ALIVE_SAID = ("alive", "live", "living", "ok", "a", "well")  # words for a lamb born alive, which a note does not say
FIGURE_TYPED = re.compile(r"\d+(?P<mark>[.,])\d{1,2}")
BARE_FIGURE = re.compile(r"\d[\d.,]*")
ELECTRONIC_SAID = ("eid", "electronic id", "electronic number", "rfid")
WITH_CLOCK = re.compile(r"[ T]\d{1,2}[:.]\d{2}")
# Words in the name of a sheet, by what its rows are; the first that fits.
SHEETS_CALLED = (
    ("past lambings", ("past lambing", "old lambing", "past birth", "old birth")),
    ("lambing", ("lambing", "birth")), ("treatment", ("treatment", "medicine book", "dosing", "drench")),
    ("medicine", ("medicine", "cupboard", "product")), ("weaning", ("weaning",)), ("weighing", ("weigh", "weight")),
    ("sale", ("sale", "sold")), ("death", ("death", "died", "dead")), ("purchase", ("purchase", "bought")),
    ("move", ("move", "paddock", "grazing")), ("check", ("condition", "score", "check")),
    ("ewe", ("ewe",)), ("ram", ("ram", "tup")), (SHEEP_BY_SEX, ("sheep", "flock", "animal", "stock list")),
)  # fmt: skip


def sheet_proposed(sheet: RowSheet, said: str, ear: DoseEar) -> SheetMapping:
    """How a sheet may be read; `said` is what its rows were said to be, "" where nothing was said."""
    kind = said or kind_proposed(sheet)
    if kind not in GATHERED_KINDS:
        return SheetMapping(sheet.name, kind or OPEN)
    headings = headings_row(sheet, kind)
    rows = [row for row in sheet.rows if row.number > headings and not row.blank]
    heading = next((row for row in sheet.rows if row.number == headings), SheetRow(headings, ()))
    columns = tuple(_Columns(sheet, kind, rows, ear).proposed(heading.texts))
    if kind in ("ewe", "ram") and not said and any(use.target == "sex" for use in columns):
        kind = SHEEP_BY_SEX
    return SheetMapping(
        sheet.name, kind, headings, dates=order_proposed(rows, columns, kind), decimal=decimal_proposed(rows),
        columns=columns, words=tuple(words_proposed(rows, columns)),
        new_medicines=tuple(medicines_proposed(rows, columns, ear)),
    )  # fmt: skip


def kind_proposed(sheet: RowSheet) -> str:
    """What the rows of a sheet are, by its name or that of its file; "" where neither says."""
    if not any(not row.blank for row in sheet.rows):
        return NOT_USED
    name = plain(sheet.name or sheet.file.rpartition(".")[0]).replace("_", " ").replace("-", " ").lower()
    return next((kind for kind, words in SHEETS_CALLED if any(word in name for word in words)), "")


def headings_row(sheet: RowSheet, kind: str) -> int:
    """The row that holds most of the words that stand over columns; the first where none does."""
    rows = [row for row in sheet.rows[:LOOKED_FOR_HEADINGS] if not row.blank]
    known = {word for target in targets_of(kind) for word in (target, *OVER_COLUMNS.get(target, ()))}
    found = {row.number: sum(bare_heading(text) in known for text in row.texts) for row in rows}
    return max(found, key=lambda number: (found[number], -number)) if found else 1


def bare_heading(text: str) -> str:
    """A heading in small letters, without its unit and its signs."""
    without = UNIT_IN_HEADING.sub("", text)
    return " ".join(re.sub(r"[^\w ]", " ", (without or text).lower().replace("_", " ")).split())


def unit_in(heading: str) -> str:
    """The unit that a heading names; "" for none."""
    found = UNIT_IN_HEADING.search(heading)
    return UNIT_CALLED[found["unit"][0].lower()] if found else ""


class _Columns:
    """The work of finding what each column of a sheet becomes."""

    def __init__(self, sheet: RowSheet, kind: str, rows: Sequence[SheetRow], ear: DoseEar) -> None:
        self.sheet, self.kind, self.rows, self.ear = sheet, kind, rows, ear
        self.known: Mapping[str, Target] = targets_of(kind)
        self.taken: set[str] = set()
        self.tags_beside = False

    def proposed(self, headings: Sequence[str]) -> Iterator[ColumnUse]:
        """Every column that has a heading or a cell."""
        places = range(max([len(headings), *(len(row.cells) for row in self.rows)]))
        exact = {place: bare_heading(headings[place]) for place in places if place < len(headings)}
        self.taken = {name for name in exact.values() if name in self.known and name != REMARK}
        self.tags_beside = any(name in ("tag", *NUMBERS_CALLED) for name in exact.values())
        for place in places:
            heading = headings[place] if place < len(headings) else ""
            if heading or any(row.cell(place).text for row in self.rows):
                yield self.column(place, heading)

    def column(self, place: int, heading: str) -> ColumnUse:
        """One column."""
        target = self.target(bare_heading(heading))
        if target in ("", REMARK) and self.kind in WHOSE_FATE and self.tells_a_fate(place):
            return ColumnUse(place, heading, OPEN)
        if not target:
            return ColumnUse(place, heading, self.without_target(place, heading))
        if target == "date":
            target = self.day_target(place)
        self.taken.add(target)
        return ColumnUse(place, heading, target, self.unit(place, heading, self.known[target].units))

    def tells_a_fate(self, place: int) -> bool:
        """Whether a cell of a column says that somebody is dead or gone, which no remark may hide."""
        return any(FATE_SAID.search(row.cell(place).text) for row in self.rows)

    def unit(self, place: int, heading: str, units: Sequence[str]) -> str:
        """The unit of the bare figures of a column: what its heading says, or a question where there are any."""
        named = unit_in(heading)
        bare = any(BARE_FIGURE.fullmatch(row.cell(place).text) for row in self.rows)
        return "" if not units else named if named in units else OPEN if bare else ""

    def target(self, heading: str) -> str:
        """What a heading says that its column becomes; "" where it says nothing, or another column says it better."""
        if self.is_beside(heading):
            return ""
        if heading in self.known:
            return heading
        if (numbered := NUMBERED_LAMB.match(heading)) and self.kind == "lambing":
            place, what = numbered["place"] or numbered["last"], numbered["what"] or numbered["before"]
            found = self.synonym(f"lamb {what}") or self.synonym(what, "lamb ")
            return found.replace("lamb", f"lamb {place}", 1) if found.startswith("lamb ") else ""
        return self.synonym(heading)

    def is_beside(self, heading: str) -> bool:
        """Whether a column is not wanted in a note of many rows: the second of each, or a number beside the tag."""
        return self.kind in ROWED and (heading == "time" or (heading in ELECTRONIC_SAID and self.tags_beside))

    def synonym(self, heading: str, only: str = "") -> str:
        """The first target, not taken yet, over whose columns such a heading stands."""
        for name in self.known:
            says = heading in (name, *OVER_COLUMNS.get(name, ())) and name.startswith(only)
            if says and (name not in self.taken or name == REMARK):
                return name
        return ""

    def day_target(self, place: int) -> str:
        """Whether the days of a column have a time, and what becomes of it."""
        timed = any(WITH_CLOCK.search(row.cell(place).text) for row in self.rows)
        return (DAY_ALONE if self.kind in ROWED else MOMENT) if timed and MOMENT in self.known else "date"

    def without_target(self, place: int, heading: str) -> str:
        """What becomes of a column of which nothing is known: in a treatment nothing may be lost."""
        if not any(row.cell(place).text for row in self.rows):
            return NOT_USED
        if self.kind == "treatment":
            return OPEN if WAIT_IN_HEADING.search(heading) else REMARK
        return OPEN if any(self.ear.hears(heading, row.cell(place).text) for row in self.rows) else NOT_USED


def order_proposed(rows: Sequence[SheetRow], columns: Sequence[ColumnUse], kind: str) -> str:
    """The order in which days in figures are typed: what one day proves and none contradicts, else a question."""
    known = targets_of(kind)
    days = [use.place for use in columns if use.target in known and known[use.target].is_day]
    texts = [row.cell(place).text for row in rows for place in days]
    figured = [text for text in texts if re.match(r"\d{1,2}[/.-]\d{1,2}\b", text)]
    proved = {order for text in figured if (order := order_typed(text))}
    return ORDERS[2] if not figured else proved.pop() if len(proved) == 1 else OPEN


def decimal_proposed(rows: Sequence[SheetRow]) -> str:
    """The decimal mark that the figures have; a question where both stand."""
    typed = (cell.text for row in rows for cell in row.cells if cell.sort != CELL_NUMBER)
    marks = {match["mark"] for text in typed if (match := FIGURE_TYPED.fullmatch(text.strip().split(" ")[0]))}
    return DECIMALS[1] if marks == {","} else OPEN if len(marks) > 1 else DECIMALS[0]


def medicines_proposed(rows: Sequence[SheetRow], columns: Sequence[ColumnUse], ear: DoseEar) -> Iterator[str]:
    """The products of treatments that have no note, each as it is typed first."""
    known = set(ear.noted)
    for use in columns:
        for row in rows if use.target == "medicine" else ():
            name = on_one_line(row.cell(use.place).text)
            if name and product_key(name) not in known:
                known.add(product_key(name))
                yield name


def words_proposed(rows: Sequence[SheetRow], columns: Sequence[ColumnUse]) -> Iterator[WordUse]:
    """Words for a lamb born alive, which say nothing in a note."""
    for use in columns:
        if use.target.endswith("state"):
            said = dict.fromkeys(on_one_line(row.cell(use.place).text) for row in rows)
            yield from (WordUse(text, use.heading, MEANS_NOTHING) for text in said if text.lower() in ALIVE_SAID)
