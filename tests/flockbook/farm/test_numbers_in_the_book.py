"""Official and electronic numbers in a whole book: a sound one stands everywhere, a rounded one nowhere as a number."""

from __future__ import annotations

from pathlib import Path

from tests.flockbook.compiled import Compiled

ROUNDED = "8.26E+14"  # what a spreadsheet makes of 826012345600002 (R 4.3 of the references: it prints 8.26012E+14)
NOTES = {
    "flock.yaml": "flock: Small\ncountry: GB\n",
    "sheep/E1 Bramble.md": "---\nnote: ewe\nborn: 2021\nofficial: UK 0123456 00001\neid: 826012345600001\n---\n",
    "sheep/E2 Fern.md": f"---\nnote: ewe\nborn: 2021\nofficial: {ROUNDED}\neid: {ROUNDED}\n---\n",
    "sheep/E3 Ivy.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "events/2026-05-01 tagging.md": "---\nnote: tagging\n---\n- E3 eid 826012000000000\n",
}


def test_a_rounded_number_is_told_and_shown_nowhere_as_one(tmp_path: Path) -> None:
    """The register, her page and finding know the sound numbers; the rounded ones are asked for with line and cure."""
    book = Compiled(NOTES, "2026-06-10", tmp_path)
    told = {(message.code, message.span.path, message.span.line) for message in book.told.diagnostics}
    assert {("I105", "sheep/E2 Fern.md", 4), ("I101", "sheep/E2 Fern.md", 5)} < told
    assert ("I101", "events/2026-05-01 tagging.md", 4) in told
    roll = book.words("register-sheet.html")
    assert "UK 0123456 00001 826012345600001" in roll
    assert roll.count("no number: to mend") == 3
    for page in ("register.html", "register-sheet.html", "sheep/e2.html", "find-by-end.html"):
        assert ROUNDED not in book.words(page)
        assert "826012000000000" not in book.words(page)
    assert "no number: to mend" in book.words("sheep/e2.html")
    assert "… 1" in book.words("find-by-end.html")
    assert "spreadsheet has rounded this" in book.words("problems.html")
