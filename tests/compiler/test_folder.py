"""The notes folder: every note is read or accounted for, whatever else stands there."""

from __future__ import annotations

import os
import sys
import unicodedata
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from compiler import folder
from compiler.diagnostics import Diagnostic, Grade
from compiler.filenames import is_skipped
from compiler.folder import Contents, lines_of, list_folder, read_folder, read_settings_file
from compiler.source import Span

NOTE = "---\nnote: voyage\nboat: Grebe\n---\n"


def write(root: Path, name: str, text: str | bytes = NOTE) -> Path:
    path = root / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def paths(contents: Contents) -> list[str]:
    return [given.note.path for given in contents.given]


def others(contents: Contents) -> list[str]:
    return [other.path for other in contents.others]


def holes(contents: Contents) -> dict[str, Diagnostic]:
    """What is wrong with the files of which nothing could be read."""
    return {given.note.path: given.note.told[0] for given in contents.given if given.note.told}


def test_which_files_are_read(tmp_path: Path) -> None:
    """Every `.md`, `.markdown` and `.txt` at any depth, in any letter case, is a note; nothing hidden is."""
    for name in ("a.md", "b/c/d.markdown", "e.txt", "F.MD"):
        write(tmp_path, name)
    for name in (".a.md", ".git/x.md", "a.md~", "#a.md#", "~$a.md", ".a.md.swp", "a.jpg", "log.yaml", "a.mdx", "md"):
        write(tmp_path, name)
    assert paths(read_folder(tmp_path, ())) == ["F.MD", "a.md", "b/c/d.markdown", "e.txt"]


def test_what_the_settings_skip_is_listed(tmp_path: Path) -> None:
    """A glob without a slash names files and folders anywhere, one with a slash a path; all files there are listed."""
    for name in ("drafts/a.md", "x/drafts/b.md", "old/2020/c.md", "old/2021/d.md", "keep.md", "plan.txt"):
        write(tmp_path, name)
    contents = read_folder(tmp_path, ("drafts", "old/2020/", "*.txt", ""))
    assert paths(contents) == ["keep.md", "old/2021/d.md"]
    assert others(contents) == ["drafts/a.md", "old/2020/c.md", "plan.txt", "x/drafts/b.md"]
    assert {(other.sort, other.text) for other in contents.others} == {("skipped", NOTE)}
    assert not is_skipped("drafts.md", ("drafts",))


def test_the_book_itself_is_not_read(tmp_path: Path) -> None:
    """Neither the folder that the book goes to nor an older book elsewhere is taken for notes."""
    write(tmp_path, "a.md")
    write(tmp_path, "book/page.txt")
    write(tmp_path, "older/page.txt")
    write(tmp_path, "older/.book-files", "")
    contents = read_folder(tmp_path, (), tmp_path / "book")
    assert (paths(contents), others(contents)) == (["a.md"], ["older"])


def test_tables_belong_to_notes(tmp_path: Path) -> None:
    """A table with a note's own name goes with it; one alone is listed and warned of; a damaged one spoils it."""
    tables: dict[str, str | bytes] = {"w": "buoy,kg\nb1,4\n", "alone": "x\n", "d": b"buoy,kg\nb\xff,4\n"}
    for name, table in tables.items():
        write(tmp_path, f"{name}.csv", table)
    for name in ("w", "d"):
        write(tmp_path, f"{name}.md")
    contents = read_folder(tmp_path, ())
    beside = {given.note.path: given.companion for given in contents.given}["w.md"]
    assert beside is not None
    assert (beside.path, [cell.text for cell in beside.rows[0]]) == ("w.csv", ["b1", "4"])
    assert others(contents) == ["alone.csv"]
    assert [(message.code, message.grade) for message in contents.told] == [("N135", Grade.WARNING)]
    assert holes(contents)["d.md"].span.path == "d.csv"


def test_links_are_not_followed(tmp_path: Path) -> None:
    """A link that leaves the folder is a hole; one that stays inside is only listed, not read twice; loops end."""
    notes, away = tmp_path / "notes", tmp_path / "away"
    write(notes, "real/a.md")
    write(away, "secret.md", "secret")
    (notes / "out.md").symlink_to(away / "secret.md")
    (notes / "out").symlink_to(away)
    (notes / "gone.md").symlink_to(away / "nothing.md")
    (notes / "in.md").symlink_to(notes / "real" / "a.md")
    (notes / "real" / "loop").symlink_to(notes)
    (notes / "photo.jpg").symlink_to(away / "photo.jpg")
    contents = read_folder(notes, ())
    assert sorted(holes(contents)) == ["gone.md", "out", "out.md"]
    assert others(contents) == ["in.md", "photo.jpg", "real/loop"]
    assert {other.sort for other in contents.others} == {"link"}
    assert paths(contents)[0] == "real/a.md"
    assert not any("secret" in given.note.text for given in contents.given)
    assert is_skipped("out.md", ("out*",))
    assert sorted(holes(read_folder(notes, ("out*", "gone.md")))) == []


def test_every_file_is_accounted_for(tmp_path: Path) -> None:
    """A file that is no note is listed with its sort and its text; a hidden folder as one, with its notes."""
    sorts = {
        "voyage.rtf": "ending",
        "voyage": "no ending",
        "2.6.26 voyage Teal": "no ending",
        ".gitignore": "hidden",
        ".2026-06-02 voyage.md": "hidden",
        "#old/a.md": "hidden",
        "~old/b.md": "hidden",
        "a.md~": "editor copy",
        "a.md.txt~": "editor copy",
        "#a.md#": "editor copy",
        ".#a.md": "editor copy",
        ".a.md.swp": "editor copy",
        "a.md.orig": "editor copy",
        "a.bak": "editor copy",
        "a.md.~3~": "editor copy",
        "photo.JPG": "picture",
        "alone.csv": "table",
        "sub/scan.pdf": "ending",
    }
    for name in (*sorts, ".git/x.md", ".git/y"):
        write(tmp_path, name)
    contents = read_folder(tmp_path, ())
    assert paths(contents) == []
    found = {other.path: other.sort for other in contents.others}
    assert found == {**sorts, ".git": "hidden", ".git/x.md": "hidden"}
    without_text = {other.path for other in contents.others if other.text != NOTE}
    assert without_text == {"photo.JPG", ".git"}
    assert all(other.why for other in contents.others)


def test_the_text_of_other_files(tmp_path: Path) -> None:
    """Text in any coding is kept, without a mark and with plain line ends; bytes that are none are not."""
    write(tmp_path, "a.rtf", "Grebe\r\nTeal".encode("utf-8-sig"))
    write(tmp_path, "b.rtf", "Grèbe".encode("latin-1"))
    write(tmp_path, "c.rtf", "Grèbe".encode("utf-16"))
    write(tmp_path, "d.docx", b"PK\3\4\0Grebe")
    write(tmp_path, "e.rtf", b"x" * 1_000_000)
    write(tmp_path, "f.rtf", b"x" * 1_000_001)
    texts = {other.path: other.text for other in read_folder(tmp_path, ()).others}
    assert len(texts.pop("e.rtf")) == 1_000_000
    assert texts == {"a.rtf": "Grebe\nTeal", "b.rtf": "Grèbe", "c.rtf": "Grèbe", "d.docx": "", "f.rtf": ""}


def test_a_link_into_a_hidden_folder_is_a_hole(tmp_path: Path) -> None:
    """What a hidden folder holds is not read as notes, so a link that leads there is like one that leads outside."""
    write(tmp_path, ".cache/a.md")
    (tmp_path / "in.md").symlink_to(tmp_path / ".cache" / "a.md")
    (tmp_path / "in").symlink_to(tmp_path / ".cache")
    contents = read_folder(tmp_path, ())
    assert sorted(holes(contents)) == ["in", "in.md"]
    assert others(contents) == [".cache", ".cache/a.md"]


def test_files_that_the_settings_name(tmp_path: Path) -> None:
    """They are listed as such, whatever their ending."""
    write(tmp_path, "buoys.csv")
    write(tmp_path, "ours/tides.dat")
    contents = read_folder(tmp_path, (), None, ("buoys.csv", "ours/tides.dat"))
    assert [(other.path, other.sort) for other in contents.others] == [
        ("ours/tides.dat", "named"),
        ("buoys.csv", "named"),
    ]


def test_folder_named_like_a_note(tmp_path: Path) -> None:
    """Notes inside a folder called `x.md` are read, with a warning about its name."""
    write(tmp_path, "x.md/a.md")
    contents = read_folder(tmp_path, ())
    assert paths(contents) == ["x.md/a.md"]
    assert [(message.code, message.span.path) for message in contents.told] == [("N133", "x.md")]


def test_a_file_too_big_is_a_hole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Beyond the limit nothing is read, and the message says what to do."""
    monkeypatch.setattr(folder, "LARGEST", 100)
    write(tmp_path, "big.md", "x" * 101)
    write(tmp_path, "fits.md", "x" * 100)
    contents = read_folder(tmp_path, ())
    assert list(holes(contents)) == ["big.md"]
    assert "skip" in holes(contents)["big.md"].help


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX files and permissions")
def test_what_cannot_be_opened_is_a_hole() -> None:
    """A pipe, a file and a folder without permission: each is named, and nothing waits for ever."""
    with TemporaryDirectory() as name:
        root = Path(name)
        root.chmod(0o755)
        os.mkfifo(root / "pipe.md")
        write(root, "shut.md").chmod(0)
        write(root, "closed/a.md")
        (root / "closed").chmod(0)
        me = os.geteuid()
        try:
            os.seteuid(me or 65534)  # the superuser may read anything
            contents = read_folder(root, ())
        finally:
            os.seteuid(me)
            (root / "closed").chmod(0o700)
    assert sorted(holes(contents)) == ["closed", "pipe.md", "shut.md"]
    assert all(message.code == "N130" for message in holes(contents).values())


def test_names_in_any_form(tmp_path: Path) -> None:
    """A name is shown with composed characters, however the system stores it; bytes that are no text show a sign."""
    decomposed = unicodedata.normalize("NFD", "café.md")
    write(tmp_path, decomposed)
    assert paths(read_folder(tmp_path, ())) == ["café.md"]
    if sys.platform == "linux":
        Path(os.fsdecode(os.fsencode(tmp_path) + b"/b\xff.md")).write_text(NOTE)
        assert paths(read_folder(tmp_path, ())) == ["b\ufffd.md", "café.md"]


def test_a_note_renamed_meanwhile_is_not_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When a file is renamed while the folder is read, the folder is read again and the note found."""
    write(tmp_path, "a.md")
    write(tmp_path, "b.md")
    renamed = []

    def read(found: folder.Found) -> Any:
        if not renamed:
            renamed.append((tmp_path / "b.md").rename(tmp_path / "0.md"))
        return real(found)

    real = folder._read
    monkeypatch.setattr(folder, "_read", read)
    contents = read_folder(tmp_path, ())
    assert (paths(contents), holes(contents)) == (["0.md", "a.md"], {})


def test_notes_that_never_rest(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the folder changes all the time, an error says that the book may be mixed."""
    write(tmp_path, "a.md")
    turn = []

    def read(found: folder.Found) -> Any:
        turn.append(write(tmp_path, f"new{len(turn)}.md"))
        return real(found)

    real = folder._read
    monkeypatch.setattr(folder, "_read", read)
    assert [message.code for message in read_folder(tmp_path, ()).told] == ["N134"]


def test_settings_file(tmp_path: Path) -> None:
    """The settings are read if they are there; if they cannot be read a message says so."""
    assert read_settings_file(tmp_path, "log.yaml") == (None, ())
    write(tmp_path, "log.yaml", "harbour: Skerry\n")
    source, told = read_settings_file(tmp_path, "log.yaml")
    assert source is not None
    assert (source.text, told) == ("harbour: Skerry\n", ())
    (tmp_path / "log.yaml").unlink()
    (tmp_path / "log.yaml").mkdir()
    source, told = read_settings_file(tmp_path, "log.yaml")
    assert source is None
    assert [message.code for message in told] == ["N130"]


def test_lines_for_messages(tmp_path: Path) -> None:
    """A message can quote the line it speaks of; where there is none it quotes nothing."""
    write(tmp_path, "a.md", "one\r\ntwo\n")
    line_of = lines_of(tmp_path)
    assert line_of(Span("a.md", 2)) == "two"
    assert [line_of(Span(path, line)) for path, line in (("a.md", 9), ("b.md", 1), ("", 1), ("a.md", 0))] == [""] * 4


def test_missing_folder(tmp_path: Path) -> None:
    """A folder that is not there is an error of the whole, in words."""
    with pytest.raises(OSError, match="there is no folder"):
        folder.require(tmp_path / "absent")
    write(tmp_path, "file")
    with pytest.raises(OSError, match="is not a folder"):
        folder.require(tmp_path / "file")
    assert list_folder(tmp_path).notes == []
