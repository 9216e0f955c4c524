"""The book as a reader meets it: right words for small flocks, nothing lost, nobody wrongly clear, pages that fit."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from html import unescape
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

import html5lib
import pytest

from compiler.binding import bind
from compiler.book import Moment
from compiler.build import Built, build
from compiler.diagnostics import Grade
from compiler.pages import Page
from compiler.templatecheck import check
from compiler.templates import Theme
from flockbook.book import BOOK
from flockbook.pages.views import directory
from tests.flockbook.small import Notes, read

ROOT = Path(__file__).parents[2]
MOST_ELEMENTS = 1_400

EWE = "---\nnote: ewe\nborn: 2021\n---\n"
RAM = "---\nnote: ram\nborn: 2020\n---\n"
FARM: Notes = {
    "flock.yaml": "flock: Small\n",
    "sheep/C1 Bramble.md": EWE,
    "sheep/C2 Fern.md": EWE,
    "sheep/C3 Rowan.md": EWE,
    "sheep/R1 Duke.md": RAM,
    "medicines/penicillin.md": "---\nnote: medicine\nmeat withdrawal: 5 days\nmilk withdrawal: 3 days\n---\n",
    "medicines/udder tube.md": "---\nnote: medicine\nmeat withdrawal: none\nmilk withdrawal: not for milk\n---\n",
}


@dataclass(frozen=True)
class Made:
    """A book on disk: what the compile found, and the text of every page by path."""

    built: Built[Any, Any, Any]
    pages: dict[str, str]

    def words(self, path: str) -> str:
        """The words of a page as a reader sees them."""
        main = self.pages[path].split("<main", 1)[1].split("</main>", 1)[0]
        return " ".join(unescape(re.sub(r"<[^>]+>", " ", main)).split())

    @property
    def all_words(self) -> str:
        """The words of all pages."""
        return "\n".join(self.words(path) for path in self.pages)


def made(notes: Path, to: Path, on: str) -> Made:
    """The book of a folder of notes."""
    at = datetime.fromisoformat(on)
    built = build(notes, BOOK, Moment(at, "T" in on, at.date()), to / "book", cache=to / "cache")
    files = sorted((to / "book").rglob("*.html"))
    return Made(built, {path.relative_to(to / "book").as_posix(): path.read_text("utf-8") for path in files})


def small(to: Path, more: Notes, on: str = "2026-06-10") -> Made:
    """The book of the small farm with some more notes."""
    for path, text in {**FARM, **more}.items():
        file = to / "notes" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(text.encode() if isinstance(text, str) else text)
    return made(to / "notes", to, on)


def tree(page: str) -> Element:
    """A page as a strict reader of HTML sees it (html5lib, independent of ours)."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    root: Element = parser.parse(page)
    return root


BOOKS = {
    "spring": ("site_demo", "2026-04-19T03:45"),
    "autumn": ("site_demo", "2026-11-25"),
    "june of five lame ewes": ("site_demo", "2025-06-05"),
    "slips": ("tests/slips", "2026-06-27"),
}


@pytest.fixture(scope="module", params=BOOKS, ids=list(BOOKS))
def whole(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The demo on three days, and the folder of slips."""
    folder, on = BOOKS[request.param]
    return made(ROOT / folder, tmp_path_factory.mktemp("book"), on)


# Every page


def test_no_part_of_the_program_fails(whole: Made) -> None:
    """Every page maker gives its pages, and every page is drawn."""
    assert whole.built.status < 2
    assert "could not be made, because of a fault" not in "".join(whole.pages.values())


def test_strict_readers_accept_every_page(whole: Made) -> None:
    """html5lib in strict mode finds no error, and no id stands twice on a page."""
    for path, page in whole.pages.items():
        ids = [found for node in tree(page).iter() if (found := node.get("id"))]
        assert len(ids) == len(set(ids)), path


def test_every_link_leads_somewhere(whole: Made) -> None:
    """Every link inside the book names a file of it, and a place on a page that is there."""
    for path, page in whole.pages.items():
        for node in tree(page).iter("a"):
            href = node.get("href") or ""
            if re.match(r"[a-z]+:", href):
                continue
            file, _, place = href.partition("#")
            there = posixpath.normpath(posixpath.join(posixpath.dirname(path), file)) if file else path
            assert there in whole.pages, (path, href)
            assert not place or f'id="{place}"' in whole.pages[there], (path, href)


def test_the_groups_of_the_contents_stand_once(whole: Made) -> None:
    """At the foot of a page every group of pages has one heading."""
    heads = [node.text for node in tree(whole.pages["index.html"]).findall(".//nav[@id='contents']//h2")]
    assert len(heads) == len(set(heads))


def test_the_theme_holds_for_the_views_of_all_pages(whole: Made) -> None:
    """The proof that a foreign theme must pass finds no error in the book's own, with the types of the real views."""
    bound = bind(whole.built.findings, BOOK, Theme(Path(BOOK.theme)))
    views = {leaf.template: type(leaf.view) for leaf in bound.files.values() if isinstance(leaf, Page)}
    told = check(bound.theme, views, type(bound.frame))
    assert [item for item in told if item.grade is Grade.ERROR] == []


# Nothing vanishes


def test_every_file_read_stands_on_some_page(whole: Made) -> None:
    """The path of every note, of every note that could not be used and of every other file can be read in the book."""
    words, found = whole.all_words, whole.built.findings.collection
    paths = [
        *(record.origin.path for record in found.records),
        *(hole.path for hole in found.holes),
        *(other.path for other in found.others),
    ]
    assert [path for path in paths if " ".join(path.split()) not in words] == []


def test_every_remark_can_be_read(whole: Made) -> None:
    """The words of every remark stand on some page."""
    words = whole.all_words
    for record in whole.built.findings.collection.records:
        said = " ".join(unescape(re.sub(r"<[^>]+>", " ", record.origin.html)).split())
        assert said in words, record.origin.path


# Nobody wrongly clear


def shown_states(page: str) -> Iterator[tuple[str, str, str]]:
    """Sheep's page, product and state, for every state in a table or list that stands beside one sheep."""
    for line in (*tree(page).iter("tr"), *tree(page).iter("li")):
        sheep = {(node.get("href") or "").rsplit("/", 1)[-1] for node in line.iter("a") if "ear-tag" in looks(node)}
        for cell in line.findall("td") if line.tag == "tr" else [line]:
            for node in cell.iter():
                if "state" in looks(node) and len(sheep) == 1:
                    yield next(iter(sheep)), cell.get("data-label") or "Meat", looks(node)[-1]


def looks(node: Element) -> list[str]:
    """The classes of an element."""
    return (node.get("class") or "").split()


def pages_of_sheep(book: Made) -> dict[str, str]:
    """Every sheep's own page, by its id."""
    return directory(book.built.findings.linked, book.built.findings.today).paths


def test_every_state_beside_a_sheep_is_the_guards(whole: Made) -> None:
    """On lists and tables the state of a sheep is what the guard says of that product."""
    standing = whole.built.findings.facts.guard.standing
    ids = {path.rsplit("/", 1)[-1]: sheep for sheep, path in pages_of_sheep(whole).items()}
    compared = 0
    for path, page in whole.pages.items():
        for href, product, state in shown_states(page):
            row = standing[ids[href]]
            assert state == (row.milk if product == "Milk" else row.meat).state, (path, href, product)
            compared += 1
    assert compared >= len(standing) > 0


def test_no_page_of_a_sheep_that_is_not_clear_says_so(whole: Made) -> None:
    """The boxes at the head of a sheep's page are the guard's; what is gone has none."""
    for sheep, path in pages_of_sheep(whole).items():
        row = whole.built.findings.facts.guard.standing.get(sheep)
        boxes = tree(whole.pages[path]).findall(".//ul[@class='states']/li")
        shown = {
            box.findtext("span"): [looks(node)[-1] for node in box.iter() if "state" in looks(node)] for box in boxes
        }
        if row is None:
            assert shown == {}, path
        else:
            assert shown["Meat"] == [row.meat.state], path
            assert shown.get("Milk", [row.milk.state]) == [row.milk.state], path


def test_a_treatment_of_nobody_known_is_never_clear_at_once(tmp_path: Path) -> None:
    """In the register a treatment whose sheep was not found says `unknown`."""
    note = "---\nsheep: Brambel\nmedicine: penicillin\ngiven: 2026-06-01\n---\n"
    book = small(tmp_path, {"events/2026-06-01 treatment foot.md": note})
    assert "unknown" in book.words("medicine-register.html")
    assert "at once" not in book.words("medicine-register.html")
    entry = book.built.findings.facts.medicines[0]
    assert (entry.meat_until, entry.milk_until) == (None, None)


def test_a_missing_period_is_loud(tmp_path: Path) -> None:
    """A label without a period says in capitals that whoever gets the product is unknown."""
    book = small(tmp_path, {"medicines/new drench.md": "---\nnote: medicine\nmilk withdrawal: none\n---\n"})
    assert re.search(r"new drench Meat NOT WRITTEN", book.words("medicines.html"))


# The right words


def test_errors_stand_at_the_front(tmp_path: Path) -> None:
    """An error is told on the front page before anything else, with the way to all problems."""
    book = small(tmp_path, {"events/2026-06-01 remark.md": "---\nsheep: Brambel\n---\n"})
    front = book.words("index.html")
    assert "no living sheep called `Brambel`" in front
    assert front.index("Brambel") < front.index("Not clear to sell")


def test_an_unexplained_birth_says_so(tmp_path: Path) -> None:
    """A birth that no joining explains says so in place of the sire."""
    book = small(tmp_path, {"events/2026-04-10 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n"})
    assert "Sire not explained by any joining" in book.words("sheep/731.html")


def test_large_flocks_are_paged(tmp_path: Path) -> None:
    """Four hundred sheep: no list has more elements than a page may hold, and each sheep is on the clear list.

    Sheets to print are one sheet each, however long.
    """
    book = small(tmp_path, {f"sheep/E{place:03}.md": EWE for place in range(400)})
    for path in (path for path in book.pages if "/" not in path and not re.match(r"race-|register", path)):
        assert sum(isinstance(node.tag, str) for node in tree(book.pages[path]).iter()) <= MOST_ELEMENTS, path
    listed = "".join(page for path, page in book.pages.items() if path.startswith("clear-to-sell"))
    assert all(f"sheep/e{place:03}.html" in listed for place in range(400))


def test_pounds_where_the_flock_weighs_in_pounds(tmp_path: Path) -> None:
    """A flock in pounds reads pounds on its pages: 132 lb is 59.9 kg (NIST SP 811: 1 lb = 0.45359237 kg)."""
    notes: Notes = {"flock.yaml": "flock: Small\nunits: us\n", "events/2026-05-01 weighing.md": "C1 132\n"}
    words = small(tmp_path, notes).words("sheep/c1.html")
    assert "132.0 lb" in words
    assert "59.9" not in words


def test_views_do_not_depend_on_the_order_of_notes() -> None:
    """The same notes in any order give the same pages."""
    notes: Notes = {
        **FARM,
        "events/2026-04-19 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n",
        "events/2026-06-08 treatment Bramble.md": "---\nmedicine: penicillin\nsheep: Bramble\n---\n",
    }
    one, other = read(notes), read(dict(reversed(list(notes.items()))))
    bound = [bind(seen, BOOK, Theme(Path(BOOK.theme))).files for seen in (one, other)]
    assert list(bound[0]) == list(bound[1])
    assert [repr(leaf) for leaf in bound[0].values()] == [repr(leaf) for leaf in bound[1].values()]
