"""The book as a reader meets it: right words for small flocks, nothing lost, nobody wrongly clear, pages that fit."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator
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
from compiler.shape import Value
from compiler.templatecheck import check
from compiler.templates import Theme
from flockbook.book import BOOK
from flockbook.derive.medicine import guard_rules
from flockbook.pages.views import directory
from flockbook.pages.wording import quoted
from flockbook.whom import rules
from tests.flockbook.small import Notes, moment, read

ROOT = Path(__file__).parents[2]
MOST_ELEMENTS = 1_400
SHEEP_BYTES, FRONT_BYTES = 60_000, 100_000

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


class Made(Value):
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


def test_pages_fit(whole: Made) -> None:
    """A sheep's page is at most 40 kB, the front page 60 kB, and no page holds more than 1,400 elements, nor any of
    those that a single file holds whole.
    """
    for path, page in whole.pages.items():
        limit = FRONT_BYTES if path == "index.html" else SHEEP_BYTES if path.startswith("sheep/") else 10**9
        assert len(page.encode()) <= limit, path
        most = MOST_ELEMENTS * (1 + page.count('<article class="held'))
        assert sum(isinstance(node.tag, str) for node in tree(page).iter()) <= most, path


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
    told = check(bound.look.theme, views, type(bound.look.frame))
    assert [item for item in told if item.grade is Grade.ERROR] == []


# Nothing vanishes


def test_every_file_read_stands_on_some_page(whole: Made) -> None:
    """The path of every note, of every note that could not be used and of every other file can be read in the book;
    pictures, and what tools have hidden, are counted there.
    """
    words, found = whole.all_words, whole.built.findings.collection
    paths = [
        *(record.origin.path for record in found.records),
        *(hole.path for hole in found.holes),
        *(other.path for other in found.others if not other.of_no_concern),
    ]
    quiet = [other for other in found.others if other.of_no_concern]
    assert all(other.sort == "picture" for other in quiet)
    assert not quiet or f"{len(quiet)} picture" in whole.words("problems.html")
    assert [path for path in paths if " ".join(path.split()) not in words] == []


def test_every_remark_can_be_read(whole: Made) -> None:
    """The words of every remark stand on some page."""
    words = whole.all_words
    for record in whole.built.findings.collection.records:
        said = " ".join(unescape(re.sub(r"<[^>]+>", " ", record.origin.html)).split())
        assert said in words, record.origin.path


def test_a_line_on_a_sheep_that_nobody_knows_is_shown(tmp_path: Path) -> None:
    """A weight of a tag that no sheep wears is in the book, with what was said of it."""
    book = small(tmp_path, {"events/2026-05-01 weighing.md": "C999 61.5 strange ear\nC1 62.5 wobbly\n"})
    assert "61.5" in book.all_words
    assert "strange ear" in book.all_words
    assert "wobbly" in book.words("sheep/c1.html")


def test_marks_are_shown(tmp_path: Path) -> None:
    """Who was marked on which day, and the new crayon, can be read; a ewe's own page has her mark."""
    note = "---\newes: [C1, C2]\nout: 2025-12-10\n---\n- 12 Nov Bramble\n- 20 Nov blue\n"
    book = small(tmp_path, {"events/2025-11-01 joining Duke.md": note})
    assert "12 Nov 2025: Bramble" in book.words("sheep/c1.html")
    assert "12 Nov 2025" not in book.words("sheep/c2.html").split("How the due day", 1)[0]
    assert "blue" in book.all_words


def test_a_field_that_no_note_has_is_shown(tmp_path: Path) -> None:
    """Words in a field that the kind does not know are shown where the note is."""
    book = small(tmp_path, {"events/2026-05-03 remark Fern.md": "---\nwheather: bitter cold\n---\nHail.\n"})
    assert "bitter cold" in book.words("sheep/c2.html")


@pytest.mark.parametrize(
    ("path", "note", "word"),
    [
        ("sheep/C9 Heath.md", "---\nnote: ewe\nbreed: Blackface\nborn as: twin\n---\n", "Blackface"),
        ("sheep/C9 Heath.md", "---\nnote: ewe\nfrom: the mart at Hask\n---\n", "the mart at Hask"),
        ("paddocks/Knowe.md", "---\nnote: paddock\nwater: burn at the foot\n---\n", "burn at the foot"),
        ("supplies/iodine.md", "---\nnote: supply\nwhere: top shelf\n---\n", "top shelf"),
        ("medicines/tonic.md", "---\nnote: medicine\nmeat withdrawal: none\ntrace: cobalt\n---\n", "cobalt"),
        ("plans/dip.md", "---\nnote: plan\nwhat: dip\nevery year: 1 Oct\n---\n", "1 Oct"),
    ],
)
def test_every_field_of_an_undated_note_is_shown(tmp_path: Path, path: str, note: str, word: str) -> None:
    """What was typed in the head of a note on a sheep or a thing can be read in the book."""
    assert word in small(tmp_path, {path: note}).all_words


def test_a_note_that_cannot_be_used_is_kept_word_for_word(tmp_path: Path) -> None:
    """All that stands in a damaged note can be read on the page of problems."""
    text = "---\nnote: treatment\nsheep: [C1\n---\n" + "A long tale. " * 20 + "The last word.\n"
    book = small(tmp_path, {"events/2026-06-01 treatment C1.md": text})
    assert "The last word." in book.words("problems.html")


def test_a_corrected_note_stays_and_is_struck(tmp_path: Path) -> None:
    """A corrected note stands, struck through, on the pages of the sheep it named and of those it should have named."""
    notes: Notes = {
        "events/2026-06-01 treatment foot.md": "---\nsheep: Fern\nmedicine: penicillin\n---\nWrong ewe.\n",
        "events/2026-06-02 treatment right.md": "---\nsheep: Bramble\nmedicine: penicillin\n"
        "corrects: 2026-06-01 treatment foot\n---\n",
    }
    book = small(tmp_path, notes)
    for page in ("sheep/c1.html", "sheep/c2.html"):
        struck = [node for node in tree(book.pages[page]).iter("li") if node.get("class") == "corrected"]
        assert ["Wrong ewe." in "".join(node.itertext()) for node in struck] == [True], page


def test_a_pet_lamb_is_found_on_both_pages(tmp_path: Path) -> None:
    """A note that fosters a lamb stands on the lamb's page and on the page of the ewe that took it."""
    notes: Notes = {
        "events/2026-04-19 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n- ram 4.4 kg, tag 732\n",
        "events/2026-04-21 foster 731.md": "---\nonto: Fern\n---\nShe took her at once.\n",
    }
    book = small(tmp_path, notes)
    assert "She took her at once." in book.words("sheep/731.html")
    assert "She took her at once." in book.words("sheep/c2.html")


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
    standing = whole.built.findings.facts.medicine.guard.standing
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
        row = whole.built.findings.facts.medicine.guard.standing.get(sheep)
        boxes = tree(whole.pages[path]).findall(".//ul[@class='states']/li")
        shown = {
            box.findtext("span"): [looks(node)[-1] for node in box.iter() if "state" in looks(node)] for box in boxes
        }
        if row is None:
            assert shown == {}, path
        else:
            assert shown["Meat"] == [row.meat.state], path
            assert shown.get("Milk", [row.milk.state]) == [row.milk.state], path


def clear_part(book: Made) -> str:
    """The words under the heading `Clear` of the clear list."""
    parts = re.split(r"<h2>", book.pages["clear-to-sell.html"])
    return "".join(part for part in parts if re.match(r"Clear\s*<", part))


def test_the_clear_list_names_only_the_clear(whole: Made) -> None:
    """Under `Clear` stands nobody whose meat or milk is held or unknown, and no lamb that sucks such a ewe."""
    part = clear_part(whole)
    for sheep, path in pages_of_sheep(whole).items():
        row = whole.built.findings.facts.medicine.guard.standing.get(sheep)
        wanted = row is not None and row.meat.state == "clear" == row.milk.state and row.sucking is None
        assert (f'href="{path}"' in part) == wanted, path


def test_milk_that_is_not_clear_keeps_a_ewe_off_the_clear_list(tmp_path: Path) -> None:
    """A ewe whose meat is clear and whose milk is not stands under a heading that says so."""
    note = "---\nsheep: Bramble\nmedicine: udder tube\ngiven: 2026-06-01\n---\n"
    book = small(tmp_path, {"events/2026-06-01 treatment Bramble.md": note})
    assert "Bramble" not in clear_part(book)
    assert "Meat clear, milk not 1 sheep" in book.words("clear-to-sell.html")


def test_a_treatment_of_nobody_known_is_never_clear_at_once(tmp_path: Path) -> None:
    """In the register a treatment whose sheep was not found says `unknown`, and names what was typed."""
    note = "---\nsheep: Brambel\nmedicine: penicillin\ngiven: 2026-06-01\n---\n"
    book = small(tmp_path, {"events/2026-06-01 treatment foot.md": note})
    assert "Brambel" in book.words("medicine-register.html")
    assert "meat unknown; milk unknown" in book.words("medicine-register.html")
    entry = book.built.findings.facts.medicine.register[0]
    assert (entry.meat_until, entry.milk_until) == (None, None)


def test_a_sucking_lamb_carries_the_question(tmp_path: Path) -> None:
    """W12: a lamb of a held ewe is not under `Clear`; its page and the list ask for the vet's word."""
    notes: Notes = {
        "events/2026-04-19 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n",
        "events/2026-06-08 treatment Bramble.md": "---\nmedicine: penicillin\nsheep: Bramble\n---\n",
    }
    book = small(tmp_path, notes)
    assert "sheep/731.html" not in clear_part(book)
    assert "may be sucking Bramble (C1)" in book.words("clear-to-sell.html")
    assert "Ask your vet" in book.words("sheep/731.html")


def test_not_for_milk_is_a_remark_where_nobody_milks(tmp_path: Path) -> None:
    """W7: of a ewe the vet is to be asked, and no note is to be mended; on a ram's dose it is a plain remark."""
    notes: Notes = {"events/2026-06-08 treatment.md": "---\nmedicine: udder tube\nsheep: [Bramble, Duke]\n---\n"}
    book = small(tmp_path, notes)
    assert "Milk UNKNOWN – ask the vet" in book.words("sheep/c1.html")
    assert "UNKNOWN" not in book.words("sheep/r1.html")
    assert "not for milk" in book.words("sheep/r1.html")
    assert "mend the note" not in book.all_words
    assert "milk not for milk" in book.words("medicine-register.html")


def test_the_workings_tell_every_rule_of_clearance(tmp_path: Path) -> None:
    """W1 to W13 and V1 to V14 stand there word for word, and what the book cannot notice beside them."""
    words = small(tmp_path, {}).words("workings.html")
    assert list(guard_rules.UNTIL_WHEN) == [f"W{number}" for number in range(1, 14)]
    assert list(rules.RULE_TEXTS) == [f"V{number}" for number in range(1, 15)]
    for name, text in {**guard_rules.UNTIL_WHEN, **rules.RULE_TEXTS}.items():
        assert f"{name} {quoted(text)}" in words
    assert "A dose that nobody wrote down, anywhere." in words


def test_no_iso_day_stands_in_a_sentence_on_the_clear_pages(tmp_path: Path) -> None:
    """Days are written as a shepherd says them; only names of notes have them otherwise."""
    notes: Notes = {
        "events/2026-06-08 treatment Bramble.md": "---\nmedicine: penicillin\n---\n",
        "events/2026-06-09 treatment Fern.md": "---\nmedicine: penicillin\ngiven: 2026-01-09\n---\n",
        "events/2026-06-07 treatment Rowan.md": "---\nmedicine: penicillin\ngiven: 2026-06-30\n---\n",
    }
    book = small(tmp_path, notes)
    for path in ("index.html", "clear-to-sell.html", "loading.html", "sheep/c1.html", "sheep/c2.html", "sheep/c3.html"):
        told = re.sub(r"events/[^()]*?\.md", "", book.words(path))
        assert re.findall(r"\d{4}-\d\d-\d\d", told) == [], path


def test_the_reason_shown_is_that_of_the_product(tmp_path: Path) -> None:
    """Where one medicine holds the meat and another the milk, the first page and the clear list give the meat's."""
    label = "---\nnote: medicine\nmeat withdrawal: none\nmilk withdrawal: 60 days\n---\n"
    notes: Notes = {
        "medicines/a tube.md": label,
        "events/2026-06-01 treatment Bramble.md": "---\nmedicine: a tube\n---\n",
        "events/2026-06-08 treatment Bramble.md": "---\nmedicine: penicillin\n---\n",
    }
    book = small(tmp_path, notes)
    for path in ("index.html", "clear-to-sell.html"):
        assert "meat 5 days: first clear date 14 Jun 2026" in book.words(path)
        assert "milk 60 days" not in book.words(path)


def test_a_lamb_of_a_ewe_held_for_milk_alone_is_a_question(tmp_path: Path) -> None:
    """V14: her meat is clear, her milk is not; the lamb asks on every list, and its own release asks too."""
    notes: Notes = {
        "events/2026-05-20 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n- ram 4.0 kg, tag 732\n",
        "events/2026-06-08 treatment Bramble.md": "---\nmedicine: udder tube\n---\n",
        "events/2026-06-09 treatment 732.md": "---\nmedicine: penicillin\n---\n",
    }
    book = small(tmp_path, notes)
    for path in ("sheep.html", "clear-to-sell.html", "index.html", "race-worms.html", "sheep/731.html"):
        assert "ASK THE VET" in book.words(path), path
    assert "NOT CLEAR until 15 Jun 2026; ASK THE VET: may be sucking Bramble (C1)" in book.words("weigh-sheet.html")
    assert "may be sucking a ewe whose meat or milk is not clear: ask the vet" in book.words("to-do.html")


def test_a_missing_period_is_loud(tmp_path: Path) -> None:
    """A label without a period says in capitals that whoever gets the product is unknown."""
    book = small(tmp_path, {"medicines/new drench.md": "---\nnote: medicine\nmilk withdrawal: none\n---\n"})
    assert re.search(r"new drench Meat NOT WRITTEN", book.words("medicines.html"))


# The right words


@pytest.mark.parametrize(
    ("on", "rows"),
    [
        ("2026-04-19T03:20", ("Bramble look again 19 Apr, 03:15", "step in by 03:30, ring the vet by 04:00")),
        ("2026-04-23T12:00", ("740 38.4 °C at 06:00", "afterbirth not written as seen, a whole day on: ring the vet")),
    ],
)
def test_what_cannot_wait_stands_first_on_today(tmp_path: Path, on: str, rows: tuple[str, ...]) -> None:
    """An open labour, a chilled lamb and an afterbirth that nobody saw stand before who is due (the demo's own nights;
    the limits are those of its settings).
    """
    build(ROOT / "site_demo", BOOK, moment(on), tmp_path / "book", cache=tmp_path / "cache")
    front = unescape(re.sub(r"<[^>]+>", " ", (tmp_path / "book/index.html").read_text("utf-8")))
    front = " ".join(front.split())
    assert front.index("Now") < front.index("Due these days")
    for row in rows:
        assert front.index(row) < front.index("Due these days")


def test_errors_stand_at_the_front(tmp_path: Path) -> None:
    """An error is told on the front page before anything else, with the way to all problems."""
    book = small(tmp_path, {"events/2026-06-01 remark.md": "---\nsheep: Brambel\n---\n"})
    front = book.words("index.html")
    assert "no living sheep called `Brambel`" in front
    assert front.index("Brambel") < front.index("Not clear to sell")


def test_one_or_the_other_sire(tmp_path: Path) -> None:
    """A lamb of a ewe that ran with two rams shows both, and claims neither."""
    notes: Notes = {
        "sheep/R2 Pike.md": RAM,
        "events/2025-11-01 joining.md": "---\nrams: [Duke, Pike]\newes: Bramble\nout: 2025-12-01\n---\n",
        "events/2026-04-10 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n",
    }
    words = small(tmp_path, notes).words("sheep/731.html")
    assert re.search(r"Sire, one of these R1 Duke R2 Pike", words)


def test_an_unexplained_birth_says_so(tmp_path: Path) -> None:
    """A birth that no joining explains says so in place of the sire."""
    book = small(tmp_path, {"events/2026-04-10 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n"})
    assert "Sire not explained by any joining" in book.words("sheep/731.html")


def test_help_is_remembered(tmp_path: Path) -> None:
    """A ewe that was helped shows it at a look, with the year and how the lamb lay."""
    note = "---\nhelp: hard\n---\n- ram 5.1 kg, one leg back\n"
    book = small(tmp_path, {"events/2025-04-10 lambing Bramble.md": note})
    assert "helped at 1 of 1 (2025: hard, one leg back)" in book.words("sheep/c1.html")


def test_long_lives_are_paged(tmp_path: Path) -> None:
    """Two hundred notes on one ewe stay within the weight of a page, and each can be read."""
    days = [f"2026-{month:02}-{day:02}" for month in range(1, 6) for day in range(1, 29)]
    notes = {f"events/{day} remark Bramble.md": f"Seen on {day}, {'as well as ever ' * 20}.\n" for day in days}
    book = small(tmp_path, notes)
    of_her = {path: page for path, page in book.pages.items() if path.startswith("sheep/c1")}
    assert len(of_her) > 1
    assert max(len(page.encode()) for page in of_her.values()) <= SHEEP_BYTES
    words = " ".join(book.words(path) for path in of_her)
    assert [day for day in days if f"Seen on {day}" not in words] == []


def test_large_flocks_are_paged(tmp_path: Path) -> None:
    """Four hundred sheep: no index, note or clear list outgrows a page, and each sheep is on the clear list."""
    book = small(tmp_path, {f"sheep/E{place:03}.md": EWE for place in range(400)})
    lists = r"(index|due|sheep|gone|clear-to-sell|find|notes|things|medicine|problems)\b"
    for path in (path for path in book.pages if re.match(lists, path) and "/" not in path):
        assert sum(isinstance(node.tag, str) for node in tree(book.pages[path]).iter()) <= MOST_ELEMENTS, path
    listed = "".join(page for path, page in book.pages.items() if path.startswith("clear-to-sell"))
    assert all(f"sheep/e{place:03}.html" in listed for place in range(400))


def test_pounds_where_the_flock_weighs_in_pounds(tmp_path: Path) -> None:
    """A flock in pounds reads pounds on its pages: 132 lb is 59.9 kg (NIST SP 811: 1 lb = 0.45359237 kg)."""
    notes: Notes = {"flock.yaml": "flock: Small\nunits: us\n", "events/2026-05-01 weighing.md": "C1 132\n"}
    words = small(tmp_path, notes).words("sheep/c1.html")
    assert "132 lb" in words.replace("\u00a0", " ")
    assert "59.9" not in words


def test_a_folder_without_notes_makes_a_book(tmp_path: Path) -> None:
    """Before the first note every page is there and says that nothing is written yet."""
    (tmp_path / "notes").mkdir()
    book = made(tmp_path / "notes", tmp_path, "2026-06-10")
    assert book.built.status == 0
    assert "Nobody is clear." in book.words("clear-to-sell.html")
    assert {"index.html", "due.html", "sheep.html", "clear-to-sell.html", "notes.html", "find.html"} <= set(book.pages)


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


def test_a_note_dated_later_than_the_day_asked_about_says_so(tmp_path: Path) -> None:
    """On an earlier day a later treatment stays in the register, on the sheep's page and among the notes, and says that
    it is later; one of before says nothing of the kind.
    """
    treated = "---\nsheep: C1\nmedicine: penicillin\ndose: 5 ml\n---\n"
    notes = {"2026-03-01 treatment foot.md": treated, "2026-05-20 treatment foot.md": treated}
    for day, told in (("2026-03-10", 1), ("2026-06-10", 0)):
        book = small(tmp_path / day, notes, day)
        for path in ("medicine-register.html", "sheep/c1.html"):
            rows = [row for row in re.findall(r"<tr[^>]*>.*?</tr>", book.pages[path], re.S) if "penicillin" in row]
            assert sum("dated later than this book" in row for row in rows) == told, (path, day)
            assert len(rows) == 2
        assert "2026-05-20 treatment foot.md" in book.pages["sheep/c1.html"]
