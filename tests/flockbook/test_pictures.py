"""Pictures and single files of a whole book, from notes: what is drawn is what the notes say."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from math import atan2, degrees
from pathlib import Path
from xml.etree import ElementTree

import pytest

from flockbook.pages.breeding.pairings import pairing_figure
from flockbook.pages.farm.farm_map import farm_figure
from flockbook.pages.lambing.cards import LIES
from flockbook.pages.sheep.own_growth import beside_figure, crops_by_lamb
from flockbook.pages.today.year_wheel import ring_stretches, wheel_figure
from flockbook.pages.views import directory
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import read

SVG = "{http://www.w3.org/2000/svg}"
ASKED = date(2026, 9, 1)
FLOCK = {
    "flock.yaml": "flock: Small\nkeeper: Ada\nvet: The Vet\n",
    "mobs/hill.md": "---\nnote: mob\nname: hill\n---\n",
    "sheep/A1 Ada.md": "---\nnote: ewe\nborn: 2023-04-01\nmob: hill\n---\n",
    "sheep/A2.md": "---\nnote: ewe\nborn: 2023-04-01\nmob: hill\n---\n",
    "sheep/R1.md": "---\nnote: ram\nborn: 2022-04-01\n---\n",
    "paddocks/Big.md": "---\nnote: paddock\narea: 4 ha\nrest: 28 days\n---\n",
    "paddocks/Low.md": "---\nnote: paddock\narea: 2 ha\nrest: 28 days\n---\n",
    "paddocks/Bog.md": "---\nnote: paddock\narea: 1 ha\n---\n",
    "medicines/pen.md": "---\nnote: medicine\nname: penicillin\nmeat withdrawal: 10 days\n---\n",
    "events/2024-10-20 joining R1.md": "---\nrams: R1\newes: A1, A2\nout: 2024-12-01\n---\n",
    "events/2025-03-20 lambing A1.md": "- ewe 4.0 kg, tag 501\n- ram 3.8 kg, tag 502\n",
    "events/2025-03-25 lambing A2.md": "- ewe 4.2 kg, tag 503\n- ewe stillborn\n",
    "events/2025-05-01 weighing.md": "- 501 12 kg\n- 502 14 kg\n- 503 16 kg\n",
    "events/2025-07-01 weighing.md": "- 501 24 kg\n- 502 30 kg\n- 503 33 kg\n",
    "events/2025-10-20 joining R1.md": "---\nrams: R1\newes: A1, A2\nout: 2025-12-01\n---\n",
    "events/2025-06-01 move.md": "---\nto: Low\nmob: hill\n---\n",
    "events/2026-02-10 illness A1.md": "---\nproblem: lameness\n---\n",
    "events/2026-02-10 treatment A1.md": "---\nsheep: A1\nmedicine: penicillin\ndose: 3 ml\n---\n",
    "events/2026-03-22 lambing A1.md": "- ewe 4.1 kg, tag 601\n",
    "events/2026-03-30 lambing A2.md": "- ewe 4.0 kg, tag 602\n- ram 4.0 kg, tag 603\n",
    "events/2026-04-20 death 602.md": "---\ncause: exposure\n---\n",
    "events/2026-08-11 move.md": "---\nto: Big\nmob: hill\n---\n",
    "events/2026-11-01 joining R1.md": "---\nrams: R1\newes: A1, A2\nout: 2026-12-01\nsure: yes\n---\n",
}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Compiled:
    """The flock's book, compiled once."""
    return Compiled(FLOCK, ASKED.isoformat(), tmp_path_factory.mktemp("pictures"))


def picture(book: Compiled, page: str, figure: str) -> ElementTree.Element:
    """One picture of a page, read by an XML reader."""
    found = re.search(rf'<figure class="chart[^>]*id="{figure}">.*?(<svg.*?</svg>)', book.html(page), re.S)
    assert found, f"{page} has no picture {figure}"
    return ElementTree.fromstring(found[1])


def texts(svg: ElementTree.Element) -> list[str]:
    """Every word of a picture."""
    return [text.text or "" for text in svg.iter(f"{SVG}text")]


def spots(svg: ElementTree.Element, start: str) -> list[tuple[float, float]]:
    """Where the markers stand whose outline begins so far beside (`circle` 4.2) their middle, in order of time."""
    paths = [mark.get("d", "") for mark in svg.iter(f"{SVG}path") if "c-dot" in (mark.get("class") or "")]
    return [(float(x), float(y)) for path in paths for x, y in re.findall(start, path)]


CIRCLE = r"M(-?[\d.]+) (-?[\d.]+)a4\.2"


def test_a_lifeline_stands_where_the_notes_put_it(book: Compiled) -> None:
    """Two lambings of 2 and 1 lambs, a lameness, a dose and two moves, each at its day between birth and today."""
    svg = picture(book, "sheep/a1.html", "life-chart")
    born, lambed = date(2023, 4, 1), (date(2025, 3, 20), date(2026, 3, 22))
    marks = [x + 4.2 for x, _ in spots(svg, CIRCLE)]
    line = next(path.get("d", "") for path in svg.iter(f"{SVG}path") if path.get("class") == "c-line c-6")
    left, right = (float(x) for x in re.findall(r"[ML](-?[\d.]+) ", line))
    shares = [(day - born).days / (ASKED - born).days for day in lambed]
    assert marks == pytest.approx([left + (right - left) * share for share in shares], abs=0.3)
    assert {"lambed", "ill", "treated", "moved", "here", "born", "2", "1", "lameness", "penicillin"} <= set(texts(svg))
    says = svg.findtext(f"{SVG}desc") or ""
    assert "lambed 2 times, last 22\u00a0Mar 2026 (1)" in says or "lambed 2 times, last 22 Mar 2026 (1)" in says


def test_words_of_a_lifeline_never_overprint(book: Compiled) -> None:
    """Words on one level stand apart, at eight units a letter, wider than the face of 13 units is (measured)."""
    for sheep in ("a1", "a2", "501", "r1"):
        html = book.html(f"sheep/{sheep}.html")
        if 'id="life-chart"' not in html:
            continue
        svg = picture(book, f"sheep/{sheep}.html", "life-chart")
        middle = [text for text in svg.iter(f"{SVG}text") if text.get("text-anchor") == "middle"]
        levels: dict[str, list[tuple[float, float]]] = {}
        for text in middle:
            half = len(text.text or "") * 3.9
            levels.setdefault(text.get("y", ""), []).append(
                (float(text.get("x", 0)) - half, float(text.get("x", 0)) + half)
            )
        for spans in levels.values():
            assert all(before[1] <= after[0] for before, after in pairwise(sorted(spans)))


def test_a_lamb_stands_in_the_band_of_its_crop(book: Compiled) -> None:
    """501 weighed 12 and 24 kg where the crop ran from 12 to 16 and from 24 to 33: it lies on the lower edge."""
    svg = picture(book, "sheep/501.html", "growth-chart")
    band = next(path.get("d", "") for path in svg.iter(f"{SVG}path") if "c-band" in (path.get("class") or ""))
    corners = [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", band)]
    own = next(path.get("d", "") for path in svg.iter(f"{SVG}path") if path.get("class") == "c-line c-1")
    points = [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", own)]
    assert sorted(points)[-2:] == sorted(corners[2:])
    assert "kg" in texts(svg)


def test_every_season_has_its_plot_and_every_lost_lamb_its_dot(book: Compiled) -> None:
    """Two seasons on the same days; one lamb born dead in 2025 and one lost at 21 days in 2026 are one dot each."""
    spread = picture(book, "seasons.html", "spread-chart")
    assert {"2026: ewes lambed", "2025: ewes lambed"} <= set(texts(spread))
    lost = picture(book, "seasons.html", "losses-chart")
    assert {"2026: 1 lamb", "2025: 1 lamb"} <= set(texts(lost))
    assert len(spots(lost, CIRCLE)) == 2


def test_paddocks_are_drawn_to_scale_of_area(book: Compiled) -> None:
    """4, 2 and 1 ha are boxes of which each is twice the next; the ewes' tags stand in the one they were moved to."""
    svg = picture(book, "grass.html", "farm-chart")
    sizes = sorted(float(box.get("width", 0)) * float(box.get("height", 0)) for box in svg.iter(f"{SVG}rect"))
    assert [size / sizes[0] for size in sizes] == pytest.approx([1, 2, 4], rel=0.01)
    assert "A1 A2" in " ".join(texts(svg))
    bare = [box for box in svg.iter(f"{SVG}rect") if "c-bare" in (box.get("class") or "")]
    assert [float(box.get("width", 0)) * float(box.get("height", 0)) for box in bare] == pytest.approx(sizes[-1:])
    assert "rested 21 nights of 28" in " ".join(texts(svg))


def test_a_daughter_and_her_sire_are_a_quarter(book: Compiled) -> None:
    """The lamb of a daughter and her sire is inbred by 0.25 (S. Wright, Coefficients of Inbreeding, 1922)."""
    svg = picture(book, "pairings.html", "pairings-chart")
    assert {"A1", "R1"} <= set(texts(svg))
    assert "25.0 ×" in texts(svg)


def test_the_wheel_turns_by_the_flocks_own_days(book: Compiled) -> None:
    """Rams in from 1 November to 1 December; lambs can come from 142 days after (general extension texts: 142-152)."""
    svg = picture(book, "year-ahead.html", "wheel-chart")
    words = (svg.findtext(f"{SVG}desc") or "").replace("\u00a0", " ")
    assert "ram in to ram out 1 Nov – 1 Dec 2026" in words
    first = date.fromordinal(date(2026, 11, 1).toordinal() + 142)
    assert f"lambs can come {first.day} {first:%b}" in words
    hub = next(svg.iter(f"{SVG}circle"))
    arc = next(path.get("d", "") for path in svg.iter(f"{SVG}path") if path.get("class") == "c-bar c-4 c-solid")
    x, y = (float(part) for part in re.findall(r"-?[\d.]+", arc)[:2])
    turned = degrees(atan2(x - float(hub.get("cx", 0)), float(hub.get("cy", 0)) - y))
    assert turned == pytest.approx((first - date(first.year, 1, 1)).days * 360 / 365, abs=0.2)


@pytest.mark.parametrize("page", ["cards.html", "pocket-cards.html"])
def test_every_way_of_lying_is_drawn(book: Compiled, page: str) -> None:
    """Each way has its own drawing, with its name for those who do not see it, the same on the page and on paper."""
    drawn = re.findall(r'<svg class="lies"[^>]*aria-label="([^"]+)">(.*?)</svg>', book.html(page), re.S)
    assert [name for name, _ in drawn] == [way for way, *_ in LIES]
    assert len({lines for _, lines in drawn}) == len(LIES)


def pictures_of(html: str) -> Sequence[str]:
    """Every picture of a page."""
    return re.findall(r'<div class="drawn">(<svg.*?</svg>)', html, re.S)


def test_every_picture_is_told_and_none_says_clear(book: Compiled) -> None:
    """Title and description in each, and nobody is called clear by a picture (our own rule)."""
    seen = 0
    for path in Path(book.folder).rglob("*.html"):
        for drawn in pictures_of(path.read_text("utf-8")):
            svg = ElementTree.fromstring(drawn)
            assert svg.findtext(f"{SVG}title")
            assert svg.findtext(f"{SVG}desc")
            assert "clear" not in drawn.lower()
            seen += 1
    assert seen > 10


@pytest.mark.parametrize("file", ["shed.html", "clear-to-sell-copy.html", "neighbour.html"])
def test_a_single_file_stands_alone(book: Compiled, file: str) -> None:
    """Style and stamp inside, no script, nothing that leads out of it, under 300 kB."""
    html = book.html(file)
    assert len(html.encode()) < 300_000
    assert "<script" not in html
    assert "Made 1 Sep 2026 from" in html.replace("\u00a0", " ")
    assert "@media print" in html
    assert not re.search(r'\b(?:href|src)="(?!#|data:)', html)


def test_copies_say_of_each_sheep_what_the_lists_say(book: Compiled) -> None:
    """The lists of who is clear stand whole in both copies, word for word."""
    whole = book.words("clear-to-sell.html").partition("All pages")[2].partition("This page has lost")[0]
    listed = whole[whole.index("A1") :].strip()
    assert "Before anything is sold or killed" in listed
    for file in ("shed.html", "clear-to-sell-copy.html"):
        assert listed[:2000] in book.words(file)


def test_the_days_sheets_stand_on_one_page(book: Compiled) -> None:
    """The week's list and the neighbour's sheet one after another, each with its own sort of paper."""
    html = book.html("print.html")
    assert re.findall(r'<article class="held ([^"]*)" id="([^"]+)"', html) == [("", "week"), ("two-sides", "neighbour")]
    places = re.findall(r'\bid="([^"]+)"', html)
    assert len(places) == len(set(places))


def test_figures_are_valid_for_the_charting_library_too() -> None:
    """plotly's own validators accept the dicts of which the farm, the wheel, the grid and the growth are drawn."""
    from plotly import graph_objects

    seen = read(FLOCK, ASKED.isoformat())
    tags, kin = directory(seen.linked, seen.today), seen.facts.family.kin
    crop = crops_by_lamb(seen, tags)["501"]
    own = list(seen.facts.weights.gains["501"].weights)
    grounds = [ground for ground in seen.facts.land.grazing.ground.values() if ground.area]
    figures = (
        farm_figure(seen, grounds, tags),
        wheel_figure(list(ring_stretches(seen.facts.year.wheel)), ASKED),
        pairing_figure(seen, tags, kin.ewes),
        beside_figure(crop, seen.linked.animals["501"], own),
    )
    for figure in figures:
        assert graph_objects.Figure(figure).data
