"""The year ahead: the days that follow from every joining, planned or begun, month by month."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.breeding.joining_dates import JoiningDates
from flockbook.derive.year.wheel import WheelPart, WheelRow
from flockbook.pages.breeding.due_page import over_guide
from flockbook.pages.sections import Section, SectionsView, Whence
from flockbook.pages.today.year_wheel import wheel_chart
from flockbook.pages.views import Column, Directory, Row, Table, Words, directory
from flockbook.pages.wording import (
    LONG_MONTHS,
    NONE,
    and_listed,
    day_span_words,
    day_words,
    plural,
    quoted,
    short_days_words,
)  # fmt: skip
from flockbook.regional import local, local_all
from flockbook.saying.year import deed_words
from flockbook.seen import Seen

PATH, TITLE = "year-ahead.html", "The year ahead"
PART_SAID = {
    WheelPart.RAM_IN: "ram in", WheelPart.CRAYON: "change the crayon", WheelPart.RAM_OUT: "ram out",
    WheelPart.SCAN: "days that suit a scan", WheelPart.WATCH: "close watch", WheelPart.LAMBS: "lambs can come",
}  # fmt: skip
NOTHING_PLANNED = (
    "No joining is planned and none has lambs still to come. Write the next one ahead: ‘rams: …’, ‘ewes: …’ or ‘mob: "
    "…’, ‘out: …’, and ‘sure: yes’; its day in the file's name."
)
TOO_LONG = "too long a joining for one scan"
AHEAD_RULES = (
    "A joining dated ahead with “sure: yes” is a plan: its days are reckoned, and nobody is exposed or due by it until "
    "its day has come.",
    "Days are counted from ram in and ram out by the flock's own length of pregnancy; without ram out, five weeks, or "
    "until today where that is longer. "
    "Plans are the notes of that kind.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page of the year ahead."""
    del stamp
    rows, tags = seen.facts.year.wheel, directory(seen.linked, seen.today)
    coming = [item for item in seen.facts.breeding.joinings if item.lambs.last >= seen.today.day]
    drawn = wheel_chart(rows, seen.today.day)
    sections = (
        *((Section("The year as a wheel", (drawn,), "wheel"),) if drawn else ()),
        *(joining_section(item, tags) for item in coming),
        *((Section("Month by month", (months_table(rows),), "months"),) if rows else ()),
        Section("How it is reckoned", local_all(AHEAD_RULES), "how"),
    )
    planned = sum(item.planned for item in coming)
    began = len(coming) - planned
    counts = f"{plural(planned, local('joining'))} planned, {began} begun whose lambs are still to come."
    lead = counts if coming else local(NOTHING_PLANNED)
    yield Page(PATH, "sections.html", TITLE, SectionsView(lead, sections), "The year")


def joining_section(item: JoiningDates, tags: Directory) -> Section:
    """One joining with its days."""
    columns = (Column("What"), Column("When"))
    told = (
        ("Ram in", day_words(item.ram_in)),
        ("Change the crayon", ", ".join(day_words(day) for day in item.crayons) or NONE),
        ("Ram out", day_words(item.ram_out) if item.ram_out else out_words(item)),
        ("Scan", day_span_words(item.scan.first, item.scan.last) if item.scan else local(TOO_LONG)),
        ("Close watch from", day_words(item.watch_from)),
        ("Lambs", day_span_words(item.lambs.first, item.lambs.last)),
    )
    table = Table(columns, tuple(map(Row, told)), "")
    rams = tags.tags(item.rams)
    by = and_listed([ram.name or ram.tag for ram in map(tags.tag, item.rams)])
    head = f"{'Planned' if item.planned else 'Begun'}: for the lambs of {item.season}, by {by}"
    who = f"{plural(len(item.ewes), 'ewe')}{over_guide(item)}; {plural(len(item.rams), 'ram')}:"
    return Section(head, (who, rams, table, Whence(item.note)), f"joining-{item.ram_in.isoformat()}-{item.rams[0]}")


def out_words(item: JoiningDates) -> str:
    """What is reckoned where no ram out is written, as on the due list."""
    if item.by_hand:
        return NONE
    if item.told_out:
        return f"not written: drafted away or gone on {day_words(item.told_out)}"
    return "not written: counted as in until today" if item.too_long_in else "not written: five weeks are reckoned"


def months_table(rows: Iterable[WheelRow]) -> Table:
    """Everything in order of time."""
    columns = (Column("Month"), Column("When"), Column("What", wide=True), Column("For"))
    shown: list[Row] = []
    month = ""
    for row in rows:
        name = f"{LONG_MONTHS[row.first.month - 1]} {row.first.year}"
        what = quoted(deed_words(row.what)) if row.what else PART_SAID[row.part]
        when = short_days_words(row.first, row.last)
        plan = " (planned)" if row.planned else ""
        if shown and shown[-1].cells[1:] == (when, Words(f"{what}{plan}"), f"lambs of {row.season}"):
            continue  # the same of another joining
        shown.append(Row((name if name != month else "", when, Words(f"{what}{plan}"), f"lambs of {row.season}")))
        month = name
    return Table(columns, tuple(shown), local(NOTHING_PLANNED), "months-table")


PAGES = (PageMaker("the year ahead", make),)
NAVIGATION = (Link(TITLE, PATH, "", "The year"),)
