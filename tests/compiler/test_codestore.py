"""Remembered code is used only if it is whole, asked for, and this user's own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from compiler import codestore, functions
from compiler.codestore import recall, remember
from compiler.pages import Page
from compiler.templates import Theme
from tests.compiler.test_templatecode import NAVIGATION, page_at, theme

ONE, OTHER = "1" * 64, "2" * 64
VALUE = (compile("x = 1", "<x>", "exec"), (("a", "b", 3, "c"),))


def test_kept_and_found(tmp_path: Path) -> None:
    """What was kept is found by its name and digest only; a new digest takes the place of older ones."""
    remember(tmp_path / "new", "a", ONE, VALUE)
    remember(tmp_path / "new", "b", ONE, 7)
    assert recall(tmp_path / "new", "a", ONE) == VALUE
    assert recall(tmp_path / "new", "a", OTHER) is None
    remember(tmp_path / "new", "a", OTHER, 8)
    assert [recall(tmp_path / "new", name, digest) for name in "ab" for digest in (ONE, OTHER)] == [None, 8, 7, None]
    assert len(list((tmp_path / "new").iterdir())) == 2


def test_nowhere_to_remember(tmp_path: Path) -> None:
    """Without a folder, or with a file in its place, or for a value that cannot be kept, nothing happens."""
    (tmp_path / "file").write_text("x")
    for place in (None, tmp_path / "file"):
        remember(place, "a", ONE, VALUE)
        assert recall(place, "a", ONE) is None
    remember(tmp_path / "new", "a", ONE, object())
    assert recall(tmp_path / "new", "a", ONE) is None
    assert list((tmp_path / "new").iterdir()) == []


def test_every_damage_is_noticed(tmp_path: Path) -> None:
    """Each byte turned, each length cut, another's digest: as if nothing had been kept."""
    remember(tmp_path, "a", ONE, VALUE)
    (path,) = tmp_path.iterdir()
    whole = path.read_bytes()
    for place in range(len(whole)):
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 1 << place % 8]) + whole[place + 1 :])
        assert recall(tmp_path, "a", ONE) is None
        path.write_bytes(whole[:place])
        assert recall(tmp_path, "a", ONE) is None
    path.write_bytes(whole)
    path.rename(tmp_path / f"a-{OTHER[:16]}.code")
    assert recall(tmp_path, "a", OTHER) is None


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="this system does not say who may write a file")
def test_what_others_may_write_is_not_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that another user owns or may write is not used; one of our own is private from the start."""
    remember(tmp_path, "a", ONE, 7)
    (path,) = tmp_path.iterdir()
    assert path.stat().st_mode & 0o777 == 0o600
    for mode in (0o660, 0o606):
        path.chmod(mode)
        assert recall(tmp_path, "a", ONE) is None
    path.chmod(0o644)
    assert recall(tmp_path, "a", ONE) == 7
    monkeypatch.setattr(codestore.os, "geteuid", lambda: 12345)
    assert recall(tmp_path, "a", ONE) is None


def test_damage_never_reaches_a_page(tmp_path: Path) -> None:
    """With the remembered functions damaged, or sound but of no use, the page is the same."""
    text = "{% for row in view.rows %}{{ row }}{{ view.words }}{% endfor %}"
    before = theme(tmp_path / "theme", text).draw(page_at(), None, NAVIGATION)
    memory = tmp_path / "memory"

    def drawn() -> bytes:
        return Theme(tmp_path / "theme", memory).draw(page_at(), None, NAVIGATION)

    assert drawn() == before
    (path,) = memory.iterdir()
    name, digest = path.name.rsplit("-", 1)[0], functions.digest_of(Theme(tmp_path / "theme").texts())
    whole = path.read_bytes()
    for place in range(0, len(whole), 97):
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 255]) + whole[place + 1 :])
        assert drawn() == before
        assert recall(memory, name, digest) is not None
    for value in (7, (), (compile("1 / 0", "<x>", "exec"), ()), (compile("x = 1", "<x>", "exec"), ())):
        remember(memory, name, digest, value)
        assert drawn() == before


DRAW = """
import sys
from pathlib import Path
from compiler.pages import Page
from compiler.templates import Theme
for _ in range(20):
    made = Theme(Path(sys.argv[1]), Path(sys.argv[2]))
    assert made.draw(Page("a.html", "page.html", "<T>", None), None, ()) == b"&lt;T&gt;"
    for path in made.memory.iterdir():
        path.unlink(missing_ok=True)
"""


def test_several_processes_at_once(tmp_path: Path) -> None:
    """Processes that write, read and delete the same file at the same time all draw the right page."""
    theme(tmp_path / "theme", "{{ page.title }}")
    command = [sys.executable, "-c", DRAW, str(tmp_path / "theme"), str(tmp_path / "memory")]
    running = [subprocess.Popen(command, cwd=Path(codestore.__file__).parents[1]) for _ in range(3)]
    assert [process.wait(timeout=120) for process in running] == [0, 0, 0]


def test_the_digest_tells_templates_apart() -> None:
    """Another text, another name, or text moved from one template to the next gives another digest."""
    texts = [{"a": "bc"}, {"ab": "c"}, {"a": "b", "c": ""}, {"a": "b"}, {"a": "c", "b": ""}, {}, {"a": ""}]
    assert len({functions.digest_of(one) for one in texts}) == len(texts)


def test_a_page_without_template(tmp_path: Path) -> None:
    """A page whose template is not there is still Jinja2's to refuse."""
    made = theme(tmp_path, "x")
    with pytest.raises(KeyError):
        made.drawn_by_functions(Page("a.html", "absent.html", "A", None), None, ())
