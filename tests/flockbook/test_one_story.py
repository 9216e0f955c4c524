"""One story, one page: a ewe ill late in pregnancy, treated for days, lambed, reared, culled, and held at the gate."""

from __future__ import annotations

from functools import cache

import html5lib

from flockbook.pages.choosing import choose
from flockbook.pages.health import illness
from flockbook.pages.market import loading
from flockbook.pages.medicine import clear_page
from flockbook.pages.sheep import sheep_page
from tests.flockbook.families import drawn, made, table_in, view
from tests.flockbook.health.test_health_pages import may, names
from tests.flockbook.small import Notes, Seen, codes, read

STORY: Notes = {
    "flock.yaml": "flock: Small\ntimezone: Europe/London\nvet: {name: Marram Vets, phone: 01632 960457}\n",
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/C215 Fern.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/R1 Duke.md": "---\nnote: ram\nborn: 2020\n---\n",
    "medicines/glucose.md": "---\nnote: medicine\nname: glucose\nmeat withdrawal: none\nmilk withdrawal: none\n---\n",
    "medicines/penicillin.md": "---\nnote: medicine\nname: penicillin\nmeat withdrawal: 28 days\n"
    "milk withdrawal: 4 days\n---\n",
    "events/2025-11-09 joining.md": "---\nrams: Duke\newes: [Bramble, Fern]\nout: 2025-12-20\n---\n",
    "events/2026-02-10 scan.md": "- C214 twins\n- C215 single\n",
    "events/2026-03-20 0630 illness Bramble.md": "---\nproblem: twin-lamb disease\nsigns: off by herself, dull\n"
    "ketones: 2.1\n---\nFound under the wall.\n",
    "events/2026-03-20 0700 treatment Bramble.md": "---\nmedicine: glucose\ndose: 60 ml\ndays: 3\n"
    "given: [2026-03-20 07:00, 2026-03-21 07:00, 2026-03-22 07:00]\nfor: twin-lamb disease\n---\n",
    "events/2026-03-24 illness Bramble.md": "---\nproblem: twin-lamb disease\nrecovered: 2026-03-24\n---\n"
    "Up and eating.\n",
    "events/2026-04-05 0410 lambing Bramble.md": "---\nhelp: slight\n---\n- ewe 4.1 kg, tag 731\n"
    "- ram 3.8 kg, tag 732\n",
    "events/2026-04-06 remark Bramble.md": "Milk enough for both.\n",
    "events/2026-05-02 death 732.md": "---\ncause: predator\n---\n",
    "events/2026-07-20 weaning.md": "731 31.5 kg\n",
    "events/2026-08-01 cull Bramble.md": "---\nwhy: broken mouth\n---\n",
    "events/2026-08-10 treatment Bramble.md": "---\nmedicine: penicillin\ndose: 4 ml\nfor: cut leg\n---\n",
    "events/2026-08-20 sale.md": "---\nsheep: [Bramble, Fern]\nto: Hask Mart\nuse: slaughter\n---\n",
}
HER_NOTES = (
    "2025-11-09 joining", "2026-02-10 scan", "2026-03-20 0630 illness", "2026-03-20 0700 treatment",
    "2026-03-24 illness", "2026-04-05 0410 lambing", "2026-04-06 remark", "2026-08-01 cull", "2026-08-10 treatment",
)  # fmt: skip


@cache
def told(on: str = "2026-08-15") -> Seen:
    """The flock on a day."""
    return read(STORY, on)


def page_words(seen: Seen, family: object, path: str) -> str:
    """The words of one page's main part."""
    page = next(page for page in made(seen, family) if page.path == path)  # type: ignore[arg-type]
    found = html5lib.parse(drawn(page, seen), namespaceHTMLElements=False)
    return " ".join("".join(found.find(".//main").itertext()).split())


def test_her_page_tells_it_in_order() -> None:
    """Every note of hers stands on her page, the newest first; her lambs and what became of them stand there too."""
    words = page_words(told(), sheep_page, "sheep/c214.html")
    places = [words.rfind(f"events/{note}") for note in HER_NOTES]
    assert -1 not in places
    assert places == sorted(places, reverse=True)
    for text in ("731", "732", "predator", "Found under the wall.", "Up and eating.", "twin-lamb disease"):
        assert text in words


def test_the_case_names_the_lambing_and_the_lambs() -> None:
    """The case's page: three doses, the lambing sixteen days on, both lambs and what became of each."""
    words = page_words(told(), illness, "cases/c214-twin-lamb-disease-2026-03-20.html")
    assert "20 Mar 2026 07:00, 21 Mar 2026 07:00, 22 Mar 2026 07:00" in words
    assert "Lambed 5 Apr 2026, 16 days after it was first written: 2 lambs, 2 alive; help: slight" in words
    assert words.index("731") < words.index("732") < words.index("died 2 May 2026, predator")
    assert "31.5 kg, 20 Jul 2026" in words
    order = [words.index(text) for text in ("Given for it", "Lambing and lambs", "As it was written")]
    assert order == sorted(order)


def test_before_she_lambs_the_case_says_when_she_is_due() -> None:
    """While she is ill and carrying: the day she is due, no lambing yet, and room for what the vet finds."""
    words = page_words(told("2026-03-22"), illness, "cases/c214-twin-lamb-disease-2026-03-20.html")
    assert "Due" in words
    assert "Lambing and lambs" not in words
    assert "Meat and milk: wait until" in words
    assert "Marram Vets: 01632 960457" in words
    assert words.index("Look again") < words.index("As it was written")  # the vet's lines stand on the first side


def test_a_lambing_of_another_year_is_no_part_of_the_case() -> None:
    """A lambing longer before the case than lambs suck (120 days, common practice), or later than any pregnancy
    (159 days: Montana Farm Flock Sheep Production Handbook, second hand), is not told there.
    """
    notes = {**STORY, "events/2025-03-20 lambing Bramble.md": "- ewe 4.0 kg, tag 601\n"}
    words = page_words(read(notes, "2026-08-15"), illness, "cases/c214-twin-lamb-disease-2026-03-20.html")
    assert "731" in words
    assert "601" not in words


def test_the_culled_ewe_carries_her_hold_to_the_gate() -> None:
    """28 days from 10 August without a time: first clear date 8 September (W2, our own rule), said everywhere alike."""
    seen = told()
    assert "W101" in codes(seen)
    for family, path in (
        (sheep_page, "sheep/c214.html"), (choose, "choose.html"), (clear_page, "clear-to-sell.html"),
        (loading, "loading.html"), (loading, "loading-2026-08-20.html"),
    ):  # fmt: skip
        assert "8 Sep 2026" in page_words(seen, family, path), path
    for path in ("loading.html", "loading-2026-08-20.html"):
        shown = view(seen, loading, path)
        assert "C214" in names(table_in(shown, "refused"))
        assert not any("C214" in sheep for sheep in may(shown))
    assert names(table_in(view(seen, loading), "marked")) == ["C214"]
    assert "penicillin" in page_words(seen, loading, "loading-2026-08-20.html")


def test_after_it_she_may_go() -> None:
    """On the first clear date the same ewe stands on the loading list, still marked to go."""
    notes = {path: text for path, text in STORY.items() if "sale" not in path}
    shown = view(read(notes, "2026-09-08"), loading)
    assert "C214 Bramble" in may(shown)
    assert names(table_in(shown, "marked")) == ["C214"]
