"""The pages on who stays, ewe lambs and rams, the sorting sheet, and the family on a sheep's page."""

from __future__ import annotations

import re
from html import unescape
from types import ModuleType

import html5lib
import pytest

from compiler.pages import Page
from flockbook.figures import CHOOSING, DEFAULTS
from flockbook.pages.choosing import choose, choose_lambs, choose_rams
from flockbook.pages.sheep import sheep_page
from tests.flockbook.choosing.test_reasons import BASE, RULES, year
from tests.flockbook.families import demo, drawn, made, pencil_sheet
from tests.flockbook.small import Notes, Seen, read

FAMILIES = (choose, choose_lambs, choose_rams)
MOST_ELEMENTS = 1_400


def words(page: Page, seen: Seen) -> str:
    """The words of a page's main part."""
    main = drawn(page, seen, FAMILIES).split("<main", 1)[1].split("</main>", 1)[0]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", main)).split())


def page_at(seen: Seen, family: ModuleType, path: str) -> str:
    """The words of the page at a path."""
    return next(words(page, seen) for page in made(seen, family) if page.path == path)


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("seen", [demo(), read({}, "2026-06-10")], ids=["demo", "empty"])
def test_pages_are_well_formed(family: ModuleType, seen: Seen) -> None:
    """A strict reader finds nothing wrong, with a full flock and with none at all."""
    for page in made(seen, family):
        html5lib.HTMLParser(strict=True).parse(drawn(page, seen, FAMILIES))


def test_the_rules_are_printed_with_their_sources() -> None:
    """Every figure of `choosing`, its source, and the plain rule stand on the page; no points and no scores do."""
    text = page_at(demo(), choose, "choose.html")
    for name, default in DEFAULTS.items():
        if name.startswith(CHOOSING):
            assert name.removeprefix(CHOOSING).replace("_", " ") in text
            assert default.source in text
    assert "Cull is suggested when at least one rule below is met in full" in text
    assert "points" not in text


def test_a_held_ewe_to_go_is_never_shown_without_her_hold() -> None:
    """Beside `cull` stands NOT CLEAR with its day, on the worksheet and on the sheet for the race."""
    given = "---\nsheep: E1\nmedicine: penicillin\ndose: 2 ml\ngiven: 2026-10-10\n---\n"
    notes: dict[str, str | bytes] = {**BASE, "events/2026-10-10 treatment E1.md": given}
    for part in RULES["udder"][0]:
        notes |= part
    seen = read(notes, "2026-10-20")
    assert re.search(r"E1 cull NOT CLEAR until 10 Nov 2026", page_at(seen, choose, "choose.html"))
    assert re.search(r"E1 NOT CLEAR until 10 Nov 2026 CULL", page_at(seen, choose, "choose-sheet.html"))


def test_too_little_known_is_said() -> None:
    """A ewe of whom nothing is written is not kept by silence."""
    text = page_at(read(BASE, "2026-10-20"), choose, "choose.html")
    assert "E2 watch: too little is known of her clear Against: nothing written. For: nothing written." in text


def test_the_sheet_is_in_order_of_tags() -> None:
    """As they are read aloud in the race: 9 before 10."""
    notes = {f"sheep/{tag}.md": "---\nnote: ewe\nborn: 2020\n---\n" for tag in ("10", "9", "101")}
    view = next(page for page in made(read(notes, "2026-10-20"), choose) if page.path == "choose-sheet.html").view
    assert [line.cells[0].tag for line in pencil_sheet(view).rows] == ["9", "10", "101"]


def test_the_demo_has_something_of_each() -> None:
    """The demo flock has ewes to go, to watch and to keep, ewe lambs, rams with lambs, and a birth of two rams."""
    facts = demo().facts
    assert {choice.suggest for choice in facts.choosing.choices} == {"cull", "watch", "keep"}
    assert sum(record.helped.of > 0 for record in facts.choosing.rams.rams) >= 2
    assert facts.choosing.rams.shared >= 1
    assert "Harrow" in page_at(demo(), choose_rams, "choose-rams.html")


def test_ewe_lambs_show_litter_dam_weight_and_pedigree() -> None:
    """A twin ewe lamb with her dam's record; her brother, her dam and the rams are no ewe lambs."""
    notes: dict[str, str | bytes] = {**BASE, **year(2025), **year(2026)}
    text = page_at(read(notes, "2026-10-20"), choose_lambs, "choose-lambs.html")
    assert "20261 twin, twin E1 2 lambings, helped at 0; weaned 4 in 2 years; suggested: keep" in text
    assert "Born one of 2. Dam never helped in 2 lambings. Dam weaned 4 in 2 years." in text
    assert "Not known: weight within a group." in text
    assert "20262" not in text.split("For and against")[0]
    assert "generations" in text


def test_nothing_of_a_lamb_is_guessed() -> None:
    """A bought ewe lamb without a dam, a litter or a weight says what is not known."""
    notes = {"sheep/L9.md": "---\nnote: ewe\nborn: 2026-03-01\nbought: 2026-09-01\n---\n"}
    text = page_at(read(notes, "2026-10-20"), choose_lambs, "choose-lambs.html")
    assert "L9 not known, not known not known not weighed" in text
    assert "Not known: dam, litter, weight within a group." in text


@pytest.mark.parametrize("family", FAMILIES)
def test_four_hundred_sheep_fit(family: ModuleType) -> None:
    """Two hundred ewes with a lamb each: no page holds more than 1,400 elements, and nobody falls off the lists."""
    notes: dict[str, str | bytes] = {}
    for place in range(200):
        notes[f"sheep/E{place:03}.md"] = "---\nnote: ewe\nborn: 2020\n---\n"
        line = f"- ewe 4 kg, tag L{place:03}"
        notes[f"events/2026-04-01 lambing E{place:03}.md"] = f"---\newe: E{place:03}\nhelp: slight\n---\n{line}\n"
    seen = read(notes, "2026-06-10")
    pages = [drawn(page, seen, FAMILIES) for page in made(seen, family)]
    for page in pages:
        parsed = html5lib.parse(page, namespaceHTMLElements=False)
        assert sum(isinstance(node.tag, str) for node in parsed.iter()) <= MOST_ELEMENTS
    first = {choose: "e", choose_lambs: "l"}.get(family)
    if first:
        assert all(f"sheep/{first}{place:03}.html" in "".join(pages) for place in range(200))


LINE: Notes = {
    "sheep/G1.md": "---\nnote: ewe\nborn: 2018\n---\n",
    "sheep/S1.md": "---\nnote: ram\nborn: 2018\n---\n",
    "sheep/D1.md": "---\nnote: ewe\nborn: 2020\ndam: G1\nsire: S1\n---\n",
    "sheep/L1.md": "---\nnote: ewe\nborn: 2023\ndam: D1\nsire: Outsider\n---\n",
    "sheep/K1.md": "---\nnote: ewe\nborn: 2025\ndam: L1\nsires: [S1, S2]\n---\n",
    "sheep/S2.md": "---\nnote: ram\nborn: 2018\n---\n",
}


def test_the_family_has_three_generations_and_names_what_is_not_known() -> None:
    """K1's dam, hers, and hers; a sire who may be either of two; parents that nobody wrote are `not known`."""
    text = page_at(read(LINE, "2026-10-20"), sheep_page, "sheep/k1.html")
    tree = text.split("Family", 1)[1].split("Inbreeding")[0]
    assert "dam L1 dam D1 dam G1 sire S1 sire Outsider sire S1 or S2" in tree
    alone = page_at(read(LINE, "2026-10-20"), sheep_page, "sheep/g1.html")
    assert "dam not known sire not known" in alone


def test_descendants_by_generation() -> None:
    """G1's lamb, hers, and hers; of S1 only those that can be no other ram's."""
    seen = read(LINE, "2026-10-20")
    dam = page_at(seen, sheep_page, "sheep/g1.html")
    assert "lambs 1 1 D1 their lambs 1 1 L1 3 generations on 1 1 K1" in dam
    sire = page_at(seen, sheep_page, "sheep/s1.html").split("Descendants", 1)[1]
    assert "lambs 1 1 D1 their lambs 1 1 L1" in sire


def test_the_notes_behind_each_reason_stand_on_the_ewes_page() -> None:
    """Each reason with the path of its note."""
    notes = BASE
    for part in RULES["helped"][0]:
        notes = {**notes, **part}
    text = page_at(read(notes, "2026-10-20"), sheep_page, "sheep/e1.html")
    shown = text.split("Stay or go", 2)[-1].split("Family")[0]
    assert "Suggested by your rules: cull ." in shown
    assert "To go: helped at 2 of 2 lambings (2025 slight; 2026 slight)." in shown
    assert "events/2025-04-01 lambing E1.md:" in shown
