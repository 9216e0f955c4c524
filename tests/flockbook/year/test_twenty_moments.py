"""What stands first on Today at more than twenty moments of two years, decided by hand from the notes, and that no page
nor the calendar says otherwise.

What is owed and when is that of the published figures in `facts.md` (labour limits of Lambing 2018 as set in the
flock's own settings, afterbirth 24 hours, navel 6 hours); how it is ranked is our own choice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from types import ModuleType
from xml.etree.ElementTree import Element

import html5lib
import pytest
from icalendar import Calendar

from compiler.shape import Value
from flockbook.handover.calendar import calendar
from flockbook.pages.lambing import watch
from flockbook.pages.sheep import sheep_page
from flockbook.pages.today import front, to_do
from flockbook.seen import Seen
from tests.flockbook.families import DEMO, drawn, made
from tests.flockbook.small import Notes, unchecked
from tests.flockbook.year.hill_flock import WHIN_BANK
from tests.flockbook.year.pound_flock import DRY_FORK

JOINED = "events/2025-10-15 joining Boone.md"
RAM_OUT: Notes = {**DRY_FORK, JOINED: "---\newes: Sage, Juniper, Aspen, Willow, Laurel, Hazel\nout: 2025-11-19\n---\n"}
ASK_VET = "ask the vet before you give more"


class Line(Value):
    """One row as a reader sees it: whose ear tag, by when, what, and the small print."""

    who: str
    when: str
    what: str
    more: str


class At(Value):
    """A moment: the flock's notes, when, the rows that stand under Now, and some that stand under Owed."""

    notes: Notes
    on: str
    now: tuple[tuple[str, str, str], ...] = ()
    owed: tuple[str, ...] = ()


def corrie_hask() -> Notes:
    """The demo flock."""
    kept = (".md", ".yaml", ".csv")
    found = {path.relative_to(DEMO).as_posix(): path.read_bytes() for path in DEMO.rglob("*") if path.suffix in kept}
    del found["README.md"]
    return found


HASK = corrie_hask()
ABORTED = ("W3 Aspen", "now", "aborted on 20 Feb 2026: whoever is or may be pregnant keeps away")
WILLOW = ("W4 Willow", "now", "aborted on 24 Feb 2026: whoever is or may be pregnant keeps away")
COURSE = ("W2 Juniper", "14 Mar", f"penicillin: {ASK_VET}")
SECOND_NOW = ("H1", "24 Mar", "second dose of clostridial, from 10 Mar 2026")
UNHEARD = ("W1 Sage", "now", "not heard of since 12 Mar 2026, 04:30, chilled then: look now")
LAME = ("W6 Hazel", "now", "lameness, left hind, ill since 10 May 2026")
SECOND = ("H1", "24 Mar", "second dose of clostridial is late (the first was on 10 Feb 2026): ask the vet")
LAUREL = ("W5 Laurel", "20 Apr", "put to the ram, not lambed: 2 days past her last day, 20 Apr 2026")
# No end of the joining is written: he is counted as in for a year at most, and their last day does not move with today.
LAUREL_LATE = ("W5 Laurel", "25 Oct", "put to the ram, not lambed: 67 days past her last day, 25 Oct 2026")
LING = ("A3 Ling", "now", "called lame on 20 Oct 2025, ")
# Twin-lamb disease kills in the last six weeks (common practice): off her feed then, the vet.
SLOE_DULL = ("A4 Sloe", "now", "off her feed, ill since 10 Mar 2026: ring the vet")
MOSS_LOOK = ("A1 Moss", "28 Mar", "look at her again after help: 1, 6 and 24 hours on")
MOMENTS = {
    "the eve of joining": At(DRY_FORK, "2025-10-14", (), ("W5 Laurel look at every mouth: not written for these",)),
    "a ram still in": At(DRY_FORK, "2026-01-20", (), ("R1 Boone ram out? two heats have passed",)),
    "a hogg's vaccine": At(DRY_FORK, "2026-02-12", (), ("ewes' booster: late, ask the vet before you give it",)),
    "one ewe missed": At(
        DRY_FORK, "2026-02-20", (), ("W6 Hazel ewes' booster: not written for these; late, ask the vet",)
    ),
    "two abortions": At(
        DRY_FORK, "2026-02-25T12:00", (WILLOW, ABORTED)
    ),
    "a second dose": At(
        DRY_FORK, "2026-03-11T08:00",
        (SECOND_NOW, WILLOW, ABORTED),
    ),
    "three in the morning": At(
        DRY_FORK, "2026-03-12T02:45",
        (("W1 Sage", "12 Mar, 02:40", "look again"), SECOND_NOW, WILLOW, ABORTED),
    ),
    "a chilled lamb": At(
        DRY_FORK, "2026-03-12T05:30",
        (("902", "12 Mar, 06:30", "100.4 °F at 04:30, chilled"), SECOND_NOW, WILLOW, ABORTED)
    ),
    "after a hard birth": At(
        DRY_FORK, "2026-03-14T10:00",
        (UNHEARD, ("W2 Juniper", "13 Mar, 16:00", "look at her again, 6 h"), SECOND_NOW, WILLOW, ABORTED),
    ),
    "a course gone by": At(
        DRY_FORK, "2026-03-20T12:00", (COURSE, SECOND_NOW, WILLOW, ABORTED, UNHEARD)
    ),
    "past her last day": At(
        RAM_OUT, "2026-04-22",
        (LAUREL, UNHEARD, SECOND, COURSE, ABORTED),
    ),
    "a count one short": At(
        DRY_FORK, "2026-05-01T18:00",
        (("W6 Hazel", "1 May", "9 counted in main on 1 May 2026, 1 short: not seen"), SECOND, COURSE, ABORTED),
    ),
    "sale day, one lame": At(
        DRY_FORK, "2026-05-12", (LAME, SECOND, COURSE, ABORTED)
    ),
    "quarantine ends": At(DRY_FORK, "2026-06-05", (SECOND, COURSE, LAME, ABORTED), ("B1 kept apart until this day",)),
    "the year's end": At(
        DRY_FORK, "2026-12-31", (SECOND, COURSE, LAUREL_LATE, LAME, ABORTED),
        ("R1 Boone ram out?", "look at every mouth 1 Sep 2026"),
    ),
    "an abortion that day": At(HASK, "2025-03-09T18:00", (("C226", "now", "aborted on 9 Mar 2025: whoever"),)),
    "scan day": At(HASK, "2026-02-04T20:00"),
    "six weeks before lambing": At(HASK, "2026-02-27", (), ("start the twins on cake 27 Feb 2026",)),
    "counted one short": At(HASK, "2026-03-01T12:00", (("", "1 Mar", "33 counted in hill on 1 Mar 2026, 1 short"),)),
    "counted again": At(HASK, "2026-03-02T08:00"),
    "an ewe straining": At(
        HASK, "2026-04-19T03:20",
        (
            ("C214 Bramble", "19 Apr, 03:15", "look again"),
            ("C015 Curlew", "now", "twin-lamb disease, ill since 18 Apr 2026: ring the vet"),
            ("C120 Sedge", "18 Apr, 07:00", "the scan saw 2 lambs, 1 is written: look for another"),
            ("504 Rasp", "18 Apr, 00:45", "afterbirth not written as seen, a whole day on: ring the vet"),
            ("C324", "18 Apr, 22:30", "not written as up and minding them"),
        ),
    ),
    "noon on the twenty-third": At(
        HASK, "2026-04-23T12:00",
        (
            ("C015 Curlew", "now", "twin-lamb disease, ill since 18 Apr 2026: ring the vet"),
            ("740", "23 Apr, 08:00", "38.4 °C at 06:00, chilled when last measured, the card has the steps"),
            ("518 Campion", "23 Apr, 05:10", "look at her again, 6 h after help"),
            ("C214 Bramble", "20 Apr", "look at her again after help"),
            ("C312", "22 Apr, 18:00", "afterbirth not written as seen, a whole day on: ring the vet"),
            ("C113 Linnet", "23 Apr, 12:00", "not written as up and minding them"),
        ),
    ),
    "a ram drafted away": At(
        WHIN_BANK, "2025-12-20", (LING,), ("T1 Garth ram out? drafted away or gone on 15 Dec 2025",)
    ),
    "one passed over at the scan": At(
        WHIN_BANK, "2026-01-29", (LING,),
        ("A5 Haw scanned empty: decide who stays", "A7 Dock not scanned with the others: counts as in lamb"),
    ),
    "hay not counted": At(
        WHIN_BANK, "2026-02-10", (LING,),
        ("count the hay: if all were fed it since 5 Nov 2025, it may be out on", "A7 Dock not scanned"),
    ),
    "empty is no plan of lambing": At(
        WHIN_BANK, "2026-03-02", (LING,), ("ask the vet before you give it 28 Feb 2026 Sloe (A4), Dock (A7)",)
    ),
    "dull, three weeks to go": At(WHIN_BANK, "2026-03-10T20:00", (SLOE_DULL, LING)),
    "hands in": At(
        WHIN_BANK, "2026-03-31T02:40",
        (("A2 Fern", "31 Mar, 03:05", "hands in since 02:35: with nothing gained ring the vet by 03:05"),
         MOSS_LOOK, SLOE_DULL, LING),
    ),
    "a lamb with a cold mouth": At(
        WHIN_BANK, "2026-03-31T04:00",
        (("804", "now", "called cold at 03:30: take its temperature now"),
         ("A2 Fern", "31 Mar, 04:00", "the scan saw 3 lambs, 2 are written: look for another"),
         MOSS_LOOK, SLOE_DULL, LING),
    ),
    "cold, and not heard of since": At(
        WHIN_BANK, "2026-04-03T07:00",
        (("A2 Fern", "now", "not heard of since 31 Mar 2026, 04:45, badly chilled then"), MOSS_LOOK, SLOE_DULL, LING),
    ),
    "a second egg count": At(
        WHIN_BANK, "2026-05-28",
        (("A4 Sloe", "16 May", "scanned with 2, not lambed: 12 days past her last day"),
         ("A7 Dock", "16 May", "put to the ram, not lambed: 12 days past her last day"),
         ("A3 Ling", "15 May", "scanned with 1, not lambed: 13 days past her last day")),
        ("second egg count of the test May, after ivermectin: between 27 May 2026 and 6 Jun 2026",),
    ),
    "the vet's visit": At(
        HASK, "2026-11-25",
        (("C231", "22 Nov", f"procaine penicillin 300,000 units/mL: {ASK_VET}"),),
    ),
}  # fmt: skip


def words(node: Element) -> str:
    """The words of an element, blanks as one."""
    return " ".join(" ".join(node.itertext()).replace("\u00a0", " ").split())


def page_of(seen: Seen, family: ModuleType, path: str) -> Element:
    """A page as a browser reads it."""
    page = next(page for page in made(seen, family) if page.path == path)
    found: Element = html5lib.parse(drawn(page, seen), namespaceHTMLElements=False)
    return found


def sections(page: Element) -> dict[str, Element]:
    """The sections of a page by their heading, without the count."""
    found: dict[str, Element] = {}
    for part in page.iter("section"):
        head = part.find("h2")
        if head is not None:
            found.setdefault(re.sub(r" \d+( .*)?$", "", words(head)), part)
    return found


def rows(part: Element | None) -> Iterator[Line]:
    """The rows of a section."""
    for item in part.iter("li") if part is not None else ():
        spans = {(span.get("class") or "").split(" ")[0]: words(span) for span in item.findall("span")}
        late = next((words(span) for span in item.iter("span") if span.get("class") == "rel late"), "")
        more = " ".join(words(span) for span in item.iter("span") if span.get("class") == "more")
        what = spans.get("asked", "")
        who = spans.get("what", "") if what else ""
        when = spans.get("when", "").removesuffix(late).strip()
        yield Line(who, when, what or spans.get("what", ""), f"{late} {more}".strip())


def of_long_ago(today: Element) -> Iterator[Line]:
    """The rows that Today folds below what is owed: of so long ago that only their end is to be written."""
    for fold in sections(today)["Owed"].iter("details"):
        yield from rows(fold)


@pytest.mark.parametrize("name", MOMENTS)
def test_what_is_to_be_done_now_stands_first_and_no_page_contradicts_it(name: str) -> None:
    """The rows under Now, all of them in order, each with her tag, what and by when; the same on To do, on each sheep's
    own page, on the watch board and in the calendar.
    """
    at = MOMENTS[name]
    seen = unchecked(at.notes, at.on)
    today = page_of(seen, front, "index.html")
    pressing, old = list(rows(sections(today).get("Now"))), list(of_long_ago(today))
    told = {(row.who, row.when): row for row in (*pressing, *old)}
    expected = {(who, when): what for who, when, what in at.now}
    assert told.keys() == expected.keys()
    assert all(told[key].what.startswith(what) for key, what in expected.items())
    folded = {(row.who, row.when) for row in old}
    assert [(row.who, row.when) for row in pressing] == [key for key in expected if key not in folded]
    first = [*pressing, *old]
    owed = words(sections(today)["Owed"])
    assert [text for text in at.owed if text not in owed] == []
    quiet = not first and owed == "Owed 0 Nothing is owed as far as the notes tell."
    assert quiet or "othing is owed" not in words(today)
    asked = sections(page_of(seen, to_do, "to-do.html"))
    assert list(rows(asked.get("Now"))) == pressing
    assert list(rows(asked.get("Of long ago: write how it ended"))) == old
    same_on_her_page(seen, first)
    same_on_the_watch_board(seen, first)
    same_in_the_calendar(seen, first)


def same_on_her_page(seen: Seen, first: list[Line]) -> None:
    """Each row with one ear tag stands on that sheep's own page, word for word."""
    paths = {animal.tag: f"sheep/{animal.id.lower()}.html" for animal in seen.linked.animals.values()}
    wanted = {paths[row.who.split(" ")[0]]: row for row in first if row.who}
    for page in made(seen, sheep_page):
        if page.path in wanted:
            (own, *_) = rows(sections(html5lib.parse(drawn(page, seen), namespaceHTMLElements=False)).get("Now"))
            row = wanted.pop(page.path)
            assert (own.when, own.what, own.more) == (row.when, row.what, row.more)
    assert wanted == {}


def same_on_the_watch_board(seen: Seen, first: list[Line]) -> None:
    """What hangs on an hour of labour or birth stands on the watch board with that hour and her tag."""
    board = words(page_of(seen, watch, "watch.html"))
    for row in first:
        if ":" in row.when:
            assert row.when.split(", ")[1] in board
            assert row.who in board
    assert "othing is owed" not in board


def same_in_the_calendar(seen: Seen, first: list[Line]) -> None:
    """Each row is an event that names the sheep, what, and by when."""
    events = Calendar.from_ical(calendar(seen)).walk("VEVENT")
    told = [str(item["summary"]).replace("\u00a0", " ") for item in events]
    for row in first:
        tag = row.who.split(" ")[0]
        assert any(tag in text and row.what in text and row.when in text for text in told), row


def test_at_the_moments_both_flocks_are_asked_about() -> None:
    """Twenty moments at least, of a flock in kilograms and of one in pounds."""
    assert len(MOMENTS) > 20
    assert {at.notes["flock.yaml"] == DRY_FORK["flock.yaml"] for at in MOMENTS.values()} == {True, False}
