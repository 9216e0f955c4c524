"""A fault in one family of facts: who asks for it says so, everything else is there; without clearance, nothing new."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any, NoReturn

import pytest

from compiler.families import once
from flockbook.derive.facts import Facts
from tests.flockbook.test_cli import EWE, ON, book_bytes, folder, run

WINGS = [name for name, value in vars(Facts).items() if hasattr(value, "func")]
LAND = {
    "paddocks/Holm.md": "---\nnote: paddock\narea: 2 ha\n---\n",
    "events/2026/2026-05-02 move.md": "---\nsheep: Bramble, Teasel\nto: Holm\n---\n",
}


def planted(monkeypatch: pytest.MonkeyPatch, wing: str, name: str) -> list[str]:
    """Breaks what makes one family; the list grows whenever it is tried."""
    tries: list[str] = []

    def crash(*_: object) -> NoReturn:
        tries.append(name)
        raise ZeroDivisionError("of our own making")

    monkeypatch.setattr(family(wing, name), "make", crash)
    return tries


def family(wing: str, name: str) -> Any:
    """The declaration of a family."""
    return vars(getattr(import_module(f"flockbook.derive.{wing}.facts"), f"{wing.title()}Facts"))[name]


def families() -> Iterator[tuple[str, str]]:
    """Every wing with every family of it."""
    for wing in WINGS:
        facts = getattr(import_module(f"flockbook.derive.{wing}.facts"), f"{wing.title()}Facts")
        yield from ((wing, name) for name, value in vars(facts).items() if isinstance(value, once))


def test_a_fault_in_one_family(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The book is made; the pages that need the family say that they could not be, with a code; status 2; and it is
    tried once, however many ask.
    """
    notes, book = folder(tmp_path / "notes", **LAND), tmp_path / "book"
    assert run("compile", notes, "--to", book, *ON).exit_code == 0
    tries = planted(monkeypatch, "land", "grazing")
    (notes / "2026-01-05 remark.md").write_text("Frost.\n", "utf-8")  # a book of what is unchanged is not made again
    done = run("compile", notes, "--to", book, *ON)
    assert (done.exit_code, tries) == (2, ["grazing"])
    said = "the pages grass: the facts `land.grazing` could not be made: ZeroDivisionError: of our own making"
    assert "error[B905]" in done.stderr
    assert said in done.stderr
    assert "This page could not be made" in (book / "grass.html").read_text()
    assert said in (book / "grass.html").read_text()
    assert "of our own making" in (book / "problems.html").read_text()
    assert "B905" in (book / "problems.html").read_text()
    assert "Bramble" in (book / "clear-to-sell.html").read_text()


def test_without_clearance_the_old_book_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault in clearance, or in the doses that it rests on, leaves the book as it was, and says not to rely on it."""
    notes, book = folder(tmp_path / "notes"), tmp_path / "book"
    run("compile", notes, "--to", book, *ON)
    before = book_bytes(book)
    (notes / "sheep" / "C231 Sorrel.md").write_text(EWE)
    for name in ("guard", "doses"):
        with monkeypatch.context() as broken:
            planted(broken, "medicine", name)
            done = run("compile", notes, "--to", book, *ON)
            assert (done.exit_code, book_bytes(book)) == (2, before)
            assert "error[B903]" in done.stderr
            assert f"the facts `medicine.{name}` could not be made: ZeroDivisionError" in done.stderr
            assert "do not rely on it" in done.stderr
            asked = run("clear", "--folder", notes, *ON)
            assert (asked.exit_code, asked.stdout) == (2, "")
            assert "nobody is clear" in asked.stderr
    assert run("compile", notes, "--to", book, *ON).exit_code == 0
    assert book_bytes(book) != before


def test_a_command_makes_only_what_it_asks_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether sheep are clear is told though every other family fails, and that no more was asked; who is due, and all
    facts, are not.
    """
    notes = folder(tmp_path)
    whole = run("clear", "--folder", notes, *ON)
    for wing, name in families():
        if (wing, name) not in (("medicine", "guard"), ("medicine", "doses")):
            planted(monkeypatch, wing, name)
    asked = run("clear", "--folder", notes, *ON)
    assert (asked.exit_code, asked.stdout) == (whole.exit_code, whole.stdout)
    assert asked.exit_code == 0
    assert "what else speaks against going was not" in asked.stderr
    assert "what else" not in whole.stderr
    for words in (("due",), ("handover", "facts"), ("handover", "calendar")):
        failed = run(*words, notes, *ON)
        assert (failed.exit_code, failed.stdout) == (2, "")
        assert "could not be made: ZeroDivisionError: of our own making" in failed.stderr
        assert "this is a fault in the program, not in your notes" in failed.stderr


def test_every_family_says_so_by_its_own_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whichever family of the demo flock fails, no compile or proof crashes, and each that asks names the family."""
    found = list(families())
    assert len(found) >= 40
    assert {wing for wing, _ in found} == set(WINGS) > {"breeding", "medicine", "year"}
    assert all(family(wing, name).label == f"{wing}.{name}" for wing, name in found)
    assert all(family(wing, name).__doc__ for wing, name in found)
    planted(monkeypatch, "weights", "gains")
    told = run("proof", "site_demo", "--format", "short", *ON)
    assert told.exit_code == 2
    faults = [line for line in told.stdout.split("\n") if "B904" in line]
    assert len(faults) >= 2
    assert all("the facts `weights.gains` could not be made" in line for line in faults)
