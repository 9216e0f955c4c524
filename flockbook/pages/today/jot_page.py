"""The jot page: what happens at night and in the race, tapped into a tablet and given out as lines for the inbox.

The page itself says how a line is written by hand; the script and its data make the buttons. Nothing is worked out
there: no dose is filled in, and nobody is called clear.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from datetime import timedelta
from typing import Any

from compiler.book import PageMaker, Stamp
from compiler.pages import Asset, Link, Page
from compiler.shape import Value
from flockbook.flock import Animal, birth_order, happened, there
from flockbook.jotting.filing import inbox_lines
from flockbook.records.breeding import Lambing
from flockbook.records.event import Event
from flockbook.records.places import Paddock
from flockbook.regional import local
from flockbook.seen import Seen

JOT_PATH, JOT_DATA = "jot.html", "jot-data.js"
LAMBED_DAYS = 60  # days in which a second birth of a ewe is told before it is kept (our own limit)
TABLET_KEEPS_DAYS = 30  # days that a tablet keeps a line which the book shows as filed (our own limit)
ENDS_IN_FIGURES = re.compile(r"(.*?)(\d+)$")


class JotLine(Value):
    """One way to write a line by hand: what happened, and the line."""

    what: str
    line: str


class JotView(Value):
    """The page: what stands there without scripts."""

    lead: str
    lines: tuple[JotLine, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page | Asset]:
    """The page and what its script knows."""
    del stamp
    lead = "Tap what happened. The tablet keeps each line until you give it out to the inbox of the notes."
    yield Page(JOT_PATH, "jot.html", "Jot", JotView(lead, tuple(written_by_hand(seen))))
    data = json.dumps(jot_data(seen), ensure_ascii=False, separators=(",", ":"))
    yield Asset(JOT_DATA, f"window.FLOCKBOOK_JOT={data};\n".encode("utf-8", "replace"))


def written_by_hand(seen: Seen) -> Iterator[JotLine]:
    """Lines as a person types them, with a ewe and a weight of this flock."""
    ewe = next((one for one in sheep_here(seen) if one.sex == "ewe" and one.tag), None)
    tag, day = (ewe.tag if ewe and ewe.tag else "C214"), seen.today.day.isoformat()
    light, heavy = ("4.1", "4.6") if not pounds(seen) else ("9.0", "10.2")
    yield JotLine("a birth", f"{day} 03:40 {tag} lambed ewe {light}; ram {heavy} assisted one leg back")
    yield JotLine(local("a ewe in labour"), f"{day} 03:10 {tag} {local('labour')} waters")
    yield JotLine("a medicine given", f"{day} 07:00 {tag} treated NAME OF THE MEDICINE; 2.5 ml; for foot")
    yield JotLine("a lamb fed", f"{day} 04:00 {tag}'s ewe lamb tubed 150 ml; ewe colostrum")
    yield JotLine("a weight", f"{day} 09:00 {tag} weighed {'61' if not pounds(seen) else '134'}")
    yield JotLine("a move", f"{day} 10:00 {tag} moved to NAME OF THE PADDOCK")
    yield JotLine("a death", f"{day} 06:00 {tag} dead; by the wall")
    yield JotLine("anything else", f"{day} 06:00 {tag} remark thin, watch her")


def pounds(seen: Seen) -> bool:
    """Whether this flock weighs in pounds."""
    return seen.settings.habits.units == "us"


def sheep_here(seen: Seen) -> list[Animal]:
    """Everybody who is here."""
    return [one for one in seen.linked.animals.values() if there(one, seen.today)]


def jot_data(seen: Seen) -> dict[str, Any]:
    """All that the script knows."""
    due = {row.ewe: row.due.earliest for row in seen.facts.breeding.due.rows}
    return {
        "flock": seen.settings.flock,
        "made": seen.today.day.isoformat(),
        "unit": "lb" if pounds(seen) else "kg",
        "keep": TABLET_KEEPS_DAYS,
        "sheep": [sheep_row(seen, one, due.get(one.id)) for one in sheep_here(seen)],
        "mobs": sorted({mob for one in sheep_here(seen) if (mob := one.mob_on(seen.today.day))}),
        "places": sorted({place.name for place in seen.collection.of(Paddock) if place.name}),
        "medicines": sorted({note.name for notes in seen.linked.medicines.values() for note in notes if note.name}),
        "next": next_tag(seen),
        "stays": {" ".join(item.line.text.split()): item.why.message for item in inbox_lines(seen) if item.why},
        "filed": [" ".join(one.jotted.split()) for one in seen.collection.of(Event) if one.jotted],
    }


def sheep_row(seen: Seen, one: Animal, due: Any) -> list[str]:
    """Tag, what else it is called, sex, first day that it may lamb, mob, place, and the day that it lambed last."""
    since = seen.today.day - timedelta(days=LAMBED_DAYS)
    births = [event for event in seen.linked.by_animal.get(one.id, ()) if isinstance(event, Lambing)]
    lambed = [event.date for event in births if event.date and event.date >= since and happened(event, seen.today)]
    at = seen.facts.land.grazing.places.get(one.id)
    ground = seen.facts.land.grazing.ground.get(at.place) if at else None
    place = (ground.name if ground else at.place) if at else ""
    return [one.tag or "", one.name or ("" if one.tag else one.id), one.sex or "", due.isoformat() if due else "",
            one.mob_on(seen.today.day) or "", place, max(lambed).isoformat() if lambed else ""]  # fmt: skip


def next_tag(seen: Seen) -> str:
    """The tag after the highest of the row from which the last lamb got its own; "" where there is no such row."""
    lambs = [one for one in seen.linked.animals.values() if one.birth and one.tag and ENDS_IN_FIGURES.match(one.tag)]
    if not lambs:
        return ""
    last = max(lambs, key=birth_order)
    worn = {tag for one in seen.linked.animals.values() for tag in one.tags}
    rows = [found for tag in worn if (found := ENDS_IN_FIGURES.fullmatch(tag))]
    here = ENDS_IN_FIGURES.fullmatch(last.tag or "")
    assert here is not None
    return after_the_highest(here, [found for found in rows if found[1] == here[1] and len(found[2]) == len(here[2])])


def after_the_highest(here: re.Match[str], row: Iterable[re.Match[str]]) -> str:
    """The next number of a row of tags, with as many figures as they have."""
    highest = max(int(found[2]) for found in row)
    return f"{here[1]}{highest + 1:0{len(here[2])}d}"


PAGES = (PageMaker("jot", make),)
NAVIGATION = (Link("Jot", JOT_PATH, ""),)
