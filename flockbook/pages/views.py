"""The small views that pages are made of: what a template may see, settled to the last word."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime
from functools import cached_property, lru_cache

from compiler.book import Moment
from compiler.pages import Html, slug
from compiler.shape import Value, field
from flockbook.derive.medicine.withdrawal import CLEAR, HELD, UNKNOWN, Clearance, State
from flockbook.derive.plain.because import Because
from flockbook.derive.plain.intervals import Share
from flockbook.flock import Flock, there
from flockbook.pages.wording import (
    as_sentence,
    day_words,
    hundred_words,
    moment_words,
    per_head_words,
    quoted,
    share_words,
)
from flockbook.regional import local, local_around
from flockbook.saying.because import step_words
from flockbook.saying.standing import to_do

ASKED = "asked"  # the meat of a lamb that is clear by its own notes and may be sucking a ewe who is not (V14)
OF_CLEARANCE = re.compile(r"[VW]\d")


class Day(Value):
    """A day (or a moment) as printed; `iso` is for machines."""

    iso: str
    text: str
    kind: str = "day"


class Tag(Value):
    """A sheep as its ear tag. `href` "" means it has no page; `status` is here, gone or untagged."""

    tag: str
    name: str
    href: str
    status: str
    kind: str = "sheep"


class TagList(Value):
    """Several sheep in one cell; many are counted in words (`folded`) and shown on a tap."""

    sheep: tuple[Tag, ...]
    folded: str = ""
    kind: str = "sheep list"


class StateView(Value):
    """Clear, held, unknown or asked; `until` where a date is known; `href` to what is to be mended; `say` the deed."""

    state: str
    until: Day | None
    href: str
    kind: str = "state"
    say: str = ""


class ShareView(Value):
    """Counts first ("9 of 10"), then the rate, then its range; `few` is a warning in words or ""."""

    part: str
    rate: str
    span: str
    few: str
    kind: str = "share"


class LinkView(Value):
    """A link in a cell."""

    text: str
    href: str
    kind: str = "link"


class Words(Value):
    """A longer text in a cell; on a sheet for paper it may look `strong` or `history`."""

    text: str
    kind: str = "words"
    looks: str = "words"


class Folded(Value):
    """A long text in a cell, behind words that open it."""

    summary: str
    text: str
    kind: str = "folded"


class BarView(Value):
    """A figure with a bar of so many hundredths."""

    hundredths: int
    text: str
    kind: str = "bar"


class Drawing(Value):
    """A small drawing in a cell."""

    svg: Html
    kind: str = "drawing"


class Stack(Value):
    """Several things in one cell."""

    parts: tuple[Tag | StateView | Words | LinkView, ...]
    kind: str = "stack"


class WorkingStep(Value):
    """One step of a working."""

    text: str
    path: str
    line: int


FIRST, SPARE = "first", "spare"  # in a table of `lines`: beside the tag, and only where the glass is wide


class Column(Value):
    """One column of a table; `looks` on paper: history, blank, blank roomy; in a table of `lines`: FIRST, SPARE."""

    label: str
    align: str = "text"
    wide: bool = False
    sort: bool = False
    looks: str = ""


Cell = str | int | Day | Tag | TagList | StateView | ShareView | LinkView | Words | Folded | BarView | Stack | Drawing


class Row(Value):
    """One row; the first cell heads it. `looks` "struck" for corrected notes."""

    cells: tuple[Cell, ...]
    looks: str = ""


class Table(Value):
    """A table, or the words in its place when it is empty; `pager` leads to where a long one goes on. On a phone
    `lines` are two a row: heading and FIRST column, then the others; what is SPARE stands where the heading leads to.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    empty: str
    id: str = ""
    caption: str = ""
    foot: tuple[Cell, ...] = ()
    filter: str = ""
    pager: tuple[PageLink, ...] = ()
    lines: bool = False
    kind: str = "table"


class RowView(Value):
    """One line of a list that is tapped as a whole; `late` says how late it is, `lines` what else belongs to it, and
    `folded` stands in their place until it is tapped; a `deed` has its words on a line of their own; sheep that are
    `many` are counted, and `named` on a tap.
    """

    sheep: Tag | None
    href: str
    title: str
    when: Cell | None
    more: str
    lines: tuple[str, ...] = ()
    late: str = ""
    deed: bool = False
    many: str = ""
    named: str = ""
    folded: str = ""


class Pair(Value):
    """A label and its value, for one-look blocks."""

    label: str
    value: Cell
    wide: bool = False


class Count(Value):
    """A figure and what it counts."""

    figure: str
    label: str


class Caution(Value):
    """A caution in the book's own words, with its source."""

    head: str
    lines: tuple[str, ...]
    source: str = ""
    grave: bool = False
    kind: str = "caution"


class Chart(Value):
    """A drawn chart and the table of its figures."""

    id: str
    title: str
    note: str
    svg: Html
    table: Table | None
    wide: bool = False
    kind: str = "chart"


class PageLink(Value):
    """A link to a page; `current` when it is this one."""

    label: str
    href: str
    current: bool = False


class Directory(Value, dict=True):
    """Where each animal's page is, settled once for the whole book so that links never differ."""

    flock: Flock
    today: Moment
    paths: dict[str, str] = field(default_factory=dict)

    @cached_property
    def made(self) -> dict[str, Tag]:
        """The tags made so far."""
        return {}

    def tag(self, sheep: str) -> Tag:
        """A sheep's ear tag, by id; an id that is no animal is shown as words without a link."""
        if sheep not in self.made:
            self.made[sheep] = self._tag(sheep)
        return self.made[sheep]

    def _tag(self, sheep: str) -> Tag:
        animal = self.flock.animals.get(sheep)
        if animal is None:
            return Tag("", sheep, "", "untagged")
        status = "untagged" if not animal.tag else "here" if there(animal, self.today) else "gone"
        name = animal.name or ("" if animal.tag else animal.id)
        return Tag(animal.tag or "", name, self.paths.get(sheep, ""), status)

    def tags(self, sheep: Iterable[str]) -> TagList:
        """Several ear tags."""
        return TagList(tuple(self.tag(item) for item in sheep))


@lru_cache(maxsize=1)
def directory(flock: Flock, today: Moment) -> Directory:
    """Page paths for all animals: `sheep/c214.html`, made different where two would be the same."""
    taken: dict[str, str] = {}
    paths: dict[str, str] = {}
    for sheep in sorted(flock.animals):
        base, number = slug(sheep), 1
        name = base
        while name in taken:
            number += 1
            name = f"{base}-{number}"
        taken[name] = sheep
        paths[sheep] = f"sheep/{name}.html"
    return Directory(flock, today, paths)


def day(value: date | None) -> Day | None:
    """A day as printed, or None."""
    return Day(value.isoformat(), day_words(value)) if value else None


def moment_view(value: datetime) -> Day:
    """A day and a time."""
    return Day(value.strftime("%Y-%m-%dT%H:%M"), moment_words(value))


def state_view(state: State, href: str) -> StateView:
    """A clearance state; a first clear date is shown as a date, an exact release with its time."""
    if state.state == HELD and state.until is not None:
        shown = day(state.until.date()) if state.by_day else moment_view(state.until)
        return StateView(HELD, shown, href)
    if state.state == UNKNOWN:
        return StateView(UNKNOWN, None, href if state.mend else "", say=to_do(state))
    return StateView(state.state, None, href)


def meat_view(row: Clearance, href: str) -> StateView:
    """Where an animal's meat stands; a lamb at the foot of a ewe who is not clear is a question (V14)."""
    if row.sucking is not None and row.meat.state == CLEAR:
        return StateView(ASKED, None, "", say=local("sucking"))
    return state_view(row.meat, href)


def milk_view(row: Clearance, href: str) -> StateView | str:
    """Where its milk stands; "" where nobody asks for its milk."""
    return state_view(row.milk, href) if row.milked else ""


def share_view(share: Share) -> ShareView:
    """A share in counts, then per cent, then its range."""
    if share.value is None:
        return ShareView("no data", "", "", "")
    if share.low is None or share.high is None:
        return ShareView(f"{share.count} for {share.of}", per_head_words(share.value), "", "")
    return ShareView(
        f"{share.count} of {share.of}",
        share_words(share.value) if share.rankable else "",
        hundred_words(share.low, share.high),
        "too few for a rate" if share.few else "",
    )


def reasons(because: Iterable[Because]) -> tuple[WorkingStep, ...]:
    """The steps of a working."""
    return tuple(WorkingStep(ruled_words(item), item.note, item.line or 0) for item in because)


def ruled_words(item: Because) -> str:
    """A step, with the rule that it follows where that is one of clearance."""
    return f"{item.rule}: {step_words(item)}" if OF_CLEARANCE.match(item.rule) else step_words(item)


def reasons_and_cures(row: Clearance) -> tuple[WorkingStep, ...]:
    """Why an animal is not clear, in the order in which the reasons decide, each with what to type where that helps."""
    cures = {hold.because: hold.cure for hold in reversed(row.holds)}
    steps = zip(reasons(row.because), row.because, strict=True)
    return tuple(
        WorkingStep(quoted(f"{as_sentence(step.text)} To mend it: {local_around(cures[item])}"), step.path, step.line)
        if cures.get(item)
        else step
        for step, item in steps
    )
