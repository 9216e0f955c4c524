"""A book to be shared: nothing that is private stands anywhere in it, and whoever is not clear is not clear there."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner

from compiler.build import proof
from flockbook.book import BOOK
from flockbook.cli.editions import moneyless
from flockbook.cli.main import main
from flockbook.private import PRIVATE_FIELDS
from tests.flockbook.small import moment, read

DEMO = Path(__file__).parents[2] / "site_demo"
ON = "2026-06-10T09:00"
SETTINGS = (
    "flock: Corrie Hask\ncurrency: GBP\nkeeper: Ysolde Quill\nvet: {name: Marram Vets, phone: 01632 960457}\n"
    "by: Fergus Ord\nholding: 70/999/0041\nown hours: 400\nhour worth: 17.35\nloss value: {lamb: 113.45}\n"
    "neighbour: the key hangs on the third nail\n"
)
NOTES = {
    "flock.yaml": SETTINGS,
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\nfrom: Ambrose Tull\n---\n"
    "Tull said she was quiet; paid £61.70.\n",
    "sheep/C230 Clover.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/C231 Rue.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/S1.md": "---\nnote: ram\nborn: 2020\n---\n",
    "medicines/wormer.md": "---\nnote: medicine\nname: moxidectin oral\nmeat withdrawal: 14 days\n---\n",
    "events/2025-11-01 hire.md": "---\nram: S1\nfrom: Coldbeck\nuntil: 2025-12-20\nprice: 41.15\nhaulier: Ewan Pike\n"
    "holding: 70/888/0220\ndocument: KX-5519\n---\n",
    "events/2026-06-05 treatment Bramble.md": "---\nmedicine: moxidectin oral\ndose: 10 ml\nby: Fergus Ord\n"
    "vet: Dr Hale\n---\nOrd held her, 01632 960457 was engaged. fergus ord swore.\n",
    "events/2026-06-06 sale to Brock Mart.md": "---\nsheep: C230\nto: Brock Mart\nprice: 92.55 each\n"
    "haulier: Ewan Pike\nvehicle: QQ12 ABC\nholding: 70/777/0331\ndocument: KX-7712\n---\n"
    "Made 92.55 GBP at Brock, 14 quid less than asked.\n",
    "events/2026-06-07 purchase.md": "---\nfrom: Lintbrae Sale\nprice: 133.25\nholding: 70/666/0441\n"
    "document: KX-8813\n---\n- 801 ewe\n",
    "events/2026-06-08 money.md": "---\namount: 212.65\nfor: feed\nto: Goodge Feeds\n---\n",
    "events/2026-06-09 remark Rue.md": "---\ncustomer: Zadok Finch\n---\nFinch looked at her; so did Wexcombe.\n",
    "events/2026-03-11 lambing Rue.md": "- ewe tag 731\n",
    "events/2026-03-12 death 731.md": "---\ncause: exposure\n---\n",
    "events/2026-06-09 stock.md": "---\nsupply: hay\nbought: 40 bales\nprice: 66.5x\n---\n",
    "events/2026-06-09 sale.md": "---\nto: Brock Mart\nprice: 71.85\n",
}
SECRETS = (
    "Ysolde", "Quill", "Marram", "01632", "960457", "Fergus", r"\bOrd\b", "Tull", "Ambrose", "Coldbeck", "Ewan", "Pike",
    "QQ12", "Brock", "Lintbrae", "Goodge", "Zadok", "Finch", "Hale", "KX-", "999.?0041", "888.?0220", "777.?0331",
    "666.?0441", "third nail", r"6,940", r"113\.45", r"66\.5x", r"61\.70", r"41\.15", r"92\.55", r"133\.25", r"212\.65",
    r"71\.85", "14 quid", "£",
)  # fmt: skip


def written(notes: dict[str, str], place: Path, *words: str) -> dict[str, str]:
    """Every file of the shared book of these notes."""
    for name, text in notes.items():
        (place / "notes" / name).parent.mkdir(parents=True, exist_ok=True)
        (place / "notes" / name).write_text(text, encoding="utf-8")
    done = CliRunner().invoke(main, ["compile", str(place / "notes"), "--on", ON, *words])
    assert done.exit_code < 2, done.output
    found = (
        path for path in (place / "notes").rglob("*") if path.is_file() and path.suffix in (".html", ".js", ".css")
    )
    return {str(path.relative_to(place / "notes")): path.read_text("utf-8") for path in found}


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, str], dict[str, str]]:
    """The whole book and the one to be shared, by path."""
    places = tmp_path_factory.mktemp("whole"), tmp_path_factory.mktemp("shared")
    return written(NOTES, places[0]), written(NOTES, places[1], "--share")


@pytest.mark.parametrize("secret", SECRETS)
def test_no_private_value_stands_anywhere(secret: str, books: tuple[dict[str, str], dict[str, str]]) -> None:
    """Every person, buyer and sum that a note or the settings hold is in the whole book, and in no file of the other:
    as typed, in other letters, in a remark, in a path, in a note half written.
    """
    whole, shared = books
    said = re.compile(secret, re.IGNORECASE)
    assert any(said.search(unescape(text)) for text in whole.values())
    assert [path for path, text in shared.items() if said.search(unescape(text)) or said.search(path)] == []


def test_no_field_of_these_sorts_is_untested() -> None:
    """The notes above fill every field that holds people or buyers."""
    seen, named = read(NOTES, ON), (*PRIVATE_FIELDS["people"], *PRIVATE_FIELDS["buyers"])
    filled = {
        (kind, name)
        for record in (seen.settings.file, *seen.collection.records)
        for kind, names in named
        for name in names
        if isinstance(record, kind) and getattr(record, name)
    }
    assert filled == {(kind, name) for kind, names in named for name in names}


def test_the_shared_book_is_whole(books: tuple[dict[str, str], dict[str, str]]) -> None:
    """It has the same pages but pictures, its links lead to places that are there, and the sheep are called as ever."""
    whole, shared = books
    assert {path.replace("book-shared/", "book/") for path in shared} == set(whole)
    ids = {path: set(re.findall(r' id="([^"]*)"', text)) for path, text in shared.items()}
    for path, text in shared.items():
        for file, place in re.findall(r'<a [^>]*href="([^"#:]*)#([^"]+)"', text):
            target = str((Path("/") / Path(path).parent / file).resolve().relative_to("/")) if file else path
            assert place in ids[target], (path, file, place)
    assert "Bramble" in shared["book-shared/sheep.html"]
    assert "left out of the shared book" in shared["book-shared/money.html"]


def test_whoever_is_not_clear_is_not_clear_in_a_shared_book(books: tuple[dict[str, str], dict[str, str]]) -> None:
    """Every animal of the demo stands where it stood, and the clear list says of these notes' sheep what it said."""
    pages = books[0]["book/clear-to-sell.html"], books[1]["book-shared/clear-to-sell.html"]
    states = [re.findall(r'<(?:span|a) class="state [^>]*>.*?</(?:span|a)>', page) for page in pages]
    assert states[0] == states[1] != []
    at = moment("2026-04-19T03:20")
    one, other = (proof(DEMO, book, at) for book in (BOOK, moneyless(BOOK)))
    assert one.facts.medicine.guard.standing == other.facts.medicine.guard.standing


def test_only_what_is_listed_is_left_out(tmp_path: Path) -> None:
    """`private: buyers, Wexcombe` keeps sums and helpers, and strikes a name that stands in a remark alone."""
    made = written({**NOTES, "flock.yaml": SETTINGS + "private: buyers, Wexcombe\n"}, tmp_path, "--share")
    whole = unescape(" ".join(made.values()))
    assert ("Brock" in whole, "Wexcombe" in whole, "Fergus" in whole, "92.55" in whole) == (False, False, True, True)


def test_a_person_called_like_a_sheep_is_told(tmp_path: Path) -> None:
    """The sheep keeps its name, and so says the command; a buyer called Not Clear strikes nothing of a standing."""
    notes = {name: text for name, text in NOTES.items() if not name.endswith(" sale.md")}
    notes |= {"events/2026-06-09 check Rue.md": "---\nby: Rue\n---\n- Rue bcs 3\n"}
    notes["events/2026-06-09 sale S1.md"] = "---\nsheep: S1\nto: Not Clear\n---\n"
    for name, text in notes.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    done = CliRunner().invoke(main, ["compile", str(tmp_path), "--on", ON, "--share"])
    assert "is called so too: " in done.output
    assert "Rue" in done.output
    assert "NOT CLEAR" in (tmp_path / "book-shared" / "clear-to-sell.html").read_text("utf-8")


def test_the_whole_book_is_not_overwritten(tmp_path: Path) -> None:
    """Without --to it stands beside the whole book; in that one's place it is refused."""
    written(NOTES, tmp_path)
    before = json.dumps({str(path): path.stat().st_mtime_ns for path in (tmp_path / "notes" / "book").rglob("*")})
    words = ["compile", str(tmp_path / "notes"), "--on", ON, "--share"]
    assert CliRunner().invoke(main, [*words, "--to", str(tmp_path / "notes" / "book")]).exit_code == 2
    assert CliRunner().invoke(main, words).exit_code == 1
    assert before == json.dumps(
        {str(path): path.stat().st_mtime_ns for path in (tmp_path / "notes" / "book").rglob("*")}
    )
