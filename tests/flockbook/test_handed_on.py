"""What the reading of notes hands on to those who ask whom a note concerns: lines, rows, words and files."""

from __future__ import annotations

from tests.flockbook.small import codes, read

EWE = {"sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021-04-01\n---\n"}
HEAD = "---\nmedicine: levamisole oral\ndose: 5 ml\n---\n"
PATH = "events/2026-06-02 treatment.md"


def left(text: str, **beside: str) -> list[tuple[str, int]]:
    """What is left of one treatment: text and line."""
    seen = read({**EWE, PATH: text, **{PATH.replace("md", ending): table for ending, table in beside.items()}})
    return [(cell.text, cell.line) for note in seen.collection.records for cell in note.origin.rest]


def test_rows_under_headings_that_nobody_knows() -> None:
    """A table in a treatment whose headings say nothing gives no dose, a warning, and its rows as they stand."""
    table = "| who | how much |\n|---|---|\n| Bramble | 5 ml |\n"
    assert left(HEAD + table)[-1] == ("| Bramble | 5 ml |", 7)
    assert "F110" in codes(read({**EWE, PATH: HEAD + table}))
    assert left(HEAD, csv="Bramble;5 ml\nTeasel;4 ml\n") == [("Bramble | 5 ml", 1), ("Teasel | 4 ml", 2)]


def test_lines_that_are_no_doses() -> None:
    """Numbered, quoted and coded lines are no data lines, and are all there."""
    lines = left(HEAD + "1. Bramble 5 ml\n> Bramble 4 ml\n```\nBramble 3 ml\n```\n")
    assert ("1. Bramble 5 ml", 5) in lines
    assert ("Bramble 4 ml", 6) in lines
    assert ("Bramble 3 ml", 8) in lines


def test_a_treatment_with_another_ending() -> None:
    """Its path and its words are among the other files."""
    seen = read({**EWE, "events/2026-06-02 treatment Bramble.rtf": "{\\rtf1 Bramble 5 ml}"})
    assert [(item.sort, item.text) for item in seen.collection.others] == [("ending", "{\\rtf1 Bramble 5 ml}")]


def test_the_words_of_a_dose_that_cannot_be_read() -> None:
    """The field is broken, and what was typed in it is not lost."""
    seen = read({**EWE, PATH: HEAD.replace("5 ml", "3 ml Bramble, 4 ml Teasel")})
    typed = next(note.origin.typed for note in seen.collection.records if note.origin.kind == "treatment")
    assert dict(typed) == {"dose": "3 ml Bramble, 4 ml Teasel"}
