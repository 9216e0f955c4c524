"""The ledger theme as functions: every page of real books has the very bytes that Jinja2, the reference, gives it."""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from compiler.binding import bind
from compiler.book import Moment
from compiler.build import build
from compiler.pages import Page
from compiler.templates import Theme
from flockbook.book import BOOK
from tests.bench.make_flock import write

ROOT = Path(__file__).parents[2]
ON = Moment(datetime(2026, 11, 25))
HOSTILE = (
    "<script>alert(1)</script>",
    "</p><img src=x onerror='a'>",
    "\"quoted\" & 'quoted' &amp; &lt;b&gt;",
    "{{ 7 * 7 }}{% for a in b %}{# x #}{{ view }}",
    "\U0001f411 \U0001d4d0 \u202e\u0301 \ufffd ]]>",
    "None",
    "  ",
)


def drawn_both_ways(notes: Path, to: Path) -> dict[str, bytes]:
    """Every page of the book of a folder of notes, after comparing the two engines on it."""
    built = build(notes, BOOK, ON, to / "book", cache=to / "cache")
    theme = Theme(Path(BOOK.theme))
    bound = bind(built.findings, BOOK, theme)
    drawn = {}
    for path, page in bound.files.items():
        if isinstance(page, Page):
            drawn[path] = theme.drawn_by_functions(page, bound.look.frame, bound.look.navigation)
            assert drawn[path] == theme.drawn_by_jinja(page, bound.look.frame, bound.look.navigation), path
    return drawn


def test_no_template_of_the_ledger_is_left_to_jinja() -> None:
    """Every template of the theme becomes a function."""
    theme = Theme(Path(BOOK.theme))
    assert theme.functions.refused == ()
    assert set(theme.functions.drawings) == set(theme.names())


def test_every_page_of_the_demo(tmp_path: Path) -> None:
    """The demo: more than three hundred pages of every kind."""
    pages = drawn_both_ways(ROOT / "site_demo", tmp_path)
    assert len(pages) > 300
    assert len({path.split("/")[0] for path in pages}) > 20


@pytest.mark.parametrize("size", [40, 300])
def test_every_page_of_a_generated_flock(tmp_path: Path, size: int) -> None:
    """A seeded flock of some hundred notes."""
    write(size, tmp_path / "notes")
    assert len(drawn_both_ways(tmp_path / "notes", tmp_path)) > size / 3


def test_an_empty_flock(tmp_path: Path) -> None:
    """No note at all: every page that says so."""
    (tmp_path / "notes").mkdir()
    assert "index.html" in drawn_both_ways(tmp_path / "notes", tmp_path)


def test_every_page_of_hostile_notes(tmp_path: Path) -> None:
    """Markup, quotes, braces, template words and rare letters, typed wherever a note takes words."""
    notes = tmp_path / "notes"
    for number, words in enumerate(HOSTILE):
        quoted = "'" + words.replace("'", "''") + "'"
        typed = {
            f"sheep/H{number} Fern.md": f"---\nnote: ewe\nborn: 2021\nname: {quoted}\nbreed: {quoted}\n---\n{words}\n",
            f"sheep/{words.replace('/', '|')}.md": f"---\nnote: ewe\n{words}: {quoted}\n---\n{words}\n",
            f"medicines/m{number}.md": f"---\nnote: medicine\nname: {quoted}\nmeat withdrawal: {quoted}\n---\n",
            f"paddocks/p{number}.md": f"---\nnote: paddock\nname: {quoted}\narea: {quoted}\n---\n",
            f"events/2026/2026-05-{number + 1:02} remark H{number}.md": f"{words}\n\n* {words}\n\n| a | b |\n|--|--|\n"
            f"| {words} | {words} |\n",
            f"events/2026/2026-06-{number + 1:02} treatment H{number}.md": f"---\nsheep: [H{number}, {quoted}]\n"
            f"medicine: {quoted}\nreason: {quoted}\n---\n{words}\n",
            f"events/2026/2026-07-{number + 1:02} sale H{number}.md": f"---\nsheep: H{number}\nto: {quoted}\n"
            f"price: {quoted}\n---\n",
        }
        for path, text in typed.items():
            (notes / path).parent.mkdir(parents=True, exist_ok=True)
            (notes / path).write_text(text, "utf-8", newline="")
    (notes / "flock.yaml").write_text(f"flock: '{HOSTILE[0]} {HOSTILE[3]}'\n")
    whole = b"\n".join(drawn_both_ways(notes, tmp_path).values())
    assert b"&lt;script&gt;alert(1)&lt;/script&gt;" in whole
    ours = rb" src=\"(?:(?:\.\./)*(?:book|night)\.js|jot(?:-data)?\.js\" defer=\"defer)\">"
    assert re.search(rb"<script(?!" + ours + rb")|<img src=x", whole) is None
    assert b"{{ 7 * 7 }}" in whole
    assert "\U0001f411 \U0001d4d0".encode() in whole


COMPILE = """
import sys
from datetime import datetime
from pathlib import Path
from compiler.book import Moment
from compiler.build import build
from flockbook.book import BOOK
to = Path(sys.argv[1])
build(Path("site_demo"), BOOK, Moment(datetime(2026, 11, 25)), to / "book", cache=to / "cache")
print("jinja2" in sys.modules)
"""


def test_a_second_compile_loads_no_jinja(tmp_path: Path) -> None:
    """The theme's functions are remembered beside the remarks, so that the next compile does not wait for Jinja2."""

    def loads_jinja() -> str:
        command = [sys.executable, "-c", COMPILE, str(tmp_path)]
        return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout.strip()

    assert [loads_jinja(), loads_jinja()] == ["True", "False"]
