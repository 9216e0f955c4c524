"""The whole way from notes to pages: the demo, twice, elsewhere, and with everything accounted for."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from compiler.book import Moment
from compiler.build import build, proof
from flockbook.book import BOOK
from flockbook.handover.facts import facts_json

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "site_demo"
DAY = Moment(datetime(2026, 11, 25))
COMPILE = """
import sys
from datetime import datetime
from pathlib import Path
from compiler.book import Moment
from compiler.build import build
from flockbook.book import BOOK
from flockbook.handover.facts import facts_json
built = build(Path(sys.argv[1]), BOOK, Moment(datetime(2026, 11, 25)), Path(sys.argv[2]), cache=Path(sys.argv[3]))
Path(sys.argv[2], "facts.json").write_text(facts_json(built.findings), encoding="utf-8")
"""


def digests(book: Path) -> dict[str, str]:
    """Every file of a book by its digest."""
    return {
        path.relative_to(book).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(book.rglob("*"))
        if path.is_file()
    }


def elsewhere(to: Path, **world: str) -> dict[str, str]:
    """The demo compiled in a process with another zone, language and hash seed."""
    book = to / "book"
    command = [sys.executable, "-c", COMPILE, str(DEMO), str(book), str(to / "cache")]
    subprocess.run(command, cwd=ROOT, env={**os.environ, **world}, check=True)
    return digests(book)


def test_the_demo_proofs_clean() -> None:
    """No error, no question and no warning; only the gaps that its story leaves."""
    found = proof(DEMO, BOOK, DAY)
    assert {message.grade.value for message in found.diagnostics} == {"gap"}


def test_the_second_compile_writes_nothing(tmp_path: Path) -> None:
    """Nothing changed, so not one file is written."""
    first = build(DEMO, BOOK, DAY, tmp_path / "book", cache=tmp_path / "cache")
    again = build(DEMO, BOOK, DAY, tmp_path / "book", cache=tmp_path / "cache")
    assert len(first.written.made) > 200
    assert (again.written.made, again.written.changed, again.written.removed) == ((), (), ())


def test_same_notes_and_day_give_the_same_bytes_anywhere(tmp_path: Path) -> None:
    """Another time zone, locale and hash seed change no byte of pages or facts."""
    here = elsewhere(tmp_path / "here", TZ="Europe/London", LC_ALL="C.UTF-8", PYTHONHASHSEED="1")
    there = elsewhere(tmp_path / "there", TZ="Pacific/Auckland", LC_ALL="C", PYTHONHASHSEED="77")
    assert here == there


def test_every_note_is_in_the_book(tmp_path: Path) -> None:
    """The path of every note that was read stands on some page: nothing vanishes."""
    notes = shutil.copytree(DEMO, tmp_path / "notes", ignore=shutil.ignore_patterns("book"))
    built = build(notes, BOOK, DAY, tmp_path / "book", cache=tmp_path / "cache")
    words = "\n".join(path.read_text("utf-8") for path in (tmp_path / "book").rglob("*.html"))
    words = words.replace("&#39;", "'").replace("&amp;", "&")
    collection = built.findings.collection
    missing = [record.origin.path for record in collection.records if record.origin.path not in words]
    assert missing == []
    files = [path for path in notes.rglob("*") if path.is_file() and path != notes / "flock.yaml"]
    assert collection.read == len(files)


def test_every_picture_of_the_demo_is_shown(tmp_path: Path) -> None:
    """Each picture that lies with the notes is named by one, stands in the book, and is small enough to carry."""
    build(DEMO, BOOK, DAY, tmp_path / "book", cache=tmp_path / "cache")
    shown = {path.name for path in (tmp_path / "book" / "pictures").iterdir()}
    photos = sorted((DEMO / "photos").iterdir())
    assert shown == {f"photos-{path.name}" for path in photos}
    assert photos
    assert max(path.stat().st_size for path in photos) <= 30_000
    words = "\n".join(path.read_text("utf-8") for path in (tmp_path / "book").rglob("*.html"))
    assert 'class="no-picture"' not in words


@pytest.mark.parametrize("day", ["2024-04-20", "2025-06-05", "2026-04-19T03:40", "2023-10-01"])
def test_the_demo_compiles_on_other_days(tmp_path: Path, day: str) -> None:
    """A day in the thick of lambing, one with held ewes, one before everything."""
    moment = Moment(datetime.fromisoformat(day), timed="T" in day)
    built = build(DEMO, BOOK, moment, tmp_path / "book", cache=tmp_path / "cache")
    assert built.status in (0, 1)
    assert not any(message.code.startswith("B9") for message in built.told)


def test_facts_have_every_key_and_null_for_unknown() -> None:
    """The facts file has all its keys, one clearance row for each living sheep, and no NaN."""
    import json

    found = proof(DEMO, BOOK, DAY)
    facts = json.loads(facts_json(found), parse_constant=lambda word: pytest.fail(word))
    keys = (
        "format version on flock sheep due forecast labours lambings colostrum clearance doses illness egg_counts "
        "growth kinship "
        "merit seasons compare paddocks money supplies reminders register counts reasons diagnostics"
    )
    assert set(keys.split()) <= set(facts)
    living = [sheep["id"] for sheep in facts["sheep"] if sheep["status"] == "alive"]
    assert sorted(row["sheep"] for row in facts["clearance"]) == sorted(living)
