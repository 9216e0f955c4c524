"""Notes that git keeps: what changed and by whom, the book of then, the hook; a folder that would run programs."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from compiler.watching import Watch
from flockbook.cli.main import main
from flockbook.cli.tend import commits_told

ON = ["--on", "2026-06-10T09:00"]
FIRST, SECOND = "2026-06-01T10:00:00+01:00", "2026-06-08T22:30:00+00:00"
BRAMBLE = "sheep/C214 Bramble.md"
NOTES = {
    "flock.yaml": "flock: Corrie Hask\ntimezone: Europe/London\nhistory: git\n",
    BRAMBLE: "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/C230 Clover.md": "---\nnote: ewe\nborn: 2021\n---\n",
}


def run(*words: str | Path) -> Result:
    """The command, as typed."""
    return CliRunner().invoke(main, [str(word) for word in words])


def git(place: Path, *words: str, when: str = FIRST, who: str = "Una Rae") -> str:
    """Git, as somebody would type it at a time of their own."""
    said = {"GIT_AUTHOR_NAME": who, "GIT_COMMITTER_NAME": who, "GIT_AUTHOR_EMAIL": "u@x", "GIT_COMMITTER_EMAIL": "u@x"}
    dates = {"GIT_AUTHOR_DATE": when, "GIT_COMMITTER_DATE": when, "GIT_CONFIG_GLOBAL": os.devnull}
    done = subprocess.run(["git", "-C", str(place), *words], env={**os.environ, **said, **dates}, capture_output=True)
    assert done.returncode == 0, done.stderr
    return done.stdout.decode()


def write(place: Path, notes: dict[str, str]) -> None:
    """Notes in a folder."""
    for name, text in notes.items():
        (place / name).parent.mkdir(parents=True, exist_ok=True)
        (place / name).write_text(text, encoding="utf-8")


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """Notes in a folder within a repository, with two commits: the second, by Fergus, is on Bramble alone."""
    place = tmp_path / "farm" / "notes"
    write(place, NOTES)
    git(tmp_path / "farm", "init", "-q")
    git(tmp_path / "farm", "add", ".")
    git(tmp_path / "farm", "commit", "-qm", "all the notes")
    write(place, {BRAMBLE: "---\nnote: ewe\nborn: 2020\n---\n"})
    git(tmp_path / "farm", "commit", "-qam", "Bramble is a year <older>", when=SECOND, who="Fergus Ord")
    return place


def words(page: Path) -> str:
    """The words of a page."""
    return " ".join(unescape(re.sub("<[^>]+>", " ", page.read_text("utf-8"))).split())


def test_the_book_tells_what_changed_and_by_whom(kept: Path, tmp_path: Path) -> None:
    """The page lists every commit at the flock's own time, the newest first; each sheep's page those of her notes; a
    day asked about knows nothing of later ones.
    """
    assert run("compile", kept, *ON, "--to", tmp_path / "book").exit_code == 0
    told = words(tmp_path / "book" / "what-changed.html")
    assert re.search(r"8 Jun 2026 23:30 Fergus Ord .*Bramble is a year <older>.*1 Jun 2026 10:00 Una Rae", told)
    assert "Fergus Ord" in words(tmp_path / "book" / "sheep" / "c214.html")
    clover = words(tmp_path / "book" / "sheep" / "c230.html")
    assert ("Una Rae" in clover, "Fergus Ord" in clover) == (True, False)
    assert 'href="what-changed.html"' in (tmp_path / "book" / "notes.html").read_text("utf-8")
    assert run("compile", kept, "--on", "2026-06-05", "--to", tmp_path / "book").exit_code == 0
    assert "Fergus" not in words(tmp_path / "book" / "what-changed.html")


def test_a_commit_makes_the_book_anew(kept: Path, tmp_path: Path) -> None:
    """A compile of what is unchanged ends at once; a commit that leaves the notes as they are is told in a new book."""
    line = ("compile", kept, *ON, "--to", tmp_path / "book")
    assert "nothing has changed" not in run(*line).output
    assert "nothing has changed" in run(*line).output
    git(kept, "commit", "-q", "--allow-empty", "-m", "nothing", when=SECOND)
    assert "nothing has changed" not in run(*line).output
    git(kept, "pack-refs", "--all")
    git(kept, "commit", "-q", "--amend", "--allow-empty", "-m", "nothing much", when=SECOND)
    assert "nothing has changed" not in run(*line).output


def test_without_history_git_is_not_asked(kept: Path, tmp_path: Path) -> None:
    """No page, no table, no word of it, unless the settings ask."""
    write(kept, {"flock.yaml": "flock: Corrie Hask\n"})
    assert run("compile", kept, *ON, "--to", tmp_path / "book").exit_code == 0
    assert not (tmp_path / "book" / "what-changed.html").exists()
    assert "Una Rae" not in words(tmp_path / "book" / "sheep" / "c214.html")


def test_no_git_is_said(kept: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the program the book is made, and the page says why it is empty and what to do; commands end with 2."""
    monkeypatch.setenv("PATH", str(tmp_path))
    assert run("compile", kept, *ON, "--to", tmp_path / "book").exit_code == 0
    assert "git does not answer: it is not installed" in words(tmp_path / "book" / "what-changed.html")
    for line in (("compile", kept, "--as-of", "HEAD"), ("proof", kept, "--staged")):
        done = run(*line)
        assert (done.exit_code, "it is not installed" in done.output) == (2, True)


def test_the_book_of_then(kept: Path, tmp_path: Path) -> None:
    """The notes as they were committed, on the day they were, in a book beside the usual one; no note is touched."""
    write(kept, {BRAMBLE: "---\nnote: ewe\nborn: 2019\n---\n"})
    before = {path: path.read_bytes() for path in kept.rglob("*") if path.is_file()}
    assert run("compile", kept, "--as-of", "HEAD~1", "--to", tmp_path / "then").exit_code == 0
    page = words(tmp_path / "then" / "sheep" / "c214.html")
    assert ("2021" in page, "2020" in page, "2019" in page) == (True, False, False)
    assert '--made: "2026-06-01T10:00"' in (tmp_path / "then" / "stamp.css").read_text("utf-8")
    assert "Fergus" not in words(tmp_path / "then" / "what-changed.html")
    assert {path: path.read_bytes() for path in kept.rglob("*") if path.is_file()} == before
    assert run("compile", kept, "--as-of", "HEAD~1").exit_code == 0
    assert [path.name.startswith("book-as-of-") for path in kept.glob("book*")] == [True]
    assert run("compile", kept, "--as-of", "HEAD~1", "--to", kept / "book").exit_code == 2
    for revision in ("HEAD~9", "--output=x", "nobody"):
        assert run("compile", kept, f"--as-of={revision}").exit_code == 2


SLIP = {"events/2026-06-03 remark Nobody.md": "---\nsheep: Nobody\n---\n"}
MENDED = {"events/2026-06-03 remark Nobody.md": "---\nsheep: Bramble\n---\n"}


def test_what_is_staged_is_proofed_not_what_lies_in_the_folder(kept: Path) -> None:
    """A slip staged and mended only in the folder is told; a slip in the folder that is not staged is not."""
    write(kept, SLIP)
    git(kept, "add", ".")
    write(kept, MENDED)
    assert run("proof", kept, *ON).exit_code == 0
    staged = run("proof", kept, "--staged", *ON)
    assert (staged.exit_code, "no living sheep called `Nobody`" in staged.output) == (1, True)
    git(kept, "add", ".")
    write(kept, SLIP)
    assert run("proof", kept, *ON).exit_code == 1
    assert run("proof", kept, "--staged", *ON).exit_code == 0


def test_a_ewe_whose_note_is_not_staged_is_missing(kept: Path) -> None:
    """A note on a ewe whose own note would not be committed with it is an error of what is committed."""
    write(
        kept, {"sheep/C299 Fern.md": "---\nnote: ewe\n---\n", "events/2026-06-03 remark.md": "---\nsheep: Fern\n---\n"}
    )
    git(kept, "add", "events")
    assert run("proof", kept, *ON).exit_code == 0
    assert run("proof", kept, "--staged", *ON).exit_code == 1


def test_notes_in_conflict_are_not_proofed(kept: Path) -> None:
    """Of a file that a merge left in several versions nobody knows which will be committed: it is named."""
    git(kept, "checkout", "-qb", "other", "HEAD~1")
    write(kept, {BRAMBLE: "---\nnote: ewe\nborn: 2018\n---\n"})
    git(kept, "commit", "-qam", "older")
    merging = subprocess.run(["git", "-C", str(kept), "merge", "-q", "@{-1}"], capture_output=True, check=False)
    assert merging.returncode != 0
    staged = run("proof", kept, "--staged", *ON)
    assert (staged.exit_code, BRAMBLE in staged.output) == (2, True)


def test_a_commit_wakes_tend(kept: Path, tmp_path: Path) -> None:
    """What is committed is another state of the notes, though no note differs; without `history: git` it is none."""
    watch = Watch(kept, tmp_path / "book", beside=lambda: commits_told(kept))
    try:
        assert not watch.differs(0.0)
        git(kept, "commit", "-q", "--allow-empty", "-m", "nothing", when=SECOND)
        assert watch.differs(3.0)
        assert not watch.differs(0.0)
    finally:
        watch.close()
    write(kept, {"flock.yaml": "flock: Corrie Hask\n# history: git\n"})
    assert commits_told(kept) == ""


HOSTILE = """[core]
\tfsmonitor = {run}
\tpager = {run}
\thooksPath = {hooks}
\tsshCommand = {run}
[diff]
\texternal = {run}
[diff "words"]
\ttextconv = {run}
\tcommand = {run}
[filter "words"]
\tsmudge = {run}
\tclean = {run}
\trequired = true
[log]
\tshowSignature = true
[gpg]
\tprogram = {run}
[pager]
\tlog = {run}
\tdiff = {run}
"""


@pytest.fixture
def touched(kept: Path, tmp_path: Path) -> Path:
    """The file that any program named in the configuration of the notes' repository touches."""
    mark, program = tmp_path / "touched", tmp_path / "run.sh"
    program.write_text(f"#!/bin/sh\ntouch '{mark}'\ncat\n")
    program.chmod(0o755)
    hooks = tmp_path / "hooks"
    hooks.mkdir()
    for name in ("pre-commit", "post-index-change", "reference-transaction", "post-checkout"):
        (hooks / name).write_text(program.read_text())
        (hooks / name).chmod(0o755)
    write(kept, {".gitattributes": "*.md diff=words filter=words\n*.yaml diff=words\n"})
    git(kept, "add", ".gitattributes")
    git(kept, "commit", "-qm", "attributes", when=SECOND)
    config = kept.parent / ".git" / "config"
    config.write_text(config.read_text() + HOSTILE.format(run=program, hooks=hooks))
    return mark


@pytest.mark.skipif(sys.platform == "win32", reason="the hostile program is a shell script")
def test_a_folders_own_configuration_runs_nothing(kept: Path, touched: Path, tmp_path: Path) -> None:
    """None of the programs named there runs (git-config(1), gitattributes(5)): not for the pages, not for the book of
    then, not for what is staged. Git typed plainly runs them: the trap is a trap.
    """
    for line in (
        ("compile", kept, *ON, "--to", tmp_path / "book"),
        ("compile", kept, "--as-of", "HEAD", "--to", tmp_path / "then"),
        ("proof", kept, "--staged"),
    ):
        assert run(*line).exit_code == 0, run(*line).output
        assert not touched.exists(), line
    assert "Fergus Ord" in words(tmp_path / "book" / "what-changed.html")
    subprocess.run(["git", "-C", str(kept), "status"], capture_output=True, check=False)
    assert touched.exists()


@pytest.mark.skipif(sys.platform == "win32", reason="the hook is a shell script")
def test_the_hook_that_begin_lays_stops_a_commit_with_an_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Switched on as it says, it lets sound notes through and stops one that is not; books are not committed."""
    monkeypatch.setenv("PATH", f"{tmp_path / 'bin'}{os.pathsep}{os.environ['PATH']}")
    (tmp_path / "bin").mkdir()
    command = tmp_path / "bin" / "flockbook"
    root = Path(__file__).parents[2]
    command.write_text(f"#!/bin/sh\nPYTHONPATH='{root}' exec '{sys.executable}' -m flockbook \"$@\"\n")
    command.chmod(0o755)
    place = tmp_path / "my-flock"
    assert run("begin", place, "--uk").exit_code == 0
    git(place, "init", "-q")
    git(place, "config", "core.hooksPath", ".githooks")
    git(place, "add", ".")
    git(place, "commit", "-qm", "begun")
    assert run("compile", place, "--as-of", "HEAD").exit_code == 0
    assert run("compile", place, *ON, "--share").exit_code == 0
    assert git(place, "status", "--porcelain") == ""
    write(place, {"events/2026-06-03 remark Nobody.md": "---\nsheep: Nobody\n---\n"})
    git(place, "add", ".")
    with pytest.raises(AssertionError, match="Nobody"):
        git(place, "commit", "-qm", "an error")
    assert git(place, "log", "--format=%s").split() == ["begun"]
