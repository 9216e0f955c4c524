"""The book's folder: what is there is always whole, and nothing that somebody else put there is touched."""

from __future__ import annotations

import errno
import hashlib
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compiler import output
from compiler.output import Draw, OutputRefused, Written, opened
from compiler.pages import path_fault, slug

ROOT = Path(__file__).parents[2]
TWO = {"index.html": b"front", "sheep/c1.html": b"one"}


def drawing(files: Mapping[str, bytes]) -> Draw:
    def draw(order: Sequence[str]) -> Iterable[bytes]:
        return (files[path] for path in order)

    return draw


def make(to: Path, files: Mapping[str, bytes], notes: Path | None = None) -> Written:
    """Write a book of these files."""
    with opened(to, notes or to.parent / "notes", patience=0.2) as book:
        return book.write(files, drawing(files))


def on_disk(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, the program's own list included."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }


def pages(folder: Path) -> dict[str, bytes]:
    return {path: data for path, data in on_disk(folder).items() if path != output.MANIFEST}


def refused(to: Path, files: Mapping[str, bytes] = TWO, notes: Path | None = None) -> OutputRefused:
    with pytest.raises(OutputRefused) as caught:
        make(to, files, notes)
    assert caught.value.message
    assert caught.value.help
    return caught.value


def test_first_second_and_changed(tmp_path: Path) -> None:
    """A first run makes all, a second touches nothing, a third writes only what differs and removes what is gone."""
    book = tmp_path / "book"
    assert make(book, TWO).made == ("sheep/c1.html", "index.html")
    stamps = {path: path.stat().st_mtime_ns for path in book.rglob("*")}
    second = make(book, TWO)
    assert (second.made, second.changed, second.removed) == ((), (), ())
    assert second.kept == ("sheep/c1.html", "index.html")
    assert stamps == {path: path.stat().st_mtime_ns for path in book.rglob("*")}
    third = make(book, {"index.html": b"new front", "gone/c1.html": b"one"})
    assert (third.made, third.changed, third.removed) == (("gone/c1.html",), ("index.html",), ("sheep/c1.html",))
    assert pages(book) == {"index.html": b"new front", "gone/c1.html": b"one"}
    assert not (book / "sheep").exists()


def test_list_of_files_is_checked_by_sha256sum(tmp_path: Path) -> None:
    """The list has the form that `sha256sum` (GNU coreutils, an independent reader) checks, with right digests."""
    make(tmp_path / "book", TWO)
    text = (tmp_path / "book" / output.MANIFEST).read_text()
    for path, data in TWO.items():
        assert f"{hashlib.sha256(data).hexdigest()}  {path}\n" in text
    if shutil.which("sha256sum"):
        command = ["sha256sum", "--check", "--quiet", output.MANIFEST]
        assert subprocess.run(command, cwd=tmp_path / "book", check=False).returncode == 0


def test_index_is_written_last(tmp_path: Path) -> None:
    """The front page never speaks of pages that are not there yet, and it is drawn last too."""
    asked: list[str] = []

    def draw(order: Sequence[str]) -> Iterator[bytes]:
        for path in order:
            assert not (tmp_path / "book" / "index.html").exists()
            asked.append(path)
            yield b"x"

    with opened(tmp_path / "book", tmp_path / "notes") as book:
        book.write(["index.html", "z.html", "a/b.html"], draw)
    assert asked == ["a/b.html", "z.html", "index.html"]


def test_foreign_files_survive(tmp_path: Path) -> None:
    """Files that somebody puts beside the pages stay, whatever is made or removed."""
    book = tmp_path / "book"
    make(book, TWO)
    (book / "sheep" / "mine.txt").write_text("my own")
    (book / "letter.html").write_text("to the vet")
    make(book, {"index.html": b"front"})
    assert pages(book) == {"index.html": b"front", "sheep/mine.txt": b"my own", "letter.html": b"to the vet"}


def test_a_page_changed_by_hand_is_not_deleted(tmp_path: Path) -> None:
    """A page that somebody has written in is made anew while it is made, but never deleted."""
    book = tmp_path / "book"
    make(book, TWO)
    (book / "sheep" / "c1.html").write_text("my own words")
    written = make(book, {"index.html": b"front"})
    assert (written.removed, written.left) == ((), ("sheep/c1.html",))
    assert (book / "sheep" / "c1.html").read_text() == "my own words"


def test_a_page_damaged_on_disk_is_mended(tmp_path: Path) -> None:
    """A damaged page is noticed though nothing in the notes changed, and the list of files stays complete."""
    book = tmp_path / "book"
    make(book, TWO)
    before = on_disk(book)
    (book / "sheep" / "c1.html").write_bytes(b"onf")
    assert make(book, TWO).changed == ("sheep/c1.html",)
    assert on_disk(book) == before


def test_folder_with_foreign_files_is_refused(tmp_path: Path) -> None:
    """A folder that holds anything but a book is refused, and stays as it was."""
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "vet.txt").write_text("dear")
    assert "vet.txt" in refused(tmp_path / "letters").message
    assert on_disk(tmp_path / "letters") == {"vet.txt": b"dear"}


def test_foreign_file_in_a_pages_place_is_refused(tmp_path: Path) -> None:
    """A file that the book's list does not name is never written over, and nothing else is written either."""
    book = tmp_path / "book"
    make(book, {"index.html": b"front"})
    (book / "sheep").mkdir()
    (book / "sheep" / "c1.html").write_text("mine")
    before = on_disk(book)
    refused(book, {"index.html": b"newer", "sheep/c1.html": b"one"})
    assert on_disk(book) == before


def test_empty_folder_with_litter_is_accepted(tmp_path: Path) -> None:
    """What file browsers leave behind does not count as somebody's files."""
    (tmp_path / "book").mkdir()
    (tmp_path / "book" / ".DS_Store").write_text("x")
    assert len(make(tmp_path / "book", TWO).made) == 2


def test_notes_folder_is_refused(tmp_path: Path) -> None:
    """The book is never written over the notes, nor into a folder that holds them, not even by way of a link."""
    notes = tmp_path / "farm" / "notes"
    notes.mkdir(parents=True)
    (tmp_path / "link").symlink_to(notes)
    for to in (notes, tmp_path / "farm", tmp_path / "link", notes / "x" / ".."):
        refused(to, notes=notes)
    assert list(notes.iterdir()) == []
    assert make(notes / "book", TWO, notes).made


def test_file_in_the_folders_place_is_refused(tmp_path: Path) -> None:
    """A file where the folder should be is left alone."""
    (tmp_path / "book").write_text("mine")
    refused(tmp_path / "book")
    assert (tmp_path / "book").read_text() == "mine"


@pytest.mark.parametrize(
    "path",
    [
        "../x.html",
        "a/../x.html",
        "/x.html",
        "a//b.html",
        "",
        "a/",
        "./x",
        "c:x.html",
        "a\\b.html",
        ".hidden",
        "a/.git/x",
        "nul",
        "CON.html",
        "a/lpt1.x.html",
        "aux.html/x",
        "trailing.",
        "a b.html",
        "é.html",
        "a\x00b",
        "a\nb",
        "a\u2024b",
        "\u202ea",
        "x" * 121,
        "/".join(["x" * 90] * 3),
    ],
)
def test_paths_that_escape_or_offend_are_refused(tmp_path: Path, path: str) -> None:
    """No path leaves the folder, hides, or has a name that some system cannot hold.

    Reserved names: Microsoft, "Naming Files, Paths, and Namespaces"; characters: POSIX portable filename character set.
    """
    assert path_fault(path)
    refused(tmp_path / "book", {path: b"x", "index.html": b"y"})
    assert not (tmp_path / "book" / "index.html").exists()


@given(st.text(max_size=200))
@settings(max_examples=500, deadline=None)
def test_any_text_becomes_a_safe_name(text: str) -> None:
    """Whatever a sheep is called, her page's path is one that is accepted."""
    assert path_fault(f"sheep/{slug(text)}.html") == ""


@pytest.mark.parametrize("other", ["sheep/C1.html", "Sheep/c1.html", "index.html/x.html", "sheep"])
def test_collisions_are_refused(tmp_path: Path, other: str) -> None:
    """Two pages that would be one file on a system without letter case, or a page that is a folder too."""
    refused(tmp_path / "book", {**TWO, other: b"x"})


def test_case_only_rename_does_not_delete_the_new_page(tmp_path: Path) -> None:
    """Where letters have no case, the old name is the new page: it is left alone."""
    book = tmp_path / "book"
    make(book, {"C1.html": b"one"})
    make(book, {"c1.html": b"one"})
    assert (book / "c1.html").read_bytes() == b"one"


def test_symlinks_in_the_way_are_refused(tmp_path: Path) -> None:
    """Nothing is written or deleted through a link."""
    book, elsewhere = tmp_path / "book", tmp_path / "elsewhere"
    make(book, TWO)
    elsewhere.mkdir()
    (elsewhere / "c1.html").write_bytes(b"one")
    shutil.rmtree(book / "sheep")
    (book / "sheep").symlink_to(elsewhere)
    refused(book, TWO)
    assert make(book, {"index.html": b"front"}).left == ("sheep/c1.html",)
    assert on_disk(elsewhere) == {"c1.html": b"one"}
    (book / "index.html").unlink()
    (book / "index.html").symlink_to(elsewhere / "c1.html")
    refused(book, {"index.html": b"front"})
    assert on_disk(elsewhere) == {"c1.html": b"one"}


def test_folder_in_a_pages_place_is_refused(tmp_path: Path) -> None:
    """A folder that has a page's name is left alone."""
    make(tmp_path / "book", {"a.html": b"x"})
    (tmp_path / "book" / "index.html").mkdir()
    refused(tmp_path / "book", TWO)


@pytest.mark.parametrize(
    "damage", ["../../notes/x", "/etc/passwd", "index.html/../../x"], ids=["parent", "absolute", "inner parent"]
)
def test_a_tampered_list_deletes_nothing(tmp_path: Path, damage: str) -> None:
    """A list that names files outside the folder is refused whole."""
    book = tmp_path / "book"
    (tmp_path / "notes").mkdir()
    (tmp_path / "notes" / "x").write_text("precious")
    make(book, TWO)
    with (book / output.MANIFEST).open("a") as file:
        file.write(f"{output.PENDING}  {damage}\n")
    refused(book, {"index.html": b"front"})
    assert (tmp_path / "notes" / "x").read_text() == "precious"
    (book / output.MANIFEST).write_bytes(b"\xff\xfe not a list")
    refused(book)


def test_leftover_part_is_cleaned(tmp_path: Path) -> None:
    """A half-written file of a run that was killed is gone after the next."""
    make(tmp_path / "book", TWO)
    (tmp_path / "book" / output.PART).write_text("half")
    (tmp_path / "book" / output.LOCK).write_text("")
    make(tmp_path / "book", TWO)
    assert set(on_disk(tmp_path / "book")) == {*TWO, output.MANIFEST}


def test_two_at_once(tmp_path: Path) -> None:
    """While one compile holds the book, another waits and then says so; afterwards it may."""
    with opened(tmp_path / "book", tmp_path / "notes"):
        assert "another compile" in refused(tmp_path / "book").message
    assert make(tmp_path / "book", TWO).made


def test_many_processes_at_once(tmp_path: Path) -> None:
    """Four compiles started together all finish, one after the other, and leave one of the four books, whole."""
    running = [writer(tmp_path / "book", str(number)) for number in range(4)]
    assert [process.wait() for process in running] == [0, 0, 0, 0]
    assert len(set(pages(tmp_path / "book").values())) == 1
    assert len(pages(tmp_path / "book")) == 301
    assert not (tmp_path / "book" / output.LOCK).exists()


WRITER = """
import sys
from pathlib import Path
from compiler.output import opened
to, word = Path(sys.argv[1]), sys.argv[2]
def draw(order):
    print("drawing", flush=True)
    yield from (word.encode() * 5000 for _ in order)
paths = ["index.html", *(f"p{number % 7}/{number}.html" for number in range(300)), *sys.argv[3:]]
with opened(to, to.parent / "notes", 60) as book:
    book.write(paths, draw)
"""


def writer(to: Path, word: str, *extra: str) -> subprocess.Popen[str]:
    """A process that writes 301 pages, each full of one figure; it says so when it starts."""
    command = [sys.executable, "-c", WRITER, str(to), word, *extra]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)


def seconds_of_writing(to: Path) -> float:
    process = writer(to, "0")
    assert process.stdout is not None
    process.stdout.readline()
    began = time.monotonic()
    assert process.wait() == 0
    return time.monotonic() - began


def test_killed_at_any_moment(tmp_path: Path) -> None:
    """SIGKILL at 25 random points: every page is a whole older or newer one, and the next run leaves nothing odd."""
    book, chance, mixed = tmp_path / "book", random.Random(20260419), 0
    usual = seconds_of_writing(book)
    for turn in range(1, 26):
        process = writer(book, str(turn % 9), f"extra/{turn}.html")
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(chance.uniform(0, usual))
        process.send_signal(signal.SIGKILL)
        process.wait()
        found = {path: data for path, data in pages(book).items() if path not in (output.PART, output.LOCK)}
        assert all(len(data) == 5000 and len(set(data)) == 1 for data in found.values())
        assert len(found) >= 301
        mixed += len(set(found.values())) > 1
    assert mixed >= 5, "too few of the kills came while pages were being written"
    assert writer(book, "9").wait() == 0
    assert set(pages(book).values()) == {b"9" * 5000}
    assert len(pages(book)) == 301
    assert {path.name for path in book.iterdir() if path.is_file()} == {"index.html", output.MANIFEST}


def test_killed_runs_leave_nothing_behind(tmp_path: Path) -> None:
    """Pages of a run that was broken off are removed by the next that does not make them."""
    book = tmp_path / "book"
    make(book, TWO)

    def dying(order: Sequence[str]) -> Iterator[bytes]:
        yield from (b"new" for _ in order[:2])
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt), opened(book, tmp_path / "notes") as place:
        place.write(["a.html", "b.html", "c.html", "index.html"], dying)
    assert (book / "a.html").exists()
    make(book, TWO)
    assert pages(book) == TWO


def test_full_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk is told in plain words; the pages already there stay whole, and no half page is left."""
    book = tmp_path / "book"
    make(book, TWO)

    def full(self: Path, data: bytes) -> int:
        self.open("wb").write(data[:2])
        raise OSError(errno.ENOSPC, "No space left on device", str(self))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", full)
        assert "full" in refused(book, {"index.html": b"newer", "sheep/c1.html": b"newer"}).message
    assert pages(book) == TWO
    assert make(book, TWO).kept == ("sheep/c1.html", "index.html")


def test_size_limit_of_the_system(tmp_path: Path) -> None:
    """A real refusal of the system to write more (a file size limit) is told, and leaves older pages whole."""
    make(tmp_path / "book", TWO)
    code = f"""
import resource
from pathlib import Path
from compiler.output import OutputRefused, opened
resource.setrlimit(resource.RLIMIT_FSIZE, (3000, 3000))
try:
    with opened(Path({str(tmp_path / "book")!r}), Path("notes")) as book:
        book.write(["a.html", "index.html"], lambda order: (b"x" * 5000 for _ in order))
except OutputRefused as refusal:
    raise SystemExit(refusal.message)
"""
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "too large" in done.stderr
    assert pages(tmp_path / "book") == TWO
    make(tmp_path / "book", TWO)
    assert pages(tmp_path / "book") == TWO


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX permissions")
def test_folder_without_permission() -> None:
    """A folder that this user may not write in is refused in plain words."""
    with tempfile.TemporaryDirectory() as name:
        os.chmod(name, 0o755)
        book = Path(name, "book")
        make(book, TWO)
        book.chmod(0o555)
        me = os.geteuid()
        try:
            os.seteuid(me or 65534)  # the superuser may write anywhere
            refusal = refused(book, {"index.html": b"newer"})
        finally:
            os.seteuid(me)
            book.chmod(0o755)
        assert "may not write there" in refusal.message
        assert pages(book) == TWO


FILES = st.dictionaries(
    st.sampled_from(["index.html", "a.html", "b/c.html", "b/d.html"]), st.binary(max_size=3), min_size=1
)


@given(st.lists(FILES, min_size=1, max_size=5))
@settings(max_examples=60, deadline=None)
def test_any_sequence_ends_as_the_last_alone(sequence: list[dict[str, bytes]]) -> None:
    """After any sequence of books in one folder, it holds exactly what the last would have made in an empty one."""
    with tempfile.TemporaryDirectory() as name:
        for files in sequence:
            make(Path(name, "book"), files)
        make(Path(name, "fresh"), sequence[-1])
        assert on_disk(Path(name, "book")) == on_disk(Path(name, "fresh"))


OLD, NEW = {"a.html": b"old a", "b.html": b"old b", "s.css": b"as at old"}, {"b.html": b"new b", "c.html": b"new c"}
WRITING = b"being written"


class Killed(BaseException):
    """The process ends here."""


def sealed(book: Path, wanted: dict[str, bytes], stop: int = 10**6) -> bool:
    """Write a book whose stamp is `s.css`; the process ends before its change number `stop`. Gives whether it ended."""
    whole, steps = {"s.css": b"as at new", "index.html": b"front", **wanted}, iter(range(10**6))

    def replacing(folder: Path, path: str, data: bytes) -> None:
        if next(steps) >= stop:
            raise Killed
        plain_replace(folder, path, data)

    plain_replace = output._replace
    output._replace = replacing
    try:
        with opened(book, book.parent / "notes") as place:
            place.write(whole, lambda order: [whole[path] for path in order], output.Seals({"s.css": WRITING}))
    except Killed:
        return True
    finally:
        output._replace = plain_replace
    return False


def test_the_stamp_never_speaks_for_pages_of_another_moment(tmp_path: Path) -> None:
    """Killed before each change that a writing makes: an old stamp stands on old pages only, a new one on new only."""
    spoke = set()
    for stop in range(20):
        book = tmp_path / str(stop)
        sealed(book, OLD)
        before = pages(book)
        ended = sealed(book, NEW, stop)
        now = pages(book)
        spoke.add(now["s.css"])
        if now["s.css"] == b"as at old":
            assert now == before
        elif now["s.css"] == b"as at new":
            assert now == {"s.css": b"as at new", "index.html": b"front", **NEW}
        else:
            assert now["s.css"] == WRITING
        sealed(book, NEW)
        assert pages(book) == {"s.css": b"as at new", "index.html": b"front", **NEW}
        if not ended:
            break
    assert spoke == {b"as at old", WRITING, b"as at new"}


def test_a_stamp_alone_changes_alone(tmp_path: Path) -> None:
    """Where no page changed the stamp keeps its word or takes the new one; a stamp as it was is no change."""
    sealed(tmp_path / "book", OLD)
    assert pages(tmp_path / "book")["s.css"] == b"as at old"
    with opened(tmp_path / "book", tmp_path / "notes") as place:
        whole = {**OLD, "index.html": b"front", "a.html": b"another"}
        written = place.write(whole, lambda order: [whole[path] for path in order], output.Seals({"s.css": WRITING}))
    assert (written.changed, written.made) == (("a.html",), ())
    assert pages(tmp_path / "book") == whole
