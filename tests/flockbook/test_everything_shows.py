"""Everything that is written shows: each field of each kind of note, and each word of each data line.

What counts: the words of a value on a page of the compiled book, where that note is told (its heading, its facts), on
the page of the sheep it is about, or on that of the product. A remark and the name of the file are printed as they
stand, so they are taken out before anything is looked for; the pages of messages, which quote lines, are not looked at.
Values are words, numbers and days found nowhere else in their note; of a `yes` or a choice, the name of its field
stands beside it. Fields come from the schema: a new one is asked for without a word here.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from compiler.book import Moment
from compiler.build import build
from compiler.schema import Context, Kind
from compiler.shape import field_names
from flockbook.book import BOOK
from flockbook.pages.lambing import crop
from flockbook.pages.medicine import medicine_pages
from flockbook.pages.sheep import sheep_page
from flockbook.pages.telling.timeline import Teller, entry_in_full
from flockbook.pages.views import directory
from flockbook.records import KINDS, lamb_line
from flockbook.records.event import Event
from tests.flockbook.families import table_in, view
from tests.flockbook.marked_flock import Mark, Marked, flock
from tests.flockbook.marked_lines import (
    LINED,
    OTHER_HEADINGS,
    PLAIN_FIELDS,
    ROWS,
    Lamb,
    Lined,
    lambs,
    lined_flock,
    notes_of_lines,
)
from tests.flockbook.small import read

# Fields that show by what they do; each has its own test below.
ACTS = {"sure": "an unusual value is no longer asked about"}
UNSEEN = {"span": "where the line stands", "text": "the line once more", "unlikely": "shown as (to confirm)"}
ENTRY = re.compile(r'<li[^>]*>\s*<div class="day">.*?</li>', re.DOTALL)
VERBATIM = re.compile(r'<div class="said">.*?</div>|<p class="source">.*?</p>', re.DOTALL)
HEADING = re.compile(r"<h1[^>]*>.*?</h1>", re.DOTALL)
NOTES = re.compile(r"(?:notes-\d{4}|things)\S*\.html")
MESSAGES = ("problems", "workings")  # pages that quote lines, or speak of no note


@cache
def book() -> Mapping[str, str]:
    """Every page of the book of the marked flock by its path, as HTML."""
    notes = {**flock()[0], **lined_flock()}
    with TemporaryDirectory() as folder:
        place = Path(folder, "notes")
        for path, text in notes.items():
            (place / path).parent.mkdir(parents=True, exist_ok=True)
            (place / path).write_text(text, encoding="utf-8")
        built = build(place, BOOK, Moment(datetime(2026, 11, 1)), Path(folder, "book"), cache=Path(folder, "cache"))
        assert built.status < 2
        found = sorted(Path(folder, "book").rglob("*.html"))
        pages = {page.relative_to(Path(folder, "book")).as_posix(): page.read_text("utf-8") for page in found}
        return {path: page for path, page in pages.items() if not path.startswith(MESSAGES)}


def words(page: str) -> str:
    """The words of a piece of a page, without those that are printed as they stand in the note."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", VERBATIM.sub(" ", page))).split())


def tellings(note: str) -> dict[str, str]:
    """Page → what it tells of a note, with the page's heading, which may be the sheep that the note is about."""
    source = f'<p class="source">Note <span class="path">{note}</span>'
    return {
        name: words((HEADING.findall(page) or [""])[0]) + " " + " ".join(map(words, told))
        for name, page in book().items()
        if (told := [entry for entry in ENTRY.findall(page) if source in entry])
    }


def own_page(note: str) -> dict[str, str]:
    """The page of a thing, without the tellings of notes on it."""
    path = f'<span class="path">{note}</span>'
    return {name: words(ENTRY.sub("", page)) for name, page in book().items() if path in ENTRY.sub("", page)}


def stands(sought: str, told: str) -> bool:
    """Whether words stand in others as whole words, small or capital."""
    return bool(re.search(rf"(?<![\w.]){re.escape(sought)}(?!\w)", told, re.IGNORECASE))


def missing(marks: Iterable[Mark], pages: Mapping[str, str]) -> list[str]:
    """Where a mark should stand and does not."""
    return [
        f"{mark.field}: {mark.words} on {name}"
        for mark in marks
        for name, told in pages.items()
        if not stands(mark.words, told)
    ]


MARKED = flock()[1]


@pytest.mark.parametrize("note", MARKED, ids=[note.path.removeprefix("marked/") for note in MARKED])
def test_every_field_shows(note: Marked) -> None:
    """Every field that the schema of a kind declares is told, and on the page of each sheep that the note is about."""
    dated = issubclass(note.kind.record, Event)
    pages = tellings(note.path) if dated or not own_page(note.path) else own_page(note.path)
    assert pages
    assert not dated or any(map(NOTES.fullmatch, pages))
    assert missing((mark for mark in note.marks[1:] if mark.field not in ACTS), pages) == []


def test_no_value_stands_in_another() -> None:
    """Of the values in one note none is part of another, so that none is found by chance."""
    for note in MARKED:
        told = [mark.words for mark in note.marks[1:] if mark.field not in ACTS]
        assert [(one, other) for one in told for other in told if one != other and stands(one, other)] == []


def test_a_corrected_note_is_struck() -> None:
    """The note that another `corrects` says so wherever it is told."""
    for note in MARKED:
        told = tellings(f"marked/earlier {note.kind.name}.md")
        assert told or not issubclass(note.kind.record, Event)
        assert [page for page, text in told.items() if f"corrected by a later note: {note.path}" not in text] == []


# Lines


LINES = notes_of_lines()[1]


@pytest.mark.parametrize("line", LINES, ids=lambda line: f"{line.note.split(' ', 1)[1]} {line.field}")
def test_every_word_of_a_line_shows(line: Lined) -> None:
    """What a line or a cell says of a sheep is told with the note, and on the page of that sheep."""
    pages = {name: told for name, told in tellings(line.note).items() if is_of(name, line.sheep)}
    assert [name for name, told in pages.items() if line.words not in told] == []
    assert len(pages) == (1 if line.field == "colour" else 2)


def is_of(page: str, sheep: str) -> bool:
    """Whether a page is one of all notes, or this sheep's."""
    own = sheep.lower()
    return bool(NOTES.fullmatch(page)) or page in (f"sheep/{own}.html", f"sheep/{own}n.html")


def test_every_field_of_every_line_is_looked_for() -> None:
    """Each grammar of the schema stands in the lists above with all its fields and headings."""
    for kind in KINDS:
        if kind.lines and kind.name not in ("lambing", "past lambings"):  # the latter: test_whole_steps.py
            typed = read_line(kind, LINED[kind.name][0][1].format("C1"))
            fields = set(field_names(type(typed))) - {*UNSEEN, "sheep"}
            assert fields == {name for name, _, _ in LINED[kind.name]}, kind.name
            headings = {"sheep", *ROWS.get(kind.name, ()), *OTHER_HEADINGS.get(kind.name, ())}
            assert set(kind.lines.columns) - {"tag", "remark"} <= headings, kind.name


def read_line(kind: Kind, text: str) -> object:
    """The value of a line."""
    assert kind.lines
    return kind.lines.read(text, Context()).value


# Lambs


def said(lamb: Lamb) -> str:
    """What the book must say of a lamb, by what the word declares."""
    line = lamb_line.read(lamb.typed, Context()).value
    value = getattr(line, lamb.word.field)
    value = getattr(value, "text", value)  # a temperature is said as it was typed
    return lamb.word.said.format(f"{value:g}" if isinstance(value, float) else value)


@pytest.mark.parametrize("lamb", lambs(), ids=lambda lamb: lamb.typed.partition(", ")[2])
def test_every_word_of_a_lamb_shows(lamb: Lamb) -> None:
    """It is told of that lamb where the lambing is, on the ewe's page and the lamb's own, and counted in the crop."""
    told = tellings(lamb.note)
    line = f"ewe lamb, 4.1 kg, tag {lamb.tag}, {said(lamb)}"
    own = (f"sheep/{lamb.dam.lower()}.html", f"sheep/{lamb.tag.lower()}.html")
    pages = (*filter(NOTES.fullmatch, told), *own)
    assert said(lamb).strip()
    assert len(pages) == 3
    assert [page for page in pages if not re.search(rf"{re.escape(line)}(?![\w,])", told[page])] == []
    counted = lamb.word.counted.format(lamb.word.value or 4)
    assert not counted or f" 1 {counted}" in words(book()["crop-2025.html"])


def test_every_field_of_a_lamb_has_a_word() -> None:
    """A field without a word that fills it would never be said."""
    fields = set(field_names(lamb_line.LambLine)) - {*UNSEEN, "remark"}
    assert fields == {word.field for word in lamb_line.WORDS if word.example}
    assert {word.field for word in lamb_line.WORDS if not word.counted and word.example} <= {*PLAIN_FIELDS, "number"}


# What shows by what it does

ASIDE = {
    "2026-03-01 scan.md": "---\n# before breakfast\nmethod: fergus\nmaschine: old\ncount: plenty\n---\n",
    "2026-03-01 scan.csv": "sheep,lambs,looks\nBell,twins,lame\n,,nobody caught\n",
    "ewe Bell.md": "---\n# bought for her wool\ntag: Bell\nborn: 2020\n---\n",
    "medicine moxidectin.md": "---\n# the blue box\nname: moxidectin\n---\n",
}


def test_what_stands_beside_the_fields_is_shown() -> None:
    """A comment in a head, a field that no kind has, a value that cannot be read, and what a table beside a note has
    under another heading or in a row that gives nothing.
    """
    seen = read(ASIDE)
    scan = next(note for note in seen.collection.records if note.origin.kind == "scan")
    told = str(entry_in_full(Teller(directory(seen.linked, seen.today), "metric"), scan).facts)
    sought = (
        "before breakfast",
        "not understood: maschine old",
        "could not be read: count",
        "Bell: twins, lame",
        "nobody caught",
    )
    assert [words for words in sought if words not in told] == []
    own = view(seen, sheep_page, "sheep/bell.html")
    assert "lame" in str(own.notes)
    assert "bought for her wool" in str(own.look)
    assert "the blue box" in str(view(seen, medicine_pages))


UNUSUAL = {
    "lambing": "ewe: Bell\n---\n- ram 41 kg, tag W1\n",
    "weighing": "stage: autumn\n---\n- Bell 240 kg\n",
    "illness": "sheep: Bell\nproblem: fever\ntemp: 44.5 C\n---\n",
    "feeding": "lambs: W1\namount: 1500 ml\n---\n",
}


@pytest.mark.parametrize("kind", UNUSUAL)
def test_an_unusual_value_is_asked_about_until_it_is_sure(kind: str) -> None:
    """Such a value bears `(to confirm)` where its note is told, and no longer with `sure: yes`."""
    bell = {"ewe Bell.md": "---\ntag: Bell\nborn: 2020\n---\n", "2026-04-02 lambing Bell.md": "- ewe 4 kg, tag W1\n"}
    for sure, shows in (("", True), ("sure: yes\n", False)):
        seen = read({**bell, f"2026-04-03 {kind}.md": f"---\n{sure}{UNUSUAL[kind]}"})
        told = Teller(directory(seen.linked, seen.today), "metric")
        facts = [entry_in_full(told, note).facts for note in seen.collection.records if note.origin.kind == kind]
        assert ("confirm)" in str(facts[-1])) == shows


@pytest.mark.parametrize("sure", ["", "sure: yes\n"])
def test_a_confirmed_birth_weight_stands_in_the_tables(sure: str) -> None:
    """A lamb of 9 kg, which is asked about, stands in the tables of its ewe and its crop once it is sure."""
    notes = {
        "ewe Bell.md": "---\ntag: Bell\nborn: 2020\n---\n",
        "2026-04-03 lambing Bell.md": f"---\n{sure}---\n- ewe 9 kg\n",
    }
    seen = read(notes)
    tables = (view(seen, sheep_page, "sheep/bell.html").tables, table_in(view(seen, crop), "lambs-head"))
    assert ["9.0" in str(table) for table in tables] == [bool(sure)] * 2
