"""A mapping proposed from the words over the columns and the cells below them; what cannot be told is asked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from compiler.dates import order_typed
from compiler.schema import Context, Habits
from compiler.shape import Value, replace
from compiler.values import DATE
from flockbook.gathering.doses_told import DoseEar, product_key
from flockbook.gathering.fates import DAY_SAID, FATE_SAID, fate_in
from flockbook.gathering.headings import bare_heading, has_heading, headings_row, kind_proposed, unit_in, words_over
from flockbook.gathering.mappings import (
    BLANKS_ASKED,
    DECIMALS,
    MEANS_NOTHING,
    ORDERS,
    WAIT_IN_HEADING,
    ColumnUse,
    SheetMapping,
    WordUse,
)
from flockbook.gathering.row_reading import TOTALS_SAID
from flockbook.gathering.sheets import CELL_NUMBER, RowSheet, SheetRow, on_one_line
from flockbook.gathering.targets import (
    DAY_ALONE,
    FATE,
    GATHERED_KINDS,
    IN_FATE,
    MOMENT,
    NOT_USED,
    NUMBERS_CALLED,
    OPEN,
    REMARK,
    ROWED,
    SHEEP_BY_SEX,
    Target,
    targets_of,
)
from flockbook.gathering.undecided import BARE_FIGURE
from flockbook.seen import Seen
from flockbook.trade import EWE, RAM, SEX_WORDS, WETHER

NUMBERED_LAMB = re.compile(r"^lamb ?(?P<place>[1-5]) (?P<what>.+)$|^(?P<before>.+?) (?:of )?lamb ?(?P<last>[1-5])$")
WHOSE_FATE = ("ewe", "ram", "lamb", "wether", SHEEP_BY_SEX, "lambing", "past lambings")  # kinds whose sheep live or not
ALIVE_SAID = (
    "alive",
    "live",
    "living",
    "ok",
    "a",
    "well",
    "active",
    "in flock",
    "here",
    "keep",
    "kept",
)  # words for a lamb born alive, which a note does not say
FIGURE_TYPED = re.compile(r"\d+(?P<mark>[.,])\d{1,2}")
ELECTRONIC_SAID = ("eid", "electronic id", "electronic number", "rfid")
SEX_LETTERS = {"e": EWE, "r": RAM, "w": WETHER, "t": RAM, "ewes": EWE, "rams": RAM, "wethers": WETHER}
DAYS_ACROSS = {"weighing": "weight"}  # kinds whose sheets often have a column for each day, and of what
MOST_ASKED = 12  # other words in a column of fates that are asked about
FIGURE_WITH_UNIT = re.compile(r"\d[\d.,]*\s*(?:kgs?|lbs?|pounds?)?\.?", re.I)
WITH_CLOCK = re.compile(r"[ T]\d{1,2}[:.]\d{2}")


class Proposing(Value):
    """What a mapping is proposed by: how doses are heard, how this flock writes days, and what somebody said already of
    the sheet.
    """

    ear: DoseEar
    habits: Habits
    said: SheetMapping = SheetMapping("", "", headings=0)

    @staticmethod
    def of(seen: Seen, kind: str = "") -> Proposing:
        """What a mapping is proposed by in a flock, of a sheet whose rows were said to be of a kind."""
        return Proposing(DoseEar.of(seen), seen.settings.habits, SheetMapping("", kind, headings=0))


def sheet_proposed(sheet: RowSheet, by: Proposing) -> SheetMapping:
    """How a sheet may be read."""
    kind = by.said.kind or kind_proposed(sheet)
    if kind == SHEEP_BY_SEX and not by.said.kind and not has_heading(sheet, "sex"):
        kind = "ewe"
    headings = by.said.headings or headings_row(sheet, kind if kind in GATHERED_KINDS else "")
    if kind not in GATHERED_KINDS:
        return SheetMapping(sheet.name, kind or OPEN, headings)
    heading = next((row for row in sheet.rows if row.number == headings), SheetRow(headings, ()))
    below = [row for row in sheet.rows if row.number > headings and not row.blank and row.texts != heading.texts]
    rows = [row for row in below if not TOTALS_SAID.fullmatch(next(filter(None, row.texts), ""))] or below
    columns = tuple(_Columns(sheet, kind, rows, by).proposed(heading.texts))
    if kind in ("ewe", "ram") and not by.said.kind and any(use.target == "sex" for use in columns):
        kind = SHEEP_BY_SEX
    dates = order_proposed(rows, columns, kind)
    found = SheetMapping(
        sheet.name, kind, headings, dates=order_in_force(dates, kind, by.habits), decimal=decimal_proposed(rows),
        columns=columns, words=tuple(words_proposed(rows, columns, kind)),
        new_medicines=tuple(medicines_proposed(rows, columns, by.ear)), left_out=by.said.left_out,
    )  # fmt: skip
    return replace(found, made_for=found.form)


def order_in_force(proved: str, kind: str, habits: Habits) -> str:
    """The order of days in figures: where the file proves none, the flock's own, but for doses, which are asked for."""
    return habits.dates or OPEN if proved == OPEN and kind != "treatment" else proved


class _Columns:
    """The work of finding what each column of a sheet becomes."""

    def __init__(self, sheet: RowSheet, kind: str, rows: Sequence[SheetRow], by: Proposing) -> None:
        self.sheet, self.kind, self.rows, self.by = sheet, kind, rows, by
        self.known: Mapping[str, Target] = targets_of(kind)
        self.taken: set[str] = set()
        self.tags_beside = self.dayless = False
        self.wide_unit = ""
        self.given: set[str] = set()
        self.named: set[int] = set()
        self.exact: dict[int, str] = {}

    def proposed(self, headings: Sequence[str]) -> Iterator[ColumnUse]:
        """Every column that has a heading or a cell."""
        places = range(max([len(headings), *(len(row.cells) for row in self.rows)]))
        exact = self.exact = {place: bare_heading(headings[place]) for place in places if place < len(headings)}
        self.taken = {name for name in exact.values() if name in self.known and name != REMARK}
        self.tags_beside = any(name in ("tag", *NUMBERS_CALLED) for name in exact.values())
        self.named = {place for place, name in exact.items() if self.target(name)}
        self.dayless = not any(name in words_over("date") for name in exact.values())
        for place in places:
            heading = headings[place] if place < len(headings) else ""
            if heading or any(row.cell(place).text for row in self.rows):
                yield self.column(place, heading)

    def column(self, place: int, heading: str) -> ColumnUse:
        """One column."""
        target = self.target(bare_heading(heading))
        if target in self.given or (target == REMARK and self.names_notes(place)):
            return ColumnUse(place, heading, NOT_USED)
        if target in ("", REMARK) and self.kind in WHOSE_FATE and self.tells_a_fate(place):
            target = self.fate_target(place)
        if target == OPEN:
            return ColumnUse(place, heading, OPEN)
        if target in ("", "weight") and self.kind in DAYS_ACROSS and self.is_of_a_day(place, heading):
            return self.of_a_day(place, heading)
        if not target:
            return ColumnUse(place, heading, self.without_target(place, heading))
        if target == "date":
            target = self.day_target(place)
        self.taken.add(target)
        self.given |= {target} - {REMARK}
        blank = OPEN if target in BLANKS_ASKED and self.has_blanks(place) else ""
        return ColumnUse(place, heading, target, self.unit(place, heading, self.known[target].units), blank=blank)

    def tells_a_fate(self, place: int) -> bool:
        """Whether a cell of a column says that somebody is dead or gone, which no remark may hide."""
        return any(FATE_SAID.search(row.cell(place).text) for row in self.rows)

    def names_notes(self, place: int) -> bool:
        """Whether a column holds nothing but names of notes, as tables have that were handed over."""
        texts = [row.cell(place).text for row in self.rows if row.cell(place).text]
        return bool(texts) and all(text.endswith(".md") for text in texts)

    def fate_target(self, place: int) -> str:
        """What a column of fates becomes: each cell that tells one begins with it, or it is asked."""
        told = [row.cell(place).text for row in self.rows if FATE_SAID.search(row.cell(place).text)]
        takes = FATE in self.known and self.known[FATE].part == IN_FATE and FATE not in self.taken
        fits = takes and all(FATE_SAID.match(text) for text in told)
        return FATE if fits else OPEN

    def has_blanks(self, place: int) -> bool:
        """Whether blank cells of a column may mean the row above: of a second twin, or of a list below its one day."""
        filled = [bool(row.cell(place).text) for row in self.rows]
        many = self.kind == "lambing" or filled.count(False) > filled.count(True)
        return False in filled and filled[0] and many

    def is_of_a_day(self, place: int, heading: str) -> bool:
        """Whether a column is one of figures of one day: its heading names it, or no other column says any."""
        texts = [row.cell(place).text for row in self.rows if row.cell(place).text]
        figures = bool(texts) and all(FIGURE_WITH_UNIT.fullmatch(text) for text in texts)
        return figures and bool(DAY_SAID.search(heading) or (self.dayless and place not in self.named))

    def of_a_day(self, place: int, heading: str) -> ColumnUse:
        """A column of figures of one day; its unit is that of the first such column, where it names none."""
        target = DAYS_ACROSS[self.kind]
        day = day_in(heading, self.by.habits)
        if day == OPEN and not DAY_SAID.search(heading):
            return ColumnUse(place, heading, OPEN)
        unit = self.unit(place, heading, self.known[target].units)
        self.wide_unit = self.wide_unit or ("" if unit == OPEN else unit)
        return ColumnUse(place, heading, target, self.wide_unit or unit if unit == OPEN else unit, day)

    def unit(self, place: int, heading: str, units: Sequence[str]) -> str:
        """The unit of the bare figures of a column: what its heading says, or a question where there are any."""
        named = unit_in(heading)
        bare = any(BARE_FIGURE.fullmatch(row.cell(place).text) for row in self.rows)
        of_each = f"{named} each".strip()
        if of_each in units and bare and self.of_one_each:
            return of_each
        return "" if not units else named if named in units else OPEN if bare else ""

    @property
    def of_one_each(self) -> bool:
        """Whether each row names one sheep, so that its price is that of each and of all."""
        places = [place for place, name in self.exact.items() if name in words_over("sheep")]
        texts = [row.cell(places[0]).text for row in self.rows] if places else []
        return bool(texts) and all(re.fullmatch(r"[\w-]*\d[\w-]*", text) for text in texts)

    def target(self, heading: str) -> str:
        """What a heading says that its column becomes; "" where it says nothing, or another column says it better."""
        if self.is_beside(heading):
            return ""
        if (instead := self.by_the_others(heading)) and instead in self.known and instead not in self.taken:
            return instead
        if heading in self.known:
            return heading
        if (numbered := NUMBERED_LAMB.match(heading)) and self.kind == "lambing":
            place, what = numbered["place"] or numbered["last"], numbered["what"] or numbered["before"]
            found = self.synonym(f"lamb {what}") or self.synonym(what, "lamb ")
            return found.replace("lamb", f"lamb {place}", 1) if found.startswith("lamb ") else ""
        return self.synonym(heading)

    def by_the_others(self, heading: str) -> str:
        """What a heading means by what no other heading says: `born` over the day of a lambing, `who` over sheep."""
        others = [name for name in self.exact.values() if name != heading]
        if heading == "born" and self.kind == "lambing":
            return "" if any(name in words_over("date") for name in others) else "date"
        if heading == "who":
            return "" if any(name in words_over("sheep") for name in others) else "sheep"
        return ""

    def is_beside(self, heading: str) -> bool:
        """Whether a column is not wanted in a note of many rows: the second of each, or a number beside the tag."""
        return self.kind in ROWED and (heading == "time" or (heading in ELECTRONIC_SAID and self.tags_beside))

    def synonym(self, heading: str, only: str = "") -> str:
        """The first target, not taken yet, over whose columns such a heading stands."""
        for name in self.known:
            says = heading in words_over(name) and name.startswith(only)
            if says and (self.kind, name) != ("lambing", "sheep") and (name not in self.taken or name == REMARK):
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
        return OPEN if any(self.by.ear.hears(heading, row.cell(place).text) for row in self.rows) else NOT_USED


def day_in(heading: str, habits: Habits) -> str:
    """The day that a heading names, in ISO form; a question where it names none that is sure."""
    found = DAY_SAID.search(heading)
    order = order_typed(found[0]) or habits.dates if found else ""
    day = DATE.read(found[0], Context(replace(habits, dates=order))) if found else None
    return day.isoformat() if isinstance(day, date) else OPEN


def order_proposed(rows: Sequence[SheetRow], columns: Sequence[ColumnUse], kind: str) -> str:
    """The order in which days in figures are typed: what one day proves and none contradicts, else a question."""
    known = targets_of(kind)
    days = [use.place for use in columns if use.target in known and known[use.target].is_day]
    gone = [use.place for use in columns if use.target in known and known[use.target].part == IN_FATE]
    texts = [row.cell(place).text for row in rows for place in days]
    texts += [fate.day for row in rows for place in gone if (fate := fate_in(row.cell(place).text))]
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


def words_proposed(rows: Sequence[SheetRow], columns: Sequence[ColumnUse], kind: str) -> Iterator[WordUse]:
    """Words for a lamb born alive, which say nothing in a note; letters for a sex; fates without a day."""
    known = targets_of(kind)
    for use in columns:
        said = dict.fromkeys(on_one_line(row.cell(use.place).text) for row in rows if use.target in known)
        strange = sum(not fate_in(text) and text.lower() not in ALIVE_SAID for text in filter(None, said))
        for text in filter(None, said):
            if means := word_meant(text, known[use.target], strange <= MOST_ASKED):
                yield WordUse(text, use.heading, means)


def word_meant(text: str, target: Target, few: bool) -> str:
    """What a word in a column means, `?` where it has to be asked; "" for a word that speaks for itself. Of `few` words
    in a column of fates each is asked about: `the fox` may be one.
    """
    low = text.lower()
    if target.name.endswith("state") or target.part == IN_FATE:
        dayless = target.part == IN_FATE and (few or FATE_SAID.search(text)) and not fate_in(text)
        return MEANS_NOTHING if low in ALIVE_SAID else OPEN if dayless else ""
    if target.name.endswith("sex"):
        known = low.removesuffix(" lamb") in SEX_WORDS
        return "" if known else SEX_LETTERS.get(low.strip("."), OPEN)
    return ""
