"""What a shepherd in Georgia writes of scans, purchases and routes is read as meant (common practice, no source)."""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.build import proof
from flockbook.book import BOOK
from tests.flockbook.medicine.test_as_people_jot import Files, moment
from tests.flockbook.medicine.test_on_other_farms import standing

FARM = {
    "flock.yaml": "flock: Pine Hollow\nunits: us\ncountry: US\ntimezone: America/New_York\n",
    "sheep/101 Peaches.md": "---\nnote: ewe\nborn: 2022\n---\n",
    "sheep/102 Dolly.md": "---\nnote: ewe\nborn: 2022\n---\n",
    "sheep/B7 Waylon.md": "---\nnote: buck\nborn: 2021\n---\n",
}


def lay(folder: Path, files: Files) -> Path:
    """Write the files of a farm."""
    for path, text in {**FARM, **files}.items():
        place = folder / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, "utf-8")
    return folder


@pytest.mark.parametrize("dash", ["- ", ""], ids=["dash", "bare"])
@pytest.mark.parametrize(
    ("said", "lambs"),
    [
        ("not bred", 0), ("not pregnant", 0), ("not in lamb", 0), ("no lambs", 0), ("unbred", 0), ("open", 0),
        ("bred", None), ("preg", None), ("settled", None), ("twins", 2),
    ],
)  # fmt: skip
def test_what_the_scan_saw(tmp_path: Path, dash: str, said: str, lambs: int | None) -> None:
    """Empty, in lamb or counted: with a dash and without."""
    seen = proof(lay(tmp_path, {"events/2025/2025-12-15 scan.md": f"{dash}101 {said}\n"}), BOOK, moment("2025-12-20"))
    lines = [line for event in seen.linked.events for line in getattr(event, "lines", ())]
    assert [(line.sheep, line.lambs) for line in lines] == [("101", lambs)]


@pytest.mark.parametrize(
    "line", ["yearling ewe K1, born 2025", "ewe lamb K1", "K1 yearling ewe", "ewe K1", "gimmer K1"]
)
def test_a_word_for_what_she_is_is_no_tag(tmp_path: Path, line: str) -> None:
    """`yearling ewe K1` is K1."""
    seen = proof(lay(tmp_path, {"events/2026/2026-07-20 bought.md": f"- {line}\n"}), BOOK, moment("2026-08-01"))
    assert {tag for animal in seen.linked.animals.values() for tag in animal.tags} == {"101", "102", "B7", "K1"}


def test_several_on_one_line_are_asked_for_one_by_one(tmp_path: Path) -> None:
    """`2 yearling ewes, tags K1 and K2` makes no sheep called 2."""
    files = {"events/2026/2026-07-20 bought.md": "- 2 yearling ewes, tags K1 and K2\n"}
    seen = proof(lay(tmp_path, files), BOOK, moment("2026-08-01"))
    assert any(item.help.startswith("write a line for each: ") for item in seen.diagnostics)
    assert "2" not in {tag for animal in seen.linked.animals.values() for tag in animal.tags}


@pytest.mark.parametrize(
    ("label", "given"),
    [
        ("SQ", "subq"), ("SQ", "under the skin"), ("subcutaneous", "SQ"), ("sub-Q", "SubQ"), ("SC", "SQ"),
        ("PO", "by mouth"), ("pour-on", "poured on"), ("IM", "in the muscle"),
    ],
)  # fmt: skip
def test_one_route_in_two_words_is_on_the_label(tmp_path: Path, label: str, given: str) -> None:
    """So she is held for the label's period, and not unknown."""
    files = {
        **FARM,
        "medicines/longacting.md": f"---\nnote: medicine\nroute: {label}\nmeat withdrawal: 28 days\n"
        "milk withdrawal: 7 days\n---\n",
        "events/2026/2026-06-02 treatment.md": f"---\nsheep: 101\nmedicine: longacting\nroute: {given}\n---\n",
    }
    assert standing(tmp_path, files, "2026-06-10")["101"] == "held"


def test_another_route_is_off_the_label(tmp_path: Path) -> None:
    """In the muscle where the label says under the skin: unknown without a vet's period."""
    files = {
        **FARM,
        "medicines/longacting.md": "---\nnote: medicine\nroute: SQ\nmeat withdrawal: 28 days\n---\n",
        "events/2026/2026-06-02 treatment.md": "---\nsheep: 101\nmedicine: longacting\nroute: IM\ndose: 3 ml\n---\n",
    }
    assert standing(tmp_path, files, "2026-06-10")["101"] == "unknown"
