"""Pages of the season: what they say of the demo flock and of small ones, and that strict readers accept them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

import html5lib
import pytest

from compiler.book import Stamp
from compiler.pages import Asset, Link, Page
from compiler.templatecheck import check
from compiler.templates import Theme
from flockbook.pages.contents import Frame, frame
from flockbook.pages.growth import race
from flockbook.pages.lambing import crop, patterns
from flockbook.pages.season import season_page, seasons
from flockbook.pages.season.season_figures import losses_figure, spread_figure
from flockbook.pages.sections import Aside, PencilSheet, Subhead
from flockbook.pages.today import to_do
from flockbook.pages.views import ShareView, Table
from tests.flockbook.families import blocks_in, one_table, pencil_sheet, sentences_in, table_in
from tests.flockbook.small import Seen, read
from tests.flockbook.typed_flock import Ewe, deaths, litter, season, weaning

ROOT = Path(__file__).parents[3]
DEMO, LEDGER = ROOT / "site_demo", ROOT / "themes" / "ledger"
FAMILIES = (seasons, season_page, crop, to_do, race)
FIRST_WATCH = "2026-04-18T06:00"


@cache
def demo(on: str = "2026-11-25") -> Seen:
    """The demo flock, read once for each day asked about."""
    kept = (".md", ".yaml", ".csv")
    found = {path.relative_to(DEMO).as_posix(): path.read_bytes() for path in DEMO.rglob("*") if path.suffix in kept}
    del found["README.md"]
    return read(found, on)


def stamp(seen: Seen) -> Stamp:
    """The stamp of a book made on that day."""
    return Stamp(seen.today, "now", 503, 503, 0, "2026-11-24", 0, 0, 0, 0)


def made(seen: Seen, family: ModuleType) -> Iterator[Page]:
    """The pages of one family."""
    for maker in family.PAGES:
        for page in maker.make(seen, stamp(seen)):
            assert not isinstance(page, Asset)
            yield page


def drawn(page: Page, seen: Seen) -> str:
    """A page as HTML."""
    links: tuple[Link, ...] = tuple(link for family in FAMILIES for link in family.NAVIGATION)
    return Theme(LEDGER).draw(page, frame(seen, stamp(seen)), links).decode()


def page_at(seen: Seen, path: str) -> Page:
    """The page at a path."""
    return next(page for family in FAMILIES for page in made(seen, family) if page.path == path)


def row(table: Table, head: str) -> tuple[Any, ...]:
    """The cells of the row with this heading, which may lead to the notes behind it."""
    return next(item.cells for item in table.rows if getattr(item.cells[0], "text", item.cells[0]) == head)


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize(
    "seen", [demo(), demo(FIRST_WATCH), read({}, "2026-06-10")], ids=["autumn", "lambing", "nothing written"]
)
def test_pages_are_well_formed(family: ModuleType, seen: Seen) -> None:
    """A strict reader finds nothing wrong, in November, at lambing, and with no note at all."""
    for page in made(seen, family):
        html5lib.HTMLParser(strict=True).parse(drawn(page, seen))


@pytest.mark.parametrize("family", FAMILIES)
def test_templates_ask_only_for_what_the_views_hold(family: ModuleType) -> None:
    """Every field that a template names is in the typed view."""
    views = {page.template: type(page.view) for page in made(demo(), family)}
    told = [item for item in check(Theme(LEDGER), views, Frame) if item.span.path.split("/")[-1] in views]
    assert [item.message for item in told if item.grade.value == "error"] == []


@pytest.mark.parametrize("family", FAMILIES)
def test_links_of_the_contents_lead_to_pages(family: ModuleType) -> None:
    """Whatever the navigation names is made, even by an empty flock."""
    for seen in (demo(), read({}, "2026-06-10")):
        assert {link.path for link in family.NAVIGATION} <= {page.path for page in made(seen, family)}


def test_what_the_demo_hides_is_brought_out() -> None:
    """2024 one wet field, 2025 a man and a roof that came together, 2026 nothing (the demo's own story)."""
    view = page_at(demo(), "seasons.html").view
    said: dict[str, list[str]] = {}
    for block in blocks_in(view, "standouts-head"):
        if isinstance(block, Subhead):
            year = said.setdefault(block.text, [])
        elif isinstance(block, Aside) and block.looks == "words":
            year.append(block.text)
    assert [sentence.split(":")[0] for sentence in said["2024"]] == ["Sike Field"]
    (man, by_him), (roof, under_it) = (sentence.split(": ", 1) for sentence in said["2025"])
    assert (man, roof) == ("Fergus", "Shed")
    assert by_him == f"{under_it} That proves nothing of who helped: a helper is fetched because help is needed."
    assert by_him.startswith("7 of 8 births helped, 2 of 24 of all others: more, ")
    assert said["2026"] == ["Nothing stood out from the rest."]
    assert row(table_in(view, "causes-head"), "exposure")[1:] == (6, 0, 0)


def test_what_two_changes_at_once_cannot_tell() -> None:
    """In 2025 more births were helped and no more lambs lay wrong; the year is a hint, and that 2026, when both things
    were changed, was better is called chance (the demo's own story).
    """
    changes = blocks_in(page_at(demo(), "seasons.html").view, "changes-head")
    fold = changes[changes.index(Subhead("2025 and 2026")) + 2]
    better = next(sentence for sentence in fold.body[0].texts if " helped in " in sentence)
    assert better.startswith("9 of 32 helped in 2025, 3 of 32 in 2026: chance alone could do that;")
    (page,) = (page for page in made(demo(), patterns) if page.path == patterns.PATH)
    *found, _, hints = blocks_in(page.view, "found")
    assert [aside.text.split(":")[0] for aside in found] == ["Nothing stands out"]
    (year,) = (aside.text for aside in hints.body if aside.text.startswith("Season"))
    assert year.startswith("Season, 2025: 9 of 32 births helped, 7 of 62 of all others: more, ")
    (seasons_,) = (section.body[0] for section in page.view.sections if section.head == "By season")
    assert [row(seasons_, name)[1].part for name in ("2024", "2025", "2026")] == ["4 of 47", "3 of 47", "3 of 49"]


def test_small_counts_are_never_a_bare_percentage() -> None:
    """On the demo's pages no share of fewer than ten has a rate, every one has its range, and few are called few."""
    crops = [page.view for page in made(demo(), crop) if re.fullmatch(r"crop-\d+\.html", page.path)]
    tables = [block for view in crops for block in blocks_in(view, "groups") if isinstance(block, Table)]
    shares = [cell for table in tables for item in table.rows for cell in item.cells if isinstance(cell, ShareView)]
    assert len(shares) > 50
    for share in shares:
        count, _, of = share.part.partition(" of ")
        if count == "no data":
            continue
        assert bool(share.rate) == (int(of) >= 10)
        assert "in a hundred" in share.span
        assert (share.few == "too few for a rate") == (int(of) < 30)


def test_seasons_that_run_are_called_so_far() -> None:
    """In the middle of lambing the page says that the figures are not final, and nothing is said of weaning."""
    seen = demo(FIRST_WATCH)
    view = page_at(seen, "seasons.html").view
    assert "2026 is not over" in view.lead
    assert row(table_in(view, "indices-head"), "Lambs weaned for each ewe exposed")[-1].part == "no data"
    assert row(table_in(view, "indices-head"), "Lost before weaning, of lambs born alive")[-1].part == "no data"


def test_a_crop_tells_each_lamb_and_its_fate() -> None:
    """Weaned and kept, sold, dead with its cause, born dead, fostered: one row each, in order of birth."""
    notes, born = season([Ewe(("ewe 4.0 kg", "ram 4.4 kg")), Ewe(("ewe 3.9 kg", "ram 3.0 kg stillborn"))])
    tags = [tag for tag, _ in born]
    notes |= deaths([(tags[1], date(2024, 3, 16))])
    notes |= weaning([tags[0], tags[2]], date(2024, 7, 1), 30.0)
    notes["events/2024-03-16 foster.md"] = f"---\nlamb: {tags[0]}\nonto: E1\n---\n"
    notes["events/2024-09-06 sale.md"] = f"---\nsheep: {tags[2]}\nuse: slaughter\n---\n"
    view = page_at(read(notes, "2024-12-20"), "crop-2024.html").view
    lambs = table_in(view, "lambs-head").rows
    fates = [str(item.cells[-1]).replace("\u00a0", " ") for item in lambs]
    assert fates == ["here, reared by E1", "died 16 Mar, exposure", "sold 6 Sep, slaughter", "born dead"]
    assert [item.cells[5] for item in lambs] == ["4.0", "4.4", "3.9", "3.0"]
    assert lambs[3].cells[4] == "twin, ram, light"
    assert "Twins: 4 weighed, the middle one 4.0 kg, all from 3.0 kg to 4.4 kg; 1 light, none heavy." in sentences_in(
        view, "lambs-head"
    )[0].replace("\u00a0", " ")
    assert lambs[0].cells[6:8] == ("30.0", f"{26000 / 108:.0f}")
    assert [(count.figure, count.label) for count in view.top[0].counts][:4] == [
        ("4", "lambs born"), ("3", "born alive"), ("1", "lost before weaning"), ("2", "weaned"),
    ]  # fmt: skip


def test_the_list_is_cut_by_time_and_done_things_are_apart() -> None:
    """Yesterday is late, today is today, eight days on is not this week; a task that is done stands in the fold."""
    today = date(2026, 6, 10)
    notes = {}
    for place, days in enumerate((-1, 0, 7, 8, 100)):
        day = today + timedelta(days=days)
        notes[f"events/2026-06-01 task {place}.md"] = f"---\nwhat: job {place}\ndue: {day}\n---\n"
    notes["events/2026-06-01 task 9.md"] = "---\nwhat: job 9\ndue: 2026-06-05\ndone: 2026-06-04\n---\n"
    view = page_at(read(notes, "2026-06-10"), "to-do.html").view
    said = {part.head: [item.cells[0] for item in part.body[0].rows] for part in view.sections}
    assert said == {
        "Late": ["job 0"], "Today": ["job 1"], "In the next seven days": ["job 2"],
        "In the next three months": ["job 3"], "Later": ["job 4"],
    }  # fmt: skip
    *_, done = view.foot
    assert [item.cells[0] for item in done.body[0].rows] == ["job 9"]
    assert view.lead.startswith("1 late, 1 for today, 1 this week.")


def test_a_count_that_was_put_right_is_not_asked_about_again() -> None:
    """The demo's hill was one short on 1 March 2026 and whole the next morning."""
    view = page_at(demo(), "counts.html").view
    said = [getattr(item.cells[-1], "text", item.cells[-1]) for item in one_table(view).rows]
    assert "1 short; a count of 2 Mar 2026 agrees again" in said
    _, asked = page_at(demo("2026-03-02"), "counts.html").view.sections
    assert "no tags were read" in asked.head
    assert len(asked.body[0].rows) == 4


def test_race_sheets_list_every_mob_by_tag_with_what_to_know() -> None:
    """Each mob under its name, numbers in order of size; an animal that is not clear is marked on every sheet it stands
    on; blanks are blank.
    """
    seen = demo()
    papers = [block for block in page_at(seen, "race-worms.html").view.top if isinstance(block, PencilSheet)]
    for paper in papers:
        tags = [line.cells[0].tag for line in paper.rows if line.cells[0].tag]
        assert tags == sorted(tags, key=lambda tag: race.by_tag(seen.linked.animals[tag])[1])
    mobs = {seen.linked.animals[sheep].mob_on(seen.today.day) for sheep in seen.facts.medicine.guard.standing}
    assert {paper.caption.partition(":")[0] for paper in papers} == {mob or "In no mob" for mob in mobs}
    rows = [line for paper in papers for line in paper.rows]
    assert len(rows) == len(seen.facts.medicine.guard.standing)
    held = {sheep for sheep, row_ in seen.facts.medicine.guard.standing.items() if not row_.clear}
    marked = {line.cells[0].tag for line in rows if "NOT CLEAR" in line.cells[1]}
    assert held
    assert marked == {seen.linked.animals[sheep].tag for sheep in held}
    html = drawn(page_at(seen, "race-worms.html"), seen)
    blank = sum(column.looks == "blank" for column in papers[0].columns)
    assert html.count('<td class="blank"></td>') == len(rows) * blank


def test_a_race_sheet_for_joining_has_ewes_only() -> None:
    """Lambs and rams stay off; mastitis, help and short milk are named; a sound bag needs no word."""
    notes, _ = season([Ewe(litter(1), help="hard"), Ewe(litter(1))])
    notes["events/2024-04-01 illness E1.md"] = "---\nsheep: E1\nproblem: mastitis\nside: left\n---\n"
    notes["events/2024-09-01 check.md"] = "- E0 udder ok, bcs 2.5\n- E1 udder lump left, bcs 3, mouth broken\n"
    notes["events/2024-09-02 draft.md"] = "---\nsheep: E0, E1\ninto: hill\n---\n"
    view = page_at(read(notes, "2024-09-20"), "race-pre-joining.html").view
    lines = [line.cells for line in pencil_sheet(view).rows]
    assert [line[0].tag for line in lines] == ["E0", "E1"]
    assert lines[0][1] == "helped 2024; bcs 2.5"
    assert lines[1][1] == "mastitis 1 Apr 2024 left; udder lump left; mouth broken; bcs 3"


@pytest.mark.parametrize("figure", [spread_figure, losses_figure])
def test_figures_are_valid_for_the_charting_library(figure: Any) -> None:
    """plotly's own validators accept the dicts that the pictures are drawn from, but for our own `meta` of the inks."""
    from plotly import graph_objects

    made_ = figure(demo().facts.season.seasons)
    chart = graph_objects.Figure(made_)
    assert len(chart.data) == len(demo().facts.season.seasons)
    assert made_["layout"]["meta"]["says"]


def test_the_spread_curve_ends_at_the_ewes_that_lambed() -> None:
    """The last point of each line is the season's count; a line never falls."""
    seasons = demo().facts.season.seasons
    for season_, line in zip(reversed(seasons), spread_figure(seasons)["data"], strict=True):
        assert line["y"][-1] == season_.counts.lambed
        assert line["y"] == sorted(line["y"])
        assert season_.spread is not None
        assert line["x"][-1] == season_.spread.days
