"""The whole way from notes to book, with a domain that knows no sheep."""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NoReturn

import html5lib
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compiler import binding, faults, output, prose, report
from compiler.book import Book, Check, Findings, Moment, PageMaker, Stamp
from compiler.build import Built, build, proof
from compiler.pages import Asset, Page
from compiler.schema import Kind, LineReading, LineSyntax
from compiler.shape import Value, replace
from tests import toybook, toybook_book
from tests.compiler import test_pictures as pictures_tests
from tests.toybook_book import BOOK, CONTENTS, ON, with_check, with_pages

ROOT = Path(__file__).parents[2]
LOG: dict[str, str | bytes] = {
    "log.yaml": "harbour: Skerry\n",
    "boats/12 Grebe.md": "---\nnote: boat\nbuilt: 1998\n---\nA *dry* [boat](<../voyages/2026-04-19 voyage Grebe.md>)\n",
    "boats/7 Teal.md": "---\nnote: boat\n---\n",
    "voyages/2026-04-19 voyage Grebe.md": "---\nboat: Grebe\n---\n- cod 4.1 kg\n- ling 3\n\nCold <b>day</b>.\n",
    "voyages/2026-04-20 0340 voyage Teal.md": "",
    "voyages/2026-04-21 voyage Heron.md": "---\nboat: Heron\n---\nNobody knows *her*.\n",
    "voyages/2026-04-22 sounding bay.md": "---\nplace: bay\n---\n",
    "voyages/2026-04-22 sounding bay.csv": "buoy,kg\nb1,4\n",
    "repairs/2026-04-23 repair.md": "---\nboats: Teal\npart: keel\n---\n",
    "repairs/2026-04-24 repair.md": "---\nboats: [Teal\npart: mast\n---\n",
    "README.md": "How we keep the log.\n",
}


def lay(root: Path, files: dict[str, str | bytes] | None = None) -> Path:
    """Write a notes folder."""
    for name, text in (LOG if files is None else files).items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode() if isinstance(text, str) else text)
    root.mkdir(parents=True, exist_ok=True)
    return root


def made(root: Path, book: Book[Any, Any, Any] = BOOK, moment: Moment = ON) -> Built[Any, Any, Any]:
    """Compile `root/notes` into `root/book`, remembering in `root/cache`."""
    return build(root / "notes", book, moment, root / "book", cache=root / "cache")


def on_disk(folder: Path) -> dict[str, bytes]:
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def text_of(root: Path, page: str) -> str:
    return (root / "book" / page).read_text()


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """A folder with `notes`, a small log."""
    lay(tmp_path / "notes")
    return tmp_path


def test_from_notes_to_book(log: Path) -> None:
    """Pages, style and other files are made; messages are told; the exit status says that notes have errors."""
    built = made(log)
    assert built.written.made == (
        "boats/12-grebe.html", "boats/7-teal.html", "count.txt", "problems.html", "style.css", "index.html",
    )  # fmt: skip
    assert built.status == 1
    assert [(message.code, message.span.path) for message in built.told] == [
        ("N102", "repairs/2026-04-24 repair.md"),
        ("G101", "voyages/2026-04-20 0340 voyage Teal.md"),
        ("V101", "voyages/2026-04-21 voyage Heron.md"),
    ]
    grebe = text_of(log, "boats/12-grebe.html")
    assert '<p>A <em>dry</em> <a href="12-grebe.html">boat</a></p>' in grebe
    assert "cod 4.1 kg, ling 3.0 kg" in grebe
    assert "Cold &lt;b&gt;day&lt;/b&gt;." in grebe
    assert list(built.seconds) == [
        "read settings", "read notes", "decode", "link", "derive", "check",
        "find pictures", "make pages", "draw and write",
    ]  # fmt: skip


def test_nothing_vanishes(log: Path) -> None:
    """Every file read is on a page or on the list of problems, and the stamp counts them all."""
    made(log)
    shown = "".join(text_of(log, page.relative_to(log / "book").as_posix()) for page in (log / "book").rglob("*.html"))
    for name in LOG:
        assert name in shown or name.endswith((".csv", ".yaml")) or "sounding" in name
    assert "10 files read, 8 on pages, 2 listed; newest 2026-04-23." in text_of(log, "index.html")


def test_a_hole_withholds(log: Path) -> None:
    """While a note of a guarded kind cannot be read, no boat is called fit; when it is mended, they are."""
    made(log)
    assert "fit for sea" not in text_of(log, "index.html")
    assert "UNKNOWN" in text_of(log, "index.html")
    lay(log / "notes", {"repairs/2026-04-24 repair.md": "---\nboats: Teal\npart: mast\n---\n"})
    made(log)
    assert "fit for sea" in text_of(log, "index.html")


def test_pictures(log: Path) -> None:
    """Pictures that a remark or a page shows are copied, cleaned; others stay out; a lost one is told."""
    for name in ("photos/at sea.jpg", "photos/bow.jpg", "photos/not used.jpg", "photos/cut off.jpg"):
        data = pictures_tests.JPEGS["plain turned 6"]
        lay(log / "notes", {name: data[:900] if "cut" in name else data})
    words = "![at sea](<../photos/at sea.jpg>) ![cut off](<../photos/cut off.jpg>) ![gone](../gone.jpg)\n"
    lay(log / "notes", {"boats/7 Teal.md": f"---\nnote: boat\n---\n{words}"})

    def bow(found: Findings[Any, Any, Any], stamp: Stamp) -> Iterator[Page]:
        del stamp
        (picture,) = (picture for picture in found.pictures if picture.path == "photos/bow.jpg")
        view = toybook_book.ProblemsView((f"{picture.place} {picture.width} {picture.height}",))
        yield Page("bow.html", "problems.html", "Bow", view, pictures=(picture.path,))

    built = made(log, with_pages(PageMaker("bow", bow)))
    copies = {path: data for path, data in on_disk(log / "book").items() if path.startswith("pictures/")}
    assert {path: len(data) > 0 for path, data in copies.items()} == {
        "pictures/photos-at-sea.jpg": True,
        "pictures/photos-bow.jpg": True,
        "pictures/photos-cut-off.jpg": False,
    }
    assert pictures_tests.SECRET not in b"".join(copies.values())
    assert '<img src="../pictures/photos-at-sea.jpg" alt="at sea" loading="lazy">' in text_of(log, "boats/7-teal.html")
    assert '<span class="no-picture">gone (gone.jpg)</span>' in text_of(log, "boats/7-teal.html")
    assert "pictures/photos-bow.jpg 40 60" in text_of(log, "bow.html")
    assert [(message.code, message.span.path) for message in built.told if message.code == "N140"] == [
        ("N140", "photos/cut off.jpg")
    ]
    assert not made(log, with_pages(PageMaker("bow", bow))).written.changed


def test_second_compile_writes_nothing(log: Path) -> None:
    """With nothing changed no file is touched, not even the list of files."""
    made(log)
    before = {path: path.stat().st_mtime_ns for path in (log / "book").rglob("*") if path.is_file()}
    again = made(log).written
    assert (again.made, again.changed, again.removed) == ((), (), ())
    assert before == {path: path.stat().st_mtime_ns for path in (log / "book").rglob("*") if path.is_file()}


def test_one_note_changed_writes_only_its_pages(log: Path) -> None:
    """A remark changed on one boat's note changes that boat's page alone."""
    made(log)
    lay(log / "notes", {"boats/7 Teal.md": "---\nnote: boat\n---\nNew *paint*.\n"})
    written = made(log).written
    assert (written.changed, written.made, written.removed) == (("boats/7-teal.html",), (), ())


def test_pages_of_notes_that_are_gone_are_removed(log: Path) -> None:
    """A boat whose note is deleted has no page left."""
    made(log)
    (log / "notes" / "boats" / "7 Teal.md").unlink()
    assert made(log).written.removed == ("boats/7-teal.html",)


def test_notes_are_never_changed(log: Path) -> None:
    """A compile leaves the notes folder byte for byte as it was, and puts nothing into it."""
    before = on_disk(log / "notes")
    made(log)
    proof(log / "notes", BOOK, ON, cache=log / "cache")
    assert on_disk(log / "notes") == before


def test_proof_reads_and_checks_only(log: Path) -> None:
    """Proof finds what a compile finds, and writes no book."""
    found = proof(log / "notes", BOOK, ON, cache=log / "cache")
    assert found.diagnostics == made(log).findings.diagnostics
    assert not list(log.glob("book/x"))


def test_a_book_inside_the_notes_is_not_read(log: Path) -> None:
    """The book may stand inside the notes folder; it is not taken for notes then or by a later proof."""
    inside = log / "notes" / "book"
    first = build(log / "notes", BOOK, ON, inside, cache=log / "cache")
    second = build(log / "notes", BOOK, ON, inside, cache=log / "cache")
    assert (second.written.changed, second.written.made) == ((), ())
    found = proof(log / "notes", BOOK, ON, cache=log / "cache")
    assert found.diagnostics == first.findings.diagnostics


def test_pages_are_well_formed(log: Path) -> None:
    """html5lib (an independent parser of the HTML standard) in strict mode finds no fault in any page."""
    made(log)
    for page in (log / "book").rglob("*.html"):
        html5lib.HTMLParser(strict=True).parse(page.read_text())
    message = faults.IN_DRAWING.at(report.Span("x"), "a <b> & \x00")
    stand_in = binding.stand_in("a/b.html", "A < B", [message]).decode()
    html5lib.HTMLParser(strict=True).parse(stand_in.replace("\0", ""))


ENVIRONMENTS: list[dict[str, str]] = [
    {"TZ": "UTC", "LC_ALL": "C", "PYTHONHASHSEED": "0"},
    {"TZ": "Pacific/Kiritimati", "LC_ALL": "tr_TR.UTF-8", "PYTHONHASHSEED": "1"},
    {"TZ": "America/St_Johns", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "4242", "PYTHONUTF8": "0"},
]

COMPILE = """
import sys
from pathlib import Path
from compiler.build import build
from tests.toybook_book import BOOK, ON
root = Path(sys.argv[1])
print("reading", flush=True)
build(root / "notes", BOOK, ON, root / sys.argv[2], cache=root / "cache")
"""


def compiling(root: Path, to: str = "book", **environment: str) -> subprocess.Popen[str]:
    """A process that compiles; it says so when it starts."""
    command = [sys.executable, "-c", COMPILE, str(root), to]
    return subprocess.Popen(command, cwd=ROOT, env={**os.environ, **environment}, stdout=subprocess.PIPE, text=True)


def test_same_bytes_anywhere(log: Path) -> None:
    """Time zone, locale and hash seed change not one byte; nor do two compiles of the same day."""
    for number, environment in enumerate(ENVIRONMENTS):
        assert compiling(log, f"book{number}", **environment).wait() == 0
    first, *others = (on_disk(log / f"book{number}") for number in range(len(ENVIRONMENTS)))
    assert all(other == first for other in others)


def test_the_stamp_follows_the_moment_asked_about(log: Path) -> None:
    """What is printed as the making of the book is the moment asked about, to the minute only if it was given so."""
    made(log)
    assert "<footer>2026-05-01</footer>" in text_of(log, "index.html")
    made(log, moment=Moment(datetime(2026, 5, 2, 3, 40), timed=True))
    assert "<footer>2026-05-02 03:40</footer>" in text_of(log, "index.html")


NAMES = st.sampled_from(
    [*LOG, "boats/9 Tern.md", "voyages/2026-04-25 voyage Tern (1).md", "2026-04-25 voyage Tern.txt"]
)
TEXTS = st.one_of(
    st.sampled_from(
        [*LOG.values(), None, b"\xff\xfe", "---\n", "---\nnote: boat\nname: Tern\n---\n*x* [C1]: y", "x" * 500]
    ),
    st.binary(max_size=60),
)


@given(st.lists(st.dictionaries(NAMES, TEXTS, min_size=1, max_size=3), min_size=1, max_size=4))
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_warm_is_cold(edits: list[dict[str, str | bytes | None]]) -> None:
    """After any edits, a compile with a memory and an older book gives what a first one would give."""
    with TemporaryDirectory() as name:
        root = Path(name)
        lay(root / "notes")
        for edit in edits:
            lay(root / "notes", {path: text for path, text in edit.items() if text is not None})
            for path in (path for path, text in edit.items() if text is None):
                (root / "notes" / path).unlink(missing_ok=True)
            made(root)
        build(root / "notes", BOOK, ON, root / "fresh", cache=root / "fresh cache")
        assert on_disk(root / "book") == on_disk(root / "fresh")


@given(st.dictionaries(NAMES, st.one_of(st.binary(max_size=300), st.text(max_size=300)), max_size=4))
@settings(max_examples=150, deadline=None)
def test_any_bytes(files: dict[str, str | bytes]) -> None:
    """Whatever bytes stand in the notes: a book is made, without a fault, and every file is accounted for."""
    with TemporaryDirectory() as name:
        lay(Path(name, "notes"), {path: text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
                                  for path, text in files.items()})  # fmt: skip
        built = made(Path(name))
        assert built.status < 2
        notes = [path for path in files if path.endswith((".md", ".txt", ".csv"))]
        assert built.findings.collection.read == len(notes)


def test_killed_at_any_moment(log: Path) -> None:
    """SIGKILL at 25 random points of a compile: each page is a whole older or newer one, and the next run ends well."""
    lay(log / "notes", {f"boats/{number} Boat{number}.md": "---\nnote: boat\n---\n" for number in range(100, 400)})
    notes, chance = on_disk(log / "notes"), random.Random(20260419)
    began = time.monotonic()
    assert compiling(log).wait() == 0
    usual = time.monotonic() - began
    older = on_disk(log / "book")
    for turn in range(25):
        (log / "notes" / "log.yaml").write_text(f"harbour: Harbour {turn}\n")
        process = compiling(log)
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(chance.uniform(0, usual * 0.8))
        process.send_signal(signal.SIGKILL)
        process.wait()
        for path, data in on_disk(log / "book").items():
            assert not path.endswith(".html") or (data.startswith(b"<!DOCTYPE") and data.endswith(b"</html>\n"))
    (log / "notes" / "log.yaml").write_text("harbour: Skerry\n")
    assert compiling(log).wait() == 0
    assert on_disk(log / "book") == older
    assert on_disk(log / "notes") == notes


def test_two_compiles_at_once(log: Path) -> None:
    """Two compiles of one book at once both end well, one after the other, with one whole book."""
    running = [compiling(log) for _ in range(2)]
    assert [process.wait() for process in running] == [0, 0]
    build(log / "notes", BOOK, ON, log / "fresh", cache=log / "cache")
    assert on_disk(log / "book") == on_disk(log / "fresh")


def crash(*_: object) -> NoReturn:
    """Fail as a program fails."""
    raise ZeroDivisionError("of our own making")


def codes(built: Built[Any, Any, Any]) -> list[str]:
    """The codes of faults told."""
    return [message.code for message in built.told if message.code.startswith("B9")]


def test_a_crash_in_a_check(log: Path) -> None:
    """One check that fails is told, with its place in the code; the others run and the book is made; exit status 2."""
    built = made(log, with_check(Check("bad", crash)))
    (message,) = (message for message in built.told if message.code == "B904")
    assert "the check bad: ZeroDivisionError: of our own making" in message.message
    assert message.span.path == "tests/compiler/test_build.py"
    assert "V101" in [message.code for message in built.told]
    assert built.status == 2
    assert "B904" in text_of(log, "problems.html")
    found = proof(log / "notes", with_check(Check("bad", crash)), ON, cache=log / "cache")
    assert "B904" in [message.code for message in found.diagnostics]


def test_a_crash_in_a_group_of_pages(log: Path) -> None:
    """A group of pages that fails half-way is left out whole; the others are made and the list of problems tells it."""

    def half(found: Findings[Any, Any, Any], stamp: Stamp) -> Iterator[Page]:
        yield Page("half.html", "problems.html", "Half", toybook_book.ProblemsView(()))
        crash(found, stamp)

    built = made(log, with_pages(PageMaker("half", half)))
    assert (codes(built), built.status) == (["B905"], 2)
    assert not (log / "book" / "half.html").exists()
    assert "the pages half" in text_of(log, "problems.html")
    assert (log / "book" / "boats" / "12-grebe.html").exists()


def test_the_front_page_is_always_there(log: Path) -> None:
    """Where the navigation leads to a page whose group failed, a page says so: nobody reads an older one."""
    made(log)
    harbour, *others = CONTENTS.pages
    contents = replace(CONTENTS, pages=(replace(harbour, make=crash), *others))
    built = made(log, replace(BOOK, contents=lambda: contents))
    assert (codes(built), built.status) == (["B905"], 2)
    text = text_of(log, "index.html")
    assert "This page could not be made" in text
    assert f"the pages {harbour.name}: ZeroDivisionError: of our own making" in text
    assert "of our own making" in text_of(log, "problems.html")
    html5lib.HTMLParser(strict=True).parse(text)


def test_a_crash_in_drawing_one_page(log: Path) -> None:
    """A page whose drawing fails says so in its place, so that nobody reads an older one; the others are made."""
    made(log)

    class Broken(Value):
        """A view without the field that its template shows."""

    def broken(found: Findings[Any, Any, Any], stamp: Stamp) -> Iterator[Page]:
        del found, stamp
        yield Page("boats/extra.html", "boat.html", "Extra <boat>", Broken())

    built = made(log, with_pages(PageMaker("broken", broken)))
    assert (codes(built), built.status) == (["B906"], 2)
    assert "could not be made" in text_of(log, "boats/extra.html")
    assert "Extra &lt;boat&gt;" in text_of(log, "boats/extra.html")
    assert built.written.kept


@pytest.mark.parametrize(("part", "code"), [("link", "B902"), ("derive", "B903")])
def test_a_crash_in_links_or_facts(log: Path, part: str, code: str) -> None:
    """Without facts no page can be true: the book on disk stays as it was, and the message says not to rely on it."""
    made(log)
    before = on_disk(log / "book")
    built = made(log, replace(BOOK, **{part: crash}))
    assert (codes(built), built.status, built.findings.failed) == ([code], 2, True)
    assert on_disk(log / "book") == before
    assert "do not rely on it" in next(message for message in built.told if message.code == code).meanwhile


def test_a_crash_in_reading_one_note(log: Path) -> None:
    """A note on which the program itself fails is a hole; all others are read."""

    def read(text: str, context: Any) -> LineReading:
        return crash() if "ling" in text else toybook.read_catch(text, context)

    voyage = next(kind for kind in BOOK.kinds if kind.name == "voyage")
    assert voyage.lines is not None
    failing: Kind[Any] = replace(voyage, lines=LineSyntax(read, "x", ("x",)), guarded=True)
    kinds = tuple(failing if kind is voyage else kind for kind in BOOK.kinds)
    built = made(log, replace(BOOK, kinds=kinds))
    holes = {hole.path: hole.reason.code for hole in built.findings.collection.holes}
    assert holes["voyages/2026-04-19 voyage Grebe.md"] == "B901"
    assert len(holes) == 3
    assert built.status == 2


def test_a_crash_in_the_frame(log: Path) -> None:
    """Pages are told apart from their frame: its failure is told, and pages that do without it are made."""
    built = made(log, replace(BOOK, title=crash))
    assert "B905" in codes(built)
    assert built.status == 2


@pytest.mark.parametrize("path", ["../escape.html", "index.html", "INDEX.html", "nul.html", "boats"])
def test_pages_without_a_place(log: Path, path: str) -> None:
    """A page that would leave the book, or wants a place that is taken, is left out and told; the rest is made."""

    def odd(found: Findings[Any, Any, Any], stamp: Stamp) -> Iterator[Page | Asset]:
        del found, stamp
        yield Asset(path, b"odd")

    contents = replace(CONTENTS, pages=(*CONTENTS.pages, PageMaker("odd", odd)))
    built = made(log, replace(BOOK, contents=lambda: contents))
    assert (codes(built), built.status) == (["B907"], 2)
    assert not (log / "escape.html").exists()
    assert b"odd" not in on_disk(log / "book").values()
    assert (log / "book" / "index.html").exists()


def test_somebody_elses_theme_is_proved(log: Path) -> None:
    """A theme that is named is proved before it is used: what is wrong in it is told with its place."""
    theme = shutil.copytree(toybook_book.THEME, log / "theme")
    page = theme / "templates" / "harbour.html"
    page.write_text(page.read_text().replace("boat.fitness", "boat.fitnes"))
    built = build(log / "notes", BOOK, ON, log / "book", theme=theme, cache=log / "cache")
    assert [(message.code, message.span.line) for message in built.told if message.code[0] == "T"] == [("T104", 6)]
    assert codes(built) == ["B906"]
    assert "could not be made" in text_of(log, "index.html")


def test_the_toy_theme_is_right(log: Path) -> None:
    """The theme of these tests has nothing wrong with it."""
    built = build(log / "notes", BOOK, ON, log / "book", theme=toybook_book.THEME, cache=log / "cache")
    assert not [message for message in built.told if message.code.startswith("T")]


def test_remarks_are_read_once(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A remark with markup is rendered once; later compiles, even after its note is renamed, remember it."""
    made(log)
    (log / "notes/boats/12 Grebe.md").rename(log / "notes/boats/12 Grebe the second.md")
    monkeypatch.setattr(prose, "_long_way", crash)
    assert made(log).status == 1
    assert "<em>dry</em>" in text_of(log, "boats/12-grebe-the-second.html")


def test_a_damaged_memory_changes_nothing(log: Path) -> None:
    """With a remembered file (of remarks, of templates) damaged in any way, the book is the same."""
    made(log)
    before = on_disk(log / "book")
    memories = sorted((log / "cache").iterdir())
    assert [memory.suffix for memory in memories] == [".sqlite", ".code"]
    chance = random.Random(1)
    for memory in memories:
        whole = memory.read_bytes()
        for _ in range(20):
            place = chance.randrange(len(whole))
            memory.write_bytes(whole[:place] + bytes([chance.randrange(256)]) + whole[place + 1 :])
            made(log)
            assert on_disk(log / "book") == before
        memory.write_bytes(b"")
        made(log)
        assert on_disk(log / "book") == before


def test_refusals_come_before_any_work(log: Path) -> None:
    """A folder that is no place for a book, or no notes folder, stops the compile before a note is read."""
    with pytest.raises(output.OutputRefused):
        build(log / "notes", BOOK, ON, log / "notes", cache=log / "cache")
    with pytest.raises(OSError, match="no folder"):
        build(log / "absent", BOOK, ON, log / "book", cache=log / "cache")
    assert not (log / "book").exists()


def test_an_empty_folder_makes_a_book(tmp_path: Path) -> None:
    """No notes at all: the front page is there, and says so."""
    lay(tmp_path / "notes", {})
    assert made(tmp_path).status == 0
    assert "0 files read" in text_of(tmp_path, "index.html")


def test_rules_of_faults_explain_themselves() -> None:
    """Each rule of a fault has words for `why`, and a code of its own that gives exit status 2."""
    assert len({rule.code for rule in faults.RULES}) == len(faults.RULES)
    for rule in faults.RULES:
        assert rule.why
        assert re.fullmatch(r"B9\d\d", rule.code)
        assert faults.status([rule.at(report.Span("x"), "m")]) == 2
